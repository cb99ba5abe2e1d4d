//! The sentences about a set: its ports and plugs, and what stops a hand-out.

use chrono::NaiveDate;

use super::{Said, counted, said};
use crate::event::{Port, PortName, Seat};
use crate::hose::{Label, Owner, Prose};
use crate::inspection::Verdict;
use crate::policy::Use;
use crate::record::{HandOut, PackedSet};
use crate::tag::Code;

/// What is in a port that has no hose.
pub const PLUG: &str = "plug";

/// What is in a port, in one sentence for those who cannot see the picture:
/// the hose with its verdict and why, or the plug.
pub(crate) fn in_port(
    port: PortName,
    hose: Option<(&str, Code, Verdict, &str)>,
    holds: &str,
) -> String {
    match hose {
        Some((what, code, verdict, "")) => format!("{port}: {what}, {code}: {verdict}."),
        Some((what, code, verdict, why)) => format!("{port}: {what}, {code}: {verdict}. {why}"),
        None => format!("{port}: {holds}."),
    }
}

/// The title of a set's picture.
pub(crate) fn picture_title(set: &Label, in_use: Use) -> String {
    format!("Set {set}, {in_use} use")
}

/// Said when a hose goes into a port.
#[must_use]
pub fn plug_kept(port: PortName) -> String {
    format!("The plug of {port} comes out: keep it with the set.")
}

/// Said when a hose leaves a port.
#[must_use]
pub fn plug_back(port: PortName) -> String {
    format!("{port} is left open: put its plug back.")
}

/// What to do now that a hose was put in a port, or moved to another.
#[must_use]
pub fn fitted(from: Option<&Seat>, port: PortName) -> Vec<String> {
    let test = "A leak test is due: do it under pressure and record its result.".to_owned();
    match from.map(|seat| seat.port) {
        // It was there already, and only the record was in doubt.
        Some(left) if left == port => vec![test],
        Some(left) => {
            let moved = format!("It was moved from {left} to {port}.");
            vec![moved, plug_back(left), plug_kept(port), test]
        }
        None => vec![plug_kept(port), test],
    }
}

/// What to do now that a hose was taken out of a port.
#[must_use]
pub fn removed(seat: &Seat) -> Vec<String> {
    vec![plug_back(seat.port)]
}

/// The second line of a hose's answer: its set's status, and which hose in it
/// is the worst; without one that is so by itself, it is the whole set.
pub(crate) fn second_line(
    hose: Verdict,
    set: &Label,
    verdict: Verdict,
    worst: Option<PortName>,
) -> String {
    format!("This hose: {hose}. {}", standing(set, verdict, worst))
}

/// A set's status, and which hose in it is the worst.
pub(crate) fn standing(set: &Label, verdict: Verdict, worst: Option<PortName>) -> String {
    let whose = match (verdict, worst) {
        (Verdict::Ready, _) => String::new(),
        (_, Some(port)) => format!(", {port}"),
        (_, None) => ", the whole set".to_owned(),
    };
    format!("Set {set}: {verdict}{whose}.")
}

/// What the answer to a set's tag means, in one sentence. `hoses` is how many it
/// has on record.
pub(crate) const fn meaning(verdict: Verdict, tag_only: bool, hoses: usize) -> &'static str {
    match (verdict, hoses) {
        _ if tag_only => "Not known here: ask before you dive it.",
        (Verdict::Retire, _) => {
            "Not to be dived: a hose in it is never to be dived again. Mark it."
        }
        (Verdict::Hold, _) => "Not to be dived until it is put right. Mark it and put it aside.",
        (_, 0) => "No hose of it is on record: nobody can say what is in its ports.",
        (Verdict::Watch, _) => "Usable; compare what is to be watched.",
        (Verdict::Ready, _) => {
            "Nothing is known against its hoses; the first stage is not on record."
        }
    }
}

pub(crate) fn tag_only() -> Said {
    said(
        "This device has no record of the set that this tag is on.".to_owned(),
        "Ask where its record is kept and what it says before you dive it.",
    )
}

pub(crate) fn tag_old(since: NaiveDate, own: Option<Code>) -> Said {
    let own = own.map(|own| format!("; the set's own tag is {own}")).unwrap_or_default();
    said(
        format!("This tag was replaced or withdrawn on {since}{own}."),
        "Take the old tag off and scan the set's own.",
    )
}

pub(crate) fn dissolved(set: &Label) -> Said {
    said(
        format!("Set {set} is no longer on record, but its tag is still here."),
        "Take the tag off; what is in the ports is answered by each hose's own tag.",
    )
}

/// Said of the tag of a set when a hose's is meant.
#[must_use]
pub fn not_a_hose(tag: Code, set: &Label) -> String {
    format!(
        "{tag} is the tag of set {set}, and not of a hose; for this, scan the tag on the hose \
         itself"
    )
}

/// Said of a set that has no tag.
#[must_use]
pub fn no_tag(set: &Label) -> String {
    format!("set {set} has no tag of its own yet; give it one: set tag {set}")
}

pub(crate) fn not_all_read(set: &Label) -> Said {
    said(
        format!("The record of set {set} has entries that this version cannot read."),
        "Update this program, or ask a device that is up to date.",
    )
}

pub(crate) fn not_made(set: &Label) -> Said {
    said(
        format!("What set {set} is has not reached this device."),
        "Import the record of the device that registered the set.",
    )
}

pub(crate) fn record_gap() -> Said {
    said(
        "Some entries of a device are missing here; they may be about this set.".to_owned(),
        "Import that device's record; if it is gone, the owner declares the entries lost.",
    )
}

/// What a set is, in one line.
#[must_use]
pub fn heading(
    set: &Label,
    in_use: Use,
    oxygen: bool,
    (owner, branch): (Option<&Owner>, Option<&Label>),
) -> String {
    let oxygen = if oxygen { ", cleaned for oxygen" } else { "" };
    let owner = owner.map(|owner| format!(", {owner}")).unwrap_or_default();
    let branch = branch.map(|branch| format!(", branch {branch}")).unwrap_or_default();
    format!("Set {set}, {in_use} use{oxygen}{owner}{branch}")
}

/// A port's thread, and what is known of its kind if its name does not say it.
#[must_use]
pub fn thread_of(port: &Port) -> String {
    match (port.name.pressure(), port.kind) {
        (Some(_), _) => port.thread.to_string(),
        (None, Some(kind)) => format!("{} {kind}", port.thread),
        (None, None) => format!("{} ?", port.thread),
    }
}

/// Where a set is and the status of its hoses, in one line.
#[must_use]
pub fn state(
    out: Option<&HandOut>,
    hoses: usize,
    worst: Option<Verdict>,
    quarantined: bool,
) -> String {
    let stands = match worst {
        _ if quarantined => QUARANTINED.to_owned(),
        None => "Every port has its plug; it has no hose.".to_owned(),
        Some(worst) if worst >= Verdict::Hold => ON_HOLD.to_owned(),
        Some(Verdict::Watch) => "It may be dived; compare what is to be watched.".to_owned(),
        Some(_) => {
            let hoses = counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
            format!("Nothing is known against its {hoses}.")
        }
    };
    out.map_or(stands.clone(), |out| format!("{} {stands}", set_out(out)))
}

/// Where a set is, in the few words that a table has room for: whether it is
/// stopped, and whether that is by a quarantine.
#[must_use]
pub fn briefly(
    out: Option<&HandOut>,
    packed: Option<&PackedSet>,
    stopped: bool,
    quarantined: bool,
) -> String {
    let here = match out {
        Some(out) => return format!("out on ticket {}", out.ticket),
        None if quarantined => "here, in quarantine",
        None if stopped => "here, on hold",
        None => "here",
    };
    let packed = packed.map(|packed| format!(", {}", super::packing::briefly(&packed.ticket)));
    format!("{here}{}", packed.unwrap_or_default())
}

/// Said if no set is out.
pub const NOTHING_OUT: &str = "No set is out.";

/// Said over what an override lifted.
pub const OVER_THESE: &str = "It went out over these objections; the reason stays on record:";

/// Said of a set with a hose that is on hold or to be retired, or that is held
/// itself.
pub const ON_HOLD: &str = "On hold: fix or take off what stops it first.";

/// Said of a set in quarantine.
pub const QUARANTINED: &str =
    "In quarantine: fix or take off what was found, then release it with a reason.";

/// Since when a set is out, on which ticket, and over what objections.
#[must_use]
pub fn set_out(out: &HandOut) -> String {
    let over = out.override_why.as_ref();
    let over = over.map(|why| format!(", over the objections: {why}")).unwrap_or_default();
    format!("Out since {} on ticket {}, handed out by {}{over}.", out.on, out.ticket, out.by)
}

/// A hose as it is named in a list: its port, its code and what it is.
fn named(port: Option<PortName>, hose: Code, what: &str) -> String {
    port.map_or_else(|| format!("{hose} ({what})"), |port| format!("{port}: {hose} ({what})"))
}

/// A hose and its place in a list, for the sentences about it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Named<'a> {
    pub(crate) port: Option<PortName>,
    pub(crate) hose: Code,
    pub(crate) what: &'a str,
}

impl std::fmt::Display for Named<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&named(self.port, self.hose, self.what))
    }
}

pub(crate) fn already_out(set: &Label, out: &HandOut) -> Said {
    said(format!("Set {set} is out already. {}", set_out(out)), "Take it back first.")
}

pub(crate) fn nothing_goes(set: &Label, hoses: usize) -> Said {
    match hoses {
        0 => said(
            format!("Set {set} has no hose in any port."),
            "Record which hoses are in its \
            ports first.",
        ),
        _ => said(format!("No hose of set {set} was scanned."), "Scan every hose of the set."),
    }
}

pub(crate) fn hose_out(hose: Named<'_>, ticket: &Label, with: Option<&Label>) -> Said {
    let with = with.map(|set| format!(" with set {set}")).unwrap_or_default();
    said(
        format!("{hose} is on record as out{with} on ticket {ticket}."),
        "Take that set back first.",
    )
}

pub(crate) fn in_quarantine(set: &Label, why: &Prose) -> Said {
    said(
        format!("Set {set} is in quarantine: {}.", why.phrase()),
        "Fix what was found, then release the set with a reason.",
    )
}

/// Why a set goes into quarantine when it comes back.
#[must_use]
pub fn quarantine(hose: Code, seen: &str) -> String {
    format!("found at its return on {hose}: {seen}")
}

pub(crate) fn missing(hose: Named<'_>) -> Said {
    said(
        format!("{hose} was not scanned."),
        "Look for it and scan it; give it a new tag if its own can't be read.",
    )
}

pub(crate) fn foreign(hose: Named<'_>, set: &Label, place: &str) -> Said {
    said(
        format!("{hose} is not in set {set}; its place on record: {place}."),
        "Take it off, or correct the record: remove and fit.",
    )
}

pub(crate) fn unknown(why: &str) -> Said {
    let ended = if why.ends_with(['.', '!', '?']) { "" } else { "." };
    said(format!("Scanned, but not known: {why}{ended}"), LOOK_AT_TAG)
}

/// What to do about something that was scanned and is not known.
pub const LOOK_AT_TAG: &str = "Look at the tag, and scan it again.";

pub(crate) fn stopped(hose: Named<'_>, verdict: Verdict, reasons: &str, todo: &str) -> Said {
    said(format!("{hose}: {verdict}. {reasons}"), todo)
}

/// Said if a reason to hand it out anyway would be taken.
pub const OVERRIDE_LIFTS: &str =
    "It can still go out with a reason, which stays on record with your name.";

/// Said if no reason is good enough.
pub const OVERRIDE_DOES_NOT_LIFT: &str = "This can't be overridden.";

/// What a hand-out check comes to, in one line; `told` if the hirer is told something.
#[must_use]
pub fn check_result(set: &Label, stops: usize, watched: usize, told: bool) -> String {
    let things = counted(i64::try_from(stops).unwrap_or(i64::MAX), "thing");
    match (stops, watched) {
        (0, 0) => format!("Set {set} is complete, and nothing is known against it."),
        (0, _) if told => {
            format!("Set {set} is complete and may go out; tell the hirer what to watch.")
        }
        (0, _) => format!("Set {set} is complete and may go out; see what is to be watched."),
        (1, _) => format!("Set {set} stays here: {things} stops it."),
        _ => format!("Set {set} stays here: {things} stop it."),
    }
}

/// Said when a set was handed out.
#[must_use]
pub fn handed_out(set: &Label, ticket: &Label, hoses: usize) -> String {
    let hoses = counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
    format!("Set {set} is out on ticket {ticket}, with {hoses}.")
}

/// Said in lists of what is out: for how long.
#[must_use]
pub fn out_for(since: NaiveDate, today: NaiveDate) -> String {
    match (today - since).num_days() {
        0 => "since today".to_owned(),
        days => format!("since {since}, {}", counted(days, "day")),
    }
}

/// The free ports that would take a hose, in words.
#[must_use]
pub fn free_ports(free: &[PortName]) -> String {
    let names: Vec<String> = free.iter().map(ToString::to_string).collect();
    match names.as_slice() {
        [] => "no free port of the set takes it".to_owned(),
        [one] => format!("{one} is free and takes it"),
        several => format!("{} are free and take it", several.join(", ")),
    }
}

/// Said of a hose that was scanned with a set and is not in it.
#[must_use]
pub fn not_in_it(set: &Label) -> String {
    format!("it is not in set {set}; leave it out, or fit it first")
}

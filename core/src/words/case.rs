//! The words of a case file, and of checking its entries.

use chrono::{DateTime, NaiveDate, Utc};

use super::{counted, limits, meeting};
use crate::device::DeviceId;
use crate::event::ShownThen;
use crate::hose::{Label, Prose};
use crate::journal::{Problem, Statement, Trust, Verified, Wrong};
use crate::policy::{Limit, Limits, Scope, Use};
use crate::tag::Code;

/// What it is called, and the way to it.
pub const CASE: &str = "Case file";
/// What it is for.
pub const LEAD: &str = "Everything on record, to show to an insurer or to whoever asks: every entry \
    with its day and writer, what was withdrawn, the photos, what the desk was shown at each \
    hand-out, and whether the signatures hold.";
/// Over the file that is read.
pub const PAPER: &str = "To read and print";
/// Downloads it.
pub const PAPER_GO: &str = "Download the case file (PDF)";
/// Over the file of signed entries.
pub const ENTRIES: &str = "To check";
/// What that is.
pub const ENTRIES_LEAD: &str = "The signed entries themselves. Anyone who has Hosewright can check \
    that none was changed or left out, without this record. The number of the list is on the case \
    file too. Entries that were written together with these, about other hoses, may be in it: \
    without them nothing is proven.";
/// Downloads it.
pub const ENTRIES_GO: &str = "Download the signed entries";
/// Before either.
pub const CONFIDENTIAL: &str = "Both name who wrote what, and the tickets of hirers. Give them only \
    to who should know.";

/// The same on the paper.
pub const CONFIDENTIAL_HERE: &str = "This file names who wrote what, and the tickets of hirers.";
/// Said where nobody can sign the list of entries.
pub const NO_KEY: &str = "this record has no device of its own yet whose key is here, so nobody can \
    sign the list of its entries; record something in it first, or make the file where its key is";

/// Heads of the paper.
pub const VERDICT: &str = "On the day of this file";
/// Over why.
pub const WHY: &str = "Why";
/// Over the hoses of a set.
pub const HOSES: &str = "Hoses in it";
/// Over the limits.
pub const LIMITS: &str = "Limits in force";
/// Over the devices.
pub const SIGNATURES: &str = "Signatures";
/// What they say.
pub const SIGNATURES_LEAD: &str = "Each entry is signed by the device that wrote it. A signature \
    that holds says that the entry is as that device wrote it; it does not say that what it tells \
    is true.";
/// Over the entries.
pub const ALL: &str = "Every entry, in the order in which it happened";
/// Over the owner's limits.
pub const LIMITS_SET: &str = "Limits that the owner set";
/// Said if there are none.
pub const LIMITS_NONE: &str = "The owner has set none: the defaults are common practice, without a \
    published source.";
/// Over what a hand-out showed.
pub const SHOWN: &str = "The desk was shown:";
/// Said of a hand-out of an earlier program.
pub const NOT_KEPT: &str = "What the desk was shown is not on record: an earlier program did not \
    keep it.";
/// Over the limits of then.
pub const LIMITS_THEN: &str = "Limits then:";
/// How letters are told that the print lacks.
pub const LETTERS: &str = "Times of writing are by the clock of the device, in UTC. A letter that \
    this print lacks stands as its number, as <U+0416>; the signed entries have it as it was \
    written.";

/// Who made the file, and when.
#[must_use]
pub fn made(by: &Label, on: NaiveDate, at: DateTime<Utc>, device: Option<&str>) -> String {
    let device = device.map(|device| format!(", on device {device}")).unwrap_or_default();
    format!("Made by {by} on {on}, {}{device}", time(at))
}

/// How many entries, and under which number they are listed.
#[must_use]
pub fn list(entries: usize, number: &str) -> String {
    let entries = entries_of(entries);
    format!("{entries}; number of the list: {number}")
}

/// A time of writing.
#[must_use]
pub fn time(at: DateTime<Utc>) -> String {
    at.format("%Y-%m-%d %H:%M UTC").to_string()
}

/// Who wrote an entry, when and where.
#[must_use]
pub fn written(at: DateTime<Utc>, by: &Label, device: &str) -> String {
    format!("written {} by {by}, device {device}", time(at))
}

/// Beside an entry that was taken back.
#[must_use]
pub fn withdrawn(on: NaiveDate, by: &Label, why: &Prose) -> String {
    format!("Withdrawn on {on} by {by}: {why}")
}

/// Beside an entry that is not, or not wholly, believed.
#[must_use]
pub const fn believed(trust: Trust) -> Option<&'static str> {
    match trust {
        Trust::Full => None,
        Trust::AddsOnly => Some("In doubt: it adds warnings and clears none."),
        Trust::Disbelieved => Some("Not believed."),
    }
}

/// Which entries an entry judges or replaces.
#[must_use]
pub fn judges(numbers: &[usize]) -> String {
    format!("Deals with {}", entries_named(numbers))
}

/// Which entries judge or replace it.
#[must_use]
pub fn judged(numbers: &[usize]) -> String {
    format!("Dealt with in {}", entries_named(numbers))
}

fn entries_named(numbers: &[usize]) -> String {
    let all: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    format!("{} {}", if numbers.len() == 1 { "entry" } else { "entries" }, all.join(", "))
}

/// How a hose stood when it went out, as the desk was shown it.
#[must_use]
pub fn shown_then(hose: &str, then: &ShownThen) -> String {
    let reasons: Vec<&str> = then.reasons.iter().map(|reason| reason.words.as_str()).collect();
    let why = if reasons.is_empty() { String::new() } else { format!(": {}", reasons.join(" ")) };
    format!("{hose}: {}{why}", then.verdict)
}

/// The limits of a hose of a use, in one line, with where they come from.
#[must_use]
pub fn limits_of(in_use: Use, held: &Limits, source: impl Fn(Limit) -> Option<Scope>) -> String {
    let each = Limit::ALL.map(|limit| {
        let (on, value) = (limits::on(limit).to_lowercase(), limits::value(held, limit));
        format!("{on}: {value} ({})", limits::source(source(limit)))
    });
    super::sentence(&format!("{in_use} use: {}", each.join("; ")))
}

/// Which sets and hoses an entry is about.
#[must_use]
pub fn about(sets: &[Label], hoses: &[String]) -> String {
    let sets = sets.iter().map(|set| format!("set {set}"));
    let hoses = match hoses {
        [] => None,
        [one] => Some(format!("hose {one}")),
        [one, other] => Some(format!("hoses {one} and {other}")),
        many => Some(format!("{} hoses", many.len())),
    };
    let all: Vec<String> = sets.chain(hoses).collect();
    super::capital(&if all.is_empty() { "every hose".to_owned() } else { all.join(", ") })
}

/// What a case file of a hose is about.
#[must_use]
pub fn of_hose(number: Option<&Label>, code: Code) -> String {
    format!("Hose {}", super::by_number(number, code))
}

/// What a case file of a set is about.
#[must_use]
pub fn of_set(name: &Label, code: Code) -> String {
    format!("Set {name}, {code}")
}

/// A device, how many of its entries were read, and whether they hold.
#[must_use]
pub fn writer(name: &str, read: usize, failing: &[u64]) -> String {
    let read = entries_of(read);
    if failing.is_empty() {
        return format!("Device {name}: {read} read, all hold");
    }
    let failing: Vec<String> = failing.iter().map(ToString::to_string).collect();
    format!("Device {name}: {read} read; these do not hold: {}", failing.join(", "))
}

/// Beside an entry whose signature does not hold.
pub const DOES_NOT_HOLD: &str = "Its signature does not hold.";

fn entries_of(count: usize) -> String {
    let count = i64::try_from(count).unwrap_or(i64::MAX);
    if count == 1 { counted(1, "entry") } else { format!("{count} entries") }
}

/// What checking a file of signed entries came to, a line each.
#[must_use]
pub fn verified(verified: &Verified) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(statement) = &verified.statement {
        said.push(statement.about.clone());
        said.push(stated(statement));
        said.push(list(statement.entries.len(), &Statement::number(&statement.entries)));
    }
    if verified.beside > 0 {
        said.push(format!("{} more, which prove them", entries_of(verified.beside)));
    }
    for writer in &verified.writers {
        let name = meeting::named(&writer.device, writer.name.as_ref());
        let read = entries_of(writer.read);
        let holds = match writer.failing {
            0 => "all hold".to_owned(),
            n => format!("{n} do not hold"),
        };
        said.push(format!("Device {name}: {read} read, {holds}"));
    }
    said.extend(verified.problems.iter().map(problem));
    said.push(if verified.holds() { HOLDS } else { HOLDS_NOT }.to_owned());
    said
}

/// Said if all of a file holds.
pub const HOLDS: &str = "All of it holds: no entry was changed, and none of those that are listed \
    was left out.";
/// Said if something does not.
pub const HOLDS_NOT: &str = "Not all of it holds. Ask who made it for the file again.";

fn stated(statement: &Statement) -> String {
    let at = DateTime::from_timestamp_millis(statement.at).unwrap_or_default();
    format!("Made by {} at {}, signed by device {}", statement.by, time(at), statement.device)
}

/// Something that does not hold, with its line.
#[must_use]
pub fn problem(problem: &Problem) -> String {
    let of = |device: &DeviceId, seq: u64| format!("entry {seq} of device {}", device.short());
    let why = match &problem.wrong {
        Wrong::NotAnEntry(error) => error.to_string(),
        Wrong::NotSigned(device, seq) => format!(
            "{} is not what that device signed, or what proves it is missing",
            of(device, *seq)
        ),
        Wrong::Unsigned(device, seq) => {
            format!("{} is signed by nobody: its device had no key yet", of(device, *seq))
        }
        Wrong::LeftOut(device, seq) => {
            format!("{} is listed and is not in the file", of(device, *seq))
        }
        Wrong::Aside(device, seq, why) => {
            format!("{} is signed, and {}", of(device, *seq), meeting::aside(why.word()))
        }
        Wrong::Bytes => "the lines are not those that the file was made with".to_owned(),
        Wrong::NoStatement => "it does not end with the signed list of its entries: it was cut \
                               off or changed, or is another file"
            .to_owned(),
    };
    match problem.line {
        Some(line) => format!("Line {line}: {why}."),
        None => format!("{}.", super::capital(&why)),
    }
}

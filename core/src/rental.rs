//! Handing a set out and taking it back: what a check of the scanned hoses
//! says, one hose at a time.

mod back;
mod packed;
mod rows;
mod slip;

pub use back::{BroughtBack, SeenOn};
pub use packed::PackedView;
pub use rows::HandOutRow;
pub use slip::{Slip, told_hirer};

use serde::Serialize;

use crate::answer::Answer;
use crate::event::PortName;
use crate::hose::{Label, words as word_table};
use crate::inspection::Verdict;
use crate::record::{HandOut, HoseRecord, SetRecord};
use crate::set_view::{Checked, stops_by_itself};
use crate::tag::Code;
use crate::words::{Said, sets};

/// The most dives that one return can bring. Longer hires come back in between
/// for their inspections (common practice, no source).
pub const MOST_DIVES: u32 = 200;

word_table!(
    /// What stops a hand-out.
    StopKind, "thing that stops a hand-out", {
        /// The set is out already.
        SetOut = "set-out",
        /// The set is in quarantine.
        SetQuarantined = "set-quarantined",
        /// No hose is there to go out: none was scanned, or the set has none.
        NoHose = "no-hose",
        /// A hose is on record as out, with this set or another.
        HoseOut = "hose-out",
        /// A hose is retired, or has a finding that retires it.
        Retired = "retired",
        /// Something was scanned that names no hose on record.
        Unknown = "unknown",
        /// A hose of the set was not scanned.
        Missing = "missing",
        /// A hose was scanned that is not of the set.
        Foreign = "foreign",
        /// A hose is on hold.
        Held = "held",
    }
);

impl StopKind {
    /// Whether a name and a reason can lift it. What is out cannot go out
    /// again, an unknown tag says nothing to put on record, and a retired hose
    /// is never dived again.
    #[must_use]
    pub const fn can_be_lifted(self) -> bool {
        matches!(self, Self::Missing | Self::Foreign | Self::Held)
    }
}

/// One thing that stops a hand-out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Stop {
    /// What kind of thing.
    pub kind: StopKind,
    /// The hose's tag, where it is about a hose on record.
    pub code: Option<Code>,
    /// What stops it, in words.
    pub words: String,
    /// What to do about it.
    pub todo: String,
    /// Whether a name and a reason can lift it.
    pub can_be_lifted: bool,
}

impl Stop {
    fn new(kind: StopKind, code: Option<Code>, said: Said) -> Self {
        let can_be_lifted = kind.can_be_lifted();
        Self { kind, code, words: said.words, todo: said.todo, can_be_lifted }
    }
}

/// Something that was scanned that is not of the set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Foreign {
    /// What was scanned or typed.
    pub scanned: String,
    /// The hose, where it is on record.
    pub hose: Option<Checked>,
    /// Where it belongs, or why it is not known, in words.
    pub words: String,
}

/// What a hand-out check says. A hose is in each list that it belongs to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HandOutCheck {
    /// The set.
    pub set: Label,
    /// Whether nothing stops it.
    pub ready: bool,
    /// The same in one line.
    pub words: String,
    /// Everything that stops it, what no reason can lift first.
    pub stops: Vec<Stop>,
    /// Hoses of the set that were scanned, by port.
    pub found: Vec<Checked>,
    /// Hoses of the set that were not, by port.
    pub missing: Vec<Checked>,
    /// What was scanned and is not of the set.
    pub foreign: Vec<Foreign>,
    /// Hoses of the set, or scanned with it, that are on hold.
    pub held: Vec<Checked>,
    /// Hoses of the set, or scanned with it, that are never to be dived again.
    pub retired: Vec<Checked>,
    /// Hoses that go out, and of which something is to be said.
    pub watch: Vec<Checked>,
    /// The hand-out that is not over, where the set is out.
    pub already_out: Option<HandOut>,
    /// Whether a hose of the set is on hold or to be retired.
    pub quarantined: bool,
    /// Each text that was scanned, once, and the tag of the hose that it names.
    #[serde(skip)]
    pub scans: Vec<(String, Option<Code>)>,
}

impl HandOutCheck {
    /// Whether a name and a reason would lift all that stops it.
    #[must_use]
    pub fn can_be_lifted(&self) -> bool {
        self.stops.iter().all(|stop| stop.can_be_lifted)
    }

    /// The hoses that go out: all that were scanned and are on record. A hose
    /// that nobody saw is not said to have gone.
    #[must_use]
    pub fn going(&self) -> Vec<&Checked> {
        let foreign = self.foreign.iter().filter_map(|foreign| foreign.hose.as_ref());
        self.found.iter().chain(foreign).collect()
    }
}

/// A hose on record, and its answer.
#[derive(Debug, Clone)]
pub struct Known {
    /// Its record.
    pub record: HoseRecord,
    /// What the set is called with which it is out.
    pub out_with: Option<Label>,
    /// Its answer by the tag that was scanned.
    pub answer: Answer,
}

/// Something that was scanned: the hose that it names, or why it names none.
#[derive(Debug, Clone)]
pub struct Scanned {
    /// What was scanned or typed.
    pub text: String,
    /// The hose, or the reason in words.
    pub hose: Result<Known, String>,
}

/// Checks what was scanned against what the set should have. `hoses` are the
/// set's by port, each once; neither order nor repetition of `scanned` matters.
#[must_use]
pub fn check(set: &SetRecord, hoses: &[(PortName, Known)], scanned: &[Scanned]) -> HandOutCheck {
    let seen = each_once(scanned);
    let known = || seen.iter().filter_map(|scanned| scanned.hose.as_ref().ok());
    let scan_of = |own: &Known| known().find(|known| known.record.hose == own.record.hose);
    let is_own = |known: &Known| hoses.iter().any(|(_, own)| own.record.hose == known.record.hose);
    // The answer by the tag that was scanned counts: it may be an old one.
    let found = hoses.iter().filter_map(|(port, own)| {
        scan_of(own).map(|known| Checked::of(&known.answer, Some(*port)))
    });
    let missing = hoses.iter().filter(|(_, own)| scan_of(own).is_none());
    let foreign = seen.iter().filter(|s| !s.hose.as_ref().is_ok_and(is_own));
    let sorted = Sorted {
        found: found.collect(),
        missing: missing.map(|(port, own)| Checked::of(&own.answer, Some(*port))).collect(),
        foreign: foreign.map(|scanned| foreign_of(scanned)).collect(),
        out: known().filter_map(|known| out_stop(set, known)).collect(),
        scans: texts(scanned),
    };
    sorted.sum_up(set)
}

/// Each text once, in no order of the scanning, and the tag of the hose that it names.
fn texts(scanned: &[Scanned]) -> Vec<(String, Option<Code>)> {
    let mut all: Vec<(String, Option<Code>)> = Vec::new();
    for scan in scanned {
        if all.iter().all(|(text, _)| *text != scan.text) {
            let code = scan.hose.as_ref().ok().map(|known| known.answer.code);
            all.push((scan.text.clone(), code));
        }
    }
    all.sort_unstable();
    all
}

/// Each hose and each unknown text once, in an order that does not depend on
/// the scanning. A hose that was scanned by two tags counts by the worse
/// answer: an old tag is still on it.
fn each_once(scanned: &[Scanned]) -> Vec<&Scanned> {
    let key = |s: &Scanned| s.hose.as_ref().map(|known| known.record.hose).ok();
    let unknown = |s: &Scanned| if s.hose.is_ok() { String::new() } else { s.text.clone() };
    let worst = |s: &Scanned| {
        s.hose.as_ref().map(|known| (known.answer.verdict, known.answer.reasons.len())).ok()
    };
    let mut all: Vec<&Scanned> = scanned.iter().collect();
    all.sort_by_key(|s| {
        (key(s).is_none(), key(s), unknown(s), std::cmp::Reverse(worst(s)), s.text.clone())
    });
    all.dedup_by(|b, a| key(a) == key(b) && unknown(a) == unknown(b));
    all
}

fn foreign_of(scanned: &Scanned) -> Foreign {
    let (hose, words) = match &scanned.hose {
        Ok(known) => (Some(Checked::of(&known.answer, None)), known.answer.place.words.clone()),
        Err(why) => (None, why.clone()),
    };
    Foreign { scanned: scanned.text.clone(), hose, words }
}

/// A hose that is on record as out cannot be handed out; for the set's own
/// hoses it is enough to say that the set is out.
fn out_stop(set: &SetRecord, known: &Known) -> Option<Stop> {
    let record = &known.record;
    let out = record.out()?;
    let with_this = out.set == set.id || set.joined.contains(&out.set);
    let hose = Checked::of(&known.answer, None);
    let with = known.out_with.as_ref();
    let said = sets::hose_out(hose.named(), &out.ticket, with);
    (set.out.is_none() || !with_this).then(|| Stop::new(StopKind::HoseOut, Some(hose.code), said))
}

/// What was scanned, by where it belongs.
struct Sorted {
    found: Vec<Checked>,
    missing: Vec<Checked>,
    foreign: Vec<Foreign>,
    out: Vec<Stop>,
    scans: Vec<(String, Option<Code>)>,
}

impl Sorted {
    fn own(&self) -> impl Iterator<Item = &Checked> {
        self.found.iter().chain(&self.missing)
    }

    fn strangers(&self) -> impl Iterator<Item = &Checked> {
        self.foreign.iter().filter_map(|foreign| foreign.hose.as_ref())
    }

    /// Every hose of a verdict, the set's own by port and then the others.
    fn of(&self, verdict: Verdict) -> Vec<Checked> {
        let mut own: Vec<&Checked> = self.own().collect();
        own.sort_by_key(|hose| hose.port);
        let all = own.into_iter().chain(self.strangers());
        all.filter(|hose| hose.verdict == verdict).cloned().collect()
    }

    fn stops(&self, set: &SetRecord) -> Vec<Stop> {
        let mut stops = self.out.clone();
        let own_out = set.out.as_ref().map(|out| sets::already_out(&set.name, out));
        stops.extend(own_out.map(|said| Stop::new(StopKind::SetOut, None, said)));
        if self.found.is_empty() && self.strangers().next().is_none() {
            let said = sets::nothing_goes(&set.name, self.missing.len());
            stops.push(Stop::new(StopKind::NoHose, None, said));
        }
        let quarantine =
            set.quarantines.iter().map(|hold| sets::in_quarantine(&set.name, &hold.why));
        stops.extend(quarantine.map(|said| Stop::new(StopKind::SetQuarantined, None, said)));
        let (retired, mut held) = (self.of(Verdict::Retire), self.of(Verdict::Hold));
        held.retain(|hose| stops_by_itself(&hose.reasons));
        stops.extend(retired.iter().map(|hose| verdict_stop(StopKind::Retired, hose)));
        stops.extend(held.iter().map(|hose| verdict_stop(StopKind::Held, hose)));
        stops.extend(self.foreign.iter().map(|foreign| foreign_stop(set, foreign)));
        stops.extend(self.missing.iter().map(missing_stop));
        stops.sort_by_key(|stop| stop.kind);
        stops
    }

    fn sum_up(self, set: &SetRecord) -> HandOutCheck {
        let stops = self.stops(set);
        let missing = |hose: &Checked| self.missing.iter().any(|other| other.code == hose.code);
        let mut watch = self.of(Verdict::Watch);
        watch.retain(|hose| !missing(hose));
        let held = self.own().any(|hose| hose.verdict >= Verdict::Hold);
        let quarantined = held || !set.quarantines.is_empty();
        let told = !told_hirer(&watch).is_empty();
        HandOutCheck {
            set: set.name.clone(),
            ready: stops.is_empty(),
            words: sets::check_result(&set.name, stops.len(), watch.len(), told),
            quarantined,
            already_out: set.out.clone(),
            held: self.of(Verdict::Hold),
            retired: self.of(Verdict::Retire),
            stops,
            watch,
            found: self.found,
            missing: self.missing,
            foreign: self.foreign,
            scans: self.scans,
        }
    }
}

fn missing_stop(hose: &Checked) -> Stop {
    Stop::new(StopKind::Missing, Some(hose.code), sets::missing(hose.named()))
}

/// Of what holds a hose only limits are lifted by a reason.
fn verdict_stop(kind: StopKind, hose: &Checked) -> Stop {
    let (reasons, todo) = hose.worst_reasons();
    let said = sets::stopped(hose.named(), hose.verdict, &reasons, &todo);
    let mut stops = hose.reasons.iter().filter(|reason| reason.verdict >= Verdict::Hold);
    let lifted = stops.all(|reason| can_be_lifted(&reason.code));
    let stop = Stop::new(kind, Some(hose.code), said);
    Stop { can_be_lifted: stop.can_be_lifted && lifted, ..stop }
}

/// Whether a name and a reason lift what a reason of this code stops (section 9
/// of the trade's rules: common practice, no source).
#[must_use]
pub fn can_be_lifted(code: &str) -> bool {
    matches!(code, "age-over" | "dives-over" | "inspection-over")
}

fn foreign_stop(set: &SetRecord, foreign: &Foreign) -> Stop {
    match &foreign.hose {
        Some(hose) => {
            let said = sets::foreign(hose.named(), &set.name, &foreign.words);
            Stop::new(StopKind::Foreign, Some(hose.code), said)
        }
        None => Stop::new(StopKind::Unknown, None, sets::unknown(&foreign.words)),
    }
}

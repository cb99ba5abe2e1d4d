//! Handing a set out and taking it back: what a check of the scanned hoses
//! says, one hose at a time.

use serde::Serialize;

use crate::answer::Answer;
use crate::event::PortName;
use crate::hose::{Label, words as word_table};
use crate::inspection::Verdict;
use crate::record::{HandOut, HoseRecord, SetRecord};
use crate::set_view::Checked;
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

/// What a hand-out check says. A hose stands in each list that it belongs in.
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
    let known: Vec<(&Scanned, &Known)> =
        seen.iter().filter_map(|s| s.hose.as_ref().ok().map(|known| (*s, known))).collect();
    let mut sorted = Sorted::default();
    for (port, own) in hoses {
        let scan = known.iter().find(|(_, known)| known.record.hose == own.record.hose);
        match scan {
            // The answer by the tag that was scanned: it may be an old one.
            Some((_, known)) => sorted.found.push((known, Checked::of(&known.answer, Some(*port)))),
            None => sorted.missing.push(Checked::of(&own.answer, Some(*port))),
        }
    }
    let is_own = |hose: Code| hoses.iter().any(|(_, own)| own.record.hose == hose);
    for (scanned, known) in known.iter().filter(|(_, known)| !is_own(known.record.hose)) {
        sorted.strangers.push((known, &scanned.text, Checked::of(&known.answer, None)));
    }
    let unknown = |s: &&Scanned| s.hose.as_ref().err().map(|why| (s.text.clone(), why.clone()));
    sorted.unknown = seen.iter().filter_map(unknown).collect();
    sum_up(set, sorted)
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

/// A hose that is on record as out cannot be handed out, but for the set's own
/// hoses while the set itself is said to be out.
fn out_stop(set: &SetRecord, record: &HoseRecord, checked: &Checked) -> Option<Stop> {
    let ticket = record.out.as_ref()?;
    let with_this = record.out_with.as_ref() == Some(&set.name);
    let said = sets::hose_out(checked.named(), ticket, record.out_with.as_ref());
    (set.out.is_none() || !with_this)
        .then(|| Stop::new(StopKind::HoseOut, Some(checked.code), said))
}

fn sum_up(
    set: &SetRecord,
    found: Vec<Checked>,
    missing: Vec<Checked>,
    foreign: Vec<Foreign>,
    out: Vec<Stop>,
) -> HandOutCheck {
    let strangers = || foreign.iter().filter_map(|foreign| foreign.hose.as_ref());
    let of = |verdict: Verdict| -> Vec<Checked> {
        let mut own: Vec<&Checked> = found.iter().chain(&missing).collect();
        own.sort_by_key(|hose| hose.port);
        let all = own.into_iter().chain(strangers());
        all.filter(|hose| hose.verdict == verdict).cloned().collect()
    };
    let going = found.iter().chain(strangers());
    let watch = going.filter(|hose| hose.verdict == Verdict::Watch).cloned().collect::<Vec<_>>();
    let (held, retired) = (of(Verdict::Hold), of(Verdict::Retire));
    let mut stops: Vec<Stop> = Vec::new();
    let own_out = set.out.as_ref().map(|out| sets::already_out(&set.name, out));
    stops.extend(own_out.map(|said| Stop::new(StopKind::SetOut, None, said)));
    if found.is_empty() && strangers().next().is_none() {
        let said = sets::nothing_goes(&set.name, missing.len());
        stops.push(Stop::new(StopKind::NoHose, None, said));
    }
    stops.extend(out);
    stops.extend(retired.iter().map(|hose| verdict_stop(StopKind::Retired, hose)));
    stops.extend(foreign.iter().map(|foreign| foreign_stop(set, foreign)));
    stops.extend(
        missing
            .iter()
            .map(|hose| Stop::new(StopKind::Missing, Some(hose.code), sets::missing(hose.named()))),
    );
    stops.extend(held.iter().map(|hose| verdict_stop(StopKind::Held, hose)));
    stops.sort_by_key(|stop| stop.kind);
    let mut own = found.iter().chain(&missing);
    HandOutCheck {
        set: set.name.clone(),
        ready: stops.is_empty(),
        words: sets::check_result(&set.name, stops.len(), watch.len()),
        quarantined: own.any(|hose| hose.verdict >= Verdict::Hold),
        already_out: set.out.clone(),
        stops,
        found,
        missing,
        foreign,
        held,
        retired,
        watch,
    }
}

fn verdict_stop(kind: StopKind, hose: &Checked) -> Stop {
    let (reasons, todo) = hose.worst_reasons();
    Stop::new(kind, Some(hose.code), sets::stopped(hose.named(), hose.verdict, &reasons, &todo))
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

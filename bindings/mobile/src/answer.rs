//! An answer as a screen shows it, top to bottom.

use hosewright_core::answer::{self, NextKind, lines};
use hosewright_core::record::HoseRecord;

use crate::{Verdict, Words};

/// Why a hose has the verdict it has.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Reason {
    /// How bad it is by itself.
    pub verdict: Verdict,
    /// Why.
    pub words: Words,
    /// What to do about it.
    pub todo: Words,
}

/// The one thing to do next, with what the screen that does it needs.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum NextStep {
    /// Take up a swap that was begun.
    TakeUpSwap {
        /// What the button says.
        words: Words,
        /// The hose that comes off.
        old: String,
        /// The hose that goes on.
        new: String,
    },
    /// Scan the hose's own tag.
    Scan {
        /// What the button says.
        words: Words,
    },
    /// Fit new O-rings.
    Reseal {
        /// What the button says.
        words: Words,
        /// At which end, as `a` or `b`; `coupling` for a new valve core or coupling.
        end: String,
    },
    /// Look it over.
    Inspect {
        /// What the button says.
        words: Words,
        /// How thoroughly.
        kind: crate::Inspection,
    },
    /// Soak, clean and dry it.
    Clean {
        /// What the button says.
        words: Words,
    },
    /// Swap it for another hose: scan the new one.
    Swap {
        /// What the button says.
        words: Words,
    },
    /// Take it out of service for good: ask why.
    Retire {
        /// What the button says.
        words: Words,
    },
    /// Bring in the record of a device that knows more.
    TakeInRecord {
        /// What the button says.
        words: Words,
    },
}

/// The answer to a scan.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Answer {
    /// The tag that the hose carries.
    pub code: String,
    /// May it be dived?
    pub verdict: Verdict,
    /// The verdict's word, as `hold`.
    pub word: Words,
    /// What the verdict means, in one line.
    pub meaning: Words,
    /// Every reason, worst first.
    pub reasons: Vec<Reason>,
    /// What the hose is.
    pub hose: Words,
    /// How old it is, in one line.
    pub age: Words,
    /// The last inspection of each kind, in one line each; that there is none
    /// is a line too.
    pub inspections: Vec<Words>,
    /// Dives on record.
    pub dives: Words,
    /// What is due, soonest first.
    pub due: Vec<Words>,
    /// Where it is.
    pub place: Words,
    /// The set that it is in.
    pub set: Option<Words>,
    /// How that set stands, and the worst hose in it: shown under the verdict,
    /// which is the hose's alone.
    pub set_line: Option<Words>,
    /// How bad that is.
    pub set_verdict: Option<Verdict>,
    /// How fresh and whole the record is.
    pub record: Words,
    /// The caution that goes with every answer.
    pub caution: Words,
    /// The verdict and why, to be said aloud.
    pub spoken: Words,
    /// The one thing to do next.
    pub next: Option<NextStep>,
    /// Whether this phone has a record of the hose, and not its tag alone.
    pub on_record: bool,
}

/// One thing that happened to a hose.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HistoryLine {
    /// On which day.
    pub on: String,
    /// Who wrote it.
    pub by: Words,
    /// What happened.
    pub words: Words,
}

impl Answer {
    /// `record` is none where all that is known stands on the tag.
    pub(crate) fn of(answer: &answer::Answer, record: Option<&HoseRecord>) -> Self {
        let reasons = answer.reasons.iter().map(|reason| Reason {
            verdict: reason.verdict.into(),
            words: reason.words.as_str().into(),
            todo: reason.todo.as_str().into(),
        });
        let inspections = match answer.inspections.as_slice() {
            [] => vec![lines::NOT_LOOKED_OVER.to_owned()],
            looks => looks.iter().map(lines::last_look).collect(),
        };
        Self {
            code: answer.code.to_string(),
            verdict: answer.verdict.into(),
            word: answer.verdict.word().into(),
            meaning: answer.meaning.into(),
            reasons: reasons.collect(),
            hose: answer.hose.words.as_str().into(),
            age: lines::age(answer).into(),
            inspections: Words::all(inspections),
            dives: lines::dives(answer.dives).into(),
            due: Words::all(answer.due.iter().map(lines::due)),
            place: answer.place.words.as_str().into(),
            set: answer.place.set.as_ref().map(|set| set.as_str().into()),
            set_line: answer.set.as_ref().map(|set| set.words.as_str().into()),
            set_verdict: answer.set.as_ref().map(|set| set.verdict.into()),
            record: lines::freshness(&answer.record).into(),
            caution: answer.caution.into(),
            spoken: lines::spoken(answer).into(),
            next: answer::next(answer, record).and_then(|next| step(next, record)),
            on_record: record.is_some(),
        }
    }
}

fn step(next: answer::Next, record: Option<&HoseRecord>) -> Option<NextStep> {
    let words = Words::from(next.in_words());
    Some(match next.what {
        NextKind::TakeUpSwap => {
            let open = record?.swap()?;
            NextStep::TakeUpSwap { words, old: open.old.to_string(), new: open.new.to_string() }
        }
        NextKind::ScanOwnTag => NextStep::Scan { words },
        NextKind::Reseal => NextStep::Reseal { words, end: next.end?.to_string() },
        NextKind::Recouple => NextStep::Reseal { words, end: crate::logbook::COUPLING.to_owned() },
        NextKind::LeakTest => NextStep::Inspect { words, kind: crate::Inspection::LeakTest },
        NextKind::FullInspection => NextStep::Inspect { words, kind: crate::Inspection::Full },
        NextKind::QuickLook => NextStep::Inspect { words, kind: crate::Inspection::Quick },
        NextKind::Clean => NextStep::Clean { words },
        NextKind::Swap => NextStep::Swap { words },
        NextKind::Retire => NextStep::Retire { words },
        NextKind::TakeInRecord => NextStep::TakeInRecord { words },
    })
}

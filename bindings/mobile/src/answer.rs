//! An answer as a screen shows it, top to bottom.

use hosewright_core::inspection::InspectionKind;
use hosewright_core::view::{Action, AnswerView};
use hosewright_core::words::phone;

use crate::{Verdict, Words};

/// What new O-rings are recorded at where it is the coupling that is new.
pub(crate) const COUPLING: &str = "coupling";

/// How thoroughly a hose is inspected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Inspection {
    /// Before diving and when rinsing.
    Quick,
    /// Every checkpoint that the hose has.
    Full,
    /// Under pressure, fitted, in water or with soapy water.
    LeakTest,
}

impl Inspection {
    pub(crate) const fn core(self) -> InspectionKind {
        match self {
            Self::Quick => InspectionKind::Quick,
            Self::Full => InspectionKind::Full,
            Self::LeakTest => InspectionKind::LeakTest,
        }
    }
}

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
    /// Continue a swap that was begun.
    ContinueSwap {
        /// What the button says.
        words: Words,
        /// The hose that comes off.
        old: String,
        /// The hose that goes on.
        new: String,
    },
    /// Scan the hose's own tag, or another hose.
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
        kind: Inspection,
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
    /// Import the record of a device that knows more.
    ImportRecord {
        /// What the button says.
        words: Words,
    },
    /// Edit its details, or register it.
    Describe {
        /// What the button says.
        words: Words,
    },
    /// Something that this phone has no screen for: what to do, and where.
    AtTheCounter {
        /// What is to be done there.
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
    pub next: NextStep,
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
    pub(crate) fn of(view: &AnswerView) -> Self {
        let answer = &view.answer;
        let reasons = answer.reasons.iter().map(|reason| Reason {
            verdict: reason.verdict.into(),
            words: reason.words.as_str().into(),
            todo: reason.todo.as_str().into(),
        });
        Self {
            code: answer.code.to_string(),
            verdict: answer.verdict.into(),
            word: answer.verdict.word().into(),
            meaning: answer.meaning.into(),
            reasons: reasons.collect(),
            hose: answer.hose.words.as_str().into(),
            age: view.age.as_str().into(),
            inspections: Words::all(view.inspections.iter().cloned()),
            dives: view.dives.as_str().into(),
            due: Words::all(view.due.iter().cloned()),
            place: answer.place.words.as_str().into(),
            set: answer.place.set.as_ref().map(|set| set.as_str().into()),
            set_line: answer.set.as_ref().map(|set| set.words.as_str().into()),
            set_verdict: answer.set.as_ref().map(|set| set.verdict.into()),
            record: view.record.as_str().into(),
            caution: answer.caution.into(),
            spoken: view.spoken.as_str().into(),
            next: step(view.next),
            on_record: answer.dives.is_some(),
        }
    }
}

/// The one table of what a phone does for each action.
fn step(next: Action) -> NextStep {
    let words = Words::from(next.in_words());
    match next {
        Action::ContinueSwap { old, new } => {
            NextStep::ContinueSwap { words, old: old.to_string(), new: new.to_string() }
        }
        Action::ScanOwnTag { .. } | Action::ScanAnother => NextStep::Scan { words },
        Action::Reseal { end: Some(end), .. } => NextStep::Reseal { words, end: end.to_string() },
        Action::ReplaceCoupling { .. } => NextStep::Reseal { words, end: COUPLING.to_owned() },
        Action::Inspect { kind: InspectionKind::Quick, .. } => {
            NextStep::Inspect { words, kind: Inspection::Quick }
        }
        Action::Inspect { kind: InspectionKind::Full, .. } => {
            NextStep::Inspect { words, kind: Inspection::Full }
        }
        Action::Inspect { kind: InspectionKind::LeakTest, .. } => {
            NextStep::Inspect { words, kind: Inspection::LeakTest }
        }
        Action::Clean { .. } => NextStep::Clean { words },
        Action::Swap { .. } => NextStep::Swap { words },
        Action::Retire { .. } => NextStep::Retire { words },
        Action::ImportRecord => NextStep::ImportRecord { words },
        Action::Describe { .. } | Action::Register { .. } => NextStep::Describe { words },
        Action::Hold { .. }
        | Action::Reseal { end: None, .. }
        | Action::Release { .. }
        | Action::ReleaseSet { .. }
        | Action::ChangeSet { .. }
        | Action::TakeBack { .. }
        | Action::Place { .. }
        | Action::ConfirmPlace { .. }
        | Action::Identify { .. }
        | Action::SetAside { .. }
        | Action::BindBarcode { .. }
        | Action::Retag { .. }
        | Action::PrintTag { .. }
        | Action::AdmitDevice { .. } => {
            NextStep::AtTheCounter { words: phone::at_the_counter(next.in_words()).into() }
        }
    }
}

//! An answer as a screen shows it, top to bottom.

use hosewright_core::answer::lines;
use hosewright_core::tag::Code;
use hosewright_core::view::{Action, AnswerView};
use hosewright_core::words::{self, labels, withdrawal};

use crate::{FormOf, Verdict, Words, phone};

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

/// Something that can be done next.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ActionShown {
    /// What its button says.
    pub words: Words,
    /// Where it leads.
    pub goes: Goes,
}

/// Where an action leads on a phone.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum Goes {
    /// To a form.
    Form {
        /// Which.
        of: FormOf,
    },
    /// To the hoses in stock that can take its place, and from there to a swap.
    Replacement,
    /// To the scanning of the hose's own tag, or of another hose.
    Scan,
    /// To the record of a device that knows more.
    ImportRecord,
    /// To the tag as a picture, for a printer.
    Tag,
    /// To the set that the hose is in.
    Set {
        /// Its name.
        name: String,
    },
    /// Nowhere: a phone has no screen for it, and its words say so.
    AtTheCounter,
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
    /// The hose by its own number, if it has one, and its code.
    pub named: Words,
    /// What the hose is.
    pub hose: Words,
    /// How old it is, in a few words.
    pub old: Words,
    /// The last look at it, in a few words.
    pub looked: Words,
    /// How old it is and how long in service, with the dates.
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
    pub next: ActionShown,
    /// Everything that can be done about it on a phone.
    pub actions: Vec<ActionShown>,
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
    /// The way to withdraw it, if it can be.
    pub withdraw: Option<ActionShown>,
}

impl HistoryLine {
    /// A line of the history of a hose.
    pub(crate) fn of(hose: Code, line: hosewright_core::HistoryLine) -> Self {
        let of = || FormOf::Withdraw { hose: hose.to_string(), entry: line.id.to_string() };
        let way = || ActionShown::new(withdrawal::WITHDRAW, Goes::Form { of: of() });
        Self {
            withdraw: line.can_be_taken_back().then(way),
            on: line.entry.on.to_string(),
            by: line.entry.by.to_string().into(),
            words: line.words.into(),
        }
    }
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
            named: words::by_number(answer.hose.origin.own.number.as_ref(), answer.code).into(),
            hose: lines::what(answer).into(),
            old: view.old.as_str().into(),
            looked: view.looked.as_str().into(),
            age: view.age.as_str().into(),
            inspections: Words::all(view.inspections.iter().cloned()),
            dives: view.dives.as_str().into(),
            due: Words::all(view.due.iter().cloned()),
            place: answer.place.words.as_str().into(),
            set_line: answer.set.as_ref().map(|set| set.words.as_str().into()),
            set_verdict: answer.set.as_ref().map(|set| set.verdict.into()),
            record: view.record.as_str().into(),
            caution: answer.caution.into(),
            spoken: view.spoken.as_str().into(),
            next: action(answer.code, view.next),
            actions: actions(view),
            on_record: answer.dives.is_some(),
        }
    }
}

impl ActionShown {
    pub(crate) fn new(words: impl Into<Words>, goes: Goes) -> Self {
        Self { words: words.into(), goes }
    }
}

fn actions(view: &AnswerView) -> Vec<ActionShown> {
    let code = view.answer.code;
    if view.answer.dives.is_none() {
        return vec![action(code, Action::Register { tag: Some(code) })];
    }
    let all = view.actions.iter().map(|can| action(code, *can));
    let set = view
        .answer
        .place
        .set
        .as_ref()
        .map(|set| ActionShown::new(labels::set(set), Goes::Set { name: set.to_string() }));
    all.filter(|can| can.goes != Goes::AtTheCounter).chain(set).collect()
}

/// The one table of where each action leads on a phone.
fn action(hose: Code, action: Action) -> ActionShown {
    let of = match action {
        Action::Swap { .. } => return ActionShown::new(action.in_words(), Goes::Replacement),
        Action::ScanOwnTag { .. } | Action::ScanAnother => {
            return ActionShown::new(action.in_words(), Goes::Scan);
        }
        Action::ImportRecord => return ActionShown::new(action.in_words(), Goes::ImportRecord),
        Action::PrintTag { .. } => return ActionShown::new(action.in_words(), Goes::Tag),
        Action::ContinueSwap { old, new } => {
            Some(FormOf::Swap { old: old.to_string(), new: new.to_string() })
        }
        Action::TakeBack { set } => Some(FormOf::TakeBack { set: set.to_string() }),
        Action::Register { tag } => Some(FormOf::Register { tag: tag.map(|tag| tag.to_string()) }),
        _ => FormOf::hose(hose, action),
    };
    match of {
        Some(of) => ActionShown::new(action.in_words(), Goes::Form { of }),
        None => ActionShown::new(phone::at_the_counter(action.in_words()), Goes::AtTheCounter),
    }
}

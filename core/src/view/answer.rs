//! An answer as every face shows it, top to bottom.

use super::action::{self, Action};
use crate::answer::{Answer, lines};
use crate::record::HoseRecord;

/// An answer with its lines in words, and what can be done about it.
#[derive(Debug, Clone, PartialEq)]
pub struct AnswerView {
    /// The answer: verdict, reasons, the hose, its set.
    pub answer: Answer,
    /// How old it is, in a few words.
    pub old: String,
    /// The last look at it, of whatever kind, in a few words.
    pub looked: String,
    /// How old it is and how long in service, with the dates.
    pub age: String,
    /// The last inspection of each kind, a line each; that there is none is a line too.
    pub inspections: Vec<String>,
    /// Dives on record.
    pub dives: String,
    /// What is due, soonest first.
    pub due: Vec<String>,
    /// How fresh and whole the record is.
    pub record: String,
    /// The verdict and why, to be said aloud.
    pub spoken: String,
    /// The one thing to do next.
    pub next: Action,
    /// Everything that can be done or recorded; nothing for a hose that is not on
    /// record here, or retired.
    pub actions: Vec<Action>,
}

impl AnswerView {
    /// Draws up an answer. `record` is none if all that is known is on the tag.
    #[must_use]
    pub fn new(answer: Answer, record: Option<&HoseRecord>) -> Self {
        let inspections = match answer.inspections.as_slice() {
            [] => vec![lines::NOT_LOOKED_OVER.to_owned()],
            looks => looks.iter().map(lines::last_look).collect(),
        };
        Self {
            old: lines::old(&answer),
            looked: lines::looked(&answer),
            age: lines::age(&answer),
            inspections,
            dives: lines::dives(answer.dives),
            due: answer.due.iter().map(lines::due).collect(),
            record: lines::freshness(&answer.record),
            spoken: lines::spoken(&answer),
            next: action::next(&answer, record),
            actions: record.map(|record| action::actions(&answer, record)).unwrap_or_default(),
            answer,
        }
    }
}

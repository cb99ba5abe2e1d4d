//! Answers about every hose: counted once for all who ask, and kept until the
//! record is another one.

use std::sync::{Arc, Mutex};

use chrono::NaiveDate;
use hosewright_page::{Anything, Counted};
use tokio::sync::watch;

use super::lock::held;

/// How many answers are kept.
const KEPT: usize = 4;

/// A question, and the day on which it is asked.
pub type Question = (String, NaiveDate);

/// A count's end: nothing yet, or with what went wrong.
pub type End = Option<Result<(), String>>;

/// An answer that is kept.
pub struct Kept {
    /// The question.
    pub of: Question,
    /// The state of the record that was counted.
    pub state: String,
    /// The answer.
    pub answer: Arc<Anything>,
}

/// The answers of one record, and the counts under way.
#[derive(Default)]
pub struct Answers {
    kept: Mutex<Vec<Kept>>,
    under_way: Mutex<Vec<(Question, watch::Receiver<End>)>>,
}

impl Answers {
    /// What is kept, and whether it is of a state of the record.
    pub fn kept(&self, of: &Question, state: &str) -> Option<Counted<Anything>> {
        let kept = held(&self.kept);
        let known = kept.iter().find(|kept| kept.of == *of)?;
        Some(Counted { answer: known.answer.clone(), newest: known.state == state })
    }

    /// Keeps an answer in the place of an older one.
    pub fn keep(&self, new: Kept) {
        let mut kept = held(&self.kept);
        kept.retain(|kept| kept.of.1 == new.of.1 && kept.of != new.of);
        let over = (kept.len() + 1).saturating_sub(KEPT);
        kept.drain(..over);
        kept.push(new);
    }

    /// The end of the count under way; where there is none, that of one to be
    /// begun, with what tells it.
    pub fn join(&self, of: &Question) -> (watch::Receiver<End>, Option<watch::Sender<End>>) {
        let mut under_way = held(&self.under_way);
        if let Some((_, end)) = under_way.iter().find(|(known, _)| known == of) {
            return (end.clone(), None);
        }
        let (tell, end) = watch::channel(None);
        under_way.push((of.clone(), end.clone()));
        (end, Some(tell))
    }

    /// A count is over.
    pub fn ended(&self, of: &Question) {
        held(&self.under_way).retain(|(known, _)| known != of);
    }
}

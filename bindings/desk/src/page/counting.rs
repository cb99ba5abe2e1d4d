//! Answers about every hose: counted once for all who ask, kept until the record
//! is another one, and never waited for long. A large fleet takes seconds to
//! count; meanwhile the last answer is shown and says so, or that it is counted.

use std::any::Any;
use std::ops::Deref;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use chrono::NaiveDate;
use hosewright_core::Logbook;
use hosewright_core::journal::Moment;
use maud::{Markup, html};
use tokio::sync::watch;
use tokio::time::timeout;

use super::ask::Ask;
use super::labels as l;
use super::records::{Record, held};
use super::refusal::Refusal;
use super::sheet::at;

/// How long a page waits for a count: a fleet of a few thousand is counted by then.
const PATIENCE: Duration = Duration::from_millis(40);

/// How many answers are kept.
const KEPT: usize = 4;

/// A question, and the day on which it is asked.
type Question = (String, NaiveDate);

/// An answer about the whole fleet.
pub struct Counted<T> {
    answer: Arc<T>,
    newest: bool,
}

impl<T> Deref for Counted<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.answer
    }
}

impl<T> Counted<T> {
    /// What is to be said of an answer that does not have the newest entries.
    pub fn note(&self, ask: &Ask) -> Markup {
        html! {
            @if !self.newest {
                p.note role="status" {
                    (l::COUNTED_BEFORE) " "
                    a.button href=(at(ask, "from", ask.query.get("from"))) { (l::COUNTED_AGAIN) }
                }
            }
        }
    }
}

struct Kept {
    of: Question,
    /// The state of the record that was counted.
    state: String,
    answer: Arc<dyn Any + Send + Sync>,
}

/// Ends with nothing, or with what went wrong.
type End = Option<Result<(), String>>;

/// The answers of one record, and the counts under way.
#[derive(Default)]
pub struct Answers {
    kept: Mutex<Vec<Kept>>,
    under_way: Mutex<Vec<(Question, watch::Receiver<End>)>>,
}

impl Answers {
    /// What is kept, and whether it is of a state of the record.
    fn kept<T: Send + Sync + 'static>(&self, of: &Question, state: &str) -> Option<Counted<T>> {
        let kept = held(&self.kept);
        let known = kept.iter().find(|kept| kept.of == *of)?;
        let answer = known.answer.clone().downcast().ok()?;
        Some(Counted { answer, newest: known.state == state })
    }

    fn keep(&self, new: Kept) {
        let mut kept = held(&self.kept);
        kept.retain(|kept| kept.of.1 == new.of.1 && kept.of != new.of);
        let over = (kept.len() + 1).saturating_sub(KEPT);
        kept.drain(..over);
        kept.push(new);
    }

    /// The end of the count under way; where there is none, that of one to be
    /// begun, with what tells it.
    fn join(&self, of: &Question) -> (watch::Receiver<End>, Option<watch::Sender<End>>) {
        let mut under_way = held(&self.under_way);
        if let Some((_, end)) = under_way.iter().find(|(known, _)| known == of) {
            return (end.clone(), None);
        }
        let (tell, end) = watch::channel(None);
        under_way.push((of.clone(), end.clone()));
        (end, Some(tell))
    }

    fn ended(&self, of: &Question) {
        held(&self.under_way).retain(|(known, _)| known != of);
    }
}

/// What counts.
type Work<T> = dyn Fn(&Logbook, &Moment) -> Result<T, Refusal> + Send + Sync;

impl Ask {
    /// Asks the record something about every hose. A page that would wait for
    /// long shows the last answer, or that it is being counted; a file waits
    /// until everything that was written before it was asked for is counted.
    ///
    /// # Errors
    /// [`Refusal::Counting`] where there is no answer yet.
    pub async fn counted<T: Send + Sync + 'static>(
        &self,
        question: String,
        work: impl Fn(&Logbook, &Moment) -> Result<T, Refusal> + Send + Sync + 'static,
    ) -> Result<Counted<T>, Refusal> {
        let of = (question, self.moment.today);
        // It goes on when nobody waits for it any longer.
        let counting = tokio::spawn(self.clone().count_anew(of.clone(), Arc::new(work)));
        let counted = if self.query.given("as").is_some() {
            Ok(counting.await)
        } else {
            timeout(PATIENCE, counting).await
        };
        if let Ok(done) = counted {
            done.map_err(|_| Refusal::closing())??;
        }
        self.known(&of).await?.ok_or(Refusal::Counting)
    }

    /// Ends when an answer has all that was written before: one that is kept, or
    /// that a count under way brings, or else a count of its own.
    async fn count_anew<T: Send + Sync + 'static>(
        self,
        of: Question,
        work: Arc<Work<T>>,
    ) -> Result<(), Refusal> {
        let mut began = false;
        while !began {
            if self.known::<T>(&of).await?.is_some_and(|known| known.newest) {
                break;
            }
            let (mut end, tell) = self.record().answers.join(&of);
            if let Some(tell) = tell {
                began = true;
                tokio::spawn(self.clone().count(of.clone(), work.clone(), tell));
            }
            match end.wait_for(Option::is_some).await.map(|end| end.clone()) {
                Ok(Some(Err(words))) => return Err(Refusal::Broken(words)),
                Ok(_) => {}
                Err(_) => return Err(Refusal::closing()),
            }
        }
        Ok(())
    }

    async fn known<T: Send + Sync + 'static>(
        &self,
        of: &Question,
    ) -> Result<Option<Counted<T>>, Refusal> {
        let (record, of) = (self.record().clone(), of.clone());
        self.apart(move || record.read(|logbook| Ok(record.answers.kept(&of, &logbook.state()?))))
            .await
    }

    /// One count at a time, so that the counter is answered meanwhile.
    async fn count<T: Send + Sync + 'static>(
        self,
        of: Question,
        work: Arc<Work<T>>,
        tell: watch::Sender<End>,
    ) {
        let done = self.count_in_turn(of.clone(), work).await;
        self.record().answers.ended(&of);
        tell.send_replace(Some(done.map_err(|error| error.to_string())));
    }

    async fn count_in_turn<T: Send + Sync + 'static>(
        &self,
        of: Question,
        work: Arc<Work<T>>,
    ) -> Result<(), Refusal> {
        let _turn = self.turn(&self.house.fleet).await?;
        let (record, moment) = (self.record().clone(), self.moment.clone());
        self.apart(move || count(&record, of, |logbook| work(logbook, &moment))).await
    }
}

/// Counts, and keeps the answer. The state is read first: an answer may hold
/// more than its state says, and never less.
fn count<T: Send + Sync + 'static>(
    record: &Record,
    of: Question,
    work: impl FnOnce(&Logbook) -> Result<T, Refusal>,
) -> Result<(), Refusal> {
    record.read(|logbook| {
        let state = logbook.state()?;
        let answer = Arc::new(work(logbook)?);
        record.answers.keep(Kept { of, state, answer });
        Ok(())
    })
}

#[cfg(test)]
#[path = "counting_tests.rs"]
mod tests;

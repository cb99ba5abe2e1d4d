//! Counting about every hose, which is never waited for long. A large fleet takes
//! seconds to count; meanwhile the last answer is shown and says so, or that it is
//! counted.

use std::sync::Arc;
use std::time::Duration;

use hosewright_page::{Anything, Count, Counted, Refusal};
use tokio::sync::watch;
use tokio::time::timeout;

use super::answers::{End, Kept, Question};
use super::visit::Visit;

/// How long a page waits for a count: a fleet of a few thousand is counted by then.
const PATIENCE: Duration = Duration::from_millis(40);

/// What is kept of an answer, and whether it is the newest.
pub fn known(visit: &Visit, of: &Question) -> Result<Option<Counted<Anything>>, Refusal> {
    visit.record.read(|logbook| Ok(visit.record.answers.kept(of, &logbook.state()?)))
}

/// Waits for a count: for a page a moment, for a file until everything that was
/// written before it was asked for is counted.
pub async fn waited(visit: &Arc<Visit>, of: Question, count: Count) -> Result<(), Refusal> {
    // It goes on when nobody waits for it any longer.
    let counting = tokio::spawn(count_afresh(visit.clone(), of, count));
    let counted = if visit.request.query.given("as").is_some() {
        Ok(counting.await)
    } else {
        timeout(PATIENCE, counting).await
    };
    match counted {
        Ok(done) => done.map_err(|_| Refusal::closing())?,
        Err(_) => Ok(()),
    }
}

/// Ends when an answer has all that was written before: one that is kept, or that
/// a count under way brings, or else a count of its own.
async fn count_afresh(visit: Arc<Visit>, of: Question, count: Count) -> Result<(), Refusal> {
    let mut began = false;
    while !began {
        let (asked, question) = (visit.clone(), of.clone());
        let known = visit.shared.blocking(move || known(&asked, &question)).await?;
        if known.is_some_and(|known| known.newest) {
            break;
        }
        let (mut end, tell) = visit.record.answers.join(&of);
        if let Some(tell) = tell {
            began = true;
            tokio::spawn(one_count(visit.clone(), of.clone(), count.clone(), tell));
        }
        match end.wait_for(Option::is_some).await.map(|end| end.clone()) {
            Ok(Some(Err(words))) => return Err(Refusal::Broken(words)),
            Ok(_) => {}
            Err(_) => return Err(Refusal::closing()),
        }
    }
    Ok(())
}

/// One count at a time, so that the counter is answered in the meantime.
async fn one_count(visit: Arc<Visit>, of: Question, count: Count, tell: watch::Sender<End>) {
    let done = counted(&visit, of.clone(), count).await;
    visit.record.answers.ended(&of);
    tell.send_replace(Some(done.map_err(|error| error.to_string())));
}

/// Counts, and keeps the answer. The state is read first: an answer may hold
/// more than its state says, and never less.
async fn counted(visit: &Arc<Visit>, of: Question, count: Count) -> Result<(), Refusal> {
    let _permit = visit.shared.permit(&visit.shared.fleet).await?;
    let asked = visit.clone();
    let work = move || {
        asked.record.read(|logbook| {
            let state = logbook.state()?;
            let answer = count(logbook, &asked.request.moment)?;
            asked.record.answers.keep(Kept { of, state, answer });
            Ok(())
        })
    };
    visit.shared.blocking(work).await
}

#[cfg(test)]
mod tests;

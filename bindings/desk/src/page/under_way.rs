//! The meeting that goes on while its page is looked at: one at a time, in a thread of its own.

use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use hosewright_page::{Meeting, Refusal, Work};

use super::lock::held;
use super::records::Record;

/// Most meetings are over so soon: nobody has to be shown that they begin, or that they stop.
const SOON: Duration = Duration::from_millis(400);
/// How long the end of the page waits for one that it stops. What is not done then leaves nothing
/// half done in the record, as if the program had been killed.
const AT_THE_END: Duration = Duration::from_secs(5);

/// Whose meeting it is: a session, and whether in the demonstration.
type Whose<'w> = (&'w str, bool);

/// A meeting that began, and who began it.
struct Begun {
    session: String,
    demo: bool,
    meeting: Arc<Meeting>,
}

/// The meeting that began last.
#[derive(Default)]
pub struct UnderWay(Mutex<Option<Begun>>);

impl UnderWay {
    /// Begins one. One that was stopped and still waits for another computer holds up nobody.
    pub fn begin(
        &self,
        whose: Whose<'_>,
        meeting: Meeting,
        record: &Record,
        work: Work,
    ) -> Result<(), Refusal> {
        let meeting = Arc::new(meeting);
        let mut last = held(&self.0);
        let holds_up =
            |Begun { meeting, .. }: &Begun| meeting.goes_on() && !meeting.stop().is_stopped();
        if last.as_ref().is_some_and(holds_up) {
            return Err(Refusal::Busy);
        }
        let mut logbook = record.another()?;
        let goes_on = meeting.clone();
        let thread = thread::Builder::new().name("meeting".to_owned());
        let spawned = thread.spawn(move || goes_on.go_on(&mut logbook, work));
        spawned.map_err(|_| Refusal::failed())?;
        let (session, demo) = (whose.0.to_owned(), whose.1);
        *last = Some(Begun { session, demo, meeting: meeting.clone() });
        drop(last);
        meeting.wait(SOON);
        Ok(())
    }

    /// The last one, if it is theirs.
    pub fn of(&self, whose: Whose<'_>) -> Option<Arc<Meeting>> {
        let last = held(&self.0);
        let theirs = last.as_ref().filter(|begun| (begun.session.as_str(), begun.demo) == whose);
        theirs.map(|begun| begun.meeting.clone())
    }

    /// Stops theirs.
    pub fn stop(&self, whose: Whose<'_>) {
        if let Some(meeting) = self.of(whose) {
            meeting.stop().stop();
            meeting.wait(SOON);
        }
    }

    /// Stops whatever goes on, since the page ends.
    pub fn end(&self) {
        let last = held(&self.0).take();
        if let Some(Begun { meeting, .. }) = last {
            meeting.stop().stop();
            meeting.wait(AT_THE_END);
        }
    }
}

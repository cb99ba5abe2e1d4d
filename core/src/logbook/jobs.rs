//! A customer's hose in for service: what was found and done since it came in, for a
//! sheet that goes home with it.

use chrono::NaiveDate;

use super::{Found, HistoryLine, Logbook, LogbookError};
use crate::event::Event;
use crate::hose::Label;
use crate::journal::Moment;
use crate::tag::Code;
use crate::view::AnswerView;

/// A customer's hose in for service.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The ticket that it is in under.
    pub ticket: Label,
    /// Since when; none if the record does not say it.
    pub since: Option<NaiveDate>,
    /// What was written since, but for what was withdrawn or is not believed.
    pub lines: Vec<HistoryLine>,
    /// How it is now.
    pub view: AnswerView,
}

impl Logbook {
    /// What was done to a customer's hose since it came in.
    ///
    /// # Errors
    /// [`LogbookError::NotACustomers`] if the centre owns it.
    pub fn job(&self, hose: Code, moment: &Moment) -> Result<Job, LogbookError> {
        let record = self.record(hose)?;
        let owner = record.origin.own.owner();
        let ticket = owner.ticket().ok_or_else(|| super::homes::not_a_customers(&record))?;
        let mut lines = self.history(record.hose)?;
        lines.retain(HistoryLine::counts);
        let came = lines.iter().rposition(came_in);
        let since = came.and_then(|at| lines.get(at)).map(|line| line.entry.on);
        let lines = lines.split_off(came.map_or(0, |at| at + 1));
        let answer = self.answer_found(Found { hose: record.hose, tag: None }, moment)?;
        Ok(Job { ticket: ticket.clone(), since, lines, view: self.view(answer)? })
    }
}

/// Whether a line says that the hose came in: registered, or taken in again.
fn came_in(line: &HistoryLine) -> bool {
    matches!(line.event, Some(Event::Registered { .. } | Event::CameIn(_)))
}

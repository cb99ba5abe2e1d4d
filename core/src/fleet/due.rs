//! Everything that is due in a fleet, up to a day.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Horizon, described, place, seat};
use crate::answer::{Asked, DueKind};
use crate::hose::Label;
use crate::tag::Code;
use crate::words::hose_briefly;

/// One thing that is due for one hose.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DueRow {
    /// The tag that the hose carries.
    pub code: Code,
    /// The shop's own number for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// What is due.
    pub what: DueKind,
    /// The last good day for it. What was never done is due today.
    pub on: NaiveDate,
    /// Whether that day is past.
    pub overdue: bool,
    /// Days until then; below 0 if it is overdue.
    pub days: i64,
    /// What is due, in words.
    pub words: &'static str,
    /// What the hose is, in words.
    pub hose: String,
    /// The same for a narrow column.
    #[serde(skip)]
    pub short: String,
    /// The set that it is in.
    pub set: Option<Label>,
    /// The port of the set.
    pub port: Option<String>,
    /// Where it is, in words.
    pub place: String,
}

/// What is due up to a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DueList {
    /// The day up to which things are listed.
    pub until: NaiveDate,
    /// How many things are due in all.
    pub total: u64,
    /// How many of them come before the first row.
    #[serde(skip_serializing_if = "is_nought")]
    pub from: u64,
    /// What is due: the longest overdue first, then by day, kind and hose.
    pub rows: Vec<DueRow>,
    /// Hoses that a finding has retired and that nobody has taken out of
    /// service yet. Nothing is due for them: they are to be replaced.
    pub condemned: Vec<Code>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
const fn is_nought(n: &u64) -> bool {
    *n == 0
}

impl DueRow {
    /// The row of something that is due for a hose.
    #[must_use]
    pub fn of(asked: &Asked<'_>, (what, on): (DueKind, NaiveDate)) -> Self {
        let record = asked.record;
        let seat = seat(asked);
        Self {
            code: record.tag(),
            number: record.origin.own.number.clone(),
            what,
            on,
            overdue: on < asked.today,
            days: (on - asked.today).num_days(),
            words: what.in_words(),
            hose: described(record),
            short: hose_briefly(record.specification.as_ref()),
            set: seat.as_ref().map(|seat| seat.set.clone()),
            port: seat.as_ref().map(|seat| seat.port.to_string()),
            place: place(asked),
        }
    }
}

impl DueList {
    /// An empty list up to a day.
    #[must_use]
    pub fn new(within: Horizon, today: NaiveDate) -> Self {
        let until = within.until(today);
        Self { until, total: 0, from: 0, rows: Vec::new(), condemned: Vec::new() }
    }

    /// What is said over the list.
    #[must_use]
    pub fn heading(&self) -> String {
        let until = self.until;
        if self.rows.is_empty() {
            return format!("Nothing is due up to {until}.");
        }
        format!("Due up to {until}:")
    }

    /// What is said under the list about hoses that are not in it.
    #[must_use]
    pub fn left_out(&self) -> Option<String> {
        let codes: Vec<String> = self.condemned.iter().map(ToString::to_string).collect();
        (!codes.is_empty()).then(|| {
            format!(
                "A finding retired {}: not in this list, since it is to be replaced, not looked \
                 after.",
                codes.join(", ")
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{CameIn, Event, GoneHome};
    use crate::hose::{Construction, Origin, Owner, Service};
    use crate::story::{Story, hose, label};

    const TODAY: &str = "2026-06-15";

    /// What is due for a customer's hose, number and all.
    fn due(story: &Story) -> Vec<(DueKind, Option<String>)> {
        let mut all = Vec::new();
        let _ = story.asked(TODAY, |asked| {
            let due = crate::index::due_of(asked).into_iter();
            let rows = due.map(|due| DueRow::of(asked, (due.what, due.on)));
            all.extend(rows.map(|row| (row.what, row.number.map(|n| n.to_string()))));
        });
        all
    }

    #[test]
    fn nothing_is_due_for_what_is_at_home_until_it_comes_in_again() {
        let mut origin = Origin::default();
        origin.own.owner = Some(Owner::Ticket(label("T-1")));
        origin.own.number = Some(label("LP-17"));
        let lp = hose(Service::SecondStage, Construction::Rubber);
        let story = Story::with_origin(lp, "2026-01-10", origin);
        let inspection = [(DueKind::FullInspection, Some("LP-17".to_owned()))];
        assert_eq!(due(&story), inspection);
        let (hose, set, hoses) = (Some(story.hose), None, Vec::new());
        let gone =
            Event::GoneHome(GoneHome { hose, set, hoses: hoses.clone(), ticket: label("T-1") });
        let home = story.then("2026-02-01", gone);
        assert_eq!(due(&home), []);
        let answers = vec![home.last()];
        let came = Event::CameIn(CameIn { hose, set, hoses, ticket: label("T-2"), answers });
        assert_eq!(due(&home.then("2026-03-01", came)), inspection);
    }
}

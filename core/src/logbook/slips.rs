//! Slips that are asked about before they are written.

use chrono::NaiveDate;

use super::{Logbook, LogbookError};
use crate::hose::{End, Origin, Specification};
use crate::inspection::{Ends, Observation, Place};
use crate::record::{HandOut, HoseRecord};
use crate::words::{self, slips};
use uom::si::length::centimeter;

/// More dives a day than these are asked about (common practice, no source).
const DIVES_A_DAY: u32 = 6;
/// Shorter and longer hoses than these are asked about, in centimetres (common
/// practice, no source).
const LENGTHS: (f64, f64) = (10.0, 300.0);
/// A hose made before this year is asked about (common practice, no source).
const FIRST_YEAR: i32 = 1980;

impl Logbook {
    /// Whether what looks like a slip is written anyway. A face that asks
    /// people first says no, and yes once they have said so.
    pub const fn set_sure(&mut self, sure: bool) {
        self.sure = sure;
    }

    /// Whether it is.
    pub(super) const fn is_sure(&self) -> bool {
        self.sure
    }

    /// Refuses what looks like a slip, with the questions to be asked.
    pub(super) fn ask(&self, questions: Vec<String>) -> Result<(), LogbookError> {
        if self.sure || questions.is_empty() {
            return Ok(());
        }
        Err(LogbookError::AskFirst(questions))
    }
}

/// What is odd about a description.
pub(super) fn of_description(specification: &Specification, origin: &Origin) -> Vec<String> {
    let mut all = Vec::new();
    let length = specification.length();
    let in_cm = length.quantity().get::<centimeter>();
    if !(LENGTHS.0..=LENGTHS.1).contains(&in_cm) {
        all.push(slips::length(length));
    }
    let early = NaiveDate::from_ymd_opt(FIRST_YEAR, 1, 1).unwrap_or_default();
    if let Some(made) = origin.made.filter(|made| made.latest() < early) {
        all.push(slips::made(made));
    }
    all
}

/// O-rings at an end where nothing was found, while the other end waits for them.
pub(super) fn of_reseal(record: &HoseRecord, end: End) -> Vec<String> {
    let found = |end: End, of: &[Ends]| {
        let places = match end {
            End::A => [Place::EndA, Place::SealA],
            End::B => [Place::EndB, Place::SealB],
        };
        record.open.iter().any(|open| {
            let seal = record.rule(&open.seen).is_some_and(|rule| of.contains(&rule.ends));
            seal && open.resealed.is_none() && places.contains(&open.seen.place())
        })
    };
    let waits = [Ends::ResealAndTest];
    let odd = !found(end, &[Ends::ResealAndTest, Ends::OnceSaid]) && found(end.other(), &waits);
    if odd { vec![slips::reseal(end)] } else { Vec::new() }
}

/// Fewer broken strands than there were last time.
pub(super) fn of_strands(record: &HoseRecord, seen: &[Observation], on: NaiveDate) -> Vec<String> {
    let known = record.wants_answers(on);
    let fewer = seen.iter().filter_map(|seen| {
        let now = seen.count()?;
        let before = known.iter().find(|known| {
            (known.seen.place(), known.seen.finding()) == (seen.place(), seen.finding())
        })?;
        (before.seen.count()? > now).then(|| words::damage::fewer_strands(before, now))
    });
    fewer.collect()
}

/// More dives than people make in a day.
pub(super) fn of_dives(dives: u32) -> Vec<String> {
    if dives > DIVES_A_DAY { vec![slips::dives(dives, 0)] } else { Vec::new() }
}

/// More dives than the days away allow.
pub(super) fn of_return(out: &HandOut, dives: u32, on: NaiveDate) -> Vec<String> {
    let days = u32::try_from((on - out.on).num_days().max(0)).unwrap_or(u32::MAX);
    let most = DIVES_A_DAY.saturating_mul(days.saturating_add(1));
    if dives > most { vec![slips::dives(dives, days)] } else { Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, Service};
    use crate::story::{Story, day, hose};

    #[test]
    fn more_dives_than_people_make_in_a_day_are_asked_about() {
        let most = DIVES_A_DAY;
        for (dives, asked) in [(0, 0), (most, 0), (most + 1, 1), (u32::MAX, 1)] {
            assert_eq!(of_dives(dives).len(), asked, "{dives}");
        }
    }

    #[test]
    fn fewer_strands_than_last_time_at_that_place_are_asked_about() {
        let braid = hose(Service::SecondStage, Construction::Braided);
        let story =
            Story::of(braid, "2026-01-10", "2026-01").quick("2026-05-10", &["run:strands:3"]);
        let record = story.record("2026-06-15");
        for (seen, on, asked) in [
            ("run:strands:2", "2026-06-15", 1),
            ("run:strands:0", "2026-05-10", 1),
            ("run:strands:3", "2026-06-15", 0),
            ("run:strands:4", "2026-06-15", 0),
            ("end-a:strands:2", "2026-06-15", 0),
            ("run:scuff", "2026-06-15", 0),
            ("run:strands:2", "2026-05-09", 0),
        ] {
            let seen: Observation = seen.parse().unwrap_or_else(|e| unreachable!("{e}"));
            let questions = of_strands(&record, &[seen], day(on));
            assert_eq!(questions.len(), asked, "{seen} on {on}: {questions:?}");
        }
    }
}

//! The findings on a hose that nothing has ended.

use uom::si::pressure::bar;

use super::description::may_be_high_pressure;
use super::ending::Matter;
use super::hose::HoseRecord;
use super::ledger::{Ledger, Line};
use super::parts::OpenFinding;
use super::versions::look_of;
use crate::event::Event;
use crate::hose::End;
use crate::inspection::{Damage, Ends, Look, Observation, Place, Verdict};

/// Something that was seen, and the entry that says so.
struct Sight<'l, 'a> {
    line: &'l Line<'a>,
    seen: Observation,
    verdict: Verdict,
    ends: Ends,
}

/// Everything that was ever seen on a hose.
pub(super) struct Findings<'l, 'a> {
    ledger: &'l Ledger<'a>,
    high_pressure: bool,
    all: Vec<Sight<'l, 'a>>,
}

impl<'l, 'a> Findings<'l, 'a> {
    pub(super) fn of(ledger: &'l Ledger<'a>, record: &HoseRecord) -> Self {
        let looks = ledger.lines.iter().filter(|line| line.adds());
        let looks = looks.filter_map(|line| Some((line, look_of(line.event.as_ref()?)?)));
        let sights = looks.flat_map(|(line, look)| {
            look.findings.iter().map(move |seen| {
                // The description changed and the finding is now impossible: a
                // full inspection decides it.
                let rule = record.rule(seen);
                let verdict = rule.map_or(Verdict::Watch, |rule| rule.verdict);
                let ends = rule.map_or(Ends::FullInspection, |rule| rule.ends);
                Sight { line, seen: *seen, verdict, ends }
            })
        });
        let high_pressure = may_be_high_pressure(ledger);
        Self { ledger, high_pressure, all: sights.collect() }
    }

    /// Records those that are open.
    pub(super) fn put(&self, record: &mut HoseRecord) {
        let retiring = self.all.iter().filter(|sight| sight.verdict == Verdict::Retire);
        record.condemned = retiring.map(|sight| sight.line.entry.on).min();
        let open = self.all.iter().filter(|sight| !self.is_ended(sight));
        record.open = open.map(|sight| self.open(sight)).collect();
    }

    fn open(&self, sight: &Sight<'_, '_>) -> OpenFinding {
        let entry = sight.line.entry;
        let repairs = self.repairs(sight);
        OpenFinding {
            entry: sight.line.id,
            seen: sight.seen,
            on: entry.on,
            by: entry.by.clone(),
            grown_from: self.grown_from(sight),
            resealed: repairs.last().map(|repair| repair.id),
        }
    }

    fn is_ended(&self, sight: &Sight<'_, '_>) -> bool {
        let by_day = |matter| {
            let mut enders = self.ledger.enders(matter, sight.line);
            enders.any(|ender| ender.entry.on >= sight.line.entry.on)
        };
        match sight.ends {
            Ends::Never => false,
            Ends::FullInspection => match Damage::of(&sight.seen) {
                // A form is not trusted: damage that it neither repeats nor says to
                // be gone is still there.
                Some(damage) => self.is_looked_at(sight, |look| look.answers_for(damage)),
                None => by_day(Matter::Finding),
            },
            Ends::Cleaning => by_day(Matter::Soiling),
            Ends::OnceSaid => self.is_looked_at(sight, |look| {
                let there = |seen: &&Observation| seen.place() == sight.seen.place();
                look.findings.iter().filter(there).any(Observation::says_where_bubbles_come_from)
            }),
            Ends::ResealAndTest => self.is_repaired(sight, Matter::SealFinding),
            Ends::CouplingAndTest => self.is_repaired(sight, Matter::CouplingFinding),
        }
    }

    /// Whether a full inspection of a day not before names it and settles it.
    fn is_looked_at(&self, sight: &Sight<'_, '_>, settles: impl Fn(&Look) -> bool) -> bool {
        self.ledger.enders(Matter::Finding, sight.line).any(|ender| {
            ender.entry.on >= sight.line.entry.on
                && ender.event.as_ref().and_then(look_of).is_some_and(&settles)
        })
    }

    /// New O-rings at that end, or a new coupling, and then a leak test that was
    /// passed and names both.
    fn is_repaired(&self, sight: &Sight<'_, '_>, matter: Matter) -> bool {
        let repairs = self.repairs(sight);
        let mut tests = self.ledger.enders(matter, sight.line);
        tests.any(|test| {
            passes(self.high_pressure, test) && repairs.iter().any(|repair| is_tested(repair, test))
        })
    }

    /// The new O-rings at the end of a finding, or the new coupling, since; none
    /// if no repair ends it.
    fn repairs(&self, sight: &Sight<'_, '_>) -> Vec<&'l Line<'a>> {
        let at = match sight.seen.place() {
            Place::EndA | Place::SealA => End::A,
            Place::EndB | Place::SealB => End::B,
            Place::Run => return Vec::new(),
        };
        let is_repair = |line: &&Line<'_>| {
            let there = match (sight.ends, &line.event) {
                (Ends::ResealAndTest, Some(Event::Resealed { end, .. })) => *end == at,
                (Ends::CouplingAndTest, Some(Event::Recoupled { .. })) => true,
                _ => false,
            };
            there && line.counts()
        };
        let since = self.ledger.lines.iter().skip_while(|line| line.id != sight.line.id);
        since.filter(is_repair).collect()
    }

    /// The count of the inspection before, if it was smaller.
    fn grown_from(&self, sight: &Sight<'_, '_>) -> Option<(u32, chrono::NaiveDate)> {
        let now = sight.seen.count()?;
        let before = self.all.iter().rfind(|other| {
            other.line.place < sight.line.place
                && (other.seen.place(), other.seen.finding())
                    == (sight.seen.place(), sight.seen.finding())
        })?;
        let count = before.seen.count().filter(|count| *count < now)?;
        Some((count, before.line.entry.on))
    }
}

/// Whether a leak test is one of a repair. One of an earlier program is, where
/// its own device wrote the repair before it.
fn is_tested(repair: &Line<'_>, test: &Line<'_>) -> bool {
    let (earlier, later) = (repair.entry, test.entry);
    let named = match test.event.as_ref().and_then(Event::answers) {
        Some(answers) => answers.contains(&repair.id),
        None => earlier.device == later.device && earlier.seq < later.seq,
    };
    named && repair.place < test.place
}

/// Whether a leak test was passed at enough pressure: what the owner asks for
/// when it was written, else the default. Without a pressure it ends nothing.
pub(super) fn passes(high_pressure: bool, line: &Line<'_>) -> bool {
    let Some(test) = line.event.as_ref().and_then(look_of).and_then(|look| look.test.as_ref())
    else {
        return false;
    };
    let least = test.least.unwrap_or_default();
    let least = if high_pressure { least.high_bar } else { least.low_bar };
    // A pressure typed in another unit is not held back by the last digit.
    let enough = |in_bar: f64| in_bar + 1e-9 >= f64::from(least);
    test.passed && test.pressure.as_ref().is_some_and(|p| enough(p.quantity().get::<bar>()))
}

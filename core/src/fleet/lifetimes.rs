//! How long the hoses of a fleet lasted in service, by maker, lot or construction.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::survival::{LEAST_HOSES, Observation, Survival, kaplan_meier};
use crate::hose::{Label, words};
use crate::index::{Life, spelled};
use crate::record::HoseRecord;
use crate::words::survival as say;

words!(
    /// What hoses are told apart by.
    Group, "group", {
        /// Who made them.
        Maker = "maker",
        /// The lot: a lot belongs to a maker, so equal lots of two makers are two.
        Lot = "lot",
        /// How they are built.
        Construction = "construction",
    }
);

/// How long the hoses of one group lasted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupLifetimes {
    /// The group's name.
    pub group: String,
    /// How many hoses were ever in service.
    pub hoses: u32,
    /// How many of them were retired, by someone or by a finding.
    pub retired: u32,
    /// How many still serve: they are counted for as long as they have lasted.
    pub in_service: u32,
    /// Whether they are enough for a curve that says anything: at least [`LEAST_HOSES`].
    pub enough: bool,
    /// The estimate.
    #[serde(flatten)]
    pub survival: Survival,
}

/// The most years of which a sentence says how many hoses last.
const YEARS: u32 = 5;

impl GroupLifetimes {
    /// How long they last and how sure that is, in a sentence: of the last whole year for
    /// which any was followed, up to five; or that they are too few to tell.
    #[must_use]
    pub fn sure(&self) -> String {
        if !self.enough {
            return say::too_few(self.hoses, LEAST_HOSES);
        }
        let steps = (1..=YEARS).rev().filter_map(|years| {
            // 365.25 days a year, up to a whole day.
            let share = self.survival.beyond((years * 1461).div_ceil(4))?;
            Some((years, share, self.survival.step_at((years * 1461).div_ceil(4))))
        });
        let mut steps = steps;
        match steps.next() {
            Some((years, share, Some(step))) if share < 1.0 => {
                say::sure(years, share, (step.lower, step.upper))
            }
            Some((years, ..)) => say::none_failed(years, self.hoses),
            None => say::NOT_A_YEAR.to_owned(),
        }
    }
}

/// How long hoses lasted, by group.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lifetimes {
    /// What the groups are told apart by; none if all hoses are one group.
    pub by: Option<Group>,
    /// The groups, by name; a group without hoses is not there.
    pub groups: Vec<GroupLifetimes>,
    /// Hoses that never were in service, and say nothing about how long hoses last.
    pub never_in_service: u32,
}

/// Gathers how long each hose lasted.
#[derive(Debug)]
pub struct Gathering {
    by: Option<Group>,
    today: NaiveDate,
    groups: BTreeMap<String, (String, Vec<Observation>)>,
    never: u32,
}

impl Gathering {
    /// Begins, with what the groups are told apart by.
    #[must_use]
    pub const fn new(by: Option<Group>, today: NaiveDate) -> Self {
        Self { by, today, groups: BTreeMap::new(), never: 0 }
    }

    /// Takes in one hose.
    pub fn take(&mut self, record: &HoseRecord) {
        let origin = &record.origin;
        let retired = record.retired.as_ref().map(|end| end.on);
        let text = |label: &Option<Label>| label.as_ref().map(ToString::to_string);
        self.take_life(&Life {
            since: record.in_service_since(),
            ended: [retired, record.condemned].into_iter().flatten().min(),
            construction: record
                .specification
                .as_ref()
                .map(|hose| hose.construction().word().to_owned()),
            maker: text(&origin.maker),
            lot: text(&origin.lot),
            hoses: 1,
        });
    }

    /// Takes in hoses that lasted alike.
    pub fn take_life(&mut self, life: &Life) {
        let Some(seen) = observed(life, self.today) else {
            self.never += life.hoses;
            return;
        };
        let (key, name) = group(life, self.by);
        let group = self.groups.entry(key).or_insert_with(|| (name.clone(), Vec::new()));
        // Of several spellings the first of the alphabet, whatever came first.
        if name < group.0 {
            group.0 = name;
        }
        group.1.extend(std::iter::repeat_n(seen, usize::try_from(life.hoses).unwrap_or(0)));
    }

    /// The estimates.
    #[must_use]
    pub fn estimated(self) -> Lifetimes {
        let groups = self.groups.into_values().map(|(group, rows)| {
            let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
            let retired = count(rows.iter().filter(|row| row.event).count());
            let hoses = count(rows.len());
            let (in_service, survival) = (hoses - retired, kaplan_meier(&rows));
            let enough = hoses >= LEAST_HOSES;
            GroupLifetimes { group, hoses, retired, in_service, enough, survival }
        });
        Lifetimes { by: self.by, groups: groups.collect(), never_in_service: self.never }
    }
}

/// Days from the first in service until it was retired, by someone or by a
/// finding, whichever came first; else until today. A partly known first day
/// counts from the earliest that it can be, as limits do.
fn observed(life: &Life, today: NaiveDate) -> Option<Observation> {
    let since = life.since?;
    let last = life.ended.unwrap_or(today).min(today);
    let days = (last - since).num_days().max(0);
    let duration_days = u32::try_from(days).unwrap_or(u32::MAX);
    Some(Observation { duration_days, event: life.ended.is_some() })
}

/// The key by which a hose's group is found, and the group's name.
fn group(life: &Life, by: Option<Group>) -> (String, String) {
    let maker = life.maker.as_deref();
    match by {
        None => (String::new(), "all hoses".to_owned()),
        Some(Group::Maker) => maker.map_or_else(unknown, |m| (spelled(m), m.to_owned())),
        Some(Group::Lot) => life.lot.as_deref().map_or_else(unknown, |lot| {
            let of = maker.unwrap_or("unknown maker");
            let key = maker.map(spelled).unwrap_or_default();
            (format!("{key}\u{1}{}", spelled(lot)), format!("{of}, lot {lot}"))
        }),
        Some(Group::Construction) => {
            let word = life.construction.as_deref();
            word.map_or_else(unknown, |word| (word.to_owned(), word.to_owned()))
        }
    }
}

/// The last group of all.
fn unknown() -> (String, String) {
    (char::MAX.to_string(), "unknown".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::story::day;

    /// Hoses in service since a day, so many of them retired after so many days.
    fn lasted(hoses: u32, failed: u32, after: u64) -> GroupLifetimes {
        let mut all = Gathering::new(None, day("2026-06-15"));
        let since = day("2024-01-01");
        for at in 0..hoses {
            let ended = (at < failed).then(|| since + chrono::Days::new(after));
            let (construction, maker, lot) = (None, None, None);
            all.take_life(&Life { since: Some(since), ended, construction, maker, lot, hoses: 1 });
        }
        let none = || unreachable!("one group");
        all.estimated().groups.into_iter().next().unwrap_or_else(none)
    }

    #[test]
    fn nineteen_hoses_are_too_few_and_twenty_are_not() {
        for (hoses, said) in [
            (19, "Too few to tell: 19 hoses of the 20 that a curve needs."),
            (20, "After 2 years 50 % last; the band is 27 to 69 %."),
        ] {
            let group = lasted(hoses, 10, 100);
            assert_eq!((group.enough, group.sure().as_str()), (hoses >= LEAST_HOSES, said));
        }
    }

    #[test]
    fn how_sure_it_is_is_not_said_where_nothing_failed_or_nobody_followed() {
        let none = lasted(30, 0, 0).sure();
        assert_eq!(none, "None of 30 hoses failed within 2 years; how sure that is can't be told.");
        // Two years end on a day, and are followed on it and not before.
        let mut gathered = Gathering::new(None, day("2025-12-30"));
        let life = |since: &str| Life {
            since: Some(day(since)),
            ended: None,
            construction: None,
            maker: None,
            lot: None,
            hoses: 25,
        };
        gathered.take_life(&life("2025-06-01"));
        let young = gathered.estimated().groups.into_iter().map(|group| group.sure());
        assert_eq!(young.collect::<Vec<_>>(), ["None was followed for a year yet."]);
    }
}

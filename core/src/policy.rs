//! The limits that hoses are held to, by service, construction and use.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::hose::{Construction, Service, Specification, words};
use crate::inspection::LeastPressure;

words!(
    /// Who dives with a set, and so with its hoses.
    Use, "use", {
        /// Their owner.
        Personal = "personal" | "own" | "private",
        /// Anyone who rents it.
        Rental = "rental" | "rent" | "hire",
    }
);

/// A limit is near from this many days before its last good day.
pub const AGE_NEAR_DAYS: i64 = 90;
/// A full inspection is announced this many days before its last good day.
pub const INSPECTION_NEAR_DAYS: i64 = 30;
/// A hose that was never fitted is looked at twice after this many years.
pub const STORED_LONG_YEARS: u32 = 2;
/// A dive limit is near from this share of it, in percent.
pub const DIVES_NEAR_PERCENT: u64 = 90;

/// Dives a day that a return counts if nobody knows how many were made, until
/// the owner sets another number. Common practice, no source.
pub const DIVES_A_DAY: u32 = 4;

/// The limits of one hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Limits {
    /// Months in service, counted from the first fitting.
    pub in_service_months: u32,
    /// Months from made, whatever the service.
    pub from_made_months: u32,
    /// Dives; none if they are not counted.
    pub dives: Option<u32>,
    /// Months from one full inspection to the next.
    pub full_inspection_months: u32,
}

impl Limits {
    /// Of each limit the stricter.
    #[must_use]
    pub fn stricter(self, other: Self) -> Self {
        Self {
            in_service_months: self.in_service_months.min(other.in_service_months),
            from_made_months: self.from_made_months.min(other.from_made_months),
            dives: self.dives.into_iter().chain(other.dives).min(),
            full_inspection_months: self.full_inspection_months.min(other.full_inspection_months),
        }
    }
}

/// One of the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// How long in service.
    InService,
    /// How long from made.
    FromMade,
    /// How many dives.
    Dives,
    /// How long from one full inspection to the next.
    FullInspection,
}

impl Limit {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::InService, Self::FromMade, Self::Dives, Self::FullInspection];
}

/// The limits of each use until an owner sets others: common practice, no source.
pub const DEFAULTS: &[(Use, Limits)] = &[
    (
        Use::Personal,
        Limits {
            in_service_months: 60,
            from_made_months: 120,
            dives: None,
            full_inspection_months: 12,
        },
    ),
    (
        Use::Rental,
        Limits {
            in_service_months: 60,
            from_made_months: 120,
            dives: Some(500),
            full_inspection_months: 6,
        },
    ),
];

/// The hoses that a rule of the owner is for; what is not named is any.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Scope {
    /// Of this service.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<Service>,
    /// Of this construction.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub construction: Option<Construction>,
    /// In this use.
    #[serde(rename = "use", default, skip_serializing_if = "Option::is_none")]
    pub in_use: Option<Use>,
}

impl Scope {
    fn has(&self, hose: Option<&Specification>, in_use: Use) -> bool {
        self.in_use.is_none_or(|u| u == in_use)
            && self.service.is_none_or(|s| hose.is_some_and(|h| h.service() == s))
            && self.construction.is_none_or(|c| hose.is_some_and(|h| h.construction() == c))
    }

    /// Service weighs more than construction, and construction more than use.
    const fn weight(&self) -> u8 {
        4 * self.service.is_some() as u8
            + 2 * self.construction.is_some() as u8
            + self.in_use.is_some() as u8
    }
}

/// What the owner sets for a scope; what is not named stays as it was.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct Change {
    in_service_months: Option<u32>,
    from_made_months: Option<u32>,
    dives: Option<Option<u32>>,
    full_inspection_months: Option<u32>,
    least_pressure: Option<LeastPressure>,
    dives_a_day: Option<u32>,
}

/// Why a limit cannot be set so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum PolicyError {
    /// Months out of range.
    #[error("a limit must be 1 to 600 months, not {0}")]
    Months(u32),
    /// A pressure out of range.
    #[error("a leak test's least pressure must be 1 to 300 bar, not {0}")]
    Pressure(u32),
    /// Dives a day out of range.
    #[error("the dives a day that count if nobody knows must be 1 to 20, not {0}")]
    DivesADay(u32),
    /// A pressure for some hoses only.
    #[error("the least pressure of a leak test applies to all hoses; set it without naming any")]
    PressureOfSome,
    /// Nothing to set.
    #[error("name at least one limit to set")]
    Nothing,
}

impl Change {
    /// A change of limits; months are 1 to 600, and `dives` of `Some(None)`
    /// lifts the dive limit.
    ///
    /// # Errors
    /// [`PolicyError`] if a number is out of range or nothing is set.
    pub fn new(
        in_service_months: Option<u32>,
        from_made_months: Option<u32>,
        dives: Option<Option<u32>>,
        full_inspection_months: Option<u32>,
    ) -> Result<Self, PolicyError> {
        let months = [in_service_months, from_made_months, full_inspection_months];
        if let Some(bad) = months.into_iter().flatten().find(|m| !(1..=600).contains(m)) {
            return Err(PolicyError::Months(bad));
        }
        if months.iter().all(Option::is_none) && dives.is_none() {
            return Err(PolicyError::Nothing);
        }
        Ok(Self {
            in_service_months,
            from_made_months,
            dives,
            full_inspection_months,
            ..Self::default()
        })
    }

    /// The pressure under which a leak test counts, 1 to 300 bar: for all hoses.
    ///
    /// # Errors
    /// [`PolicyError::Pressure`] if it is out of range.
    pub fn of_leak_tests(least: LeastPressure) -> Result<Self, PolicyError> {
        let bars = [least.low_bar, least.high_bar];
        if let Some(bad) = bars.into_iter().find(|bar| !(1..=300).contains(bar)) {
            return Err(PolicyError::Pressure(bad));
        }
        Ok(Self { least_pressure: Some(least), ..Self::default() })
    }

    /// The dives a day that a return counts if nobody knows, 1 to 20: for all
    /// hoses.
    ///
    /// # Errors
    /// [`PolicyError::DivesADay`] if it is out of range.
    pub fn of_unknown_dives(a_day: u32) -> Result<Self, PolicyError> {
        if !(1..=20).contains(&a_day) {
            return Err(PolicyError::DivesADay(a_day));
        }
        Ok(Self { dives_a_day: Some(a_day), ..Self::default() })
    }

    /// The dives a day that a return counts if nobody knows, if this sets
    /// them.
    #[must_use]
    pub const fn dives_a_day(&self) -> Option<u32> {
        self.dives_a_day
    }

    /// The pressure under which a leak test counts, if this sets it.
    #[must_use]
    pub const fn least_pressure(&self) -> Option<LeastPressure> {
        self.least_pressure
    }

    /// Months in service, if this sets them.
    #[must_use]
    pub const fn in_service_months(&self) -> Option<u32> {
        self.in_service_months
    }

    /// Months from made, if this sets them.
    #[must_use]
    pub const fn from_made_months(&self) -> Option<u32> {
        self.from_made_months
    }

    /// The dive limit, if this sets it; `Some(None)` lifts it.
    #[must_use]
    pub const fn dives(&self) -> Option<Option<u32>> {
        self.dives
    }

    /// Months between full inspections, if this sets them.
    #[must_use]
    pub const fn full_inspection_months(&self) -> Option<u32> {
        self.full_inspection_months
    }

    const fn sets(&self, limit: Limit) -> bool {
        match limit {
            Limit::InService => self.in_service_months.is_some(),
            Limit::FromMade => self.from_made_months.is_some(),
            Limit::Dives => self.dives.is_some(),
            Limit::FullInspection => self.full_inspection_months.is_some(),
        }
    }

    fn over(self, earlier: Self) -> Self {
        Self {
            in_service_months: self.in_service_months.or(earlier.in_service_months),
            from_made_months: self.from_made_months.or(earlier.from_made_months),
            dives: self.dives.or(earlier.dives),
            full_inspection_months: self.full_inspection_months.or(earlier.full_inspection_months),
            least_pressure: self.least_pressure.or(earlier.least_pressure),
            dives_a_day: self.dives_a_day.or(earlier.dives_a_day),
        }
    }

    fn apply(self, limits: Limits) -> Limits {
        Limits {
            in_service_months: self.in_service_months.unwrap_or(limits.in_service_months),
            from_made_months: self.from_made_months.unwrap_or(limits.from_made_months),
            dives: self.dives.unwrap_or(limits.dives),
            full_inspection_months: self
                .full_inspection_months
                .unwrap_or(limits.full_inspection_months),
        }
    }
}

/// A change as it is recorded: a dive limit of 0 is none.
#[derive(Serialize, Deserialize)]
struct Written {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    in_service_months: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    from_made_months: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dives: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    full_inspection_months: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    least_pressure: Option<LeastPressure>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dives_a_day: Option<u32>,
}

impl TryFrom<Written> for Change {
    type Error = PolicyError;

    fn try_from(w: Written) -> Result<Self, PolicyError> {
        let dives = w.dives.map(|n| (n > 0).then_some(n));
        if let Some(least) = w.least_pressure {
            return Self::of_leak_tests(least);
        }
        if let Some(a_day) = w.dives_a_day {
            return Self::of_unknown_dives(a_day);
        }
        Self::new(w.in_service_months, w.from_made_months, dives, w.full_inspection_months)
    }
}

impl From<Change> for Written {
    fn from(c: Change) -> Self {
        Self {
            in_service_months: c.in_service_months,
            from_made_months: c.from_made_months,
            dives: c.dives.map(Option::unwrap_or_default),
            full_inspection_months: c.full_inspection_months,
            least_pressure: c.least_pressure,
            dives_a_day: c.dives_a_day,
        }
    }
}

/// The owner's rules over the defaults.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Policy {
    changes: BTreeMap<(u8, Scope), Change>,
}

impl Policy {
    /// Sets limits for a scope; an earlier rule keeps what this one leaves out.
    pub fn set(&mut self, scope: Scope, change: Change) {
        let entry = self.changes.entry((scope.weight(), scope)).or_default();
        *entry = change.over(*entry);
    }

    /// The rules the owner has set, from general to particular.
    pub fn rules(&self) -> impl Iterator<Item = (&Scope, &Change)> {
        self.changes.iter().map(|((_, scope), change)| (scope, change))
    }

    /// The owner's rule that a limit of a hose comes from; `None` if it is
    /// the default of its use.
    #[must_use]
    pub fn source(&self, hose: Option<&Specification>, in_use: Use, limit: Limit) -> Option<Scope> {
        let rules = self.changes.iter().filter(|((_, scope), _)| scope.has(hose, in_use));
        let mut rules = rules.filter(|(_, change)| change.sets(limit));
        rules.next_back().map(|((_, scope), _)| *scope)
    }

    /// The limits of a hose: the defaults of its use, then the owner's rules
    /// from general to particular.
    #[must_use]
    pub fn limits(&self, hose: Option<&Specification>, in_use: Use) -> Limits {
        let defaults = DEFAULTS.iter().find(|(u, _)| *u == in_use).map(|(_, limits)| *limits);
        let start = defaults.unwrap_or(Limits {
            in_service_months: 60,
            from_made_months: 120,
            dives: None,
            full_inspection_months: 12,
        });
        self.changes
            .iter()
            .filter(|((_, scope), _)| scope.has(hose, in_use))
            .fold(start, |limits, (_, change)| change.apply(limits))
    }
}

#[cfg(test)]
#[path = "policy_tests.rs"]
mod tests;

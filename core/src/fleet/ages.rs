//! How old a fleet is.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::answer::Asked;
use crate::hose::Service;
use crate::index::AgeSum;
use crate::measure::Period;

/// How many hoses of one age: whole years, or an age that nobody knows.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct AgeCount {
    /// Of each service.
    pub by_service: BTreeMap<Service, u32>,
    /// Of which nobody has said what they are.
    pub undescribed: u32,
    /// All of them.
    pub total: u32,
}

impl AgeCount {
    fn add(&mut self, service: Option<Service>, hoses: u32) {
        self.total += hoses;
        match service {
            Some(service) => *self.by_service.entry(service).or_default() += hoses,
            None => self.undescribed += hoses,
        }
    }

    /// How many of a service.
    #[must_use]
    pub fn of(&self, service: Service) -> u32 {
        self.by_service.get(&service).copied().unwrap_or(0)
    }
}

/// Ages counted from one thing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct AgeProfile {
    /// By whole years: 0 is the first year of life.
    pub years: BTreeMap<u32, AgeCount>,
    /// Of no known age; in service: never fitted.
    pub unknown: AgeCount,
    /// All of them.
    pub total: AgeCount,
}

impl AgeProfile {
    fn add(&mut self, years: Option<u32>, service: Option<Service>, hoses: u32) {
        let row = years.map_or(&mut self.unknown, |years| self.years.entry(years).or_default());
        row.add(service, hoses);
        self.total.add(service, hoses);
    }

    /// The profile of sums by the day that an age counts from.
    fn of(sums: &[AgeSum], today: NaiveDate) -> Self {
        let mut profile = Self::default();
        for AgeSum { day, service, hoses } in sums {
            let years = day.map(|day| Period::between(day, today).years);
            profile.add(years, *service, *hoses);
        }
        profile
    }
}

/// The age profile of the centre's hoses that are not out of service.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Ages {
    /// From made, or from bought if made is unknown; the oldest it can be.
    pub from_made: AgeProfile,
    /// From the first fitting, the oldest it can be.
    pub in_service: AgeProfile,
    /// Hoses out of service, which are counted nowhere else.
    pub retired: u32,
}

impl Ages {
    /// The ages on a day, of sums by the day that they count from: made, and in service.
    #[must_use]
    pub fn of((made, in_service): (&[AgeSum], &[AgeSum]), retired: u32, today: NaiveDate) -> Self {
        let [from_made, in_service] = [made, in_service].map(|sums| AgeProfile::of(sums, today));
        Self { from_made, in_service, retired }
    }

    /// Takes in one hose.
    pub fn take(&mut self, asked: &Asked<'_>) {
        let record = asked.record;
        if record.is_customers() {
            return;
        }
        if record.retired.is_some() {
            self.retired += 1;
            return;
        }
        let service = record.specification.as_ref().map(|hose| hose.service());
        let years = |day| Period::between(day, asked.today).years;
        let made = record.origin.born().map(|born| years(born.earliest()));
        self.from_made.add(made, service, 1);
        self.in_service.add(record.in_service_since().map(years), service, 1);
    }
}

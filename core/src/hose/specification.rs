//! What a hose is, apart from what has happened to it.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::fitting::{Fitting, check_fitting};
use super::{Construction, End, HoseError, Service};
use crate::measure::{HoseLength, Units};

/// What a hose is, apart from what has happened to it. It can only be built
/// with fittings that its service has.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Described", into = "Described")]
pub struct Specification {
    service: Service,
    construction: Construction,
    length: HoseLength,
    end_a: Fitting,
    end_b: Fitting,
    protector: bool,
    oxygen: bool,
}

impl Specification {
    /// Describes a hose.
    ///
    /// # Errors
    /// [`HoseError::ImpossibleFitting`] if the service has no such end.
    pub fn new(
        service: Service,
        construction: Construction,
        length: HoseLength,
        end_a: Fitting,
        end_b: Fitting,
        protector: bool,
    ) -> Result<Self, HoseError> {
        for (end, fitting) in [(End::A, &end_a), (End::B, &end_b)] {
            check_fitting(service, end, fitting)?;
        }
        Ok(Self { service, construction, length, end_a, end_b, protector, oxygen: false })
    }

    /// The same hose, cleaned for oxygen or not.
    #[must_use]
    pub fn cleaned_for_oxygen(self, oxygen: bool) -> Self {
        Self { oxygen, ..self }
    }

    /// What the hose does.
    #[must_use]
    pub const fn service(&self) -> Service {
        self.service
    }

    /// How it is built.
    #[must_use]
    pub const fn construction(&self) -> Construction {
        self.construction
    }

    /// How long it is.
    #[must_use]
    pub const fn length(&self) -> &HoseLength {
        &self.length
    }

    /// The same, shown in these units.
    #[must_use]
    pub fn in_units(self, units: Units) -> Self {
        Self { length: self.length.in_units(units), ..self }
    }

    /// The fitting at an end.
    #[must_use]
    pub const fn fitting(&self, end: End) -> &Fitting {
        match end {
            End::A => &self.end_a,
            End::B => &self.end_b,
        }
    }

    /// Whether a sleeve covers an end.
    #[must_use]
    pub const fn protector(&self) -> bool {
        self.protector
    }

    /// Whether it is cleaned for oxygen.
    #[must_use]
    pub const fn oxygen(&self) -> bool {
        self.oxygen
    }

    /// Whether its cover may have pinpricks that let trapped gas out.
    #[must_use]
    pub fn has_pinpricks(&self) -> bool {
        self.service == Service::Gauge && self.construction == Construction::Rubber
    }
}

impl fmt::Display for Specification {
    /// `braided second-stage hose, 22 in, 3/8-24 to 9/16-18`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { service, construction, length, end_a, end_b, .. } = self;
        write!(f, "{construction} {service} hose, {length}, {end_a} to {end_b}")
    }
}

/// A specification as it is recorded, before it is known to be possible.
#[derive(Serialize, Deserialize)]
struct Described {
    service: Service,
    construction: Construction,
    length: HoseLength,
    end_a: Fitting,
    end_b: Fitting,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    protector: bool,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    oxygen: bool,
}

impl TryFrom<Described> for Specification {
    type Error = HoseError;

    fn try_from(d: Described) -> Result<Self, HoseError> {
        let made = Self::new(d.service, d.construction, d.length, d.end_a, d.end_b, d.protector)?;
        Ok(made.cleaned_for_oxygen(d.oxygen))
    }
}

impl From<Specification> for Described {
    fn from(s: Specification) -> Self {
        Self {
            service: s.service,
            construction: s.construction,
            length: s.length,
            end_a: s.end_a,
            end_b: s.end_b,
            protector: s.protector,
            oxygen: s.oxygen,
        }
    }
}

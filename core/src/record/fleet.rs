//! What holds for every hose: the owner's limits and the recalls.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::event::Event;
use crate::hose::{Label, Origin};
use crate::journal::{Believed, Trust};
use crate::policy::{Change, Policy, Scope};

/// A lot that was called back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recall {
    /// The lot as printed.
    pub lot: Label,
    /// The maker, where one was named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<Label>,
    /// Why.
    pub why: Label,
    /// Since when.
    pub on: NaiveDate,
}

impl Recall {
    /// Whether a hose of this origin is called back: the lot is the same but
    /// for capitals and spaces, and so is the maker where both name one. A hose
    /// whose maker is unknown is called back too.
    #[must_use]
    pub fn covers(&self, origin: &Origin) -> bool {
        of_lot(&self.lot, self.maker.as_ref(), origin)
    }
}

/// Whether a hose of this origin is of a lot, as [`Recall::covers`] has it.
#[must_use]
pub fn of_lot(lot: &Label, maker: Option<&Label>, origin: &Origin) -> bool {
    let same = |a: &Label, b: &Label| folded(a) == folded(b);
    let made_by = match (maker, &origin.maker) {
        (Some(wanted), Some(own)) => same(wanted, own),
        _ => true,
    };
    made_by && origin.lot.as_ref().is_some_and(|own| same(own, lot))
}

/// A text without capitals and spaces: two that are the same so are the same.
#[must_use]
pub fn folded(label: &Label) -> String {
    label.as_str().chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// The limits that were set and the lots that were called back.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct FleetRecord {
    /// Limits in the order in which they were set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<(Scope, Change)>,
    /// Recalls.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub recalls: Vec<Recall>,
}

impl FleetRecord {
    /// Folds the entries about the fleet, which must be in the order of the fold.
    #[must_use]
    pub fn fold(entries: &[Believed]) -> Self {
        let mut record = Self::default();
        for Believed { entry, trust } in entries {
            match entry.event() {
                // A limit may loosen an earlier one.
                Some(Event::Limited { scope, limits }) if *trust == Trust::Full => {
                    record.limits.push((scope, limits));
                }
                Some(Event::Recalled { lot, maker, why }) => {
                    record.recalls.push(Recall { lot, maker, why, on: entry.on });
                }
                _ => {}
            }
        }
        record
    }

    /// The owner's limits over the defaults.
    #[must_use]
    pub fn policy(&self) -> Policy {
        let mut policy = Policy::default();
        for (scope, change) in &self.limits {
            policy.set(*scope, *change);
        }
        policy
    }
}

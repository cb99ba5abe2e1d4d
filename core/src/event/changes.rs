//! What a description changes, of a hose and of a set.

use serde::{Deserialize, Serialize};

use super::details::{DetailChanges, OwnField};
use super::port::Port;
use crate::hose::{Label, Origin, Specification, words};
use crate::measure::PartialDate;
use crate::policy::Use;

/// What a description changes; what is not named stays as it was.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Changes {
    /// What it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub specification: Option<Specification>,
    /// Where it came from, as far as it changes.
    #[serde(flatten)]
    pub origin: Origin,
    /// What of its origin is not known after all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unknown: Vec<OriginField>,
    /// What the shop takes away of its own texts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cleared: Vec<OwnField>,
}

words!(
    /// A field of where a hose came from.
    OriginField, "field", {
        /// The made date.
        Made = "made",
        /// The bought date.
        Bought = "bought",
        /// In service since this day, before it had a record.
        InService = "in_service",
        /// The maker.
        Maker = "maker",
        /// The lot.
        Lot = "lot",
        /// The model.
        Model = "model",
    }
);

impl Changes {
    /// What is another after than before.
    #[must_use]
    pub fn between(
        before: (Option<&Specification>, &Origin),
        after: (&Specification, &Origin),
    ) -> Self {
        let specification = (before.0 != Some(after.0)).then(|| after.0.clone());
        let mut changes = Self { specification, ..Self::default() };
        let date = |was: Option<PartialDate>, is: Option<PartialDate>| (was != is).then_some(is);
        let text = |was: &Option<Label>, is: &Option<Label>| (was != is).then(|| is.clone());
        let (was, is) = (before.1, after.1);
        changes.origin.made = changes.keep(OriginField::Made, date(was.made, is.made));
        changes.origin.bought = changes.keep(OriginField::Bought, date(was.bought, is.bought));
        let in_service = date(was.in_service, is.in_service);
        changes.origin.in_service = changes.keep(OriginField::InService, in_service);
        changes.origin.maker = changes.keep(OriginField::Maker, text(&was.maker, &is.maker));
        changes.origin.lot = changes.keep(OriginField::Lot, text(&was.lot, &is.lot));
        changes.origin.model = changes.keep(OriginField::Model, text(&was.model, &is.model));
        let (was, is) = (&was.own, &is.own);
        let (number, note) =
            (text(&was.number, &is.number), (was.note != is.note).then(|| is.note.clone()));
        changes.origin.own.number = changes.keep_own(OwnField::Number, number);
        changes.origin.own.note = changes.keep_own(OwnField::Note, note);
        let branch = text(&was.branch, &is.branch);
        changes.origin.own.branch = changes.keep_own(OwnField::Branch, branch);
        changes.origin.own.owner = (was.owner() != is.owner()).then(|| is.owner());
        changes
    }

    fn keep_own<T>(&mut self, field: OwnField, change: Option<Option<T>>) -> Option<T> {
        if matches!(change, Some(None)) {
            self.cleared.push(field);
        }
        change.flatten()
    }

    fn keep<T>(&mut self, field: OriginField, change: Option<Option<T>>) -> Option<T> {
        if matches!(change, Some(None)) {
            self.unknown.push(field);
        }
        change.flatten()
    }

    /// Whether nothing changes.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// What a change of a set changes; what is not named stays as it was.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetChanges {
    /// Its name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<Label>,
    /// Who dives with it.
    #[serde(rename = "use", default, skip_serializing_if = "Option::is_none")]
    pub in_use: Option<Use>,
    /// Its ports.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ports: Option<Vec<Port>>,
    /// It is gone; it has no hose.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dissolved: bool,
    /// What else changes.
    #[serde(flatten)]
    pub details: DetailChanges,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, Service};
    use crate::story::hose;

    #[test]
    fn a_description_says_what_changes() {
        let date = |text| PartialDate::parse(text).ok();
        let label = |text| Label::new("a text", text).ok();
        let before = Origin { made: date("2020"), lot: label("L-1"), ..Origin::default() };
        let after = Origin { made: date("2021"), maker: label("Kelpline"), ..Origin::default() };
        let hose = hose(Service::Gauge, Construction::Rubber);
        let changes = Changes::between((Some(&hose), &before), (&hose, &after));
        assert_eq!(changes.specification, None);
        let origin = Origin { made: date("2021"), maker: label("Kelpline"), ..Origin::default() };
        assert_eq!(changes.origin, origin);
        assert_eq!(changes.unknown, [OriginField::Lot]);
        assert!(Changes::between((Some(&hose), &before), (&hose, &before)).is_empty());
    }
}

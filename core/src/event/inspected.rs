//! The fields of an inspection as they stand in an entry, side by side. They are named here
//! once more: serde gathers what is flattened in a map before it reads it, and inspections
//! are most of what a fold reads.

use serde::{Deserialize, Deserializer};

use super::{EntryId, Slot};
use crate::hose::Prose;
use crate::inspection::{Damage, FromList, InspectionKind, LeakTest, Look, Observation};
use crate::tag::Code;

/// Every field that an inspection of any version may have.
#[derive(Deserialize)]
pub(super) struct Fields {
    pub(super) hose: Code,
    kind: InspectionKind,
    #[serde(default)]
    findings: Vec<Observation>,
    test: Option<LeakTest>,
    note: Option<Prose>,
    gone: Option<Vec<Damage>>,
    why: Option<Prose>,
    list: Option<FromList>,
    at: Option<Slot>,
    #[serde(default)]
    answers: Vec<EntryId>,
}

impl Fields {
    /// How it was done, and what was seen.
    pub(super) fn look(self) -> Look {
        let Self { kind, findings, test, note, gone, why, list, .. } = self;
        Look { kind, findings, test, note, gone, why, list }
    }
}

/// The fields of [`super::Event::Inspected`], in its order.
type Inspected = (Code, Look, Option<Slot>, Vec<EntryId>);

/// Reads them.
pub(super) fn inspected<'de, D: Deserializer<'de>>(fields: D) -> Result<Inspected, D::Error> {
    let mut fields = Fields::deserialize(fields)?;
    let (at, answers) = (fields.at.take(), std::mem::take(&mut fields.answers));
    Ok((fields.hose, fields.look(), at, answers))
}

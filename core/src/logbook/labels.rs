//! Tags to print: in the order in which they are tied on, each with what tells the
//! hose that it is for.

use super::doubt::{act, entry_of};
use super::{Logbook, LogbookError};
use crate::event::{Event, PortName};
use crate::record::SetRecord;
use crate::tag::{Code, TagLabel, TagText};
use crate::words::tags;

/// How tags are ordered: set by set, its own first and then by port; then the hoses in
/// no set, by number.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Order {
    without_set: bool,
    set: String,
    port: Option<PortName>,
    number: Option<String>,
    code: Code,
}

impl Logbook {
    /// The tags of hoses and of sets with their words, by set and port. A set of earlier
    /// programs that nobody has given a tag has none; a hose that is named twice is
    /// printed once.
    ///
    /// # Errors
    /// [`LogbookError`] if a hose is unknown, or the store cannot be read.
    pub fn tag_labels(
        &self,
        hoses: &[Code],
        sets: &[SetRecord],
    ) -> Result<Vec<TagLabel>, LogbookError> {
        let mut labels: Vec<(Order, TagLabel)> = Vec::new();
        for set in sets {
            let Some(tag) = set.tag() else { continue };
            let (number, what) = (Some(tags::set(&set.name)), Some(tags::OF_SET.to_owned()));
            let label = TagLabel { number, what, ..TagText::Set(tag).into() };
            let set = set.name.as_str().to_lowercase();
            let order = Order { without_set: false, set, port: None, number: None, code: tag };
            labels.push((order, label));
        }
        for hose in hoses {
            let record = self.record(*hose)?;
            let seat = self.seat(&record)?;
            let number = record.origin.own.number.as_ref().map(ToString::to_string);
            let order = Order {
                without_set: seat.is_none(),
                set: seat.as_ref().map(|s| s.set.as_str().to_lowercase()).unwrap_or_default(),
                port: seat.as_ref().map(|seat| seat.port),
                number: number.clone(),
                code: record.hose,
            };
            let label = TagLabel {
                number,
                what: record.specification.as_ref().map(tags::what),
                place: seat.as_ref().map(tags::place),
                ..self.payload(*hose)?.into()
            };
            labels.push((order, label));
        }
        labels.sort_by(|a, b| a.0.cmp(&b.0));
        labels.dedup_by(|a, b| a.0 == b.0);
        Ok(labels.into_iter().map(|(_, label)| label).collect())
    }

    /// The hoses that were registered together with one, as an import does it, that one
    /// among them; and the sets that were made with them.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown, or the store cannot be read.
    pub fn registered_together(
        &self,
        hose: Code,
    ) -> Result<(Vec<Code>, Vec<SetRecord>), LogbookError> {
        let Some(first) = self.record(hose)?.registrations.first().copied() else {
            return Ok((vec![hose], Vec::new()));
        };
        let (mut hoses, mut sets) = (Vec::new(), Vec::new());
        for entry in act(&self.connection, &entry_of(&self.connection, first)?)? {
            match entry.event() {
                Some(Event::Registered { hose, .. }) => hoses.push(hose),
                Some(Event::Assembled(made)) => sets.extend(self.set_by_id(made.set)?),
                _ => {}
            }
        }
        Ok((hoses, sets))
    }
}

#[cfg(test)]
#[path = "labels_tests.rs"]
mod tests;

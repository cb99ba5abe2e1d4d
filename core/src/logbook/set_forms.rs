//! The forms about a set: a new one, and what is changed about one.

use super::{FormRefused, Logbook, LogbookError, NewSet, PortCount, PortDevice, PortIs, SetEdit};
use crate::event::SetId;
use crate::hose::Label;
use crate::journal::Moment;
use crate::record::SetRecord;
use crate::view::form::set::{self, SetSaid};
use crate::view::form::{FieldRefused, Filled};

impl Logbook {
    /// Puts the set on record that a form describes.
    ///
    /// # Errors
    /// [`FormRefused`] if something is missing or wrong, or the record refuses it.
    pub fn submit_new_set(
        &mut self,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<SetId, FormRefused> {
        let said = set::read(filled, None)?;
        let (ports, devices) = (ports(&said), devices(&said, None)?);
        let new = NewSet::new(said.name, said.in_use, ports);
        let new =
            NewSet { devices, oxygen: said.oxygen, owner: said.owner, branch: said.branch, ..new };
        Ok(self.assemble_new(new, None, moment)?)
    }

    /// Changes a set as a form says.
    ///
    /// # Errors
    /// As [`Logbook::submit_new_set`].
    pub(super) fn submit_set(
        &mut self,
        id: SetId,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(), FormRefused> {
        let at = Label::from(id);
        let record = self.set(&at)?;
        let said = set::read(filled, Some(&record))?;
        let kinds =
            said.kinds.iter().map(|(port, pressure)| PortIs { port: *port, pressure: *pressure });
        let edit = SetEdit {
            ports: said.has_other_ports(&record.ports).then(|| ports(&said)),
            devices: devices(&said, Some(&record))?,
            kinds: kinds.collect(),
            name: (said.name != record.name).then_some(said.name),
            in_use: (said.in_use != record.in_use).then_some(said.in_use),
            oxygen: Some(said.oxygen),
            owner: Some(said.owner),
            branch: Some(said.branch),
            dissolved: false,
        };
        Ok(self.change_set(&at, edit, said.why, moment)?)
    }
}

fn ports(said: &SetSaid) -> Vec<PortCount> {
    let count = |(of, count): &(set::Ports, u8)| PortCount {
        kind: of.kind,
        thread: of.thread,
        count: *count,
    };
    said.ports.iter().map(count).collect()
}

/// What is in which port; those of a set that are not named any more have their plug
/// again.
fn devices(said: &SetSaid, record: Option<&SetRecord>) -> Result<Vec<PortDevice>, FieldRefused> {
    let parse = |text: &String| {
        text.parse().map_err(|error: LogbookError| FieldRefused::new("devices", error))
    };
    let mut devices: Vec<PortDevice> = said.devices.iter().map(parse).collect::<Result<_, _>>()?;
    for port in record.into_iter().flat_map(|record| record.devices.keys().copied()) {
        if !devices.iter().any(|change| change.port == port) {
            devices.push(PortDevice { port, device: None });
        }
    }
    Ok(devices)
}

//! What other devices are known to have of what is here.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::super::{DeviceView, Logbook, LogbookError};
use crate::device::{DeviceId, Role};
use crate::journal::{
    self, Members, Moment, OtherRecord, first_written_above, held_by_branches, last_backup,
    other_records,
};
use crate::view::{OtherDevice, Sharing};
use crate::words::{sharing as say, today};

impl Logbook {
    /// From whom the record is how fresh, and how many entries no other device is known to have.
    /// Nothing where no other device was heard of: then a backup is what there is.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn sharing(&self, moment: &Moment) -> Result<Option<Sharing>, LogbookError> {
        self.reading(|| {
            let own = self.own_identities()?;
            let views = self.devices()?;
            let others: Vec<&DeviceView> =
                views.iter().filter(|view| !own.contains(&view.device)).collect();
            let known = self.trusted_records(&own)?;
            if others.is_empty() && known.is_empty() {
                return Ok(None);
            }
            let devices = other_devices(&views, &others, &known, moment);
            let alone = self.alone(&views, &own, &known)?;
            let backup = last_backup(&self.connection)?;
            let backed_up = backup.is_some_and(|backup| !backup.written_since);
            Ok(Some(Sharing::of(devices, alone, backed_up, moment.today)))
        })
    }

    /// The devices that this record wrote as: that of now, and earlier ones whose keys are here.
    fn own_identities(&self) -> Result<BTreeSet<DeviceId>, LogbookError> {
        let own = journal::own_device(&self.connection)?;
        Ok(self.keys.devices().into_iter().chain(own).collect())
    }

    /// What others are known to hold; where there is an owner, of those alone that the owner lets
    /// keep the record.
    fn trusted_records(&self, own: &BTreeSet<DeviceId>) -> Result<Vec<OtherRecord>, LogbookError> {
        let members = Members::load(&self.connection)?;
        let trusted = |holder: &DeviceId| {
            let role = members.newest(holder).map(|word| word.role);
            members.owner.is_none() || role.is_some_and(|role| role != Role::Dismissed)
        };
        let mut all = other_records(&self.connection)?;
        all.retain(|record| !own.contains(&record.holder) && trusted(&record.holder));
        Ok(all)
    }

    /// How many entries were written here that nobody else is known to have, and since when.
    fn alone(
        &self,
        views: &[DeviceView],
        own: &BTreeSet<DeviceId>,
        known: &[OtherRecord],
    ) -> Result<(u64, Option<NaiveDate>), LogbookError> {
        let (mut alone, mut since) = (0, None);
        let at_branches = held_by_branches(&self.connection)?;
        for view in views.iter().filter(|view| own.contains(&view.device)) {
            let held = |record: &OtherRecord| record.holds.get(&view.device).copied();
            let above = known.iter().filter_map(held).chain(at_branches.get(&view.device).copied());
            let above = above.max().unwrap_or(0);
            let lacking = above_it(view, above);
            alone += lacking;
            if lacking > 0 {
                let first = first_written_above(&self.connection, &view.device, above)?;
                since = since.into_iter().chain(first).min();
            }
        }
        Ok((alone, since))
    }
}

/// How many of a device's entries are here above a number: exact where none is missing.
fn above_it(view: &DeviceView, above: u64) -> u64 {
    view.newest_seq.saturating_sub(above).min(view.entries)
}

fn other_devices(
    views: &[DeviceView],
    others: &[&DeviceView],
    known: &[OtherRecord],
    moment: &Moment,
) -> Vec<OtherDevice> {
    let records: BTreeMap<DeviceId, &OtherRecord> =
        known.iter().map(|record| (record.holder, record)).collect();
    let all: BTreeSet<DeviceId> =
        others.iter().map(|view| view.device).chain(records.keys().copied()).collect();
    let described = |device: DeviceId| {
        let view = others.iter().find(|view| view.device == device);
        let name = view.and_then(|view| view.name.as_ref());
        let name = today::device_name(name, &device.to_string());
        let newest = view.and_then(|view| view.newest_on);
        let record = records.get(&device);
        // What a device wrote itself it has.
        let held = |of: &DeviceView| match record {
            _ if of.device == device => of.newest_seq,
            Some(record) => record.holds.get(&of.device).copied().unwrap_or(0),
            None => 0,
        };
        let lacks = views.iter().map(|of| above_it(of, held(of))).sum();
        let met = record.map(|record| record.made);
        let words = say::other(&name, newest, (met, lacks), moment.today);
        OtherDevice { device, newest, met, lacks, words }
    };
    all.into_iter().map(described).collect()
}

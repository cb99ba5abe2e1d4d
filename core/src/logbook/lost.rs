//! A device that is gone: which there are, and dismissing one with the owner's words.

use super::backup::owner_of;
use super::{Logbook, LogbookError};
use crate::device::{DeviceId, Role};
use crate::journal::Moment;
use crate::view::LostDevice;
use crate::words::{lost as say, meeting};

impl Logbook {
    /// Every other device of this record, as one to be chosen, with what stands of it.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn other_devices(&self) -> Result<Vec<LostDevice>, LogbookError> {
        let missing = self.missing_of_devices()?;
        let mut all = Vec::new();
        for view in self.devices()?.into_iter().filter(|view| !view.own) {
            let name = meeting::named(&view.device, view.name.as_ref());
            let mut words = vec![say::stands(&name, view.entries, view.newest_seq)];
            let of = missing.iter().filter(|(device, _)| *device == view.device);
            let of = of.filter(|(_, (_, runs))| !runs.is_empty());
            words.extend(of.map(|(_, (said, _))| said.clone()));
            all.push(LostDevice {
                device: view.device,
                role: view.role,
                choice: say::choice(&name, view.newest_on),
                words,
            });
        }
        Ok(all)
    }

    /// Dismisses a device that is gone: by the owner's key where it is on this device, else
    /// by the owner's words, which are used once and not kept.
    ///
    /// # Errors
    /// [`LogbookError`] if it is this device, the record has no owner, or the words are not
    /// the owner's; nothing was changed then.
    pub fn dismiss_lost(
        &mut self,
        device: DeviceId,
        words: &str,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let own = self.own_device()?;
        if own.device == device {
            return Err(LogbookError::Device(say::THIS_ONE.to_owned()));
        }
        let fleet = own.fleet.ok_or_else(|| LogbookError::Device(say::NO_OWNER.to_owned()))?;
        let owner = if own.holds_owner_key { self.owner_key()? } else { owner_of(fleet, words)? };
        self.enrol_as(&owner, device, (Role::Dismissed, None), false, moment)
    }
}

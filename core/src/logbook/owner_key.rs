//! The owner's key on this device: bare, or under a pass phrase, which is given for what it does.

use zeroize::Zeroizing;

use super::{Logbook, LogbookError};
use crate::device::{DeviceKey, sealed, unsealed};
use crate::journal::{Members, StoreError};
use crate::words::meeting;

impl Logbook {
    /// Takes the pass phrase of the owner's key for what is done next. It holds until
    /// [`Logbook::forget_owner_pass`].
    pub fn offer_owner_pass(&mut self, typed: &str) {
        self.owner_pass = Some(Zeroizing::new(typed.to_owned()));
    }

    /// What the owner's key did is done.
    pub fn forget_owner_pass(&mut self) {
        self.owner_pass = None;
    }

    /// Whether the owner's key can be used now: refuses if it needs its pass phrase.
    ///
    /// # Errors
    /// As what it does.
    pub fn check_owner_key(&self) -> Result<(), LogbookError> {
        self.owner_key().map(drop)
    }

    /// Puts the owner's key under a pass phrase, or under another.
    ///
    /// # Errors
    /// [`LogbookError`] if the key is not on this device, or the pass phrase is too short.
    pub fn seal_owner(&mut self, pass_phrase: &str) -> Result<(), LogbookError> {
        let key = self.owner_key()?;
        let text = sealed(&key, pass_phrase, &mut *self.random)?;
        Ok(self.keys.keep_sealed(&key.id(), &text).map_err(StoreError::from)?)
    }

    pub(super) fn owner_key(&self) -> Result<DeviceKey, LogbookError> {
        let owner = Members::load(&self.connection)?
            .owner
            .ok_or_else(|| LogbookError::Device(meeting::NO_FLEET.into()))?;
        if let Some(bare) = self.keys.find(&owner).map_err(StoreError::from)? {
            return Ok(bare);
        }
        let Some(text) = self.keys.sealed(&owner).map_err(StoreError::from)? else {
            return Err(LogbookError::Device(meeting::NO_OWNER_KEY.into()));
        };
        match &self.owner_pass {
            Some(offered) => Ok(unsealed(&text, &owner, offered)?),
            None => Err(LogbookError::OwnerSealed),
        }
    }
}

//! PINs on this device: who has one, who proved theirs, and what was tried.

use super::may::{check_proven, check_standing, read_pins};
use super::{Logbook, LogbookError, StaffError};
use crate::hose::Label;
use crate::journal::{Moment, StoreError};
use crate::staff::{Deed, Person, PersonId, PinError, Pins, WrongPins};

impl Logbook {
    /// Whether somebody has a PIN on this device.
    ///
    /// # Errors
    /// [`LogbookError`] if what is kept can't be read.
    pub fn has_pin(&self, person: PersonId) -> Result<bool, LogbookError> {
        Ok(read_pins(&*self.keys)?.has(person))
    }

    /// Takes the PIN that the writer gives for what is written next. It holds until
    /// [`Logbook::forget_offered_pin`].
    ///
    /// # Errors
    /// [`LogbookError`] if it is wrong or comes too early.
    pub fn offer_pin(&mut self, typed: &str, moment: &Moment) -> Result<(), LogbookError> {
        self.proven = None;
        let staff = self.staff()?;
        let here = |person: &&Person| person.is_here() && person.is_called(&moment.by);
        let Some(person) = staff.iter().find(here).map(|person| person.person) else {
            return Ok(());
        };
        let mut pins = read_pins(&*self.keys)?;
        let before = pins.clone();
        let proven = pins.prove(person, typed, moment.time);
        // What was tried counts before anything is said of it.
        if pins != before {
            self.keep(&pins)?;
        }
        proven.map_err(StaffError::Pin)?;
        self.proven = Some(person);
        Ok(())
    }

    /// Whether a PIN is that of somebody who works here: then they may see the page of this
    /// computer from another one.
    ///
    /// # Errors
    /// [`LogbookError`] if it comes too early, or the PINs cannot be read.
    pub fn is_pin_of(
        &mut self,
        name: &Label,
        typed: &str,
        moment: &Moment,
    ) -> Result<bool, LogbookError> {
        let moment = Moment { by: name.clone(), ..moment.clone() };
        let offered = self.offer_pin(typed, &moment);
        let proven = self.proven.take().is_some();
        match offered {
            Err(LogbookError::Staff(StaffError::Pin(PinError::Wrong | PinError::Shape))) => {
                Ok(false)
            }
            offered => offered.map(|()| proven),
        }
    }

    /// Whoever proved who they are is done.
    pub const fn forget_offered_pin(&mut self) {
        self.proven = None;
    }

    /// Chooses somebody's PIN on this device; one who has none yet, and whoever may
    /// change the staff list, does it without the old one.
    ///
    /// # Errors
    /// [`LogbookError`] if it is no PIN, or is not the writer's to choose.
    pub fn choose_pin(
        &mut self,
        person: PersonId,
        typed: &str,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        self.check_pin_is_theirs(person, moment)?;
        let mut salt = [0; 16];
        self.random.fill_bytes(&mut salt);
        let mut pins = read_pins(&*self.keys)?;
        pins.choose(person, typed, salt).map_err(StaffError::Pin)?;
        self.keep(&pins)
    }

    /// Takes somebody's PIN on this device away.
    ///
    /// # Errors
    /// [`LogbookError`] if that is not the writer's to do.
    pub fn remove_pin(&mut self, person: PersonId, moment: &Moment) -> Result<(), LogbookError> {
        self.check_pin_is_theirs(person, moment)?;
        self.drop_pin(person)
    }

    /// Wrong PINs on this device that nobody has seen yet, each with whose it was to be.
    ///
    /// # Errors
    /// [`LogbookError`] if what is kept can't be read.
    pub fn wrong_pins(&self) -> Result<Vec<(Person, WrongPins)>, LogbookError> {
        let wrong = read_pins(&*self.keys)?.wrong();
        if wrong.is_empty() {
            return Ok(Vec::new());
        }
        let staff = self.staff()?;
        let whose = |wrong: &WrongPins| staff.iter().find(|p| p.person == wrong.person).cloned();
        Ok(wrong.into_iter().filter_map(|wrong| Some((whose(&wrong)?, wrong))).collect())
    }

    /// The owner has seen them.
    ///
    /// # Errors
    /// [`LogbookError`] if that is not the writer's to say.
    pub fn wrong_pins_seen(&mut self, moment: &Moment) -> Result<(), LogbookError> {
        self.check_deed(Deed::Staff, moment)?;
        let mut pins = read_pins(&*self.keys)?;
        pins.seen();
        self.keep(&pins)
    }

    pub(super) fn drop_pin(&mut self, person: PersonId) -> Result<(), LogbookError> {
        let mut pins = read_pins(&*self.keys)?;
        if !pins.has(person) {
            return Ok(());
        }
        pins.forget(person);
        self.keep(&pins)
    }

    /// One's own is one's own to choose, with the old one if there is one; another's is
    /// for whoever may change the list.
    fn check_pin_is_theirs(&self, person: PersonId, moment: &Moment) -> Result<(), LogbookError> {
        let staff = self.staff()?;
        let whose = staff.iter().find(|known| known.person == person && known.is_here());
        let whose = whose.ok_or_else(|| StaffError::Nobody(person.to_string()))?;
        if !whose.is_called(&moment.by) {
            return self.check_deed(Deed::Staff, moment);
        }
        check_proven(&*self.keys, self.proven, Some((whose, Deed::Staff)))
    }

    /// What changes nothing on record, and is not for everybody either.
    fn check_deed(&self, deed: Deed, moment: &Moment) -> Result<(), LogbookError> {
        let staff = self.staff()?;
        check_standing(&staff, &moment.by, Some(deed))?;
        let writer = staff.iter().find(|known| known.is_here() && known.is_called(&moment.by));
        check_proven(&*self.keys, self.proven, writer.map(|writer| (writer, deed)))
    }

    fn keep(&self, pins: &Pins) -> Result<(), LogbookError> {
        let text = pins.text().map_err(StaffError::Pin)?;
        Ok(self.keys.keep_pins(&text).map_err(StoreError::from)?)
    }
}

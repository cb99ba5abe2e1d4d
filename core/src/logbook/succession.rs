//! The owner's key is replaced by another, and a fleet joins another fleet: both by the owner's
//! word that another key is the owner's from here on. What the old key had said of devices the
//! new one says again, so that everything that was believed stays so.

use chrono::NaiveDate;
use zeroize::Zeroizing;

use super::{DayError, Logbook, LogbookError};
use crate::device::{DeviceId, DeviceKey, Role, Succession, Warrant};
use crate::event::Event;
use crate::journal::{Members, Moment, StoreError, said_since};
use crate::words::meeting;
use crate::words::owner::KEY_WRONG;

/// The owner's key after it was replaced.
pub struct Replaced {
    /// Its words.
    pub words: Zeroizing<String>,
    /// What the old key granted since it may have been in other hands, and the new one does not.
    pub left_out: Vec<Warrant>,
}

impl Logbook {
    /// Replaces the owner's key, whose words are given, by a new one, which is kept on this
    /// device. Every device follows it as soon as it hears of it; whoever has the old key admits
    /// nobody there any more. Of what the old one granted `since` a day, from when on somebody
    /// else may have had it, the new one says nothing again; what it took away stays taken.
    ///
    /// # Errors
    /// [`LogbookError`] if these are not the words of this fleet's owner, or the day is to come.
    pub fn replace_owner(
        &mut self,
        words: &str,
        since: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Replaced, LogbookError> {
        if let Some(on) = since.filter(|on| *on > moment.today) {
            return Err(DayError::FutureDay { on, today: moment.today }.into());
        }
        if !self.are_owner_words(words)? {
            return Err(LogbookError::Device(KEY_WRONG.into()));
        }
        let old = DeviceKey::from_words(words)?;
        let new = DeviceKey::draw(&mut *self.random);
        let members = Members::load(&self.connection)?;
        let doubted = since.map(|day| said_since(&self.connection, day)).transpose()?;
        let (kept, left_out) = members.without(&doubted.unwrap_or_default());
        self.keys.keep(&new).map_err(StoreError::from)?;
        let mut said: Vec<Event> = Vec::new();
        said.extend(again(&new, &kept, &Members::of(Some(new.id())), moment));
        let time = moment.time.timestamp_millis();
        let succession = Succession::sign(&old, new.id(), time);
        said.push(Event::Succeeded { succession });
        self.speak(said, moment)?;
        Ok(Replaced { words: new.to_words(), left_out })
    }

    /// Takes another fleet in, as the owner of this one: what its owner said of its devices holds
    /// here too, for all that they ever wrote. Their record has to be here already. The other
    /// owner then lets that fleet follow ([`Logbook::follow_fleet`]). Returns how many devices
    /// were taken in.
    ///
    /// # Errors
    /// [`LogbookError::Device`] if the owner's key is not on this device, or nothing that the
    /// other owner said is here.
    pub fn take_fleet_in(
        &mut self,
        other: &DeviceId,
        moment: &Moment,
    ) -> Result<usize, LogbookError> {
        let owner = self.owner_key()?;
        let members = Members::load(&self.connection)?;
        if owner.id() == *other || members.was_owner(other) {
            return Err(LogbookError::Device(meeting::SAME_FLEET.into()));
        }
        let theirs = Members::of_fleet(&self.connection, Some(*other))?;
        if theirs.devices().next().is_none() {
            return Err(LogbookError::Device(meeting::nothing_of(other)));
        }
        let said: Vec<Event> = again(&owner, &theirs, &members, moment).collect();
        if said.is_empty() {
            return Err(LogbookError::Nothing(meeting::TAKEN_IN_ALREADY));
        }
        let taken = theirs.devices().filter(|device| members.newest(device).is_none()).count();
        self.speak(said, moment)?;
        Ok(taken)
    }

    /// Lets this fleet follow another, as its owner, once the other owner took it in: every device
    /// of it is of the other fleet from then on, with all that it wrote.
    ///
    /// # Errors
    /// [`LogbookError::Device`] if the owner's key is not on this device, or the other owner has
    /// not admitted it.
    pub fn follow_fleet(&mut self, other: &DeviceId, moment: &Moment) -> Result<(), LogbookError> {
        let owner = self.owner_key()?;
        let own = self.take_identity()?;
        let theirs = Members::of_fleet(&self.connection, Some(*other))?;
        let role = theirs.newest(&own).map(|word| word.role);
        if owner.id() == *other || !matches!(role, Some(role) if role != Role::Dismissed) {
            return Err(LogbookError::Device(meeting::not_taken_in(other)));
        }
        let succession = Succession::sign(&owner, *other, moment.time.timestamp_millis());
        self.speak(vec![Event::Succeeded { succession }], moment)
    }
}

/// What one owner said of each device that the new one has said nothing of, said again by the new
/// one's key in the same order.
fn again<'m>(
    owner: &'m DeviceKey,
    before: &'m Members,
    known: &'m Members,
    moment: &'m Moment,
) -> impl Iterator<Item = Event> + 'm {
    let unsaid = before.devices().filter(|device| known.newest(device).is_none());
    let words = unsaid.flat_map(|device| before.words_on(device));
    (0_i64..).zip(words).map(|(later, word)| {
        let Warrant { device, name, role, after, .. } = word.clone();
        let said = moment.time.timestamp_millis() + later;
        let warrant = Warrant::sign(owner, (device, name), role, after, said);
        Event::Enrolled { warrant }
    })
}

//! The devices of a record, and what its fleet's owner lets each of them write.

use chrono::NaiveDate;
use serde::Serialize;
use zeroize::Zeroizing;

use super::walk::altered;
use super::{Logbook, LogbookError};
use crate::device::{DeviceId, DeviceKey, Role, Warrant};
use crate::event::Event;
use crate::hose::Label;
use crate::index;
use crate::journal::{self, Draft, Members, Merge, Moment, StoreError, keep_meeting, met_on};
use crate::words::meeting;

/// A device that wrote here, or that the owner spoke of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DeviceView {
    /// The device.
    pub device: DeviceId,
    /// What the owner calls it.
    pub name: Option<Label>,
    /// Whether this record writes as it.
    pub own: bool,
    /// What it may write; nothing for a stranger, and where there is no owner.
    pub role: Option<Role>,
    /// How many of its entries are here.
    pub entries: u64,
    /// The newest of its numbers.
    pub newest_seq: u64,
    /// The newest day that it wrote about, of what is believed.
    pub newest_on: Option<NaiveDate>,
    /// Whether none of its entries is missing here.
    pub complete: bool,
    /// Whether it was copied: one of its numbers names different entries.
    pub forked: bool,
    /// How many of its entries are not, or not wholly, believed, and why.
    pub set_aside: Vec<(String, u64)>,
}

impl DeviceView {
    /// What is to be known about it, in words; empty if nothing is.
    #[must_use]
    pub fn note(&self) -> String {
        let mut notes = Vec::new();
        if self.own {
            notes.push("this one".to_owned());
        }
        if self.forked {
            notes.push("was copied: two wrote under its name".to_owned());
        }
        if !self.complete {
            notes.push("some of its entries have not reached this record".to_owned());
        }
        notes.extend(self.set_aside.iter().map(|(why, n)| format!("{n} {}", meeting::aside(why))));
        notes.join("; ")
    }
}

/// This record among others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OwnDevice {
    /// The device that this record writes as.
    pub device: DeviceId,
    /// The fleet that it belongs to: its owner's public key.
    pub fleet: Option<DeviceId>,
    /// What it may write there.
    pub role: Option<Role>,
    /// Whether the owner's key is kept on this device.
    pub holds_owner_key: bool,
    /// Whether it rests under a pass phrase there.
    pub owner_key_is_sealed: bool,
}

impl OwnDevice {
    /// What it is and what it may write, a sentence a line.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut said = vec![format!("This device: {}", self.device)];
        match &self.fleet {
            Some(fleet) => {
                said.push(format!("Fleet: {fleet}"));
                said.push(format!("In it: {}", meeting::role(self.role)));
            }
            None => said.push("Fleet: none; every device that writes here is believed".to_owned()),
        }
        if self.holds_owner_key {
            let how = if self.owner_key_is_sealed {
                meeting::KEY_IS_SEALED
            } else {
                meeting::KEY_IS_BARE
            };
            said.push(how.to_owned());
        }
        said
    }
}

impl Logbook {
    /// This record's device; it takes an identity if it has none yet.
    ///
    /// # Errors
    /// [`StoreError`] if the store or its key cannot be used.
    pub fn own_device(&mut self) -> Result<OwnDevice, StoreError> {
        let device = self.take_identity()?;
        let members = Members::load(&self.connection)?;
        let bare = members.owner.map(|owner| self.keys.find(&owner)).transpose()?.flatten();
        let sealed = members.owner.map(|owner| self.keys.sealed(&owner)).transpose()?.flatten();
        let next = journal::newest_seq(&self.connection, &device)? + 1;
        Ok(OwnDevice {
            device,
            fleet: members.owner,
            role: members.role(&device, next),
            holds_owner_key: bare.is_some() || sealed.is_some(),
            owner_key_is_sealed: bare.is_none() && sealed.is_some(),
        })
    }

    /// Every device that wrote here or that the owner spoke of.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn devices(&self) -> Result<Vec<DeviceView>, StoreError> {
        let members = Members::load(&self.connection)?;
        let own = journal::own_device(&self.connection)?;
        let mut all: Vec<DeviceView> = Vec::new();
        for tally in journal::tallies(&self.connection)? {
            all.push(DeviceView {
                entries: tally.entries,
                newest_seq: tally.newest_seq,
                newest_on: tally.newest.map(|(on, _)| on),
                complete: !tally.has_gap(),
                forked: tally.forked,
                set_aside: journal::set_aside_of(&self.connection, &tally.id)?,
                ..view(tally.id, own, &members)
            });
        }
        for device in members.devices() {
            if !all.iter().any(|seen| seen.device == *device) {
                all.push(view(*device, own, &members));
            }
        }
        Ok(all)
    }

    /// The device whose number begins as typed.
    ///
    /// # Errors
    /// [`LogbookError::Device`] if none does, or several do.
    pub fn find_device(&self, typed: &str) -> Result<DeviceId, LogbookError> {
        let typed = typed.trim().to_lowercase();
        if let Ok(whole) = typed.parse() {
            return Ok(whole);
        }
        let known = self.devices()?.into_iter().map(|view| view.device);
        let found: Vec<DeviceId> =
            known.filter(|id| id.to_string().starts_with(&typed) && typed.len() >= 4).collect();
        match found.as_slice() {
            [one] => Ok(*one),
            [] => Err(LogbookError::Device(format!(
                "no device on record begins with “{typed}”; type its whole number, which \
                 `device show` prints on it"
            ))),
            _ => Err(LogbookError::Device(format!(
                "several devices begin with “{typed}”; type more of it"
            ))),
        }
    }

    /// Founds a fleet: draws the owner's key, keeps it on this device, and
    /// admits the devices that wrote here so far, this one as owner. Returns the
    /// key as words, to be recorded on paper.
    ///
    /// # Errors
    /// [`LogbookError`] if this record belongs to a fleet already.
    pub fn found_fleet(&mut self, moment: &Moment) -> Result<Zeroizing<String>, LogbookError> {
        let own = self.take_identity()?;
        if let Some(fleet) = Members::load(&self.connection)?.owner {
            return Err(LogbookError::Device(format!(
                "this record belongs to fleet {} already",
                fleet.short()
            )));
        }
        let owner = DeviceKey::draw(&mut *self.random);
        self.keys.keep(&owner).map_err(StoreError::from)?;
        let mut warrants = vec![word(&owner, (own, None), Role::Owner, 0, moment, 0)];
        for tally in journal::tallies(&self.connection)? {
            if tally.id == own || tally.entries == 0 {
                continue;
            }
            // What a device of the time before keys wrote is admitted by its hash.
            if tally.id.signs() {
                warrants.push(word(&owner, (tally.id, None), Role::Bench, 0, moment, 0));
            }
        }
        self.pin(&owner.id())?;
        self.speak(words(warrants), moment)?;
        Ok(owner.to_words())
    }

    /// Joins a fleet: from here on only devices that its owner admitted are believed.
    ///
    /// # Errors
    /// [`LogbookError`] if this record belongs to another fleet.
    pub fn join_fleet(&mut self, fleet: &DeviceId, moment: &Moment) -> Result<(), LogbookError> {
        if !fleet.signs() {
            return Err(LogbookError::Device("a fleet's number has 64 hexadecimal digits".into()));
        }
        let members = Members::load(&self.connection)?;
        match members.owner {
            Some(owner) if owner == *fleet || members.was_owner(fleet) => Ok(()),
            Some(owner) => Err(LogbookError::Device(format!(
                "this record belongs to fleet {}; begin another store for fleet {}",
                owner.short(),
                fleet.short()
            ))),
            None => {
                self.pin(fleet)?;
                // From now on it is to meet the others.
                Ok(keep_meeting(&self.connection, moment.today)?)
            }
        }
    }

    /// The owner says what a device may write from here on; with `from_the_start`
    /// what it wrote so far is judged by it too.
    ///
    /// # Errors
    /// [`LogbookError`] if the owner's key is not on this device.
    pub fn enrol(
        &mut self,
        device: DeviceId,
        (role, name): (Role, Option<Label>),
        from_the_start: bool,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let owner = self.owner_key()?;
        self.enrol_as(&owner, device, (role, name), from_the_start, moment)
    }

    /// The same by the owner's key, wherever it comes from.
    pub(super) fn enrol_as(
        &mut self,
        owner: &DeviceKey,
        device: DeviceId,
        (role, name): (Role, Option<Label>),
        from_the_start: bool,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let members = Members::load(&self.connection)?;
        let newest = members.newest(&device);
        let first = newest.is_none() && role != Role::Dismissed;
        let after = if first || from_the_start {
            0
        } else {
            journal::newest_seq(&self.connection, &device)?
        };
        let name = name.or_else(|| newest.and_then(|word| word.name.clone()));
        // Later than any earlier word, whatever the clock says.
        let later =
            newest.map_or(0, |word| (word.said + 1 - moment.time.timestamp_millis()).max(0));
        let warrant = word(owner, (device, name), role, after, moment, later);
        self.speak(words(vec![warrant]), moment)?;
        let others = role != Role::Dismissed && self.own_device()?.device != device;
        if others && met_on(&self.connection)?.is_none() {
            keep_meeting(&self.connection, moment.today)?;
        }
        Ok(())
    }

    /// The owner's key as words, where it is on this device.
    ///
    /// # Errors
    /// [`LogbookError::Device`] if it is not.
    pub fn owner_words(&self) -> Result<Zeroizing<String>, LogbookError> {
        Ok(self.owner_key()?.to_words())
    }

    /// Whether these are the words of the key of this record's owner.
    ///
    /// # Errors
    /// [`LogbookError`] if they are no key at all, or this record has no owner.
    pub fn are_owner_words(&self, words: &str) -> Result<bool, LogbookError> {
        let key = DeviceKey::from_words(words)?;
        let owner = Members::load(&self.connection)?.owner;
        let owner = owner.ok_or_else(|| LogbookError::Device(meeting::NO_FLEET.into()))?;
        Ok(key.id() == owner)
    }

    /// Brings the owner's key to this device from its words, and joins the fleet.
    ///
    /// # Errors
    /// [`LogbookError`] if they are no key, or another fleet's.
    pub fn recover_owner(
        &mut self,
        words: &str,
        moment: &Moment,
    ) -> Result<DeviceId, LogbookError> {
        let owner = DeviceKey::from_words(words)?;
        let fleet = owner.id();
        let members = Members::load(&self.connection)?;
        if members.was_owner(&fleet) {
            return Err(LogbookError::Device(meeting::REPLACED.into()));
        }
        if members.owner.is_some_and(|pinned| pinned != fleet) {
            return Err(LogbookError::Device("these words are another fleet's key".into()));
        }
        self.keys.keep(&owner).map_err(StoreError::from)?;
        self.join_fleet(&fleet, moment)?;
        Ok(fleet)
    }

    /// This record belongs to a fleet from here on: everything is judged again.
    fn pin(&mut self, fleet: &DeviceId) -> Result<(), StoreError> {
        let work = journal::begin(&mut self.connection)?;
        journal::set_owner(&work, fleet)?;
        let altered = altered(&work)?;
        let mut reach = journal::judge_anew(&work, &altered)?;
        // Another key may have followed that one already.
        if let Some(more) = journal::follow_owner(&work)? {
            reach.join(more);
        }
        index::project_reach(&work, &reach, |_, _| ())?;
        Ok(work.commit()?)
    }

    /// Writes the owner's words down as entries of this device. They count by
    /// the owner's signature, whatever this device may write.
    pub(super) fn speak(&mut self, said: Vec<Event>, moment: &Moment) -> Result<(), LogbookError> {
        self.take_identity()?;
        let Some(key) = &self.key else { return Err(StoreError::Locked.into()) };
        let work = journal::begin(&mut self.connection)?;
        let drafts: Vec<Draft> =
            said.into_iter().map(|event| Draft { on: moment.today, event }).collect();
        let entries = journal::append(&work, &drafts, key, moment)?;
        let mut merge = Merge::begin(&work)?;
        for draft in drafts {
            if let Event::Enrolled { warrant } = draft.event {
                merge.judge_anew(&warrant.device);
            }
        }
        let (_, mut reach) = merge.finish()?;
        entries.iter().for_each(|entry| reach.add(entry.touched()));
        index::project_reach(&work, &reach, |_, _| ())?;
        Ok(work.commit().map_err(StoreError::from)?)
    }
}

fn words(warrants: Vec<Warrant>) -> Vec<Event> {
    warrants.into_iter().map(|warrant| Event::Enrolled { warrant }).collect()
}

fn word(
    owner: &DeviceKey,
    whom: (DeviceId, Option<Label>),
    role: Role,
    after: u64,
    moment: &Moment,
    later: i64,
) -> Warrant {
    Warrant::sign(owner, whom, role, after, moment.time.timestamp_millis() + later)
}

fn view(device: DeviceId, own: Option<DeviceId>, members: &Members) -> DeviceView {
    let word = members.newest(&device);
    DeviceView {
        device,
        name: word.and_then(|word| word.name.clone()),
        own: own == Some(device),
        role: word.map(|word| word.role),
        entries: 0,
        newest_seq: 0,
        newest_on: None,
        complete: true,
        forked: false,
        set_aside: Vec::new(),
    }
}

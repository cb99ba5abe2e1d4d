//! Meeting in a shop's network: a counter that answers, and a device that calls it. Both prove
//! who they are for the encrypted connection that they have ([`Greeting`], [`Caller`]); then each
//! takes in what it lacks. What brings the bytes is a [`Counter`]; it is believed in nothing.

use std::io::Write;
use std::path::Path;

use chrono::NaiveDate;

use super::super::error::CounterError;
use super::super::{Logbook, LogbookError};
use crate::device::{
    Caller, CertificateDigest, Challenge, CounterAddress, DeviceId, Greeting, Invitation, Role,
    Secret,
};
use crate::file::{InMemory, Source};
use crate::hose::Label;
use crate::journal::{
    self, CounterMeeting, Header, Members, MergeReport, MetCounter, Moment, StoreError, TakenThere,
    forget_paired, keep_counter, keep_paired, met_counters, paired_devices, write_header,
};

/// A counter at the other end of an encrypted connection.
pub trait Counter {
    /// Where it is reached.
    fn address(&self) -> &CounterAddress;

    /// The certificate that the connection shows.
    fn certificate(&self) -> CertificateDigest;

    /// Asks who it is.
    ///
    /// # Errors
    /// [`CounterError`] if the connection breaks off or the counter refuses; so for all of these.
    fn greet(&mut self, drawn: &Challenge) -> Result<Greeting, CounterError>;

    /// Says who calls, and with which secret it was invited.
    ///
    /// # Errors
    /// [`CounterError`].
    fn call(&mut self, caller: &Caller, secret: Option<&Secret>) -> Result<(), CounterError>;

    /// Gets what the caller lacks, as a bundle; `holds` is a bundle that says what it has.
    ///
    /// # Errors
    /// [`CounterError`] if nothing of it came.
    fn give(&mut self, holds: &[u8]) -> Result<Given, CounterError>;

    /// Sends a bundle.
    ///
    /// # Errors
    /// [`CounterError`].
    fn take(&mut self, bundle: &Path) -> Result<TakenThere, CounterError>;
}

/// What a counter gave.
pub struct Given {
    /// A bundle, or the beginning of one.
    pub bundle: Box<dyn Source>,
    /// Why it is only the beginning.
    pub broke_off: Option<String>,
}

/// What a counter is to be asked before anything is told to it.
type Expected<'e> = Option<&'e Invitation>;

impl Logbook {
    /// Meets a counter: with an invitation this device is let in by it and joins its fleet,
    /// without one it has to be known. `progress` is told how many entries were taken in, of how
    /// many.
    ///
    /// # Errors
    /// [`LogbookError::Counter`] if they don't meet, else as [`Logbook::merge`].
    pub fn meet_counter(
        &mut self,
        counter: &mut dyn Counter,
        invited: Expected<'_>,
        moment: &Moment,
        progress: impl FnMut(u64, u64),
    ) -> Result<CounterMeeting, LogbookError> {
        self.check_writable()?;
        let greeting = self.greeted(counter, invited)?;
        let joined = self.introduced(counter, invited, &greeting, moment)?;
        let mut holds = Vec::new();
        write_header::<LogbookError>(&self.connection, moment.today, &mut holds)?;
        let given = counter.give(&holds)?;
        let there = self.bundle_header(&*given.bundle);
        let merge = match &there {
            Ok(_) => self.merge(&*given.bundle, moment.today, progress)?,
            // Not even its beginning came.
            Err(_) => MergeReport::default(),
        };
        if let Some(why) = given.broke_off {
            return Err(CounterError::BrokeOff(why).into());
        }
        let there = there?;
        let file = tempfile::NamedTempFile::new()?;
        let sent = self.bundle(&mut file.as_file(), Some(&there), moment.today, |_| ())?;
        let taken = counter.take(file.path())?;
        self.note_other(&taken.header, moment.today)?;
        self.met(&taken.header, moment.today)?;
        let members = Members::load(&self.connection)?;
        let name = members.newest(&greeting.counter).and_then(|word| word.name.clone());
        let (new_there, refused_there) = (taken.new, taken.refused);
        let counter = greeting.counter;
        Ok(CounterMeeting { counter, name, joined, merge, sent, new_there, refused_there })
    }

    /// Who answers, once it has proved to be who it has to be.
    fn greeted(
        &mut self,
        counter: &mut dyn Counter,
        invited: Expected<'_>,
    ) -> Result<Greeting, LogbookError> {
        let drawn = self.challenge();
        let greeting = counter.greet(&drawn)?;
        if !greeting.is_genuine(&counter.certificate(), &drawn) {
            return Err(CounterError::NotTheCounter.into());
        }
        let members = Members::load(&self.connection)?;
        let answers = greeting.counter;
        let there = counter.address();
        let known = met_counters(&self.connection)?;
        let expected = |known: &MetCounter| known.addresses.contains(there);
        let role = members.newest(&answers).map(|word| word.role);
        let right = match invited {
            Some(invitation) => invitation.counter() == answers,
            // Another counter answers where a known one was, unless the owner admitted it.
            None if known.iter().any(|known| known.device == answers) => true,
            None if matches!(role, Some(role) if role != Role::Dismissed) => true,
            None if known.iter().any(expected) => false,
            None => return Err(CounterError::UnknownCounter.into()),
        };
        if !right || role == Some(Role::Dismissed) {
            return Err(CounterError::NotTheCounter.into());
        }
        Ok(greeting)
    }

    /// Says who calls, and keeps the counter that took it. Joins its fleet where it is invited:
    /// the counter is believed in that since the symbol on its screen named its key.
    fn introduced(
        &mut self,
        counter: &mut dyn Counter,
        invited: Expected<'_>,
        greeting: &Greeting,
        moment: &Moment,
    ) -> Result<Option<DeviceId>, LogbookError> {
        let own_fleet = self.owner()?;
        self.take_identity()?;
        let key = self.key.as_ref().ok_or(StoreError::Locked)?;
        let caller = Caller::sign(key, own_fleet, greeting, &counter.certificate());
        counter.call(&caller, invited.map(Invitation::secret))?;
        let joins = greeting.fleet.filter(|_| invited.is_some() && own_fleet.is_none());
        if let Some(fleet) = &joins {
            self.join_fleet(fleet, moment)?;
        }
        let before = met_counters(&self.connection)?;
        let before = before.into_iter().find(|known| known.device == greeting.counter);
        let mut addresses = vec![counter.address().clone()];
        let others = invited.map(|invitation| invitation.addresses().to_vec());
        let others = others.or_else(|| before.map(|known| known.addresses)).unwrap_or_default();
        addresses.extend(others.into_iter().filter(|other| other != counter.address()));
        addresses.truncate(MOST_ADDRESSES);
        let (device, met) = (greeting.counter, moment.today);
        keep_counter(&self.connection, &MetCounter { device, addresses, met })?;
        Ok(joins)
    }

    /// The counters that this device met, the one met last first.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn met_counters(&self) -> Result<Vec<MetCounter>, StoreError> {
        met_counters(&self.connection)
    }

    /// Bits drawn for one connection.
    fn challenge(&mut self) -> Challenge {
        let mut bits = [0; 32];
        self.random.fill_bytes(&mut bits);
        Challenge(bits)
    }

    /// What this record says of itself as a counter, to who drew `drawn`, on a connection with a
    /// certificate.
    ///
    /// # Errors
    /// [`StoreError`] if the store or its key cannot be used.
    pub fn greet(
        &mut self,
        drawn: &Challenge,
        certificate: &CertificateDigest,
    ) -> Result<Greeting, StoreError> {
        self.take_identity()?;
        let (fleet, challenge) = (self.owner()?, self.challenge());
        let key = self.key.as_ref().ok_or(StoreError::Locked)?;
        Ok(Greeting::sign(key, fleet, challenge, (certificate, drawn)))
    }

    /// Who calls this counter, if it proves it.
    ///
    /// # Errors
    /// [`CounterError::NotTheDevice`] if it does not.
    pub fn proven_caller(
        &self,
        caller: &Caller,
        challenge: &Challenge,
        certificate: &CertificateDigest,
    ) -> Result<DeviceId, LogbookError> {
        let own = journal::own_device(&self.connection)?.ok_or(CounterError::NotTheDevice)?;
        match caller.is_genuine(&own, challenge, certificate) {
            true => Ok(caller.device),
            false => Err(CounterError::NotTheDevice.into()),
        }
    }

    /// Whether a device that proved who it is may meet this counter: it was let in here, or the
    /// fleet's owner admitted it.
    ///
    /// # Errors
    /// [`LogbookError::Counter`] if it may not.
    pub fn may_meet(&self, device: &DeviceId, fleet: Option<DeviceId>) -> Result<(), LogbookError> {
        let members = Members::load(&self.connection)?;
        match members.newest(device).map(|word| word.role) {
            Some(Role::Dismissed) => return Err(CounterError::Dismissed.into()),
            // It may bring the word that the fleet has another owner.
            Some(_) => return Ok(()),
            None => {}
        }
        fleets_agree(fleet, &members)?;
        let paired = paired_devices(&self.connection)?;
        match paired.iter().any(|(known, _)| known == device) {
            true => Ok(()),
            false => Err(CounterError::Stranger.into()),
        }
    }

    /// Lets in a device that proved who it is and brought the secret of an invitation. Where the
    /// owner's key is here and the owner said nothing of it yet, it is admitted too, from its
    /// first entry on.
    ///
    /// # Errors
    /// [`LogbookError::Counter`] if it was dismissed, or belongs to another fleet.
    pub fn let_in(
        &mut self,
        caller: &Caller,
        (role, name): (Role, Option<Label>),
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let members = Members::load(&self.connection)?;
        fleets_agree(caller.fleet, &members)?;
        let word = members.newest(&caller.device).map(|word| word.role);
        if word == Some(Role::Dismissed) {
            return Err(CounterError::Dismissed.into());
        }
        if word.is_none() && self.own_device()?.holds_owner_key {
            self.enrol(caller.device, (role, name), true, moment)?;
        }
        Ok(keep_paired(&self.connection, &caller.device, moment.today)?)
    }

    /// The devices that this counter let in, and since when.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn paired_devices(&self) -> Result<Vec<(DeviceId, NaiveDate)>, StoreError> {
        paired_devices(&self.connection)
    }

    /// Lets a device in no longer, unless the owner admitted it: then the owner dismisses it.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be written.
    pub fn forget_paired(&mut self, device: &DeviceId) -> Result<(), StoreError> {
        self.check_writable()?;
        forget_paired(&self.connection, device)
    }

    /// Writes what a device that calls lacks, as a bundle, and returns how many entries that is.
    ///
    /// # Errors
    /// [`LogbookError`] if what it says to have cannot be read, or `out` not written.
    pub fn give_to(
        &self,
        holds: &[u8],
        out: &mut dyn Write,
        today: NaiveDate,
    ) -> Result<u64, LogbookError> {
        let there = self.bundle_header(&InMemory::new("what the device has", holds))?;
        self.bundle(out, Some(&there), today, |_| ())
    }

    /// Takes in what a device that calls has sent, whole or its beginning, and says what is here
    /// then.
    ///
    /// # Errors
    /// [`LogbookError`] if it is no bundle, or of another device.
    pub fn take_from(
        &mut self,
        device: &DeviceId,
        bundle: &dyn Source,
        today: NaiveDate,
    ) -> Result<TakenThere, LogbookError> {
        if self.bundle_header(bundle)?.from.is_some_and(|from| from != *device) {
            return Err(CounterError::OtherMaker.into());
        }
        let merge = self.merge(bundle, today, |_, _| ())?;
        let header = Header::of(&self.connection, today)?;
        Ok(TakenThere { new: merge.new, refused: merge.refused, header })
    }
}

/// The most addresses of a counter that are kept.
const MOST_ADDRESSES: usize = 4;

/// Whether a device's record and the counter's may meet: of one fleet, or the device of none, or
/// of one whose owner's key was replaced since.
fn fleets_agree(device: Option<DeviceId>, counter: &Members) -> Result<(), CounterError> {
    match (device, counter.owner) {
        (Some(_), None) => Err(CounterError::NoFleetHere),
        (Some(device), Some(owner)) if device != owner && !counter.was_owner(&device) => {
            Err(CounterError::OtherFleet)
        }
        _ => Ok(()),
    }
}

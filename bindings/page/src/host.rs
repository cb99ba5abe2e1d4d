//! What the page needs of anyone who serves it.

use std::io::Write;
use std::sync::Arc;

use hosewright_core::Logbook;
use hosewright_core::device::{CounterAddress, DeviceId, Role, Secret};
use hosewright_core::file::Source;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;

use crate::meeting::{Meeting, Work};
use crate::refusal::Refusal;
use crate::response::Made;
use crate::watching::Watching;

/// A file that was sent. The host keeps it, for it may be larger than the memory.
pub trait Upload: Source + Send + Sync {}

impl<S: Source + Send + Sync> Upload for S {}

/// The open door to the shop's network, as people are shown it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Network {
    /// Where it is reached.
    pub addresses: Vec<CounterAddress>,
    /// The SHA-256 of its certificate, in pairs.
    pub fingerprint: String,
    /// Whether browsers come in: a pass phrase was chosen.
    pub browsers: bool,
}

/// What became of a symbol that lets one device in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Invited<S> {
    /// None is shown.
    Nobody,
    /// It waits.
    Waiting {
        /// What it holds.
        symbol: S,
        /// For so many whole minutes more.
        minutes: u64,
    },
    /// A device came in by it.
    Came(DeviceId),
    /// Its minutes are over.
    Over,
}

/// What is kept for a later request of the same person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waiting {
    /// A shop's own list, which waits for a yes.
    List,
    /// What other devices wrote, which waits for a yes.
    Entries,
    /// A bundle of another device, which says what that device has.
    Holdings,
    /// What is shown as a film.
    Film,
}

/// What the page needs of its host, for one request. Everything here may block.
pub trait Host {
    /// Gives the record to what reads it.
    ///
    /// # Errors
    /// [`Refusal`] if there is no record to be had.
    fn read(&self, work: &mut dyn FnMut(&Logbook)) -> Result<(), Refusal>;

    /// Gives the record to what writes in it, one after the other.
    ///
    /// # Errors
    /// [`Refusal`] if there is no record to be had.
    fn write(&self, work: &mut dyn FnMut(&mut Logbook)) -> Result<(), Refusal>;

    /// Makes a file, whole before any of it is sent.
    ///
    /// # Errors
    /// That of `write`, or [`Refusal::Broken`] if there is no room.
    fn make(
        &self,
        write: &mut dyn FnMut(&mut dyn Write) -> Result<(), Refusal>,
    ) -> Result<Made, Refusal>;

    /// Keeps a file until someone has said yes to it or more of it is asked for, under a key
    /// that only its sender knows.
    ///
    /// # Errors
    /// [`Refusal::Broken`] if there are no random bits for the key.
    fn keep(&self, what: Waiting, file: Arc<dyn Upload>) -> Result<String, Refusal>;

    /// The file of a key.
    ///
    /// # Errors
    /// [`Refusal::Bad`] if it is not here any more.
    fn kept(&self, what: Waiting, key: &str) -> Result<Arc<dyn Upload>, Refusal>;

    /// Forgets a file that was taken in.
    fn done(&self, what: Waiting, key: &str);

    /// Gives the film that this person watches to what looks at it.
    ///
    /// # Errors
    /// [`Refusal`] if there is no room for one.
    fn watching(&self, work: &mut dyn FnMut(&mut Watching)) -> Result<(), Refusal>;

    /// Makes the demonstration, once.
    ///
    /// # Errors
    /// [`Refusal::Broken`] if it cannot be made.
    fn make_demo(&self) -> Result<(), Refusal>;

    /// Whether other programs and devices reach this page by an address: a desk is reached,
    /// a page that has its record in its own browser is not.
    fn serves(&self) -> bool {
        true
    }

    /// Opens a session for the right pass phrase, and gives its key; none where
    /// the pass phrase is wrong.
    ///
    /// # Errors
    /// [`Refusal::TooMany`] after too many attempts.
    fn sign_in(&self, pass_phrase: &str) -> Result<Option<String>, Refusal>;

    /// The same for somebody who works here, by their name and PIN.
    ///
    /// # Errors
    /// As [`Host::sign_in`], or [`Refusal::Core`] if the PIN comes too early.
    fn sign_in_by_pin(
        &self,
        _name: &Label,
        _pin: &str,
        _moment: &Moment,
    ) -> Result<Option<String>, Refusal> {
        Ok(None)
    }

    /// Where the calendar of what is due is read without a session: secret addresses;
    /// none if it is off.
    ///
    /// # Errors
    /// [`Refusal::Broken`] if the host can't read where it keeps them.
    fn calendar(&self) -> Result<Vec<String>, Refusal>;

    /// Whether this is the last part of such an address.
    ///
    /// # Errors
    /// As [`Host::calendar`].
    fn is_calendar(&self, name: &str) -> Result<bool, Refusal>;

    /// Makes a new address, in place of the one before, or ends it.
    ///
    /// # Errors
    /// As [`Host::calendar`].
    fn set_calendar(&self, on: bool) -> Result<(), Refusal>;

    /// Ends the session.
    fn sign_out(&self);

    /// The door to the shop's network, if it is open.
    fn network(&self) -> Option<Network> {
        None
    }

    /// Whether a pass phrase was chosen for browsers.
    fn pass_phrase_chosen(&self) -> bool {
        false
    }

    /// Opens it, for browsers that give this pass phrase, or the one that was chosen before.
    ///
    /// # Errors
    /// [`Refusal::At`] if the pass phrase can't be taken, [`Refusal::Broken`] if the network
    /// can't be served, [`Refusal::NoPage`] where there is none.
    fn open_network(&self, _pass_phrase: Option<&str>) -> Result<(), Refusal> {
        Err(Refusal::NoPage)
    }

    /// Closes it.
    ///
    /// # Errors
    /// [`Refusal::NoPage`] where there is none.
    fn close_network(&self) -> Result<(), Refusal> {
        Err(Refusal::NoPage)
    }

    /// Begins a meeting that goes on after this request: one at a time.
    ///
    /// # Errors
    /// [`Refusal::Busy`] while another goes on, [`Refusal::NoPage`] where there is none.
    fn begin(&self, _meeting: Meeting, _work: Work) -> Result<(), Refusal> {
        Err(Refusal::NoPage)
    }

    /// The same over a network: with a counter, by its symbol's text or its address, or at the
    /// branches' server; nothing named, with every counter that this record knows.
    ///
    /// # Errors
    /// As [`Host::begin`]; [`Refusal::At`] if the place can't be read or there is none.
    fn call(
        &self,
        _meeting: Meeting,
        _place: &str,
        _pass_word: Option<&str>,
        _moment: &Moment,
    ) -> Result<(), Refusal> {
        Err(Refusal::NoPage)
    }

    /// The meeting that this session began last, if no other has begun since.
    fn meeting(&self) -> Option<Arc<Meeting>> {
        None
    }

    /// Stops it.
    fn stop_meeting(&self) {}

    /// Begins to let in one device, under a new secret; with the pass phrase of the owner's key,
    /// if that needs one to admit it.
    ///
    /// # Errors
    /// [`Refusal::Bad`] if the door is closed, [`Refusal::NoPage`] where there is none.
    fn invite(
        &self,
        _role: Role,
        _name: Option<Label>,
        _owner_pass: Option<&str>,
    ) -> Result<(), Refusal> {
        Err(Refusal::NoPage)
    }

    /// What became of the last symbol that let a device in.
    fn invited(&self) -> Invited<Secret> {
        Invited::Nobody
    }

    /// Lets nobody in by the symbol any more.
    fn uninvite(&self) {}
}

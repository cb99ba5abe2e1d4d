//! Where another record is met over a network: at a counter, or at the branches' server.

use std::collections::BTreeSet;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use hosewright_calling::Progress;
use hosewright_core::device::{CounterAddress, DeviceId, Invitation, InvitationError};
use hosewright_core::journal::{
    BranchError, BranchMeeting, BranchTable, HowFar, Moment, Stop, StoreError,
};
use hosewright_core::{BranchTerms, Logbook, LogbookError};

use crate::branches;

/// Where others are met.
pub enum Place {
    /// A PostgreSQL server, by its address.
    Server(String),
    /// A counter: by the symbol that it shows, or by its address.
    Counter(Option<Invitation>, Vec<CounterAddress>),
}

/// Before the address of a counter.
const HTTPS: &str = "https://";

impl Place {
    /// The place that was typed; nothing if it is neither.
    ///
    /// # Errors
    /// [`InvitationError`] if it is meant to be one and can't be read.
    pub fn typed(text: &str) -> Result<Option<Self>, InvitationError> {
        let text = text.trim();
        if branches::is_address(text) {
            return Ok(Some(Self::Server(text.to_owned())));
        }
        if let Some(address) = text.strip_prefix(HTTPS) {
            let address = address.trim_end_matches('/').parse()?;
            return Ok(Some(Self::Counter(None, vec![address])));
        }
        if Invitation::is_meant(text) {
            let invitation: Invitation = text.parse()?;
            let addresses = invitation.addresses().to_vec();
            return Ok(Some(Self::Counter(Some(invitation), addresses)));
        }
        Ok(None)
    }
}

/// Meets the branches at their server, until it is stopped: without what some devices wrote, of
/// those that it knows.
///
/// # Errors
/// [`LogbookError`] if the server can't be used.
pub fn server(
    logbook: &mut Logbook,
    (address, pass_word): (&str, Option<&str>),
    (without, again): (&[String], bool),
    moment: &Moment,
    stop: &Stop,
    progress: Progress<'_>,
) -> Result<BranchMeeting, LogbookError> {
    logbook.obey(stop)?;
    progress(HowFar::Waits);
    let mut server = opened(address, pass_word, stop)?;
    let known = server.holds()?;
    let known: BTreeSet<DeviceId> = known.into_iter().map(|held| held.device).collect();
    let named = |typed: &String| hosewright_core::device_named(&known, typed);
    let without: BTreeSet<DeviceId> = without.iter().map(named).collect::<Result<_, _>>()?;
    let terms = BranchTerms { without: &without, again, today: moment.today };
    let told = &mut |read, sent| progress(HowFar::Entries { read, sent });
    logbook.meet_branches(&mut server, &terms, told)
}

/// How often it looks whether it is to stop.
const LOOK: Duration = Duration::from_millis(100);

/// Connects to a server, unless it is stopped meanwhile: one that takes a connection and says
/// nothing may do so for ever.
fn opened(
    address: &str,
    pass_word: Option<&str>,
    stop: &Stop,
) -> Result<branches::Server, LogbookError> {
    let (address, pass_word) = (address.to_owned(), pass_word.map(ToOwned::to_owned));
    let (tells, told) = mpsc::channel();
    thread::spawn(move || {
        // Nobody hears it once it was stopped.
        let _ = tells.send(branches::Server::open(&address, pass_word.as_deref()));
    });
    loop {
        if stop.is_stopped() {
            return Err(StoreError::Stopped.into());
        }
        match told.recv_timeout(LOOK) {
            Ok(opened) => return Ok(opened?),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => {
                return Err(BranchError("the connection failed".to_owned()).into());
            }
        }
    }
}

//! Which devices a fleet's owner lets write what, and what follows for an entry.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension};

use super::StoreError;
use super::entry::Entry;
use crate::device::{DeviceId, Role, Warrant};
use crate::event::Event;

/// How far an entry is believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// Not by itself: it may add a finding or a hold, and clears nothing.
    AddsOnly,
    /// Wholly.
    Full,
}

crate::hose::words!(
    /// Why an entry is kept but not, or not wholly, believed.
    Aside, "reason", {
        /// The owner never admitted its device.
        Stranger = "stranger",
        /// Its device had been dismissed.
        Dismissed = "dismissed",
        /// Its device's role does not reach so far.
        Role = "role",
        /// It claims to be the owner's word, and is not.
        Warrant = "warrant",
        /// A device that is not, or no longer, answered for gave its number to
        /// another entry too.
        Doubled = "doubled",
        /// Its clock stands before that of the entry it follows.
        BackDated = "back-dated",
    }
);

impl Aside {
    /// How far it is believed all the same; nothing where not at all.
    #[must_use]
    pub const fn trust(self) -> Option<Trust> {
        match self {
            Self::Stranger | Self::Dismissed | Self::Role | Self::Warrant => None,
            Self::Doubled | Self::BackDated => Some(Trust::AddsOnly),
        }
    }
}

/// What the owner of the fleet said of each device. Without an owner every
/// device is believed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Members {
    /// The owner's key, where this record belongs to a fleet.
    pub owner: Option<DeviceId>,
    /// The owner's words on each device, oldest first.
    words: BTreeMap<DeviceId, Vec<Warrant>>,
}

impl Members {
    /// What the store's entries say of the fleet that it belongs to.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read.
    pub fn load(connection: &Connection) -> Result<Self, StoreError> {
        let owner: Option<Vec<u8>> = connection
            .prepare_cached("SELECT owner FROM store")?
            .query_row([], |row| row.get(0))
            .optional()?
            .flatten();
        let owner = owner.and_then(|bytes| DeviceId::from_bytes(&bytes));
        let mut members = Self { owner, words: BTreeMap::new() };
        if owner.is_some() {
            let mut statement = connection.prepare_cached(include_str!("sql/warrants.sql"))?;
            for row in statement.query_map([], |row| row.get::<_, String>(0))? {
                if let Ok(warrant) = serde_json::from_str(&row?) {
                    members.hear(warrant);
                }
            }
        }
        Ok(members)
    }

    /// Takes in a word of the owner; `false` where it is another's, forged, or known.
    pub fn hear(&mut self, warrant: Warrant) -> bool {
        if Some(warrant.fleet) != self.owner || !warrant.is_genuine() {
            return false;
        }
        let words = self.words.entry(warrant.device).or_default();
        let order = |w: &Warrant| (w.said, String::from(w.proof));
        match words.binary_search_by_key(&order(&warrant), order) {
            Ok(_) => false,
            Err(at) => {
                words.insert(at, warrant);
                true
            }
        }
    }

    /// The owner's newest word on a device.
    #[must_use]
    pub fn newest(&self, device: &DeviceId) -> Option<&Warrant> {
        self.words.get(device)?.last()
    }

    /// The devices that the owner spoke of.
    pub fn devices(&self) -> impl Iterator<Item = &DeviceId> {
        self.words.keys()
    }

    /// What a device may write as its entry of a number; nothing for a stranger.
    #[must_use]
    pub fn role(&self, device: &DeviceId, seq: u64) -> Option<Role> {
        let words = self.words.get(device)?.iter().rev();
        words.clone().find(|word| word.after < seq).map(|word| word.role)
    }

    /// Why a device may not write a kind of entry under a number, if it may not.
    #[must_use]
    pub fn forbids(&self, device: &DeviceId, seq: u64, kind: &str) -> Option<Aside> {
        self.owner?;
        match self.role(device, seq) {
            None => Some(Aside::Stranger),
            Some(Role::Dismissed) => Some(Aside::Dismissed),
            Some(Role::Read) => Some(Aside::Role),
            Some(Role::Bench) if matches!(kind, "limited" | "recalled") => Some(Aside::Role),
            Some(Role::Bench | Role::Owner) => None,
        }
    }

    /// Whether a second entry under a number of this device makes both doubtful:
    /// nobody answers for it, or nobody does any longer.
    fn is_unanswered_for(&self, device: &DeviceId) -> bool {
        let dismissed = self.newest(device).is_some_and(|word| word.role == Role::Dismissed);
        self.owner.is_some() && (dismissed || !device.signs())
    }

    /// Why an entry is not, or not wholly, believed, if it is not: a function
    /// of what is here, so that all who hold the same judge alike.
    #[must_use]
    pub fn judge(&self, entry: &Entry, around: Around) -> Option<Aside> {
        if entry.kind == Warrant::KIND {
            return self.judge_word(entry);
        }
        self.forbids(&entry.device, entry.seq, &entry.kind).or_else(|| {
            let doubled = around.doubled && self.is_unanswered_for(&entry.device);
            let back_dated = around.back_dated.then_some(Aside::BackDated);
            doubled.then_some(Aside::Doubled).or(back_dated)
        })
    }

    /// The owner's word counts whoever carries it.
    fn judge_word(&self, entry: &Entry) -> Option<Aside> {
        let Some(Event::Enrolled { warrant }) = entry.event() else { return None };
        let ours = self.owner.is_none_or(|owner| owner == warrant.fleet);
        (!ours || !warrant.is_genuine()).then_some(Aside::Warrant)
    }
}

/// What stands beside an entry in its device's numbering.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Around {
    /// Its number stands for another entry too.
    pub doubled: bool,
    /// The entry that it follows has a later clock.
    pub back_dated: bool,
}

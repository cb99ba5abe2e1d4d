//! Which devices a fleet's owner lets write what, and what follows for an entry.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension};

use super::StoreError;
use super::entry::Entry;
use super::successions::successions;
use crate::device::{DeviceId, Role, Succession, Warrant};
use crate::event::{Event, Released};

/// How far an entry is believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// Not at all: it is shown, and waits for someone to judge it.
    Disbelieved,
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
        /// Its device had the right to write it, and lost it since.
        RightsTaken = "rights-taken",
        /// A device of the time before keys wrote it, and nobody admitted it.
        Unsigned = "unsigned",
        /// Its bytes are not those that its device wrote.
        Altered = "altered",
        /// Its device's role does not reach so far.
        Role = "role",
        /// It claims to be the owner's permission, and is not.
        Warrant = "warrant",
        /// A device that is not, or no longer, answered for gave its number to
        /// another entry too.
        Doubled = "doubled",
        /// Its clock is before that of the entry it follows.
        BackDated = "back-dated",
    }
);

impl Aside {
    /// How far it is believed anyway.
    #[must_use]
    pub const fn trust(self) -> Trust {
        match self {
            Self::Stranger
            | Self::Dismissed
            | Self::Role
            | Self::Warrant
            | Self::Unsigned
            | Self::Altered => Trust::Disbelieved,
            Self::Doubled | Self::BackDated | Self::RightsTaken => Trust::AddsOnly,
        }
    }
}

/// What the owner of the fleet said of each device. Without an owner every
/// device is believed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Members {
    /// The owner's key, if this record belongs to a fleet.
    pub owner: Option<DeviceId>,
    /// The keys that were the owner's before: their words say nothing any more, and nobody
    /// claims anything by them.
    before: BTreeSet<DeviceId>,
    /// The owner's words on each device, oldest first.
    words: BTreeMap<DeviceId, Vec<Warrant>>,
}

impl Members {
    /// Those of a fleet of which nothing was said yet.
    #[must_use]
    pub const fn of(owner: Option<DeviceId>) -> Self {
        Self { owner, before: BTreeSet::new(), words: BTreeMap::new() }
    }

    /// What the store's entries say of the fleet that it belongs to.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn load(connection: &Connection) -> Result<Self, StoreError> {
        let owner: Option<Vec<u8>> = connection
            .prepare_cached("SELECT owner FROM store")?
            .query_row([], |row| row.get(0))
            .optional()?
            .flatten();
        Self::of_fleet(connection, owner.and_then(|bytes| DeviceId::from_bytes(&bytes)))
    }

    /// What the store's entries say of a fleet, whether or not the store belongs to it.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn of_fleet(connection: &Connection, owner: Option<DeviceId>) -> Result<Self, StoreError> {
        let mut members = Self::of(owner);
        if let Some(owner) = owner {
            let successions = successions(connection)?;
            let mut last = vec![owner];
            while let Some(to) = last.pop() {
                for word in successions.iter().filter(|word| word.to == to) {
                    if word.from != owner && members.before.insert(word.from) {
                        last.push(word.from);
                    }
                }
            }
            let mut statement = connection.prepare_cached(include_str!("sql/warrants.sql"))?;
            for row in statement.query_map([], |row| row.get::<_, String>(0))? {
                if let Ok(warrant) = serde_json::from_str(&row?) {
                    members.hear(warrant);
                }
            }
        }
        Ok(members)
    }

    /// Takes in a word of the owner; `false` if it is another's, forged, or known.
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

    /// Follows the owner's words to the newest key: of several words of one key the one that was
    /// said first counts. What the keys before said of devices says nothing any more.
    pub fn follow(&mut self, words: &[&Succession]) {
        while let Some(owner) = self.owner {
            let genuine = words.iter().filter(|word| word.from == owner && word.is_genuine());
            let next = genuine.min_by_key(|word| (word.said, String::from(word.proof)));
            match next {
                Some(word) if !self.before.contains(&word.to) => {
                    self.before.insert(owner);
                    self.owner = Some(word.to);
                    self.words.clear();
                }
                _ => return,
            }
        }
    }

    /// The same without what words that are doubted granted, and those words. What a doubted word
    /// takes away stays taken: to trust less is the safe side.
    #[must_use]
    pub fn without(&self, doubted: &BTreeSet<String>) -> (Self, Vec<Warrant>) {
        let (mut kept, mut left_out) =
            (Self { words: BTreeMap::new(), ..self.clone() }, Vec::new());
        for (device, words) in &self.words {
            let mut stays: Vec<Warrant> = Vec::new();
            for word in words {
                let takes = stays.last().is_some_and(|before| word.role.is_less(before.role));
                let is_doubted = doubted.contains(&String::from(word.proof));
                if is_doubted && !takes && word.role != Role::Dismissed {
                    left_out.push(word.clone());
                } else {
                    stays.push(word.clone());
                }
            }
            if !stays.is_empty() {
                kept.words.insert(*device, stays);
            }
        }
        (kept, left_out)
    }

    /// Whether a key was the owner's before this one.
    #[must_use]
    pub fn was_owner(&self, key: &DeviceId) -> bool {
        self.before.contains(key)
    }

    /// The owner's words on a device, oldest first.
    #[must_use]
    pub fn words_on(&self, device: &DeviceId) -> &[Warrant] {
        self.words.get(device).map(Vec::as_slice).unwrap_or_default()
    }

    /// The owner's newest word on a device.
    #[must_use]
    pub fn newest(&self, device: &DeviceId) -> Option<&Warrant> {
        self.words.get(device)?.last()
    }

    /// The greatest number of a device that the owner knew of when speaking of it.
    #[must_use]
    pub fn last_known(&self, device: &DeviceId) -> u64 {
        let words = self.words.get(device).into_iter().flatten();
        words.map(|word| word.after).max().unwrap_or(0)
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

    /// Why a device may not write something under a number, if it may not.
    #[must_use]
    pub fn forbids(&self, device: &DeviceId, seq: u64, right: Right) -> Option<Aside> {
        self.owner?;
        match self.role(device, seq) {
            None => Some(Aside::Stranger),
            Some(Role::Dismissed) => Some(Aside::Dismissed),
            Some(role) => (!right.is_of(role)).then_some(Aside::Role),
        }
    }

    /// Whether an earlier word of the owner gave a device the right that a later
    /// one took: what it wrote goes on adding, so that no reason is lost.
    fn once_allowed(&self, device: &DeviceId, seq: u64, right: Right) -> bool {
        let words = self.words.get(device).map(Vec::as_slice).unwrap_or_default();
        words.iter().any(|word| word.after < seq && right.is_of(word.role))
    }

    /// Whether a second entry under a number of this device makes both doubtful:
    /// nobody answers for it any longer.
    fn is_dismissed(&self, device: &DeviceId) -> bool {
        self.newest(device).is_some_and(|word| word.role == Role::Dismissed)
    }

    /// Why an entry is not, or not wholly, believed, if it is not: a function
    /// of what is here, so that all who hold the same judge alike.
    #[must_use]
    pub fn judge(&self, entry: &Entry, around: Around) -> Option<Aside> {
        if entry.kind == Warrant::KIND {
            return self.judge_word(entry);
        }
        if entry.kind == Succession::KIND {
            let Some(Event::Succeeded { succession }) = entry.event() else { return None };
            return (!succession.is_genuine()).then_some(Aside::Warrant);
        }
        if around.altered {
            return Some(Aside::Altered);
        }
        let doubled = around.doubled.then_some(Aside::Doubled);
        if !entry.device.signs() {
            return if around.admitted { doubled } else { Some(Aside::Unsigned) };
        }
        let right = Right::of(entry);
        let forbidden = self.forbids(&entry.device, entry.seq, right).map(|why| {
            let taken = self.once_allowed(&entry.device, entry.seq, right);
            if taken { Aside::RightsTaken } else { why }
        });
        forbidden.or_else(|| {
            let doubled = around.doubled && self.is_dismissed(&entry.device);
            let back_dated = around.back_dated.then_some(Aside::BackDated);
            doubled.then_some(Aside::Doubled).or(back_dated)
        })
    }

    /// The owner's word counts, no matter who brings it.
    fn judge_word(&self, entry: &Entry) -> Option<Aside> {
        let Some(Event::Enrolled { warrant }) = entry.event() else { return None };
        let fleet = warrant.fleet;
        let ours = self.owner.is_none_or(|owner| owner == fleet || self.was_owner(&fleet));
        (!ours || !warrant.is_genuine()).then_some(Aside::Warrant)
    }
}

/// What is beside an entry in its device's numbering.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Around {
    /// Its number names another entry too.
    pub doubled: bool,
    /// The entry that it follows has a later clock.
    pub back_dated: bool,
    /// Someone who may do so admitted it by its hash.
    pub admitted: bool,
    /// Its bytes do not have the hash that is beside them.
    pub altered: bool,
}

/// What a device must be allowed to do to write an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Right {
    /// What a bench does: all about hoses, sets and rentals.
    Bench,
    /// What is the owner's: limits, recalls, and what lifts doubt for all.
    Owner,
}

impl Right {
    /// The right that an entry needs.
    #[must_use]
    pub fn of(entry: &Entry) -> Self {
        match entry.kind.as_str() {
            // These are the owner's for some of what they may be about.
            "released" | "withdrawn" => entry.event().map_or(Self::Owner, |e| Self::of_event(&e)),
            kind if OWNERS.contains(&kind) => Self::Owner,
            _ => Self::Bench,
        }
    }

    /// The right that it takes to write something.
    #[must_use]
    pub fn of_event(event: &Event) -> Self {
        match event {
            Event::Released(Released { incident: true, .. }) => Self::Owner,
            Event::Withdrawn { about, .. } if about.fleet => Self::Owner,
            event if OWNERS.contains(&event.to_parts().0.as_str()) => Self::Owner,
            _ => Self::Bench,
        }
    }

    const fn is_of(self, role: Role) -> bool {
        match role {
            Role::Owner => true,
            Role::Bench => matches!(self, Self::Bench),
            Role::Read | Role::Dismissed => false,
        }
    }
}

/// The kinds that are the owner's alone.
const OWNERS: [&str; 9] = [
    "limited",
    "recalled",
    "recall-ended",
    "checked-off",
    "gap-lost",
    "admitted",
    "dismissed",
    "staffed",
    "staff-left",
];

#[cfg(test)]
#[path = "members_tests.rs"]
mod tests;

//! Who wrote what is in a file, before any of it is taken in.

use std::collections::BTreeMap;

use rusqlite::{Connection, params};
use serde::Serialize;

use super::StoreError;
use super::append::own_device;
use super::chain::Hashed;
use super::entry::Entry;
use super::members::{Around, Aside, Members};
use crate::device::{DeviceId, Role, Succession, Warrant};
use crate::event::Event;
use crate::hose::Label;

/// A device of which a file has entries.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Writer {
    /// The device.
    pub device: DeviceId,
    /// What the owner calls it.
    pub name: Option<Label>,
    /// Whether this record writes as it.
    pub own: bool,
    /// What it may write; nothing for a stranger, and where there is no owner.
    pub role: Option<Role>,
    /// How many of its entries are in the file.
    pub entries: u64,
    /// How many of them are not, or not wholly, believed here, and why.
    pub not_believed: BTreeMap<&'static str, u64>,
    /// How many of those are not here yet.
    pub not_believed_new: u64,
}

impl Writer {
    /// Whether a merge would bring entries of it that are not believed.
    #[must_use]
    pub const fn brings_doubt(&self) -> bool {
        self.not_believed_new > 0
    }
}

/// The writers of a file, as it is gone through.
pub struct Writers<'s> {
    store: &'s Connection,
    own: Option<DeviceId>,
    members: Members,
    /// What was heard before any entry is counted.
    heard: Vec<Event>,
    found: BTreeMap<DeviceId, Writer>,
}

impl<'s> Writers<'s> {
    /// Nobody so far.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn begin(store: &'s Connection) -> Result<Self, StoreError> {
        let (own, members) = (own_device(store)?, Members::load(store)?);
        Ok(Self { store, own, members, heard: Vec::new(), found: BTreeMap::new() })
    }

    /// Takes in the owner's permission, if an entry carries one: a merge brings it along,
    /// so it counts for all that is in the file. Every entry is heard before one
    /// is counted.
    pub fn hear(&mut self, entry: &Entry) {
        if [Warrant::KIND, Succession::KIND].contains(&entry.kind.as_str()) {
            self.heard.extend(entry.event());
        }
    }

    /// Whose words count, and then what they say.
    fn settle(&mut self) {
        let heard = std::mem::take(&mut self.heard);
        let words: Vec<&Succession> = heard
            .iter()
            .filter_map(|event| match event {
                Event::Succeeded { succession } => Some(succession),
                _ => None,
            })
            .collect();
        self.members.follow(&words);
        for event in heard {
            if let Event::Enrolled { warrant } = event {
                self.members.hear(warrant);
            }
        }
    }

    /// Counts an entry that its device is proven to have written.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn count(&mut self, hashed: &Hashed) -> Result<(), StoreError> {
        if !self.heard.is_empty() {
            self.settle();
        }
        let entry = &hashed.entry;
        let aside = self.members.judge(entry, Around::default());
        let new = aside.is_some() && !self.is_here(hashed)?;
        let word = self.members.newest(&entry.device);
        let writer = self.found.entry(entry.device).or_insert_with(|| Writer {
            device: entry.device,
            name: word.and_then(|word| word.name.clone()),
            own: self.own == Some(entry.device),
            role: word.map(|word| word.role),
            entries: 0,
            not_believed: BTreeMap::new(),
            not_believed_new: 0,
        });
        writer.entries += 1;
        writer.not_believed_new += u64::from(new);
        if let Some(why) = aside.map(Aside::word) {
            *writer.not_believed.entry(why).or_default() += 1;
        }
        Ok(())
    }

    /// All of them: first those that bring what is not believed.
    #[must_use]
    pub fn all(self) -> Vec<Writer> {
        let mut all: Vec<Writer> = self.found.into_values().collect();
        all.sort_by_key(|writer| (!writer.brings_doubt(), writer.not_believed.is_empty()));
        all
    }

    fn is_here(&self, hashed: &Hashed) -> Result<bool, StoreError> {
        let sql = "SELECT 1 FROM entry WHERE hash = ?2 AND seq = ?3
                   AND device = (SELECT number FROM device WHERE id = ?1)";
        let entry = &hashed.entry;
        let place = params![entry.device.bytes(), hashed.hash, entry.seq];
        Ok(self.store.prepare_cached(sql)?.exists(place)?)
    }
}

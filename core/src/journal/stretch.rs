//! Some entries with what proves them: the entries after each up to the next signature.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension};

use super::StoreError;
use super::chain::Cover;
use super::entry::Entry;
use super::read::{Stored, entries_of_number, newest_seq};
use super::statement::Listed;
use crate::device::DeviceId;
use crate::event::EntryId;

/// Entries of one device that are wanted: by number, the hash of each.
type Numbers = BTreeMap<u64, Vec<[u8; 32]>>;

/// Entries that are wanted, by device.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Wanted(BTreeMap<DeviceId, Numbers>);

impl Wanted {
    /// One more.
    pub fn add(&mut self, listed: &Listed) {
        let hashes = self.0.entry(listed.device).or_default().entry(listed.seq).or_default();
        hashes.push(*listed.id.hash());
    }

    /// The devices that wrote them.
    pub fn devices(&self) -> impl Iterator<Item = &DeviceId> {
        self.0.keys()
    }

    /// Hands each that is wanted to `take`, with those that prove it: by device, number and
    /// hash, and with whether it is wanted itself. The cost is that of what is taken.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read, or whatever `take` says.
    pub fn each<E: From<StoreError>>(
        &self,
        store: &Connection,
        mut take: impl FnMut(Stored, bool) -> Result<(), E>,
    ) -> Result<(), E> {
        self.0.iter().try_for_each(|(device, wanted)| of_device(store, device, wanted, &mut take))
    }
}

fn of_device<E: From<StoreError>>(
    store: &Connection,
    device: &DeviceId,
    wanted: &Numbers,
    take: &mut impl FnMut(Stored, bool) -> Result<(), E>,
) -> Result<(), E> {
    let Some(number) = number_of(store, device)? else { return Ok(()) };
    let (newest, mut done) = (newest_seq(store, device)?, 0);
    for first in wanted.keys() {
        let mut cover = Cover::default();
        for seq in (*first).max(done + 1)..=newest {
            let own = wanted.get(&seq).map(Vec::as_slice).unwrap_or_default();
            for stored in entries_of_number(store, number, seq)? {
                let is_wanted = own.contains(&stored.hash);
                if is_wanted || cover.leads_to(&stored.entry) {
                    cover.add(&stored.entry, stored.hash);
                    take(stored, is_wanted)?;
                }
            }
            done = seq;
            if cover.is_whole() {
                break;
            }
        }
    }
    Ok(())
}

/// An entry of the store; nothing if it is not there.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn entry_listed(store: &Connection, listed: &Listed) -> Result<Option<Entry>, StoreError> {
    let Some(number) = number_of(store, &listed.device)? else { return Ok(None) };
    let all = entries_of_number(store, number, listed.seq)?.into_iter();
    let found = all.filter(|stored| EntryId::new(stored.hash) == listed.id);
    Ok(found.map(|stored| stored.entry).next())
}

fn number_of(store: &Connection, device: &DeviceId) -> Result<Option<i64>, StoreError> {
    let sql = "SELECT number FROM device WHERE id = ?1";
    let found = store.prepare_cached(sql)?.query_row([device.bytes()], |row| row.get(0));
    Ok(found.optional()?)
}

//! A walk along every entry: which are as their devices wrote them.

use std::collections::{BTreeSet, HashSet};

use rusqlite::Connection;

use crate::event::EntryId;
use crate::journal::{self, Cover, Entry, Hashed, Signatures, StoreError, Stored};

/// What a walk along every entry found.
#[derive(Default)]
pub(super) struct Walked {
    pub(super) entries: u64,
    pub(super) unread: u64,
    pub(super) problems: Vec<String>,
    /// The entries that their devices are not proven to have written.
    pub(super) altered: BTreeSet<EntryId>,
}

/// The entries that their devices are not proven to have written.
pub(super) fn altered(connection: &Connection) -> Result<BTreeSet<EntryId>, StoreError> {
    Ok(walk(connection)?.altered)
}

/// Goes along every entry of every device.
pub(super) fn walk(connection: &Connection) -> Result<Walked, StoreError> {
    let mut walked = Walked::default();
    for tally in journal::tallies(connection)? {
        let mut walk = Walk::default();
        journal::each_entry_of::<StoreError>(connection, &tally.id, 0, |stored| {
            walked.entries += 1;
            walked.unread += u64::from(stored.entry.event().is_none());
            walk.step(stored, &mut walked);
            Ok(())
        })?;
        walk.prove(&mut walked);
    }
    Ok(walked)
}

/// A walk along a device's entries: each is what was hashed, each is signed or
/// led up to by one that is, and each signature is its device's.
#[derive(Default)]
struct Walk {
    run: Vec<Hashed>,
    cover: Cover,
}

impl Walk {
    /// So many entries are proven at once, or a few more, until all are signed for.
    const RUN: usize = 1024;

    fn step(&mut self, stored: Stored, walked: &mut Walked) {
        let Stored { entry, hash, proven, .. } = stored;
        if !proven {
            walked.problems.push(format!(
                "entry {} of device {} was changed after it was written; it is not believed",
                entry.seq,
                entry.device.short()
            ));
            walked.altered.insert(EntryId::new(hash));
            return;
        }
        self.cover.add(&entry, hash);
        self.run.push(Hashed { entry, hash });
        if self.run.len() >= Self::RUN && self.cover.is_whole() {
            self.prove(walked);
        }
    }

    fn prove(&mut self, walked: &mut Walked) {
        let run = std::mem::take(&mut self.run);
        let signed = run.iter().filter(|hashed| hashed.entry.signature.is_some());
        let signed: HashSet<[u8; 32]> = signed.map(|hashed| hashed.hash).collect();
        let (good, forged) = journal::proven(run, Signatures::All);
        let spoilt = good
            .iter()
            .filter(|hashed| hashed.entry.signature.is_none() && signed.contains(&hashed.hash));
        let spoilt = spoilt.map(|hashed| &hashed.entry);
        walked.problems.extend(forged.iter().chain(spoilt).map(journal::not_signed));
        walked.altered.extend(forged.iter().map(Entry::id));
    }
}

//! Proving entries: each names the hash of the one before it, so that a
//! signature proves its entry and all that lead up to it.

use std::collections::{BTreeSet, HashMap, HashSet};

use super::entry::Entry;
use crate::device::DeviceId;

/// An entry with its hash, which is worked out once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hashed {
    /// The entry.
    pub entry: Entry,
    /// SHA-256 of its canonical bytes.
    pub hash: [u8; 32],
}

impl From<Entry> for Hashed {
    fn from(entry: Entry) -> Self {
        let hash = entry.hash();
        Self { entry, hash }
    }
}

/// What some entries of a device lead up to, as they come by number: whether
/// each is signed for by one that came. Only there may they be parted.
#[derive(Debug, Default)]
pub struct Cover {
    /// Entries that no signature covers yet, and what each follows.
    open: HashMap<[u8; 32], Option<[u8; 32]>>,
}

impl Cover {
    /// Takes in the next entry.
    pub fn add(&mut self, entry: &Entry, hash: [u8; 32]) {
        if entry.signature.is_some() {
            let mut covered = entry.previous;
            while let Some(before) = covered.and_then(|hash| self.open.remove(&hash)) {
                covered = before;
            }
        } else if entry.device.signs() {
            self.open.insert(hash, entry.previous);
        }
    }

    /// Whether an entry follows one that no signature covers yet.
    #[must_use]
    pub fn leads_to(&self, entry: &Entry) -> bool {
        entry.previous.is_some_and(|before| self.open.contains_key(&before))
    }

    /// Whether all that came are signed for.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.open.is_empty()
    }
}

/// What is said of an entry that its device is not proven to have written.
#[must_use]
pub fn not_signed(entry: &Entry) -> String {
    format!("entry {} of device {} is not what that device signed", entry.seq, entry.device.short())
}

/// Which signatures are checked. Only what was checked is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signatures {
    /// Those that no later one covers: quick, for bundles.
    Needed,
    /// All of them, so that each entry can stand alone again.
    All,
}

/// Splits entries into those that their devices are proven to have written and
/// those that nobody can vouch for, sorted by device, number and hash. A
/// device that does not sign is taken at its word.
#[must_use]
pub fn proven(mut entries: Vec<Hashed>, check: Signatures) -> (Vec<Hashed>, Vec<Entry>) {
    let place = |h: &Hashed| (h.entry.device, h.entry.seq, h.hash);
    entries.sort_unstable_by_key(place);
    let mut led_up_to: HashSet<(DeviceId, u64, [u8; 32])> = HashSet::new();
    let (mut good, mut forged) = (Vec::with_capacity(entries.len()), Vec::new());
    for mut hashed in entries.into_iter().rev() {
        let entry = &mut hashed.entry;
        if led_up_to.contains(&(entry.device, entry.seq, hashed.hash)) {
            if check == Signatures::Needed || !is_signed(entry) {
                entry.signature = None;
            }
        } else if entry.device.signs() && !is_signed(entry) {
            forged.push(hashed.entry);
            continue;
        }
        if let Some(previous) = entry.previous {
            led_up_to.insert((entry.device, entry.seq - 1, previous));
        }
        good.push(hashed);
    }
    good.reverse();
    forged.reverse();
    (good, forged)
}

fn is_signed(entry: &Entry) -> bool {
    let signature = entry.signature.as_ref();
    signature.is_some_and(|sig| sig.proves(&entry.device, entry.canonical().as_bytes()))
}

/// Entries that went by, with no more kept of each than it takes to tell in the end which
/// of them their devices signed.
#[derive(Debug, Default)]
pub struct Proofs(Vec<Link>);

#[derive(Debug, Clone, Copy)]
struct Link {
    place: (DeviceId, u64, [u8; 32]),
    previous: Option<[u8; 32]>,
    /// Whether its own signature is good; nothing if it has none.
    signed: Option<bool>,
}

impl Proofs {
    /// Takes note of an entry.
    pub fn add(&mut self, entry: &Entry, hash: [u8; 32]) {
        let signed = entry.signature.map(|_| is_signed(entry));
        let place = (entry.device, entry.seq, hash);
        self.0.push(Link { place, previous: entry.previous, signed });
    }

    /// Those that nobody can vouch for. Unlike in a merge a signature that is not good
    /// counts against an entry even where a later one covers it, and so does that a
    /// device signs nothing.
    #[must_use]
    pub fn unproven(mut self) -> BTreeSet<[u8; 32]> {
        self.0.sort_unstable_by_key(|link| link.place);
        let mut led_up_to = BTreeSet::new();
        let mut unproven = BTreeSet::new();
        for Link { place, previous, signed } in self.0.into_iter().rev() {
            let (device, seq, hash) = place;
            if !signed.unwrap_or_else(|| led_up_to.contains(&place)) {
                unproven.insert(hash);
            } else if let Some(previous) = previous {
                led_up_to.insert((device, seq - 1, previous));
            }
        }
        unproven
    }
}

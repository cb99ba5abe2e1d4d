//! Which counters this device meets in a shop's network, and which devices this counter lets in.
//! Kept on this device alone, in tables that are made when they are first needed and are part of
//! no format: a record that is restored elsewhere is paired anew.

use chrono::{Datelike, NaiveDate};
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};

use super::read::{day, device};
use super::{Header, MergeReport, StoreError};
use crate::device::{CounterAddress, DeviceId};
use crate::hose::Label;

const TABLES: &str = "
    CREATE TABLE IF NOT EXISTS met_counter (
        device    BLOB PRIMARY KEY,
        -- Where it was reached, separated by spaces.
        addresses TEXT NOT NULL,
        -- The day of the last meeting: of the common era.
        met_on    INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE IF NOT EXISTS paired_device (
        device    BLOB PRIMARY KEY,
        paired_on INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;";

/// A counter that this device met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MetCounter {
    /// The counter.
    pub device: DeviceId,
    /// Where it was reached.
    pub addresses: Vec<CounterAddress>,
    /// When it was last met.
    pub met: NaiveDate,
}

/// What a counter says of what it was sent.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenThere {
    /// How many entries were new there.
    pub new: u64,
    /// How many it refused.
    pub refused: u64,
    /// What it has now.
    pub header: Header,
}

/// How far a meeting over a network is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HowFar {
    /// It waits for the other side.
    Waits,
    /// So many bytes came, of so many if that is known.
    Came(u64, Option<u64>),
    /// So many entries were taken in, of so many.
    TakenIn(u64, u64),
    /// So many bytes were sent, of so many.
    Sent(u64, u64),
    /// So many entries were read and sent.
    Entries {
        /// Read.
        read: u64,
        /// Sent.
        sent: u64,
    },
}

impl HowFar {
    /// What part of what is under way is done, of how much, where that is known.
    #[must_use]
    pub const fn share(self) -> Option<(u64, u64)> {
        match self {
            Self::Came(done, Some(all)) | Self::TakenIn(done, all) | Self::Sent(done, all)
                if all > 0 =>
            {
                Some((done, all))
            }
            _ => None,
        }
    }

    /// One word for what is under way: it stays the same while only the numbers go on.
    #[must_use]
    pub const fn phase(self) -> &'static str {
        match self {
            Self::Waits => "waits",
            Self::Came(..) => "comes",
            Self::TakenIn(..) => "taken-in",
            Self::Sent(..) => "sent",
            Self::Entries { .. } => "entries",
        }
    }
}

/// What a meeting with a counter came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CounterMeeting {
    /// The counter.
    pub counter: DeviceId,
    /// What the owner calls it.
    pub name: Option<Label>,
    /// The fleet that this device joined by it, if it did.
    pub joined: Option<DeviceId>,
    /// What came of what the counter had.
    pub merge: MergeReport,
    /// How many entries were sent.
    pub sent: u64,
    /// How many of them were new there.
    pub new_there: u64,
    /// How many of them it refused.
    pub refused_there: u64,
}

fn is_there(store: &Connection) -> Result<bool, StoreError> {
    let sql = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'paired_device'";
    Ok(store.prepare_cached(sql)?.exists([])?)
}

/// The counters that this device met, the one met last first.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn met_counters(store: &Connection) -> Result<Vec<MetCounter>, StoreError> {
    if !is_there(store)? {
        return Ok(Vec::new());
    }
    let sql = "SELECT device, addresses, met_on FROM met_counter ORDER BY met_on DESC, device";
    let mut found = store.prepare_cached(sql)?;
    let rows = found.query_map([], |row| {
        let addresses: String = row.get(1)?;
        let addresses = addresses.split(' ').filter_map(|text| text.parse().ok()).collect();
        Ok(MetCounter { device: device(row, 0)?, addresses, met: day(row.get(2)?) })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Keeps where a counter is reached and when it was met.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_counter(work: &Connection, counter: &MetCounter) -> Result<(), StoreError> {
    work.execute_batch(TABLES)?;
    let MetCounter { device, addresses, met } = counter;
    let addresses: Vec<String> = addresses.iter().map(ToString::to_string).collect();
    work.execute(
        "INSERT OR REPLACE INTO met_counter (device, addresses, met_on) VALUES (?1, ?2, ?3)",
        params![device.bytes(), addresses.join(" "), met.num_days_from_ce()],
    )?;
    Ok(())
}

/// The devices that this counter lets in, and since when.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn paired_devices(store: &Connection) -> Result<Vec<(DeviceId, NaiveDate)>, StoreError> {
    if !is_there(store)? {
        return Ok(Vec::new());
    }
    let sql = "SELECT device, paired_on FROM paired_device ORDER BY paired_on, device";
    let mut found = store.prepare_cached(sql)?;
    let rows = found.query_map([], |row| Ok((device(row, 0)?, day(row.get(1)?))))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Lets a device in from now on.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_paired(work: &Connection, device: &DeviceId, on: NaiveDate) -> Result<(), StoreError> {
    work.execute_batch(TABLES)?;
    work.execute(
        "INSERT OR REPLACE INTO paired_device (device, paired_on) VALUES (?1, ?2)",
        params![device.bytes(), on.num_days_from_ce()],
    )?;
    Ok(())
}

/// Lets a device in no longer.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn forget_paired(work: &Connection, device: &DeviceId) -> Result<(), StoreError> {
    work.execute_batch(TABLES)?;
    work.execute("DELETE FROM paired_device WHERE device = ?1", [device.bytes()])?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::HowFar;

    #[test]
    fn a_share_is_known_where_there_is_a_whole() {
        assert_eq!(HowFar::Came(3, Some(9)).share(), Some((3, 9)));
        assert_eq!(HowFar::TakenIn(2, 5).share(), Some((2, 5)));
        assert_eq!(HowFar::Sent(0, 7).share(), Some((0, 7)));
        for far in [
            HowFar::Waits,
            HowFar::Came(3, None),
            HowFar::TakenIn(0, 0),
            HowFar::Entries { read: 4, sent: 1 },
        ] {
            assert_eq!(far.share(), None, "{far:?}");
        }
    }
}

//! What a bundle says of itself.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::Connection;
use serde::{Deserialize, Serialize};

use crate::device::DeviceId;
use crate::journal::members::Members;
use crate::journal::{StoreError, count, met_on, own_device, tallies};

/// The first block of a bundle. It is a convenience and proves nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    /// The device that made it, if it ever wrote an entry.
    #[serde(default)]
    pub from: Option<DeviceId>,
    /// The fleet of the record that it was made from.
    #[serde(default)]
    pub fleet: Option<DeviceId>,
    /// What that record holds: for each device, up to which number without a
    /// gap. A device that was copied is left out.
    pub holds: BTreeMap<DeviceId, u64>,
    /// How many entries that record holds.
    pub entries: u64,
    /// On which day it was made; nothing in one of an earlier program.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<NaiveDate>,
    /// What only a backup says; a program that does not know it merges the same entries.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub backup: Option<BackupNote>,
}

/// What a backup has besides the entries: what the device that made it alone knew.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackupNote {
    /// When that device last met another of its fleet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub met: Option<NaiveDate>,
}

impl Header {
    /// The header of a bundle that is made from a store on a day.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn of(store: &Connection, made: NaiveDate) -> Result<Self, StoreError> {
        let whole =
            tallies(store)?.into_iter().filter(|t| t.entries > 0 && !t.has_gap() && !t.forked);
        Ok(Self {
            from: own_device(store)?,
            fleet: Members::load(store)?.owner,
            holds: whole.map(|tally| (tally.id, tally.newest_seq)).collect(),
            entries: count(store)?,
            made: Some(made),
            backup: None,
        })
    }

    /// The header of a backup that is made from a store on a day.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn of_backup(store: &Connection, made: NaiveDate) -> Result<Self, StoreError> {
        let backup = Some(BackupNote { met: met_on(store)? });
        Ok(Self { backup, ..Self::of(store, made)? })
    }
}

//! What was found, kept in a file of its own until it is merged: memory stays
//! flat however large the damaged file is.

use rusqlite::{Connection, params};

use super::pages::Pages;
use super::{Devices, Hashed, Recognised, StoreError, recognise, recognise_key, rows};
use crate::device::DeviceId;
use crate::file::Source;
use crate::journal::chain::Cover;
use crate::journal::{entry_of_line, line_of_entry};

/// Entries are handed on so many at once, or more until all are signed for.
const RUN: usize = 256;
/// If a signature is lost, no more than so many wait for it.
const LONGEST: usize = 4096;

/// Numbers of a device from one to another, both counted.
pub type Numbers = (u64, u64);

/// What was read of a damaged file.
pub struct Salvage {
    staged: Connection,
    /// Images of pages that the system could not read.
    pub unreadable: u64,
    /// Rows that look like entries, and whose bytes are not what was hashed.
    pub spoilt: u64,
    /// The owner's key of the fleet, where it was found.
    pub owner: Option<DeviceId>,
    devices: Devices,
}

impl Salvage {
    /// Reads what can be read of a file and of the log beside it; `progress` is told how many of how many pages
    /// are done. Entries name their device by a number of this file alone:
    /// `likely` devices are tried if that number's row is lost. The file is
    /// not changed.
    ///
    /// # Errors
    /// [`StoreError`] if the file cannot be opened at all.
    pub fn read(
        (damaged, log): (&dyn Source, &dyn Source),
        likely: &[DeviceId],
        mut progress: impl FnMut(usize, usize),
    ) -> Result<Self, StoreError> {
        let io = |source| StoreError::Io { path: damaged.name(), source };
        let mut pages = Pages::open(damaged, log).map_err(io)?;
        // An empty name is a file that is gone when it is closed; a browser's storage has
        // no such files.
        let staged = if cfg!(target_family = "wasm") { ":memory:" } else { "" };
        let staged = Connection::open(staged)?;
        staged.execute_batch(
            "CREATE TABLE found (
                 device BLOB, seq INTEGER, hash BLOB, line TEXT, PRIMARY KEY (device, seq, hash)
             ) STRICT, WITHOUT ROWID;
             BEGIN",
        )?;
        let mut devices = Devices::default();
        likely.iter().for_each(|id| devices.add(0, *id, 0));
        let mut salvage = Self { staged, unreadable: 0, spoilt: 0, owner: None, devices };
        let all = 2 * pages.count();
        // Entries name their device by a number, so the devices come first.
        for round in [Round::Devices, Round::Entries] {
            for at in 0..pages.count() {
                salvage.walk(&mut pages, at, round)?;
                progress(at + 1 + if round == Round::Entries { all / 2 } else { 0 }, all);
            }
        }
        Ok(salvage)
    }

    fn walk(&mut self, pages: &mut Pages, at: usize, round: Round) -> Result<(), StoreError> {
        let Some(image) = pages.image(at) else {
            self.unreadable += u64::from(round == Round::Entries);
            return Ok(());
        };
        if round == Round::Devices {
            rows::each_key(&image, |key| {
                if let Some((number, id)) = recognise_key(key) {
                    self.devices.add(number, id, 0);
                }
            });
        }
        let mut found = Vec::new();
        rows::each(
            &image,
            |number| pages.page(number),
            |number, row| found.extend(recognise(number, row)),
        );
        for row in found {
            match (round, row) {
                (Round::Devices, Recognised::Device { number, id, newest_seq }) => {
                    self.devices.add(number, id, newest_seq);
                }
                (Round::Devices, Recognised::Owner(owner)) => self.owner = Some(owner),
                (Round::Entries, Recognised::Entry(row)) => match self.devices.prove(*row) {
                    Some(hashed) => self.stage(&hashed)?,
                    None => self.spoilt += 1,
                },
                _ => {}
            }
        }
        Ok(())
    }

    fn stage(&self, hashed: &Hashed) -> Result<(), StoreError> {
        let Hashed { entry, hash } = hashed;
        self.staged
            .prepare_cached("INSERT OR IGNORE INTO found VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![entry.device.bytes(), entry.seq, hash, line_of_entry(entry)])?;
        Ok(())
    }

    /// Whether nothing was found.
    ///
    /// # Errors
    /// [`StoreError`] if the temporary file cannot be read.
    pub fn is_empty(&self) -> Result<bool, StoreError> {
        Ok(!self.staged.prepare("SELECT 1 FROM found")?.exists([])?)
    }

    /// Hands on what was found, device by device and by number, in runs that
    /// can be proven by themselves.
    ///
    /// # Errors
    /// Whatever `take` says, or [`StoreError`] if there is no room for
    /// temporary files.
    pub fn each_run<E: From<StoreError>>(
        &self,
        mut take: impl FnMut(Vec<Hashed>) -> Result<(), E>,
    ) -> Result<(), E> {
        let sql = "SELECT line FROM found ORDER BY device, seq, hash";
        let mut statement = self.staged.prepare(sql).map_err(StoreError::from)?;
        let mut lines = statement.query([]).map_err(StoreError::from)?;
        let (mut run, mut cover): (Vec<Hashed>, Cover) = Default::default();
        while let Some(row) = lines.next().map_err(StoreError::from)? {
            let line: String = row.get(0).map_err(StoreError::from)?;
            let Ok(entry) = entry_of_line(&line) else { continue };
            let last = run.last().map(|last| (last.entry.device, last.entry.seq));
            let follows = last.is_none_or(|(device, seq)| {
                device == entry.device && (seq == entry.seq || seq + 1 == entry.seq)
            });
            let whole = run.len() >= RUN && cover.is_whole();
            if !follows || whole || run.len() >= LONGEST {
                take(std::mem::take(&mut run))?;
                cover = Cover::default();
            }
            let hashed = Hashed::from(entry);
            cover.add(&hashed.entry, hashed.hash);
            run.push(hashed);
        }
        if run.is_empty() { Ok(()) } else { take(run) }
    }

    /// The numbers of each device that it gave once and that were not found.
    ///
    /// # Errors
    /// [`StoreError`] if there is no room for temporary files.
    pub fn lost(&self) -> Result<Vec<(DeviceId, Vec<Numbers>)>, StoreError> {
        let sql = "SELECT DISTINCT seq FROM found WHERE device = ?1 ORDER BY seq";
        let mut statement = self.staged.prepare(sql)?;
        let mut all = Vec::new();
        for (device, newest) in &self.devices.newest_seq {
            let (mut lost, mut next) = (Vec::new(), 1);
            for seq in statement.query_map([device.bytes()], |row| row.get::<_, u64>(0))? {
                let seq = seq?;
                if seq > next {
                    lost.push((next, seq - 1));
                }
                next = seq + 1;
            }
            if *newest >= next {
                lost.push((next, *newest));
            }
            if !lost.is_empty() {
                all.push((*device, lost));
            }
        }
        Ok(all)
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Round {
    Devices,
    Entries,
}

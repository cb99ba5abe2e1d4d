//! Meeting at a table of entries that all branches reach.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use super::super::{Logbook, LogbookError};
use crate::device::{DeviceId, DeviceKey, Signature};
use crate::journal::{
    self, BranchDevice, BranchError, BranchHeld, BranchMeeting, BranchRow, BranchRows, BranchTable,
    Cover, Hashed, Header, MergeReport, NewBranchRow, Signatures, StoreError, each_entry_of,
    entry_of_line, keep_held, keep_read, line_of_entry, missing_numbers, not_signed, proven,
    read_up_to, tallies,
};

/// So many rows are asked for at once, and merged in one transaction.
const ROWS: usize = 20_000;
/// So many are sent at once, or a few more: up to one that is signed.
const SENT_AT_ONCE: usize = 2_000;
/// So many rows may wait for the one that signs for them. A device signs each 256th of what it
/// writes at once; who sends more that nobody signed is not heard on them.
const MOST_OPEN: usize = 20_000;
/// How many numbers further the one may be that signs for a missing one.
const SIGNED_WITHIN: u64 = 256;

/// How branches meet.
#[derive(Debug, Clone, Copy)]
pub struct BranchTerms<'t> {
    /// The devices whose entries are left out.
    pub without: &'t BTreeSet<DeviceId>,
    /// Whether all is offered again, also what the server says to have: rows that somebody
    /// changed there are made good by it.
    pub again: bool,
    /// Today.
    pub today: NaiveDate,
}

/// How far it is: how many rows were read and sent.
type Progress<'p> = dyn FnMut(u64, u64) + 'p;

/// A meeting under way.
#[derive(Default)]
struct Underway {
    meeting: BranchMeeting,
    /// Rows that were read and wait for the one that signs for them.
    open: Vec<(u64, Hashed)>,
    /// The places of those that were refused: one that is read a second time is not told twice.
    refused: BTreeSet<u64>,
}

/// With what rows are taken in, and the table whose place is kept: none where rows are read a
/// second time.
type Taking<'t> = (&'t BranchTerms<'t>, Option<&'t str>);

impl Logbook {
    /// Meets the other branches at a table of entries: reads the rows that are new since the last
    /// time, those of missing numbers again, and sends what is not there. Rows come in some
    /// thousand at once, each time all or none; where it breaks off it goes on the next time.
    ///
    /// # Errors
    /// [`LogbookError::Branches`] if the server can't be used, else as [`Logbook::merge`].
    pub fn meet_branches(
        &mut self,
        table: &mut dyn BranchTable,
        terms: &BranchTerms<'_>,
        progress: &mut Progress<'_>,
    ) -> Result<BranchMeeting, LogbookError> {
        self.take_identity()?;
        let id = table.id()?;
        let mut underway = Underway::default();
        // What the others had before the rows are read: then all of it ought to be among them.
        let others = headers(table)?;
        self.read_new(table, &id, terms, &mut underway, progress)?;
        let held = holds(table)?;
        self.read_missing(table, &held, terms, &mut underway, progress)?;
        // What came in may have shown that this device was copied.
        let own = self.take_identity()?;
        let Underway { mut meeting, .. } = underway;
        self.hear_of_others(&others, &own, terms.today)?;
        let again = terms.again || meeting.merge.refused > 0;
        let offered = if again { &NOTHING_HELD } else { &held };
        self.send(table, &id, offered, &mut meeting, progress)?;
        let held = holds(table)?;
        let gapless = held.values().filter(|held| held.numbers == held.newest_seq);
        let gapless = gapless.map(|held| (held.device, held.newest_seq)).collect();
        keep_held(&self.connection, &id, &gapless)?;
        let left = Header::of(&self.connection, terms.today)?;
        if let Some(key) = &self.key {
            table.leave(&own, &signed(&left, key))?;
        }
        meeting.devices = self.branch_devices(&held)?;
        Ok(meeting)
    }

    /// Reads what is behind the place that was reached before.
    fn read_new(
        &mut self,
        table: &mut dyn BranchTable,
        id: &str,
        terms: &BranchTerms<'_>,
        underway: &mut Underway,
        progress: &mut Progress<'_>,
    ) -> Result<(), LogbookError> {
        let mut position = 0;
        if let Some((reached, digest)) = read_up_to(&self.connection, id)? {
            let there = rows(table, BranchRows::All, reached.saturating_sub(1), 1)?;
            let same = |row: &BranchRow| row.position == reached && digest_of(row) == digest;
            let same = there.first().is_some_and(same);
            underway.meeting.from_the_start = !same;
            position = if same { reached } else { 0 };
        }
        self.read_on(table, (BranchRows::All, position), (terms, Some(id)), underway, progress)
    }

    /// Reads what is missing here and said to be there: rows that were refused before, or that a
    /// server shows late.
    fn read_missing(
        &mut self,
        table: &mut dyn BranchTable,
        held: &BTreeMap<DeviceId, BranchHeld>,
        terms: &BranchTerms<'_>,
        underway: &mut Underway,
        progress: &mut Progress<'_>,
    ) -> Result<(), LogbookError> {
        for held in held.values().filter(|held| !terms.without.contains(&held.device)) {
            let missing = missing_numbers(&self.connection, &held.device)?;
            let newest = journal::newest_seq(&self.connection, &held.device)?;
            let behind = (newest < held.newest_seq).then_some((newest + 1, held.newest_seq));
            for (first, last) in missing.into_iter().chain(behind) {
                let which = BranchRows::Of(held.device, first, last.saturating_add(SIGNED_WITHIN));
                self.read_on(table, (which, 0), (terms, None), underway, progress)?;
            }
        }
        Ok(())
    }

    fn read_on(
        &mut self,
        table: &mut dyn BranchTable,
        (which, mut position): (BranchRows, u64),
        taking: Taking<'_>,
        underway: &mut Underway,
        progress: &mut Progress<'_>,
    ) -> Result<(), LogbookError> {
        loop {
            let rows = rows(table, which, position, ROWS)?;
            let last = rows.len() < ROWS;
            position = rows.last().map_or(position, |row| row.position);
            underway.meeting.read += u64::try_from(rows.len()).unwrap_or(0);
            if !rows.is_empty() || !underway.open.is_empty() {
                let merged = self.take_rows(&rows, last, taking, underway)?;
                underway.meeting.merge.join(merged);
            }
            progress(underway.meeting.read, underway.meeting.sent);
            if last {
                return Ok(());
            }
        }
    }

    /// Merges some rows; those that nothing signs for yet wait for the next, unless these are the
    /// last.
    fn take_rows(
        &mut self,
        rows: &[BranchRow],
        last: bool,
        taking: Taking<'_>,
        underway: &mut Underway,
    ) -> Result<MergeReport, LogbookError> {
        let mut at: HashMap<[u8; 32], u64> = HashMap::new();
        let Underway { open, refused: told, .. } = underway;
        let mut refused = Vec::new();
        let mut entries = Vec::with_capacity(rows.len() + open.len());
        for (position, hashed) in std::mem::take(open) {
            at.insert(hashed.hash, position);
            entries.push(hashed);
        }
        for BranchRow { position, line } in rows {
            match entry_of_line(line) {
                Ok(entry) => {
                    let hashed = Hashed::from(entry);
                    at.entry(hashed.hash).or_insert(*position);
                    entries.push(hashed);
                }
                Err(error) => refused.push((*position, error.to_string())),
            }
        }
        let (good, unproven) = proven(entries, Signatures::Needed);
        for entry in unproven {
            let hashed = Hashed::from(entry);
            let position = at.get(&hashed.hash).copied().unwrap_or_default();
            if hashed.entry.signature.is_none() && !last && open.len() < MOST_OPEN {
                open.push((position, hashed));
            } else if !self.has(&hashed)? {
                refused.push((position, not_signed(&hashed.entry)));
            }
        }
        refused.retain(|(position, _)| told.insert(*position));
        refused.sort_unstable();
        let first_open = open.iter().map(|(position, _)| *position).min().unwrap_or(u64::MAX);
        let reached = rows.iter().rev().find(|row| row.position < first_open);
        let (terms, table) = taking;
        self.take_in(terms.today, |merge| {
            merge.leave_out(terms.without);
            for (position, why) in refused {
                merge.report().refuse(format!("row {position} on the server: {why}"));
            }
            merge.take_proven((good, Vec::new()))?;
            if let Some((table, row)) = table.zip(reached) {
                keep_read(merge.work(), table, (row.position, digest_of(row)))?;
            }
            Ok(())
        })
    }

    /// Whether an entry is here already.
    fn has(&self, hashed: &Hashed) -> Result<bool, StoreError> {
        let sql = "SELECT 1 FROM entry
                   WHERE device = (SELECT number FROM device WHERE id = ?1) AND seq = ?2
                   AND hash = ?3";
        let of = rusqlite::params![hashed.entry.device.bytes(), hashed.entry.seq, hashed.hash];
        Ok(self.connection.prepare_cached(sql)?.exists(of)?)
    }

    /// Notes what others said that they have, and that they were met: whoever has nothing that is
    /// not here now. The server can hold back what they said last, and forge none of it.
    fn hear_of_others(
        &mut self,
        others: &[Header],
        own: &DeviceId,
        today: NaiveDate,
    ) -> Result<(), StoreError> {
        let here = Header::of(&self.connection, today)?;
        let is_here = |(device, seq): (&DeviceId, &u64)| {
            here.holds.get(device).is_some_and(|newest| newest >= seq)
        };
        for other in others.iter().filter(|other| other.from.as_ref() != Some(own)) {
            self.note_other(other, today)?;
            if other.holds.iter().all(is_here) {
                self.met(other, today)?;
            }
        }
        Ok(())
    }

    /// Sends what the server says not to have. Of a device of which it has gaps, and of one that
    /// was copied, all is offered again: what is there changes nothing.
    fn send(
        &mut self,
        table: &mut dyn BranchTable,
        id: &str,
        held: &BTreeMap<DeviceId, BranchHeld>,
        meeting: &mut BranchMeeting,
        progress: &mut Progress<'_>,
    ) -> Result<(), LogbookError> {
        let mut read = read_up_to(&self.connection, id)?;
        for tally in tallies(&self.connection)? {
            let there = held.get(&tally.id).filter(|_| !tally.forked);
            let above = match there {
                Some(there) if there.numbers == there.newest_seq => there.newest_seq,
                Some(there) if there.numbers >= tally.entries => continue,
                _ => 0,
            };
            let mut cover = Cover::default();
            let mut waiting = Vec::new();
            each_entry_of::<LogbookError>(&self.connection, &tally.id, above, |stored| {
                let entry = &stored.entry;
                cover.add(entry, stored.hash);
                let line = line_of_entry(entry);
                waiting.push(NewBranchRow { device: entry.device, seq: entry.seq, line });
                if waiting.len() >= SENT_AT_ONCE && cover.is_whole() {
                    meeting.sent += add(table, &waiting, &mut read)?;
                    waiting.clear();
                    progress(meeting.read, meeting.sent);
                }
                Ok(())
            })?;
            if !waiting.is_empty() {
                meeting.sent += add(table, &waiting, &mut read)?;
                progress(meeting.read, meeting.sent);
            }
        }
        if let Some(read) = read {
            keep_read(&self.connection, id, read)?;
        }
        Ok(())
    }

    fn branch_devices(
        &self,
        held: &BTreeMap<DeviceId, BranchHeld>,
    ) -> Result<Vec<BranchDevice>, LogbookError> {
        let mut devices = Vec::new();
        for view in self.devices()? {
            let device = view.device;
            let there = held.get(&device);
            let mut missing = missing_numbers(&self.connection, &device)?;
            let behind = there.filter(|there| there.newest_seq > view.newest_seq);
            missing.extend(behind.map(|there| (view.newest_seq + 1, there.newest_seq)));
            devices.push(BranchDevice {
                device,
                name: view.name,
                own: view.own,
                newest_on: view.newest_on,
                entries: view.entries,
                missing,
                lacks: view.entries.saturating_sub(there.map_or(0, |there| there.numbers)),
            });
        }
        Ok(devices)
    }
}

/// How far a table was read: the place, and the digest of the line there.
type ReadUpTo = Option<(u64, [u8; 32])>;

/// Adds rows, and counts as read what is one's own; what a server says of that is believed of
/// rows that were sent just now alone.
pub(super) fn add(
    table: &mut dyn BranchTable,
    rows: &[NewBranchRow],
    read: &mut ReadUpTo,
) -> Result<u64, BranchError> {
    let place = read.map_or(0, |(place, _)| place);
    let added = table.add(rows, place)?;
    let own = added.last.filter(|last| last.position > place);
    if let Some(last) = own.filter(|last| rows.iter().any(|row| row.line == last.line)) {
        *read = Some((last.position, digest_of(&last)));
    }
    Ok(added.new)
}

/// What is offered everything.
static NOTHING_HELD: BTreeMap<DeviceId, BranchHeld> = BTreeMap::new();

/// Before what a device says of itself, in what it signs: so that it is never taken for an entry.
const SAID: &str = "Hosewright, what this device has: ";

/// What a device says of itself, with its signature before it.
fn signed(header: &Header, key: &DeviceKey) -> String {
    let text = serde_json::to_string(header).unwrap_or_default();
    let signature = key.sign(format!("{SAID}{text}").as_bytes());
    format!("{} {text}", HEXLOWER.encode(&signature.0))
}

/// What others said of themselves; what they did not sign says nothing.
fn headers(table: &mut dyn BranchTable) -> Result<Vec<Header>, BranchError> {
    let read = |left: &String| {
        let (signature, text) = left.split_once(' ')?;
        let header: Header = serde_json::from_str(text).ok()?;
        let bytes = HEXLOWER.decode(signature.as_bytes()).ok()?;
        let signature = Signature(bytes.try_into().ok()?);
        let said = format!("{SAID}{text}");
        signature.proves(header.from.as_ref()?, said.as_bytes()).then_some(header)
    };
    Ok(table.headers()?.iter().filter_map(read).collect())
}

fn holds(table: &mut dyn BranchTable) -> Result<BTreeMap<DeviceId, BranchHeld>, BranchError> {
    Ok(table.holds()?.into_iter().map(|held| (held.device, held)).collect())
}

/// Rows as they may be believed to come one after the other: else the reading would never end.
fn rows(
    table: &mut dyn BranchTable,
    which: BranchRows,
    after: u64,
    most: usize,
) -> Result<Vec<BranchRow>, BranchError> {
    let rows = table.rows(which, after, most)?;
    let places = std::iter::once(after).chain(rows.iter().map(|row| row.position));
    if rows.len() > most || !places.is_sorted_by(|a, b| a < b) {
        return Err(BranchError("its rows do not come in their order".to_owned()));
    }
    Ok(rows)
}

fn digest_of(row: &BranchRow) -> [u8; 32] {
    Sha256::digest(&row.line).into()
}

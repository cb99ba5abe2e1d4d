//! Meeting by a file: bundles out and in.

use std::collections::BTreeSet;
use std::io::Write;
use std::sync::mpsc::{SyncSender, sync_channel};

use chrono::NaiveDate;

use super::super::{Logbook, LogbookError};
use crate::device::{DeviceId, DeviceKey, Succession, Warrant};
use crate::file::{Reader, Source, ending};
use crate::journal::{
    self, BundleError, BundleReader, Entry, Hashed, Header, Members, Merge, MergeReport, Part,
    Signatures, StoreError, Writer, Writers, entry_of_line, is_merged, keep_meeting, keep_merged,
    keep_other, met_on, own_device, proven, write_bundle,
};

impl Logbook {
    /// Writes a bundle of all that is here, less what the maker of an earlier
    /// bundle had, and returns how many entries that is.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or `out` not written.
    pub fn bundle(
        &self,
        out: &mut dyn Write,
        since: Option<&Header>,
        today: NaiveDate,
        progress: impl FnMut(u64),
    ) -> Result<u64, LogbookError> {
        write_bundle(&self.connection, (since, today), out, progress)
    }

    /// What a bundle says of itself.
    ///
    /// # Errors
    /// [`LogbookError::Bundle`] if it is none.
    pub fn bundle_header(&self, bundle: &dyn Source) -> Result<Header, LogbookError> {
        Ok(open(bundle)?.header().clone())
    }

    /// Takes in a bundle, all that is good in it in one transaction. `progress`
    /// is told how many entries were looked at, of how many.
    ///
    /// # Errors
    /// [`LogbookError`] if it is not a bundle, or the store cannot be written.
    pub fn merge(
        &mut self,
        bundle: &dyn Source,
        today: NaiveDate,
        progress: impl FnMut(u64, u64),
    ) -> Result<MergeReport, LogbookError> {
        self.merge_without(bundle, &BTreeSet::new(), today, progress)
    }

    /// The same without what some devices wrote. The owner's words that others
    /// carry come in.
    ///
    /// # Errors
    /// As [`Logbook::merge`].
    pub fn merge_without(
        &mut self,
        bundle: &dyn Source,
        without: &BTreeSet<DeviceId>,
        today: NaiveDate,
        mut progress: impl FnMut(u64, u64),
    ) -> Result<MergeReport, LogbookError> {
        let named = bundle;
        let mut bundle = open(named)?;
        let header = bundle.header().clone();
        let digest = ending(named).map_err(|e| unreadable(named, e.into()))?;
        if let Some(digest) = digest
            && is_merged(&self.connection, &digest)?
            && is_whole(open(named)?, &digest).map_err(|e| unreadable(named, e.into()))?
        {
            let known = header.entries;
            self.note_other(&header, today)?;
            self.met(&header, today)?;
            return Ok(MergeReport { known, ..MergeReport::default() });
        }
        let report = self.take_in(today, |merge| {
            merge.leave_out(without);
            take_bundle(merge, &mut bundle, named, &mut progress)
        })?;
        self.note_other(&header, today)?;
        if without.is_empty() && report.refused == 0 {
            self.met(&header, today)?;
        }
        Ok(report)
    }

    /// Notes what the maker of a bundle has.
    pub(super) fn note_other(
        &mut self,
        header: &Header,
        today: NaiveDate,
    ) -> Result<(), StoreError> {
        let work = journal::begin(&mut self.connection)?;
        let own = own_device(&work)?;
        keep_other(&work, header, own.as_ref(), today)?;
        Ok(work.commit()?)
    }

    /// Notes a meeting with another device of the fleet: on the day on which its
    /// bundle was made, since it knows nothing later.
    pub(super) fn met(&mut self, header: &Header, today: NaiveDate) -> Result<(), StoreError> {
        let members = Members::load(&self.connection)?;
        let other = header.from.filter(|from| Some(*from) != self.key.as_ref().map(DeviceKey::id));
        let ours = members.owner.is_some() && header.fleet == members.owner && other.is_some();
        if let Some(made) = header.made.filter(|_| ours) {
            let on = made.min(today);
            let before = met_on(&self.connection)?.filter(|before| *before <= today);
            keep_meeting(&self.connection, before.map_or(on, |before| before.max(on)))?;
        }
        Ok(())
    }

    /// The writers of a bundle, and how far each is believed here: nothing of it
    /// is taken in. `progress` is told how many entries were looked at, of how many.
    ///
    /// # Errors
    /// [`LogbookError`] if it is not a bundle, or the store cannot be read.
    pub fn writers_in(
        &self,
        bundle: &dyn Source,
        mut progress: impl FnMut(u64, u64),
    ) -> Result<Vec<Writer>, LogbookError> {
        let named = bundle;
        let io = |e: std::io::Error| unreadable(named, e.into());
        let mut writers = Writers::begin(&self.connection)?;
        let mut bundle = open(named)?;
        while let Some(part) = bundle.next_or_end().map_err(io)? {
            let Part::Lines(lines) = part else { continue };
            let said = [Warrant::KIND, Succession::KIND];
            let words = lines.lines().filter(|line| said.iter().any(|kind| line.contains(kind)));
            words
                .filter_map(|line| entry_of_line(line).ok())
                .for_each(|entry| writers.hear(&entry));
        }
        let mut bundle = open(named)?;
        let (mut done, all) = (0, bundle.header().entries);
        while let Some(part) = bundle.next_or_end().map_err(io)? {
            let Ready::Entries { proven: (good, _), .. } = ready(part) else { continue };
            good.iter().try_for_each(|hashed| writers.count(hashed))?;
            done += u64::try_from(good.len()).unwrap_or(0);
            progress(done.min(all), all);
        }
        Ok(writers.all())
    }
}

/// So many blocks are unpacked and proven while others are written.
const AHEAD: usize = 4;

/// The writer whose number begins as typed.
///
/// # Errors
/// [`LogbookError::Device`] if none does, or several do.
pub fn writer_named(writers: &[Writer], typed: &str) -> Result<DeviceId, LogbookError> {
    let devices = writers.iter().map(|writer| writer.device).collect();
    begins_so(&devices, typed)?.ok_or_else(|| {
        LogbookError::Device(format!(
            "no device whose number begins with “{typed}” wrote in it; `merge FILE --list` names \
             those that did"
        ))
    })
}

/// The device whose number begins as typed, of those that a server has entries of.
///
/// # Errors
/// [`LogbookError::Device`] if none does, or several do.
pub fn device_named(devices: &BTreeSet<DeviceId>, typed: &str) -> Result<DeviceId, LogbookError> {
    begins_so(devices, typed)?.ok_or_else(|| {
        LogbookError::Device(format!(
            "the server has nothing of a device whose number begins with “{typed}”; \
             `device list` names those that are known here"
        ))
    })
}

fn begins_so(devices: &BTreeSet<DeviceId>, typed: &str) -> Result<Option<DeviceId>, LogbookError> {
    let typed = typed.trim().to_lowercase();
    let named = |device: &&DeviceId| typed.len() >= 4 && device.to_string().starts_with(&typed);
    let mut found = devices.iter().filter(named);
    match (found.next(), found.next()) {
        (Some(_), Some(_)) => Err(LogbookError::Device(format!(
            "several devices begin with “{typed}”; type more of it"
        ))),
        (found, _) => Ok(found.copied()),
    }
}

/// After so many lines of a part that are no entries the rest of it is left.
const MOST_REFUSED: usize = 50;

/// A part of a bundle, ready to be merged.
enum Ready {
    Entries { proven: (Vec<Hashed>, Vec<Entry>), refused: Vec<String> },
    Spoilt(String),
    End([u8; 32]),
}

/// Unpacking, reading and proving need no store: they go on beside the writing.
fn take_bundle(
    merge: &mut Merge<'_>,
    bundle: &mut BundleReader<Opened>,
    named: &dyn Source,
    progress: &mut impl FnMut(u64, u64),
) -> Result<(), LogbookError> {
    let all = bundle.header().entries;
    let mut take = |part: std::io::Result<Ready>| {
        take_part(merge, part.map_err(|e| unreadable(named, e.into()))?)?;
        let report = merge.report();
        progress((report.new + report.known).min(all), all);
        Ok(())
    };
    // A browser's page has no threads.
    if cfg!(target_family = "wasm") {
        while let Some(part) = bundle.next_or_end().transpose() {
            take(part.map(ready))?;
        }
        return Ok(());
    }
    std::thread::scope(|scope| {
        let (send, parts) = sync_channel(AHEAD);
        scope.spawn(move || read_ahead(bundle, &send));
        parts.into_iter().try_for_each(take)
    })
}

fn take_part(merge: &mut Merge<'_>, part: Ready) -> Result<(), LogbookError> {
    match part {
        Ready::Entries { proven, refused } => {
            refused.into_iter().for_each(|why| merge.report().refuse(why));
            merge.take_proven(proven)?;
        }
        Ready::Spoilt(why) => merge.report().refuse(why),
        Ready::End(digest) if merge.report().refused == 0 && merge.report().left_out == 0 => {
            keep_merged(merge.work(), &digest)?;
        }
        Ready::End(_) => {}
    }
    Ok(())
}

/// Hands on part after part, until the bundle ends or nobody takes them.
fn read_ahead(bundle: &mut BundleReader<Opened>, send: &SyncSender<std::io::Result<Ready>>) {
    while let Some(part) = bundle.next_or_end().transpose() {
        let last = part.is_err();
        if send.send(part.map(ready)).is_err() || last {
            return;
        }
    }
}

fn ready(part: Part) -> Ready {
    match part {
        Part::Lines(lines) => {
            let (mut entries, mut refused) = (Vec::new(), Vec::new());
            for line in lines.lines() {
                match entry_of_line(line) {
                    Ok(entry) => entries.push(Hashed::from(entry)),
                    Err(error) => refused.push(error.to_string()),
                }
                // No writer makes one such line: what has so many has nothing else.
                if refused.len() == MOST_REFUSED {
                    refused.push("the rest of that part was left unread".to_owned());
                    break;
                }
            }
            Ready::Entries { proven: proven(entries, Signatures::Needed), refused }
        }
        Part::Spoilt(why) => Ready::Spoilt(why),
        Part::End(digest) => Ready::End(digest),
    }
}

/// A bundle that is open.
type Opened = Box<dyn Reader>;

pub(super) fn open(bundle: &dyn Source) -> Result<BundleReader<Opened>, LogbookError> {
    let reader = bundle.open().map_err(|e| unreadable(bundle, e.into()))?;
    BundleReader::open(reader).map_err(|e| unreadable(bundle, e))
}

/// Whether a bundle is what its digest says.
fn is_whole(mut bundle: BundleReader<Opened>, digest: &[u8; 32]) -> std::io::Result<bool> {
    while let Some(part) = bundle.next_or_end()? {
        match part {
            Part::Lines(_) => {}
            Part::Spoilt(_) => return Ok(false),
            Part::End(end) => return Ok(end == *digest),
        }
    }
    Ok(false)
}

/// A bundle that cannot be read or written.
pub(super) fn unreadable(bundle: &dyn Source, source: BundleError) -> LogbookError {
    LogbookError::Bundle { path: bundle.name(), source }
}

impl From<std::io::Error> for LogbookError {
    fn from(source: std::io::Error) -> Self {
        Self::Io { path: "the bundle".into(), source }
    }
}

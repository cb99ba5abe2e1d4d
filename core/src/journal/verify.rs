//! Whether a file of signed entries is what its writers wrote and its maker listed.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, BufRead, Read as _};

use sha2::{Digest, Sha256};

use super::chain::Proofs;
use super::entry::Entry;
use super::lines::{LineError, entry_of_line};
use super::members::{Around, Aside, Members};
use super::statement::{Listed, Statement};
use crate::device::{DeviceId, Warrant};
use crate::event::{EntryId, Event};
use crate::hose::Label;

/// The most bytes of the last line, which names each entry.
const MOST_LAST: usize = 16 << 20;

/// Something in a file that does not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The line, from 1; nothing for what is said of the whole file.
    pub line: Option<usize>,
    /// What is wrong.
    pub wrong: Wrong,
}

/// What is wrong in a file of signed entries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// A line is not an entry.
    NotAnEntry(LineError),
    /// An entry is not what its device signed, or what proves it is not there.
    NotSigned(DeviceId, u64),
    /// An entry of a device from before devices had keys: nothing proves it.
    Unsigned(DeviceId, u64),
    /// An entry that is listed is not in the file.
    LeftOut(DeviceId, u64),
    /// An entry is signed, and the owner of the fleet does not let it count.
    Aside(DeviceId, u64, Aside),
    /// The lines are not those that the file was made with.
    Bytes,
    /// The last line is no list of the entries, or not what its device signed.
    NoStatement,
}

/// A device that wrote entries of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProvenWriter {
    /// The device.
    pub device: DeviceId,
    /// What the owner calls it.
    pub name: Option<Label>,
    /// How many of its entries were read.
    pub read: usize,
    /// How many of them do not hold.
    pub failing: usize,
}

/// What became of checking a file of signed entries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// What its maker says of it, if that is signed.
    pub statement: Option<Statement>,
    /// How many entries are in it besides those that it is about: what proves them.
    pub beside: usize,
    /// The devices that wrote them.
    pub writers: Vec<ProvenWriter>,
    /// What does not hold, in the order of the lines.
    pub problems: Vec<Problem>,
}

impl Verified {
    /// Whether all of it holds.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.problems.is_empty()
    }
}

/// An entry that was read, without what is large in it.
struct Read {
    line: usize,
    entry: Entry,
    id: EntryId,
}

/// Checks a file of signed entries, line by line.
///
/// # Errors
/// What the system says where it cannot be read.
pub fn verify(lines: &mut dyn BufRead) -> io::Result<Verified> {
    let mut file = File::default();
    file.read(lines)?;
    Ok(file.judged())
}

/// A file as it was read.
#[derive(Default)]
struct File {
    entries: Vec<Read>,
    proofs: Proofs,
    problems: Vec<Problem>,
    statement: Option<Statement>,
    /// Of all lines but the last.
    digest: [u8; 32],
}

impl File {
    fn read(&mut self, lines: &mut dyn BufRead) -> io::Result<()> {
        let (mut digest, mut at) = (Sha256::new(), 0);
        let mut next = next_line(lines)?;
        while let Some(bytes) = next {
            next = next_line(lines)?;
            at += 1;
            if next.is_some() {
                digest.update(&bytes);
                self.line(at, &bytes);
            } else {
                self.last(at, &bytes);
            }
        }
        self.digest = digest.finalize().into();
        if at == 0 {
            self.problem(None, Wrong::NoStatement);
        }
        Ok(())
    }

    fn line(&mut self, line: usize, bytes: &[u8]) {
        let text = String::from_utf8_lossy(bytes);
        match entry_of_line(text.trim_end_matches('\n')) {
            Ok(mut entry) => {
                let id = entry.id();
                self.proofs.add(&entry, *id.hash());
                if entry.kind == "photographed" {
                    // Nothing is judged by the picture, which may be large.
                    entry.body = String::new();
                }
                self.entries.push(Read { line, entry, id });
            }
            Err(error) => self.problem(Some(line), Wrong::NotAnEntry(error)),
        }
    }

    fn last(&mut self, line: usize, bytes: &[u8]) {
        let text = bytes.strip_suffix(b"\n").filter(|text| text.len() <= MOST_LAST);
        let text = text.and_then(|text| std::str::from_utf8(text).ok());
        self.statement = text.and_then(Statement::read);
        if self.statement.is_none() {
            self.problem(Some(line), Wrong::NoStatement);
        }
    }

    fn problem(&mut self, line: Option<usize>, wrong: Wrong) {
        self.problems.push(Problem { line, wrong });
    }

    fn judged(mut self) -> Verified {
        let unproven = std::mem::take(&mut self.proofs).unproven();
        let members = self.members(&unproven);
        let listed: BTreeSet<EntryId> = self.listed().iter().map(|listed| listed.id).collect();
        let entries = std::mem::take(&mut self.entries);
        let mut writers: BTreeMap<DeviceId, ProvenWriter> = BTreeMap::new();
        for Read { line, entry, id } in &entries {
            let device = entry.device;
            let wrong = wrong(entry, unproven.contains(id.hash()), &members);
            let name = members.newest(&device).and_then(|word| word.name.clone());
            let none = ProvenWriter { device, name, read: 0, failing: 0 };
            let writer = writers.entry(device).or_insert(none);
            writer.read += 1;
            writer.failing += usize::from(wrong.is_some());
            if let Some(wrong) = wrong {
                self.problem(Some(*line), wrong);
            }
        }
        self.entries = entries;
        self.left_out();
        let beside = self.entries.iter().filter(|read| !listed.contains(&read.id)).count();
        self.problems.sort_by_key(|problem| problem.line.unwrap_or(usize::MAX));
        let (statement, problems) = (self.statement, self.problems);
        Verified { statement, beside, writers: writers.into_values().collect(), problems }
    }

    fn listed(&self) -> &[Listed] {
        self.statement.as_ref().map(|statement| statement.entries.as_slice()).unwrap_or_default()
    }

    /// The owner's words on devices that the file itself brings.
    fn members(&self, unproven: &BTreeSet<[u8; 32]>) -> Members {
        let owner = self.statement.as_ref().and_then(|statement| statement.fleet);
        let mut members = Members::of(owner);
        let words = self.entries.iter().filter(|read| read.entry.kind == Warrant::KIND);
        for read in words.filter(|read| !unproven.contains(read.id.hash())) {
            if let Some(Event::Enrolled { warrant }) = read.entry.event() {
                members.hear(warrant);
            }
        }
        members
    }

    /// Names what is listed and not there, and says so if the lines are others.
    fn left_out(&mut self) {
        let Some(statement) = &self.statement else { return };
        let here: BTreeSet<EntryId> = self.entries.iter().map(|read| read.id).collect();
        let missing = statement.entries.iter().filter(|listed| !here.contains(&listed.id));
        let missing: Vec<Wrong> =
            missing.map(|listed| Wrong::LeftOut(listed.device, listed.seq)).collect();
        let changed = statement.digest != self.digest;
        missing.into_iter().for_each(|wrong| self.problem(None, wrong));
        if changed {
            self.problem(None, Wrong::Bytes);
        }
    }
}

fn wrong(entry: &Entry, unproven: bool, members: &Members) -> Option<Wrong> {
    let (device, seq) = (entry.device, entry.seq);
    if !device.signs() {
        return Some(Wrong::Unsigned(device, seq));
    }
    if unproven {
        return Some(Wrong::NotSigned(device, seq));
    }
    members.judge(entry, Around::default()).map(|why| Wrong::Aside(device, seq, why))
}

/// The next line with its end, or so much of it as any line has; nothing after the last.
fn next_line(mut lines: &mut dyn BufRead) -> io::Result<Option<Vec<u8>>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(MOST_LAST).unwrap_or(u64::MAX);
    let read = (&mut lines).take(most + 2).read_until(b'\n', &mut bytes)?;
    Ok((read > 0).then_some(bytes))
}

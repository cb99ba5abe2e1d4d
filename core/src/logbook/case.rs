//! The case file of a hose or a set: gathered, printed, and as signed entries.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};

use super::case_limits::{in_force, limits_set};
use super::case_lines::Teller;
use super::{Found, Logbook, LogbookError, believed};
use crate::answer::{Reason, lines};
use crate::case::{self, CaseFile, CaseMade, CaseOf, CaseWriter};
use crate::device::{DeviceId, Warrant};
use crate::event::{EntryId, Event};
use crate::hose::{Label, Specification};
use crate::inspection::Verdict;
use crate::journal::{
    self, Believed, Listed, Members, Moment, Proofs, Statement, StatementWriter, StoreError,
    Wanted, entries_of_fleet, entry_listed,
};
use crate::policy::Use;
use crate::record::{self, entries_about, gathered};
use crate::tag::Code;
use crate::words::{self, case as say, meeting};

/// What a case file is about, before its entries are told.
struct Head {
    case: CaseFile,
    entries: Vec<Believed>,
    /// The hoses in it, each with what it is and what it may be used for.
    kinds: Vec<(Option<Specification>, Vec<Use>)>,
    /// The codes of the hose that it is about; empty for a set, which shows all.
    own: BTreeSet<Code>,
}

impl Logbook {
    /// The case file of a hose or a set as it stands at a moment.
    ///
    /// # Errors
    /// [`LogbookError`] if it is not on record, or the store cannot be read.
    pub fn case_file(&self, of: &CaseOf, moment: &Moment) -> Result<CaseFile, LogbookError> {
        self.reading(|| {
            let head = match of {
                CaseOf::Hose(hose) => self.of_hose(*hose, moment)?,
                CaseOf::Set(set) => self.of_set(set, moment)?,
            };
            self.told(head, moment)
        })
    }

    /// Prints a case file as PDF, with its photographs, and returns how many pages it has.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or `out` not written.
    pub fn print_case(&self, case: &CaseFile, out: &mut dyn Write) -> Result<usize, LogbookError> {
        let photograph = |listed: &Listed| {
            let entry = entry_listed(&self.connection, listed).map_err(Unprinted::from)?;
            Ok(match entry.and_then(|entry| entry.event()) {
                Some(Event::Photographed { photograph, .. }) => Some(photograph.jpeg().to_vec()),
                _ => None,
            })
        };
        Ok(case::print::<Unprinted>(case, out, photograph)?)
    }

    /// Writes the entries that a case file tells, with what proves them, and the list of
    /// them, signed by this record's device.
    ///
    /// # Errors
    /// [`LogbookError`] if this record has no device with its key here yet, the store
    /// cannot be read, or `out` not written.
    pub fn case_entries(&self, case: &CaseFile, out: &mut dyn Write) -> Result<(), LogbookError> {
        let own = journal::own_device(&self.connection)?;
        let key = own.map(|own| self.keys.find(&own)).transpose().map_err(StoreError::from)?;
        let key = key.flatten().ok_or_else(|| LogbookError::Device(say::NO_KEY.to_owned()))?;
        self.reading(|| {
            let entries = case.listed();
            let wanted = self.with_warrants(&entries, own)?;
            let mut writer = StatementWriter::new(out);
            wanted.each::<Unprinted>(&self.connection, |stored, _| {
                Ok(writer.entry(&stored.entry)?)
            })?;
            let statement = Statement {
                about: case.about.clone(),
                at: case.made.at.timestamp_millis(),
                by: case.made.by.clone(),
                device: key.id(),
                fleet: Members::load(&self.connection)?.owner,
                entries,
                digest: [0; 32],
            };
            Ok(writer.end(statement, &key).map_err(Unprinted::from)?)
        })
    }

    /// Some entries, and what the owner said of the devices that wrote them.
    fn with_warrants(
        &self,
        entries: &[Listed],
        own: Option<DeviceId>,
    ) -> Result<Wanted, StoreError> {
        let mut wanted = Wanted::default();
        entries.iter().for_each(|listed| wanted.add(listed));
        let devices: BTreeSet<DeviceId> = wanted.devices().copied().chain(own).collect();
        for Believed { entry, id, .. } in entries_of_fleet(&self.connection)? {
            if entry.kind == Warrant::KIND
                && let Some(Event::Enrolled { warrant }) = entry.event()
                && devices.contains(&warrant.device)
            {
                wanted.add(&Listed { device: entry.device, seq: entry.seq, id });
            }
        }
        Ok(wanted)
    }

    fn of_hose(&self, hose: Code, moment: &Moment) -> Result<Head, LogbookError> {
        let record = self.record(hose)?;
        let found = Found { hose: record.hose, tag: None };
        let answer = self.answer_found(found, moment)?;
        let about = say::of_hose(answer.hose.origin.own.number.as_ref(), answer.code);
        let mut case = self.begun(about, moment)?;
        case.what = vec![
            words::sentence(&answer.hose.words),
            words::sentence(&lines::age(&answer)),
            words::sentence(&words::capital(&answer.place.words)),
        ];
        (case.verdict, case.meaning) = (answer.verdict, answer.meaning.to_owned());
        case.reasons = in_words(&answer.reasons);
        if let Some(set) = &answer.set {
            case.what.push(set.words.clone());
        }
        let own = std::iter::once(record.hose).chain(record.tags.iter().map(|tag| tag.code));
        Ok(Head {
            case,
            entries: entries_about(&self.connection, record.hose)?,
            own: own.collect(),
            kinds: vec![self.kind_of(record.hose)?],
        })
    }

    fn of_set(&self, name: &Label, moment: &Moment) -> Result<Head, LogbookError> {
        let set = believed::set_of(&self.connection, name, moment.today)?;
        let answer = self.answer_set(&Label::from(set.id), moment)?;
        let mut case = self.begun(say::of_set(&set.name, answer.code), moment)?;
        let customer = set.owner.ticket().map(|_| &set.owner);
        let details = (customer, set.branch.as_ref());
        let heading = words::sets::heading(&set.name, set.in_use, set.oxygen, details);
        case.what = vec![words::sentence(&heading), words::sentence(&answer.words)];
        (case.verdict, case.meaning) = (answer.verdict, answer.meaning.to_owned());
        case.reasons = in_words(&answer.reasons);
        let mut entries = gathered(&self.connection, set.id)?;
        let mut kinds = Vec::new();
        for hose in &answer.hoses {
            let port = hose.port.map(|port| format!("{port}, ")).unwrap_or_default();
            case.hoses.push((hose.verdict, format!("{port}{}", hose.words)));
            let why = in_words(&hose.reasons).into_iter();
            case.reasons.extend(why.map(|why| format!("{}: {why}", hose.by_number())));
            let record = self.record(hose.code)?;
            entries.extend(entries_about(&self.connection, record.hose)?);
            kinds.push(self.kind_of(record.hose)?);
        }
        entries.sort_by_cached_key(|believed| believed.entry.place(*believed.id.hash()));
        entries.dedup_by(|a, b| a.id == b.id);
        Ok(Head { case, entries, kinds, own: BTreeSet::new() })
    }

    fn begun(&self, about: String, moment: &Moment) -> Result<CaseFile, LogbookError> {
        let members = Members::load(&self.connection)?;
        let named = |device: DeviceId| {
            let word = members.newest(&device);
            meeting::named(&device, word.and_then(|word| word.name.as_ref()))
        };
        let device = journal::own_device(&self.connection)?.map(named);
        let (on, at, by) = (moment.today, moment.time, moment.by.clone());
        Ok(CaseFile {
            about,
            what: Vec::new(),
            verdict: Verdict::Ready,
            meaning: String::new(),
            reasons: Vec::new(),
            hoses: Vec::new(),
            limits: Vec::new(),
            made: CaseMade { on, at, by, device },
            lines: Vec::new(),
            limits_set: Vec::new(),
            writers: Vec::new(),
            number: String::new(),
        })
    }

    /// What a hose is, and what it is used for: what its set is, else anything.
    fn kind_of(&self, hose: Code) -> Result<(Option<Specification>, Vec<Use>), LogbookError> {
        let record = self.record(hose)?;
        let set = record.seat.map(|slot| record::load_set(&self.connection, slot.set));
        let uses = match set.transpose()?.flatten() {
            Some(set) => vec![set.in_use],
            None => Use::ALL.to_vec(),
        };
        Ok((record.specification, uses))
    }

    fn told(&self, head: Head, moment: &Moment) -> Result<CaseFile, LogbookError> {
        let Head { mut case, entries, kinds, own } = head;
        let limits = limits_set(entries_of_fleet(&self.connection)?);
        let fleet = believed::fleet_on(&self.connection, moment.today)?;
        case.limits = in_force(&fleet, &kinds);
        let all = || entries.iter().chain(&limits).map(listed);
        let proofs = self.proofs(all())?;
        let mut teller = Teller::new(&self.connection, own, &limits, &proofs.failing)?;
        (case.lines, case.limits_set) = teller.told(entries)?;
        case.writers = proofs.writers;
        case.number = Statement::number(&case.listed());
        Ok(case)
    }

    /// Whether some entries hold, by the device that wrote them.
    fn proofs(&self, entries: impl Iterator<Item = Listed>) -> Result<Proven, StoreError> {
        let (mut wanted, mut proofs) = (Wanted::default(), Proofs::default());
        entries.for_each(|listed| wanted.add(&listed));
        let (mut own, mut altered) = (Vec::new(), BTreeSet::new());
        wanted.each::<StoreError>(&self.connection, |stored, is_wanted| {
            proofs.add(&stored.entry, stored.hash);
            if !stored.proven {
                altered.insert(stored.hash);
            }
            if is_wanted {
                own.push((stored.entry.device, stored.entry.seq, stored.hash));
            }
            Ok(())
        })?;
        let mut failing = proofs.unproven();
        failing.append(&mut altered);
        let members = Members::load(&self.connection)?;
        let mut writers: BTreeMap<DeviceId, CaseWriter> = BTreeMap::new();
        for (device, seq, hash) in own {
            let name = members.newest(&device).and_then(|word| word.name.as_ref());
            let name = meeting::named(&device, name);
            let none = CaseWriter { device, name, read: 0, failing: Vec::new() };
            let writer = writers.entry(device).or_insert(none);
            writer.read += 1;
            if failing.contains(&hash) {
                writer.failing.push(seq);
            }
        }
        let failing = failing.into_iter().map(EntryId::new).collect();
        Ok(Proven { writers: writers.into_values().collect(), failing })
    }
}

/// What came of checking entries.
struct Proven {
    writers: Vec<CaseWriter>,
    failing: BTreeSet<EntryId>,
}

fn listed(believed: &Believed) -> Listed {
    let Believed { entry, id, .. } = believed;
    Listed { device: entry.device, seq: entry.seq, id: *id }
}

fn in_words(reasons: &[Reason]) -> Vec<String> {
    reasons
        .iter()
        .map(|reason| format!("{}: {} {}", reason.verdict, reason.words, reason.todo))
        .collect()
}

/// Why a case file could not be written.
struct Unprinted(LogbookError);

impl From<io::Error> for Unprinted {
    fn from(source: io::Error) -> Self {
        Self(LogbookError::Io { path: "the case file".into(), source })
    }
}

impl From<StoreError> for Unprinted {
    fn from(error: StoreError) -> Self {
        Self(error.into())
    }
}

impl From<Unprinted> for LogbookError {
    fn from(Unprinted(error): Unprinted) -> Self {
        error
    }
}

#[cfg(test)]
#[path = "case_tests.rs"]
mod tests;

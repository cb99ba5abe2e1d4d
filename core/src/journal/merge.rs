//! Taking in entries from elsewhere: first a plan, as data, of what each is to
//! this record; then one place that carries it out.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, HashMap};

use rusqlite::{Transaction, params};
use serde::Serialize;

use super::StoreError;
use super::append::{become_device, own_device};
use super::chain::{Hashed, Signatures, not_signed, proven};
use super::entry::Entry;
use super::following::follow_owner;
use super::insert::{Added, Arrival, device_number, insert};
use super::members::{Around, Aside, Members};
use super::reach::Reach;
use super::read::set_aside_since;
use super::recheck;
use super::withdrawal::{admitting, is_admitted, is_withdrawn};
use crate::device::{DeviceId, Warrant};
use crate::event::Event;
use crate::inspection::Verdict;
use crate::tag::Code;

/// The most refusals that are told one by one.
const MOST_TOLD: usize = 50;

/// What a merge did.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct MergeReport {
    /// Entries that are new here.
    pub new: u64,
    /// Entries that were here already.
    pub known: u64,
    /// Entries of writers that were to be left out.
    pub left_out: u64,
    /// New entries that are kept but not, or not wholly, believed, by reason.
    pub set_aside: BTreeMap<&'static str, u64>,
    /// Devices of which one number names different entries: copies.
    pub forked: BTreeSet<DeviceId>,
    /// New entries of kinds or versions that this program cannot read.
    pub unread: u64,
    /// How many were refused.
    pub refused: u64,
    /// Why, for the first of them.
    pub refusals: Vec<String>,
    /// The fleet whose owner spoke, if this record belongs to none.
    pub fleet: Option<DeviceId>,
    /// Whether this device was found to be copied, and takes a new identity.
    pub copied: bool,
    /// How many hoses came to the record by it.
    #[serde(skip_serializing_if = "is_none")]
    pub hoses: u64,
    /// Hoses that were here and stand otherwise by it, the worst first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub turned: Vec<Turned>,
}

/// A hose that stands otherwise since others' entries came in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Turned {
    /// The hose.
    pub hose: Code,
    /// What people call it.
    pub name: String,
    /// How it stood before.
    pub before: Verdict,
    /// How it stands now.
    pub now: Verdict,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "as serde asks it")]
const fn is_none(count: &u64) -> bool {
    *count == 0
}

impl MergeReport {
    /// Adds what the next part of the same meeting did.
    pub fn join(&mut self, next: Self) {
        self.new += next.new;
        self.known += next.known;
        self.left_out += next.left_out;
        for (why, count) in next.set_aside {
            *self.set_aside.entry(why).or_default() += count;
        }
        self.forked.extend(next.forked);
        self.unread += next.unread;
        self.refused += next.refused;
        let told = MOST_TOLD.saturating_sub(self.refusals.len());
        self.refusals.extend(next.refusals.into_iter().take(told));
        self.fleet = next.fleet.or(self.fleet);
        self.copied |= next.copied;
        self.hoses += next.hoses;
        for turned in next.turned {
            match self.turned.iter_mut().find(|before| before.hose == turned.hose) {
                Some(before) => before.now = turned.now,
                None => self.turned.push(turned),
            }
        }
        self.turned.retain(|turned| turned.before != turned.now);
        self.turned.sort_by_key(|turned| (Reverse(turned.now), turned.hose));
    }

    /// Counts something that was refused, and says why for the first of them.
    pub fn refuse(&mut self, why: String) {
        self.refused += 1;
        if self.refusals.len() < MOST_TOLD {
            self.refusals.push(why);
        }
    }
}

/// What an entry is to this record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kinship {
    New,
    Known,
    /// New, and its number names another entry already.
    Forked,
}

/// An entry and what is to be done with it.
struct Planned {
    hashed: Hashed,
    kinship: Kinship,
    aside: Option<Aside>,
}

/// A device as it stood before the entries that are planned now.
struct Place {
    number: i64,
    newest_seq: u64,
}

/// A merge under way, in one transaction.
pub struct Merge<'t> {
    work: &'t Transaction<'t>,
    own: Option<DeviceId>,
    members: Members,
    devices: HashMap<DeviceId, Place>,
    report: MergeReport,
    reach: Reach,
    recheck: BTreeSet<(i64, u64)>,
    spoken_of: BTreeSet<DeviceId>,
    /// The entries that admit others and were believed when it began.
    admitting: BTreeSet<i64>,
    /// The newest entry that was here when it began.
    newest: i64,
    without: BTreeSet<DeviceId>,
    /// Whether anything was ever taken back here.
    withdrawn: bool,
}

impl<'t> Merge<'t> {
    /// Begins one.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn begin(work: &'t Transaction<'t>) -> Result<Self, StoreError> {
        Ok(Self {
            work,
            own: own_device(work)?,
            members: Members::load(work)?,
            devices: HashMap::new(),
            report: MergeReport::default(),
            reach: Reach::default(),
            recheck: BTreeSet::new(),
            spoken_of: BTreeSet::new(),
            admitting: admitting(work)?,
            newest: work
                .query_row("SELECT coalesce(max(number), 0) FROM entry", [], |row| row.get(0))?,
            without: BTreeSet::new(),
            withdrawn: work.prepare("SELECT 1 FROM withdrawal LIMIT 1")?.exists([])?,
        })
    }

    /// Leaves out what some devices wrote. The owner's words that others carry
    /// come in anyway.
    pub fn leave_out(&mut self, devices: &BTreeSet<DeviceId>) {
        self.without.clone_from(devices);
    }

    /// The transaction that it runs in.
    #[must_use]
    pub const fn work(&self) -> &Transaction<'t> {
        self.work
    }

    /// Judges a device again at the end: the owner spoke of it.
    pub fn judge_anew(&mut self, device: &DeviceId) {
        self.spoken_of.insert(*device);
    }

    /// What it did so far.
    pub fn report(&mut self) -> &mut MergeReport {
        &mut self.report
    }

    /// Takes in some entries, in any order; those that lead up to a signed one
    /// must come with it.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read or written.
    pub fn take(&mut self, entries: Vec<Hashed>, check: Signatures) -> Result<(), StoreError> {
        self.take_proven(proven(entries, check))
    }

    /// Takes in some entries that were proven, and refuses those that could
    /// not be: what [`proven`] returns.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read or written.
    pub fn take_proven(
        &mut self,
        (mut good, forged): (Vec<Hashed>, Vec<Entry>),
    ) -> Result<(), StoreError> {
        if !self.without.is_empty() {
            let all = good.len();
            good.retain(|hashed| !self.without.contains(&hashed.entry.device));
            self.report.left_out += u64::try_from(all - good.len()).unwrap_or(0);
        }
        for entry in forged {
            self.report.refuse(not_signed(&entry));
        }
        let plan = self.plan(good)?;
        self.apply(plan)
    }

    fn plan(&mut self, entries: Vec<Hashed>) -> Result<Vec<Planned>, StoreError> {
        let mut plan: Vec<Planned> = Vec::with_capacity(entries.len());
        for hashed in entries {
            let kinship = self.kinship(&hashed, plan.last())?;
            let aside = match kinship {
                Kinship::Known => None,
                Kinship::New | Kinship::Forked => self.judged(&hashed, kinship, &plan)?,
            };
            plan.push(Planned { hashed, kinship, aside });
        }
        Ok(plan)
    }

    fn judged(
        &mut self,
        hashed: &Hashed,
        kinship: Kinship,
        plan: &[Planned],
    ) -> Result<Option<Aside>, StoreError> {
        let entry = &hashed.entry;
        let around = Around {
            doubled: kinship == Kinship::Forked,
            back_dated: self.is_back_dated(entry, plan)?,
            admitted: !entry.device.signs() && is_admitted(self.work, &hashed.hash)?,
            altered: false,
        };
        Ok(self.members.judge(entry, around))
    }

    fn kinship(&mut self, hashed: &Hashed, last: Option<&Planned>) -> Result<Kinship, StoreError> {
        let entry = &hashed.entry;
        let place = self.place(&entry.device)?;
        let beside = last
            .map(|last| &last.hashed)
            .filter(|last| (last.entry.device, last.entry.seq) == (entry.device, entry.seq));
        if beside.is_some_and(|beside| beside.hash == hashed.hash) {
            return Ok(Kinship::Known);
        }
        if entry.seq > place.newest_seq {
            return Ok(if beside.is_some() { Kinship::Forked } else { Kinship::New });
        }
        let sql = "SELECT max(hash = ?3) FROM entry WHERE device = ?1 AND seq = ?2";
        let place = place.number;
        let same: Option<bool> = self
            .work
            .prepare_cached(sql)?
            .query_row(params![place, entry.seq, hashed.hash], |row| row.get(0))?;
        Ok(match same {
            Some(true) => Kinship::Known,
            Some(false) => Kinship::Forked,
            None if beside.is_some() => Kinship::Forked,
            None => Kinship::New,
        })
    }

    fn place(&mut self, device: &DeviceId) -> Result<&mut Place, StoreError> {
        use std::collections::hash_map::Entry as Slot;
        match self.devices.entry(*device) {
            Slot::Occupied(found) => Ok(found.into_mut()),
            Slot::Vacant(free) => {
                let number = device_number(self.work, device)?;
                let sql = "SELECT newest_seq FROM device WHERE number = ?1";
                let newest_seq =
                    self.work.prepare_cached(sql)?.query_row([number], |row| row.get(0))?;
                Ok(free.insert(Place { number, newest_seq }))
            }
        }
    }

    /// What it follows may come in with it; what is here already may be taken back.
    fn is_back_dated(&mut self, entry: &Entry, plan: &[Planned]) -> Result<bool, StoreError> {
        let Some(previous) = entry.previous else { return Ok(false) };
        let from = (entry.device, entry.seq.saturating_sub(1));
        let near = plan
            .iter()
            .rev()
            .take_while(|near| (near.hashed.entry.device, near.hashed.entry.seq) >= from)
            .find(|near| near.hashed.hash == previous);
        let at = match near {
            Some(Planned { hashed, kinship: Kinship::New | Kinship::Forked, .. }) => {
                Some(hashed.entry.at)
            }
            Some(Planned { kinship: Kinship::Known, .. }) | None => {
                let device = self.place(&entry.device)?.number;
                recheck::clock_before(self.work, device, entry)?
            }
        };
        Ok(at.is_some_and(|at| at >= entry.at))
    }

    fn apply(&mut self, plan: Vec<Planned>) -> Result<(), StoreError> {
        let mut added: HashMap<i64, Added> = HashMap::new();
        for Planned { hashed: Hashed { entry, hash }, kinship, aside } in plan {
            if kinship == Kinship::Known {
                self.report.known += 1;
                continue;
            }
            let new_number = kinship == Kinship::New;
            let place = self.place(&entry.device)?;
            let device = place.number;
            let in_order = entry.seq > place.newest_seq;
            place.newest_seq = place.newest_seq.max(entry.seq);
            let (whom, event) = entry.understood();
            let arrival = Arrival { entry: &entry, hash, whom: &whom, new_number, aside };
            insert(self.work, device, &arrival, added.entry(device).or_default())?;
            // Those beside or after it were judged without it; what it takes back
            // may have come in with it; what takes it back may have been here.
            self.withdrawn |= entry.kind == "withdrawn";
            let taken_back = self.withdrawn && is_withdrawn(self.work, &hash)?;
            if !in_order || entry.kind == "withdrawn" || taken_back {
                self.recheck.insert((device, entry.seq));
            }
            if !new_number {
                self.report.forked.insert(entry.device);
            }
            self.count(&entry, event);
            self.reach.add(whom);
        }
        added.iter().try_for_each(|(device, added)| added.tally(self.work, *device))
    }

    fn count(&mut self, entry: &Entry, event: Option<Event>) {
        self.report.new += 1;
        self.report.copied |= Some(entry.device) == self.own;
        self.report.unread += u64::from(event.is_none());
        if let Some(Event::Enrolled { warrant }) = event {
            self.hear(warrant);
        }
    }

    fn hear(&mut self, warrant: Warrant) {
        let (device, fleet) = (warrant.device, warrant.fleet);
        if self.members.owner.is_none() && warrant.is_genuine() {
            self.report.fleet = Some(fleet);
        }
        if self.members.hear(warrant) {
            self.spoken_of.insert(device);
        }
    }

    /// Judges again what later arrivals put in another light, and tells what was
    /// done and whose records have to be folded again.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read or written.
    pub fn finish(mut self) -> Result<(MergeReport, Reach), StoreError> {
        let (work, members) = (self.work, &self.members);
        for device in &self.spoken_of {
            recheck::device(work, members, device, &mut self.reach)?;
        }
        for place in &self.recheck {
            recheck::number_and_followers(work, members, *place, &mut self.reach)?;
        }
        let rechecked: BTreeSet<i64> = self.recheck.iter().map(|(device, _)| *device).collect();
        for device in rechecked {
            recheck::count_believed(work, device)?;
        }
        self.reach.join(recheck::withdrawals(work)?);
        if admitting(work)? != self.admitting {
            recheck::unsigned(work, members, &mut self.reach)?;
        }
        if let Some(reach) = follow_owner(work)? {
            self.reach.join(reach);
        }
        self.report.set_aside = set_aside_since(work, self.newest)?;
        if self.report.copied {
            become_device(self.work, None)?;
        }
        Ok((self.report, self.reach))
    }
}

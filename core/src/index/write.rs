//! Brings up to date what hoses are found, listed and counted by, in the
//! transaction that folds what it is worked out of.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, BTreeSet, HashMap};

use rusqlite::{Connection, Transaction};

use super::days::NEVER;
use super::kept::{Kept, forget, ranked};
use super::row::{Row, due_of};
use super::searched::{Waiting, texts};
use super::sums::{Change, Sums};
use super::text::{Texts, of_record};
use crate::answer::spans::spans;
use crate::answer::{Asked, Heard};
use crate::event::{EntryId, RecallOf, SetId};
use crate::hose::{Label, Origin};
use crate::journal::{Reach, StoreError};
use crate::record::{
    self, Alternatives, FleetRecord, Folded, HoseRecord, Meant, Recall, SetRecord, load_fleet,
    load_hose, load_set, meant,
};
use crate::tag::Code;
use crate::words;

/// Brings the records that some new entries of this store's own are about up to date;
/// `progress` is told how many of how many hoses are done.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn project(
    work: &Transaction<'_>,
    entries: &[crate::journal::Entry],
    progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    let mut reach = Reach::default();
    entries.iter().for_each(|entry| reach.add(entry.touched()));
    project_reach(work, &reach, progress)
}

/// Folds again all that a merge reached, and works out what depends on it;
/// `progress` is told how many of how many hoses are done.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn project_reach(
    work: &Transaction<'_>,
    reach: &Reach,
    progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    if *reach == Reach::default() {
        return Ok(());
    }
    let before = if reach.fleet { Some(load_fleet(work)?) } else { None };
    let Folded { mut hoses, sets, sharing, records } =
        record::project_reach(work, reach, |_, _| ())?;
    hoses.extend(sharing);
    for set in &sets {
        hoses.extend(hoses_of_set(work, *set)?);
    }
    let mut around = Around { fleet: load_fleet(work)?, sets: HashMap::new(), records };
    if let Some(before) = before {
        hoses.extend(reached_by_fleet(work, &before, &around.fleet)?);
    }
    project_hoses(work, &mut around, hoses, progress)
}

fn project_hoses(
    work: &Transaction<'_>,
    around: &mut Around,
    hoses: impl IntoIterator<Item = Code, IntoIter: ExactSizeIterator>,
    mut progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    let mut gathered = (Change::default(), Waiting::default());
    let hoses = hoses.into_iter();
    let all = hoses.len();
    for (done, hose) in hoses.enumerate() {
        project_hose(work, around, hose, &mut gathered)?;
        progress(done + 1, all);
    }
    let (sums, mut texts) = gathered;
    texts.keep(work)?;
    sums.keep(work)
}

/// Folds and works out everything again from the journal; see [`record::rebuild`].
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn rebuild(
    work: &Transaction<'_>,
    altered: &BTreeSet<EntryId>,
    progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    record::rebuild(work, altered, |_, _| ())?;
    work.execute_batch(include_str!("sql/empty.sql"))?;
    let mut around = Around::new(load_fleet(work)?);
    let hoses = record::recorded_hoses(work)?;
    project_hoses(work, &mut around, hoses, progress)
}

/// What the tables say that a fresh fold does not: the names of hoses and sets, and
/// of the sums.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn stale(
    connection: &Connection,
    progress: impl FnMut(usize, usize),
) -> Result<Vec<String>, StoreError> {
    let mut wrong = record::stale(connection, progress)?;
    let mut around = Around::new(load_fleet(connection)?);
    let mut sums = BTreeMap::new();
    for hose in record::recorded_hoses(connection)? {
        let Some(record) = load_hose(connection, hose)? else { continue };
        let fresh = Indexed::of(connection, &mut around, &record)?;
        let kept = Kept::load(connection, hose)?;
        if kept.as_ref() != Some(&fresh.kept) || texts(connection, hose)? != Some(fresh.texts) {
            wrong.push(format!("hose {hose}, as it is listed"));
        }
        for (key, more) in fresh.kept.sums() {
            *sums.entry((key.0.to_owned(), key.1, key.2)).or_insert(0) += more;
        }
    }
    sums.retain(|_, hoses| *hoses != 0);
    let mut statement =
        connection.prepare("SELECT what, of, day, hoses FROM total WHERE hoses <> 0")?;
    let kept = statement
        .query_map([], |row| Ok(((row.get(0)?, row.get(1)?, row.get(2)?), row.get(3)?)))?;
    if kept.collect::<Result<BTreeMap<(String, String, i64), i64>, _>>()? != sums {
        wrong.push("the sums over all hoses".to_owned());
    }
    Ok(wrong)
}

/// What every hose is asked with.
struct Around {
    fleet: FleetRecord,
    sets: HashMap<SetId, Option<SetRecord>>,
    /// The records of some of the hoses, as they were just folded.
    records: HashMap<Code, HoseRecord>,
}

/// How many sets are kept: hoses of one set are often worked out one after the
/// other.
const SETS_KEPT: usize = 4096;

impl Around {
    fn new(fleet: FleetRecord) -> Self {
        Self { fleet, sets: HashMap::new(), records: HashMap::new() }
    }

    /// The record of a hose, which is asked for once.
    fn record(
        &mut self,
        connection: &Connection,
        hose: Code,
    ) -> Result<Option<HoseRecord>, StoreError> {
        match self.records.remove(&hose) {
            Some(record) => Ok(Some(record)),
            None => load_hose(connection, hose),
        }
    }

    fn set(&mut self, connection: &Connection, set: SetId) -> Result<(), StoreError> {
        if let Entry::Vacant(place) = self.sets.entry(set) {
            place.insert(load_set(connection, set)?);
        }
        Ok(())
    }

    /// Asks about a hose, whatever the day.
    fn ask<T>(
        &mut self,
        connection: &Connection,
        record: &HoseRecord,
        ask: impl FnOnce(&Asked<'_>) -> T,
    ) -> Result<T, StoreError> {
        let wanted = sets_of(record);
        if self.sets.len() + wanted.len() > SETS_KEPT {
            self.sets.clear();
        }
        for set in &wanted {
            self.set(connection, *set)?;
        }
        let mut sets: Vec<&SetRecord> = Vec::new();
        for set in wanted.iter().filter_map(|set| self.sets.get(set)?.as_ref()) {
            if !sets.iter().any(|known| known.id == set.id) {
                sets.push(set);
            }
        }
        Ok(ask(&Asked {
            record,
            sets: &sets,
            fleet: &self.fleet,
            today: NEVER,
            scanned: None,
            tag_shared: shares_its_tag(connection, record)?,
            as_used: None,
            tag_only: None,
            heard: Heard {
                newest_on: NEVER,
                devices: 1,
                complete: true,
                forked: false,
                gap: None,
                met_on: None,
            },
        }))
    }
}

/// The sets that a hose is claimed for, or ever was in.
fn sets_of(record: &HoseRecord) -> BTreeSet<SetId> {
    let claimed = record.slots().map(|slot| slot.set);
    claimed.chain(record.stays.iter().map(|stay| stay.set)).collect()
}

fn shares_its_tag(connection: &Connection, record: &HoseRecord) -> Result<bool, StoreError> {
    let sql = "SELECT count(*) > 1 FROM tag WHERE tag = ?1";
    let tag = record.tag().bits();
    Ok(connection.prepare_cached(sql)?.query_row([tag], |row| row.get(0))?)
}

/// What is worked out of a hose: what is kept, and its texts.
struct Indexed {
    kept: Kept,
    texts: Texts,
}

impl Indexed {
    fn of(
        connection: &Connection,
        around: &mut Around,
        record: &HoseRecord,
    ) -> Result<Self, StoreError> {
        let sets = sets_of(record);
        around.ask(connection, record, |asked| {
            let spans = spans(asked);
            let all = due_of(asked);
            let row = Row::of(asked, (spans.since, spans.worsening()), &all);
            let due = all.iter().map(|due| (ranked(due.what), due.on)).collect();
            let seat = record.seat.map(|slot| {
                let name = asked.set(slot).map_or_else(|| slot.set.into(), |set| set.name.clone());
                words::seat(&name, slot.port)
            });
            let kept = Kept { row, spans: spans.reasons, due, sets };
            Self { kept, texts: of_record(record, seat.as_ref()) }
        })
    }
}

fn project_hose(
    work: &Transaction<'_>,
    around: &mut Around,
    hose: Code,
    (sums, waiting): &mut (Change, Waiting),
) -> Result<(), StoreError> {
    let before = Kept::load(work, hose)?;
    let added = before.as_ref().map(Kept::sums);
    let Some(record) = around.record(work, hose)? else {
        sums.hose(added, Sums::new());
        return forget(work, hose, before.as_ref());
    };
    let Indexed { kept, texts } = Indexed::of(work, around, &record)?;
    sums.hose(added, kept.sums());
    kept.keep(work, hose, before.as_ref())?;
    waiting.take(work, (hose, before.is_some()), texts)
}

/// The hoses that depend on a set.
fn hoses_of_set(connection: &Connection, set: SetId) -> Result<Vec<Code>, StoreError> {
    codes(connection, "SELECT hose FROM hose_of_set WHERE regulator_set = ?1", set.code())
}

fn codes(connection: &Connection, sql: &str, of: Code) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map([of.bits()], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// The hoses for which other limits or recalls may change something: all of them for
/// limits, and for recalls those that one of the changed ones may mean.
fn reached_by_fleet(
    connection: &Connection,
    before: &FleetRecord,
    now: &FleetRecord,
) -> Result<Vec<Code>, StoreError> {
    if before.limits != now.limits || before.unread != now.unread {
        return record::recorded_hoses(connection);
    }
    let differ = |some: &[Recall], others: &[Recall]| -> Vec<Recall> {
        some.iter().filter(|recall| !others.contains(recall)).cloned().collect()
    };
    let mut changed = differ(&before.recalls, &now.recalls);
    changed.extend(differ(&now.recalls, &before.recalls));
    let mut reached = Vec::new();
    if changed.is_empty() {
        return Ok(reached);
    }
    let asked = |lot: Option<&Label>, maker: Option<&Label>| {
        let origin = Origin { lot: lot.cloned(), maker: maker.cloned(), ..Origin::default() };
        changed.iter().any(|recall| may_mean(&recall.of, &origin))
    };
    for hose in record::hoses_of_lots(connection, asked)? {
        let Some(record) = load_hose(connection, hose)? else { continue };
        let means =
            |recall: &Recall| recall.means(&record.origin, &record.alternatives) > Meant::No;
        if changed.iter().any(means) {
            reached.push(hose);
        }
    }
    Ok(reached)
}

/// Whether something may be meant of which the lot and the maker alone are known.
fn may_mean(of: &RecallOf, origin: &Origin) -> bool {
    let of = RecallOf { model: None, made: None, ..of.clone() };
    let named = of.lot.is_some() || of.maker.is_some();
    !named || meant(&of, origin, &Alternatives::default()) > Meant::No
}

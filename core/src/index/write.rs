//! Brings up to date what hoses are found, listed and counted by, in the
//! transaction that folds what it is worked out of.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;
use rusqlite::{Connection, Transaction, params, params_from_iter};

use super::days::{self, NEVER};
use super::row::{Row, due_of};
use super::sums;
use super::text::{Texts, of_record};
use crate::answer::spans::{Span, Spans, spans};
use crate::answer::{Asked, DueKind, Heard};
use crate::event::{EntryId, RecallOf, SetId};
use crate::hose::{Label, Origin};
use crate::inspection::Verdict;
use crate::journal::{Reach, StoreError};
use crate::record::{
    self, Alternatives, FleetRecord, HoseRecord, Meant, Recall, SetRecord, load_fleet, load_hose,
    load_set, meant,
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
    mut progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    let mut hoses = BTreeSet::new();
    for hose in &reach.hoses {
        hoses.extend(sharing_a_tag(work, *hose)?);
    }
    let before = if reach.fleet { Some(load_fleet(work)?) } else { None };
    let folded = record::project_reach(work, reach, |_, _| ())?;
    for hose in &folded.hoses {
        hoses.extend(sharing_a_tag(work, *hose)?);
    }
    for set in &folded.sets {
        hoses.extend(hoses_of_set(work, *set)?);
    }
    hoses.extend(folded.hoses);
    let mut around = Around { fleet: load_fleet(work)?, sets: HashMap::new() };
    if let Some(before) = before {
        hoses.extend(reached_by_fleet(work, &before, &around.fleet)?);
    }
    for (done, hose) in hoses.iter().enumerate() {
        project_hose(work, &mut around, *hose)?;
        progress(done + 1, hoses.len());
    }
    Ok(())
}

/// Folds and works out everything again from the journal; see [`record::rebuild`].
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn rebuild(
    work: &Transaction<'_>,
    altered: &BTreeSet<EntryId>,
    mut progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    record::rebuild(work, altered, |_, _| ())?;
    work.execute_batch(include_str!("sql/empty.sql"))?;
    let mut around = Around { fleet: load_fleet(work)?, sets: HashMap::new() };
    let hoses = record::recorded_hoses(work)?;
    for (done, hose) in hoses.iter().enumerate() {
        project_hose(work, &mut around, *hose)?;
        progress(done + 1, hoses.len());
    }
    Ok(())
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
    let mut around = Around { fleet: load_fleet(connection)?, sets: HashMap::new() };
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
}

/// How many sets are kept: hoses of one set are often worked out one after the
/// other.
const SETS_KEPT: usize = 4096;

impl Around {
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

/// What is kept of a hose.
#[derive(Debug, PartialEq)]
struct Kept {
    row: Row,
    spans: Vec<(String, Verdict, Span)>,
    standing: Vec<(Verdict, Span)>,
    due: BTreeSet<(i64, NaiveDate)>,
    sets: BTreeSet<SetId>,
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
            let Spans { since, reasons, verdicts } = spans(asked);
            let all = due_of(asked);
            let row = Row::of(asked, since, &all);
            let due = all.iter().map(|due| (ranked(due.what), due.on)).collect();
            let seat = record.seat.map(|slot| {
                let name = asked.set(slot).map_or_else(|| slot.set.into(), |set| set.name.clone());
                words::seat(&name, slot.port)
            });
            let kept = Kept { row, spans: reasons, standing: verdicts, due, sets };
            Self { kept, texts: of_record(record, seat.as_ref()) }
        })
    }
}

/// The place of a kind of due thing among all.
fn ranked(what: DueKind) -> i64 {
    let at = DueKind::ALL.iter().position(|kind| *kind == what);
    at.and_then(|at| i64::try_from(at).ok()).unwrap_or(i64::MAX)
}

impl Kept {
    fn sums(&self) -> BTreeMap<(&'static str, String, i64), i64> {
        sums::of_hose(&self.row, &self.standing)
    }

    fn load(connection: &Connection, hose: Code) -> Result<Option<Self>, StoreError> {
        let Some(row) = Row::load(connection, hose)? else { return Ok(None) };
        let bits = [hose.bits()];
        let span = |row: &rusqlite::Row<'_>, at: usize| -> rusqlite::Result<Span> {
            Ok(Span { first: days::day(row.get(at)?), last: days::day(row.get(at + 1)?) })
        };
        let verdict = |row: &rusqlite::Row<'_>, at: usize| -> rusqlite::Result<Verdict> {
            let rank: usize = row.get(at)?;
            Ok(*Verdict::ALL.get(rank).unwrap_or(&Verdict::Hold))
        };
        let mut spans = connection.prepare_cached(
            "SELECT code, verdict, first_day, last_day FROM span WHERE hose = ?1
             ORDER BY code, verdict, first_day",
        )?;
        let spans =
            spans.query_map(bits, |row| Ok((row.get(0)?, verdict(row, 1)?, span(row, 2)?)))?;
        let mut standing = connection.prepare_cached(
            "SELECT verdict, first_day, last_day FROM standing WHERE hose = ?1 ORDER BY first_day",
        )?;
        let standing = standing.query_map(bits, |row| Ok((verdict(row, 0)?, span(row, 1)?)))?;
        let mut due = connection.prepare_cached("SELECT what, on_day FROM due WHERE hose = ?1")?;
        let due = due.query_map(bits, |row| Ok((row.get(0)?, days::day(row.get(1)?))))?;
        let mut sets =
            connection.prepare_cached("SELECT regulator_set FROM hose_of_set WHERE hose = ?1")?;
        let sets = sets.query_map(bits, |row| row.get(0))?;
        let sets: Vec<u64> = sets.collect::<Result<_, _>>()?;
        Ok(Some(Self {
            row,
            spans: spans.collect::<Result<_, _>>()?,
            standing: standing.collect::<Result<_, _>>()?,
            due: due.collect::<Result<_, _>>()?,
            sets: sets.into_iter().filter_map(Code::from_bits).map(SetId::new).collect(),
        }))
    }
}

fn project_hose(work: &Transaction<'_>, around: &mut Around, hose: Code) -> Result<(), StoreError> {
    let before = Kept::load(work, hose)?;
    let Some(record) = load_hose(work, hose)? else { return forget(work, hose, before.as_ref()) };
    let Indexed { kept, texts } = Indexed::of(work, around, &record)?;
    kept.row.keep(work, hose, before.as_ref().map(|before| &before.row))?;
    keep_spans(work, hose, before.as_ref().map_or(&[][..], |b| &b.spans), &kept.spans)?;
    keep_standing(work, hose, before.as_ref().map_or(&[][..], |b| &b.standing), &kept.standing)?;
    let none = (BTreeSet::new(), BTreeSet::new());
    let (due, sets) = before.as_ref().map_or((&none.0, &none.1), |b| (&b.due, &b.sets));
    keep_due(work, hose, due, &kept.due)?;
    keep_sets(work, hose, sets, &kept.sets)?;
    sums::change(work, before.map(|before| before.sums()).unwrap_or_default(), kept.sums())?;
    keep_texts(work, hose, &texts)
}

/// A hose of which no entry is left.
fn forget(work: &Connection, hose: Code, before: Option<&Kept>) -> Result<(), StoreError> {
    let Some(before) = before else { return Ok(()) };
    for sql in [
        "DELETE FROM hose_row WHERE hose = ?1",
        "DELETE FROM span WHERE hose = ?1",
        "DELETE FROM standing WHERE hose = ?1",
        "DELETE FROM due WHERE hose = ?1",
        "DELETE FROM hose_of_set WHERE hose = ?1",
        "DELETE FROM hose_text WHERE rowid = ?1",
    ] {
        work.prepare_cached(sql)?.execute([hose.bits()])?;
    }
    sums::change(work, before.sums(), BTreeMap::new())
}

/// The place of a verdict among all.
pub(super) fn rank(verdict: Verdict) -> i64 {
    let at = Verdict::ALL.iter().position(|one| *one == verdict);
    at.and_then(|at| i64::try_from(at).ok()).unwrap_or(i64::MAX)
}

fn keep_spans(
    work: &Connection,
    hose: Code,
    before: &[(String, Verdict, Span)],
    now: &[(String, Verdict, Span)],
) -> Result<(), StoreError> {
    for (code, verdict, span) in before.iter().filter(|span| !now.contains(span)) {
        let sql = "DELETE FROM span
                   WHERE hose = ?1 AND code = ?2 AND verdict = ?3 AND first_day = ?4";
        let of = params![hose.bits(), code, rank(*verdict), days::number(span.first)];
        work.prepare_cached(sql)?.execute(of)?;
    }
    for (code, verdict, span) in now.iter().filter(|span| !before.contains(span)) {
        let sql = "INSERT INTO span (hose, code, verdict, first_day, last_day)
                   VALUES (?1, ?2, ?3, ?4, ?5)";
        let (first, last) = (days::number(span.first), days::number(span.last));
        let of = params![hose.bits(), code, rank(*verdict), first, last];
        work.prepare_cached(sql)?.execute(of)?;
    }
    Ok(())
}

fn keep_standing(
    work: &Connection,
    hose: Code,
    before: &[(Verdict, Span)],
    now: &[(Verdict, Span)],
) -> Result<(), StoreError> {
    for (_, span) in before.iter().filter(|span| !now.contains(span)) {
        let sql = "DELETE FROM standing WHERE hose = ?1 AND first_day = ?2";
        work.prepare_cached(sql)?.execute(params![hose.bits(), days::number(span.first)])?;
    }
    for (verdict, span) in now.iter().filter(|span| !before.contains(span)) {
        let sql = "INSERT INTO standing (hose, first_day, last_day, verdict)
                   VALUES (?1, ?2, ?3, ?4)";
        let (first, last) = (days::number(span.first), days::number(span.last));
        work.prepare_cached(sql)?.execute(params![hose.bits(), first, last, rank(*verdict)])?;
    }
    Ok(())
}

fn keep_due(
    work: &Connection,
    hose: Code,
    before: &BTreeSet<(i64, NaiveDate)>,
    now: &BTreeSet<(i64, NaiveDate)>,
) -> Result<(), StoreError> {
    for (sql, changed) in [
        ("DELETE FROM due WHERE hose = ?1 AND what = ?2 AND on_day = ?3", before.difference(now)),
        ("INSERT INTO due (hose, what, on_day) VALUES (?1, ?2, ?3)", now.difference(before)),
    ] {
        for (what, on) in changed {
            work.prepare_cached(sql)?.execute(params![hose.bits(), what, days::number(*on)])?;
        }
    }
    Ok(())
}

fn keep_sets(
    work: &Connection,
    hose: Code,
    before: &BTreeSet<SetId>,
    now: &BTreeSet<SetId>,
) -> Result<(), StoreError> {
    for (sql, changed) in [
        ("DELETE FROM hose_of_set WHERE regulator_set = ?1 AND hose = ?2", before.difference(now)),
        ("INSERT INTO hose_of_set (regulator_set, hose) VALUES (?1, ?2)", now.difference(before)),
    ] {
        for set in changed {
            work.prepare_cached(sql)?.execute([set.code().bits(), hose.bits()])?;
        }
    }
    Ok(())
}

/// The texts that are kept of a hose.
fn texts(connection: &Connection, hose: Code) -> Result<Option<Texts>, StoreError> {
    use rusqlite::OptionalExtension;
    let sql = "SELECT number, code, lot, maker, model, place, description, note FROM hose_text
               WHERE rowid = ?1";
    let mut statement = connection.prepare_cached(sql)?;
    let read = |row: &rusqlite::Row<'_>| {
        let mut texts = Texts::default();
        for (at, text) in texts.iter_mut().enumerate() {
            *text = row.get(at)?;
        }
        Ok(texts)
    };
    Ok(statement.query_row([hose.bits()], read).optional()?)
}

fn keep_texts(work: &Connection, hose: Code, now: &Texts) -> Result<(), StoreError> {
    let before = texts(work, hose)?;
    if before.as_ref() == Some(now) {
        return Ok(());
    }
    if before.is_some() {
        work.prepare_cached("DELETE FROM hose_text WHERE rowid = ?1")?.execute([hose.bits()])?;
    }
    let sql = "INSERT INTO hose_text
                   (rowid, number, code, lot, maker, model, place, description, note)
               VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
    let own = rusqlite::types::Value::Integer(hose.bits().cast_signed());
    let all = std::iter::once(own).chain(now.iter().cloned().map(rusqlite::types::Value::Text));
    work.prepare_cached(sql)?.execute(params_from_iter(all))?;
    Ok(())
}

/// The other hoses that have or had a tag of a hose: whether a tag is shared counts
/// for each of them.
fn sharing_a_tag(connection: &Connection, hose: Code) -> Result<Vec<Code>, StoreError> {
    let sql = "SELECT DISTINCT other.hose FROM tag JOIN tag other ON other.tag = tag.tag
               WHERE tag.hose = ?1 AND other.hose <> ?1";
    codes(connection, sql, hose)
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

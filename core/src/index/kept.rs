//! What is kept of a hose in the tables: read, and written where it is another.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use rusqlite::{Connection, params};

use super::days;
use super::row::Row;
use super::sums::{self, Sums};
use crate::answer::DueKind;
use crate::answer::spans::Span;
use crate::event::SetId;
use crate::inspection::Verdict;
use crate::journal::StoreError;
use crate::tag::Code;

/// What is kept of a hose.
#[derive(Debug, PartialEq)]
pub(super) struct Kept {
    pub(super) row: Row,
    pub(super) spans: Vec<(String, Verdict, Span)>,
    pub(super) due: BTreeSet<(i64, NaiveDate)>,
    pub(super) sets: BTreeSet<SetId>,
}

/// The place of a kind of due thing among all.
pub(super) fn ranked(what: DueKind) -> i64 {
    let at = DueKind::ALL.iter().position(|kind| *kind == what);
    at.and_then(|at| i64::try_from(at).ok()).unwrap_or(i64::MAX)
}

impl Kept {
    pub(super) fn sums(&self) -> Sums {
        sums::of_hose(&self.row, &self.due)
    }

    pub(super) fn load(connection: &Connection, hose: Code) -> Result<Option<Self>, StoreError> {
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
        let mut due = connection.prepare_cached("SELECT what, on_day FROM due WHERE hose = ?1")?;
        let due = due.query_map(bits, |row| Ok((row.get(0)?, days::day(row.get(1)?))))?;
        let mut sets =
            connection.prepare_cached("SELECT regulator_set FROM hose_of_set WHERE hose = ?1")?;
        let sets = sets.query_map(bits, |row| row.get(0))?;
        let sets: Vec<u64> = sets.collect::<Result<_, _>>()?;
        Ok(Some(Self {
            row,
            spans: spans.collect::<Result<_, _>>()?,
            due: due.collect::<Result<_, _>>()?,
            sets: sets.into_iter().filter_map(Code::from_bits).map(SetId::new).collect(),
        }))
    }

    /// Keeps it in the place of what was kept before: only what is another is written.
    pub(super) fn keep(
        &self,
        work: &Connection,
        hose: Code,
        before: Option<&Self>,
    ) -> Result<(), StoreError> {
        self.row.keep(work, hose, before.map(|before| &before.row))?;
        keep_spans(work, hose, before.map_or(&[][..], |b| &b.spans), &self.spans)?;
        let none = (BTreeSet::new(), BTreeSet::new());
        let (due, sets) = before.map_or((&none.0, &none.1), |b| (&b.due, &b.sets));
        keep_due(work, hose, due, &self.due)?;
        keep_sets(work, hose, sets, &self.sets)
    }
}

/// A hose of which no entry is left.
pub(super) fn forget(
    work: &Connection,
    hose: Code,
    before: Option<&Kept>,
) -> Result<(), StoreError> {
    if before.is_none() {
        return Ok(());
    }
    for sql in [
        "DELETE FROM hose_row WHERE hose = ?1",
        "DELETE FROM span WHERE hose = ?1",
        "DELETE FROM due WHERE hose = ?1",
        "DELETE FROM hose_of_set WHERE hose = ?1",
        "DELETE FROM hose_text WHERE rowid = ?1",
    ] {
        work.prepare_cached(sql)?.execute([hose.bits()])?;
    }
    Ok(())
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

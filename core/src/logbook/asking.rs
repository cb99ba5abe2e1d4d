//! Questions about many hoses, answered from what is kept beside the records: lists,
//! counts, what is due, and looking for a hose.
//!
//! Where an entry about a hose lies ahead of the day of the question, what is kept does
//! not say what holds on that day: such hoses are asked about one by one, and take
//! their place among the others.

use chrono::NaiveDate;
use rusqlite::types::Value;
use serde::Serialize;

use super::{Logbook, LogbookError};
use crate::answer::spans::{Whole, fleet_settled_since};
use crate::answer::{Answer, DueKind, answer};
use crate::fleet::{DueList, DueRow, Horizon};
use crate::index::{self, Day, DueThing, Filter, Row, SetFilter, Sort};
use crate::inspection::Verdict;
use crate::journal::{Moment, StoreError};
use crate::record::{self, SetRecord};
use crate::tag::Code;

/// A part of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// How many rows come before it.
    pub from: u64,
    /// How many rows it has at most.
    pub most: u64,
}

impl Page {
    /// All of a list.
    pub const ALL: Self = Self { from: 0, most: u64::MAX >> 1 };
}

/// Hoses that are listed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HoseList {
    /// How many there are in all.
    pub total: u64,
    /// How many of them come before the first row.
    pub from: u64,
    /// What is answered for each.
    pub rows: Vec<Answer>,
}

/// Sets that are listed.
#[derive(Debug, Clone, PartialEq)]
pub struct SetList {
    /// How many there are in all.
    pub total: u64,
    /// How many of them come before the first row.
    pub from: u64,
    /// The sets.
    pub rows: Vec<SetRecord>,
}

/// A hose that was looked for and found.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    /// Whether it has all that was typed; else it only comes near.
    pub whole: bool,
    /// What is answered for it.
    pub answer: Answer,
}

/// A question's day, and which hoses have to be asked about one by one.
pub(super) struct Asking {
    day: Day,
    ahead: Vec<Code>,
    /// Something about every hose lies ahead.
    fleet_ahead: bool,
}

impl Asking {
    /// Whether what is kept says it all.
    pub(super) const fn is_settled(&self) -> bool {
        self.ahead.is_empty() && !self.fleet_ahead
    }
}

/// Why a fitted hose has to be replaced, but for its age and for findings that retire.
const FOR_GOOD: [&str; 3] = ["dives-over", "recalled", "retired"];

impl Logbook {
    pub(super) fn asking(&self, today: NaiveDate) -> Result<Asking, LogbookError> {
        let day = Day { today, whole: Whole::of(&self.heard()?, today) };
        let fleet = record::load_fleet(&self.connection)?;
        let fleet_ahead = fleet_settled_since(&fleet) > today;
        let ahead = if fleet_ahead {
            record::recorded_hoses(&self.connection)?
        } else {
            index::unsettled(&self.connection, &day)?
        };
        Ok(Asking { day, ahead, fleet_ahead })
    }

    /// Asks about each hose of which something lies ahead.
    fn each_ahead(
        &self,
        asking: &Asking,
        mut each: impl FnMut(Code, &crate::answer::Asked<'_>),
    ) -> Result<(), LogbookError> {
        if asking.ahead.is_empty() {
            return Ok(());
        }
        let mut around = self.around(asking.day.today)?;
        for hose in &asking.ahead {
            around.ask_of(*hose, |asked| each(*hose, asked))?;
        }
        Ok(())
    }

    /// Hoses by a filter, in an order, a part at a time, and how many there are.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn list(
        &self,
        filter: &Filter,
        sort: Sort,
        page: &Page,
        moment: &Moment,
    ) -> Result<HoseList, LogbookError> {
        self.reading(|| {
            let (total, hoses) = self.listed(filter, sort, page, moment)?;
            let mut around = self.around(moment.today)?;
            let answer = |hose| around.ask_of(hose, answer);
            let rows = hoses.into_iter().map(answer).collect::<Result<_, _>>()?;
            Ok(HoseList { total, from: page.from, rows })
        })
    }

    fn listed(
        &self,
        filter: &Filter,
        sort: Sort,
        page: &Page,
        moment: &Moment,
    ) -> Result<(u64, Vec<Code>), LogbookError> {
        let asking = self.asking(moment.today)?;
        let mut extra: Vec<(Key, Code)> = Vec::new();
        self.each_ahead(&asking, |hose, asked| {
            let (row, verdict) = Row::today(asked);
            if filter.passes(&row, verdict) {
                extra.push((Key(sort.key(&row)), hose));
            }
        })?;
        if asking.fleet_ahead {
            return Ok(paged(extra, page));
        }
        let kept = index::count(&self.connection, filter, &asking.day)?;
        let all = kept + u64::try_from(extra.len()).unwrap_or(0);
        if kept == 0 {
            return Ok(paged(extra, page));
        }
        if extra.is_empty() {
            let part = (page.from, page.most, kept);
            let rows = index::page(&self.connection, filter, &asking.day, sort, part)?;
            return Ok((all, rows.into_iter().map(|(_, hose)| hose).collect()));
        }
        let part = (0, page.from.saturating_add(page.most), kept);
        let rows = index::page(&self.connection, filter, &asking.day, sort, part)?;
        extra.extend(rows.into_iter().map(|(key, hose)| (Key(key), hose)));
        Ok((all, paged(extra, page).1))
    }

    /// Sets by a filter and by name, a part at a time, and how many there are.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn list_sets(&self, filter: &SetFilter, page: &Page) -> Result<SetList, StoreError> {
        let (total, rows) = index::sets(&self.connection, filter, (page.from, page.most))?;
        Ok(SetList { total, from: page.from, rows })
    }

    /// How many hoses are of each verdict.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn counts(&self, moment: &Moment) -> Result<Vec<(Verdict, u64)>, LogbookError> {
        self.reading(|| {
            let asking = self.asking(moment.today)?;
            let mut counts: Vec<(Verdict, u64)> = if asking.fleet_ahead {
                Verdict::ALL.iter().map(|verdict| (*verdict, 0)).collect()
            } else {
                index::standing_counts(&self.connection, &asking.day)?
            };
            self.each_ahead(&asking, |_, asked| {
                let (_, verdict) = Row::today(asked);
                let own = counts.iter_mut().filter(|(own, _)| *own == verdict);
                own.for_each(|(_, count)| *count += 1);
            })?;
            Ok(counts)
        })
    }

    /// What is due up to a day for the hoses of a filter, a part at a time; see
    /// [`Logbook::due`].
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn due_page(
        &self,
        within: Horizon,
        filter: &Filter,
        page: &Page,
        moment: &Moment,
    ) -> Result<DueList, LogbookError> {
        self.reading(|| {
            let asking = self.asking(moment.today)?;
            let mut list = DueList::new(within, moment.today);
            let mut things: Vec<DueThing> = Vec::new();
            self.each_ahead(&asking, |hose, asked| {
                let (row, verdict) = Row::today(asked);
                if !filter.passes(&row, verdict) {
                    return;
                }
                let due = index::due_of(asked).into_iter().filter(|due| due.on <= list.until);
                things.extend(due.map(|due| DueThing { hose, what: due.what, on: due.on }));
                let record = asked.record;
                if record.condemned.is_some() && record.retired.is_none() && record.home.is_none() {
                    list.condemned.push(record.tag());
                }
            })?;
            list.total = u64::try_from(things.len()).unwrap_or(0);
            if !asking.fleet_ahead {
                let apart = !asking.ahead.is_empty();
                let part = match apart {
                    true => (0, page.from.saturating_add(page.most)),
                    false => (page.from, page.most),
                };
                let of = (&asking.day, !apart);
                let until = (list.until, filter);
                let (total, kept) = index::due_up_to(&self.connection, until, of, part)?;
                list.total += total;
                things.extend(kept);
                list.condemned.extend(index::condemned(&self.connection, filter, &asking.day)?);
            }
            list.condemned.sort_unstable();
            list.from = page.from;
            let sorted = things.into_iter().map(|thing| ((thing.on, thing.what), thing.hose));
            let part = match asking.is_settled() {
                true => Page { from: 0, most: page.most },
                false => *page,
            };
            let mut around = self.around(moment.today)?;
            for ((on, what), hose) in parted(sorted.collect(), &part) {
                list.rows.push(around.ask_of(hose, |asked| DueRow::of(asked, (what, on)))?);
            }
            Ok(list)
        })
    }

    /// The hoses that may have to be replaced up to a day, if nothing lies ahead.
    pub(super) fn to_replace(
        &self,
        within: Horizon,
        asking: &Asking,
    ) -> Result<std::collections::BTreeSet<Code>, LogbookError> {
        let (store, day) = (&self.connection, &asking.day);
        let ends = [DueKind::ReplaceService, DueKind::ReplaceMade];
        let due = index::due_of_kinds(store, &ends, within.until(day.today))?;
        let mut hoses: std::collections::BTreeSet<Code> = due.into_iter().collect();
        for code in FOR_GOOD {
            hoses.extend(index::of_code(store, code, day)?);
        }
        let retire = Filter { verdict: Some(Verdict::Retire), ..Filter::default() };
        let part = (0, Page::ALL.most, 0);
        let retired = index::page(store, &retire, day, Sort::Number, part)?;
        hoses.extend(retired.into_iter().map(|(_, hose)| hose));
        Ok(hoses)
    }

    /// The hoses for which any of some reasons holds, or of which something lies
    /// ahead.
    pub(super) fn with_reasons(
        &self,
        codes: &[&str],
        today: NaiveDate,
    ) -> Result<std::collections::BTreeSet<Code>, LogbookError> {
        let asking = self.asking(today)?;
        let mut hoses: std::collections::BTreeSet<Code> = asking.ahead.iter().copied().collect();
        if !asking.fleet_ahead {
            for code in codes {
                hoses.extend(index::of_code(&self.connection, code, &asking.day)?);
            }
        }
        Ok(hoses)
    }

    /// The hoses that a text could mean, best first, at most `most` of them.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn look_for(
        &self,
        text: &str,
        most: usize,
        moment: &Moment,
    ) -> Result<Vec<Hit>, LogbookError> {
        self.reading(|| {
            let hits = index::find(&self.connection, text)?;
            let mut around = self.around(moment.today)?;
            let hit = |hit: index::Hit| {
                let answer = around.ask_of(hit.hose, answer)?;
                Ok(Hit { whole: hit.whole, answer })
            };
            hits.into_iter().take(most).map(hit).collect()
        })
    }
}

/// What a row sorts by, in SQLite's order: numbers before texts, texts by their bytes.
#[derive(PartialEq)]
struct Key(Value);

impl Eq for Key {}

impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Key {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        match (&self.0, &other.0) {
            (Value::Integer(one), Value::Integer(other)) => one.cmp(other),
            (Value::Text(one), Value::Text(other)) => one.as_bytes().cmp(other.as_bytes()),
            (Value::Integer(_), _) => std::cmp::Ordering::Less,
            (_, Value::Integer(_)) => std::cmp::Ordering::Greater,
            _ => std::cmp::Ordering::Equal,
        }
    }
}

/// A part of rows that are put in their order.
fn parted<K: Ord>(mut rows: Vec<(K, Code)>, page: &Page) -> Vec<(K, Code)> {
    rows.sort();
    let number = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
    rows.into_iter().skip(number(page.from)).take(number(page.most)).collect()
}

/// How many rows there are, and a part of them.
fn paged(rows: Vec<(Key, Code)>, page: &Page) -> (u64, Vec<Code>) {
    let total = u64::try_from(rows.len()).unwrap_or(0);
    (total, parted(rows, page).into_iter().map(|(_, hose)| hose).collect())
}

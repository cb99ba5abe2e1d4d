//! The day's view, asked of the index: each part costs what its rows cost, however many
//! hoses there are.

use chrono::Days;

use super::believed::record_of;
use super::{Logbook, LogbookError, Page};
use crate::answer::{Answer, RECORD_OLD_DAYS};
use crate::fleet::Horizon;
use crate::hose::Label;
use crate::index::{Filter, Sort};
use crate::inspection::Verdict;
use crate::journal::Moment;
use crate::policy::Use;
use crate::record::{self, SetRecord};
use crate::tag::Code;
use crate::view::{Today, TodayAbout, TodayKind, TodayPart, TodayRow};
use crate::words::{self, packing, today as said};

/// How many rows of a part are shown; the whole is a list of its own.
const ROWS: usize = 6;
/// How many sets are looked at for some that are ready.
const SETS_LOOKED_AT: usize = 60;
/// How many sets of a page are read at once.
const SETS_READ: u32 = 20;

impl Logbook {
    /// What a counter looks at first on a day.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn today(&self, moment: &Moment) -> Result<Today, LogbookError> {
        self.reading(|| {
            let mut parts = vec![
                self.part_out(moment)?,
                self.part_packed(moment)?,
                self.part_swaps(moment)?,
                self.part_hold(moment)?,
                self.part_due(moment)?,
                self.part_ready(moment)?,
                self.part_devices(moment)?,
            ];
            parts.extend(self.part_wrong_pins()?);
            let sharing = self.sharing(moment)?;
            let backup = self.backup_state(moment)?;
            Ok(Today { on: moment.today, parts, sharing, backup })
        })
    }

    fn part_out(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        let (total, sets) = record::longest_out(&self.connection, ROWS)?;
        let row = |set: &SetRecord| {
            let words = said::out(set.out.as_ref()?, moment.today);
            let (about, name) = (TodayAbout::Set(set.id), set.name.to_string());
            Some(TodayRow { about, verdict: None, name, words })
        };
        Ok(part(TodayKind::Out, Some(total), sets.iter().filter_map(row).collect()))
    }

    fn part_packed(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        let (total, sets) = record::packed_sets(&self.connection, ROWS)?;
        let row = |set: &SetRecord| {
            let words = packing::row(set.packed.as_ref()?, moment.today);
            let (about, name) = (TodayAbout::Set(set.id), set.name.to_string());
            Some(TodayRow { about, verdict: None, name, words })
        };
        Ok(part(TodayKind::Packed, Some(total), sets.iter().filter_map(row).collect()))
    }

    fn part_swaps(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        let mut open = Vec::new();
        for hose in self.with_reasons(&["swap-open"], moment.today)? {
            let record = record_of(&self.connection, hose, moment.today)?;
            open.extend(
                record.swaps.into_iter().map(|swap| (swap.since, swap.old, swap.new, swap.slot)),
            );
        }
        open.sort_by_key(|(since, old, new, _)| (*since, *old, *new));
        open.dedup_by_key(|(_, old, new, _)| (*old, *new));
        let total = count(open.len());
        open.truncate(ROWS);
        let mut rows = Vec::new();
        for (since, old, new, slot) in open {
            let place = self.set_by_id(slot.set)?.map(|set| format!("{} {}", set.name, slot.port));
            let name = said::swapped(&self.called(old)?, &self.called(new)?);
            let words = said::swap(place.as_deref(), since, moment.today);
            let about = TodayAbout::Swap { old, new };
            rows.push(TodayRow { about, verdict: None, name, words });
        }
        Ok(part(TodayKind::Swaps, Some(total), rows))
    }

    fn part_hold(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        let filter = Filter { verdict: Some(Verdict::Hold), ..Filter::default() };
        let page = Page { from: 0, most: count(ROWS) };
        let list = self.list(&filter, Sort::Number, &page, moment)?;
        let row = |answer: &Answer| TodayRow {
            about: TodayAbout::Hose(answer.code),
            verdict: Some(answer.verdict),
            name: words::called(answer.hose.origin.own.number.as_ref(), answer.code),
            words: why(answer),
        };
        Ok(part(TodayKind::Hold, Some(list.total), list.rows.iter().map(row).collect()))
    }

    fn part_due(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        let page = Page { from: 0, most: count(ROWS) };
        let list = self.due_page(Horizon::WEEK, &Filter::default(), &page, moment)?;
        let rows = list.rows.iter().map(|row| TodayRow {
            about: TodayAbout::Hose(row.code),
            verdict: None,
            name: words::called(row.number.as_ref(), row.code),
            words: format!("{}, {}", row.words, words::days_in_words(row.days)),
        });
        Ok(part(TodayKind::Due, Some(list.total), rows.collect()))
    }

    fn part_ready(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        let (mut rows, mut looked_at, mut after) = (Vec::new(), 0, String::new());
        let mut more = false;
        while rows.len() <= ROWS {
            let sets = self.set_page(&after, "", SETS_READ)?;
            let Some(last) = sets.last() else { break };
            after = last.id.to_string();
            for set in &sets {
                if looked_at == SETS_LOOKED_AT || rows.len() > ROWS {
                    more = true;
                    break;
                }
                looked_at += 1;
                rows.extend(self.ready_to_go(set, moment)?);
            }
            if more {
                break;
            }
        }
        more |= rows.len() > ROWS;
        rows.truncate(ROWS);
        let total = (!more).then(|| count(rows.len()));
        Ok(TodayPart { more, ..part(TodayKind::Ready, total, rows) })
    }

    /// A rental set that is here, not packed for anybody, and that nothing stops.
    fn ready_to_go(
        &self,
        set: &SetRecord,
        moment: &Moment,
    ) -> Result<Option<TodayRow>, LogbookError> {
        let waits = set.out.is_some() || set.packed.is_some();
        if set.in_use != Use::Rental || waits || set.hoses.is_empty() {
            return Ok(None);
        }
        let answer = self.answer_set(&Label::from(set.id), moment)?;
        Ok((answer.verdict <= Verdict::Watch).then(|| TodayRow {
            about: TodayAbout::Set(set.id),
            verdict: Some(answer.verdict),
            name: set.name.to_string(),
            words: said::ready(set.hoses.len()),
        }))
    }

    fn part_devices(&self, moment: &Moment) -> Result<TodayPart, LogbookError> {
        // As long as an answer takes a record for fresh.
        let rental = record::any_rental_set(&self.connection)?;
        let days = Days::new(if rental { RECORD_OLD_DAYS.0 } else { RECORD_OLD_DAYS.1 });
        let old = moment.today.checked_sub_days(days).unwrap_or(moment.today);
        let mut devices = self.devices()?;
        devices.retain(|device| !device.own && device.newest_on.is_none_or(|on| on < old));
        devices.sort_by_key(|device| (device.newest_on, device.device));
        let total = count(devices.len());
        let rows = devices.iter().take(ROWS).map(|device| TodayRow {
            about: TodayAbout::Device(device.device),
            verdict: None,
            name: said::device_name(device.name.as_ref(), &device.device.to_string()),
            words: said::device(device.newest_on, moment.today),
        });
        Ok(part(TodayKind::Devices, Some(total), rows.collect()))
    }

    /// Told to whoever looks, and only if there were any.
    fn part_wrong_pins(&self) -> Result<Option<TodayPart>, LogbookError> {
        let rows = self.wrong_pins()?.into_iter().map(|(person, wrong)| TodayRow {
            about: TodayAbout::Person(person.person),
            verdict: None,
            name: person.name.to_string(),
            words: words::staff::wrong_pins(wrong.tried, wrong.since.date_naive()),
        });
        let rows: Vec<TodayRow> = rows.collect();
        let total = Some(count(rows.len()));
        Ok((!rows.is_empty()).then(|| part(TodayKind::WrongPins, total, rows)))
    }

    /// What people call a hose: by its own number, else by the code that it carries.
    fn called(&self, hose: Code) -> Result<String, LogbookError> {
        let record = self.record(hose)?;
        Ok(words::called(record.origin.own.number.as_ref(), record.tag()))
    }
}

/// The first of the reasons that are as bad as a hose's verdict.
fn why(answer: &Answer) -> String {
    let worst = answer.reasons.iter().find(|reason| reason.verdict == answer.verdict);
    worst.map(|reason| reason.words.clone()).unwrap_or_default()
}

fn count(n: usize) -> u64 {
    u64::try_from(n).unwrap_or(u64::MAX)
}

fn part(part: TodayKind, total: Option<u64>, rows: Vec<TodayRow>) -> TodayPart {
    let more = total.is_some_and(|total| total > count(rows.len()));
    let [title, none] = part.words();
    TodayPart { part, title, total, more, rows, none }
}

#[cfg(test)]
#[path = "today_tests.rs"]
mod tests;

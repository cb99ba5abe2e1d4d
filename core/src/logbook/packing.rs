//! Sets that are packed the evening before, and go out by one scan if nothing is new.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::around::Around;
use super::believed::{record_of, set_of};
use super::checks::{check_not_ahead, packed_for, set_not_out, set_not_packed};
use super::rentals::{Named, check_of, gone, handed_out, lifted};
use super::{FormRefused, Found, Logbook, LogbookError, PackingError};
use crate::answer::Reason;
use crate::event::{Event, Packed, ReasonThen, ShownThen, Unpacked};
use crate::hose::{Label, Prose};
use crate::journal::{Draft, Moment};
use crate::record::{PackedSet, SetRecord};
use crate::rental::{HandOutCheck, PackedView};
use crate::tag::Code;
use crate::view::form::Filled;
use crate::view::form::rental::{self, Handing};
use crate::words::{self, packing as say};

impl Logbook {
    /// Packs a set for a hirer with the hoses that were scanned: each is looked at, and
    /// what stops a hand-out stops this, or is lifted, in the same way.
    ///
    /// # Errors
    /// As [`Logbook::hand_out`]; [`PackingError::Packed`] if it is packed already.
    pub fn pack<S: AsRef<str>>(
        &mut self,
        set: &Label,
        ticket: Label,
        scanned: &[S],
        override_why: Option<Prose>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<HandOutCheck, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let named = self.named(scanned)?;
        let (_, check) = self.write(moment, |work, _| {
            let check = check_of(&mut Around::of(work, moment.today)?, set, &named)?;
            let override_why = lifted(&check, override_why)?;
            let record = set_of(work, set, moment.today)?;
            set_not_packed(&record)?;
            let shown = gone(work, &record, &check, on, moment)?;
            let event = Event::Packed(Packed {
                set: record.id,
                hoses: shown.iter().map(|shown| shown.hose).collect(),
                ticket,
                override_why,
                shown,
                ports: record.hoses,
                described: record.descriptions,
            });
            Ok((vec![Draft { on, event }], check))
        })?;
        Ok(check)
    }

    /// Packs a set as the form of its hand-out says. One that is sent a second time
    /// writes nothing more.
    ///
    /// # Errors
    /// [`FormRefused`] if a field is missing or wrong, or something stops it.
    pub fn submit_pack(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(), FormRefused> {
        let Handing { ticket, over } = rental::read_hand_out(filled)?;
        let (by, why) = over.unzip();
        let now = Moment { by: by.unwrap_or_else(|| moment.by.clone()), ..moment.clone() };
        let scanned = rental::scanned(filled);
        if !self.is_packed_so(set, &ticket, &scanned, moment)? {
            self.pack(set, ticket, &scanned, why, None, &now)?;
        }
        Ok(())
    }

    /// Takes a packed set out of the bag: nothing goes out by that packing any more.
    ///
    /// # Errors
    /// [`PackingError::NothingToUnpack`] if it is not packed.
    pub fn unpack(&mut self, set: &Label, moment: &Moment) -> Result<(), LogbookError> {
        self.write(moment, |work, _| {
            let record = set_of(work, set, moment.today)?;
            let Some(packed) = record.packed else {
                return Err(PackingError::NothingToUnpack(record.name).into());
            };
            let (set, hoses, answers) = (record.id, packed.hoses, packed.entries);
            let event = Event::Unpacked(Unpacked { set, hoses, answers });
            Ok((vec![Draft { on: moment.today, event }], ()))
        })?;
        Ok(())
    }

    /// A packed set as it stands now; none if it is not packed, or out.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set, or the store cannot be read.
    pub fn packed(&self, set: &Label, moment: &Moment) -> Result<Option<PackedView>, LogbookError> {
        self.reading(|| {
            let record = set_of(&self.connection, set, moment.today)?;
            if record.packed.is_none() || record.out.is_some() {
                return Ok(None);
            }
            stands(&self.connection, record, moment).map(Some)
        })
    }

    /// The packed set that a hose is in; none if it is in none.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn packed_with(
        &self,
        hose: Code,
        moment: &Moment,
    ) -> Result<Option<PackedView>, LogbookError> {
        let Some(slot) = self.record(hose)?.seat else { return Ok(None) };
        let known = self.set_by_id(slot.set)?.is_some();
        if known { self.packed(&Label::from(slot.set), moment) } else { Ok(None) }
    }

    /// Hands a packed set out, if nothing is new since it was packed: under its ticket,
    /// with the hoses that were scanned then. What stops it now stops it still; a reason
    /// lifts that as at any hand-out.
    ///
    /// # Errors
    /// [`PackingError`] if it is not packed, is packed for another ticket or something is
    /// new; [`LogbookError::HandOutStopped`] if something stops it.
    pub fn hand_out_packed(
        &mut self,
        set: &Label,
        ticket: Option<&Label>,
        override_why: Option<Prose>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<HandOutCheck, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let (_, check) = self.write(moment, |work, _| {
            let record = set_of(work, set, moment.today)?;
            set_not_out(&record)?;
            let PackedView { packed, check, news, .. } = stands(work, record.clone(), moment)?;
            if let Some(ticket) = ticket {
                packed_for(&record, ticket)?;
            }
            if !news.is_empty() {
                return Err(PackingError::Changed { set: record.name, news }.into());
            }
            let override_why = lifted(&check, override_why)?;
            let shown = gone(work, &record, &check, on, moment)?;
            let event = handed_out(&record, packed.ticket, override_why, shown);
            Ok((vec![Draft { on, event }], check))
        })?;
        Ok(check)
    }

    /// Hands a packed set out as its form says: by a click, or over what stops it in the
    /// name that the form gives. One that is sent a second time writes nothing more.
    ///
    /// # Errors
    /// As [`Logbook::hand_out_packed`].
    pub fn submit_hand_out_packed(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(), FormRefused> {
        let record = self.set(set)?;
        if record.packed.is_none() && record.out.is_some_and(|out| out.on == moment.today) {
            return Ok(());
        }
        let (by, why) = rental::read_over(filled)?.unzip();
        let now = Moment { by: by.unwrap_or_else(|| moment.by.clone()), ..moment.clone() };
        self.hand_out_packed(set, None, why, None, &now)?;
        Ok(())
    }

    /// Whether a set was packed today for this ticket, with just these hoses.
    fn is_packed_so(
        &self,
        set: &Label,
        ticket: &Label,
        scanned: &[String],
        moment: &Moment,
    ) -> Result<bool, LogbookError> {
        let Some(packed) = self.set(set)?.packed else { return Ok(false) };
        let Some(mut hoses) = self.all_found(scanned)? else { return Ok(false) };
        let mut known = packed.hoses;
        known.sort_unstable();
        hoses.sort_unstable();
        hoses.dedup();
        Ok(packed.tickets == [ticket.clone()] && packed.on == moment.today && known == hoses)
    }
}

/// A packed set as it stands now.
fn stands(store: &Connection, set: SetRecord, moment: &Moment) -> Result<PackedView, LogbookError> {
    let Some(packed) = set.packed.clone() else {
        return Err(PackingError::NotPacked(set.name).into());
    };
    let scanned = packed.hoses.iter().map(|hose| {
        let found: Named = (hose.to_string(), Ok(Found { hose: *hose, tag: None }));
        found
    });
    let scanned: Vec<Named> = scanned.collect();
    let mut around = Around::of(store, moment.today)?;
    let check = check_of(&mut around, &Label::from(set.id), &scanned)?;
    let news = news(store, (&set, &packed), &check, moment)?;
    let words = say::packed(&packed, moment.today);
    Ok(PackedView { id: set.id, set: set.name, words, news, packed, check })
}

/// What is new since a set was packed, in words.
fn news(
    store: &Connection,
    (set, packed): (&SetRecord, &PackedSet),
    check: &HandOutCheck,
    moment: &Moment,
) -> Result<Vec<String>, LogbookError> {
    let mut all = Vec::new();
    if packed.tickets.len() > 1 {
        all.push(say::twice(&packed.tickets));
    }
    let called = |hose: &Code| {
        let record = record_of(store, *hose, moment.today)?;
        Ok::<_, LogbookError>(words::called(record.origin.own.number.as_ref(), record.tag()))
    };
    for (port, hose) in packed.ports.iter().filter(|(port, hose)| set.hoses.get(port) != Some(hose))
    {
        all.push(say::left(*port, &called(hose)?));
    }
    for (port, hose) in set.hoses.iter().filter(|(port, hose)| packed.ports.get(port) != Some(hose))
    {
        all.push(say::came(*port, &called(hose)?));
    }
    let sorted = |mut entries: Vec<_>| {
        entries.sort_unstable();
        entries
    };
    if sorted(set.descriptions.clone()) != sorted(packed.described.clone()) {
        all.push(say::SET_CHANGED.to_owned());
    }
    for hose in check.going() {
        let record = record_of(store, hose.code, moment.today)?;
        let then = packed.shown.iter().find(|then| then.hose == record.hose);
        let number = hose.number.as_ref();
        let said =
            |reason: &Reason| say::now(&words::called(number, hose.code), hose.port, &reason.words);
        all.extend(hose.reasons.iter().filter(|reason| is_new(reason, then)).map(said));
    }
    Ok(all)
}

/// Reasons whose words end in how far away a day is: those of the next day differ, and
/// say nothing new.
const COUNT_DOWN: [&str; 2] = ["age-near", "inspection-near"];

/// Whether a reason was not shown of a hose when it was packed. Of a hose that was not
/// scanned then nothing was.
fn is_new(reason: &Reason, then: Option<&ShownThen>) -> bool {
    let Some(then) = then else { return true };
    let lasting = |words: &str| match words.rsplit_once(", ") {
        Some((lasting, _)) if COUNT_DOWN.contains(&reason.code.as_str()) => lasting.to_owned(),
        _ => words.to_owned(),
    };
    let same = |known: &ReasonThen| {
        known.code == reason.code && lasting(&known.words) == lasting(&reason.words)
    };
    !then.reasons.iter().any(same)
}

#[cfg(test)]
#[path = "packing_tests.rs"]
mod tests;

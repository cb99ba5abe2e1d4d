//! Taking sets back: every hose that is out is scanned, or named missing.

use chrono::NaiveDate;
use rusqlite::Connection;
use serde::Serialize;

use super::believed::{fleet_on, record_of, set_of};
use super::checks::{check_not_ahead, check_since};
use super::inspections::{check_shown, photographed};
use super::moves::removal;
use super::return_differences::differences;
use super::slips::{of_return, of_strands};
use super::{DayError, Logbook, LogbookError};
use crate::answer::answer;
use crate::event::{Event, Held, PortName, Returned, Slot};
use crate::hose::Label;
use crate::inspection::{Form, InspectionKind, Look, Observation, Place, Verdict};
use crate::journal::{Draft, Moment};
use crate::photograph::Photograph;
use crate::record::{HandOut, HoseRecord, SetRecord};
use crate::rental::{BroughtBack, MOST_DIVES};
use crate::set_view::Checked;
use crate::tag::Code;
use crate::words;

/// A set that came back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TakenBack {
    /// The set.
    pub set: Label,
    /// What it comes to, in words.
    pub words: String,
    /// The ticket that it was out on.
    pub ticket: Label,
    /// Since when it was out.
    pub out_since: NaiveDate,
    /// Dives recorded for each of its hoses.
    pub dives: u32,
    /// Nobody knew them: the owner's number a day was counted.
    pub estimated: bool,
    /// Whether a hose of it is on hold or to be retired.
    pub quarantined: bool,
    /// The hoses that came back, as they are now.
    pub hoses: Vec<Checked>,
    /// The hoses that did not come back, as they are now.
    pub missing: Vec<Checked>,
    /// The hoses of the set that are on hold or to be retired, by port.
    pub stops: Vec<Checked>,
    /// In words, one sentence each: hoses that were out with the set and are no
    /// longer in it on record, hoses that are in it and were not out, and those
    /// that are missing.
    pub differences: Vec<String>,
}

/// What a return comes to, before its set's status is known.
pub(super) struct Written {
    pub(super) out: HandOut,
    pub(super) dives: u32,
    pub(super) estimated: bool,
    /// On how many hoses something was found.
    pub(super) found: usize,
    /// The hoses that did not come back, and the ports that they left.
    pub(super) missing: Vec<(Code, Option<PortName>)>,
}

impl Logbook {
    /// Takes a set back: the dives that were made with each of its hoses, and a
    /// quick inspection of each that was scanned, with what was seen or, if somebody
    /// says so, with nothing found. A hose that is missing is taken out of its port and
    /// held.
    ///
    /// # Errors
    /// [`LogbookError::Unaccounted`] names the hoses that were neither scanned nor
    /// named missing, [`LogbookError::NotLookedAt`] those that came back and of which
    /// nothing is said; others if the set is not out, the dives or the day cannot
    /// be, or a hose is named that was not out with it.
    pub fn take_back(
        &mut self,
        set: &Label,
        back: &BroughtBack,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<TakenBack, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        if let Some(dives) = back.dives.filter(|dives| *dives > MOST_DIVES) {
            return Err(LogbookError::TooManyDives { dives });
        }
        let named = self.named_back(back)?;
        self.ask(self.odd_in(set, (back.dives, &named), on, moment)?)?;
        let (_, written) = self.write(moment, |work, _| {
            let record = set_of(work, set, moment.today)?;
            let out = record.out.clone().ok_or_else(|| LogbookError::NotOut(set.clone()))?;
            check_after_hand_out(&out, on)?;
            let told = accounted(work, &record, &out, (&named, moment))?;
            let a_day = fleet_on(work, moment.today)?.dives_a_day();
            let written = Written {
                dives: back.dives.unwrap_or_else(|| estimated(a_day, &out, on)),
                estimated: back.dives.is_none(),
                found: told.back.iter().filter(|(_, seen)| !seen.is_empty()).count(),
                missing: told.missing.iter().map(|m| (m.hose, port_in(&record, m.hose))).collect(),
                out,
            };
            let shown = &named.photographs;
            let events = events(work, &record, (&told, &written, shown), (on, moment))?;
            let drafts = events.into_iter().map(|event| Draft { on, event }).collect();
            Ok((drafts, written))
        })?;
        self.taken_back(set, &written, moment)
    }

    /// What is odd about a return: its dives, and fewer broken strands than there
    /// were last time.
    fn odd_in(
        &self,
        set: &Label,
        (dives, named): (Option<u32>, &Named),
        on: NaiveDate,
        moment: &Moment,
    ) -> Result<Vec<String>, LogbookError> {
        let Some(out) = self.set(set)?.out else { return Ok(Vec::new()) };
        let mut odd = dives.map_or_else(Vec::new, |dives| of_return(&out, dives, on));
        for (hose, seen) in &named.seen {
            let record = record_of(&self.connection, *hose, moment.today)?;
            let tag = record.tag();
            let fewer = of_strands(&record, std::slice::from_ref(seen), on);
            odd.extend(fewer.iter().map(|question| words::slips::of_hose(tag, question)));
        }
        Ok(odd)
    }

    /// The dives a day that a return counts if nobody knows.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn dives_a_day(&self, moment: &Moment) -> Result<u32, LogbookError> {
        Ok(fleet_on(&self.connection, moment.today)?.dives_a_day())
    }

    fn named_back(&self, back: &BroughtBack) -> Result<Named, LogbookError> {
        let hose = |typed: &String| Ok(self.find_typed(typed)?.hose);
        let all = |typed: &[String]| typed.iter().map(hose).collect::<Result<_, LogbookError>>();
        let seen = back.seen.iter().map(|(typed, seen)| Ok((hose(typed)?, *seen)));
        let seen = seen.collect::<Result<_, LogbookError>>()?;
        let (scanned, missing) = (all(&back.scanned)?, all(&back.missing)?);
        let shown = back.photographs.iter();
        let shown = shown.map(|(typed, place, photo)| Ok((hose(typed)?, *place, photo.clone())));
        let photographs = shown.collect::<Result<_, LogbookError>>()?;
        Ok(Named { scanned, missing, clear: all(&back.clear)?, seen, photographs })
    }

    /// The status of a set that was taken back.
    pub(super) fn taken_back(
        &self,
        set: &Label,
        written: &Written,
        moment: &Moment,
    ) -> Result<TakenBack, LogbookError> {
        let view = self.set_view(set, moment)?;
        let Written { out, dives, estimated, found, missing } = written;
        let differences =
            self.reading(|| differences(&self.connection, set, (out, missing), moment))?;
        let looked = words::returns::looked_at(out.hoses.len() - missing.len(), *found);
        let dived = (*dives, *estimated);
        let stands = (view.quarantined, view.in_quarantine);
        let back = words::returns::taken_back(set, &out.ticket, dived, &looked, stands);
        let (gone, hoses): (Vec<&Code>, Vec<&Code>) =
            out.hoses.iter().partition(|hose| missing.iter().any(|(own, _)| own == *hose));
        let checked = |hoses: Vec<&Code>| {
            let mut around = self.around(moment.today)?;
            let each = hoses.into_iter().map(|hose| {
                let answer = around.ask_of(*hose, answer)?;
                let port = view
                    .ports
                    .iter()
                    .find(|port| port.hose.as_ref().is_some_and(|hose| hose.code == answer.code));
                Ok(Checked::of(&answer, port.map(|port| port.port.name)))
            });
            each.collect::<Result<Vec<_>, LogbookError>>()
        };
        let (hoses, missing) = self.reading(|| Ok((checked(hoses)?, checked(gone)?)))?;
        Ok(TakenBack {
            words: back,
            set: view.name,
            ticket: out.ticket.clone(),
            out_since: out.on,
            dives: *dives,
            estimated: *estimated,
            quarantined: view.quarantined,
            hoses,
            missing,
            stops: view.stops,
            differences,
        })
    }
}

/// All that a return writes, as one act: that the set is back, what keeps a
/// missing hose from being dived, a quick inspection of each of the others, and
/// the quarantine where something was found that holds or retires.
fn events(
    store: &Connection,
    set: &SetRecord,
    (told, written, photographs): (&Accounted, &Written, &[(Code, Place, Photograph)]),
    (on, moment): (NaiveDate, &Moment),
) -> Result<Vec<Event>, LogbookError> {
    let out = &written.out;
    let mut events = vec![Event::Returned(Returned {
        set: set.id,
        hoses: out.hoses.clone(),
        missing: told.missing.iter().map(|record| record.hose).collect(),
        tickets: out.tickets.clone(),
        dives: written.dives,
        estimated: written.estimated,
        answers: out.entries.clone(),
    })];
    for record in &told.missing {
        events.extend(gone(set, record, &out.ticket, on)?);
    }
    let mut looks = Vec::new();
    for (hose, seen) in &told.back {
        let record = record_of(store, *hose, moment.today)?;
        looks.push((*hose, quick_look(&record, seen.clone())?));
    }
    let quarantine = quarantine(store, &looks, moment)?;
    let look = |(hose, look)| Event::Inspected { hose, look, at: None, answers: Vec::new() };
    for (hose, seen) in looks {
        events.push(look((hose, seen)));
        let own = photographs.iter().filter(|(of, ..)| *of == hose);
        let own: Vec<_> = own.map(|(_, place, photo)| (*place, photo.clone())).collect();
        check_shown(&own)?;
        events.extend(photographed(hose, InspectionKind::Quick, own));
    }
    events.extend(quarantine.map(|why| Event::Quarantined { set: set.id, why: why.into() }));
    Ok(events)
}

fn check_after_hand_out(out: &HandOut, on: NaiveDate) -> Result<(), LogbookError> {
    if on < out.on {
        return Err(LogbookError::Day(DayError::BeforeHandOut { on, since: out.on }));
    }
    Ok(())
}

/// What is said of each hose that is out.
struct Accounted {
    back: Vec<(Code, Vec<Observation>)>,
    missing: Vec<HoseRecord>,
}

/// The hoses that someone names, by their identities.
struct Named {
    scanned: Vec<Code>,
    missing: Vec<Code>,
    clear: Vec<Code>,
    seen: Vec<(Code, Observation)>,
    photographs: Vec<(Code, Place, Photograph)>,
}

/// Holds what is said of a return against what is out: each hose is scanned or
/// missing, and nothing else is.
fn accounted(
    store: &Connection,
    set: &SetRecord,
    out: &HandOut,
    (named, moment): (&Named, &Moment),
) -> Result<Accounted, LogbookError> {
    let seen = named.seen.iter().map(|(hose, _)| hose);
    let shown = named.photographs.iter().map(|(hose, ..)| hose);
    let in_hand: Vec<&Code> = named.scanned.iter().chain(seen).chain(shown).collect();
    let mut all = in_hand.iter().copied().chain(&named.missing);
    if let Some(stranger) = all.find(|hose| !out.hoses.contains(hose)) {
        let hose = record_of(store, *stranger, moment.today)?.tag();
        let (set, ticket) = (set.name.clone(), out.ticket.clone());
        return Err(LogbookError::NotOutWith { hose, set, ticket });
    }
    let mut told = Accounted { back: Vec::new(), missing: Vec::new() };
    let (mut untold, mut unseen) = (Vec::new(), Vec::new());
    for hose in &out.hoses {
        let record = record_of(store, *hose, moment.today)?;
        match (in_hand.contains(&hose), named.missing.contains(hose)) {
            (true, true) => return Err(LogbookError::ScannedAndMissing(record.tag())),
            (true, false) => {
                let seen = named.seen.iter().filter(|(of, _)| of == hose);
                let seen: Vec<Observation> = seen.map(|(_, seen)| *seen).collect();
                if seen.is_empty() && !named.clear.contains(hose) {
                    unseen.push(in_words(set, &record));
                }
                told.back.push((*hose, seen));
            }
            (false, true) => told.missing.push(record),
            (false, false) => untold.push(in_words(set, &record)),
        }
    }
    if !untold.is_empty() {
        let (set, ticket) = (set.name.clone(), out.ticket.clone());
        return Err(LogbookError::Unaccounted { set, ticket, hoses: untold });
    }
    if !unseen.is_empty() {
        return Err(LogbookError::NotLookedAt(unseen));
    }
    Ok(told)
}

/// A hose with its port and what it is.
fn in_words(set: &SetRecord, record: &HoseRecord) -> String {
    let what = words::hose_briefly(record.specification.as_ref());
    let (port, hose, what) = (port_in(set, record.hose), record.tag(), what.as_str());
    words::sets::Named { port, hose, what }.to_string()
}

fn port_in(set: &SetRecord, hose: Code) -> Option<PortName> {
    set.hoses.iter().find(|(_, own)| **own == hose).map(|(port, _)| *port)
}

/// What keeps a missing hose from being dived: it is out of its port, and on hold.
/// One that is in another set on record meanwhile is left there.
fn gone(
    set: &SetRecord,
    record: &HoseRecord,
    ticket: &Label,
    on: NaiveDate,
) -> Result<Vec<Event>, LogbookError> {
    let here = |slot: Slot| slot.set == set.id || set.joined.contains(&slot.set);
    let mut events = Vec::new();
    if record.slots().next().is_some() && record.slots().all(here) {
        check_since(record, on)?;
        events.push(removal(record));
    }
    let why = Label::clipped(&words::returns::missing_since(on, ticket)).into();
    let (hose, hoses) = (Some(record.hose), Vec::new());
    events.push(Event::Held(Held { hose, set: None, hoses, why, incident: false }));
    Ok(events)
}

/// The dives that count if nobody knows: the owner's number for each day that
/// it was out, the first and the last included.
fn estimated(a_day: u32, out: &HandOut, on: NaiveDate) -> u32 {
    let days = u32::try_from((on - out.on).num_days().max(0)).unwrap_or(u32::MAX);
    a_day.saturating_mul(days.saturating_add(1))
}

/// A hose whose description has not reached this store can have no findings
/// held against it; that it was looked at can be said.
fn quick_look(record: &HoseRecord, findings: Vec<Observation>) -> Result<Look, LogbookError> {
    let kind = InspectionKind::Quick;
    let Some(specification) = record.specification.as_ref() else {
        return match findings.is_empty() {
            true => Ok(Look::of(kind, findings)),
            false => Err(LogbookError::Undescribed(record.tag())),
        };
    };
    let mut form = Form::new(kind, specification);
    for seen in findings {
        form.found(seen)?;
    }
    Ok(form.finish()?)
}

/// Why a set that came back goes into quarantine: something was found that holds
/// a hose of it or retires it.
fn quarantine(
    store: &Connection,
    looks: &[(Code, Look)],
    moment: &Moment,
) -> Result<Option<Label>, LogbookError> {
    for (hose, look) in looks {
        let record = record_of(store, *hose, moment.today)?;
        let bad = look
            .findings
            .iter()
            .find_map(|seen| record.rule(seen).filter(|rule| rule.verdict >= Verdict::Hold));
        if let Some(rule) = bad {
            let why = words::sets::quarantine(record.tag(), rule.seen);
            return Ok(Some(Label::clipped(&why)));
        }
    }
    Ok(None)
}

#[cfg(test)]
#[path = "returns_tests.rs"]
mod tests;

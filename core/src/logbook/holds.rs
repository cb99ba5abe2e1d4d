//! Holds by hand, quarantines, and their release.

use rusqlite::Connection;

use super::around::Around;
use super::believed::{record_of, set_of, set_on, sets_of};
use super::moves::named;
use super::{Logbook, LogbookError};
use crate::event::{EntryId, Event, Held, Released};
use crate::hose::{Label, Prose};
use crate::inspection::Verdict;
use crate::journal::{Draft, Moment};
use crate::record::{Hold, HoseRecord, SetRecord};
use crate::tag::Code;

impl Logbook {
    /// Puts a hose on hold. `incident` is an accident, or the suspicion of one:
    /// then the owner alone releases it.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown.
    pub fn hold(
        &mut self,
        hose: Code,
        why: Prose,
        incident: bool,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = moment.today;
        let (_, tag) = self.write(moment, |work, _| {
            let record = record_of(work, hose, moment.today)?;
            let (hose, hoses) = (Some(record.hose), Vec::new());
            let event = Event::Held(Held { hose, set: None, hoses, why, incident });
            Ok((vec![Draft { on, event }], record.tag()))
        })?;
        Ok(tag)
    }

    /// Puts a set on hold, and with it every hose that is in it or comes in.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set.
    pub fn hold_set(
        &mut self,
        set: &Label,
        why: Prose,
        incident: bool,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = moment.today;
        self.write(moment, |work, _| {
            let set = set_of(work, set, moment.today)?;
            let hoses = hoses_of(&set);
            let event = Event::Held(Held { hose: None, set: Some(set.id), hoses, why, incident });
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// Releases a hose from every hold by hand of its own.
    ///
    /// # Errors
    /// [`LogbookError`] if nothing holds it by hand, or this device may not.
    pub fn release(
        &mut self,
        hose: Code,
        why: &Prose,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let (_, tag) = self.write(moment, |work, _| {
            let record = record_of(work, hose, moment.today)?;
            let of_hose = |hold: &&Hold| !of_a_set(work, &record, hold, moment);
            let holds: Vec<&Hold> = record.holds.iter().filter(of_hose).collect();
            if holds.is_empty() {
                return Err(not_held(work, &record, moment));
            }
            let event = |answers: Vec<EntryId>, incident| {
                Event::Released(Released {
                    hose: Some(record.hose),
                    set: None,
                    hoses: Vec::new(),
                    why: why.clone(),
                    incident,
                    answers,
                })
            };
            Ok((releases(&holds, moment, event), record.tag()))
        })?;
        Ok(tag)
    }

    /// Releases a set from its holds and its quarantine.
    ///
    /// # Errors
    /// [`LogbookError`] if nothing holds it, a hose of it is still on hold
    /// while it is in quarantine, or this device may not.
    pub fn release_set(
        &mut self,
        set: &Label,
        why: &Prose,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        self.write(moment, |work, _| {
            let set = set_of(work, set, moment.today)?;
            let holds: Vec<&Hold> = set.holds.iter().chain(&set.quarantines).collect();
            if holds.is_empty() {
                return Err(LogbookError::SetNotHeld(set.name));
            }
            if !set.quarantines.is_empty() {
                check_put_right(work, &set, moment)?;
            }
            let event = |answers: Vec<EntryId>, incident| {
                Event::Released(Released {
                    hose: None,
                    set: Some(set.id),
                    hoses: hoses_of(&set),
                    why: why.clone(),
                    incident,
                    answers,
                })
            };
            Ok((releases(&holds, moment, event), ()))
        })?;
        Ok(())
    }
}

/// The hoses that are claimed for a set, each once.
pub(super) fn hoses_of(set: &SetRecord) -> Vec<Code> {
    named(set.claims.iter().map(|claim| claim.hose))
}

/// Holds after an incident are released by an entry of their own: the owner's.
fn releases(
    holds: &[&Hold],
    moment: &Moment,
    event: impl Fn(Vec<EntryId>, bool) -> Event,
) -> Vec<Draft> {
    let of = |incident| {
        let named: Vec<EntryId> =
            holds.iter().filter(|hold| hold.incident == incident).map(|hold| hold.entry).collect();
        (!named.is_empty()).then(|| Draft { on: moment.today, event: event(named, incident) })
    };
    [of(false), of(true)].into_iter().flatten().collect()
}

/// Whether a hold that is on a hose's record is that of a set it was in.
fn of_a_set(work: &Connection, record: &HoseRecord, hold: &Hold, moment: &Moment) -> bool {
    let sets = sets_of(record);
    let mut known = sets.filter_map(|set| set_on(work, set, moment.today).ok()?);
    known.any(|set| set.holds.iter().any(|other| other.entry == hold.entry))
}

fn not_held(work: &Connection, record: &HoseRecord, moment: &Moment) -> LogbookError {
    let sets = sets_of(record);
    let mut held = sets.filter_map(|set| {
        set_on(work, set, moment.today).ok()?.filter(|set| !set.holds.is_empty())
    });
    match held.next() {
        Some(set) => LogbookError::HeldWithSet { hose: record.tag(), set: set.name },
        None => LogbookError::NotHeld(record.tag()),
    }
}

/// A quarantine ends once no hose of the set has a hold that no reason lifts.
fn check_put_right(
    work: &Connection,
    set: &SetRecord,
    moment: &Moment,
) -> Result<(), LogbookError> {
    let mut around = Around::of(work, moment.today)?;
    for hose in hoses_of(set) {
        let record = around.record_of(hose)?;
        let reasons = around.ask(&record, crate::answer::reasons)?;
        let stops = |code: &str| code != "set-quarantined" && !crate::rental::can_be_lifted(code);
        let still = reasons.iter().find(|r| r.verdict >= Verdict::Hold && stops(&r.code));
        if let Some(reason) = still {
            let why = format!("{} {}", reason.words, reason.todo);
            return Err(LogbookError::Held { hose: record.tag(), why });
        }
    }
    Ok(())
}

#[cfg(test)]
#[path = "holds_tests.rs"]
mod tests;

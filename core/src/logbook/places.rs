//! Hoses in the ports of sets: what goes where, and what is there.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::believed::{seat_of, set_called, set_of, sets_in};
use super::checks::{
    check_since, described, not_at_home, not_out, not_retired, of_this_set, set_not_after_incident,
    set_not_at_home, set_not_out,
};
use super::moves::{fitting, named, removal};
use super::{Logbook, LogbookError, PlaceError};
use crate::answer::answer;
use crate::answer::unknown_kind;
use crate::event::{EntryId, Event, Fitted, PlaceConfirmed, PortName, Seat, Slot};
use crate::hose::{End, Fitting, Label, Specification};
use crate::journal::Moment;
use crate::record::{HoseRecord, PortClaim, SetRecord};
use crate::set_view::{SetView, free_ports};
use crate::tag::Code;
use crate::words;

impl Logbook {
    /// Puts a hose in a free port of a set, or moves it to another port of the
    /// set that it is in.
    ///
    /// # Errors
    /// [`LogbookError`] if the port is taken or does not take this hose, or
    /// the hose is retired or in another set.
    pub fn fit(
        &mut self,
        hose: Code,
        set: &Label,
        port: PortName,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let day = on.unwrap_or(moment.today);
        self.write_of_hose(hose, on, moment, |record, work| {
            not_retired(record)?;
            not_out(record)?;
            not_at_home(record)?;
            let set = set_of(work, set, moment.today)?;
            set_not_out(&set)?;
            set_not_at_home(&set)?;
            of_this_set(record, &set)?;
            set_not_after_incident(&set)?;
            let slot = Slot { set: set.id, port };
            check_free(work, record, &set, slot)?;
            check_goes_in(record, &set, port)?;
            check_since(record, day)?;
            Ok(fitting(record, slot))
        })
    }

    /// Takes a hose off its set, to stock.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is in no set.
    pub fn remove(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let day = on.unwrap_or(moment.today);
        self.write_of_hose(hose, on, moment, |record, _| {
            if record.slots().next().is_none() {
                return Err(LogbookError::Place(PlaceError::NotFitted(record.tag())));
            }
            not_out(record)?;
            not_at_home(record)?;
            check_since(record, day)?;
            Ok(removal(record))
        })
    }

    /// Settles a dispute about where a hose is: it is where the record shows it,
    /// as someone saw who looked. Other hoses that were put in its port are in
    /// stock.
    ///
    /// # Errors
    /// [`LogbookError::Place`] if nothing is in dispute.
    pub fn confirm_place(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, on, moment, |record, work| {
            let sets = sets_in(work, record, moment.today)?;
            let slots: Vec<Slot> = record.slots().collect();
            let mut rivals: Vec<(Code, EntryId)> = Vec::new();
            for set in &sets {
                let there = |claim: &&PortClaim| {
                    claim.hose != record.hose
                        && slots.iter().any(|slot| {
                            slot.port == claim.port
                                && (slot.set == set.id || set.joined.contains(&slot.set))
                        })
                };
                rivals.extend(set.claims.iter().filter(there).map(|c| (c.hose, c.entry)));
            }
            let doubtful = record.claims.iter().any(|claim| claim.doubtful);
            if !record.contested() && rivals.is_empty() && !doubtful {
                return Err(LogbookError::Place(PlaceError::PlaceNotContested(record.tag())));
            }
            let own = record.claims.iter().map(|claim| claim.entry);
            Ok(Event::PlaceConfirmed(PlaceConfirmed {
                hose: record.hose,
                at: record.seat,
                hoses: named(rivals.iter().map(|(hose, _)| *hose)),
                sets: named(slots.iter().map(|slot| slot.set)),
                answers: named(own.chain(rivals.iter().map(|(_, entry)| *entry))),
            }))
        })
    }

    /// A set with the answer for every hose in it, read in one state of the store.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn set_view(&self, name: &Label, moment: &Moment) -> Result<SetView, LogbookError> {
        self.reading(|| {
            let set = set_of(&self.connection, name, moment.today)?;
            let mut around = self.around(moment.today)?;
            let answers =
                set.hoses.iter().map(|(port, hose)| Ok((*port, around.ask_of(*hose, answer)?)));
            Ok(SetView::of(&set, &answers.collect::<Result<_, LogbookError>>()?))
        })
    }

    /// The free ports of a set that take a hose, best first: the one that it
    /// was in last, then in the order of the first stage.
    ///
    /// # Errors
    /// [`LogbookError`] if hose or set is unknown.
    pub fn suggest_ports(&self, hose: Code, set: &Label) -> Result<Vec<PortName>, LogbookError> {
        self.reading(|| {
            let record = self.record(hose)?;
            let set = set_called(&self.connection, set)?;
            let last = self.history(record.hose)?.iter().rev().find_map(|line| match &line.event {
                Some(Event::RemovedBefore(b)) if b.set == set.name => Some(b.port),
                Some(Event::Fitted(Fitted { set: into, port, .. })) if *into == set.id => {
                    Some(*port)
                }
                _ => None,
            });
            Ok(free_ports(&described(&record)?, &set, last))
        })
    }

    /// The refusal to fit a hose without saying in which port: it names those
    /// that would take it, best first.
    ///
    /// # Errors
    /// [`LogbookError`] if hose or set is unknown.
    pub fn port_needed(&self, hose: Code, set: &Label) -> Result<LogbookError, LogbookError> {
        let (free, hose) = (self.suggest_ports(hose, set)?, self.record(hose)?.tag());
        Ok(LogbookError::Place(PlaceError::PortNeeded { hose, set: set.clone(), free }))
    }
}

fn check_free(
    work: &Connection,
    record: &HoseRecord,
    set: &SetRecord,
    slot: Slot,
) -> Result<(), LogbookError> {
    let hose = record.tag();
    let here = |now: Slot| now.set == set.id || set.joined.contains(&now.set);
    let seat = || Seat { set: set.name.clone(), port: slot.port };
    let rival = set.hoses.get(&slot.port).filter(|holder| **holder != record.hose);
    match record.seat {
        Some(now)
            if here(now) && now.port == slot.port && !record.contested() && rival.is_none() =>
        {
            Err(LogbookError::Place(PlaceError::FittedThere { hose, seat: seat() }))
        }
        Some(now) if !here(now) => Err(LogbookError::Place(PlaceError::FittedElsewhere {
            hose,
            seat: seat_of(work, now)?,
        })),
        _ => match rival {
            Some(holder) => {
                let hose = record.specification.as_ref();
                let free = hose.map(|hose| free_ports(hose, set, None)).unwrap_or_default();
                Err(LogbookError::Place(PlaceError::PortTaken {
                    seat: seat(),
                    holder: *holder,
                    free,
                }))
            }
            None => Ok(()),
        },
    }
}

fn check_goes_in(record: &HoseRecord, set: &SetRecord, name: PortName) -> Result<(), LogbookError> {
    goes_in(record.tag(), &described(record)?, set, name)
}

/// Whether a hose like this goes in a port of a set.
pub(super) fn goes_in(
    hose: Code,
    specification: &Specification,
    set: &SetRecord,
    name: PortName,
) -> Result<(), LogbookError> {
    let port = set.port(name).ok_or_else(|| {
        LogbookError::Place(PlaceError::NoSuchPort {
            set: set.name.clone(),
            port: name,
            ports: set.ports.iter().map(|p| p.name.to_string()).collect(),
        })
    })?;
    if let Some(device) = set.devices.get(&name) {
        let said = format!(
            "{name} holds {device} and no plug; take that out on record first, with set change"
        );
        return Err(LogbookError::Place(PlaceError::BadPorts(said)));
    }
    let needs = specification.service().pressure();
    if port.pressure().is_some_and(|gives| gives != needs) {
        return Err(LogbookError::Place(PlaceError::WrongPressure { hose, port: name, needs }));
    }
    let refused =
        |why: &str| LogbookError::Place(PlaceError::DoesNotFit { hose, why: why.to_owned() });
    if let Some(why) = unknown_kind(specification, port) {
        return Err(refused(why));
    }
    let end = specification.fitting(End::A);
    if *end != Fitting::Thread(port.thread) {
        let thread = end.to_string();
        return Err(LogbookError::Place(PlaceError::WrongThread {
            hose,
            port: name,
            thread,
            cut: port.thread,
        }));
    }
    if set.oxygen && !specification.oxygen() {
        return Err(refused(words::NOT_FOR_OXYGEN));
    }
    Ok(())
}

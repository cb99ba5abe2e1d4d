//! Sets, and the hoses in their ports.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::answering::answer_of;
use super::believed::{seat_of, set_called, set_of, sets_in};
use super::checks::{
    check_not_ahead, check_since, described, not_at_home, not_out, not_retired, of_this_set,
    set_not_after_incident, set_not_at_home, set_not_out,
};
use super::moves::{fitting, named, removal};
use super::ports::{PortCount, numbered};
use super::sets::{changed, of_customer, with_kinds};
use super::{Found, Logbook, LogbookError, NewSet, PortDevice, PortIs};
use crate::answer::unknown_kind;
use crate::event::{EntryId, Event, Port, PortName, Seat, SetChanges, SetId, Slot};
use crate::hose::{End, Fitting, Label, Owner, Specification};
use crate::journal::{Draft, Moment, StoreError};
use crate::policy::Use;
use crate::record::{self, HoseRecord, PortClaim, SetRecord};
use crate::set_view::{SetView, free_ports};
use crate::tag::Code;
use crate::words;

/// What somebody wants to be different of a set.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SetEdit {
    /// Its name.
    pub name: Option<Label>,
    /// Who dives with it.
    pub in_use: Option<Use>,
    /// Its ports, all of them.
    pub ports: Option<Vec<PortCount>>,
    /// It is no more.
    pub dissolved: bool,
    /// What ports give that were named without a kind.
    pub kinds: Vec<PortIs>,
    /// What is in ports that have no hose.
    pub devices: Vec<PortDevice>,
    /// Whether it is cleaned for oxygen.
    pub oxygen: Option<bool>,
    /// Whose it is.
    pub owner: Option<Owner>,
}

impl Logbook {
    /// Puts a regulator set on record.
    ///
    /// # Errors
    /// [`LogbookError`] where the name is taken or the ports cannot be.
    pub fn assemble(
        &mut self,
        name: Label,
        in_use: Use,
        ports: &[PortCount],
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<SetId, LogbookError> {
        self.assemble_new(NewSet::new(name, in_use, ports.to_vec()), on, moment)
    }

    /// Puts a regulator set on record, with all that is known of it.
    ///
    /// # Errors
    /// [`LogbookError`] where the name is taken or the ports cannot be.
    pub fn assemble_new(
        &mut self,
        new: NewSet,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<SetId, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let ports = numbered(&new.ports)?;
        let details = Box::new(new.details(&ports)?);
        let (name, in_use) = (new.name, new.in_use);
        let (_, set) = self.write(moment, |work, mut random| {
            check_name_free(work, &name)?;
            let set = loop {
                let set = SetId::draw(&mut random);
                if !record::is_known(work, set.code())? {
                    break set;
                }
            };
            let event = Event::Assembled { set, name, in_use, ports, details };
            Ok((vec![Draft { on, event }], set))
        })?;
        Ok(set)
    }

    /// Puts a hose in a free port of a set, or moves it to another port of the
    /// set that it is in.
    ///
    /// # Errors
    /// [`LogbookError`] where the port is taken or does not take this hose, or
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
    /// [`LogbookError`] where the hose is in no set.
    pub fn remove(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let day = on.unwrap_or(moment.today);
        self.write_of_hose(hose, on, moment, |record, _| {
            if record.slots().next().is_none() {
                return Err(LogbookError::NotFitted(record.tag()));
            }
            not_out(record)?;
            not_at_home(record)?;
            check_since(record, day)?;
            Ok(removal(record))
        })
    }

    /// Settles a dispute about where a hose is: it is where the record shows it,
    /// as somebody saw who looked. Other hoses that were put in its port are in
    /// stock.
    ///
    /// # Errors
    /// [`LogbookError::PlaceNotContested`] where nothing is in dispute.
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
                return Err(LogbookError::PlaceNotContested(record.tag()));
            }
            let own = record.claims.iter().map(|claim| claim.entry);
            Ok(Event::PlaceConfirmed {
                hose: record.hose,
                at: record.seat,
                hoses: named(rivals.iter().map(|(hose, _)| *hose)),
                sets: named(slots.iter().map(|slot| slot.set)),
                answers: named(own.chain(rivals.iter().map(|(_, entry)| *entry))),
            })
        })
    }

    /// Changes a set: its name, use or ports, or dissolves it where it is empty.
    /// What takes a reason away from its hoses needs a reason of its own.
    ///
    /// # Errors
    /// [`LogbookError`] where the name is taken, the ports cannot be, a reason is
    /// needed, or the set is not empty.
    pub fn change_set(
        &mut self,
        set: &Label,
        changes: SetEdit,
        why: Option<Label>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = moment.today;
        let ports = changes.ports.as_deref().map(numbered).transpose()?;
        self.write(moment, |work, _| {
            let set = set_of(work, set, moment.today)?;
            set_not_after_incident(&set)?;
            if let Some(name) = changes.name.as_ref().filter(|name| !same_name(name, &set.name)) {
                check_name_free(work, name)?;
            }
            if changes.dissolved && !set.claims.is_empty() {
                return Err(LogbookError::SetNotEmpty(set.name));
            }
            // A contest is settled by saying all of it once more.
            let in_use = changes.in_use.or(set.contested.then_some(set.in_use));
            let ports = ports.or_else(|| set.contested.then(|| set.ports.clone()));
            let ports = match changes.kinds.as_slice() {
                [] => ports,
                kinds => Some(with_kinds(ports.as_deref().unwrap_or(&set.ports), kinds)?),
            };
            let now = ports.as_deref().unwrap_or(&set.ports);
            let said = (changes.oxygen, changes.owner);
            let details = changed(&set, said, &changes.devices, now)?;
            if details.owner.is_some() && !set.contested {
                set_not_at_home(&set)?;
            }
            if let Some(owner) = &details.owner {
                of_customer(owner, in_use.unwrap_or(set.in_use))?;
            } else if let Some(in_use) = in_use {
                of_customer(&set.owner, in_use)?;
            }
            let looser = in_use == Some(Use::Personal) && set.in_use == Use::Rental
                || details.oxygen == Some(false) && set.oxygen;
            let other = ports.as_ref().is_some_and(|ports| changes_ports(&set, ports));
            if why.is_none() && (looser || other || set.contested) {
                return Err(LogbookError::SetReasonNeeded(set.name));
            }
            let (name, dissolved) = (changes.name, changes.dissolved);
            let changes = SetChanges { name, in_use, ports, dissolved, details };
            if changes == SetChanges::default() {
                return Err(LogbookError::Nothing("name something that changes"));
            }
            let answers = set.descriptions.clone();
            let event = Event::SetChanged { set: set.id, changes, why, answers };
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// Says that two sets on record are one: it has the hoses, holds and hand-outs
    /// of both.
    ///
    /// # Errors
    /// [`LogbookError`] where one is unknown, or both are the same.
    pub fn join_sets(
        &mut self,
        sets: (&Label, &Label),
        why: Label,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = moment.today;
        self.write(moment, |work, _| {
            let first = set_of(work, sets.0, moment.today)?;
            let second = set_of(work, sets.1, moment.today)?;
            if first.id == second.id {
                return Err(LogbookError::Nothing("name two sets"));
            }
            let event = Event::SetsJoined { sets: [first.id, second.id], why };
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// A set and what is in it.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn set(&self, name: &Label) -> Result<SetRecord, LogbookError> {
        set_called(&self.connection, name)
    }

    /// A set by its identity; nothing where none is on record.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read.
    pub fn set_by_id(&self, set: SetId) -> Result<Option<SetRecord>, StoreError> {
        record::load_set(&self.connection, set)
    }

    /// A set with the answer for every hose in it, read in one state of the store.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn set_view(&self, name: &Label, moment: &Moment) -> Result<SetView, LogbookError> {
        self.reading(|| {
            let set = set_of(&self.connection, name, moment.today)?;
            let answers = set.hoses.iter().map(|(port, hose)| {
                let found = Found { hose: *hose, tag: None };
                Ok((*port, answer_of(&self.connection, found, moment)?))
            });
            Ok(SetView::of(&set, &answers.collect::<Result<_, LogbookError>>()?))
        })
    }

    /// The free ports of a set that take a hose, best first: the one that it
    /// was in last, then in the order of the first stage.
    ///
    /// # Errors
    /// [`LogbookError`] where hose or set is unknown.
    pub fn suggest_ports(&self, hose: Code, set: &Label) -> Result<Vec<PortName>, LogbookError> {
        self.reading(|| {
            let record = self.record(hose)?;
            let set = set_called(&self.connection, set)?;
            let last = self.history(record.hose)?.iter().rev().find_map(|line| match &line.event {
                Some(Event::RemovedBefore(b)) if b.set == set.name => Some(b.port),
                Some(Event::Fitted { set: into, port, .. }) if *into == set.id => Some(*port),
                _ => None,
            });
            Ok(free_ports(&described(&record)?, &set, last))
        })
    }

    /// The refusal to fit a hose without saying in which port: it names those
    /// that would take it, best first.
    ///
    /// # Errors
    /// [`LogbookError`] where hose or set is unknown.
    pub fn port_needed(&self, hose: Code, set: &Label) -> Result<LogbookError, LogbookError> {
        let (free, hose) = (self.suggest_ports(hose, set)?, self.record(hose)?.tag());
        Ok(LogbookError::PortNeeded { hose, set: set.clone(), free })
    }

    /// Every set on record, by name.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read.
    pub fn sets(&self) -> Result<Vec<SetRecord>, StoreError> {
        record::recorded_sets(&self.connection)
    }
}

fn same_name(a: &Label, b: &Label) -> bool {
    a.as_str().to_lowercase() == b.as_str().to_lowercase()
}

fn check_name_free(work: &Connection, name: &Label) -> Result<(), LogbookError> {
    if Code::parse(name.as_str()).is_ok() {
        return Err(LogbookError::NameLikeCode(name.clone()));
    }
    match record::find_sets(work, name.as_str())?.first() {
        Some(set) => Err(LogbookError::SetExists(set.name.clone())),
        None => Ok(()),
    }
}

/// Whether ports that are there are others in a change, or gone.
fn changes_ports(set: &SetRecord, ports: &[Port]) -> bool {
    set.ports.iter().any(|port| !ports.contains(port)) || !set.disputed.is_empty()
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
            Err(LogbookError::FittedThere { hose, seat: seat() })
        }
        Some(now) if !here(now) => {
            Err(LogbookError::FittedElsewhere { hose, seat: seat_of(work, now)? })
        }
        _ => match rival {
            Some(holder) => {
                let hose = record.specification.as_ref();
                let free = hose.map(|hose| free_ports(hose, set, None)).unwrap_or_default();
                Err(LogbookError::PortTaken { seat: seat(), holder: *holder, free })
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
    let port = set.port(name).ok_or_else(|| LogbookError::NoSuchPort {
        set: set.name.clone(),
        port: name,
        ports: set.ports.iter().map(|p| p.name.to_string()).collect(),
    })?;
    if let Some(device) = set.devices.get(&name) {
        let said = format!(
            "{name} holds {device} and no plug; take that out on record first, with set change"
        );
        return Err(LogbookError::BadPorts(said));
    }
    let needs = specification.service().pressure();
    if port.pressure().is_some_and(|gives| gives != needs) {
        return Err(LogbookError::WrongPressure { hose, port: name, needs });
    }
    let refused = |why: &str| LogbookError::DoesNotFit { hose, why: why.to_owned() };
    if let Some(why) = unknown_kind(specification, port) {
        return Err(refused(why));
    }
    let end = specification.fitting(End::A);
    if *end != Fitting::Thread(port.thread) {
        let thread = end.to_string();
        return Err(LogbookError::WrongThread { hose, port: name, thread, cut: port.thread });
    }
    if set.oxygen && !specification.oxygen() {
        return Err(refused(words::NOT_FOR_OXYGEN));
    }
    Ok(())
}

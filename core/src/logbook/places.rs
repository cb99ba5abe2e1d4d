//! Sets, and the hoses in their ports.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::answering::answer_of;
use super::hoses::{described, not_out, not_retired};
use super::{Found, Logbook, LogbookError, check_not_ahead};
use crate::event::{Event, Port, PortName, Seat};
use crate::hose::{End, Fitting, Label, Pressure, Specification, Thread};
use crate::journal::{Draft, Moment, StoreError};
use crate::policy::Use;
use crate::record::{self, HoseRecord, SetRecord};
use crate::set_view::{SetView, free_ports};
use crate::tag::Code;

/// Some ports of a kind and thread, as `LP:3/8-24=4`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PortCount {
    /// The kind.
    pub pressure: Pressure,
    /// The thread.
    pub thread: Thread,
    /// How many, 1 to 12.
    pub count: u8,
}

impl std::str::FromStr for PortCount {
    type Err = LogbookError;

    fn from_str(typed: &str) -> Result<Self, LogbookError> {
        let text = typed.trim();
        let wrong = || {
            LogbookError::BadPorts(format!(
                "“{text}” does not name ports; write KIND:THREAD=COUNT, as LP:3/8-24=4"
            ))
        };
        let (kind, rest) = text.split_once(':').ok_or_else(wrong)?;
        let (thread, count) = rest.split_once('=').unwrap_or((rest, "1"));
        let count = count.trim().parse().ok().filter(|n| (1..=12).contains(n)).ok_or_else(wrong)?;
        let (pressure, thread) = (kind.parse()?, thread.parse()?);
        check_thread(pressure, thread)?;
        Ok(Self { pressure, thread, count })
    }
}

/// High-pressure ports are 7/16-20 and nothing else is (section 2 of the
/// trade's rules: common practice, no source).
fn check_thread(pressure: Pressure, thread: Thread) -> Result<(), LogbookError> {
    let possible = match pressure {
        Pressure::High => thread == Thread::Unf7_16x20,
        Pressure::Low => matches!(thread, Thread::Unf3_8x24 | Thread::Unf1_2x20),
    };
    if possible {
        return Ok(());
    }
    Err(LogbookError::BadPorts(format!(
        "no first stage has a {thread} {pressure} port; HP ports are 7/16-20, LP ports 3/8-24 or 1/2-20"
    )))
}

/// Numbers ports among their kind: `LP1`, `LP2` …
fn numbered(counts: &[PortCount]) -> Result<Vec<Port>, LogbookError> {
    let mut ports: Vec<Port> = Vec::new();
    for wanted in counts {
        for _ in 0..wanted.count {
            let before = ports.iter().filter(|p| p.name.pressure() == wanted.pressure).count();
            let number = u8::try_from(before + 1).unwrap_or(u8::MAX);
            let name = PortName::new(wanted.pressure, number);
            ports.push(Port { name, thread: wanted.thread });
        }
    }
    if ports.is_empty() || ports.len() > 16 {
        let said = "a first stage has 1 to 16 ports".to_owned();
        return Err(LogbookError::BadPorts(said));
    }
    Ok(ports)
}

impl Logbook {
    /// Puts a regulator set on record.
    ///
    /// # Errors
    /// [`LogbookError`] where the name is taken or the ports cannot be.
    pub fn assemble(
        &mut self,
        set: Label,
        in_use: Use,
        ports: &[PortCount],
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let ports = numbered(ports)?;
        self.write(moment, |work, _| {
            if record::load_set(work, &set)?.is_some() {
                return Err(LogbookError::SetExists(set));
            }
            Ok((vec![Draft { on, event: Event::Assembled { set, in_use, ports } }], ()))
        })?;
        Ok(())
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
            let set = set_of(work, set)?;
            set_not_out(&set)?;
            let seat = Seat { set: set.name.clone(), port };
            check_free(record, &set, &seat)?;
            check_goes_in(record, &set, port)?;
            check_since(record, day)?;
            let (hose, from) = (record.hose, record.seat.clone());
            Ok(Event::Fitted { hose, set: seat.set, port, from })
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
            let seat = record.seat.clone().ok_or(LogbookError::NotFitted(record.tag()))?;
            not_out(record)?;
            check_since(record, day)?;
            Ok(Event::Removed { hose: record.hose, set: seat.set, port: seat.port })
        })
    }

    /// A set and what is in it.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn set(&self, name: &Label) -> Result<SetRecord, LogbookError> {
        set_of(&self.connection, name)
    }

    /// A set with the answer for every hose in it, read in one state of the store.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn set_view(&self, name: &Label, moment: &Moment) -> Result<SetView, LogbookError> {
        self.reading(|| {
            let set = set_of(&self.connection, name)?;
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
            let set = set_of(&self.connection, set)?;
            let last =
                self.history(record.hose)?.iter().rev().find_map(|entry| match entry.event() {
                    Some(Event::Removed { set: from, port, .. }) if from == set.name => Some(port),
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

pub(super) fn set_of(work: &Connection, name: &Label) -> Result<SetRecord, LogbookError> {
    if let Some(set) = record::load_set(work, name)? {
        return Ok(set);
    }
    let known = record::recorded_sets(work)?;
    let known: Vec<String> = known.iter().map(|set| set.name.to_string()).take(20).collect();
    Err(LogbookError::NoSuchSet { name: name.clone(), known })
}

fn check_free(record: &HoseRecord, set: &SetRecord, seat: &Seat) -> Result<(), LogbookError> {
    let hose = record.tag();
    match &record.seat {
        Some(now)
            if now == seat
                && !record.contested
                && set.hoses.get(&seat.port) == Some(&record.hose) =>
        {
            Err(LogbookError::FittedThere { hose, seat: seat.clone() })
        }
        Some(now) if now.set != seat.set => {
            Err(LogbookError::FittedElsewhere { hose, seat: now.clone() })
        }
        _ => match set.hoses.get(&seat.port).filter(|holder| **holder != record.hose) {
            Some(holder) => {
                let hose = record.specification.as_ref();
                let free = hose.map(|hose| free_ports(hose, set, None)).unwrap_or_default();
                Err(LogbookError::PortTaken { seat: seat.clone(), holder: *holder, free })
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
    let needs = specification.service().pressure();
    if needs != name.pressure() {
        return Err(LogbookError::WrongPressure { hose, port: name, needs });
    }
    let end = specification.fitting(End::A);
    if *end != Fitting::Thread(port.thread) {
        let thread = end.to_string();
        return Err(LogbookError::WrongThread { hose, port: name, thread, cut: port.thread });
    }
    Ok(())
}

/// What is with a hirer cannot be worked on.
pub(super) fn set_not_out(set: &SetRecord) -> Result<(), LogbookError> {
    match &set.out {
        Some(out) => Err(LogbookError::SetOut {
            set: set.name.clone(),
            ticket: out.ticket.clone(),
            since: out.on,
        }),
        None => Ok(()),
    }
}

/// A hose is not moved on a day before the one on which it came where it is.
pub(super) fn check_since(record: &HoseRecord, on: NaiveDate) -> Result<(), LogbookError> {
    match record.seated_on {
        Some(since) if on < since => Err(LogbookError::BeforeLastPlace { on, since }),
        _ => Ok(()),
    }
}

//! What deeds write is made of: hoses, sets, ports, looks and swaps, by number.

use super::deeds::SEEN;
use crate::event::{
    About, DetailChanges, EntryId, Event, Port, PortName, SetDetails, Slot, Swapped,
};
use crate::hose::{
    Construction, Label, Origin, Owner, Particulars, PortKind, Pressure, Service, Specification,
    Thread,
};
use crate::inspection::{InspectionKind, LeakTest, Look, Observation};
use crate::journal::Entry;
use crate::measure::PartialDate;
use crate::story::{code, hose, label, ports as usual_ports};
use crate::tag::Code;

pub(super) fn details(variant: usize) -> SetDetails {
    let owner = (variant == 2).then(|| Owner::Ticket(label("T-1")));
    let devices = (variant == 3).then(|| (port(1), label("transmitter")));
    SetDetails { oxygen: variant == 1, owner, devices: devices.into_iter().collect(), branch: None }
}

pub(super) fn with_kind(pressure: Pressure) -> Vec<Port> {
    let mut ports = ports();
    for port in ports.iter_mut().filter(|port| port.name.kind() == PortKind::Unknown) {
        port.kind = Some(pressure);
    }
    ports
}

pub(super) fn detail_changes(variant: usize) -> DetailChanges {
    let devices = || [(port(2), label("relief valve"))].into_iter().collect();
    DetailChanges {
        oxygen: [(6, true), (7, false)].iter().find(|(v, _)| *v == variant).map(|(_, yes)| *yes),
        owner: match variant {
            8 => Some(Owner::Ticket(label("T-1"))),
            9 => Some(Owner::Centre),
            _ => None,
        },
        devices: (variant == 10).then(devices),
        ..DetailChanges::default()
    }
}

pub(super) fn about(entry: &Entry) -> About {
    let whom = entry.touched();
    About { hoses: whom.hoses, sets: whom.sets, fleet: whom.fleet }
}

pub(super) fn swapped(
    slot: Slot,
    (a, b): (u64, u64),
    step: &str,
    loosened: bool,
    answers: Vec<EntryId>,
) -> Event {
    swapped_on(slot, [code(a), code(b)], step, loosened, answers)
}

pub(super) fn swapped_on(
    slot: Slot,
    hoses: [Code; 2],
    step: &str,
    loosened: bool,
    answers: Vec<EntryId>,
) -> Event {
    let (step, answer) = (label(step), label("done"));
    Event::Swapped(Swapped {
        hoses,
        set: slot.set,
        port: slot.port,
        step,
        answer,
        loosened,
        answers,
        instead: None,
    })
}

pub(super) fn specification(variant: usize) -> Specification {
    match variant {
        0 | 1 => hose(Service::SecondStage, Construction::Rubber),
        2 => hose(Service::SecondStage, Construction::Braided),
        3 => hose(Service::Gauge, Construction::Rubber),
        4 => hose(Service::Inflator, Construction::Rubber),
        _ => hose(Service::SecondStage, Construction::Rubber).cleaned_for_oxygen(true),
    }
}

pub(super) fn origin(variant: usize) -> Origin {
    let made =
        ["2010-05", "2023-12", "2023", ""].get(variant).and_then(|d| PartialDate::parse(d).ok());
    let text = |texts: [&str; 7]| Some(label(texts[variant])).filter(|l: &Label| l.as_str() != "-");
    let owner = text(["-", "-", "-", "T-1", "-", "-", "T-2"]).map(Owner::Ticket);
    Origin {
        made,
        lot: text(["B17", "-", "C2", "B-17", "C1", "b17", "C2"]),
        maker: (variant != 2).then(|| label("Kelpline")),
        model: text(["K2", "-", "K3", "k2", "-", "-", "K-2"]),
        own: Particulars {
            number: text(["1", "2", "3", "-", "-", "-", "-"]),
            owner,
            ..Particulars::default()
        },
        ..Origin::default()
    }
}

pub(super) fn look(kind: InspectionKind, seen: &[usize], test: Option<LeakTest>) -> Look {
    let mut findings: Vec<Observation> = Vec::new();
    for at in seen {
        let seen: Observation = SEEN[*at].parse().unwrap_or_else(|e| unreachable!("{e}"));
        if !findings.iter().any(|f| (f.place(), f.finding()) == (seen.place(), seen.finding())) {
            findings.push(seen);
        }
    }
    Look { test, gone: None, ..Look::of(kind, findings) }
}

/// The usual ports, and one of which nobody knows what it gives.
pub(super) fn ports() -> Vec<Port> {
    let unknown = Port::new(PortName::of(PortKind::Unknown, 1), Thread::Unf3_8x24);
    usual_ports().into_iter().chain([unknown]).collect()
}

pub(super) fn set_ports(variant: usize) -> Vec<Port> {
    let mut ports = ports();
    if variant == 1 {
        ports.retain(|port| port.pressure() == Some(Pressure::High));
    }
    if variant == 2 {
        for port in ports.iter_mut().filter(|port| port.pressure() == Some(Pressure::Low)) {
            port.thread = Thread::Unf1_2x20;
        }
    }
    ports
}

pub(super) fn port(number: u8) -> PortName {
    match number {
        0 => PortName::new(Pressure::High, 1),
        3 => PortName::of(PortKind::Unknown, 1),
        n => PortName::new(Pressure::Low, n),
    }
}

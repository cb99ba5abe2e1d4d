//! Entries for tests of the folds, each believed as far as the test says.

use chrono::NaiveTime;

use crate::device::DeviceId;
use crate::event::{
    Assembled, Changes, EntryId, Event, Fitted, HandedOut, Removed, Returned, SetId, Slot, Swapped,
};
use crate::hose::{Construction, End, Origin, Service, Specification};
use crate::inspection::{InspectionKind, LeakTest, Look};
use crate::journal::{Believed, Entry, Stamp, Trust, canonical_json};
use crate::measure::{PartialDate, TestPressure};
use crate::photograph::Photograph;
use crate::policy::Use;
use crate::record::{FleetRecord, HoseRecord, SetRecord, fold_hose, fold_set};
use crate::story::{code, day, hose, label, port_name, ports, set_id};
use crate::tag::Code;

/// Entries as a store holds them.
#[derive(Clone, Default)]
pub(super) struct Tale {
    all: Vec<Believed>,
    pub(super) device: u8,
}

impl Tale {
    /// Something that is wholly believed.
    pub(super) fn tell(&mut self, on: &str, event: Event) -> EntryId {
        self.told(on, Trust::Full, event)
    }

    pub(super) fn told(&mut self, on: &str, trust: Trust, event: Event) -> EntryId {
        let (kind, version, body) = event.to_parts();
        self.written(on, trust, (&kind, version), canonical_json(&body).unwrap_or_default())
    }

    /// Something of a kind that nobody knows, about a hose or a set.
    pub(super) fn unknown(&mut self, on: &str, trust: Trust, body: &str) -> EntryId {
        self.written(on, trust, ("polished", 1), body.to_owned())
    }

    fn written(
        &mut self,
        on: &str,
        trust: Trust,
        (kind, version): (&str, u32),
        body: String,
    ) -> EntryId {
        let on = day(on);
        let count = u32::try_from(self.all.len()).unwrap_or(0);
        let entry = Entry {
            device: DeviceId::Unsigned([self.device; 16]),
            seq: u64::from(count) + 1,
            on,
            at: Stamp(on.and_time(NaiveTime::MIN).and_utc().timestamp_millis(), count),
            by: label("Tern"),
            kind: kind.to_owned(),
            version,
            body,
            previous: None,
            signature: None,
        };
        let id = entry.id();
        self.all.push(Believed { id, entry, trust });
        id
    }

    /// Its device wrote the last entry under the number of the one before it.
    pub(super) fn fork(&mut self) {
        if let [.., before, last] = self.all.as_mut_slice() {
            last.entry.seq = before.entry.seq;
            last.id = last.entry.id();
        }
    }

    fn about(&self, of: impl Fn(&Entry) -> bool) -> Vec<Believed> {
        let mut own: Vec<Believed> =
            self.all.iter().filter(|believed| of(&believed.entry)).cloned().collect();
        own.sort_by_key(|believed| believed.entry.order());
        own
    }

    /// What is about a hose, in the order of the fold.
    pub(super) fn about_hose(&self, number: u64) -> Vec<Believed> {
        self.about(|entry| entry.touched().hoses.contains(&code(number)))
    }

    pub(super) fn hose(&self, number: u64) -> HoseRecord {
        let own = self.about_hose(number);
        fold_hose(code(number), &own).unwrap_or_else(|| unreachable!("no entries"))
    }

    pub(super) fn set(&self, name: &str) -> SetRecord {
        self.set_with(name, &[name])
    }

    /// A set, from the entries about it and others that are one with it.
    pub(super) fn set_with(&self, name: &str, others: &[&str]) -> SetRecord {
        let sets: Vec<SetId> = others.iter().map(|name| set_id(name)).collect();
        let own = self.about(|entry| entry.touched().sets.iter().any(|set| sets.contains(set)));
        fold_set(set_id(name), &own).unwrap_or_else(|| unreachable!("no entries"))
    }

    pub(super) fn fleet(&self) -> FleetRecord {
        FleetRecord::fold(&self.about(|entry| entry.touched().fleet))
    }

    pub(super) fn made(&mut self, on: &str, set: &str, in_use: Use) -> EntryId {
        self.tell(on, made(set, in_use))
    }

    pub(super) fn fit(&mut self, on: &str, number: u64, at: (&str, &str)) -> EntryId {
        self.tell(on, fitted(number, at, vec![]))
    }
}

pub(super) fn made(set: &str, in_use: Use) -> Event {
    Event::Assembled(Assembled {
        set: set_id(set),
        name: label(set),
        in_use,
        ports: ports(),
        details: Box::default(),
    })
}

pub(super) fn fitted(number: u64, (set, port): (&str, &str), answers: Vec<EntryId>) -> Event {
    let (set, port) = (set_id(set), port_name(port));
    Event::Fitted(Fitted { hose: code(number), set, port, sets: vec![], answers })
}

pub(super) fn removed(number: u64, set: &str, answers: Vec<EntryId>) -> Event {
    Event::Removed(Removed { hose: code(number), sets: vec![set_id(set)], answers })
}

pub(super) fn handed_out(set: &str, hoses: &[u64], ticket: &str) -> Event {
    let hoses = codes(hoses);
    let (set, ticket) = (set_id(set), label(ticket));
    Event::HandedOut(HandedOut { set, hoses, ticket, override_why: None, shown: vec![] })
}

pub(super) fn returned(set: &str, hoses: &[u64], dives: u32, answers: Vec<EntryId>) -> Event {
    let (hoses, tickets) = (codes(hoses), vec![label("R-1")]);
    let (set, missing, estimated) = (set_id(set), vec![], false);
    Event::Returned(Returned { set, hoses, missing, tickets, dives, estimated, answers })
}

pub(super) fn swapped(
    hoses: (u64, u64),
    at: Slot,
    step: &str,
    loosened: bool,
    answers: Vec<EntryId>,
) -> Event {
    let (hoses, step, answer) = ([code(hoses.0), code(hoses.1)], label(step), label("done"));
    Event::Swapped(Swapped {
        hoses,
        set: at.set,
        port: at.port,
        step,
        answer,
        loosened,
        answers,
        instead: None,
    })
}

pub(super) fn withdrawn(hoses: &[u64], sets: &[&str], answers: Vec<EntryId>) -> Event {
    let sets = sets.iter().map(|name| set_id(name)).collect();
    let about = crate::event::About { hoses: codes(hoses), sets, fleet: false };
    Event::Withdrawn { about, why: label("a slip"), answers }
}

pub(super) fn codes(numbers: &[u64]) -> Vec<Code> {
    numbers.iter().map(|number| code(*number)).collect()
}

pub(super) const HOSE: u64 = 1;

pub(super) fn rubber() -> Specification {
    hose(Service::SecondStage, Construction::Rubber)
}

pub(super) fn braid() -> Specification {
    hose(Service::SecondStage, Construction::Braided)
}

pub(super) fn gauge() -> Specification {
    hose(Service::Gauge, Construction::Rubber)
}

pub(super) fn registration(specification: Specification, origin: Origin) -> Event {
    Event::Registered { hose: code(HOSE), specification, origin }
}

pub(super) fn date(text: &str) -> Option<PartialDate> {
    PartialDate::parse(text).ok()
}

/// A hose of which everything is known.
pub(super) fn known() -> Origin {
    Origin {
        made: date("2020"),
        bought: date("2021"),
        in_service: date("2022"),
        maker: Some(label("Kelpline")),
        lot: Some(label("L-7")),
        ..Origin::default()
    }
}

pub(super) fn registered() -> (Tale, EntryId) {
    let mut tale = Tale::default();
    let entry = tale.tell("2026-01-10", registration(rubber(), known()));
    (tale, entry)
}

pub(super) fn described(changes: Changes, why: Option<&str>, answers: Vec<EntryId>) -> Event {
    let why = why.map(label);
    Event::Described { hose: code(HOSE), changes: Box::new(changes), why, answers }
}

pub(super) fn of_origin(origin: Origin) -> Changes {
    Changes { origin, ..Changes::default() }
}

pub(super) fn inspected(kind: InspectionKind, seen: &[&str], answers: Vec<EntryId>) -> Event {
    let seen = seen.iter().map(|seen| seen.parse().unwrap_or_else(|e| unreachable!("{e}")));
    let look = Look::of(kind, seen.collect());
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

pub(super) fn found(seen: &str) -> Event {
    inspected(InspectionKind::Quick, &[seen], vec![])
}

pub(super) fn tested(passed: bool, pressure: &str, answers: Vec<EntryId>) -> Event {
    let test = Some(LeakTest::new(passed, TestPressure::parse(pressure).ok()));
    let look = Look { test, ..Look::of(InspectionKind::LeakTest, vec![]) };
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

pub(super) fn resealed(end: End) -> Event {
    Event::Resealed { hose: code(HOSE), end, seal: None }
}

/// A picture of one point.
pub(super) fn photograph() -> Photograph {
    let mut png = std::io::Cursor::new(Vec::new());
    let point = image::DynamicImage::new_rgb8(1, 1);
    point.write_to(&mut png, image::ImageFormat::Png).unwrap_or_else(|e| unreachable!("{e}"));
    Photograph::make(png.get_ref()).unwrap_or_else(|e| unreachable!("{e}"))
}

pub(super) fn open(tale: &Tale) -> Vec<String> {
    tale.hose(HOSE).open.iter().map(|open| open.seen.to_string()).collect()
}

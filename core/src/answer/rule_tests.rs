//! The rule of doubt (section 12 of the trade's rules): take any record, one more
//! entry, any hose, and the verdict after it is at least as bad as the worst of
//! the reasons that stood before and are not in the entry's row. The same for two
//! records that meet. Histories are of several devices that know of one another
//! what they have heard, with every kind of entry, any clock and any order.

use chrono::{Days, NaiveDate, NaiveTime};
use proptest::prelude::*;

use super::{Answer, Asked, Heard, answer};
use crate::device::DeviceId;
use crate::event::{
    About, Changes, DetailChanges, EntryId, Event, InspectedBefore, Port, PortName, RecallOf,
    SetChanges, SetDetails, SetId, Slot,
};
use crate::hose::{
    Construction, End, Origin, Owner, Particulars, PortKind, Pressure, Service, Specification,
    Thread,
};
use crate::inspection::{InspectionKind, LeakTest, LeastPressure, Look, Observation, Verdict};
use crate::journal::{Believed, Entry, Order, Stamp, Trust, canonical_json};
use crate::measure::{PartialDate, TestPressure};
use crate::policy::{Change, Scope, Use};
use crate::record::{Act, FleetRecord, HoseRecord, SetRecord, fold_hose, fold_set};
use crate::story::{code, day, hose, label, ports as usual_ports, set_id};
use crate::tag::Code;

const START: &str = "2024-01-10";
const HOSES: u64 = 3;
const SETS: [&str; 2] = ["Heron", "Egret"];
const SEEN: [&str; 8] = [
    "run:cut:cover",
    "run:cut:deep",
    "run:salt",
    "seal-a:seal-damaged",
    "end-b:bubbles",
    "end-a:verdigris:light",
    "run:scuff",
    "run:strands:2",
];

/// One thing that somebody does.
#[derive(Debug, Clone)]
enum Deed {
    Register(u64, usize),
    Describe(u64, usize, bool),
    Look(u64, InspectionKind, Vec<usize>),
    LookBefore(u64, Vec<usize>),
    Test(u64, bool, u32),
    Clean(u64),
    Reseal(u64, End),
    Make(usize, Use, usize),
    Change(usize, usize, bool),
    Join,
    Fit(u64, usize, u8),
    Remove(u64),
    Confirm(u64),
    Retire(u64),
    Dive(u64, u32),
    Swap(u64, u64),
    SwapOn(u64),
    SwapEnd(u64, bool),
    HandOut(usize, u8),
    Return(usize, u32),
    Hold(Option<u64>, usize, bool),
    Release(Option<u64>, usize),
    Quarantine(usize),
    Limit(usize),
    GoHome(Option<u64>, usize),
    ComeIn(Option<u64>, usize, u8),
    Recall(bool),
    RecallBy(usize),
    SetAside(u64),
    EndRecall,
    CheckOff(u64),
    Tag(u64),
    Withdraw(usize),
    Dismiss,
}

/// A deed, by whom, when, how well its clock runs, and how far it is believed.
#[derive(Debug, Clone)]
struct Step {
    device: u8,
    days: i64,
    clock_off: i64,
    trust: Trust,
    /// Hears all that others wrote before.
    meets: bool,
    deed: Deed,
}

fn seen() -> impl Strategy<Value = Vec<usize>> {
    prop::collection::vec(0..SEEN.len(), 0..3)
}

fn deed() -> impl Strategy<Value = Deed> {
    let h = 1..=HOSES;
    let s = 0..SETS.len();
    let flag = any::<bool>();
    prop_oneof![
        3 => (h.clone(), 0..6_usize).prop_map(|(h, v)| Deed::Register(h, v)),
        3 => (h.clone(), 0..6_usize, flag).prop_map(|(h, v, why)| Deed::Describe(h, v, why)),
        4 => (h.clone(), seen()).prop_map(|(h, s)| Deed::Look(h, InspectionKind::Quick, s)),
        4 => (h.clone(), seen()).prop_map(|(h, s)| Deed::Look(h, InspectionKind::Full, s)),
        1 => (h.clone(), seen()).prop_map(|(h, s)| Deed::LookBefore(h, s)),
        4 => (h.clone(), flag, prop::sample::select(vec![1_u32, 49, 50, 149, 150, 200]))
            .prop_map(|(h, passed, bar)| Deed::Test(h, passed, bar)),
        2 => h.clone().prop_map(Deed::Clean),
        3 => (h.clone(), prop::sample::select(vec![End::A, End::B])).prop_map(|(h, e)| Deed::Reseal(h, e)),
        2 => (s.clone(), prop::sample::select(Use::ALL), 0..4_usize)
            .prop_map(|(s, u, v)| Deed::Make(s, u, v)),
        3 => (s.clone(), 0..11_usize, flag).prop_map(|(s, v, why)| Deed::Change(s, v, why)),
        1 => Just(Deed::Join),
        5 => (h.clone(), s.clone(), 0..4_u8).prop_map(|(h, s, p)| Deed::Fit(h, s, p)),
        2 => h.clone().prop_map(Deed::Remove),
        2 => h.clone().prop_map(Deed::Confirm),
        1 => h.clone().prop_map(Deed::Retire),
        1 => (h.clone(), 1..400_u32).prop_map(|(h, n)| Deed::Dive(h, n)),
        2 => (h.clone(), h.clone()).prop_map(|(a, b)| Deed::Swap(a, b)),
        1 => h.clone().prop_map(Deed::SwapOn),
        2 => (h.clone(), flag).prop_map(|(h, loose)| Deed::SwapEnd(h, loose)),
        2 => (s.clone(), 0..3_u8).prop_map(|(s, t)| Deed::HandOut(s, t)),
        2 => (s.clone(), 0..300_u32).prop_map(|(s, n)| Deed::Return(s, n)),
        2 => (prop::option::of(h.clone()), s.clone(), flag).prop_map(|(h, s, i)| Deed::Hold(h, s, i)),
        2 => (prop::option::of(h.clone()), s.clone()).prop_map(|(h, s)| Deed::Release(h, s)),
        1 => s.clone().prop_map(Deed::Quarantine),
        1 => (prop::option::of(h.clone()), s.clone()).prop_map(|(h, s)| Deed::GoHome(h, s)),
        1 => (prop::option::of(h.clone()), s, 0..3_u8).prop_map(|(h, s, t)| Deed::ComeIn(h, s, t)),
        1 => (0..4_usize).prop_map(Deed::RecallBy),
        1 => h.clone().prop_map(Deed::SetAside),
        1 => (0..3_usize).prop_map(Deed::Limit),
        1 => flag.prop_map(Deed::Recall),
        1 => Just(Deed::EndRecall),
        1 => h.clone().prop_map(Deed::CheckOff),
        1 => h.prop_map(Deed::Tag),
        3 => any::<prop::sample::Index>().prop_map(|at| Deed::Withdraw(at.index(1 << 16))),
        1 => Just(Deed::Dismiss),
    ]
}

fn step() -> impl Strategy<Value = Step> {
    let trust = prop_oneof![
        8 => Just(Trust::Full), 1 => Just(Trust::AddsOnly), 1 => Just(Trust::Disbelieved)
    ];
    let clock = prop_oneof![6 => Just(0_i64), 1 => -30..30_i64, 1 => 300..4_000_i64];
    (0..3_u8, -20..60_i64, clock, trust, any::<bool>(), deed()).prop_map(
        |(device, days, clock_off, trust, meets, deed)| Step {
            device,
            days,
            clock_off,
            trust,
            meets,
            deed,
        },
    )
}

/// What was written, with who knows of it.
#[derive(Default)]
struct World {
    all: Vec<Believed>,
    known: [Vec<EntryId>; 3],
    at: i64,
}

fn specification(variant: usize) -> Specification {
    match variant {
        0 | 1 => hose(Service::SecondStage, Construction::Rubber),
        2 => hose(Service::SecondStage, Construction::Braided),
        3 => hose(Service::Gauge, Construction::Rubber),
        _ => hose(Service::SecondStage, Construction::Rubber).cleaned_for_oxygen(true),
    }
}

fn origin(variant: usize) -> Origin {
    let made =
        ["2010-05", "2023-12", "2023", ""].get(variant).and_then(|d| PartialDate::parse(d).ok());
    let text = |texts: [&str; 6]| Some(label(texts[variant])).filter(|l| l.as_str() != "-");
    let owner = text(["-", "-", "-", "T-1", "-", "T-2"]).map(Owner::Ticket);
    Origin {
        made,
        lot: text(["B17", "-", "C2", "B-17", "b17", "C2"]),
        maker: (variant != 2).then(|| label("Kelpline")),
        model: text(["K2", "-", "K3", "k2", "-", "K-2"]),
        own: Particulars { number: text(["1", "2", "3", "-", "-", "-"]), note: None, owner },
        ..Origin::default()
    }
}

fn look(kind: InspectionKind, seen: &[usize], test: Option<LeakTest>) -> Look {
    let mut findings: Vec<Observation> = Vec::new();
    for at in seen {
        let seen: Observation = SEEN[*at].parse().unwrap_or_else(|e| unreachable!("{e}"));
        if !findings.iter().any(|f| (f.place(), f.finding()) == (seen.place(), seen.finding())) {
            findings.push(seen);
        }
    }
    Look { kind, findings, test, note: None }
}

/// The usual ports, and one of which nobody knows what it gives.
fn ports() -> Vec<Port> {
    let unknown = Port::new(PortName::of(PortKind::Unknown, 1), Thread::Unf3_8x24);
    usual_ports().into_iter().chain([unknown]).collect()
}

fn set_ports(variant: usize) -> Vec<Port> {
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

fn port(number: u8) -> PortName {
    match number {
        0 => PortName::new(Pressure::High, 1),
        3 => PortName::of(PortKind::Unknown, 1),
        n => PortName::new(Pressure::Low, n),
    }
}

/// A view of some entries on a day.
struct View {
    entries: Vec<Believed>,
    today: NaiveDate,
}

impl View {
    fn of(entries: &[Believed], today: NaiveDate) -> Self {
        let mut entries: Vec<Believed> = entries.to_vec();
        for believed in &mut entries {
            let entry = &believed.entry;
            if entry.on > today || entry.at.time().date_naive() > today + Days::new(1) {
                believed.trust = believed.trust.min(Trust::AddsOnly);
            }
        }
        entries.sort_by_cached_key(|b| -> Order { b.entry.place(*b.id.hash()) });
        Self { entries, today }
    }

    fn about(&self, of: impl Fn(&Entry) -> bool) -> Vec<Believed> {
        self.entries.iter().filter(|b| of(&b.entry)).cloned().collect()
    }

    fn hose(&self, hose: Code) -> Option<HoseRecord> {
        fold_hose(hose, &self.about(|e| e.touched().hoses.contains(&hose)))
    }

    fn set(&self, set: SetId) -> Option<SetRecord> {
        // The two sets may be one: what is about either counts then.
        let own = fold_set(set, &self.about(|e| e.touched().sets.contains(&set)))?;
        let parts: Vec<SetId> = own.joined.iter().copied().chain([set]).collect();
        let first = parts.iter().min().copied().unwrap_or(set);
        fold_set(first, &self.about(|e| e.touched().sets.iter().any(|s| parts.contains(s))))
    }

    fn fleet(&self) -> FleetRecord {
        FleetRecord::fold(&self.about(|e| e.touched().fleet))
    }

    fn answer(&self, hose: Code) -> Option<Answer> {
        let record = self.hose(hose)?;
        let mut sets: Vec<SetRecord> = Vec::new();
        for set in record.slots().map(|s| s.set).chain(record.stays.iter().map(|s| s.set)) {
            if !sets.iter().any(|known| known.id == set || known.joined.contains(&set)) {
                sets.extend(self.set(set));
            }
        }
        let sets: Vec<&SetRecord> = sets.iter().collect();
        Some(answer(&Asked {
            record: &record,
            sets: &sets,
            fleet: &self.fleet(),
            today: self.today,
            scanned: None,
            tag_shared: false,
            as_used: None,
            tag_only: None,
            heard: Heard {
                newest_on: self.today,
                devices: 3,
                complete: true,
                forked: false,
                gap: None,
                met_on: None,
            },
        }))
    }
}

impl World {
    /// What a device knows now.
    fn known_to(&self, device: u8, today: NaiveDate) -> View {
        let known = &self.known[usize::from(device)];
        let entries: Vec<Believed> =
            self.all.iter().filter(|b| known.contains(&b.id)).cloned().collect();
        View::of(&entries, today)
    }

    fn take(&mut self, step: &Step) {
        self.at += step.days;
        let device = usize::from(step.device);
        if step.meets {
            self.known[device] = self.all.iter().map(|b| b.id).collect();
        }
        let on = day(START) + Days::new(u64::try_from(self.at.max(0)).unwrap_or(0));
        let view = self.known_to(step.device, on);
        let Some(event) = event(&view, on, &step.deed) else { return };
        let (kind, version, body) = event.to_parts();
        let count = u32::try_from(self.all.len()).unwrap_or(0);
        let time = on.and_time(NaiveTime::MIN).and_utc().timestamp_millis();
        let entry = Entry {
            device: DeviceId::Unsigned([step.device; 16]),
            seq: u64::from(count) + 1,
            on,
            at: Stamp(time + step.clock_off * 86_400_000, count),
            by: label("Tern"),
            kind,
            version,
            body: canonical_json(&body).unwrap_or_default(),
            previous: None,
            signature: None,
        };
        self.known[device].push(entry.id());
        self.all.push(Believed { id: entry.id(), entry, trust: step.trust });
    }
}

/// What a device writes for a deed, by what it knows.
fn event(view: &View, on: NaiveDate, deed: &Deed) -> Option<Event> {
    let hose_of = |n: &u64| view.hose(code(*n));
    let set = |s: &usize| set_id(SETS[*s]);
    let why = || label("because");
    Some(match deed {
        Deed::Register(n, v) => Event::Registered {
            hose: code(*n),
            specification: specification(*v),
            origin: origin(*v),
        },
        Deed::Describe(n, v, reason) => {
            let record = hose_of(n)?;
            let changes = Changes {
                specification: (v % 2 == 0).then(|| specification(*v)),
                origin: origin(*v),
                ..Changes::default()
            };
            let answers = if *reason { record.descriptions } else { Vec::new() };
            let why = reason.then(why);
            Event::Described { hose: code(*n), changes: Box::new(changes), why, answers }
        }
        Deed::Look(n, kind, seen) => {
            let mut answers = hose_of(n)?.judged_by(*kind, on);
            if *kind == InspectionKind::Full {
                answers.extend(SETS.iter().filter_map(|s| view.set(set_id(s))).flat_map(|s| {
                    s.corrections.into_iter().filter(|c| c.when.0 <= on).map(|c| c.entry)
                }));
            }
            Event::Inspected { hose: code(*n), look: look(*kind, seen, None), at: None, answers }
        }
        Deed::LookBefore(n, seen) => Event::InspectedBefore(InspectedBefore {
            hose: code(*n),
            look: look(InspectionKind::Full, seen, None),
        }),
        Deed::Test(n, passed, bar) => {
            let record = hose_of(n)?;
            let mut test = LeakTest::new(*passed, TestPressure::parse(&format!("{bar} bar")).ok());
            test.least = Some(LeastPressure::default());
            let answers = record.judged_by(InspectionKind::LeakTest, on);
            let look = look(InspectionKind::LeakTest, &[], Some(test));
            Event::Inspected { hose: code(*n), look, at: record.seat, answers }
        }
        Deed::Clean(n) => Event::Cleaned { hose: code(*n), answers: hose_of(n)?.cleaned_by(on) },
        Deed::Reseal(n, end) => Event::Resealed { hose: code(*n), end: *end, seal: None },
        Deed::Make(s, in_use, v) => {
            let (name, ports, details) = (label(SETS[*s]), ports(), Box::new(details(*v)));
            Event::Assembled { set: set(s), name, in_use: *in_use, ports, details }
        }
        Deed::Change(s, v, reason) => {
            let record = view.set(set(s))?;
            let changes = SetChanges {
                in_use: (*v == 3).then_some(Use::Personal),
                ports: match v {
                    0..=2 => Some(set_ports(*v)),
                    4 => Some(with_kind(Pressure::Low)),
                    5 => Some(with_kind(Pressure::High)),
                    _ => None,
                },
                details: detail_changes(*v),
                ..SetChanges::default()
            };
            let (why, answers) = (reason.then(why), record.descriptions);
            Event::SetChanged { set: set(s), changes, why, answers }
        }
        Deed::Join => Event::SetsJoined { sets: [set_id(SETS[0]), set_id(SETS[1])], why: why() },
        Deed::Fit(n, s, p) => {
            let record = hose_of(n);
            let claims = record.map(|r| r.claims).unwrap_or_default();
            let mut sets: Vec<SetId> =
                claims.iter().filter_map(|c| c.slot).map(|slot| slot.set).collect();
            sets.retain(|left| *left != set(s));
            sets.dedup();
            let answers = claims.iter().map(|claim| claim.entry).collect();
            Event::Fitted { hose: code(*n), set: set(s), port: port(*p), sets, answers }
        }
        Deed::Remove(n) => {
            let record = hose_of(n)?;
            let sets = record.slots().map(|slot| slot.set).collect();
            let answers = record.claims.iter().map(|claim| claim.entry).collect();
            Event::Removed { hose: code(*n), sets, answers }
        }
        Deed::Confirm(n) => {
            let record = hose_of(n)?;
            let (mut hoses, mut answers) = (Vec::new(), Vec::new());
            for slot in record.slots() {
                let others = view.set(slot.set)?.claims.into_iter();
                for claim in others.filter(|c| c.port == slot.port && c.hose != record.hose) {
                    hoses.push(claim.hose);
                    answers.push(claim.entry);
                }
            }
            answers.extend(record.claims.iter().map(|claim| claim.entry));
            let sets = record.slots().map(|slot| slot.set).collect();
            Event::PlaceConfirmed { hose: code(*n), at: record.seat, hoses, sets, answers }
        }
        Deed::Retire(n) => Event::Retired { hose: code(*n), why: why() },
        Deed::Dive(n, dives) => Event::Dived { hoses: vec![code(*n)], dives: *dives },
        Deed::Swap(a, b) => swapped(hose_of(a)?.seat?, (*a, *b), "depressurised", false, vec![]),
        Deed::SwapOn(n) => {
            let swap = hose_of(n)?.swaps.first()?.clone();
            let hoses = [swap.old, swap.new];
            swapped_on(swap.slot, hoses, "spanner", false, swap.entries)
        }
        Deed::SwapEnd(n, loosened) => {
            let swap = hose_of(n)?.swaps.first()?.clone();
            swapped_on(swap.slot, [swap.old, swap.new], "end", *loosened, swap.entries)
        }
        Deed::HandOut(s, t) => {
            let hoses = view.set(set(s))?.hoses.into_values().collect();
            let ticket = label(&format!("T-{t}"));
            Event::HandedOut { set: set(s), hoses, ticket, override_why: None }
        }
        Deed::Return(s, dives) => {
            let out = view.set(set(s))?.out?;
            let (hoses, tickets, answers) = (out.hoses, out.tickets, out.entries);
            Event::Returned { set: set(s), hoses, tickets, dives: *dives, answers }
        }
        Deed::Hold(of, s, incident) => Event::Held {
            hose: of.map(code),
            set: of.is_none().then(|| set(s)),
            hoses: match of {
                Some(_) => vec![],
                None => view
                    .set(set(s))
                    .map(|r| r.claims.iter().map(|c| c.hose).collect())
                    .unwrap_or_default(),
            },
            why: why(),
            incident: *incident,
        },
        Deed::Release(of, s) => {
            let (holds, hoses) = match of {
                Some(n) => (hose_of(n)?.holds, vec![]),
                None => {
                    let record = view.set(set(s))?;
                    let hoses = record.claims.iter().map(|c| c.hose).collect();
                    (record.holds.into_iter().chain(record.quarantines).collect(), hoses)
                }
            };
            let incident = holds.first()?.incident;
            let answers =
                holds.iter().filter(|h| h.incident == incident).map(|h| h.entry).collect();
            let set = of.is_none().then(|| set(s));
            Event::Released { hose: of.map(code), set, hoses, why: why(), incident, answers }
        }
        Deed::Quarantine(s) => Event::Quarantined { set: set(s), why: why() },
        Deed::Limit(v) => {
            let (service, made) = [(Some(12), None), (None, Some(240)), (Some(120), Some(24))][*v];
            let limits = Change::new(service, made, Some(Some(100)), Some(3)).unwrap_or_default();
            Event::Limited { scope: Scope::default(), limits }
        }
        Deed::Recall(of_maker) => Event::Recalled {
            lot: label("b17"),
            maker: of_maker.then(|| label("KELPLINE")),
            why: why(),
        },
        Deed::RecallBy(v) => {
            let (text, span) = (|t: &str| Some(label(t)), |t: &str| t.parse().ok());
            let (maker, model, made) = (text("kelpline"), text("K2"), span("2023-06..2024-06"));
            let of = match v {
                0 => RecallOf { maker, model, ..RecallOf::default() },
                1 => RecallOf { maker, made, ..RecallOf::default() },
                2 => RecallOf { maker, lot: text("B17"), made, ..RecallOf::default() },
                _ => RecallOf { maker, lot: text("C2"), model: text("K3"), made },
            };
            Event::RecalledBy { of: Box::new(of), why: why() }
        }
        Deed::SetAside(n) => {
            Event::SetAsideFor { hose: code(*n), answers: [view.fleet().recalls.first()?.entry] }
        }
        Deed::GoHome(of, s) => {
            let (set, hoses) = match of {
                Some(_) => (None, vec![]),
                None => (Some(set(s)), view.set(set(s))?.claims.iter().map(|c| c.hose).collect()),
            };
            Event::GoneHome { hose: of.map(code), set, hoses, ticket: label("T-1") }
        }
        Deed::ComeIn(of, s, t) => {
            let (set, hoses) = match of {
                Some(n) => (None, vec![code(*n)]),
                None => (Some(set(s)), view.set(set(s))?.claims.iter().map(|c| c.hose).collect()),
            };
            let records = hoses.iter().filter_map(|hose| view.hose(*hose));
            let answers = records.flat_map(|record| {
                record.descriptions.into_iter().chain(record.home.map(|home| home.entry))
            });
            let answers = answers.collect();
            let (hose, hoses) = (of.map(code), if of.is_some() { vec![] } else { hoses });
            Event::CameIn { hose, set, hoses, ticket: label(&format!("T-{t}")), answers }
        }
        Deed::EndRecall => {
            Event::RecallEnded { why: why(), answers: [view.fleet().recalls.first()?.entry] }
        }
        Deed::CheckOff(n) => {
            let answers = [view.fleet().recalls.first()?.entry];
            Event::CheckedOff { hose: code(*n), why: why(), answers }
        }
        Deed::Tag(n) => Event::Tagged { hose: code(*n), tag: code(50 + n) },
        Deed::Withdraw(at) => {
            let target = view.entries.get(at % view.entries.len().max(1))?;
            Event::Withdrawn { about: about(&target.entry), why: why(), answers: vec![target.id] }
        }
        Deed::Dismiss => {
            let listed: Vec<&Believed> =
                view.entries.iter().filter(|b| b.trust == Trust::Disbelieved).collect();
            let first = listed.first()?;
            let answers = vec![first.id];
            Event::Dismissed { about: about(&first.entry), why: why(), answers }
        }
    })
}

fn details(variant: usize) -> SetDetails {
    let owner = (variant == 2).then(|| Owner::Ticket(label("T-1")));
    let devices = (variant == 3).then(|| (port(1), label("transmitter")));
    SetDetails { oxygen: variant == 1, owner, devices: devices.into_iter().collect() }
}

fn with_kind(pressure: Pressure) -> Vec<Port> {
    let mut ports = ports();
    for port in ports.iter_mut().filter(|port| port.name.kind() == PortKind::Unknown) {
        port.kind = Some(pressure);
    }
    ports
}

fn detail_changes(variant: usize) -> DetailChanges {
    let devices = || [(port(2), label("relief valve"))].into_iter().collect();
    DetailChanges {
        oxygen: [(6, true), (7, false)].iter().find(|(v, _)| *v == variant).map(|(_, yes)| *yes),
        owner: match variant {
            8 => Some(Owner::Ticket(label("T-1"))),
            9 => Some(Owner::Centre),
            _ => None,
        },
        devices: (variant == 10).then(devices),
    }
}

fn about(entry: &Entry) -> About {
    let whom = entry.touched();
    About { hoses: whom.hoses, sets: whom.sets, fleet: whom.fleet }
}

fn swapped(
    slot: Slot,
    (a, b): (u64, u64),
    step: &str,
    loosened: bool,
    answers: Vec<EntryId>,
) -> Event {
    swapped_on(slot, [code(a), code(b)], step, loosened, answers)
}

fn swapped_on(
    slot: Slot,
    hoses: [Code; 2],
    step: &str,
    loosened: bool,
    answers: Vec<EntryId>,
) -> Event {
    let (step, answer) = (label(step), label("done"));
    Event::Swapped { hoses, set: slot.set, port: slot.port, step, answer, loosened, answers }
}

/// Whether an entry may end reasons of a code on a day.
fn may_end(view: &View, id: EntryId, code: &str) -> bool {
    let Some(believed) = view.entries.iter().find(|b| b.id == id) else { return false };
    let whole = believed.trust == Trust::Full;
    let act = believed.entry.event().as_ref().and_then(Act::of);
    whole && act.is_some_and(|act| act.may_end(code))
}

fn told(view: &View, hose: Code) -> Vec<(String, Verdict)> {
    let answer = view.answer(hose);
    answer.into_iter().flat_map(|a| a.reasons).map(|r| (r.code, r.verdict)).collect()
}

fn verdict(view: &View, hose: Code) -> Verdict {
    view.answer(hose).map_or(Verdict::Ready, |answer| answer.verdict)
}

fn histories() -> u32 {
    std::env::var("HOSEWRIGHT_HISTORIES").ok().and_then(|n| n.parse().ok()).unwrap_or(400)
}

fn days() -> impl Strategy<Value = u64> {
    prop_oneof![3 => 0..900_u64, 1 => 0..5_000_u64]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: histories(), ..ProptestConfig::default() })]

    #[test]
    fn one_entry_more_ends_only_what_is_in_its_row(
        steps in prop::collection::vec(step(), 1..22),
        last in step(),
        later in days(),
    ) {
        let mut world = World::default();
        steps.iter().for_each(|step| world.take(step));
        let before = world.all.clone();
        world.take(&last);
        let Some(more) = world.all.get(before.len()).cloned() else { return Ok(()) };
        let today = day(START) + Days::new(later);
        let (then, now) = (View::of(&before, today), View::of(&world.all, today));
        for n in 1..=HOSES {
            let after = verdict(&now, code(n));
            for (reason, verdict) in told(&then, code(n)) {
                let ended = may_end(&now, more.id, &reason);
                prop_assert!(
                    ended || after >= verdict,
                    "{reason} ({verdict}) of hose {n} went by {:?}: {:?} -> {:?}",
                    more, told(&then, code(n)), told(&now, code(n))
                );
            }
            let taken_back = matches!(more.entry.event(), Some(Event::Withdrawn { .. }));
            if taken_back && may_end(&now, more.id, "corrected") {
                let Some(Event::Withdrawn { answers, .. }) = more.entry.event() else { continue };
                let without: Vec<Believed> =
                    before.iter().filter(|b| !answers.contains(&b.id)).cloned().collect();
                let without = View::of(&without, today);
                // Who stands by what was taken back is not asked for it any more.
                let by_itself = told(&without, code(n));
                for (reason, verdict) in by_itself {
                    prop_assert!(
                        after >= verdict || is_unwithdrawable(&before, &answers),
                        "{reason} of hose {n} without {answers:?}: {:?}", told(&now, code(n))
                    );
                }
            }
        }
    }

    #[test]
    fn two_records_that_meet_end_only_what_is_in_their_rows(
        steps in prop::collection::vec(step(), 1..26),
        later in days(),
        split in any::<u64>(),
    ) {
        let mut world = World::default();
        steps.iter().for_each(|step| world.take(step));
        let today = day(START) + Days::new(later);
        let side = |mine: bool| -> Vec<Believed> {
            let all = world.all.iter().enumerate();
            all.filter(|(at, _)| (split >> (at % 64)) & 1 == u64::from(mine)).map(|(_, b)| b.clone()).collect()
        };
        let now = View::of(&world.all, today);
        for (own, other) in [(side(true), side(false)), (side(false), side(true))] {
            let then = View::of(&own, today);
            for n in 1..=HOSES {
                let after = verdict(&now, code(n));
                for (reason, verdict) in told(&then, code(n)) {
                    // The rows of all that came in; what names what was not here may
                    // be in either half.
                    let ended = other.iter().any(|b| may_end(&now, b.id, &reason));
                    prop_assert!(ended || after >= verdict, "{reason} of hose {n}");
                }
            }
        }
    }
}

/// Whether entries are of a kind that is never taken back.
fn is_unwithdrawable(all: &[Believed], ids: &[EntryId]) -> bool {
    let named = all.iter().filter(|b| ids.contains(&b.id));
    named.into_iter().any(|b| matches!(b.entry.event(), Some(Event::Held { .. })))
}

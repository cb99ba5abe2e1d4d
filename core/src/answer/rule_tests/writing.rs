//! What a device writes for a deed: what it knows, it names.

use chrono::NaiveDate;

use super::deeds::{Answers, Deed, SETS};
use super::pieces::{
    about, detail_changes, details, look, origin, port, ports, set_ports, specification, swapped,
    swapped_on, with_kind,
};
use super::worlds::View;
use crate::event::{
    Assembled, CameIn, Changes, Event, Fitted, GoneHome, HandedOut, Held, InspectedBefore, Packed,
    PlaceConfirmed, RecallOf, Released, Removed, Returned, SetChanges, SetId, Unpacked,
};
use crate::hose::Pressure;
use crate::inspection::{InspectionKind, Known, LeakTest, LeastPressure, TestMethod};
use crate::journal::{Believed, Trust};
use crate::measure::TestPressure;
use crate::policy::{Change, Scope, Use};
use crate::record::SetRecord;
use crate::story::{code, label, set_id};

/// What a device writes for a deed, by what it knows.
pub(super) fn event(view: &View, on: NaiveDate, deed: &Deed) -> Option<Event> {
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
        Deed::Look(n, kind, seen, said) => {
            let record = hose_of(n)?;
            let mut answers = record.judged_by(*kind, on);
            let mut look = look(*kind, seen, None);
            let known = record.wants_answers(on);
            let gone = known.iter().filter(|known| !known.is_answered(&look.findings, &[]));
            let gone = gone.filter_map(Known::damage).collect();
            look.gone = match said {
                Answers::Before => None,
                Answers::Silent => Some(Vec::new()),
                Answers::Gone => Some(gone),
            };
            if *kind == InspectionKind::Full {
                answers.extend(SETS.iter().filter_map(|s| view.set(set_id(s))).flat_map(|s| {
                    s.corrections.into_iter().filter(|c| c.when.0 <= on).map(|c| c.entry)
                }));
            }
            Event::Inspected { hose: code(*n), look, at: None, answers }
        }
        Deed::LookBefore(n, seen) => Event::InspectedBefore(InspectedBefore {
            hose: code(*n),
            look: look(InspectionKind::Full, seen, None),
        }),
        Deed::Test(n, passed, bar) => {
            let record = hose_of(n)?;
            let mut test = LeakTest::new(*passed, TestPressure::parse(&format!("{bar} bar")).ok());
            test.least = Some(LeastPressure::default());
            test.method = passed.then_some(TestMethod::UnderWater);
            let answers = record.judged_by(InspectionKind::LeakTest, on);
            let look = look(InspectionKind::LeakTest, &[], Some(test));
            Event::Inspected { hose: code(*n), look, at: record.seat, answers }
        }
        Deed::Clean(n) => Event::Cleaned { hose: code(*n), answers: hose_of(n)?.cleaned_by(on) },
        Deed::Reseal(n, end) => Event::Resealed { hose: code(*n), end: *end, seal: None },
        Deed::Recouple(n) => Event::Recoupled { hose: code(*n) },
        Deed::NotIn(n) => {
            let swap = hose_of(n)?.swaps.first()?.clone();
            let hoses = [swap.old, swap.new];
            swapped_on(swap.slot, hoses, "does-not-go-in", false, swap.entries)
        }
        Deed::Make(s, in_use, v) => {
            let (name, ports, details) = (label(SETS[*s]), ports(), Box::new(details(*v)));
            Event::Assembled(Assembled { set: set(s), name, in_use: *in_use, ports, details })
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
            Event::Fitted(Fitted { hose: code(*n), set: set(s), port: port(*p), sets, answers })
        }
        Deed::Remove(n) => {
            let record = hose_of(n)?;
            let sets = record.slots().map(|slot| slot.set).collect();
            let answers = record.claims.iter().map(|claim| claim.entry).collect();
            Event::Removed(Removed { hose: code(*n), sets, answers })
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
            Event::PlaceConfirmed(PlaceConfirmed {
                hose: code(*n),
                at: record.seat,
                hoses,
                sets,
                answers,
            })
        }
        Deed::Retire(n) => Event::Retired { hose: code(*n), why: why() },
        Deed::Dive(n, dives) => Event::Dived { hoses: vec![code(*n)], dives: *dives, list: None },
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
            Event::HandedOut(HandedOut {
                set: set(s),
                hoses,
                ticket,
                override_why: None,
                shown: vec![],
            })
        }
        Deed::Pack(s, t) => {
            let SetRecord { hoses: ports, descriptions: described, .. } = view.set(set(s))?;
            Event::Packed(Packed {
                set: set(s),
                hoses: ports.values().copied().collect(),
                ticket: label(&format!("T-{t}")),
                override_why: None,
                shown: vec![],
                ports,
                described,
            })
        }
        Deed::Unpack(s) => {
            let packed = view.set(set(s))?.packed?;
            let (hoses, answers) = (packed.hoses, packed.entries);
            Event::Unpacked(Unpacked { set: set(s), hoses, answers })
        }
        Deed::Return(s, dives, lost) => {
            let out = view.set(set(s))?.out?;
            let missing = out.hoses.iter().copied().filter(|_| *lost).take(1).collect();
            Event::Returned(Returned {
                set: set(s),
                hoses: out.hoses,
                missing,
                tickets: out.tickets,
                dives: *dives,
                estimated: *lost,
                answers: out.entries,
            })
        }
        // Of two tickets one comes back.
        Deed::ReturnOne(s) => {
            let out = view.set(set(s))?.out?;
            Event::Returned(Returned {
                set: set(s),
                hoses: out.hoses,
                missing: vec![],
                tickets: out.tickets.into_iter().take(1).collect(),
                dives: 1,
                estimated: false,
                answers: out.entries.into_iter().take(1).collect(),
            })
        }
        Deed::TagSet(s, t) => Event::SetTagged { set: set(s), tag: code(60 + t) },
        Deed::Hold(of, s, incident) => Event::Held(Held {
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
        }),
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
            Event::Released(Released {
                hose: of.map(code),
                set,
                hoses,
                why: why(),
                incident,
                answers,
            })
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
            Event::GoneHome(GoneHome { hose: of.map(code), set, hoses, ticket: label("T-1") })
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
            Event::CameIn(CameIn { hose, set, hoses, ticket: label(&format!("T-{t}")), answers })
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

//! What someone does, at random: each kind of entry, by any device, on any day.

use proptest::prelude::*;

use crate::hose::End;
use crate::inspection::InspectionKind;
use crate::journal::Trust;
use crate::policy::Use;

pub(super) const HOSES: u64 = 3;
pub(super) const SETS: [&str; 2] = ["Heron", "Egret"];
pub(super) const SEEN: [&str; 14] = [
    "run:cut:cover",
    "run:cut:deep",
    "run:salt",
    "seal-a:seal-damaged",
    "end-b:bubbles",
    "end-a:verdigris:light",
    "run:scuff",
    "run:strands:2",
    "end-b:bubbles:joint",
    "end-b:bubbles:sleeve",
    "end-b:flow-poor",
    "end-b:coupling-leaks",
    "end-b:coupling-sticks",
    "end-a:nut-rounded",
];

/// One thing that someone does.
#[derive(Debug, Clone)]
pub(super) enum Deed {
    Register(u64, usize),
    Describe(u64, usize, bool),
    Look(u64, InspectionKind, Vec<usize>, Answers),
    LookBefore(u64, Vec<usize>),
    Test(u64, bool, u32),
    Clean(u64),
    Reseal(u64, End),
    Recouple(u64),
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
    NotIn(u64),
    HandOut(usize, u8),
    Pack(usize, u8),
    Unpack(usize),
    Return(usize, u32, bool),
    ReturnOne(usize),
    TagSet(usize, u64),
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

/// What a full inspection says of damage that it does not find again.
#[derive(Debug, Clone, Copy)]
pub(super) enum Answers {
    /// Nothing, as earlier programs did, which ends it.
    Before,
    /// Nothing, though it was asked.
    Silent,
    /// That it is not there.
    Gone,
}

/// A deed, by whom, when, how well its clock runs, and how far it is believed.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub(super) device: u8,
    pub(super) days: i64,
    pub(super) clock_off: i64,
    pub(super) trust: Trust,
    /// Hears all that others wrote before.
    pub(super) meets: bool,
    pub(super) deed: Deed,
}

fn seen() -> impl Strategy<Value = Vec<usize>> {
    prop::collection::vec(0..SEEN.len(), 0..3)
}

fn answers() -> impl Strategy<Value = Answers> {
    prop_oneof![Just(Answers::Before), Just(Answers::Silent), Just(Answers::Gone)]
}

fn deed() -> impl Strategy<Value = Deed> {
    let h = 1..=HOSES;
    let s = 0..SETS.len();
    let flag = any::<bool>();
    prop_oneof![
        3 => (h.clone(), 0..7_usize).prop_map(|(h, v)| Deed::Register(h, v)),
        3 => (h.clone(), 0..7_usize, flag).prop_map(|(h, v, why)| Deed::Describe(h, v, why)),
        4 => (h.clone(), seen())
            .prop_map(|(h, s)| Deed::Look(h, InspectionKind::Quick, s, Answers::Before)),
        4 => (h.clone(), seen(), answers())
            .prop_map(|(h, s, a)| Deed::Look(h, InspectionKind::Full, s, a)),
        1 => (h.clone(), seen()).prop_map(|(h, s)| Deed::LookBefore(h, s)),
        4 => (h.clone(), flag, prop::sample::select(vec![1_u32, 49, 50, 149, 150, 200]))
            .prop_map(|(h, passed, bar)| Deed::Test(h, passed, bar)),
        2 => h.clone().prop_map(Deed::Clean),
        3 => (h.clone(), prop::sample::select(vec![End::A, End::B])).prop_map(|(h, e)| Deed::Reseal(h, e)),
        2 => h.clone().prop_map(Deed::Recouple),
        1 => h.clone().prop_map(Deed::NotIn),
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
        1 => (s.clone(), 0..3_u8).prop_map(|(s, t)| Deed::Pack(s, t)),
        1 => s.clone().prop_map(Deed::Unpack),
        2 => (s.clone(), 0..300_u32, flag).prop_map(|(s, n, lost)| Deed::Return(s, n, lost)),
        1 => s.clone().prop_map(Deed::ReturnOne),
        1 => (s.clone(), 0..2_u64).prop_map(|(s, t)| Deed::TagSet(s, t)),
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

pub(super) fn step() -> impl Strategy<Value = Step> {
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

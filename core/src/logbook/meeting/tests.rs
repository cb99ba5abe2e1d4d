//! Several records of one fleet: whatever each writes and however they meet,
//! all that hold the same entries answer alike.

use std::collections::BTreeSet;
use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use chrono::{Days, Duration, NaiveTime};
use proptest::prelude::*;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::branches_tests::{self, Shelf};
use super::counter_tests;
use crate::device::{DeviceId, FolderKeyring, Role};
use crate::event::Registration;
use crate::hose::{Construction, Label, Origin, Service};
use crate::inspection::{Form, InspectionKind};
use crate::journal::{BranchMeeting, Entry, Moment, entry_of_line};
use crate::logbook::{Found, Logbook, LogbookError};
use crate::story::{code, day, hose, label};
use crate::tag::Code;

const START: &str = "2026-01-10";
pub(super) const ASKED: &str = "2026-06-15";

pub(super) fn moment(days: u64, clock_off: i64) -> Moment {
    let today = day(START) + Days::new(days);
    let time = today.and_time(NaiveTime::MIN).and_utc() + Duration::hours(clock_off);
    Moment { today, time, by: label("Tern") }
}

pub(super) fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

pub(super) fn open(folder: &Path, name: &str, keys: &str, seed: u64) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(seed));
    let keys = Box::new(FolderKeyring::new(folder.join(keys)));
    good(Logbook::open(&folder.join(name), random, keys))
}

pub(super) fn register(
    book: &mut Logbook,
    number: u64,
    moment: &Moment,
) -> Result<Code, LogbookError> {
    let specification = hose(Service::SecondStage, Construction::Rubber);
    let label = |text: &str| number.is_multiple_of(2).then(|| good(Label::new("a text", text)));
    let origin = Origin { maker: label("Kelp line"), lot: label("L-1"), ..Origin::default() };
    let new = Registration { specification, origin, tag: Some(code(number)) };
    book.register(new, None, moment)
}

pub(super) fn look(book: &mut Logbook, hose: Code, seen: &[&str], moment: &Moment) {
    let Ok(specification) = book.specification(hose) else { return };
    let kind = if seen.is_empty() { InspectionKind::Full } else { InspectionKind::Quick };
    let mut form = Form::new(kind, &specification);
    form.clear_rest();
    for seen in seen {
        good(form.found(good(seen.parse())));
    }
    let _ = book.inspect(hose, good(form.finish()), None, moment);
}

pub(super) fn bundle(book: &Logbook, path: &Path) {
    let mut out = good(fs::File::create(path));
    good(book.bundle(&mut out, None, day(ASKED), |_| ()));
}

pub(super) fn lines(book: &Logbook) -> BTreeSet<String> {
    let mut out = Vec::new();
    good(book.export(&mut out, |_, _| ()));
    // Signatures that another covers are not kept everywhere.
    let unsigned = |line: &str| match line.split_once(",\"sig\"") {
        Some((entry, _)) => format!("{entry}}}"),
        None => line.to_owned(),
    };
    String::from_utf8_lossy(&out).lines().map(unsigned).collect()
}

pub(super) fn answers(book: &Logbook) -> String {
    let asked = Moment { today: day(ASKED), ..moment(200, 0) };
    let mut all = String::new();
    for hose in good(book.hoses()) {
        let found = Found { hose, tag: Some(hose) };
        let answer = good(book.answer_alone(found, &asked));
        all.push_str(&good(serde_json::to_string(&answer)));
        all.push('\n');
    }
    all
}

/// One thing that happens to one of the records.
#[derive(Debug, Clone)]
enum Step {
    Register(usize, u64),
    Look(usize, u64, bool),
    Clean(usize, u64),
    Retire(usize, u64),
    Meet { from: usize, to: usize, cut: Option<u16>, twice: bool },
    Lines { from: usize, to: usize, shuffle: u64, half: bool },
    Branches(usize, Option<u32>),
    Counter(usize, usize, [Option<u16>; 2]),
    Copy(usize),
    Hostile(usize, u16),
    Found(usize),
    Join(usize),
    Enrol(usize, Role, bool),
    Replace,
}

fn step() -> impl Strategy<Value = Step> {
    let who = 0..8_usize;
    let hose = 1..5_u64;
    prop_oneof![
        2 => (who.clone(), hose.clone()).prop_map(|(who, hose)| Step::Register(who, hose)),
        4 => (who.clone(), hose.clone(), any::<bool>()).prop_map(|(w, h, bad)| Step::Look(w, h, bad)),
        2 => (who.clone(), hose.clone()).prop_map(|(who, hose)| Step::Clean(who, hose)),
        1 => (who.clone(), hose).prop_map(|(who, hose)| Step::Retire(who, hose)),
        4 => (who.clone(), who.clone(), proptest::option::weighted(0.3, any::<u16>()), any::<bool>())
            .prop_map(|(from, to, cut, twice)| Step::Meet { from, to, cut, twice }),
        1 => (who.clone(), who.clone(), any::<u64>(), any::<bool>())
            .prop_map(|(from, to, shuffle, half)| Step::Lines { from, to, shuffle, half }),
        2 => (who.clone(), proptest::option::weighted(0.3, 0..8_u32))
            .prop_map(|(who, breaks)| Step::Branches(who, breaks)),
        2 => (who.clone(), who.clone(), proptest::array::uniform2(proptest::option::weighted(0.2, 0..6000_u16)))
            .prop_map(|(from, to, breaks)| Step::Counter(from, to, breaks)),
        1 => who.clone().prop_map(Step::Copy),
        1 => (who.clone(), any::<u16>()).prop_map(|(who, at)| Step::Hostile(who, at)),
        1 => who.clone().prop_map(Step::Found),
        1 => who.clone().prop_map(Step::Join),
        1 => Just(Step::Replace),
        2 => (who, role(), proptest::bool::weighted(0.3))
            .prop_map(|(who, role, all)| Step::Enrol(who, role, all)),
    ]
}

pub(super) fn role() -> impl Strategy<Value = Role> {
    prop_oneof![Just(Role::Read), Just(Role::Bench), Just(Role::Owner), Just(Role::Dismissed)]
}

/// Hours by which a clock is off: mostly less than some days, at times years.
fn clock_off() -> impl Strategy<Value = i64> {
    prop_oneof![4 => -60_i64..60, 1 => -30_000_i64..30_000]
}

/// A fleet of records in one folder.
struct Crew {
    folder: TempDir,
    books: Vec<Logbook>,
    acknowledged: BTreeSet<String>,
    files: u32,
    /// The server of the branches.
    shelf: Shelf,
    /// The fleet, and who holds its owner's key.
    fleet: Option<(DeviceId, usize)>,
}

impl Crew {
    fn new(size: usize) -> Self {
        let folder = good(TempDir::new());
        let books = (0..size)
            .map(|n| open(folder.path(), &format!("store-{n}"), &format!("keys-{n}"), n as u64))
            .collect();
        Self {
            folder,
            books,
            acknowledged: BTreeSet::new(),
            files: 0,
            shelf: Shelf::new("shop"),
            fleet: None,
        }
    }

    fn path(&mut self) -> PathBuf {
        self.files += 1;
        self.folder.path().join(format!("file-{}", self.files))
    }

    fn at(&mut self, who: usize) -> &mut Logbook {
        let who = who % self.books.len();
        self.books.get_mut(who).unwrap_or_else(|| unreachable!("{who}"))
    }

    fn take(&mut self, step: &Step, moment: &Moment) {
        match step {
            Step::Register(who, hose) => drop(register(self.at(*who), *hose, moment)),
            Step::Look(who, hose, bad) => {
                let seen: &[&str] = if *bad { &["run:bulge"] } else { &[] };
                look(self.at(*who), code(*hose), seen, moment);
            }
            Step::Clean(who, hose) => drop(self.at(*who).clean(code(*hose), None, moment)),
            Step::Retire(who, hose) => {
                drop(self.at(*who).retire(code(*hose), label("worn"), None, moment));
            }
            Step::Meet { from, to, cut, twice } => self.meet(*from, *to, *cut, *twice),
            Step::Lines { from, to, shuffle, half } => self.lines(*from, *to, *shuffle, *half),
            Step::Branches(who, breaks) => drop(self.at_branches(*who, *breaks)),
            Step::Counter(from, to, breaks) => drop(self.at_counter(*from, *to, *breaks)),
            Step::Copy(who) => self.copy(*who),
            Step::Hostile(who, at) => self.hostile(*who, *at),
            Step::Found(who) => self.found(*who, moment),
            Step::Join(who) => self.join(*who),
            Step::Replace => self.replace_owner(moment),
            Step::Enrol(who, role, all) => self.enrol(*who, *role, *all, moment),
        }
        let written: Vec<_> = self.books.iter().map(lines).collect();
        self.acknowledged.extend(written.into_iter().flatten());
    }

    fn found(&mut self, who: usize, moment: &Moment) {
        let who = who % self.books.len();
        if self.fleet.is_none() && self.at(who).found_fleet(moment).is_ok() {
            let fleet = good(self.at(who).own_device()).fleet;
            self.fleet = fleet.map(|fleet| (fleet, who));
        }
    }

    fn join(&mut self, who: usize) {
        if let Some((fleet, _)) = self.fleet {
            good(self.at(who).join_fleet(&fleet, &moment(150, 0)));
        }
    }

    fn enrol(&mut self, who: usize, role: Role, from_the_start: bool, moment: &Moment) {
        if let Some((_, owner)) = self.fleet {
            let device = good(self.at(who).own_device()).device;
            good(self.at(owner).enrol(device, (role, None), from_the_start, moment));
        }
    }

    fn replace_owner(&mut self, moment: &Moment) {
        if let Some((_, owner)) = self.fleet {
            let words = good(self.at(owner).owner_words());
            good(self.at(owner).replace_owner(&words, None, moment));
        }
    }

    fn meet(&mut self, from: usize, to: usize, cut: Option<u16>, twice: bool) {
        let path = self.path();
        bundle(self.at(from), &path);
        if let Some(cut) = cut {
            let whole = good(fs::read(&path));
            let keep = usize::from(cut) % (whole.len() + 1);
            good(fs::write(&path, whole.get(..keep).unwrap_or_default()));
        }
        let _ = self.at(to).merge(&path, day(ASKED), |_, _| ());
        if twice {
            let _ = self.at(to).merge(&path, day(ASKED), |_, _| ());
        }
    }

    fn lines(&mut self, from: usize, to: usize, shuffle: u64, half: bool) {
        let mut out = Vec::new();
        good(self.at(from).export(&mut out, |_, _| ()));
        let text = String::from_utf8_lossy(&out).into_owned();
        let mut all: Vec<&str> = text.lines().collect();
        all.sort_by_key(|line| (line.len() as u64).wrapping_mul(shuffle | 1));
        let some = if half { all.len() / 2 } else { all.len() };
        let text = all.get(..some).unwrap_or_default().join("\n");
        let _ = self.at(to).import_lines(
            &mut Cursor::new(text),
            true,
            chrono::NaiveDate::default(),
            |_, _| (),
        );
    }

    /// Meets the others at their server, which may break off.
    fn at_branches(
        &mut self,
        who: usize,
        breaks: Option<u32>,
    ) -> Result<BranchMeeting, LogbookError> {
        let mut shelf = self.shelf.clone();
        shelf.breaks_after = breaks;
        let met = branches_tests::meet(self.at(who), &mut shelf, false);
        shelf.breaks_after = None;
        self.shelf = shelf;
        met
    }

    /// One calls another as a counter, by a symbol; the line may break off.
    fn at_counter(
        &mut self,
        from: usize,
        to: usize,
        breaks: [Option<u16>; 2],
    ) -> Result<(), LogbookError> {
        let (from, to) = (from % self.books.len(), to % self.books.len());
        if from == to {
            return Ok(());
        }
        let mut caller = self.books.remove(from);
        let to = if to > from { to - 1 } else { to };
        let counter = self.at(to);
        let met = counter_tests::pair(&mut caller, counter).and_then(|_| {
            counter_tests::meet(&mut caller, counter, breaks.map(|at| at.map(usize::from)))
        });
        self.books.insert(from, caller);
        met.map(drop)
    }

    /// The store is copied with its key, and both write on.
    fn copy(&mut self, who: usize) {
        let (who, n) = (who % self.books.len(), self.books.len());
        if n >= 8 {
            return;
        }
        let (from, to) = (format!("store-{who}"), format!("store-{n}"));
        let book = self.books.remove(who);
        drop(book);
        let folder = self.folder.path().to_owned();
        good(fs::copy(folder.join(&from), folder.join(&to)));
        let _ = fs::create_dir_all(folder.join(format!("keys-{n}")));
        for key in fs::read_dir(folder.join(format!("keys-{who}"))).into_iter().flatten().flatten()
        {
            good(fs::copy(key.path(), folder.join(format!("keys-{n}")).join(key.file_name())));
        }
        self.books.insert(who, open(&folder, &from, &format!("keys-{who}"), 100 + n as u64));
        self.books.push(open(&folder, &to, &format!("keys-{n}"), 200 + n as u64));
    }

    /// A bundle of another record in which one byte was changed.
    fn hostile(&mut self, who: usize, at: u16) {
        let path = self.path();
        bundle(self.at(who), &path);
        let mut bytes = good(fs::read(&path));
        let at = usize::from(at) % bytes.len().max(1);
        if let Some(byte) = bytes.get_mut(at) {
            *byte ^= 0x20;
        }
        good(fs::write(&path, bytes));
        let _ = self.at(who + 1).merge(&path, day(ASKED), |_, _| ());
    }

    /// All meet all, by files or at the server; if there is a fleet all have joined it in
    /// between.
    fn gather(&mut self, by_files: bool) {
        for round in 0..2 {
            if round == 1 {
                (0..self.books.len()).for_each(|who| self.join(who));
            }
            if !by_files {
                for who in (0..self.books.len()).chain(0..self.books.len()) {
                    let met = good(self.at_branches(who, None));
                    assert_eq!(met.merge.refusals, Vec::<String>::new());
                }
                continue;
            }
            for from in 0..self.books.len() {
                let path = self.path();
                bundle(self.at(from), &path);
                for to in 0..self.books.len() {
                    let report = good(self.at(to).merge(&path, day(ASKED), |_, _| ()));
                    assert_eq!(report.refusals, Vec::<String>::new());
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: histories(), ..ProptestConfig::default() })]

    /// Union is commutative, associative and idempotent: after all have met all
    /// hold the same and answer alike, byte for byte, also after a rebuild, and
    /// nothing that was written is lost.
    #[test]
    fn all_who_met_answer_alike(
        size in 2_usize..5,
        by_files in any::<bool>(),
        steps in proptest::collection::vec((step(), -2_i64..5, clock_off()), 1..30),
    ) {
        let mut crew = Crew::new(size);
        let mut days: u64 = 0;
        for (step, later, clock_off) in &steps {
            days = days.saturating_add_signed(*later);
            crew.take(step, &moment(days, *clock_off));
        }
        crew.gather(by_files);
        let held: Vec<_> = crew.books.iter().map(lines).collect();
        let told: Vec<_> = crew.books.iter().map(answers).collect();
        for (book, answer) in held.iter().zip(&told) {
            prop_assert_eq!(Some(book), held.first());
            prop_assert_eq!(Some(answer), told.first());
            prop_assert!(crew.acknowledged.is_subset(book));
        }
        for (book, before) in crew.books.iter_mut().zip(&told) {
            let report = good(book.check(|_, _| ()));
            prop_assert!(report.sound(), "{:?}", report.problems);
            for day in [0, 400] {
                super::super::asking_tests::agrees(book, &moment(days + day, 0));
                super::super::asking_tests::agrees(book, &moment(days.saturating_sub(day), 0));
            }
            good(book.rebuild(|_, _| ()));
            prop_assert_eq!(&answers(book), before);
            let report = good(book.check(|_, _| ()));
            prop_assert!(report.sound(), "{:?}", report.problems);
        }
    }
}

/// How many histories are tried: 24, or HOSEWRIGHT_HISTORIES.
fn histories() -> u32 {
    std::env::var("HOSEWRIGHT_HISTORIES").ok().and_then(|n| n.parse().ok()).unwrap_or(24)
}

pub(super) fn entries(book: &Logbook) -> Vec<Entry> {
    let mut out = Vec::new();
    good(book.export(&mut out, |_, _| ()));
    String::from_utf8_lossy(&out).lines().map(|line| good(entry_of_line(line))).collect()
}

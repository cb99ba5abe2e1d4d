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

use crate::device::{DeviceId, DeviceKey, FolderKeyring, Keyring, Role};
use crate::event::Registration;
use crate::hose::{Construction, Label, Origin, Service};
use crate::inspection::{Form, InspectionKind};
use crate::journal::{
    Entry, Hashed, MergeReport, Moment, Signatures, entry_of_line, keep_meeting, line_of_entry,
};
use crate::logbook::{Found, Logbook, LogbookError, answering};
use crate::story::{code, day, hose, label};
use crate::tag::Code;

const START: &str = "2026-01-10";
const ASKED: &str = "2026-06-15";

fn moment(days: u64, clock_off: i64) -> Moment {
    let today = day(START) + Days::new(days);
    let time = today.and_time(NaiveTime::MIN).and_utc() + Duration::hours(clock_off);
    Moment { today, time, by: label("Tern") }
}

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

fn open(folder: &Path, name: &str, keys: &str, seed: u64) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(seed));
    let keys = Box::new(FolderKeyring::new(folder.join(keys)));
    good(Logbook::open(&folder.join(name), random, keys))
}

fn register(book: &mut Logbook, number: u64, moment: &Moment) -> Result<Code, LogbookError> {
    let specification = hose(Service::SecondStage, Construction::Rubber);
    let label = |text: &str| number.is_multiple_of(2).then(|| good(Label::new("a text", text)));
    let origin = Origin { maker: label("Kelp line"), lot: label("L-1"), ..Origin::default() };
    let new = Registration { specification, origin, tag: Some(code(number)) };
    book.register(new, None, moment)
}

fn look(book: &mut Logbook, hose: Code, seen: &[&str], moment: &Moment) {
    let Ok(specification) = book.specification(hose) else { return };
    let kind = if seen.is_empty() { InspectionKind::Full } else { InspectionKind::Quick };
    let mut form = Form::new(kind, &specification);
    form.clear_rest();
    for seen in seen {
        good(form.found(good(seen.parse())));
    }
    let _ = book.inspect(hose, good(form.finish()), None, moment);
}

fn bundle(book: &Logbook, path: &Path) {
    let mut out = good(fs::File::create(path));
    good(book.bundle(&mut out, None, day(ASKED), |_| ()));
}

fn lines(book: &Logbook) -> BTreeSet<String> {
    let mut out = Vec::new();
    good(book.export(&mut out, |_, _| ()));
    // Signatures that another covers are not kept everywhere.
    let unsigned = |line: &str| match line.split_once(",\"sig\"") {
        Some((entry, _)) => format!("{entry}}}"),
        None => line.to_owned(),
    };
    String::from_utf8_lossy(&out).lines().map(unsigned).collect()
}

fn answers(book: &Logbook) -> String {
    let asked = Moment { today: day(ASKED), ..moment(200, 0) };
    let mut all = String::new();
    for hose in good(book.hoses()) {
        let found = Found { hose, tag: Some(hose) };
        let answer = good(answering::answer_of(&book.connection, found, &asked));
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
    Copy(usize),
    Hostile(usize, u16),
    Found(usize),
    Join(usize),
    Enrol(usize, Role, bool),
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
        1 => who.clone().prop_map(Step::Copy),
        1 => (who.clone(), any::<u16>()).prop_map(|(who, at)| Step::Hostile(who, at)),
        1 => who.clone().prop_map(Step::Found),
        1 => who.clone().prop_map(Step::Join),
        2 => (who, role(), proptest::bool::weighted(0.3))
            .prop_map(|(who, role, all)| Step::Enrol(who, role, all)),
    ]
}

fn role() -> impl Strategy<Value = Role> {
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
    /// The fleet, and who holds its owner's key.
    fleet: Option<(DeviceId, usize)>,
}

impl Crew {
    fn new(size: usize) -> Self {
        let folder = good(TempDir::new());
        let books = (0..size)
            .map(|n| open(folder.path(), &format!("store-{n}"), &format!("keys-{n}"), n as u64))
            .collect();
        Self { folder, books, acknowledged: BTreeSet::new(), files: 0, fleet: None }
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
            Step::Copy(who) => self.copy(*who),
            Step::Hostile(who, at) => self.hostile(*who, *at),
            Step::Found(who) => self.found(*who, moment),
            Step::Join(who) => self.join(*who),
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
        let _ = self.at(to).import_lines(&mut Cursor::new(text), true, |_, _| ());
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

    /// All meet all; if there is a fleet all have joined it in between.
    fn gather(&mut self) {
        for round in 0..2 {
            if round == 1 {
                (0..self.books.len()).for_each(|who| self.join(who));
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
        steps in proptest::collection::vec((step(), -2_i64..5, clock_off()), 1..30),
    ) {
        let mut crew = Crew::new(size);
        let mut days: u64 = 0;
        for (step, later, clock_off) in &steps {
            days = days.saturating_add_signed(*later);
            crew.take(step, &moment(days, *clock_off));
        }
        crew.gather();
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

fn merged(book: &mut Logbook, entries: &[Entry]) -> MergeReport {
    let entries = entries.iter().cloned().map(Hashed::from).collect();
    good(book.take_in(|merge| Ok(merge.take(entries, Signatures::All)?)))
}

fn entries(book: &Logbook) -> Vec<Entry> {
    let mut out = Vec::new();
    good(book.export(&mut out, |_, _| ()));
    String::from_utf8_lossy(&out).lines().map(|line| good(entry_of_line(line))).collect()
}

/// A store whose device wrote a registration and two cleanings.
fn written(folder: &Path, name: &str, seed: u64) -> Logbook {
    let mut book = open(folder, name, &format!("keys-{name}"), seed);
    good(register(&mut book, 1, &moment(0, 0)));
    for days in 1..3 {
        good(book.clean(code(1), None, &moment(days, 0)));
    }
    book
}

#[test]
fn what_was_changed_after_it_was_signed_is_refused_and_the_rest_goes_in() {
    let folder = good(TempDir::new());
    let theirs = entries(&written(folder.path(), "theirs", 1));
    for altered in 0..3 {
        let mut entries = theirs.clone();
        let Some(entry) = entries.get_mut(altered) else { unreachable!("three entries") };
        entry.by = label("Somebody else");
        let mut ours = open(folder.path(), &format!("ours-{altered}"), "keys", 9);
        let report = merged(&mut ours, &entries);
        // Each is signed by itself, so those before and after stand.
        assert_eq!((report.new, report.refused), (2, 1), "{report:?}");
        assert!(report.refusals.iter().all(|why| why.contains("not what that device signed")));
    }
}

#[test]
fn a_line_alone_keeps_its_signature_through_text() {
    let folder = good(TempDir::new());
    for entry in entries(&written(folder.path(), "theirs", 1)) {
        assert_eq!(entry_of_line(&line_of_entry(&entry)), Ok(entry));
    }
}

#[test]
fn a_store_that_meets_itself_takes_a_new_identity() {
    let folder = good(TempDir::new());
    let book = written(folder.path(), "store-0", 1);
    drop(book);
    good(fs::copy(folder.path().join("store-0"), folder.path().join("copy")));
    let mut first = open(folder.path(), "store-0", "keys-store-0", 2);
    let mut copy = open(folder.path(), "copy", "keys-store-0", 3);
    good(first.clean(code(1), None, &moment(5, 0)));
    good(copy.clean(code(1), None, &moment(6, 0)));
    let before = good(copy.own_device()).device;
    let report = merged(&mut copy, &entries(&first));
    assert!(report.copied && report.forked.contains(&before), "{report:?}");
    good(copy.clean(code(1), None, &moment(7, 0)));
    assert_ne!(good(copy.own_device()).device, before);
    // Without its key a copy knows that it is one before it writes.
    let mut elsewhere = open(folder.path(), "copy", "keys-elsewhere", 4);
    let without = good(elsewhere.own_device()).device;
    good(elsewhere.clean(code(1), None, &moment(8, 0)));
    assert_ne!(without, before);
}

fn standing(book: &Logbook, device: &DeviceId) -> (Option<Role>, Vec<(String, u64)>) {
    let views = good(book.devices());
    let view = views.into_iter().find(|view| view.device == *device);
    view.map_or((None, Vec::new()), |view| (view.role, view.set_aside))
}

#[test]
fn who_is_believed_is_what_the_owner_says() {
    let folder = good(TempDir::new());
    let mut centre = written(folder.path(), "centre", 1);
    let mut phone = open(folder.path(), "phone", "keys-phone", 2);
    merged(&mut phone, &entries(&centre));
    look(&mut phone, code(1), &["run:bulge"], &moment(10, 0));
    let device = good(phone.own_device()).device;
    let words = good(centre.found_fleet(&moment(11, 0)));
    let Some(fleet) = good(centre.own_device()).fleet else { unreachable!("a fleet") };
    let retired = |book: &Logbook| answers(book).contains("finding-bulge");

    // A stranger's entries are kept and not believed …
    let report = merged(&mut centre, &entries(&phone));
    assert_eq!(report.set_aside.get("stranger"), Some(&1), "{report:?}");
    assert!(!retired(&centre));
    // … until the owner admits the device.
    good(centre.enrol(device, (Role::Bench, Some(label("boat"))), false, &moment(12, 0)));
    assert!(retired(&centre));
    good(phone.join_fleet(&fleet, &moment(150, 0)));
    assert!(phone.clean(code(1), None, &moment(12, 0)).is_err());
    merged(&mut phone, &entries(&centre));
    good(phone.clean(code(1), None, &moment(13, 0)));
    assert_eq!(answers(&phone).contains("finding-bulge"), retired(&centre));

    // Limits are the owner's to set.
    let why = label("crimps");
    let refused = phone.recall(label("L1"), None, why, None, &moment(14, 0));
    assert!(matches!(refused, Err(LogbookError::NotAllowed { .. })));

    // What it wrote before it was dismissed stays; what comes later does not count.
    good(centre.enrol(device, (Role::Dismissed, None), false, &moment(15, 0)));
    assert!(retired(&centre));
    look(&mut phone, code(1), &["run:cut:deep"], &moment(16, 0));
    let report = merged(&mut centre, &entries(&phone));
    // It adds what it saw, and clears nothing.
    assert_eq!(report.set_aside.get("rights-taken"), Some(&2), "{report:?}");
    assert_eq!(standing(&centre, &device).0, Some(Role::Dismissed));

    // The key comes back from its words on another device.
    let mut counter = open(folder.path(), "counter", "keys-counter", 5);
    assert_eq!(good(counter.recover_owner(&words, &moment(150, 0))), fleet);
    merged(&mut counter, &entries(&centre));
    // When each last met another is its own.
    for book in [&centre, &counter] {
        good(keep_meeting(&book.connection, day(ASKED)));
    }
    assert_eq!(answers(&counter), answers(&centre));
    let other = DeviceKey::from_secret(&[3; 32]).to_words();
    assert!(counter.recover_owner(&other, &moment(150, 0)).is_err());
}

/// A received clock pushes ours by a day at most, and not by an hour more.
#[test]
fn a_clock_that_is_far_ahead_does_not_drag_others_along() {
    for (hours_ahead, pushed) in [(1, true), (24, true), (25, false), (24 * 365 * 5, false)] {
        let folder = good(TempDir::new());
        let mut ahead = open(folder.path(), "ahead", "keys-ahead", 1);
        good(register(&mut ahead, 1, &moment(0, hours_ahead)));
        let mut ours = open(folder.path(), "ours", "keys-ours", 2);
        merged(&mut ours, &entries(&ahead));
        good(ours.clean(code(1), None, &moment(0, 0)));
        let own = entries(&ours).into_iter().find(|entry| entry.kind == "cleaned");
        let past = own.map(|entry| entry.at.time() > moment(0, 0).time);
        assert_eq!(past, Some(pushed), "{hours_ahead} hours ahead");
        assert_eq!(answers(&ours).contains("clock-odd"), hours_ahead > 24 * 365, "{hours_ahead}");
    }
}

/// An entry that was written with an earlier clock than the one that it follows
/// may add, and clears nothing.
#[test]
fn what_is_back_dated_clears_nothing() {
    let folder = good(TempDir::new());
    let mut theirs = open(folder.path(), "theirs", "keys-theirs", 1);
    good(register(&mut theirs, 1, &moment(0, 0)));
    look(&mut theirs, code(1), &["run:salt"], &moment(1, 0));
    good(theirs.clean(code(1), None, &moment(2, 0)));
    let honest = entries(&theirs);
    let keys = FolderKeyring::new(folder.path().join("keys-theirs"));
    let device = good(theirs.own_device()).device;
    let Ok(Some(key)) = keys.find(&device) else { unreachable!("its key") };
    for (last_at, still_salty) in [(honest[1].at, true), (honest[2].at, false)] {
        let mut entries = honest.clone();
        entries[2].at = last_at;
        entries[2].signature = Some(key.sign(entries[2].canonical().as_bytes()));
        let mut ours = open(folder.path(), &format!("ours-{still_salty}"), "keys", 9);
        let report = merged(&mut ours, &entries);
        assert_eq!(report.set_aside.contains_key("back-dated"), still_salty, "{report:?}");
        assert_eq!(answers(&ours).contains("finding-salt"), still_salty);
        // In the other order, one by one, it comes to the same.
        let mut slowly = open(folder.path(), &format!("slowly-{still_salty}"), "keys", 9);
        for entry in entries.iter().rev() {
            merged(&mut slowly, std::slice::from_ref(entry));
        }
        assert_eq!(answers(&slowly), answers(&ours));
    }
}

#[test]
fn a_spoilt_signature_in_a_store_is_found() {
    let folder = good(TempDir::new());
    let book = written(folder.path(), "theirs", 1);
    assert!(good(book.check(|_, _| ())).sound());
    for seq in [2, 3] {
        let sql = "UPDATE entry SET signature = zeroblob(64) WHERE seq = ?1";
        good(book.connection.execute(sql, [seq]));
        let problems = good(book.check(|_, _| ())).problems;
        assert!(problems.iter().any(|why| why.contains(&format!("entry {seq} "))), "{problems:?}");
    }
}

#[test]
fn every_byte_of_a_bundle_changed_in_turn_is_refused_or_harmless() {
    let folder = good(TempDir::new());
    let theirs = written(folder.path(), "theirs", 1);
    let path = folder.path().join("bundle");
    bundle(&theirs, &path);
    let whole = good(fs::read(&path));
    let known = lines(&theirs);
    let mut ours = open(folder.path(), "ours", "keys", 9);
    for at in 0..whole.len() {
        let mut bytes = whole.clone();
        if let Some(byte) = bytes.get_mut(at) {
            *byte = !*byte;
        }
        good(fs::write(&path, &bytes));
        let told = match ours.merge(&path, day(ASKED), |_, _| ()) {
            Ok(report) => report.refused > 0,
            Err(error) => !error.to_string().is_empty(),
        };
        assert!(told, "byte {at} was changed and nobody said so");
        assert!(lines(&ours).is_subset(&known), "byte {at}");
    }
    for length in 0..whole.len() {
        good(fs::write(&path, whole.get(..length).unwrap_or_default()));
        let told =
            ours.merge(&path, day(ASKED), |_, _| ()).map_or(true, |report| report.refused > 0);
        assert!(told, "cut after {length}");
    }
}

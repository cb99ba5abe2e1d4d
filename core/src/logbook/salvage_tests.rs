//! Damage of every kind: what is saved is what was written, what is lost is said.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use chrono::{Days, NaiveTime};
use rand_chacha::ChaCha20Rng;
use rand_core::{Rng, SeedableRng};
use tempfile::TempDir;

use super::SalvageReport;
use crate::device::{FolderKeyring, Keyring};
use crate::event::Registration;
use crate::hose::{Construction, Origin, Service};
use crate::inspection::{Form, InspectionKind};
use crate::journal::Moment;
use crate::logbook::{Logbook, LogbookError, NamingError};
use crate::story::{code, day, hose, label};

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

fn open(path: &Path, seed: u64) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(seed));
    let keys = Box::new(FolderKeyring::new(path.with_extension("keys")));
    good(Logbook::open(path, random, keys))
}

fn moment(days: u64) -> Moment {
    let today = day("2025-01-10") + Days::new(days);
    Moment { today, time: today.and_time(NaiveTime::MIN).and_utc(), by: label("Tern") }
}

/// 20 hoses, and 8 looks at each with a note that grows to more than a page.
fn written(path: &Path) -> Logbook {
    let mut book = open(path, 1);
    for number in 1..=20 {
        let specification = hose(Service::SecondStage, Construction::Rubber);
        let tag = Some(code(number));
        let new = Registration { specification, origin: Origin::default(), tag };
        good(book.register(new, None, &moment(0)));
    }
    for days in 1..=8 {
        for number in 1..=20 {
            let specification = good(book.specification(code(number)));
            let mut form = Form::new(InspectionKind::Full, &specification);
            form.clear_rest();
            form.note(good(crate::hose::Prose::new("a note", &"x".repeat(20))));
            good(book.inspect(code(number), good(form.finish()), None, &moment(days)));
        }
    }
    book
}

fn lines(book: &Logbook) -> BTreeSet<String> {
    let mut out = Vec::new();
    good(book.export(&mut out, |_, _| ()));
    // A spoilt signature that a later one covers is left out.
    let unsigned = |line: &str| match line.split_once(",\"sig\"") {
        Some((entry, _)) => format!("{entry}}}"),
        None => line.to_owned(),
    };
    String::from_utf8_lossy(&out).lines().map(unsigned).collect()
}

/// The keys of some other machine.
fn no_keys(folder: &Path) -> FolderKeyring {
    FolderKeyring::new(folder.join("no-keys"))
}

struct Case {
    folder: TempDir,
    whole: Vec<u8>,
    lines: BTreeSet<String>,
}

impl Case {
    fn new() -> Self {
        let folder = good(TempDir::new());
        let path = folder.path().join("whole");
        let book = written(&path);
        let lines = lines(&book);
        drop(book);
        let whole = good(fs::read(&path));
        Self { folder, whole, lines }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The keys of the machine that wrote.
    fn keys(&self) -> FolderKeyring {
        FolderKeyring::new(self.path("whole").with_extension("keys"))
    }

    /// Saves from these bytes; the entries that came over, and the report.
    fn saved(&self, bytes: &[u8], name: &str) -> (BTreeSet<String>, SalvageReport) {
        let (damaged, into) = (self.path(&format!("{name}.damaged")), self.path(name));
        good(fs::write(&damaged, bytes));
        let report = good(Logbook::salvage(&damaged, &into, &self.keys(), |_, _| ()));
        assert_eq!(good(fs::read(&damaged)), bytes, "the damaged file was changed");
        let mut book = open(&into, 2);
        let check = good(book.check(|_, _| ()));
        assert!(check.sound(), "{:?}", check.problems);
        let saved = lines(&book);
        assert_eq!(saved.len() as u64, report.saved);
        // And it goes on.
        let next = book.clean(code(1), None, &moment(30));
        assert!(
            next.is_ok() || matches!(next, Err(LogbookError::Naming(NamingError::UnknownTag(_))))
        );
        (saved, report)
    }
}

fn count(lost: &SalvageReport) -> u64 {
    lost.lost.iter().flat_map(|(_, lost)| lost).map(|(first, last)| last - first + 1).sum()
}

#[test]
fn of_a_sound_store_everything_is_saved() {
    let case = Case::new();
    let (saved, report) = case.saved(&case.whole, "sound");
    assert_eq!(saved, case.lines);
    assert!(report.complete(), "{report:?}");
    assert_eq!((report.saved, report.spoilt), (180, 0));
}

#[test]
fn whatever_is_spoilt_what_is_saved_was_written_and_what_is_lost_is_said() {
    let case = Case::new();
    let mut random = ChaCha20Rng::seed_from_u64(31);
    let mut below = |n: usize| usize::try_from(random.next_u64() % n as u64).unwrap_or(0);
    let mut losses = 0;
    for round in 0..40 {
        let mut bytes = case.whole.clone();
        for _ in 0..=below(8) {
            let (at, long) = (below(bytes.len()), 1 + below(6000));
            let noise = u8::try_from(below(256)).unwrap_or(0);
            for byte in bytes.iter_mut().skip(at).take(long) {
                *byte = byte.wrapping_add(noise | 1);
            }
        }
        let (saved, report) = case.saved(&bytes, &format!("round-{round}"));
        assert!(saved.is_subset(&case.lines), "round {round}");
        // The newest number is known from the devices, unless their rows are lost.
        let newest = report.lost.iter().flat_map(|(_, lost)| lost).any(|(_, last)| *last == 180);
        if newest || saved.iter().any(|line| line.contains("\"seq\":180,")) {
            assert_eq!(report.saved + report.unproven + count(&report), 180, "round {round}");
        }
        losses += usize::from(!report.complete());
    }
    assert!(losses > 10, "{losses} of 40 lost anything: the damage was too small");
}

#[test]
fn without_its_beginning_and_without_its_end() {
    let case = Case::new();
    let mut headless = case.whole.clone();
    headless.iter_mut().take(4096).for_each(|byte| *byte = 0);
    let (saved, _) = case.saved(&headless, "headless");
    assert_eq!(saved, case.lines);
    // The tables' own first pages come first: a small store's entries are near its end.
    let cut = case.whole.get(..case.whole.len() * 9 / 10).unwrap_or_default();
    let (saved, report) = case.saved(cut, "cut");
    assert!(saved.is_subset(&case.lines) && !report.complete(), "{report:?}");
    assert_eq!(report.saved + report.unproven + count(&report), 180);
}

/// Every page that names a device is lost: this machine's own keys name it.
#[test]
fn a_device_whose_number_is_lost_is_known_by_its_key() {
    let case = Case::new();
    let keys = case.keys();
    let own = keys.devices();
    let [crate::device::DeviceId::Signed(id)] = own.as_slice() else { unreachable!("{own:?}") };
    let mut bytes = case.whole.clone();
    let places: Vec<usize> =
        (0..bytes.len() - 32).filter(|at| bytes[*at..].starts_with(id)).collect();
    assert!(!places.is_empty());
    for at in places {
        bytes.iter_mut().skip(at).take(32).for_each(|byte| *byte ^= 0x55);
    }
    let (damaged, into) = (case.path("nameless"), case.path("named"));
    good(fs::write(&damaged, &bytes));
    let refused = Logbook::salvage(&damaged, &into, &no_keys(case.folder.path()), |_, _| ());
    assert!(matches!(refused, Err(LogbookError::NothingToSave(_))));
    let report = good(Logbook::salvage(&damaged, &into, &keys, |_, _| ()));
    assert_eq!(report.saved, 180);
}

#[test]
fn what_only_stands_in_the_log_is_saved() {
    let folder = good(TempDir::new());
    let path = folder.path().join("store");
    let book = written(&path);
    let copy = folder.path().join("copy");
    good(fs::copy(&path, &copy));
    good(fs::copy(folder.path().join("store-wal"), folder.path().join("copy-wal")));
    let into = folder.path().join("new");
    let report = good(Logbook::salvage(&copy, &into, &no_keys(folder.path()), |_, _| ()));
    assert_eq!(report.saved, 180);
    assert_eq!(lines(&open(&into, 3)), lines(&book));
}

#[test]
fn a_fleet_is_kept_and_a_copy_takes_a_new_identity() {
    let folder = good(TempDir::new());
    let path = folder.path().join("store");
    let mut book = written(&path);
    good(book.found_fleet(&moment(9)));
    let own = good(book.own_device());
    drop(book);
    let into = folder.path().join("new");
    let report = good(Logbook::salvage(&path, &into, &no_keys(folder.path()), |_, _| ()));
    assert_eq!(report.fleet, own.fleet);
    let mut new = open(&into, 5);
    let now = good(new.own_device());
    assert_eq!(now.fleet, own.fleet);
    assert_ne!(now.device, own.device);
    assert!(good(new.devices()).iter().all(|device| device.set_aside.is_empty()));
}

#[test]
fn an_entry_whose_signature_is_lost_is_set_beside() {
    let folder = good(TempDir::new());
    let path = folder.path().join("store");
    drop(written(&path));
    let raw = good(rusqlite::Connection::open(&path));
    good(raw.execute("UPDATE entry SET signature = NULL WHERE seq = 180", []));
    good(raw.close().map_err(|(_, e)| e));
    let into = folder.path().join("new");
    let report = good(Logbook::salvage(&path, &into, &no_keys(folder.path()), |_, _| ()));
    assert_eq!((report.saved, report.unproven), (179, 1));
    let Some(beside) = report.unproven_in.clone() else { unreachable!("{report:?}") };
    assert!(good(fs::read_to_string(beside)).contains("\"seq\":180,"));
    assert!(!report.complete() && report.words().iter().any(|line| line.contains("1 entry is")));
}

#[test]
fn what_is_there_stays_and_what_is_not_ours_is_refused() {
    let folder = good(TempDir::new());
    let (path, into) = (folder.path().join("store"), folder.path().join("new"));
    good(fs::write(&path, "a shopping list ".repeat(1000)));
    let refused = Logbook::salvage(&path, &into, &no_keys(folder.path()), |_, _| ());
    assert!(matches!(refused, Err(LogbookError::NothingToSave(_))));
    assert!(!into.exists());
    good(fs::write(&into, "mine"));
    let refused = Logbook::salvage(&path, &into, &no_keys(folder.path()), |_, _| ());
    assert!(matches!(refused, Err(LogbookError::AlreadyThere(_))));
    assert_eq!(good(fs::read_to_string(&into)), "mine");
    let missing = Logbook::salvage(
        &folder.path().join("none"),
        &folder.path().join("x"),
        &no_keys(folder.path()),
        |_, _| (),
    );
    assert!(matches!(missing, Err(LogbookError::Store(_))));
}

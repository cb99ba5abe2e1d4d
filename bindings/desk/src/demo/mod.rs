//! A demonstration: an invented dive centre with five years of history, its
//! tags on paper, and a photo of one of them that is read and answered.
//!
//! It always makes the same: the same codes, the same pages, the same picture.

mod error;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use hosewright_core::device::FolderKeyring;
use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::journal::Moment;
use hosewright_core::tag::draw::plan;
use hosewright_core::tag::photo::{Conditions, photograph};
use hosewright_core::tag::sheet::sheet;
use hosewright_core::tag::{Code, Level, Payload, PrinterDpi, SheetOptions, TagSize, read_picture};
use hosewright_core::text::visible;
use hosewright_core::view::AnswerView;
use hosewright_core::{Logbook, LogbookError};
pub use hosewright_demo::TODAY;
use hosewright_demo::{
    CENTRE, OLD_LIST, PHOTOGRAPHED, RETAGGED, StoryError, WANTS_A_SEAL, Written, chance, tell,
};

use crate::paint::Painted;
pub use error::DemoError;

/// Where it goes unless a folder is named.
pub const FOLDER: &str = "hosewright-demo";

const STORE: &str = "fleet.hosewright";
const SHEET: &str = "tags.pdf";
const PHOTO: &str = "photo.png";
const LIST: &str = "old-list.csv";
/// The file by which a folder is known to be a demonstration.
const ABOUT: &str = "about-this-demo.txt";
const ABOUT_FIRST_LINE: &str = "Made by hosewright demo.";

/// What a demonstration made.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// How many hoses have each verdict, best verdict first.
    pub verdicts: Vec<(Verdict, usize)>,
    /// How many tags were printed.
    pub tags: u32,
    /// The answer to the photo.
    pub answer: AnswerView,
}

/// Makes the demonstration in `dir`, telling `say` what it does; `show` puts an
/// answer in words.
///
/// # Errors
/// [`DemoError`] if the folder holds something else, or a file cannot be
/// written.
pub fn run(
    dir: &Path,
    keys: Box<FolderKeyring>,
    show: impl Fn(&AnswerView) -> Painted,
    say: &mut dyn FnMut(Painted) -> io::Result<()>,
) -> Result<Made, DemoError> {
    let told = |source| DemoError::Io { path: "the output".into(), source };
    clear_the_way(dir)?;
    say(format!("{CENTRE} (invented), in {}", visible(&dir.to_string_lossy())).into())
        .map_err(told)?;
    let mut logbook = Logbook::open(&dir.join(STORE), Box::new(chance()), keys)?;
    let year = |year| say(format!("  writing the record of {year}").into());
    let written = tell(&mut logbook, year)?;
    let moment = now()?;
    let verdicts = count(&logbook, &moment)?;
    say(format!("  {}", in_words(&verdicts)).into()).map_err(told)?;
    let tags = print_sheet(&logbook, dir)?;
    say(format!("  printed {tags} tags to {SHEET}").into()).map_err(told)?;
    take_photo(&logbook, written.code(PHOTOGRAPHED)?, dir)?;
    say(format!("  took a photo of one of them: {PHOTO}").into()).map_err(told)?;
    save(dir, LIST, OLD_LIST.as_bytes())?;
    let answer = read_back(&logbook, dir, &moment)?;
    say(Painted::from(format!("\nRead from {PHOTO}:\n\n")) + show(&answer)).map_err(told)?;
    say(Painted::from("\n") + what_next(&logbook, &written, dir)?).map_err(told)?;
    Ok(Made { verdicts, tags, answer })
}

/// Writes the record alone, into a folder that is there, and says where it is.
///
/// # Errors
/// [`DemoError`] if it cannot be written.
pub fn record(dir: &Path, keys: Box<FolderKeyring>) -> Result<PathBuf, DemoError> {
    let path = dir.join(STORE);
    let mut logbook = Logbook::open(&path, Box::new(chance()), keys)?;
    tell(&mut logbook, |_| Ok(()))?;
    Ok(path)
}

fn now() -> Result<Moment, DemoError> {
    let slip = || StoryError::Slip(TODAY.to_owned());
    let today: NaiveDate = TODAY.parse().map_err(|_| slip())?;
    let time = today.and_hms_opt(18, 0, 0).ok_or_else(slip)?.and_utc();
    Ok(Moment { today, time, by: Label::new("a name", "you").map_err(LogbookError::from)? })
}

/// Makes room: a new folder, an empty one, or an earlier demonstration, whose
/// own files go and whose others stay.
fn clear_the_way(dir: &Path) -> Result<(), DemoError> {
    let at = |source| DemoError::Io { path: dir.to_owned(), source };
    fs::create_dir_all(dir).map_err(at)?;
    let empty = fs::read_dir(dir).map_err(at)?.next().is_none();
    let about = fs::read_to_string(dir.join(ABOUT)).unwrap_or_default();
    if !empty && !about.starts_with(ABOUT_FIRST_LINE) {
        return Err(DemoError::Occupied(dir.to_owned()));
    }
    for name in [STORE, SHEET, PHOTO, LIST] {
        remove(&dir.join(name))?;
    }
    // What SQLite keeps beside a store that was not closed in peace.
    for tail in ["-wal", "-shm"] {
        remove(&dir.join(format!("{STORE}{tail}")))?;
    }
    let about = format!(
        "{ABOUT_FIRST_LINE}\n\nAn invented dive centre, {CENTRE}, as of {TODAY}. Running the \
         demonstration\nhere again rebuilds it: whatever you tried in {STORE} is then gone.\n"
    );
    save(dir, ABOUT, about.as_bytes())
}

fn remove(path: &Path) -> Result<(), DemoError> {
    match fs::remove_file(path) {
        Err(source) if source.kind() != io::ErrorKind::NotFound => {
            Err(DemoError::Io { path: path.to_owned(), source })
        }
        _ => Ok(()),
    }
}

fn save(dir: &Path, name: &str, bytes: &[u8]) -> Result<(), DemoError> {
    let path = dir.join(name);
    fs::write(&path, bytes).map_err(|source| DemoError::Io { path, source })
}

/// How many hoses have each verdict.
fn count(logbook: &Logbook, moment: &Moment) -> Result<Vec<(Verdict, usize)>, DemoError> {
    let mut all = Vec::new();
    for hose in logbook.hoses()? {
        let tag = logbook.record(hose)?.tag();
        all.push(logbook.answer(&tag.to_string(), moment)?.verdict);
    }
    let of = |verdict: Verdict| (verdict, all.iter().filter(|v| **v == verdict).count());
    Ok(Verdict::ALL.iter().copied().map(of).collect())
}

fn in_words(verdicts: &[(Verdict, usize)]) -> String {
    let hoses: usize = verdicts.iter().map(|(_, count)| count).sum();
    let each: Vec<String> =
        verdicts.iter().map(|(verdict, count)| format!("{count} {verdict}")).collect();
    format!("{hoses} hoses on {TODAY}: {}", each.join(", "))
}

/// The tags of every hose that is not retired, on paper.
fn print_sheet(logbook: &Logbook, dir: &Path) -> Result<u32, DemoError> {
    let mut tags: Vec<Payload> = Vec::new();
    for hose in logbook.hoses()? {
        if logbook.record(hose)?.retired.is_none() {
            tags.push(logbook.payload(hose)?);
        }
    }
    let mut pages = Vec::new();
    let printed = sheet(&mut pages, tags, &SheetOptions::default())?;
    save(dir, SHEET, &pages)?;
    Ok(printed.tags)
}

/// A photo of a tag as a phone would take it.
fn take_photo(logbook: &Logbook, hose: Code, dir: &Path) -> Result<(), DemoError> {
    let payload = logbook.payload(hose)?;
    let (size, dpi) = (TagSize::default(), PrinterDpi::default());
    let tag = plan(size, dpi, Level::default(), payload)?;
    let path = dir.join(PHOTO);
    let photo = photograph(&tag, &Conditions::default());
    photo.save(&path).map_err(|error| DemoError::Io { path, source: io::Error::other(error) })
}

/// Reads the photo from its file and answers for what is on it.
fn read_back(logbook: &Logbook, dir: &Path, moment: &Moment) -> Result<AnswerView, DemoError> {
    let path = dir.join(PHOTO);
    let bytes = fs::read(&path).map_err(|source| DemoError::Io { path: path.clone(), source })?;
    let found = read_picture(&bytes)?;
    let tag = found.first().ok_or(DemoError::NotRead(path))?;
    Ok(logbook.view(logbook.answer_scan(&tag.text, moment)?)?)
}

/// What to try next, with the commands as they are to be typed.
fn what_next(logbook: &Logbook, written: &Written, dir: &Path) -> Result<String, DemoError> {
    let seal = logbook.record(written.code(WANTS_A_SEAL)?)?.tag();
    // The first tag of the hose, which another took the place of.
    let old = written.code(RETAGGED)?;
    let file = |name: &str| quoted(&dir.join(name));
    let with = format!("hosewright --store {} --today {TODAY}", file(STORE));
    let try_out = [
        ("Scan the photo again", format!("scan {}", file(PHOTO))),
        ("Scan a tag that was replaced", format!("answer {old}")),
        ("Every hose and its verdict", "list".to_owned()),
        ("A set with a hose that must go", "set show R3".to_owned()),
        ("Why a rented octopus may not go out", format!("answer {seal}")),
        ("Put it right: new O-rings at end b", format!("reseal {seal} --end b")),
        ("and a leak test under pressure", {
            format!("inspect {seal} --kind leak-test --pressure 200bar --passed")
        }),
        ("Take in the neighbour's list; two rows are not good", {
            format!("import {}", file(LIST))
        }),
        ("Take in the rest of it", format!("import {} --partial", file(LIST))),
    ];
    let lines: String =
        try_out.iter().map(|(what, command)| format!("  # {what}\n  {with} {command}\n")).collect();
    Ok(format!(
        "Open {} to see the tags. Then try, with cargo run -- for hosewright if it is not \
         installed:\n{lines}",
        file(SHEET)
    ))
}

/// A path as a shell takes it.
fn quoted(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "/\\._-:".contains(c);
    if text.chars().all(plain) { text } else { format!("\"{text}\"") }
}

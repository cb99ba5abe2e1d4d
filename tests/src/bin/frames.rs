//! Writes frames and reads them: `frames write SEED EACH EMPTY FOLDER` makes
//! EACH frames of every condition and EMPTY without a tag as PGM files and a
//! list of what they say; `frames read FOLDER` reads them on one core and
//! writes a line of JSON a frame: how long QR symbols take, those with makers' codes, and QR
//! symbols in a film's next frames; `frames pictures` reads the PNG files that its
//! input names, a line each, in the same way; `frames empty SEED COUNT` reads COUNT frames
//! without a tag, as frames and as photos, and fails if anything is read.

use std::fs;
use std::io::{Cursor, Write};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

use hosewright_core::tag::{Frame, Reader, read_frame, read_picture};
use hosewright_tests::frames::{CONDITIONS, SEVERITIES, empty, shot};
use image::{GrayImage, ImageFormat};
use rustix::time::{ClockId, clock_gettime};
use serde_json::json;

type Outcome = Result<(), Box<dyn std::error::Error>>;

fn main() -> Outcome {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["write", seed, each, none, folder] => {
            write(seed.parse()?, each.parse()?, none.parse()?, Path::new(folder))
        }
        ["read", folder] => read(Path::new(folder), ""),
        ["read", folder, only] => read(Path::new(folder), only),
        ["pictures"] => read_pictures(),
        ["empty", seed, count] => read_empty(seed.parse()?, count.parse()?),
        _ => Err("frames write SEED EACH EMPTY FOLDER | frames read FOLDER [CONDITION] | frames \
                  pictures | frames empty SEED COUNT"
            .into()),
    }
}

fn write(seed: u64, each: u32, none: u64, folder: &Path) -> Outcome {
    fs::create_dir_all(folder)?;
    let jobs: Vec<(usize, u32)> =
        (0..CONDITIONS.len()).flat_map(|c| (0..each).map(move |n| (c, n))).collect();
    let half = jobs.len().div_ceil(2);
    let mut lines: Vec<String> = std::thread::scope(|scope| {
        let work = |jobs: &[(usize, u32)]| -> Vec<String> {
            jobs.iter().filter_map(|(c, n)| one(seed, *c, *n, folder).ok()).collect()
        };
        let threads: Vec<_> =
            jobs.chunks(half.max(1)).map(|part| scope.spawn(move || work(part))).collect();
        threads.into_iter().filter_map(|t| t.join().ok()).flatten().collect()
    });
    for n in 0..none {
        let name = format!("none-{n:04}.pgm");
        save(&empty(seed.wrapping_mul(1_000_003) + n), &folder.join(&name))?;
        lines.push(
            json!({"file": name, "condition": "none", "severity": 0, "texts": []}).to_string(),
        );
    }
    lines.sort();
    fs::write(folder.join("truth.jsonl"), lines.join("\n") + "\n")?;
    Ok(())
}

fn one(seed: u64, condition: usize, n: u32, folder: &Path) -> std::io::Result<String> {
    let (name, severity) = (CONDITIONS[condition].0, n % SEVERITIES + 1);
    let shot = shot(name, severity, seed.wrapping_mul(1_000_003) + u64::from(n));
    let file = format!("{name}-{n:04}.pgm");
    save(&shot.grey, &folder.join(&file))?;
    let texts: Vec<&String> = shot.written.iter().map(|w| &w.text).collect();
    let corners: Vec<_> = shot.written.iter().map(|w| w.corners).collect();
    let line = json!({
        "file": file, "condition": name, "severity": severity, "texts": texts, "corners": corners,
    });
    Ok(line.to_string())
}

fn save(grey: &GrayImage, file: &Path) -> std::io::Result<()> {
    let mut bytes = format!("P5\n{} {}\n255\n", grey.width(), grey.height()).into_bytes();
    bytes.extend(grey.as_raw());
    fs::write(file, bytes)
}

/// A PGM file as [`save`] writes it.
fn load(file: &Path) -> Option<GrayImage> {
    let bytes = fs::read(file).ok()?;
    let mut parts = bytes.splitn(4, |b| b.is_ascii_whitespace());
    let mut number = || std::str::from_utf8(parts.next()?).ok()?.parse().ok();
    let _kind: Option<u32> = number();
    let (width, height) = (number()?, number()?);
    let luma = parts.next()?.get(4..)?.to_vec();
    GrayImage::from_raw(width, height, luma)
}

fn read(folder: &Path, only: &str) -> Outcome {
    let mut out = std::io::stdout().lock();
    let mut reader = Reader::new();
    for line in fs::read_to_string(folder.join("truth.jsonl"))?.lines() {
        let truth: serde_json::Value = serde_json::from_str(line)?;
        let name = truth["file"].as_str().unwrap_or_default();
        if !name.starts_with(only) {
            continue;
        }
        let grey = load(&folder.join(name)).ok_or(format!("{name} cannot be read"))?;
        let frame = Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width())?;
        // Other programs use the caches as well: of three times the least is ours.
        let (mut ms, mut all, mut next) = (f64::MAX, f64::MAX, [f64::MAX; NEXT]);
        let mut texts = Vec::new();
        for _ in 0..3 {
            reader.forget();
            let start = processor_ms();
            let found = reader.read(&frame);
            ms = ms.min(processor_ms() - start);
            texts = found.iter().map(|f| f.text.clone()).collect();
            for next in &mut next {
                let start = processor_ms();
                std::hint::black_box(reader.read(&frame));
                *next = next.min(processor_ms() - start);
            }
            let start = processor_ms();
            std::hint::black_box(read_frame(&frame));
            all = all.min(processor_ms() - start);
        }
        let next = next.iter().sum::<f64>() / NEXT as f64;
        let line = json!({"file": name, "texts": texts, "ms": ms, "all": all, "next": next});
        writeln!(out, "{line}")?;
    }
    Ok(())
}

/// So many of a film's next frames are read: a reader need not do the same in each.
const NEXT: usize = 12;

/// Reads pictures as files, and takes the time of their frames: the peers have
/// them in memory, too.
fn read_pictures() -> Outcome {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lines() {
        let file = line?;
        let bytes = fs::read(&file)?;
        let found = read_picture(&bytes)?;
        let grey = image::load_from_memory(&bytes)?.into_luma8();
        let frame = Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width())?;
        let mut ms = f64::MAX;
        for _ in 0..3 {
            let start = processor_ms();
            std::hint::black_box(read_frame(&frame));
            ms = ms.min(processor_ms() - start);
        }
        let texts: Vec<&String> = found.iter().map(|f| &f.text).collect();
        writeln!(out, "{}", json!({"file": file, "texts": texts, "ms": ms}))?;
    }
    Ok(())
}

/// What this thread has used of a processor.
fn processor_ms() -> f64 {
    let spent = clock_gettime(ClockId::ThreadCPUTime);
    spent.tv_sec as f64 * 1e3 + spent.tv_nsec as f64 / 1e6
}

/// Reads frames without a tag on two threads, and says how far it is.
fn read_empty(seed: u64, count: u64) -> Outcome {
    let done = AtomicU64::new(0);
    let read = |n: u64| -> Option<String> {
        let grey = empty(seed.wrapping_mul(1_000_003) + n);
        let frame = Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width()).ok()?;
        let mut png = Cursor::new(Vec::new());
        grey.write_to(&mut png, ImageFormat::Png).ok()?;
        let mut found = read_frame(&frame);
        found.extend(read_picture(png.get_ref()).ok()?);
        let so_far = done.fetch_add(1, Ordering::Relaxed) + 1;
        if so_far.is_multiple_of(50) {
            eprint!("\r{so_far} of {count} ");
        }
        Some(found.iter().map(|f| format!("frame {n} says {:?}\n", f.text)).collect())
    };
    let said: Vec<Option<String>> = std::thread::scope(|scope| {
        let half = |odd: u64| (odd..count).step_by(2).map(&read).collect::<Vec<_>>();
        let threads = [0, 1].map(|odd| scope.spawn(move || half(odd)));
        threads.into_iter().filter_map(|t| t.join().ok()).flatten().collect()
    });
    let whole: Vec<&String> = said.iter().flatten().collect();
    let wrong: String = whole.iter().map(|said| said.as_str()).collect();
    eprintln!();
    println!("{} frames without a tag, {} lines read in them", whole.len(), wrong.lines().count());
    let all = u64::try_from(whole.len()).is_ok_and(|n| n == count);
    if wrong.is_empty() && all { Ok(()) } else { Err(wrong.into()) }
}

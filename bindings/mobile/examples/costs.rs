//! What opening, answering and reading a frame cost in Rust, without a border:
//! the other half of `android/companion/costs`.
//!
//! `cargo run --profile phone -p hosewright-mobile --example costs -- STORE KEYS CODE FRAME`
//! where FRAME is a picture of 1280 × 720.

use std::time::Instant;

use hosewright_core::Logbook;
use hosewright_core::device::FolderKeyring;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use hosewright_mobile::{FilmReader, RefusedError};
use rand::SeedableRng;
use rand::rngs::StdRng;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let typed: Vec<String> = std::env::args().skip(1).collect();
    let [store, keys, code, picture] = typed.as_slice() else {
        return Err("name STORE KEYS CODE FRAME".into());
    };
    let moment = Moment {
        today: "2026-06-15".parse()?,
        time: "2026-06-15T12:00:00Z".parse()?,
        by: Label::new("a name", "costs")?,
    };
    let open = || {
        let keys = Box::new(FolderKeyring::new(keys));
        Logbook::open(store.as_ref(), Box::new(StdRng::seed_from_u64(1)), keys)
    };
    let first = Instant::now();
    let logbook = open()?;
    logbook.answer_typed(code, &moment)?;
    println!("first open and answer: {} µs", first.elapsed().as_micros());
    println!("open: {} µs", median(50, || drop(open())));
    println!("answer: {} µs", median(2000, || drop(logbook.answer_typed(code, &moment))));
    let grey = grey(picture)?;
    let film = FilmReader::new();
    println!("texts in the frame: {}", read(&film, &grey)?);
    println!("the next frame: {} µs", median(100, || drop(read(&film, &grey))));
    println!("a first frame: {} µs", median(100, || drop(read(&FilmReader::new(), &grey))));
    let even = vec![128; 1280 * 720];
    let film = FilmReader::new();
    println!("even frame: {} µs", median(100, || drop(read(&film, &even))));
    Ok(())
}

fn read(film: &FilmReader, luma: &[u8]) -> Result<usize, RefusedError> {
    Ok(film.read(luma, 1280, 720, 1280)?.len())
}

/// The bytes of a grey picture (PGM, as `P5 1280 720 255` and a line feed).
fn grey(path: &str) -> Result<Vec<u8>, Box<dyn std::error::Error>> {
    let bytes = std::fs::read(path)?;
    let size = 1280 * 720;
    let from = bytes.len().checked_sub(size).ok_or("the picture is not of 1280 × 720")?;
    Ok(bytes.get(from..).unwrap_or_default().to_vec())
}

fn median(times: usize, work: impl Fn()) -> u128 {
    let mut all: Vec<u128> = (0..times)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_micros()
        })
        .collect();
    all.sort_unstable();
    all.get(times / 2).copied().unwrap_or_default()
}

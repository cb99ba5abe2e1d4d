//! An answer against raw reads of the same rows, and a durable append against
//! a bare insert and commit.

mod fleet;

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use hosewright_core::Logbook;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use rusqlite::Connection;

const SIZES: [u64; 2] = [1_000, 100_000];
/// So many hoses are written to that none gets many entries more while that is measured.
const WRITTEN_TO: u64 = 10_000;

fn open(path: &Path) -> Option<Logbook> {
    Logbook::open(path, Box::new(ChaCha20Rng::seed_from_u64(3)), fleet::keys()).ok()
}

/// The hoses asked about: scattered, so that no page stays in the processor.
fn asked(hoses: u64) -> Vec<u64> {
    (0..997).map(|n| n * 7_919 % hoses).collect()
}

fn answers(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("answer");
    for hoses in SIZES {
        let Some(path) = fleet::signed(hoses) else { continue };
        let (Some(book), Some(moment)) = (open(&path), fleet::moment()) else { continue };
        let codes: Vec<_> = asked(hoses).into_iter().filter_map(fleet::code).collect();
        let mut turn = codes.iter().cycle();
        group.bench_function(format!("answer, {hoses} hoses"), |bencher| {
            bencher.iter(|| {
                black_box(turn.next().map(|code| book.answer(&code.to_string(), &moment)))
            });
        });
        let Ok(raw) = Connection::open(&path) else { continue };
        // A read that fails would be a quick one.
        if codes.iter().any(|code| fleet::raw_reads_of_set(&raw, code.bits()).is_err()) {
            eprintln!("the raw reads fail: nothing to compare with");
            continue;
        }
        let mut turn = codes.iter().cycle();
        group.bench_function(format!("raw reads, {hoses} hoses"), |bencher| {
            bencher.iter(|| {
                black_box(turn.next().map(|code| fleet::raw_reads_of_set(&raw, code.bits())))
            });
        });
        let mut turn = codes.iter().cycle();
        group.bench_function(format!("answer without its set's line, {hoses} hoses"), |bencher| {
            bencher.iter(|| {
                let found = turn.next().map(|code| book.find(&code.to_string()));
                black_box(found.map(|found| book.answer_alone(found?, &moment)))
            });
        });
        let mut turn = codes.iter().cycle();
        group.bench_function(format!("raw reads for that, {hoses} hoses"), |bencher| {
            bencher.iter(|| black_box(turn.next().map(|code| fleet::raw_reads(&raw, code.bits()))));
        });
    }
    group.finish();
}

fn appends(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("append");
    let Some(folder) = fleet::signed(WRITTEN_TO).and_then(|p| Some(p.parent()?.to_owned())) else {
        return;
    };
    let ours = folder.join("append-ours");
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(folder.join(format!("append-ours{ending}")));
        let _ = std::fs::remove_file(folder.join(format!("append-bare{ending}")));
    }
    let _ = std::fs::copy(folder.join(format!("signed-{WRITTEN_TO}")), &ours);
    let (Some(mut book), Some(moment)) = (open(&ours), fleet::moment()) else { return };
    let scattered = (0..WRITTEN_TO).map(|n| n * 7_919 % WRITTEN_TO);
    let codes: Vec<_> = scattered.filter_map(fleet::code).collect();
    let mut turn = codes.iter().cycle();
    group.bench_function("a cleaning, durable", |bencher| {
        bencher.iter(|| turn.next().map(|code| book.clean(*code, None, &moment).is_ok()));
    });
    let Ok(bare) = Connection::open(folder.join("append-bare")) else { return };
    let made = bare.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
         CREATE TABLE entry (number INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT;",
    );
    let body = "x".repeat(250);
    group.bench_function("a bare insert and commit", |bencher| {
        bencher.iter(|| {
            bare.prepare_cached("INSERT INTO entry (body) VALUES (?1)")
                .and_then(|mut insert| insert.execute([&body]))
        });
    });
    drop(made);
    group.finish();
}

criterion_group!(benches, answers, appends);
criterion_main!(benches);

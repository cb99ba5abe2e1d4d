//! Taking in a bundle against a bare insert of the same bytes, and taking it in
//! again.
//!
//! `HOSEWRIGHT_BENCH_HOSES` names the sizes, as `1000,10000`; without it the
//! fleet is of 50,000 hoses, which have a million entries.

mod fleet;

use std::fs::{self, File};
use std::io::BufWriter;
use std::path::{Path, PathBuf};

use criterion::{BatchSize, Criterion, SamplingMode, criterion_group, criterion_main};
use hosewright_core::Logbook;
use hosewright_core::journal::{BundleReader, Part};
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use rusqlite::Connection;

fn sizes() -> Vec<u64> {
    let named = std::env::var("HOSEWRIGHT_BENCH_HOSES").unwrap_or_default();
    let named: Vec<u64> = named.split(',').filter_map(|n| n.trim().parse().ok()).collect();
    if named.is_empty() { vec![50_000] } else { named }
}

fn open(path: &Path) -> Option<Logbook> {
    Logbook::open(path, Box::new(ChaCha20Rng::seed_from_u64(3)), fleet::keys()).ok()
}

/// The bundle of a fleet, made once.
fn bundle(hoses: u64) -> Option<PathBuf> {
    let store = fleet::signed(hoses)?;
    let path = store.with_extension("hwbundle");
    if !path.exists() {
        let mut out = BufWriter::new(File::create(&path).ok()?);
        open(&store)?.bundle(&mut out, None, chrono::NaiveDate::default(), |_| ()).ok()?;
    }
    Some(path)
}

/// A place for a new store.
fn empty(beside: &Path, name: &str) -> PathBuf {
    let path = beside.with_file_name(name);
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(beside.with_file_name(format!("{name}{ending}")));
    }
    path
}

/// The lines of a bundle, as rows of one table, in one transaction.
fn bare(bundle: &Path, into: &Path) -> Option<usize> {
    let mut raw = Connection::open(into).ok()?;
    raw.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
         CREATE TABLE entry (number INTEGER PRIMARY KEY, line TEXT NOT NULL) STRICT;",
    )
    .ok()?;
    let work = raw.transaction().ok()?;
    let mut lines = BundleReader::open(std::io::BufReader::new(File::open(bundle).ok()?)).ok()?;
    let mut rows = 0;
    while let Some(Part::Lines(text)) = lines.next_or_end().ok()? {
        let mut insert = work.prepare_cached("INSERT INTO entry (line) VALUES (?1)").ok()?;
        for line in text.lines() {
            rows += insert.execute([line]).ok()?;
        }
    }
    work.commit().ok()?;
    Some(rows)
}

fn merges(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("merge");
    group.sample_size(10).sampling_mode(SamplingMode::Flat);
    for hoses in sizes() {
        let Some(bundle) = bundle(hoses) else { continue };
        group.bench_function(format!("merge, {hoses} hoses"), |bencher| {
            bencher.iter_batched(
                || open(&empty(&bundle, "merged")),
                |book| {
                    book.map(|mut book| {
                        book.merge(&bundle, chrono::NaiveDate::default(), |_, _| ())
                            .map(|done| done.new)
                    })
                },
                BatchSize::PerIteration,
            );
        });
        let again = open(&bundle.with_file_name("merged"));
        if let Some(mut book) = again {
            group.bench_function(format!("merge again, {hoses} hoses"), |bencher| {
                bencher.iter(|| {
                    book.merge(&bundle, chrono::NaiveDate::default(), |_, _| ())
                        .map(|done| done.known)
                });
            });
        }
        group.bench_function(format!("bare insert, {hoses} hoses"), |bencher| {
            bencher.iter_batched(
                || empty(&bundle, "bare"),
                |path| bare(&bundle, &path),
                BatchSize::PerIteration,
            );
        });
    }
    group.finish();
}

criterion_group!(benches, merges);
criterion_main!(benches);

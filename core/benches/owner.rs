//! An owner's questions against a bare read of the same rows.
//!
//! `HOSEWRIGHT_BENCH_HOSES` names the sizes, as `1000,10000`; without it the
//! fleets are of 1,000 and of 100,000 hoses.

mod fleet;

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use hosewright_core::Logbook;
use hosewright_core::fleet::{Group, Horizon};
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use rusqlite::Connection;

fn sizes() -> Vec<u64> {
    let named = std::env::var("HOSEWRIGHT_BENCH_HOSES").unwrap_or_default();
    let named: Vec<u64> = named.split(',').filter_map(|n| n.trim().parse().ok()).collect();
    if named.is_empty() { vec![1_000, 100_000] } else { named }
}

fn open(path: &Path) -> Option<Logbook> {
    Logbook::open(path, Box::new(ChaCha20Rng::seed_from_u64(3)), fleet::keys()).ok()
}

type Question = fn(&Logbook, &Moment) -> Option<usize>;

const QUESTIONS: &[(&str, Question)] = &[
    ("due", |book, moment| Some(book.due(Horizon::default(), moment).ok()?.rows.len())),
    ("order", |book, moment| Some(book.order(Horizon::default(), moment).ok()?.to_buy)),
    ("ages", |book, moment| Some(book.ages(moment).ok()?.from_made.years.len())),
    ("survival", |book, moment| Some(book.survival(Some(Group::Lot), moment).ok()?.groups.len())),
    ("recall", |book, moment| {
        let lot = Label::new("a lot", "L17").ok()?;
        Some(book.lot(&lot, None, moment).ok()?.hoses.len())
    }),
];

/// Every row that the questions read, as text.
fn bare(raw: &Connection) -> rusqlite::Result<usize> {
    let mut read = 0;
    for sql in ["SELECT record FROM hose ORDER BY hose", "SELECT record FROM regulator_set"] {
        let mut statement = raw.prepare_cached(sql)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            read += row.get_ref(0)?.as_str()?.len();
        }
    }
    Ok(read)
}

fn questions(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("owner");
    group.sample_size(10);
    for hoses in sizes() {
        let Some(path) = fleet::store(hoses) else { continue };
        let (Some(book), Some(moment)) = (open(&path), fleet::moment()) else { continue };
        for (name, question) in QUESTIONS {
            group.bench_function(format!("{name}, {hoses} hoses"), |bencher| {
                bencher.iter(|| black_box(question(&book, &moment)));
            });
        }
        let Ok(raw) = Connection::open(&path) else { continue };
        group.bench_function(format!("bare read, {hoses} hoses"), |bencher| {
            bencher.iter(|| black_box(bare(&raw)));
        });
    }
    group.finish();
}

criterion_group!(benches, questions);
criterion_main!(benches);

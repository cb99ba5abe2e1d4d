//! An owner's questions, lists by every filter, and looking for a hose, against SQL
//! that reads the rows that are printed; and the same straight after a write.
//!
//! `HOSEWRIGHT_BENCH_HOSES` names the sizes, as `1000,10000`; without it the
//! fleets are of 1,000 and of 100,000 hoses.

mod fleet;

use std::hint::black_box;
use std::path::Path;

use chrono::Datelike;
use criterion::{Criterion, criterion_group, criterion_main};
use hosewright_core::fleet::{Group, Horizon};
use hosewright_core::hose::{Label, Service};
use hosewright_core::index::{Filter, Location, Sort};
use hosewright_core::inspection::Verdict;
use hosewright_core::journal::Moment;
use hosewright_core::policy::{Change, Scope};
use hosewright_core::tag::Code;
use hosewright_core::{Logbook, Page};
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
    ("due, first 50", |book, moment| {
        let page = Page { from: 0, most: 50 };
        Some(book.due_page(Horizon::default(), &Filter::default(), &page, moment).ok()?.rows.len())
    }),
    ("counts by verdict", |book, moment| Some(book.counts(moment).ok()?.len())),
    ("list", |book, moment| list(book, moment, Sort::Number, |_| ())),
    ("list hold, by due", |book, moment| {
        list(book, moment, Sort::Due, |filter| filter.verdict = Some(Verdict::Hold))
    }),
    ("list watch, by age", |book, moment| {
        list(book, moment, Sort::Age, |filter| filter.verdict = Some(Verdict::Watch))
    }),
    ("list of a service, by set", |book, moment| {
        list(book, moment, Sort::Set, |filter| filter.service = Some(Service::SecondStage))
    }),
    ("list of a place", |book, moment| {
        list(book, moment, Sort::Number, |filter| filter.location = Some(Location::Set))
    }),
    ("list of a maker, held, by due", |book, moment| {
        list(book, moment, Sort::Due, |filter| {
            filter.maker = Label::new("a maker", "kelp-line").ok();
            filter.verdict = Some(Verdict::Hold);
        })
    }),
    ("list of a lot", |book, moment| {
        list(book, moment, Sort::Number, |filter| filter.lot = Label::new("a lot", "L17").ok())
    }),
    ("list due within 60 days", |book, moment| {
        list(book, moment, Sort::Due, |filter| {
            filter.due_by = "60d".parse().ok().map(|h: Horizon| h.until(moment.today));
        })
    }),
    ("list not looked at for long", |book, moment| {
        list(book, moment, Sort::Age, |filter| filter.looked_before = Some(moment.today))
    }),
    ("list of a place and a service, watch, by age", |book, moment| {
        list(book, moment, Sort::Age, |filter| {
            filter.location = Some(Location::Set);
            filter.service = Some(Service::SecondStage);
            filter.verdict = Some(Verdict::Watch);
        })
    }),
    ("list of a maker and a place, held and due, by set", |book, moment| {
        list(book, moment, Sort::Set, |filter| {
            filter.maker = Label::new("a maker", "kelp-line").ok();
            filter.location = Some(Location::Set);
            filter.verdict = Some(Verdict::Hold);
            filter.due_by = Some(moment.today);
        })
    }),
    ("due of a maker, first 50", |book, moment| {
        let page = Page { from: 0, most: 50 };
        let maker = Label::new("a maker", "kelp-line").ok();
        let filter = Filter { maker, ..Filter::default() };
        Some(book.due_page(Horizon::default(), &filter, &page, moment).ok()?.rows.len())
    }),
    ("find a lot and a maker", |book, moment| find(book, moment, "kelp line l17")),
    ("find what many have", |book, moment| find(book, moment, "rubber")),
    ("find a set", |book, moment| find(book, moment, "set 000 123")),
    ("find with a slip", |book, moment| find(book, moment, "set 00a123 kelplnie")),
    ("find what nobody has", |book, moment| find(book, moment, "flamingo")),
    ("order", |book, moment| Some(book.order(Horizon::default(), moment).ok()?.to_buy)),
    ("ages", |book, moment| Some(book.ages(moment).ok()?.from_made.years.len())),
    ("survival", |book, moment| Some(book.survival(Some(Group::Lot), moment).ok()?.groups.len())),
    ("what other limits would change", |book, moment| {
        let change = Change::new(Some(48), None, None, None).ok()?;
        let tried = book.try_limits(Scope::default(), change, moment, |_, _| ());
        Some(tried.ok()?.changed.len())
    }),
    ("recall", |book, moment| {
        let lot = Label::new("a lot", "L17").ok()?;
        Some(book.lot(&lot, None, moment).ok()?.hoses.len())
    }),
];

fn list(
    book: &Logbook,
    moment: &Moment,
    sort: Sort,
    change: impl FnOnce(&mut Filter),
) -> Option<usize> {
    let mut filter = Filter::default();
    change(&mut filter);
    let page = Page { from: 0, most: 50 };
    Some(book.list(&filter, sort, &page, moment).ok()?.rows.len())
}

/// The tags of the first fifty of the list by what is due.
fn shown(book: &Logbook, moment: &Moment) -> Vec<Code> {
    let page = Page { from: 0, most: 50 };
    let listed = book.list(&Filter::default(), Sort::Due, &page, moment);
    let rows = listed.map(|listed| listed.rows).unwrap_or_default();
    rows.iter().map(|row| row.code).collect()
}

fn find(book: &Logbook, moment: &Moment, text: &str) -> Option<usize> {
    Some(book.look_for(text, 50, moment).ok()?.len())
}

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

/// The fifty hoses that a list shows, each as an answer reads it.
fn bare_page(raw: &Connection, shown: &[Code]) -> rusqlite::Result<usize> {
    shown.iter().map(|code| fleet::raw_reads(raw, code.bits())).sum()
}

/// The list by a place, a service and a verdict, as SQL has it: the count, and the fifty.
fn bare_counted(raw: &Connection, shown: &[Code]) -> rusqlite::Result<usize> {
    let sql = "SELECT count(*) FROM hose_row WHERE location = 'set'
               AND service = 'second-stage' AND watch_from <= ?1 AND hold_from > ?1";
    let today = i64::from(fleet::today().num_days_from_ce());
    let count: usize = raw.prepare_cached(sql)?.query_row([today], |row| row.get(0))?;
    Ok(count + bare_page(raw, shown)?)
}

fn questions(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("owner");
    group.sample_size(10);
    for hoses in sizes() {
        let Some(path) = fleet::signed(hoses) else { continue };
        let (Some(book), Some(moment)) = (open(&path), fleet::moment()) else { continue };
        for (name, question) in QUESTIONS {
            group.bench_function(format!("{name}, {hoses} hoses"), |bencher| {
                bencher.iter(|| black_box(question(&book, &moment)));
            });
        }
        // Straight after a write nothing is older than the record.
        let Some(mut book) = open(&path) else { continue };
        let mut number = 0;
        group.bench_function(
            format!("a write, then counts and a list, {hoses} hoses"),
            |bencher| {
                bencher.iter(|| {
                    number = (number + 7919) % hoses;
                    let written = fleet::code(number).map(|code| book.clean(code, None, &moment));
                    let listed =
                        list(&book, &moment, Sort::Due, |f| f.verdict = Some(Verdict::Hold));
                    black_box((written.is_some(), book.counts(&moment).is_ok(), listed))
                });
            },
        );
        let Ok(raw) = Connection::open(&path) else { continue };
        let shown = shown(&book, &moment);
        // A read that fails would be a quick one.
        if bare_page(&raw, &shown).is_err() || shown.len() < 50 {
            eprintln!("the bare reads fail: nothing to compare with");
            continue;
        }
        group.bench_function(format!("bare read of all, {hoses} hoses"), |bencher| {
            bencher.iter(|| black_box(bare(&raw)));
        });
        group.bench_function(format!("bare read of 50, {hoses} hoses"), |bencher| {
            bencher.iter(|| black_box(bare_page(&raw, &shown)));
        });
        let name = "bare count by a place, a service and a verdict, and read of 50";
        group.bench_function(format!("{name}, {hoses} hoses"), |bencher| {
            bencher.iter(|| black_box(bare_counted(&raw, &shown)));
        });
    }
    group.finish();
}

criterion_group!(benches, questions);
criterion_main!(benches);

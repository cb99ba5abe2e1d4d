//! SQLite's plan of each question: no table that grows with the fleet is gone through.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::*;
use crate::event::SetId;
use crate::hose::{Label, Service};
use crate::index::Location;
use crate::index::due::{CONDEMNED, due_between, due_today, of_which};
use crate::index::fleet::{AGES, LIVES};
use crate::journal::Stamp;
use crate::story::{code, day, label};

pub(in crate::index) fn store() -> (tempfile::TempDir, Connection) {
    let folder = tempfile::tempdir().unwrap_or_else(|e| unreachable!("{e}"));
    let store = crate::journal::open(&folder.path().join("store"));
    (folder, store.unwrap_or_else(|e| unreachable!("{e}")))
}

/// What SQLite would do.
pub(in crate::index) fn plan(store: &Connection, sql: &str) -> Vec<String> {
    let mut statement = store
        .prepare(&format!("EXPLAIN QUERY PLAN {sql}"))
        .unwrap_or_else(|e| unreachable!("{e}: {sql}"));
    let none = vec![Value::Integer(1); statement.parameter_count()];
    let lines = statement.query_map(params_from_iter(none), |row| row.get(3));
    lines.and_then(Iterator::collect).unwrap_or_else(|e| unreachable!("{e}: {sql}"))
}

fn quiet() -> Whole {
    Whole { clock_odd: false, old_for_rental: false, old_for_personal: false, gap: None }
}

fn days_asked() -> [Day; 3] {
    let today = day("2026-06-15");
    let old = Whole { old_for_rental: true, ..quiet() };
    let gap = Whole { gap: Some(Stamp(5, 0)), ..quiet() };
    [quiet(), old, gap].map(|whole| Day { today, whole })
}

fn filters() -> Vec<Filter> {
    let all = Filter::default;
    let label = |text: &str| -> Option<Label> { Some(label(text)) };
    let on: Option<NaiveDate> = Some(day("2026-01-01"));
    let mut rows = vec![
        Filter { service: Some(Service::Gauge), ..all() },
        Filter { set: Some(SetId::new(code(1))), ..all() },
        Filter { location: Some(Location::Stock), ..all() },
        Filter { maker: label("Kelpline"), ..all() },
        Filter { lot: label("L-1"), ..all() },
        Filter { branch: label("Harbour"), ..all() },
        Filter { due_by: on, ..all() },
        Filter { looked_before: on, ..all() },
        Filter { service: Some(Service::Gauge), location: Some(Location::Out), ..all() },
        Filter { maker: label("Kelpline"), lot: label("L-1"), ..all() },
    ];
    let by_verdict = rows.iter().cloned().chain([all()]).flat_map(|filter| {
        Verdict::ALL.iter().map(move |v| Filter { verdict: Some(*v), ..filter.clone() })
    });
    let by_verdict: Vec<Filter> = by_verdict.collect();
    rows.extend(by_verdict);
    rows
}

#[test]
fn a_list_is_found_or_gone_through_in_its_order() {
    let (_folder, store) = store();
    for day in days_asked() {
        for filter in filters() {
            let found = Query::of(&filter, &day, None);
            for sql in [found.count(), found.page(Sort::Number)] {
                let plan = plan(&store, &sql);
                let searched = plan.iter().all(|line| !line.starts_with("SCAN"));
                assert!(searched, "{filter:?}: {plan:?}");
            }
        }
        for filter in filters().iter().chain([&Filter::default()]) {
            for sort in Sort::ALL {
                let plan = plan(&store, &Query::of(filter, &day, Some(*sort)).page(*sort));
                // Until there are enough rows: an index gives the order.
                assert!(
                    plan.first().is_some_and(|line| line.contains(sort.index()))
                        && plan.iter().all(|line| !line.contains("TEMP B-TREE")),
                    "{filter:?} {sort}: {plan:?}"
                );
                // What holds for each row is found by its hose.
                let own = plan.iter().filter(|line| line.contains(" s "));
                assert!(own.clone().all(|line| line.contains("(hose=?")), "{plan:?}");
            }
        }
    }
}

#[test]
fn other_questions_search_indexes() {
    let (_folder, store) = store();
    let due = [true, false].into_iter().flat_map(|settled| {
        filters().into_iter().chain([Filter::default()]).flat_map(move |filter| {
            let holds = of_which(&filter, settled);
            [due_between("count(*)", &holds), due_between("d.hose", &holds), due_today(&holds)]
        })
    });
    let fixed = [UNSETTLED, SUM, OF_CODE, CONDEMNED, AGES, LIVES].map(str::to_owned);
    for sql in fixed.into_iter().chain(due) {
        let plan = plan(&store, &sql);
        // One index holds nothing but what finding retired.
        let few = |line: &String| line.ends_with("USING INDEX row_condemned");
        let searched = plan.iter().all(|line| !line.starts_with("SCAN") || few(line));
        assert!(searched, "{sql}: {plan:?}");
    }
}

//! SQLite's plan of each question: no table that grows with the fleet is gone through.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::*;
use crate::event::SetId;
use crate::hose::{Label, Service};
use crate::index::Location;
use crate::index::due::{CONDEMNED, DUE_OF_ONE, DUE_SUM, DUE_TODAY, due_between, due_in_order};
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

/// A search of an index; or the one index is gone through that has all that is asked, so
/// that no row is read.
fn is_quick(plan: &[String]) -> bool {
    let through = |line: &String| line.ends_with("USING COVERING INDEX row_filter");
    plan.iter().all(|line| !line.starts_with("SCAN") || through(line))
}

#[test]
fn a_list_is_found_or_gone_through_in_its_order() {
    let (_folder, store) = store();
    for day in days_asked() {
        for filter in filters() {
            let query = Query::of(&filter, &day);
            let ways = query.holds.iter().map(|holds| Way::By(holds.index));
            for way in ways.chain(query.whole.map(Way::By)) {
                for sql in [query.count(way), query.page(way, Sort::Number)] {
                    let plan = plan(&store, &sql);
                    assert!(
                        plan.iter()
                            .all(|line| line.starts_with("SEARCH") || line.contains("TEMP B-TREE")),
                        "{filter:?}: {plan:?}"
                    );
                }
            }
            // What is counted by many rows reads none of them.
            let counted = query.count(query.whole.map_or(Way::Through, Way::By));
            let plan = plan(&store, &counted);
            let covers = plan.iter().all(|line| line.contains("COVERING INDEX"));
            assert!(is_quick(&plan) && covers, "{filter:?}: {plan:?}");
            let holds = query.holds.iter().map(|holds| some(&holds.by, holds.index));
            for sql in holds.chain([query.ahead()]) {
                let plan = self::plan(&store, &sql);
                let few = |line: &String| line.starts_with("SEARCH") || line.starts_with("SCAN (");
                let few = |line: &String| few(line) || line.starts_with("CO-ROUTINE");
                assert!(plan.iter().all(few), "{filter:?}: {sql}: {plan:?}");
            }
        }
        for filter in filters().iter().chain([&Filter::default()]) {
            let query = Query::of(filter, &day);
            for sort in Sort::ALL {
                let plan = plan(&store, &query.page(Way::InOrder(*sort), *sort));
                // Until there are enough rows: an index gives the order.
                assert!(
                    plan.len() == 1 && plan.iter().all(|line| line.contains(sort.index())),
                    "{filter:?} {sort}: {plan:?}"
                );
            }
        }
    }
}

#[test]
fn other_questions_search_indexes() {
    let (_folder, store) = store();
    let fixed = [UNSETTLED, AHEAD, SUM, OF_CODE, CONDEMNED, AGES, LIVES, DUE_TODAY];
    let fixed = fixed.into_iter().chain([DUE_SUM, DUE_OF_ONE]).map(str::to_owned);
    let due = [due_between("d.hose"), due_in_order()];
    for sql in fixed.chain(due) {
        let plan = plan(&store, &sql);
        // One index holds nothing but what finding retired.
        let few = |line: &String| line.ends_with("USING INDEX row_condemned");
        let searched = plan.iter().all(|line| !line.starts_with("SCAN") || few(line));
        assert!(searched, "{sql}: {plan:?}");
    }
}

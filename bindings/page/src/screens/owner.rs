//! An owner's questions: what is due, what to order, how old the fleet is.

use std::collections::BTreeSet;

use hosewright_core::fleet::{AgeCount, AgeProfile};
use hosewright_core::hose::Service;
use hosewright_core::words::{calendar, staff};
use maud::html;

use crate::charts;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// The questions.
pub fn doors(state: &State<'_>) -> Shown {
    let doors = [
        ("/owner/due", l::DUE_TITLE, l::DUE_LEAD),
        ("/owner/calendar", calendar::TITLE, calendar::LEAD),
        ("/owner/order", l::ORDER_TITLE, l::ORDER_LEAD),
        ("/owner/ages", l::AGES_TITLE, l::AGES_LEAD),
        ("/owner/survival", l::SURVIVAL_TITLE, l::SURVIVAL_LEAD),
        ("/owner/recall", l::RECALL_TITLE, l::RECALL_LEAD),
        ("/owner/limits", l::LIMITS_TITLE, l::LIMITS_LEAD),
        ("/owner/history", l::FLEET_HISTORY_TITLE, l::FLEET_HISTORY_LEAD),
        ("/owner/meet", l::MEET_TITLE, l::MEET_LEAD),
        ("/owner/record", l::RECORD_TITLE, l::RECORD_LEAD),
        ("/owner/staff", staff::TITLE, l::STAFF_LEAD),
        ("/owner/devices", l::DEVICES_TITLE, l::DEVICES_LEAD),
    ];
    let body = html! {
        h1 { (l::OWNER_TITLE) }
        ul.doors { @for (to, name, what) in doors { li { a href=(to) { b { (name) } span { (what) } } } } }
    };
    Ok(Screen::new(l::OWNER_TITLE, body).shown(state))
}

/// How old the fleet is: from made and in service, as bars and as a table.
pub fn ages(state: &State<'_>) -> Shown {
    let ages = state.read(|logbook, moment| Ok(logbook.ages(moment)?))?;
    let head = vec![l::AGES_YEARS, l::AGES_MADE, l::AGES_SERVICE];
    let sheet = Sheet::new("ages", head, age_rows(&ages.from_made, &ages.in_service));
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::AGES_TITLE) }
        div.charts {
            (charts::bars(l::AGES_CHART_MADE, &bars(&ages.from_made))?)
            (charts::bars(l::AGES_CHART_SERVICE, &bars(&ages.in_service))?)
        }
        (sheet.drawn(state))
        p { (l::AGES_RETIRED) " " (ages.retired) "." }
    };
    Ok(Screen::new(l::AGES_TITLE, body).shown(state))
}

fn bars(profile: &AgeProfile) -> Vec<(String, u32)> {
    let last = profile.years.keys().next_back().copied().unwrap_or(0);
    let of = |year: u32| profile.years.get(&year).map_or(0, |count| count.total);
    let known = (0..=last).map(|year| (year.to_string(), of(year)));
    let unknown = (profile.unknown.total > 0).then(|| ("?".to_owned(), profile.unknown.total));
    known.chain(unknown).collect()
}

fn age_rows(made: &AgeProfile, service: &AgeProfile) -> Vec<Vec<Cell>> {
    let none = AgeCount::default();
    let years: BTreeSet<u32> = made.years.keys().chain(service.years.keys()).copied().collect();
    let row = |name: String, made: &AgeCount, service: &AgeCount| {
        vec![Cell::Text(name), Cell::Text(counts(made)), Cell::Text(counts(service))]
    };
    let of = |profile: &AgeProfile, year: u32| profile.years.get(&year).unwrap_or(&none).clone();
    let mut rows: Vec<Vec<Cell>> =
        years.iter().map(|y| row(y.to_string(), &of(made, *y), &of(service, *y))).collect();
    let unknown = format!("{} / {}", l::AGES_UNKNOWN, l::AGES_NEVER);
    rows.push(row(unknown, &made.unknown, &service.unknown));
    rows.push(row(l::AGES_ALL.to_owned(), &made.total, &service.total));
    rows
}

/// `5 (second-stage 3, gauge 2)`.
fn counts(count: &AgeCount) -> String {
    let each = Service::ALL.iter().map(|service| (service, count.of(*service)));
    let each: Vec<String> =
        each.filter(|(_, n)| *n > 0).map(|(service, n)| format!("{service} {n}")).collect();
    match each.is_empty() {
        true => count.total.to_string(),
        false => format!("{} ({})", count.total, each.join(", ")),
    }
}

//! A shop's own list of hoses: what would be registered, what its columns are, and the
//! registering.

use chrono::NaiveDate;
use hosewright_core::policy::Use;
use hosewright_core::spreadsheet::{
    Column, Matched, Refused, Repeated, Row, Sheet as List, SheetError, read_sheet_as,
};
use hosewright_core::view::form::Field;
use hosewright_core::words::{self, sentence};
use hosewright_core::{NamedSet, SheetReport, Taking};
use maud::{Markup, html};

use super::sets::to;
use crate::fields::{Fields, query};
use crate::form::save;
use crate::frame::Screen;
use crate::host::Waiting;
use crate::labels as l;
use crate::parts::link;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// The most bytes of a list, which is read at once.
const MOST_LIST: u64 = 4 * 1024 * 1024;
/// The most lines of a kind that are shown.
const SHOWN: usize = 200;

/// Takes a list as far as its plan.
pub fn send(state: &State<'_>) -> Shown {
    let file = state.upload()?;
    if file.length()? > MOST_LIST {
        return Err(Refusal::TooLarge("4 MB of a list; save it in parts"));
    }
    let key = state.host.keep(Waiting::List, file.clone())?;
    // Refused at once where it is not a list at all.
    let today = state.read(|_, moment| Ok(moment.today))?;
    drop(read(&waiting(state, &key)?, &[], today)?);
    Ok(redirect(&format!("/owner/record/list?{}", query([("list", key.as_str())]))))
}

/// A list that waits for a yes.
fn waiting(state: &State<'_>, key: &str) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    state.host.kept(Waiting::List, key)?.open()?.read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A list as it was read, or the headings that are to be matched before it can be.
fn read(
    bytes: &[u8],
    matched: &[Matched],
    today: NaiveDate,
) -> Result<Result<List, (SheetError, Vec<String>)>, Refusal> {
    match read_sheet_as(bytes, matched, today) {
        Ok(list) => Ok(Ok(list)),
        Err(SheetError::NoHeads { heads, to_match }) if to_match.len() > 1 => {
            let open = to_match.clone();
            Ok(Err((SheetError::NoHeads { heads, to_match }, open)))
        }
        Err(error) => Err(Refusal::at("file", error)),
    }
}

/// The columns that were matched by hand.
fn matched(fields: &Fields) -> Result<Vec<Matched>, Refusal> {
    let all = fields.all("match").into_iter();
    all.map(|text| text.parse()).collect::<Result<_, _>>().map_err(|e| Refusal::at("match", e))
}

/// What would be registered, before anything is.
pub fn plan(state: &State<'_>) -> Shown {
    let asked = &state.request.query;
    let Some(key) = asked.given("list").map(ToOwned::to_owned) else {
        return Ok(redirect("/owner/record"));
    };
    let (bytes, matched) = (waiting(state, &key)?, matched(asked)?);
    let read = state.write(|logbook, moment| {
        let list = match read(&bytes, &matched, moment.today)? {
            Ok(list) => list,
            Err(open) => return Ok(Err(open)),
        };
        let report = logbook.plan_sheet(&list, None, moment)?;
        Ok(Ok((list, report)))
    })?;
    let (list, report) = match read {
        Ok(read) => read,
        Err((error, open)) => {
            let body = html! {
                h1 { (l::PLAN_TITLE) }
                p.result { b { (l::PLAN_NOTHING) } " " (sentence(&error.to_string())) }
                (matching(&key, &open, &matched))
                p { a.button href="/owner/record" { (l::RECORD_BACK) } }
            };
            return Ok(Screen::new(l::PLAN_TITLE, body).shown(state));
        }
    };
    let sheet = rows(&list.rows, &report);
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::PLAN_TITLE) }
        p.result { b { (sentence(&report.planned_in_words())) } " " (l::PLAN_NOTHING) }
        @if let Some(words) = report.brought_in_words() { p { (words) } }
        (left(&report))
        (matching(&key, &list.to_match, &matched))
        @if !sheet.is_empty() {
            (sheet.drawn(state))
            @let form = state.form("/owner/record/list/take");
            (form.drawn(html! {
                input type="hidden" name="list" value=(key);
                @for Matched { head, column } in &matched {
                    input type="hidden" name="match" value={ (head) "=" (column) };
                }
                @if !report.whole() { input type="hidden" name="partial" value="yes"; }
                @if !report.sets.is_empty() {
                    h2 { (l::PLAN_SETS) " (" (report.sets.len()) ")" }
                    ul.list {
                        @for set in report.sets.iter().take(SHOWN) { li { b { (set.name) } " " (set.ports) } }
                    }
                    (form.field(&make_sets()))
                }
                (save(if report.whole() { l::PLAN_GO } else { l::PLAN_GO_PARTIAL }))
            }))
        }
        p { a.button href="/owner/record" { (l::RECORD_BACK) } }
    };
    Ok(Screen::new(l::PLAN_TITLE, body).shown(state))
}

/// Whether the sets that a list names are made, and who dives with them; they are not
/// unless someone says so.
fn make_sets() -> Field {
    let uses = [
        ("", l::PLAN_SETS_NO),
        (Use::Rental.word(), l::PLAN_SETS_RENTAL),
        (Use::Personal.word(), l::PLAN_SETS_PERSONAL),
    ];
    Field::choice("make_sets", words::brought::MAKE_SETS, uses)
}

/// The columns that are not understood, or were matched by hand, each with what it can be.
fn matching(key: &str, to_match: &[String], matched: &[Matched]) -> Markup {
    let by_hand = matched.iter().map(|matched| matched.head.as_str());
    let open = to_match.iter().map(String::as_str);
    let open = open.filter(|head| !matched.iter().any(|matched| matched.is_of(head)));
    let heads: Vec<&str> = by_hand.chain(open).collect();
    let is_matched = |head: &str, column: Column| {
        matched.iter().any(|matched| matched.is_of(head) && matched.column == column)
    };
    html! {
        @if !heads.is_empty() {
            form.card action="/owner/record/list" method="get" {
                h2 { (l::PLAN_MATCH) }
                p { (l::PLAN_MATCH_LEAD) }
                input type="hidden" name="list" value=(key);
                @for (at, head) in heads.iter().enumerate() {
                    p.field {
                        label for={ "match-" (at) } { (head) }
                        select id={ "match-" (at) } name="match" {
                            option value="" { (l::PLAN_MATCH_NONE) }
                            @for column in Column::offered() {
                                option value={ (head) "=" (column) } selected[is_matched(head, column)] {
                                    (column.label())
                                }
                            }
                        }
                    }
                }
                p { button type="submit" { (l::PLAN_MATCH_GO) } }
            }
        }
    }
}

/// The rows that would be registered.
fn rows(rows: &[Row], report: &SheetReport) -> Sheet<'static> {
    let good = |row: &&Row| report.taken.iter().any(|taken| taken.line == row.line);
    let rows = rows.iter().filter(good).map(|row| {
        let place = row.place.as_ref().map(|place| match &place.port {
            Ok(port) => format!("{}, {port}", place.set),
            Err(_) => place.set.to_string(),
        });
        vec![
            Cell::text(row.line),
            Cell::text(words::hose_briefly(Some(&row.registration.specification))),
            Cell::text(
                row.registration.origin.lot.as_ref().map(ToString::to_string).unwrap_or_default(),
            ),
            Cell::text(
                row.registration.origin.made.map(|made| made.to_string()).unwrap_or_default(),
            ),
            Cell::text(row.number.as_ref().map(ToString::to_string).unwrap_or_default()),
            Cell::text(place.unwrap_or_default()),
            Cell::text(row.before.in_words()),
        ]
    });
    let head = vec![
        l::RECORD_LINE,
        l::HOSE,
        l::LOT_SHORT,
        l::MADE,
        l::PLAN_NUMBER,
        l::WHERE,
        l::PLAN_BEFORE,
    ];
    Sheet::new("plan", head, rows.collect())
}

/// What is not taken as it is in the list, and why.
fn left(report: &SheetReport) -> Markup {
    let said = |title: &str, rows: Vec<(usize, &str)>| {
        html! {
            @if !rows.is_empty() {
                h2 { (title) " (" (rows.len()) ")" }
                ul.list {
                    @for (line, why) in rows.iter().take(SHOWN) {
                        li { b { (l::RECORD_LINE) " " (line) } " " (why) }
                    }
                }
            }
        }
    };
    let refused = |rows: &'_ [Refused]| -> Vec<(usize, String)> {
        rows.iter().map(|row| (row.line, row.reason.clone())).collect()
    };
    let repeated = |row: &Repeated| (row.line, row.reason.clone());
    let lists = [
        (l::PLAN_REFUSED, refused(&report.refused)),
        (l::PLAN_REPEATED, report.repeated.iter().map(repeated).collect()),
        (l::PLAN_STOCK, refused(&report.unplaced)),
    ];
    html! {
        @if !report.already.is_empty() {
            h2 { (l::PLAN_ALREADY) " (" (report.already.len()) ")" }
            p { (l::PLAN_ALREADY_LEAD) }
            ul.list {
                @for row in report.already.iter().take(SHOWN) {
                    li { b { (l::RECORD_LINE) " " (row.line) } " " (link(row.code)) }
                }
            }
        }
        @for (title, rows) in &lists {
            (said(title, rows.iter().map(|(line, why)| (*line, why.as_str())).collect()))
        }
        @if !report.assumed.is_empty() {
            h2 { (l::PLAN_ASSUMED) }
            ul.list {
                @for assumed in &report.assumed {
                    li { (assumed.in_words()) }
                }
            }
        }
        @if !report.ignored_columns.is_empty() {
            p { (l::PLAN_IGNORED) " " (report.ignored_columns.join(", ")) "." }
        }
    }
}

/// Registers what the plan said.
pub fn take(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let key = fields.get("list").to_owned();
    let partial = fields.ticked("partial");
    let (list, matched) = (waiting(state, &key)?, matched(fields)?);
    let make_sets: Option<Use> = fields.parsed("make_sets")?;
    let report = state.write(|logbook, moment| {
        let sheet = read_sheet_as(&list, &matched, moment.today).map_err(Refusal::bad)?;
        // One writes after the other: said yes to twice, it is taken once.
        state.host.kept(Waiting::List, &key)?;
        let report = logbook.import_sheet(&sheet, Taking { partial, make_sets }, moment)?;
        if report.taken.is_empty() {
            return Err(Refusal::bad(sentence(&report.done_in_words())));
        }
        state.host.done(Waiting::List, &key);
        Ok(report)
    })?;
    let first = report.taken.first().map(|taken| taken.code.to_string()).unwrap_or_default();
    let print = query([("with", first.as_str())]);
    let made: Vec<&NamedSet> = report.sets.iter().filter(|set| set.code.is_some()).collect();
    let body = html! {
        h1 { (l::PLAN_TAKEN) }
        p.written role="status" { (sentence(&report.done_in_words())) }
        @if let Some(words) = report.brought_in_words() { p { (words) } }
        p.thumb { a.button.main href={ "/tags?" (print) } { (l::PLAN_TAGS) } }
        (left(&report))
        @if !made.is_empty() {
            h2 { (l::PLAN_SETS_MADE) " (" (made.len()) ")" }
            ul.list {
                @for set in made.iter().take(SHOWN) {
                    li { a href=(to(&set.name, "")) { b { (set.name) } } " " (set.ports) }
                }
            }
        }
        table {
            caption.spoken { (l::PLAN_TAKEN) }
            thead { tr { th scope="col" { (l::RECORD_LINE) } th scope="col" { (l::PLAN_TAG) } } }
            tbody {
                @for taken in report.taken.iter().take(SHOWN) {
                    tr {
                        td data-head=(l::RECORD_LINE) { div { (taken.line) } }
                        td data-head=(l::PLAN_TAG) { div { (link(taken.code)) } }
                    }
                }
            }
        }
        p.under { a.button href="/hoses" { (l::HOSES_TITLE) } a.button href="/owner/record" { (l::RECORD_BACK) } }
    };
    Ok(Screen::new(l::PLAN_TAKEN, body).shown(state))
}

//! The record in and out: a shop's own list, what other devices wrote, and the
//! whole of it as a file.

use std::sync::Arc;

use hosewright_core::SheetReport;
use hosewright_core::spreadsheet::{Refused, Repeated, Row, read_sheet};
use hosewright_core::words;
use maud::{Markup, html};

use super::bringing::nameless;
use crate::fields::query;
use crate::form::save;
use crate::frame::Screen;
use crate::host::{Upload, Waiting};
use crate::labels as l;
use crate::parts::link;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;
use hosewright_core::words::sentence;

/// The most bytes of a list, which is read at once.
const MOST_LIST: u64 = 4 * 1024 * 1024;
/// The most lines of a kind that are shown.
const SHOWN: usize = 200;

/// What can be taken in, and away.
pub fn show(state: &State<'_>) -> Shown {
    let upload = |to: &str, accept: &str, id: &str, partial: bool, go: &str| {
        html! {
            @let form = state.form(to).with_files();
            (form.drawn(html! {
                @if partial { (form.tick("partial", l::RECORD_PARTIAL, false)) }
                p.field {
                    label for=(id) { (l::RECORD_FILE) }
                    input type="file" id=(id) name="file" accept=(accept) required;
                }
                p { button.main type="submit" { (go) } }
            }))
        }
    };
    let body = html! {
        h1 { (l::RECORD_TITLE) }
        section.card {
            h2 { (l::RECORD_LIST) }
            p { (l::RECORD_LIST_LEAD) }
            (upload("/owner/record/list", ".csv,.txt,.tsv,text/csv,text/plain", "list", false, l::RECORD_LIST_GO))
        }
        section.card {
            h2 { (l::RECORD_ENTRIES) }
            p { (l::RECORD_ENTRIES_LEAD) }
            (upload("/owner/record/entries", ".hwbundle,.jsonl", "entries", true, l::RECORD_ENTRIES_GO))
        }
        section.card {
            h2 { (l::RECORD_OUT) }
            p { (l::RECORD_OUT_LEAD) }
            p.under {
                a.button href="/owner/record/bundle.hwbundle" { (l::RECORD_BUNDLE) }
                a.button href="/owner/record/export.jsonl" { (l::RECORD_EXPORT) }
            }
            p { (l::RECORD_SINCE_LEAD) }
            (upload("/owner/record/since", ".hwbundle", "since", false, l::RECORD_SINCE_GO))
        }
    };
    Ok(Screen::new(l::RECORD_TITLE, body).shown(state))
}

/// The whole journal as lines.
pub fn export(state: &State<'_>) -> Shown {
    state.read(|logbook, _| {
        state.file("application/jsonl", ("attachment", "record.jsonl"), |out| {
            Ok(logbook.export(out, |_, _| ()).map(drop)?)
        })
    })
}

/// The whole journal as a bundle for another device.
pub fn bundle(state: &State<'_>) -> Shown {
    bundled(state, "record.hwbundle", None)
}

/// A bundle without what the maker of the one that was sent has.
pub fn since(state: &State<'_>) -> Shown {
    bundled(state, "answer.hwbundle", Some(state.upload()?))
}

fn bundled(state: &State<'_>, name: &str, since: Option<&Arc<dyn Upload>>) -> Shown {
    state.read(|logbook, moment| {
        let since = since.map(|file| logbook.bundle_header(file.path()).map_err(nameless));
        let since = since.transpose()?;
        state.file("application/octet-stream", ("attachment", name), |out| {
            Ok(logbook.bundle(out, since.as_ref(), moment.today, |_| ()).map(drop)?)
        })
    })
}

/// Takes a list as far as its plan.
pub fn list(state: &State<'_>) -> Shown {
    let file = state.upload()?;
    if file.length()? > MOST_LIST {
        return Err(Refusal::TooLarge("4 MB of a list; save it in parts"));
    }
    let key = state.host.keep(Waiting::List, file.clone())?;
    // Refused at once where it is not a list at all.
    planned(state, &key)?;
    Ok(redirect(&format!("/owner/record/list?{}", query([("list", key.as_str())]))))
}

/// A list that waits for a yes.
fn waiting(state: &State<'_>, key: &str) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    state.host.kept(Waiting::List, key)?.open()?.read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn planned(state: &State<'_>, key: &str) -> Result<(Vec<Row>, SheetReport), Refusal> {
    let list = waiting(state, key)?;
    state.write(|logbook, moment| {
        let sheet = read_sheet(&list, moment.today).map_err(|e| Refusal::at("file", e))?;
        let report = logbook.plan_sheet(&sheet, moment)?;
        Ok((sheet.rows, report))
    })
}

/// What would be registered, before anything is.
pub fn plan(state: &State<'_>) -> Shown {
    let Some(key) = state.request.query.given("list").map(ToOwned::to_owned) else {
        return Ok(redirect("/owner/record"));
    };
    let (rows, report) = planned(state, &key)?;
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
        ]
    });
    let head = vec![l::RECORD_LINE, l::HOSE, l::LOT_SHORT, l::MADE, l::PLAN_NUMBER, l::WHERE];
    let sheet = Sheet::new("plan", head, rows.collect());
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::PLAN_TITLE) }
        p.result { b { (sentence(&report.planned_in_words())) } " " (l::PLAN_NOTHING) }
        (left(&report))
        @if !sheet.is_empty() {
            (sheet.drawn(state))
            @let form = state.form("/owner/record/list/take");
            (form.drawn(html! {
                input type="hidden" name="list" value=(key);
                @if !report.whole() { input type="hidden" name="partial" value="yes"; }
                (save(if report.whole() { l::PLAN_GO } else { l::PLAN_GO_PARTIAL }))
            }))
        }
        p { a.button href="/owner/record" { (l::RECORD_BACK) } }
    };
    Ok(Screen::new(l::PLAN_TITLE, body).shown(state))
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
                    @let lines: Vec<String> = assumed.lines.iter().take(SHOWN).map(ToString::to_string).collect();
                    li { (assumed.words) " (" (l::PLAN_LINES) " " (lines.join(", ")) ")" }
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
    let list = waiting(state, &key)?;
    let report = state.write(|logbook, moment| {
        let sheet = read_sheet(&list, moment.today).map_err(Refusal::bad)?;
        // One writes after the other: said yes to twice, it is taken once.
        state.host.kept(Waiting::List, &key)?;
        let report = logbook.import_sheet(&sheet, partial, moment)?;
        if report.taken.is_empty() {
            return Err(Refusal::bad(sentence(&report.done_in_words())));
        }
        state.host.done(Waiting::List, &key);
        Ok(report)
    })?;
    let first = report.taken.first().map(|taken| taken.code.to_string()).unwrap_or_default();
    let print = query([("with", first.as_str())]);
    let body = html! {
        h1 { (l::PLAN_TAKEN) }
        p.written role="status" { (sentence(&report.done_in_words())) }
        p.thumb { a.button.main href={ "/tags?" (print) } { (l::PLAN_TAGS) } }
        (left(&report))
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

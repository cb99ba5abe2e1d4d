//! The record in and out: a shop's own list, what other devices wrote, and the
//! whole of it as a file.

use std::io::Read;

use axum::body::Bytes;
use chrono::NaiveDate;
use hosewright_core::spreadsheet::{Refused, Repeated, Row, read_sheet};
use hosewright_core::words;
use hosewright_core::{Logbook, SheetReport};
use maud::{Markup, html};

use super::bringing::nameless;
use super::{Shown, see};
use crate::failure::Failure;
use crate::page::ask::{Ask, Posted};
use crate::page::fields::query;
use crate::page::files;
use crate::page::frame::{Screen, sentence};
use crate::page::labels as l;
use crate::page::parts::{link, save, token};
use crate::page::refusal::Refusal;
use crate::page::sheet::{Cell, Sheet};
use crate::page::upload::Upload;

/// The most bytes of a list, which is read at once.
const MOST_LIST: u64 = 4 * 1024 * 1024;
/// The most lines of a kind that are shown.
const SHOWN: usize = 200;
/// The most tags that are offered to print at once.
const PRINTED: usize = 200;

/// What can be taken in, and away.
pub async fn show(ask: Ask) -> Shown {
    let upload = |to: &str, accept: &str, id: &str, inside: Markup, go: &str| {
        html! {
            form action=(to) method="post" enctype="multipart/form-data" {
                (token(&ask.token))
                (inside)
                p.field {
                    label for=(id) { (l::RECORD_FILE) }
                    input type="file" id=(id) name="file" accept=(accept) required;
                }
                p { button.main type="submit" { (go) } }
            }
        }
    };
    let partial = html! {
        label.pick {
            input type="checkbox" name="partial" value="yes";
            span { (l::RECORD_PARTIAL) }
        }
    };
    let body = html! {
        h1 { (l::RECORD_TITLE) }
        section.card {
            h2 { (l::RECORD_LIST) }
            p { (l::RECORD_LIST_LEAD) }
            (upload("/owner/record/list", ".csv,.txt,.tsv,text/csv,text/plain", "list", html! {}, l::RECORD_LIST_GO))
        }
        section.card {
            h2 { (l::RECORD_ENTRIES) }
            p { (l::RECORD_ENTRIES_LEAD) }
            (upload("/owner/record/entries", ".hwbundle,.jsonl", "entries", partial, l::RECORD_ENTRIES_GO))
        }
        section.card {
            h2 { (l::RECORD_OUT) }
            p { (l::RECORD_OUT_LEAD) }
            p.under {
                a.button href="/owner/record/bundle.hwbundle" { (l::RECORD_BUNDLE) }
                a.button href="/owner/record/export.jsonl" { (l::RECORD_EXPORT) }
            }
            p { (l::RECORD_SINCE_LEAD) }
            (upload("/owner/record/since", ".hwbundle", "since", html! {}, l::RECORD_SINCE_GO))
        }
    };
    Ok(Screen::new(l::RECORD_TITLE, body).shown(&ask))
}

/// The whole journal as lines.
pub async fn export(ask: Ask) -> Shown {
    let write = |logbook: &Logbook| files::made(|out| Ok(logbook.export(out, |_, _| ())?));
    let (_, file) = ask.read(move |logbook, _| write(logbook)).await?;
    files::sent(file, "application/jsonl", "attachment", "record.jsonl")
}

/// The whole journal as a bundle for another device.
pub async fn bundle(ask: Ask) -> Shown {
    let write = |logbook: &Logbook, today: NaiveDate| {
        files::made(|out| Ok(logbook.bundle(out, None, today, |_| ())?))
    };
    let (_, file) = ask.read(move |logbook, moment| write(logbook, moment.today)).await?;
    files::sent(file, "application/octet-stream", "attachment", "record.hwbundle")
}

/// A bundle without what the maker of the one that was sent has.
pub async fn since(Upload { ask, file, .. }: Upload) -> Shown {
    let write = move |logbook: &Logbook, today: NaiveDate| {
        let header = logbook.bundle_header(file.path()).map_err(nameless)?;
        files::made(|out| Ok(logbook.bundle(out, Some(&header), today, |_| ())?))
    };
    let (_, file) = ask.read(move |logbook, moment| write(logbook, moment.today)).await?;
    files::sent(file, "application/octet-stream", "attachment", "answer.hwbundle")
}

/// Takes a list as far as its plan.
pub async fn list(Upload { ask, file, .. }: Upload) -> Shown {
    let house = ask.house.clone();
    let key = ask
        .apart(move || {
            let broken = |error: std::io::Error| Refusal::from(Failure::from(error));
            let mut bytes = Vec::new();
            file.reopen()
                .map_err(broken)?
                .take(MOST_LIST + 1)
                .read_to_end(&mut bytes)
                .map_err(broken)?;
            if bytes.len() as u64 > MOST_LIST {
                return Err(Refusal::TooLarge("4 MB of a list; save it in parts"));
            }
            house.waiting.keep(Bytes::from(bytes))
        })
        .await?;
    // Refused at once where it is no list at all.
    planned(&ask, &key).await?;
    Ok(see(&format!("/owner/record/list?{}", query([("list", key.as_str())]))))
}

async fn planned(ask: &Ask, key: &str) -> Result<(Vec<Row>, SheetReport), Refusal> {
    let list = ask.house.waiting.find(key)?;
    ask.write(move |logbook, moment| {
        let sheet = read_sheet(&list, moment.today).map_err(|e| Refusal::at("file", e))?;
        let report = logbook.plan_sheet(&sheet, moment)?;
        Ok((sheet.rows, report))
    })
    .await
}

/// What would be registered, before anything is.
pub async fn plan(ask: Ask) -> Shown {
    let Some(key) = ask.query.given("list").map(ToOwned::to_owned) else {
        return Ok(see("/owner/record"));
    };
    let (rows, report) = planned(&ask, &key).await?;
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
    if sheet.wanted(&ask) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::PLAN_TITLE) }
        p.result { b { (sentence(&report.planned_in_words())) } " " (l::PLAN_NOTHING) }
        (left(&report))
        @if !sheet.is_empty() {
            (sheet.drawn(&ask))
            form action="/owner/record/list/take" method="post" {
                (token(&ask.token))
                input type="hidden" name="list" value=(key);
                @if !report.whole() { input type="hidden" name="partial" value="yes"; }
                (save(if report.whole() { l::PLAN_GO } else { l::PLAN_GO_PARTIAL }))
            }
        }
        p { a.button href="/owner/record" { (l::RECORD_BACK) } }
    };
    Ok(Screen::new(l::PLAN_TITLE, body).shown(&ask))
}

/// What is not taken as it stands in the list, and why.
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
pub async fn take(Posted { ask, fields }: Posted) -> Shown {
    let key = fields.get("list").to_owned();
    let partial = fields.ticked("partial");
    let list = ask.house.waiting.find(&key)?;
    let house = ask.house.clone();
    let report = ask
        .write(move |logbook, moment| {
            let sheet = read_sheet(&list, moment.today).map_err(Refusal::bad)?;
            // One writes after the other: said yes to twice, it is taken once.
            house.waiting.find(&key)?;
            let report = logbook.import_sheet(&sheet, partial, moment)?;
            if report.taken.is_empty() {
                return Err(Refusal::bad(sentence(&report.done_in_words())));
            }
            house.waiting.done(&key);
            Ok(report)
        })
        .await?;
    let codes: Vec<String> =
        report.taken.iter().take(PRINTED).map(|taken| taken.code.to_string()).collect();
    let print = query(codes.iter().map(|code| ("codes", code.as_str())));
    let body = html! {
        h1 { (l::PLAN_TAKEN) }
        p.written role="status" { (sentence(&report.done_in_words())) }
        @if report.taken.len() <= PRINTED { p.thumb { a.button.main href={ "/tags?" (print) } { (l::PLAN_TAGS) } } }
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
    Ok(Screen::new(l::PLAN_TAKEN, body).shown(&ask))
}

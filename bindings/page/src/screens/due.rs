//! What is due: as a list, and set by set to be printed.

use hosewright_core::Page;
use hosewright_core::fleet::{DueGroup, DueSheet, Horizon, SHEET_MOST};
use hosewright_core::index::Filter;
use hosewright_core::words::{CAUTION, calendar, days_in_words, due_sheet as say};
use maud::{Markup, html};

use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::sheet::{self, Cell, Sheet};
use crate::state::State;

/// How far ahead; the common choices as buttons, any other typed.
pub fn horizon(state: &State<'_>) -> Result<(Horizon, Markup), Refusal> {
    let within: Horizon = state.request.query.parsed("within")?.unwrap_or_default();
    let shown = within.to_string();
    let common = ["0 days", "30 days", "90 days", "6 months", "1 year"];
    let form = html! {
        form.filter action=(state.request.path) method="get" {
            label for="within" { (l::WITHIN) }
            div.row {
                input #within type="text" name="within" value=(shown) list="horizons" autocomplete="off";
                datalist #horizons { @for time in common { option value=(time) {} } }
                button type="submit" { (l::FILTER) }
            }
        }
    };
    Ok((within, form))
}

/// Everything that is due, overdue first.
pub fn show(state: &State<'_>) -> Shown {
    let (within, form) = horizon(state)?;
    let page = sheet::page_of(state, "due");
    let list = state.read(|logbook, moment| {
        Ok(logbook.due_page(within, &Filter::default(), &page, moment)?)
    })?;
    let head = vec![l::BY_DAY, l::DUE, l::WHAT, l::CODE, l::HOSE, l::WHERE];
    let sheet = Sheet::part("due", head, (&list.rows, list.from, list.total), |row| {
        vec![
            Cell::Day(row.on),
            Cell::text(days_in_words(row.days)),
            Cell::text(row.words),
            Cell::Numbered(row.number.clone(), row.code),
            Cell::text(&row.hose),
            Cell::text(&row.place),
        ]
    });
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let ahead = query([("within", within.to_string().as_str())]);
    let body = html! {
        h1 { (l::DUE_TITLE) }
        (form)
        p.ways-on {
            a.button href={ "/owner/due/print?" (ahead) } { (say::OPEN) } " "
            a.button href="/owner/calendar" { (calendar::TITLE) }
        }
        @if sheet.is_empty() { p { (l::DUE_NOTHING) " " (list.until) "." } }
        @else { p { (l::DUE_UNTIL) " " (list.until) "." } (sheet.drawn(state)) }
        @if let Some(left_out) = list.left_out() { p { (left_out) } }
    };
    Ok(Screen::new(l::DUE_TITLE, body).shown(state))
}

/// The same set by set, to be worked through on paper.
pub fn print(state: &State<'_>) -> Shown {
    let (within, form) = horizon(state)?;
    let page = Page { from: 0, most: SHEET_MOST };
    let list = state.read(|logbook, moment| {
        Ok(logbook.due_page(within, &Filter::default(), &page, moment)?)
    })?;
    let sheet = DueSheet::of(&list);
    let body = html! {
        div.worksheet {
            h1 { (say::TITLE) }
            p.result { (sheet.heading(state.request.moment.today)) }
            div.unprinted {
                (form)
                p { button type="button" data-print hidden { (say::PRINT) } }
            }
            @if let Some(more) = sheet.more() { p { b { (more) } } }
            @if let Some(left_out) = &sheet.left_out { p { (left_out) } }
            div.work { @for group in &sheet.groups { (of_group(group)) } }
            p.caution { (CAUTION) }
        }
    };
    Ok(Screen::new(say::TITLE, body).shown(state))
}

/// A set with its hoses. The boxes are for a pen.
fn of_group(group: &DueGroup) -> Markup {
    html! {
        section {
            h2 { (group.title) }
            ul {
                @for hose in &group.hoses {
                    li {
                        p { @if let Some(port) = &hose.port { b { (port) } " " } b { (hose.by_number()) } }
                        p.kind { (hose.hose) }
                        @for thing in &hose.due {
                            p.tick.late[thing.overdue] { span.box aria-hidden="true" {} span { (thing.in_words()) } }
                        }
                    }
                }
            }
        }
    }
}

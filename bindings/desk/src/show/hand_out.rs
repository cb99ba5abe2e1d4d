//! A hand-out or a packing, and what stops it.

use hosewright_core::hose::Label;
use hosewright_core::rental::{HandOutCheck, told_hirer};
use hosewright_core::set_view::Checked;
use hosewright_core::text::visible;
use hosewright_core::words;
use serde_json::json;

use super::{brief, table};
use crate::desk::Desk;
use crate::failure::Failure;
use crate::paint::Painted;
use crate::terminal::Screen;

/// What a check is shown after.
#[derive(Clone, Copy)]
pub enum Told<'t> {
    /// Nothing: only the check was asked for, or something stops it.
    Checked,
    /// The set went out on this ticket.
    Out(&'t Label),
    /// It was packed for this ticket.
    Packed(&'t Label),
}

/// Shows a check: every hose of the set, what stops it or was lifted, and what
/// the hirer is to be told of the hoses that go out.
pub fn told(desk: &mut Desk, check: &HandOutCheck, after: Told<'_>) -> Result<(), Failure> {
    let goes = !matches!(after, Told::Checked);
    if desk.json {
        let mut shown = serde_json::to_value(check).unwrap_or_default();
        if let Some(fields) = shown.as_object_mut() {
            fields.insert("handed_out".to_owned(), json!(matches!(after, Told::Out(_))));
            if matches!(after, Told::Packed(_)) {
                fields.insert("packed".to_owned(), json!(true));
            }
        }
        return desk.json(&shown);
    }
    let screen = Screen::of_stdout();
    desk.out.text(hoses(screen, check))?;
    let head = match after {
        Told::Out(ticket) => words::sets::handed_out(&check.set, ticket, check.going().len()),
        Told::Packed(ticket) => words::packing::done(&check.set, ticket, check.going().len()),
        Told::Checked => check.words.clone(),
    };
    desk.out.text(brief::filled(screen, &head))?;
    match after {
        Told::Out(_) if !check.ready => desk.out.line(words::sets::OVER_THESE)?,
        Told::Packed(_) if !check.ready => desk.out.line(words::packing::OVER_THESE)?,
        _ => {}
    }
    for stop in &check.stops {
        desk.out.text(brief::indented(screen, &stop.words, &stop.todo))?;
    }
    if !goes && !check.ready {
        desk.out.line(if check.can_be_lifted() {
            words::sets::OVERRIDE_LIFTS
        } else {
            words::sets::OVERRIDE_DOES_NOT_LIFT
        })?;
    }
    check.watch.iter().try_for_each(|hose| reasons(desk, screen, hose))?;
    let told = if goes { told_hirer(&check.watch) } else { Vec::new() };
    if !told.is_empty() {
        desk.out.line(format!("{}:", words::rental::TELL))?;
    }
    Ok(told.iter().try_for_each(|told| desk.out.text(brief::indented(screen, told, "")))?)
}

/// A hose with the worst of its reasons and what to do about them.
pub fn reasons(desk: &mut Desk, screen: Screen, hose: &Checked) -> Result<(), Failure> {
    let (why, todo) = hose.worst_reasons();
    let port = hose.port.map(|port| format!("{port}: ")).unwrap_or_default();
    let head = format!("{port}{}: {}. {why}", hose.by_number(), hose.verdict);
    Ok(desk.out.text(brief::indented(screen, &head, &todo))?)
}

fn hoses(screen: Screen, check: &HandOutCheck) -> Painted {
    let mut rows = table::new(
        screen,
        [
            table::Column::Whole("Scanned"),
            table::Column::Whole("Port"),
            table::Column::Whole("Verdict"),
            table::Column::Whole("Code"),
            table::Column::Text("Hose", 16),
        ],
    );
    for (scanned, hoses) in [("yes", &check.found), ("missing", &check.missing)] {
        for hose in hoses {
            rows.add_row(row(scanned, hose));
        }
    }
    for foreign in &check.foreign {
        let row = match &foreign.hose {
            Some(hose) => row("foreign", hose),
            None => {
                ["foreign", "", "", &visible(&foreign.scanned), &foreign.words].map(str::to_owned)
            }
        };
        rows.add_row(row);
    }
    rows.drawn()
}

fn row(scanned: &str, hose: &Checked) -> [String; 5] {
    [
        scanned.to_owned(),
        hose.port.map(|port| port.to_string()).unwrap_or_default(),
        format!("{} {}", words::shape(hose.verdict), hose.verdict),
        hose.code.to_string(),
        hose.words.clone(),
    ]
}

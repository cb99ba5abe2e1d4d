//! Sets, and what is in their ports.

use hosewright_core::hose::Label;
use hosewright_core::index::SetFilter;
use hosewright_core::record::SetRecord;
use hosewright_core::set_view::{PortView, SetView};
use hosewright_core::{Logbook, words};
use serde::Serialize;
use serde_json::{Value, json};

use super::csv;
use super::part::Part;
use super::table::Column::{Text, Whole};
use super::{brief, line_as_json, numbered, table};
use crate::desk::Desk;
use crate::failure::Failure;
use crate::terminal::Screen;

/// A set for a program, with what was written about it.
#[derive(Serialize)]
struct SetShown<'s> {
    #[serde(flatten)]
    set: &'s SetView,
    entries: Vec<Value>,
}

/// One set, a row a port, and what stops it.
pub fn one(desk: &mut Desk, logbook: &Logbook, name: &Label) -> Result<(), Failure> {
    let set = logbook.set_view(name, &desk.moment)?;
    if desk.json {
        let entries = logbook.set_history(name)?.iter().map(line_as_json).collect();
        return desk.json(&SetShown { set: &set, entries });
    }
    let screen = Screen::of_stdout();
    let whose = (set.owner.as_ref(), set.branch.as_ref());
    desk.out.line(words::sets::heading(&set.name, set.in_use, set.oxygen, whose))?;
    if let Some(tag) = set.tag {
        desk.out.line(format!("Tag {tag}"))?;
    }
    let mut rows = table::new(
        screen,
        [Whole("Port"), Whole("Thread"), Whole("Verdict"), Whole("Code"), Text("Hose", 16)],
    );
    for port in &set.ports {
        rows.add_row(cells(port));
    }
    desk.out.text(rows.drawn())?;
    desk.out.text(brief::filled(screen, &set.words))?;
    if let Some(packed) = &set.packed {
        desk.out.line(words::packing::packed(packed, desk.moment.today))?;
    }
    for stop in &set.stops {
        let (why, todo) = stop.worst_reasons();
        let port = stop.port.map(|port| format!("{port}: ")).unwrap_or_default();
        let head = format!("{port}{}: {}. {why}", stop.by_number(), stop.verdict);
        desk.out.text(brief::indented(screen, &head, &todo))?;
    }
    Ok(())
}

fn cells(view: &PortView) -> Vec<String> {
    let mut cells = vec![view.port.name.to_string(), words::sets::thread_of(&view.port)];
    match &view.hose {
        Some(answer) => cells.extend([
            format!("{} {}", words::shape(answer.verdict), answer.verdict),
            numbered(answer.hose.origin.own.number.as_ref(), answer.code),
            words::hose_briefly(answer.hose.specification.as_ref()),
        ]),
        None => cells.extend([String::new(), String::new(), view.holds.clone()]),
    }
    cells
}

fn hoses(set: &SetView) -> usize {
    set.ports.iter().filter(|port| port.hose.is_some()).count()
}

/// A set's name; of two of one name with its code, and who made it.
fn told_apart(logbook: &Logbook, set: &SetRecord) -> String {
    if logbook.set(&set.name).is_ok() {
        return set.name.to_string();
    }
    let by = set.made.as_ref().map(|made| format!(", by {}", made.by)).unwrap_or_default();
    format!("{}\n{}{by}", set.name, set.id)
}

/// Every set, a row each.
pub fn all(
    desk: &mut Desk,
    logbook: &Logbook,
    filter: &SetFilter,
    (part, as_csv): (&Part, bool),
) -> Result<(), Failure> {
    let mut sets = Vec::new();
    let list = logbook.list_sets(filter, &part.page(desk.json || as_csv))?;
    for set in &list.rows {
        // By its code: two may have one name.
        sets.push(logbook.set_view(&set.id.into(), &desk.moment)?);
    }
    if desk.json {
        let sets = sets.iter().map(|set| {
            json!({ "id": set.id, "name": set.name, "use": set.in_use, "ports": set.ports.len(),
                "hoses": hoses(set), "worst": set.worst, "quarantined": set.quarantined,
                "out": set.out, "packed": set.packed })
        });
        return desk.json(&sets.collect::<Vec<_>>());
    }
    if as_csv {
        let head = [
            "name",
            "code",
            "use",
            "ports",
            "hoses",
            "worst",
            "quarantined",
            "ticket",
            "out since",
            "packed for",
        ];
        let rows = sets.iter().map(|set| {
            let out = set.out.as_ref();
            [
                set.name.to_string(),
                set.id.to_string(),
                set.in_use.to_string(),
                set.ports.len().to_string(),
                hoses(set).to_string(),
                set.worst.map(|verdict| verdict.to_string()).unwrap_or_default(),
                if set.quarantined { "yes" } else { "no" }.to_owned(),
                out.map(|out| out.ticket.to_string()).unwrap_or_default(),
                out.map(|out| out.on.to_string()).unwrap_or_default(),
                set.packed.as_ref().map(|packed| packed.ticket.to_string()).unwrap_or_default(),
            ]
        });
        return csv::write(desk, head, rows);
    }
    if list.total == 0 {
        let any = *filter != SetFilter::default();
        return Ok(desk.out.line(if any {
            "No set is like that."
        } else {
            "No set is on record; make one with: hosewright set new --help"
        })?);
    }
    let head = [
        Text("Set", 8),
        Whole("Use"),
        Whole("Ports"),
        Whole("Hoses"),
        Whole("Worst hose"),
        Text("Where", 12),
    ];
    let mut rows = table::new(Screen::of_stdout(), head);
    for (set, record) in sets.iter().zip(&list.rows) {
        rows.add_row([
            told_apart(logbook, record),
            set.in_use.to_string(),
            set.ports.len().to_string(),
            hoses(set).to_string(),
            set.worst.map(|v| format!("{} {v}", words::shape(v))).unwrap_or_default(),
            words::sets::briefly(
                set.out.as_ref(),
                set.packed.as_ref(),
                set.quarantined,
                set.in_quarantine,
            ),
        ]);
    }
    desk.out.text(rows.drawn())?;
    part.rest(desk, sets.len(), list.total)
}

//! Sets, and what is in their ports.

use hosewright_core::answer::Answer;
use hosewright_core::hose::Label;
use hosewright_core::record::SetRecord;
use hosewright_core::{Found, Logbook};
use serde::Serialize;
use serde_json::json;

use super::table::Column::{Text, Whole};
use super::{Screen, table};
use crate::desk::Desk;
use crate::failure::Failure;

use hosewright_core::event::Port;
use hosewright_core::words;

/// One set, a row a port.
pub fn one(desk: &mut Desk, logbook: &Logbook, name: &Label) -> Result<(), Failure> {
    let set = logbook.set(name)?;
    let ports = ports(desk, logbook, &set)?;
    let view = logbook.set_view(name, &desk.moment)?;
    if desk.json {
        return desk.json(&json!({
            "name": set.name, "use": set.in_use, "ports": ports, "words": view.words,
            "worst": view.worst, "quarantined": view.quarantined, "out": view.out,
        }));
    }
    desk.out.line(format!("Set {}, {} use", set.name, set.in_use))?;
    let mut rows = table::new(
        Screen::of_stdout(),
        [Whole("Port"), Whole("Thread"), Whole("Verdict"), Whole("Code"), Text("Hose", 16)],
    );
    for row in &ports {
        rows.add_row(row.cells());
    }
    desk.out.line(rows.trim_fmt())?;
    Ok(desk.out.line(view.words)?)
}

/// A port and what is in it.
#[derive(Serialize)]
struct PortShown {
    #[serde(flatten)]
    port: Port,
    hose: Option<Answer>,
}

impl PortShown {
    fn cells(&self) -> Vec<String> {
        let mut cells = vec![self.port.name.to_string(), self.port.thread.to_string()];
        match &self.hose {
            Some(answer) => cells.extend([
                format!("{} {}", words::shape(answer.verdict), answer.verdict),
                answer.code.to_string(),
                words::hose_briefly(answer.hose.specification.as_ref()),
            ]),
            None => cells.extend([String::new(), String::new(), "plug".to_owned()]),
        }
        cells
    }
}

fn ports(desk: &Desk, logbook: &Logbook, set: &SetRecord) -> Result<Vec<PortShown>, Failure> {
    let shown = |port: &Port| {
        let hose = set
            .hoses
            .get(&port.name)
            .map(|hose| logbook.answer_found(Found { hose: *hose, tag: None }, &desk.moment));
        Ok(PortShown { port: *port, hose: hose.transpose()? })
    };
    set.ports.iter().map(shown).collect()
}

/// Every set, a row each.
pub fn all(desk: &mut Desk, logbook: &Logbook) -> Result<(), Failure> {
    let mut shown = Vec::new();
    for set in logbook.sets()? {
        let worst = ports(desk, logbook, &set)?;
        let worst = worst.iter().filter_map(|p| p.hose.as_ref()).map(|a| a.verdict).max();
        shown.push((set, worst));
    }
    if desk.json {
        let sets = shown.iter().map(|(set, worst)| {
            json!({ "name": set.name, "use": set.in_use, "ports": set.ports.len(),
                "hoses": set.hoses.len(), "worst": worst })
        });
        let sets: Vec<_> = sets.collect();
        return desk.json(&sets);
    }
    if shown.is_empty() {
        return Ok(desk
            .out
            .line("No set is on record; make one with: hosewright set new --help")?);
    }
    let mut rows = table::new(
        Screen::of_stdout(),
        [Text("Set", 8), Whole("Use"), Whole("Ports"), Whole("Hoses"), Whole("Worst hose")],
    );
    for (set, worst) in &shown {
        let worst = worst.map(|v| format!("{} {v}", words::shape(v))).unwrap_or_default();
        rows.add_row([
            set.name.to_string(),
            set.in_use.to_string(),
            set.ports.len().to_string(),
            set.hoses.len().to_string(),
            worst,
        ]);
    }
    Ok(desk.out.line(rows.trim_fmt())?)
}

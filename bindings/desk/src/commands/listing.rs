//! What is on record: `list` and `history`.

use clap::Args;
use hosewright_core::answer::Answer;
use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::{Found, HistoryLine, words};
use serde_json::{Value, json};

use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::paint::Painted;
use crate::show::table::Column::{Text, Whole};
use crate::show::{line_as_json, numbered, table};
use crate::terminal::Screen;
use crate::values;

/// Every hose.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright list\n  hosewright list --verdict hold --json")]
pub struct List {
    /// Only hoses of this verdict: ready, watch, hold or retire
    #[arg(long)]
    verdict: Option<Verdict>,
    /// Only hoses of this set
    #[arg(long, value_name = "NAME", value_parser = values::set_name)]
    set: Option<Label>,
}

impl List {
    /// Shows a row a hose.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        if let Some(set) = &self.set {
            logbook.set(set)?;
        }
        let mut shown = Vec::new();
        for hose in logbook.hoses()? {
            let answer = logbook.answer_alone(Found { hose, tag: None }, &desk.moment)?;
            let wanted = self.verdict.is_none_or(|verdict| verdict == answer.verdict)
                && (self.set.is_none() || self.set == answer.place.set);
            if wanted {
                shown.push(answer);
            }
        }
        if desk.json {
            desk.json(&shown.iter().map(brief).collect::<Vec<_>>())?;
        } else if shown.is_empty() {
            desk.out.line(format!("No such hose is on record in {}.", logbook.path().display()))?;
        } else {
            desk.out.text(rows(&shown))?;
        }
        Ok(Status::Done)
    }
}

fn brief(answer: &Answer) -> Value {
    json!({
        "code": answer.code,
        "verdict": answer.verdict,
        "hose": answer.hose,
        "place": answer.place,
        "age": answer.age,
        "dives": answer.dives,
        "reasons": answer.reasons.iter().map(|reason| &reason.code).collect::<Vec<_>>(),
    })
}

fn rows(answers: &[Answer]) -> Painted {
    let mut table = table::new(
        Screen::of_stdout(),
        [Whole("Verdict"), Text("Hose", 16), Text("Where", 8), Whole("Why")],
    );
    for answer in answers {
        let why: Vec<&str> = answer.reasons.iter().map(|reason| reason.code.as_str()).collect();
        let hose = words::hose_briefly(answer.hose.specification.as_ref());
        table.add_row([
            format!("{} {}", words::shape(answer.verdict), answer.verdict),
            format!("{}\n{hose}", numbered(answer.hose.origin.own.number.as_ref(), answer.code)),
            answer.place.words.clone(),
            why.join("\n"),
        ]);
    }
    table.drawn()
}

/// Everything that was written about a hose.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright history 7K2M9")]
pub struct History {
    #[command(flatten)]
    which: Which,
}

impl History {
    /// Shows a row an entry, in the order in which things happened.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let hose = self.which.hose(&logbook)?;
        let lines = logbook.history(hose)?;
        // Of a tag that is not on record here nothing was written.
        let record = logbook.record(hose).ok();
        let number = record.as_ref().and_then(|record| record.origin.own.number.as_ref());
        if desk.json {
            let mut lines: Vec<Value> = lines.iter().map(line_as_json).collect();
            for line in lines.iter_mut().filter_map(Value::as_object_mut) {
                line.extend(number.map(|number| ("number".to_owned(), json!(number))));
            }
            desk.json(&lines)?;
            return Ok(Status::Done);
        }
        if let (Some(number), Some(record)) = (number, &record) {
            desk.out.line(words::by_number(number, record.tag()))?;
            desk.out.line("")?;
        }
        let mut table =
            table::new(Screen::of_stdout(), [Whole("On"), Text("By", 6), Text("What", 16)]);
        for HistoryLine { entry, words, .. } in &lines {
            table.add_row([entry.on.to_string(), entry.by.to_string(), words.clone()]);
        }
        desk.out.text(table.drawn())?;
        Ok(Status::Done)
    }
}

//! What is on record: `list`, `find` and `history`.

use chrono::NaiveDate;
use clap::Args;
use hosewright_core::answer::Answer;
use hosewright_core::fleet::Horizon;
use hosewright_core::hose::{Label, Service};
use hosewright_core::index::{Filter, Location, Sort};
use hosewright_core::inspection::Verdict;
use hosewright_core::journal::Trust;
use hosewright_core::view::list::{HOSES, HoseLine};
use hosewright_core::words::screens::HOSES_NONE;
use hosewright_core::{HistoryLine, Logbook, Told, told, words};
use serde_json::{Value, json};

use super::which;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::paint::Painted;
use crate::show::csv::{self, Csv};
use crate::show::part::Part;
use crate::show::table::Column::{Text, Whole};
use crate::show::{line_as_json, table};
use crate::terminal::Screen;
use crate::values;

/// Which hoses, by what is on record of them.
#[derive(Args)]
pub struct WhichHoses {
    /// Only hoses of this service: second-stage, inflator or gauge
    #[arg(long, value_parser = values::word(Service::ALL, Service::word), hide_possible_values = true)]
    service: Option<Service>,
    /// Only hoses of this set
    #[arg(long, value_name = "NAME", value_parser = values::set_name)]
    set: Option<Label>,
    /// Only this branch's hoses
    #[arg(long, value_name = "NAME", value_parser = values::branch)]
    branch: Option<Label>,
    /// Only hoses that are there: stock, set, out, home, missing or retired
    #[arg(long = "where", value_name = "PLACE", value_parser = values::word(Location::ALL, Location::word), hide_possible_values = true)]
    location: Option<Location>,
    /// Only hoses of this maker
    #[arg(long, value_name = "NAME", value_parser = values::maker)]
    maker: Option<Label>,
    /// Only hoses of this lot
    #[arg(long, value_parser = values::lot)]
    lot: Option<Label>,
    /// Only hoses that nobody has looked at since this day
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = values::day)]
    looked_before: Option<NaiveDate>,
}

impl WhichHoses {
    /// The same as a filter.
    pub fn filter(self, logbook: &Logbook) -> Result<Filter, Failure> {
        let set = self.set.map(|set| logbook.set(&set)).transpose()?;
        Ok(Filter {
            service: self.service,
            set: set.map(|set| set.id),
            branch: self.branch,
            location: self.location,
            maker: self.maker,
            lot: self.lot,
            looked_before: self.looked_before,
            ..Filter::default()
        })
    }
}

/// Which hoses, by what is answered for them too.
#[derive(Args)]
struct Which {
    /// Only hoses with this verdict: ready, watch, hold or retire
    #[arg(long, value_parser = values::word(Verdict::ALL, Verdict::word), hide_possible_values = true)]
    verdict: Option<Verdict>,
    /// Only hoses with something due within this time, as 60d or 6m
    #[arg(long, value_name = "TIME")]
    due: Option<Horizon>,
    #[command(flatten)]
    hoses: WhichHoses,
}

impl Which {
    fn filter(self, logbook: &Logbook, desk: &Desk) -> Result<Filter, Failure> {
        let due_by = self.due.map(|within| within.until(desk.moment.today));
        Ok(Filter { verdict: self.verdict, due_by, ..self.hoses.filter(logbook)? })
    }
}

/// Hoses with their verdicts.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright list\n  hosewright list --verdict hold --set R3 --sort due --csv\n\n\
    Own numbers come first, before the code. A table has 50 rows unless --limit says otherwise;\n\
    --csv and --json have all."
)]
pub struct List {
    #[command(flatten)]
    which: Which,
    /// In this order: number, due, age or set
    #[arg(long, value_name = "ORDER", default_value_t = Sort::Number, hide_default_value = true, value_parser = values::word(Sort::ALL, Sort::word), hide_possible_values = true)]
    sort: Sort,
    #[command(flatten)]
    part: Part,
    #[command(flatten)]
    csv: Csv,
}

impl List {
    /// Shows a row a hose.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let filter = self.which.filter(&logbook, desk)?;
        let page = self.part.page(desk.json || self.csv.csv);
        let list = logbook.list(&filter, self.sort, &page, &desk.moment)?;
        if desk.json {
            desk.json(&list.rows.iter().map(brief).collect::<Vec<_>>())?;
        } else if self.csv.csv {
            let head: Vec<&str> = HOSES.iter().map(|column| column.name).collect();
            let row = |answer: &Answer| {
                HOSES.iter().map(|column| column.of(answer).to_string()).collect()
            };
            csv::rows(desk, &head, list.rows.iter().map(row))?;
        } else if list.total == 0 {
            desk.out.line(HOSES_NONE)?;
        } else {
            desk.out.text(rows(&list.rows))?;
            self.part.rest(desk, list.rows.len(), list.total)?;
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
        "reasons": answer.reasons,
    })
}

fn rows(answers: &[Answer]) -> Painted {
    let mut table = table::new(
        Screen::of_stdout(),
        [Whole("Verdict"), Whole("Hose"), Text("What", 13), Text("Where", 8), Text("Why", 10)],
    );
    for answer in answers {
        let HoseLine { verdict, hose, what, place, why } = HoseLine::of(answer);
        let verdict = format!("{} {verdict}", words::shape(verdict));
        table.add_row([verdict, hose, what, place, why]);
    }
    table.drawn()
}

/// Looking for a hose.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright find LP-17\n  hosewright find \"kelpline B17\"\n\n\
    It looks at own numbers, codes, makers, lots, models, sets, tickets, descriptions and notes.\n\
    Capitals, spaces and hyphens don't matter. If nothing has the text, what comes near is listed.\n\
    Exit code 1: nothing was found.")]
pub struct Find {
    /// What to look for
    #[arg(value_name = "TEXT", required = true, num_args = 1..)]
    text: Vec<String>,
    /// At most this many hoses
    #[arg(long, value_name = "ROWS", default_value_t = 50)]
    limit: usize,
}

impl Find {
    /// Shows the hoses that it could mean, best first.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let text = self.text.join(" ");
        let hits = desk.open_to_read()?.look_for(&text, self.limit, &desk.moment)?;
        let answers: Vec<Answer> = hits.iter().map(|hit| hit.answer.clone()).collect();
        if desk.json {
            let row = |answer: &Answer| {
                json!({
                    "code": answer.code,
                    "number": answer.hose.origin.own.number,
                    "words": answer.hose.words,
                    "verdict": answer.verdict,
                })
            };
            desk.json(&answers.iter().map(row).collect::<Vec<_>>())?;
        } else if answers.is_empty() {
            desk.out.line(format!("Nothing on record has “{text}”, or comes near it."))?;
        } else {
            if hits.iter().all(|hit| !hit.whole) {
                desk.out.line(format!("Nothing on record has “{text}”; these come near it:\n"))?;
            }
            desk.out.text(rows(&answers))?;
        }
        Ok(if answers.is_empty() { Status::No } else { Status::Done })
    }
}

/// Everything that was written about a hose.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright history 7K2M9\n  hosewright history 7K2M9 --since 2026-01-01 --kind inspected"
)]
pub struct History {
    #[command(flatten)]
    which: which::Which,
    /// Only what happened on this day or later
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = values::day)]
    since: Option<NaiveDate>,
    /// Only entries of this kind, as --csv names them
    #[arg(long)]
    kind: Option<String>,
    /// Each step of a swap in a row of its own
    #[arg(long)]
    steps: bool,
    /// Only what this person wrote
    #[arg(long, value_name = "NAME", value_parser = values::name)]
    writer: Option<Label>,
    #[command(flatten)]
    part: Part,
    #[command(flatten)]
    csv: Csv,
}

impl History {
    /// Shows a row an entry, in the order in which things happened.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let hose = self.which.hose(&logbook)?;
        let mut lines = logbook.history(hose)?;
        lines.retain(|HistoryLine { entry, .. }| {
            self.since.is_none_or(|since| entry.on >= since)
                && self.kind.as_ref().is_none_or(|kind| entry.kind == *kind)
                && self.writer.as_ref().is_none_or(|name| entry.by == *name)
        });
        let total = u64::try_from(lines.len()).unwrap_or(u64::MAX);
        // A history has few lines: all of them are shown unless someone says otherwise.
        let page = self.part.page(true);
        let number = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        let lines: Vec<_> =
            lines.into_iter().skip(number(page.from)).take(number(page.most)).collect();
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
        if self.csv.csv {
            let head = ["on", "by", "what", "kind", "believed", "withdrawn", "entry"];
            let yes = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
            let rows = lines.iter().map(|line| {
                [
                    line.entry.on.to_string(),
                    line.entry.by.to_string(),
                    line.words.clone(),
                    line.entry.kind.clone(),
                    yes(line.trust > Trust::Disbelieved),
                    yes(line.withdrawn.is_some()),
                    line.id.to_string(),
                ]
            });
            csv::write(desk, head, rows)?;
            return Ok(Status::Done);
        }
        if let (Some(_), Some(record)) = (number, &record) {
            desk.out.line(words::by_number(number, record.tag()))?;
            desk.out.line("")?;
        }
        let mut table =
            table::new(Screen::of_stdout(), [Whole("On"), Text("By", 6), Text("What", 16)]);
        let rows = if self.steps { lines.iter().map(Told::Line).collect() } else { told(&lines) };
        for part in rows {
            let words = match &part {
                Told::Line(line) => &line.words,
                Told::Swap { words, .. } => words,
            };
            if let Some(HistoryLine { entry, .. }) = part.newest() {
                table.add_row([entry.on.to_string(), entry.by.to_string(), words.clone()]);
            }
        }
        desk.out.text(table.drawn())?;
        self.part.rest(desk, lines.len(), total)?;
        Ok(Status::Done)
    }
}

//! `recall`: the hoses of a lot, or of what else a maker names, where each is, and
//! which have been found.

use clap::{Args, Subcommand};
use hosewright_core::Logbook;
use hosewright_core::event::{MadeSpan, RecallOf};
use hosewright_core::fleet::LotReport;
use hosewright_core::hose::{Label, Prose};
use hosewright_core::words::recall as words;
use hosewright_core::words::screens::RECALL_NONE;

use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::paint::Painted;
use crate::show::csv::{self, Csv};
use crate::show::numbered;
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;
use crate::values::{self, On};

/// The hoses of a lot.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright recall --lot B17\n  \
    hosewright recall --lot B17 --maker Northsea --why \"crimps slip\" --start\n  \
    hosewright recall --lot B17 --found 7K2M9\n  \
    hosewright recall --maker Northsea --model K2 --made 2022-01..2022-06 --why \"crimps slip\" --start\n  \
    hosewright recall\n\n\
    Without --start it only looks up. Capitals and spaces do not matter; other spellings are named\n\
    as near, asked about before a recall starts, and never guessed at. A hose whose maker is unknown\n\
    counts as of every maker.")]
#[command(args_conflicts_with_subcommands = true)]
pub struct Recall {
    #[command(subcommand)]
    command: Option<RecallCommand>,
    #[command(flatten)]
    of: Named,
    /// Start the recall: from now on every hose that it means or could mean is held
    #[arg(long, requires_all = ["what", "why"], conflicts_with = "found")]
    start: bool,
    /// Why the lot is recalled
    #[arg(long, value_name = "TEXT", value_parser = values::why, requires = "start")]
    why: Option<Prose>,
    /// This hose was found and set aside; it is taken off its port
    #[arg(long, value_name = "CODE", requires = "what")]
    found: Option<String>,
    #[command(flatten)]
    when: On,
    #[command(flatten)]
    csv: Csv,
}

/// What a recall names.
#[derive(Args)]
#[group(id = "what", multiple = true)]
struct Named {
    /// The lot as printed on the hose; without any of these every recall is listed
    #[arg(long, value_parser = values::lot)]
    lot: Option<Label>,
    /// Only hoses of this maker, or of none that is known
    #[arg(long, value_name = "NAME", value_parser = values::maker)]
    maker: Option<Label>,
    /// The model as printed on the hose
    #[arg(long, value_parser = values::model)]
    model: Option<Label>,
    /// When they were made: two dates as far as they are known, the last included
    #[arg(long, value_name = "FROM..TO")]
    made: Option<MadeSpan>,
}

impl Named {
    fn of(self) -> RecallOf {
        let Self { lot, maker, model, made } = self;
        RecallOf { lot, maker, model, made }
    }
}

#[derive(Subcommand)]
enum RecallCommand {
    /// End a recall
    #[command(
        after_help = "Example:\n  hosewright recall end --lot B17 --why \"the maker ended it\""
    )]
    End(Ended),
    /// Check a hose off: the owner found that the recall does not mean it
    #[command(
        after_help = "Example:\n  hosewright recall check-off 7K2M9 --lot B17 --why \"crimped later, says the maker\""
    )]
    CheckOff(CheckOff),
}

/// The end of a recall.
#[derive(Args)]
struct Ended {
    #[command(flatten)]
    of: Named,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
}

/// A hose that a recall does not mean.
#[derive(Args)]
struct CheckOff {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    recall: Ended,
}

impl RecallCommand {
    fn run(self, desk: &mut Desk, mut logbook: Logbook) -> Outcome {
        let of = match self {
            Self::End(Ended { of, why }) => {
                let of = of.of();
                logbook.end_recall(&of, why, &desk.moment)?;
                of
            }
            Self::CheckOff(CheckOff { which, recall: Ended { of, why } }) => {
                let (of, hose) = (of.of(), which.hose(&logbook)?);
                logbook.check_off(hose, &of, why, &desk.moment)?;
                of
            }
        };
        let report = logbook.look_up(of, &desk.moment)?;
        one(desk, &report, false)?;
        Ok(Status::Done)
    }
}

impl Recall {
    /// Records what is asked for, and shows the lot or all recalls.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        if self.when.on.is_some() && !self.start && self.found.is_none() {
            return Err(Failure::refused("--on goes with --start or --found"));
        }
        let writes = self.command.is_some() || self.start || self.found.is_some();
        let mut logbook = if writes { desk.open() } else { desk.open_to_read() }?;
        if let Some(command) = self.command {
            return command.run(desk, logbook);
        }
        let of = self.of.of();
        if of == RecallOf::default() {
            let recalls = logbook.recalls(&desk.moment)?;
            all(desk, &recalls, self.csv.csv)?;
            return Ok(Status::Done);
        }
        if let Some(why) = self.why {
            logbook.recall_by(of.clone(), why, self.when.on, &desk.moment)?;
        }
        if let Some(found) = self.found {
            let hose = logbook.find_typed(&found)?.hose;
            logbook.found_for(hose, &of, self.when.on, &desk.moment)?;
        }
        let report = logbook.look_up(of, &desk.moment)?;
        one(desk, &report, self.csv.csv)?;
        Ok(Status::Done)
    }
}

fn one(desk: &mut Desk, report: &LotReport, as_csv: bool) -> Result<(), Failure> {
    if desk.json {
        return desk.json(report);
    }
    if as_csv {
        let rows = report.hoses.iter().map(|hose| {
            let number = hose.number.as_ref().map(ToString::to_string).unwrap_or_default();
            let (code, trace) = (hose.code.to_string(), hose.trace.to_string());
            [number, code, trace, hose.place.clone(), hose.hose.clone()]
        });
        return csv::write(desk, ["number", "code", "trace", "place", "hose"], rows);
    }
    let width = Screen::of_stdout().width;
    if report.recall.is_some() {
        let (found, all) = report.progress();
        desk.out.line(format!("{}.", words::progress(found, all)))?;
    }
    desk.out.text(textwrap::fill(&report.in_words(), width))?;
    if !report.hoses.is_empty() {
        let head = [Whole("Code"), Text("Recall", 8), Text("Where", 8), Text("Hose", 12)];
        let mut rows = table::new(Screen::of_stdout(), head);
        for hose in &report.hoses {
            let trace = if report.recall.is_some() { hose.trace.in_words() } else { "" };
            rows.add_row([
                numbered(hose.number.as_ref(), hose.code),
                trace.to_owned(),
                hose.place.clone(),
                hose.hose.clone(),
            ]);
        }
        desk.out.text(Painted::from("\n") + rows.drawn())?;
    }
    near(desk, report)
}

fn near(desk: &mut Desk, report: &LotReport) -> Result<(), Failure> {
    for near in &report.near_makers {
        let maker = near.maker.to_string();
        desk.out.line(words::did_you_mean(&maker, near.hoses))?;
    }
    if report.near.is_empty() {
        return Ok(());
    }
    desk.out.text("\nNear this spelling; look at these hoses if it may have been slipped:\n")?;
    let head = [Text("Lot", 6), Text("Maker", 8), Whole("Hoses"), Text("Why it is named", 16)];
    let mut rows = table::new(Screen::of_stdout(), head);
    for near in &report.near {
        let maker = near.maker.as_ref().map_or_else(|| "unknown".to_owned(), ToString::to_string);
        let hoses = near.hoses.to_string();
        rows.add_row([near.lot.to_string(), maker, hoses, near.words.to_owned()]);
    }
    Ok(desk.out.text(rows.drawn())?)
}

fn all(desk: &mut Desk, recalls: &[LotReport], as_csv: bool) -> Result<(), Failure> {
    if desk.json {
        return desk.json(&recalls);
    }
    let cells = |report: &LotReport| {
        let text = |label: Option<&Label>| label.map(ToString::to_string).unwrap_or_default();
        let recall = report.recall.as_ref();
        let [hoses, found, retired, to_find] = [
            report.hoses.len().to_string(),
            report.set_aside.to_string(),
            report.retired.to_string(),
            report.to_find.to_string(),
        ];
        [
            recall.map(|recall| recall.on.to_string()).unwrap_or_default(),
            names(report),
            text(report.maker.as_ref()),
            hoses,
            found,
            retired,
            to_find,
            recall.map(|recall| recall.why.to_string()).unwrap_or_default(),
        ]
    };
    if as_csv {
        let head = ["since", "lot", "maker", "hoses", "found", "out of service", "to find", "why"];
        return csv::write(desk, head, recalls.iter().map(cells));
    }
    if recalls.is_empty() {
        return Ok(desk.out.line(RECALL_NONE)?);
    }
    let head = [
        Whole("Since"),
        Text("Lot", 6),
        Text("Maker", 8),
        Whole("Hoses"),
        Whole("Found"),
        Whole("To find"),
        Text("Why", 12),
    ];
    let mut rows = table::new(Screen::of_stdout(), head);
    for report in recalls {
        let [since, lot, maker, hoses, found, _, to_find, why] = cells(report);
        rows.add_row([since, lot, maker, hoses, found, to_find, why]);
    }
    Ok(desk.out.text(rows.drawn())?)
}

/// The lot, the model and the made span that a recall names.
fn names(report: &LotReport) -> String {
    let named = [
        report.lot.as_ref().map(ToString::to_string),
        report.model.as_ref().map(|model| format!("model {model}")),
        report.made.as_ref().map(|made| format!("made {made}")),
    ];
    named.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

//! The bench: `thread`, `spanner`, `key`, `torque`, `seals`, `replace`.

use std::str::FromStr;

use clap::Args;
use hosewright_core::fit::FitError;
use hosewright_core::fit::replacement::Replacement;
use hosewright_core::fit::seal::{
    Joint, SEAL_CAUTIONS, Seals as SealsOfJoint, UNKNOWN_SEALS, joint_of, seals,
};
use hosewright_core::fit::thread::{Candidate, Gender, Pitch, Reading, identify};
use hosewright_core::fit::tool::{
    KEY_CAUTIONS, Nut, SPANNER_CAUTIONS, Socket, Tools, key, spanner,
};
use hosewright_core::fit::torque::{Crowfoot, JointTorque, TORQUE_CAUTIONS, parse_angle, torque};
use hosewright_core::hose::{End, Label};
use hosewright_core::tag::Code;
use hosewright_core::view::bench::{ToolAnswer, ring_row};
use serde_json::{Value, json};

use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::paint::Painted;
use crate::show::brief::{self, cautions};
use crate::show::csv::{self, Csv};
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;

/// An answer with its cautions, for programs.
fn with_cautions(mut answer: Value, cautions: &[&str]) -> Value {
    if let Some(fields) = answer.as_object_mut() {
        fields.insert("cautions".to_owned(), json!(cautions));
    }
    answer
}

fn as_json(answer: &impl serde::Serialize) -> Result<Value, Failure> {
    serde_json::to_value(answer)
        .map_err(|e| Failure::refused(format!("the result can't be written: {e}")))
}

fn said(desk: &mut Desk, words: &str) -> Result<(), Failure> {
    Ok(desk.out.text(brief::filled(Screen::of_stdout(), words))?)
}

/// The answer is no if nothing fits.
const fn yes(found: bool) -> Status {
    if found { Status::Done } else { Status::No }
}

/// Which thread is it?
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright thread --male 9.4mm\n  \
    hosewright thread --female 11.5mm --tpi 20\n\nExit code 1: no thread on the list fits.")]
pub struct Thread {
    /// The outside diameter of a male thread, over the crests
    #[arg(
        long,
        value_name = "LENGTH",
        required_unless_present = "female",
        conflicts_with = "female"
    )]
    male: Option<String>,
    /// The inside diameter of a female thread, across the bore
    #[arg(long, value_name = "LENGTH")]
    female: Option<String>,
    /// From one crest to the next
    #[arg(long, value_name = "LENGTH", conflicts_with = "tpi", value_parser = Pitch::parse)]
    pitch: Option<Pitch>,
    /// Threads on an inch
    #[arg(long, value_name = "NUMBER", value_parser = per_inch)]
    tpi: Option<Pitch>,
    #[command(flatten)]
    csv: Csv,
}

fn per_inch(typed: &str) -> Result<Pitch, String> {
    let threads = f64::from_str(typed.trim());
    let threads = threads.map_err(|_| format!("“{typed}” is not a number of threads, as 24"))?;
    Pitch::per_inch(threads).map_err(|e| e.to_string())
}

impl Thread {
    /// Compares the reading with every thread.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let pitch = self.pitch.or(self.tpi);
        let (gender, typed) = match (self.male, self.female) {
            (Some(male), _) => (Gender::Male, male),
            (None, female) => (Gender::Female, female.unwrap_or_default()),
        };
        let found = identify(&Reading::parse(gender, &typed, pitch)?);
        let status = yes(found.candidates.iter().any(|candidate| candidate.possible));
        let cells = |candidate: &Candidate| {
            let misfit = json!(candidate)["misfit_mm"].to_string();
            let possible = if candidate.possible { "yes" } else { "no" };
            [candidate.thread.to_owned(), misfit, possible.to_owned()]
        };
        if desk.json {
            desk.json(&found)?;
        } else if self.csv.csv {
            let head = ["thread", "misfit mm", "possible"];
            csv::write(desk, head, found.candidates.iter().map(cells))?;
        } else {
            said(desk, &found.words)?;
            let head = [Whole("Thread"), Whole("Misfit, mm"), Text("Could be it", 11)];
            let mut rows = table::new(Screen::of_stdout(), head);
            let possible = found.candidates.iter().filter(|candidate| candidate.possible).count();
            for candidate in found.candidates.iter().take(possible.max(5)) {
                rows.add_row(cells(candidate));
            }
            desk.out.text(Painted::from("\n") + rows.drawn())?;
        }
        Ok(status)
    }
}

/// Which spanner takes this nut?
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright spanner 14mm\n  hosewright spanner 9/16in\n\n\
    Exit code 1: no size in the table fits.")]
pub struct Spanner {
    /// The nut across its flats
    #[arg(value_name = "LENGTH", value_parser = Nut::parse)]
    nut: Nut,
    #[command(flatten)]
    csv: Csv,
}

impl Spanner {
    /// Names what fits, and what would round the nut.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        tools(desk, &spanner(&self.nut), self.csv.csv, SPANNER_CAUTIONS)
    }
}

/// Which hexagon key takes this socket?
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright key 4mm\n  hosewright key 5/32in\n\n\
    Exit code 1: no size in the table fits.")]
pub struct Key {
    /// The socket across its flats
    #[arg(value_name = "LENGTH", value_parser = Socket::parse)]
    socket: Socket,
    #[command(flatten)]
    csv: Csv,
}

impl Key {
    /// Names what fits, and what would round the socket.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        tools(desk, &key(&self.socket), self.csv.csv, KEY_CAUTIONS)
    }
}

fn tools(desk: &mut Desk, tools: &Tools, as_csv: bool, beside: &'static [&'static str]) -> Outcome {
    let status = yes(tools.nothing_fits().is_none());
    if desk.json {
        desk.json(&with_cautions(as_json(tools)?, beside))?;
        return Ok(status);
    }
    let answer = ToolAnswer::of(tools, beside);
    if as_csv {
        csv::write(desk, ["size", "what", "words"], answer.rows)?;
        return Ok(status);
    }
    if !answer.words.is_empty() {
        said(desk, &answer.words)?;
    }
    let head = [Whole("Size"), Whole(""), Text("In words", 16)];
    let mut rows = table::new(Screen::of_stdout(), head);
    rows.add_rows(answer.rows);
    if !rows.is_empty() {
        desk.out.text(rows.drawn())?;
    }
    cautions(desk, answer.cautions)?;
    Ok(status)
}

/// How tight, and what to set the wrench to.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright torque 5N·m\n  hosewright torque 44in-lb --crowfoot 30mm --wrench 200mm\n\n\
    The wrench is measured from its square to the middle of the grip, the crowfoot from the middle\n\
    of the square to the middle of the nut. It points straight on at angle 0, across at 90."
)]
pub struct Torque {
    /// The torque at the joint, as 5N·m, 44in-lb or 51kgf·cm [default: 5 N·m]
    #[arg(value_name = "TORQUE", value_parser = JointTorque::parse)]
    torque: Option<JointTorque>,
    /// How far a crowfoot moves the nut from the wrench's square
    #[arg(long, value_name = "LENGTH", requires = "wrench")]
    crowfoot: Option<String>,
    /// The wrench, from its square to the middle of the grip
    #[arg(long, value_name = "LENGTH", requires = "crowfoot")]
    wrench: Option<String>,
    /// The crowfoot's angle to the wrench, in degrees, 0 to 180
    #[arg(long, value_name = "DEGREES", requires = "crowfoot")]
    angle: Option<String>,
}

impl Torque {
    /// Says it in four units, and what the wrench must be set to.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let angle = self.angle.as_deref().map(parse_angle).transpose()?;
        let crowfoot = self.crowfoot.zip(self.wrench);
        let crowfoot =
            crowfoot.map(|(crowfoot, wrench)| Crowfoot::parse(&crowfoot, &wrench, angle));
        let answer = torque(self.torque.unwrap_or_default(), crowfoot.transpose()?.as_ref());
        if desk.json {
            desk.json(&with_cautions(as_json(&answer)?, TORQUE_CAUTIONS))?;
        } else {
            said(desk, &answer.to_string())?;
            cautions(desk, TORQUE_CAUTIONS)?;
        }
        Ok(Status::Done)
    }
}

/// Which O-rings?
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright seals 7K2M9\n  hosewright seals --joint swivel-pin\n  \
    hosewright seals\n\nWithout either, every joint. Exit code 1: the seals of an end are not known."
)]
pub struct Seals {
    /// The code on a hose's tag: the seals of both its ends
    #[arg(value_name = "CODE", conflicts_with = "joint")]
    code: Option<String>,
    /// A joint: port:3/8-24, plug:3/8-24, second-stage, swivel-pin
    #[arg(long, value_name = "JOINT")]
    joint: Option<Joint>,
    #[command(flatten)]
    csv: Csv,
}

impl Seals {
    /// Names the rings of each joint.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let found: Vec<Ringed> = self.wanted(desk)?.into_iter().map(Ringed::of).collect();
        let status = yes(found.iter().all(|ringed| ringed.seals.is_some()));
        if desk.json {
            let joints: Vec<Value> = found.iter().map(Ringed::json).collect();
            desk.json(&json!({ "joints": joints, "cautions": SEAL_CAUTIONS }))?;
        } else if self.csv.csv {
            csv::write(desk, ["joint", "rings", "words"], found.iter().map(Ringed::cells))?;
        } else {
            let head = [Whole("Joint"), Whole("Rings"), Text("In words", 16)];
            let mut rows = table::new(Screen::of_stdout(), head);
            rows.add_rows(found.iter().map(Ringed::cells));
            desk.out.text(rows.drawn())?;
            cautions(desk, SEAL_CAUTIONS)?;
        }
        Ok(status)
    }

    /// The joints that are asked about, each with its name.
    fn wanted(&self, desk: &Desk) -> Result<Vec<(String, Option<Joint>)>, Failure> {
        let known = |joint: Joint| (joint.to_string(), Some(joint));
        let Some(code) = &self.code else {
            let one = self.joint.map(|joint| vec![known(joint)]);
            return Ok(one.unwrap_or_else(|| Joint::all().map(known).collect()));
        };
        let logbook = desk.open_to_read()?;
        let hose = logbook.specification(logbook.find_typed(code)?.hose)?;
        let end = |end| (format!("end-{end}"), joint_of(&hose, end));
        Ok(vec![end(End::A), end(End::B)])
    }
}

/// A joint's name and its rings, if they are known.
struct Ringed {
    joint: String,
    seals: Option<SealsOfJoint>,
}

impl Ringed {
    fn of((joint, known): (String, Option<Joint>)) -> Self {
        Self { joint, seals: known.and_then(seals) }
    }

    fn json(&self) -> Value {
        match &self.seals {
            Some(seals) => json!({ "joint": self.joint, "rings": seals.rings,
                "words": seals.words, "warning": seals.warning }),
            None => json!({ "joint": self.joint, "rings": [], "words": UNKNOWN_SEALS }),
        }
    }

    fn cells(&self) -> [String; 3] {
        ring_row(&self.joint, self.seals.as_ref())
    }
}

/// Which hose takes another's place?
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright replace 7K2M9\n  hosewright replace 7K2M9 --json | jq .fits\n\n\
    Looks through the stock. Exit code 1: nothing in stock fits; it says what to order."
)]
pub struct Replace {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    csv: Csv,
}

impl Replace {
    /// Names what fits, why the rest does not, and what to order.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let hose = self.which.hose(&logbook)?;
        let answer = logbook.replacement(hose, &desk.moment)?;
        let status = yes(!answer.fits.is_empty());
        if desk.json {
            desk.json(&answer)?;
            return Ok(status);
        }
        let rows = replacement_rows(&answer);
        if self.csv.csv {
            csv::write(desk, ["number", "code", "fits", "words"], rows)?;
            return Ok(status);
        }
        if !rows.is_empty() {
            let head = [Whole("Number"), Whole("Code"), Whole("Fits"), Text("In words", 16)];
            let mut shown = table::new(Screen::of_stdout(), head);
            shown.add_rows(rows);
            desk.out.text(shown.drawn())?;
            desk.out.line("")?;
        }
        said(desk, &answer.order.words)?;
        cautions(desk, answer.cautions)?;
        Ok(status)
    }
}

/// Each hose: its own number, its code, whether it fits, and the same in words.
fn replacement_rows(answer: &Replacement<Code>) -> Vec<[String; 4]> {
    let fits = answer.fitting.iter().map(|fit| (&fit.number, fit.code, "yes", &fit.words));
    let not = answer.not.iter().map(|not| (&not.number, not.code, "no", &not.words));
    let row = |(number, code, fits, words): (&Option<Label>, Code, &str, &String)| {
        let number = number.as_ref().map(ToString::to_string).unwrap_or_default();
        [number, code.to_string(), fits.to_owned(), words.clone()]
    };
    fits.chain(not).map(row).collect()
}

impl From<FitError> for Failure {
    fn from(error: FitError) -> Self {
        Self::refused(error.to_string())
    }
}

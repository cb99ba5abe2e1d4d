//! `inspect`: a hose was looked over.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use hosewright_core::hose::{Label, Specification};
use hosewright_core::inspection::{
    FINDINGS, FindingError, FindingRule, Form, InspectionKind, LeakTest, Look, Observation, Place,
};
use hosewright_core::measure::TestPressure;
use hosewright_core::photograph::Photograph;

use super::Which;
use crate::cli::values::{self, On};
use crate::desk::{Desk, Outcome};
use crate::failure::Failure;
use crate::show;

/// An inspection.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright inspect 7K2M9 --kind full --finding run:strands:2 --finding end-a:salt\n  \
    hosewright inspect 7K2M9 --kind leak-test --pressure 200bar --passed\n  \
    hosewright inspect 7K2M9 --kind quick --finding run:cut:cover --photo run=cut.jpg\n\n\
    A place that is not named counts as looked at, nothing found. --help lists every finding.",
    after_long_help = findings())]
pub struct Inspect {
    #[command(flatten)]
    which: Which,
    /// How thorough: quick, full or leak-test
    #[arg(long)]
    kind: InspectionKind,
    /// Something seen; may be given again
    #[arg(long = "finding", value_name = "PLACE:FINDING[:GRADE|COUNT]")]
    findings: Vec<Observation>,
    /// The pressure of a leak test, as 200bar or 3000psi
    #[arg(long)]
    pressure: Option<TestPressure>,
    /// Nothing leaked
    #[arg(long, conflicts_with = "failed")]
    passed: bool,
    /// It leaked
    #[arg(long)]
    failed: bool,
    /// A note
    #[arg(long, value_name = "TEXT", value_parser = values::note)]
    note: Option<Label>,
    /// A PNG or JPEG photo of what was found at a place, as run=cut.jpg; may be given again
    #[arg(long = "photo", value_name = "PLACE=FILE")]
    photos: Vec<PhotoOf>,
    #[command(flatten)]
    when: On,
}

/// A photo and the place that it shows.
#[derive(Debug, Clone)]
struct PhotoOf {
    place: Place,
    file: PathBuf,
}

impl FromStr for PhotoOf {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let parts = typed.split_once('=').filter(|(_, file)| !file.is_empty());
        let (place, file) =
            parts.ok_or_else(|| format!("“{typed}” is not PLACE=FILE, as run=cut.jpg"))?;
        let place =
            place.trim().parse().map_err(|e: hosewright_core::hose::HoseError| e.to_string())?;
        Ok(Self { place, file: file.into() })
    }
}

impl PhotoOf {
    fn read(&self) -> Result<(Place, Photograph), Failure> {
        let bytes = std::fs::read(&self.file).map_err(Failure::io(&self.file))?;
        let made = Photograph::make(&bytes);
        let named = |error| Failure::refused(format!("{}: {error}", self.file.display()));
        Ok((self.place, made.map_err(named)?))
    }
}

impl Inspect {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        let on = self.when.on;
        let photographs = self.photos.iter().map(PhotoOf::read).collect::<Result<_, _>>()?;
        let look = self.look(&logbook.specification(hose)?)?;
        logbook.inspect_with(hose, look, photographs, on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }

    fn look(self, hose: &Specification) -> Result<Look, Failure> {
        let mut form = Form::new(self.kind, hose);
        form.clear_rest();
        for seen in &self.findings {
            form.found(*seen)?;
        }
        match (self.passed || self.failed, self.pressure) {
            (true, pressure) => form.tested(LeakTest::new(self.passed, pressure)),
            (false, Some(_)) if self.kind == InspectionKind::LeakTest => {
                return Err(FindingError::NoResult.into());
            }
            (false, Some(_)) => return Err(FindingError::NotATest.into()),
            (false, None) => {}
        }
        if let Some(note) = self.note {
            form.note(note);
        }
        Ok(form.finish()?)
    }
}

/// The table of findings as help.
fn findings() -> String {
    let mut rows: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for rule in FINDINGS {
        let grade = rule.grade.in_words();
        let grade = if grade.is_empty() { "no grade".to_owned() } else { grade };
        let line = format!("{grade} ({}; {}: {})", rule.seen, rule.on.in_words(), rule.verdict);
        rows.entry(format!("{} at {}", rule.finding, places(rule))).or_default().push(line);
    }
    let mut text = String::from(
        "Example:\n  hosewright inspect 7K2M9 --kind full --finding run:strands:2 --finding end-a:salt\n  \
         hosewright inspect 7K2M9 --kind leak-test --pressure 200bar --passed\n\n\
         A place that is not named counts as looked at, nothing found.\n\nFindings:\n",
    );
    for (what, grades) in rows {
        text.push_str(&format!("  {what}\n"));
        for grade in grades {
            text.push_str(&format!("      {grade}\n"));
        }
    }
    text
}

fn places(rule: &FindingRule) -> String {
    let has: Vec<&str> =
        Place::ALL.iter().filter(|place| rule.at.has(**place)).map(|place| place.word()).collect();
    has.join(", ")
}

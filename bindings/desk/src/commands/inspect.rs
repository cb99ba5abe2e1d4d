//! `inspect`: a hose was looked over.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use hosewright_core::hose::{Label, Specification};
use hosewright_core::inspection::{
    Damage, FINDINGS, FindingError, FindingRule, Form, InspectionKind, Known, LEAK_TEST_LEAD,
    LeakTest, Look, Observation, Place, TestMethod,
};
use hosewright_core::measure::TestPressure;
use hosewright_core::photograph::Photograph;

use super::which::Which;
use crate::desk::{Desk, Outcome};
use crate::failure::Failure;
use crate::show;
use crate::values::{self, On};

/// An inspection.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright inspect 7K2M9 --kind full --finding run:strands:2 --finding end-a:salt\n  \
    hosewright inspect 7K2M9 --kind leak-test --pressure 200bar --method under-water --passed\n  \
    hosewright inspect 7K2M9 --kind full --gone run:cut --why \"it was tape\"\n  \
    hosewright inspect 7K2M9 --kind quick --finding run:cut:cover --photo run=cut.jpg\n\n\
    A place that is not named counts as looked at, nothing found. --help lists every finding.",
    after_long_help = findings())]
pub struct Inspect {
    #[command(flatten)]
    which: Which,
    /// How thorough: quick, full or leak-test
    #[arg(long, value_parser = values::word(InspectionKind::ALL, InspectionKind::word), hide_possible_values = true)]
    kind: InspectionKind,
    /// Something seen; may be given again
    #[arg(long = "finding", value_name = "PLACE:FINDING[:GRADE|COUNT]", value_parser = values::finding::<Observation>)]
    findings: Vec<Observation>,
    /// The pressure of a leak test, as 200bar or 3000psi
    #[arg(long)]
    pressure: Option<TestPressure>,
    /// How a leak test was done: soapy-water or under-water
    #[arg(long, value_parser = values::word(TestMethod::ALL, TestMethod::word), hide_possible_values = true)]
    method: Option<TestMethod>,
    /// Nothing leaked
    #[arg(long, conflicts_with = "failed")]
    passed: bool,
    /// It leaked
    #[arg(long)]
    failed: bool,
    /// Damage on record (cut, crack, kink, strands, nut-rounded) that is not there; may be given
    /// again. The same or worse is given as a finding
    #[arg(long = "gone", value_name = "PLACE:FINDING", value_parser = values::finding::<Damage>)]
    gone: Vec<Damage>,
    /// Why it is not there
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Option<Label>,
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
        let known = logbook.wants_answers(hose, on, &desk.moment)?;
        let look = self.look(&logbook.specification(hose)?, known)?;
        logbook.inspect_with(hose, look, photographs, on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }

    fn look(self, hose: &Specification, known: Vec<Known>) -> Result<Look, Failure> {
        let mut form = Form::new(self.kind, hose).with_known(known);
        form.clear_rest();
        for seen in &self.findings {
            form.found(*seen)?;
        }
        self.gone.iter().for_each(|damage| form.gone(*damage));
        if let Some(why) = self.why {
            form.why(why);
        }
        let measured = self.pressure.is_some() || self.method.is_some();
        match self.passed || self.failed {
            true => form.tested(LeakTest::new(self.passed, self.pressure).done(self.method)),
            false if measured && self.kind == InspectionKind::LeakTest => {
                return Err(FindingError::NoResult.into());
            }
            false if measured => return Err(FindingError::NotATest.into()),
            false => {}
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
         A place that is not named counts as looked at, nothing found. Damage on record is not:\n\
         a full inspection gives it again as it is now, or says --gone PLACE:FINDING and --why.\n\n\
         Bubbles on the run under water, wait: trapped air. Wet the braid, pull the protector back,\n\
         and count them once they go on after a minute.\n\n",
    );
    text.push_str("A leak test: ");
    text.push_str(LEAK_TEST_LEAD);
    text.push_str("\n\nFindings:\n");
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

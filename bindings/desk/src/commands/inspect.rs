//! `inspect`: a hose was looked over.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use hosewright_core::Logbook;
use hosewright_core::hose::{Label, Prose, Specification};
use hosewright_core::inspection::{
    Damage, FINDINGS, FindingError, FindingRule, Form, InspectionKind, Known, LEAK_TEST_LEAD,
    LeakTest, Look, LookedOver, Observation, Place, SaidOn, TestMethod, TestOfSet,
};
use hosewright_core::measure::TestPressure;
use hosewright_core::photograph::Photograph;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show;
use crate::values::{self, On};

/// An inspection.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright inspect 7K2M9 --kind full --finding run:strands:2 --finding end-a:salt\n  \
    hosewright inspect 7K2M9 --kind leak-test --pressure 200bar --method under-water --passed\n  \
    hosewright inspect 7K2M9 --kind full --gone run:cut --why \"it was tape\"\n  \
    hosewright inspect 7K2M9 --kind quick --finding run:cut:cover --photo run=cut.jpg\n  \
    hosewright inspect --set R3 7K2M9 3FQ8Z --finding 7K2M9:run:scuff --pressure 200bar --passed\n\n\
    A place that is not named counts as looked at, nothing found. --help lists every finding.",
    after_long_help = findings())]
pub struct Inspect {
    /// The code on the hose's tag, or its first characters; of every hose that was scanned, with
    /// --set
    #[arg(value_name = "CODE", required = true)]
    codes: Vec<String>,
    /// A set, of which every hose that is scanned gets a full inspection, and one leak test if
    /// there is a result
    #[arg(long, value_name = "NAME", value_parser = values::set_name)]
    set: Option<Label>,
    /// How thorough: quick, full or leak-test
    #[arg(long, required_unless_present = "set", conflicts_with = "set", value_parser = values::word(InspectionKind::ALL, InspectionKind::word), hide_possible_values = true)]
    kind: Option<InspectionKind>,
    /// Something seen; may be given again. With --set its hose comes first: CODE:PLACE:FINDING
    #[arg(long = "finding", value_name = "PLACE:FINDING[:GRADE|COUNT]", value_parser = of_one_or_set::<Observation>)]
    findings: Vec<Said<Observation>>,
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
    /// A hose of a set that leaked; may be given again
    #[arg(long, value_name = "CODE", requires = "set", conflicts_with = "passed")]
    leaked: Vec<String>,
    /// Damage on record (cut, crack, kink, strands, nut-rounded) that is not there; may be given
    /// again. The same or worse is given as a finding
    #[arg(long = "gone", value_name = "PLACE:FINDING", value_parser = of_one_or_set::<Damage>)]
    gone: Vec<Said<Damage>>,
    /// Why it is not there
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Option<Prose>,
    /// A note
    #[arg(long, value_name = "TEXT", value_parser = values::note)]
    note: Option<Prose>,
    /// A PNG or JPEG photo of what was found at a place, as run=cut.jpg; may be given again
    #[arg(long = "photo", value_name = "PLACE=FILE", conflicts_with = "set")]
    photos: Vec<PhotoOf>,
    #[command(flatten)]
    when: On,
}

/// Something at a place of a hose, or of one of a set's, which comes first then.
#[derive(Debug, Clone)]
pub(super) enum Said<T> {
    /// Of the hose that the command is about.
    OfOne(T),
    /// Of a hose of the set.
    OfSet(SaidOn<T>),
}

fn of_one_or_set<T: FromStr<Err = FindingError>>(typed: &str) -> Result<Said<T>, String> {
    let one = values::finding(typed).map(Said::OfOne);
    one.or_else(|why| typed.parse().map(Said::OfSet).map_err(|_| why))
}

impl<T> Said<T> {
    /// What is said where the command is about one hose.
    fn of_one(self) -> Result<T, Failure> {
        match self {
            Self::OfOne(said) => Ok(said),
            Self::OfSet(on) => Err(Failure::refused(format!(
                "only with --set a finding names its hose first, as {}:PLACE:FINDING",
                on.hose
            ))),
        }
    }
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
        if self.set.is_some() {
            return self.of_set(desk, &mut logbook);
        }
        let [code] = self.codes.as_slice() else {
            return Err(Failure::refused(SEVERAL.to_owned()));
        };
        let hose = logbook.find_typed(code)?.hose;
        let on = self.when.on;
        let photographs = self.photos.iter().map(PhotoOf::read).collect::<Result<_, _>>()?;
        let known = logbook.wants_answers(hose, on, &desk.moment)?;
        let look = self.look(&logbook.specification(hose)?, known)?;
        logbook.inspect_with(hose, look, photographs, on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }

    fn look(self, hose: &Specification, known: Vec<Known>) -> Result<Look, Failure> {
        let kind = self.kind.unwrap_or(InspectionKind::Full);
        let mut form = Form::new(kind, hose).with_known(known);
        form.clear_rest();
        for seen in self.findings {
            form.found(seen.of_one()?)?;
        }
        for damage in self.gone {
            form.gone(damage.of_one()?);
        }
        if let Some(why) = self.why {
            form.why(why);
        }
        let measured = self.pressure.is_some() || self.method.is_some();
        match self.passed || self.failed {
            true => form.tested(LeakTest::new(self.passed, self.pressure).done(self.method)),
            false if measured && kind == InspectionKind::LeakTest => {
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

/// Said if several hoses are named without their set.
const SEVERAL: &str = "several hoses are inspected at once as those of a set: --set NAME";

impl Inspect {
    /// Inspects every hose of a set that was scanned, and tests them at once.
    fn of_set(self, desk: &mut Desk, logbook: &mut Logbook) -> Outcome {
        let Some(set) = self.set else { return Err(Failure::refused(SEVERAL.to_owned())) };
        if self.failed && self.leaked.is_empty() {
            return Err(Failure::refused(WHICH_LEAKED.to_owned()));
        }
        let tested = self.passed || !self.leaked.is_empty();
        if !tested && (self.pressure.is_some() || self.method.is_some()) {
            return Err(FindingError::NoResult.into());
        }
        let (pressure, method, leaked) = (self.pressure, self.method, self.leaked);
        let looked = LookedOver {
            scanned: self.codes,
            seen: self.findings.into_iter().map(Said::of_set).collect::<Result<_, _>>()?,
            gone: self.gone.into_iter().map(Said::of_set).collect::<Result<_, _>>()?,
            why: self.why,
            note: self.note,
            test: tested.then_some(TestOfSet { leaked, pressure, method }),
        };
        logbook.inspect_set(&set, &looked, self.when.on, &desk.moment)?;
        show::sets::one(desk, logbook, &set)?;
        Ok(Status::Done)
    }
}

/// Said if something leaked, and nobody says what.
const WHICH_LEAKED: &str = "name each hose that leaked: --leaked CODE";

impl<T> Said<T> {
    /// What is said where the command is about a set.
    fn of_set(self) -> Result<SaidOn<T>, Failure> {
        match self {
            Self::OfSet(on) => Ok(on),
            Self::OfOne(_) => Err(Failure::refused(
                "with --set a finding names its hose first: CODE:PLACE:FINDING".to_owned(),
            )),
        }
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

//! The form with which every hose of a set is inspected and leak-tested at once: each
//! hose that was scanned with its checkpoints, and one leak test for all.

use super::inspection::{self, Inspected};
use super::rental::SCANNED;
use super::{Choice, Field, FieldRefused, Filled, Form, Group, Kind};
use crate::answer::Answer;
use crate::event::PortName;
use crate::hose::Specification;
use crate::inspection::{InspectionKind, Known, LeakTest, Look, TestMethod};
use crate::measure::TestPressure;
use crate::tag::Code;
use crate::words;
use crate::words::form::SAVE;
use crate::words::inspection as say;

/// A hose of a set, as far as its inspection needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct HoseOfSet {
    /// Its port.
    pub port: PortName,
    /// What it is.
    pub hose: Specification,
    /// Damage on record that wants an answer.
    pub known: Vec<Known>,
    /// Its answer now.
    pub answer: Answer,
}

impl HoseOfSet {
    /// Its tag.
    #[must_use]
    pub const fn code(&self) -> Code {
        self.answer.code
    }

    /// What people call it: its port, its own number, its code.
    #[must_use]
    pub fn called(&self) -> String {
        let number = self.answer.hose.origin.own.number.as_ref();
        format!("{}: {}", self.port, words::by_number(number, self.code()))
    }

    /// The same without its code, if it has a number of its own.
    fn shortly(&self) -> String {
        let number = self.answer.hose.origin.own.number.as_ref();
        format!("{} {}", self.port, words::called(number, self.code()))
    }

    /// What its fields' names begin with.
    fn prefix(&self) -> String {
        format!("{}|", self.code())
    }

    fn inspected<'i>(&'i self, of: &'i str) -> Inspected<'i> {
        Inspected { hose: &self.hose, kind: InspectionKind::Full, known: &self.known, of }
    }
}

/// The fields of the leak test, which is one for all.
const RESULT: &str = "test";
/// The pressure of the leak test.
pub const PRESSURE: &str = "test-pressure";
const METHOD: &str = "test-method";
const LEAKED: &str = "leaked";

/// The form for the hoses of a set that were scanned, as far as it is filled in.
#[must_use]
pub fn draw(filled: &Filled, hoses: &[HoseOfSet]) -> Form {
    let scanned = filled.all(SCANNED).map(|text| Field::fixed(SCANNED, text));
    let mut form = Form::new(say::SET_TITLE, SAVE, scanned.collect()).lead(say::FULL_LEAD);
    for hose in hoses {
        let prefix = hose.prefix();
        let of = hose.inspected(&prefix);
        // Each place says of which hose it is: five of them look alike.
        let named =
            |group: Group| Group { title: say::of_hose(&hose.shortly(), &group.title), ..group };
        form.groups.extend(inspection::groups(of, Some(&hose.answer)).into_iter().map(named));
        let why = Vec::from_iter(inspection::why_gone(of));
        form.groups.push(Group { fields: why, ..Group::default() });
    }
    form.groups.push(leak_test(hoses));
    form.filled(filled).checked(&read(filled, hoses))
}

fn leak_test(hoses: &[HoseOfSet]) -> Group {
    let results =
        [("passed", say::SET_PASSED), ("failed", say::SET_FAILED), ("none", say::SET_NOT_TESTED)];
    let leaked = hoses.iter().map(|hose| Choice::new(hose.code().to_string(), hose.called()));
    let methods = TestMethod::ALL.iter().map(|method| (method.word(), method.in_words()));
    let fields = vec![
        Field::choice(RESULT, say::RESULT, results).needed(),
        Field::new(LEAKED, say::SET_LEAKED, Kind::Many(leaked.collect())),
        Field::text(PRESSURE, say::PRESSURE).hint(say::PRESSURE_HINT),
        Field::choice(METHOD, say::METHOD, methods),
    ];
    Group { title: say::SET_LEAK_TEST.to_owned(), fields, ..Group::default() }
}

/// What was seen on each hose, and what its leak test came to, if there was one.
///
/// # Errors
/// [`FieldRefused`] with what is missing, or does not go together.
pub fn read(
    filled: &Filled,
    hoses: &[HoseOfSet],
) -> Result<Vec<(Code, Look, Option<LeakTest>)>, FieldRefused> {
    if hoses.is_empty() {
        return Err(FieldRefused::new(SCANNED, say::SET_SCAN_FIRST));
    }
    let looks = hoses.iter().map(|hose| {
        let prefix = hose.prefix();
        let look = inspection::read(filled, hose.inspected(&prefix));
        let named = |refused: FieldRefused| {
            let words = format!("{}: {}", hose.called(), refused.words);
            FieldRefused { words, ..refused }
        };
        Ok((hose.code(), look.map_err(named)?))
    });
    let looks = looks.collect::<Result<Vec<_>, FieldRefused>>()?;
    let leaked: Vec<&str> = filled.all(LEAKED).collect();
    let pressure: Option<TestPressure> = filled.parsed(PRESSURE)?;
    let method: Option<TestMethod> = filled.parsed(METHOD)?;
    let test = |passed| LeakTest::new(passed, pressure.clone()).done(method);
    let tested: Box<dyn Fn(Code) -> Option<LeakTest>> = match filled.get(RESULT) {
        "passed" if !leaked.is_empty() => return Err(FieldRefused::new(LEAKED, say::SET_WHICH)),
        "passed" => Box::new(|_| Some(test(true))),
        "failed" if leaked.is_empty() => return Err(FieldRefused::new(LEAKED, say::SET_WHICH)),
        "failed" => Box::new(|code: Code| Some(test(!leaked.contains(&code.to_string().as_str())))),
        "none" => Box::new(|_| None),
        _ => return Err(FieldRefused::new(RESULT, say::SET_SAY_RESULT)),
    };
    Ok(looks.into_iter().map(|(code, look)| (code, look, tested(code))).collect())
}

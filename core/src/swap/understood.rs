//! What is typed in answer to a step, understood.

use super::{Asks, Step};
use crate::fit::tool::Nut;
use crate::fit::torque::JointTorque;
use crate::hose::Label;
use crate::inspection::TestMethod;
use crate::measure::TestPressure;

/// An answer to a step, understood.
#[derive(Debug, Clone, PartialEq)]
pub enum Answered {
    /// It is done.
    Done,
    /// The thread does not go in.
    NotIn,
    /// A tag was scanned.
    Tag(String),
    /// Seated; its size, where it was said.
    Spanner(Option<String>),
    /// How the O-rings were.
    Seals(&'static str),
    /// Tightened, to this torque where one was read.
    Torque(Option<String>),
    /// The leak test's result.
    LeakTest {
        /// Whether nothing leaked.
        passed: bool,
        /// At which pressure.
        pressure: Option<TestPressure>,
        /// How.
        method: Option<TestMethod>,
    },
    /// The old hose goes to stock.
    Stock,
    /// The old hose is retired.
    Retire(Label),
}

/// Understands an answer to a step.
///
/// # Errors
/// What is wrong with it and what is understood, in words.
pub fn understand(step: &Step, typed: &str) -> Result<Answered, String> {
    let text = typed.trim();
    let folded = text.to_lowercase();
    let done = matches!(folded.as_str(), "done" | "yes" | "y" | "ok");
    let wrong =
        || format!("“{text}” does not answer step {}; answer {}", step.name, step.asks.answers());
    match step.asks {
        Asks::Done | Asks::GoesIn if done => Ok(Answered::Done),
        Asks::GoesIn if does_not_go_in(&folded) => Ok(Answered::NotIn),
        Asks::Done if matches!(folded.as_str(), "no" | "n") => {
            Err(format!("step {} comes first: {}", step.name, step.todo))
        }
        Asks::OldTag | Asks::NewTag if !text.is_empty() => Ok(Answered::Tag(text.to_owned())),
        Asks::Spanner if done => Ok(Answered::Spanner(None)),
        Asks::Spanner => Nut::parse(text)
            .map(|_| Answered::Spanner(Some(text.to_owned())))
            .map_err(|e| e.to_string()),
        Asks::Seals => ["good", "missing", "damaged"]
            .into_iter()
            .find(|word| *word == folded)
            .map(Answered::Seals)
            .ok_or_else(wrong),
        Asks::Torque if done => Ok(Answered::Torque(None)),
        Asks::Torque => JointTorque::parse(text)
            .map(|_| Answered::Torque(Some(text.to_owned())))
            .map_err(|e| e.to_string()),
        Asks::LeakTest => result(&folded).unwrap_or_else(|| Err(wrong())),
        Asks::OldGoes if folded == "stock" => Ok(Answered::Stock),
        Asks::OldGoes => folded
            .strip_prefix("retire")
            .and_then(|rest| text.get(text.len() - rest.len()..))
            .and_then(|why| Label::new("a reason", why.trim_start_matches([':', ' '])).ok())
            .map(Answered::Retire)
            .ok_or_else(wrong),
        _ => Err(wrong()),
    }
}

fn result(folded: &str) -> Option<Result<Answered, String>> {
    let (word, rest) = folded.split_once(' ').unwrap_or((folded, ""));
    let passed = match word {
        "passed" | "pass" | "yes" => true,
        "failed" | "fail" | "no" => false,
        _ => return None,
    };
    let (rest, method) = method_in(rest);
    let rest = rest.trim_start_matches("at ").trim();
    if rest.is_empty() {
        return Some(Ok(Answered::LeakTest { passed, pressure: None, method }));
    }
    let pressure = TestPressure::parse(rest);
    Some(
        pressure
            .map(|pressure| Answered::LeakTest { passed, pressure: Some(pressure), method })
            .map_err(|e| e.to_string()),
    )
}

/// How a leak test was done, as it is typed behind its pressure, and what stands
/// before that.
fn method_in(typed: &str) -> (&str, Option<TestMethod>) {
    let ways = [
        ("soapy-water", TestMethod::SoapyWater),
        ("soapy water", TestMethod::SoapyWater),
        ("under-water", TestMethod::UnderWater),
        ("under water", TestMethod::UnderWater),
    ];
    let end = typed.trim_end();
    let found = ways.iter().find_map(|(words, way)| Some((end.strip_suffix(words)?, *way)));
    found.map_or((typed, None), |(before, way)| {
        let before = before.trim_end().trim_end_matches("with").trim_end();
        (before.trim_end_matches([',', ';']), Some(way))
    })
}

fn does_not_go_in(folded: &str) -> bool {
    let said = folded.replace(['’', '-', '_'], " ").replace("doesn t", "does not");
    let said = said.replace("doesn't", "does not");
    matches!(said.trim_start_matches("it "), "does not go in" | "no" | "n")
}

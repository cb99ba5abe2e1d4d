//! The guided swap: one table of steps, of which each swap needs some.
//!
//! A swap lives in the record of both hoses, so that it can be left at any step
//! and taken up again, on this device or another. Source of the steps: common
//! practice, no source; the maker's instructions come first.

use serde::Serialize;

use crate::fit::replacement::mismatches;
use crate::fit::torque::JointTorque;
use crate::hose::{Fitting, Label, Service, Specification};
use crate::inspection::TestMethod;
use crate::measure::TestPressure;
use crate::record::OpenSwap;

/// What a step asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// That it is done.
    Done,
    /// That it is done, or that the thread does not go in.
    GoesIn,
    /// The old hose's tag.
    OldTag,
    /// The new hose's tag.
    NewTag,
    /// How the O-rings are: good, missing or damaged.
    Seals,
    /// The torque that it was tightened to, or that it is done.
    Torque,
    /// Whether the leak test passed.
    LeakTest,
    /// Where the old hose goes: stock, or retire and why.
    OldGoes,
}

impl Asks {
    /// The answers that are understood.
    #[must_use]
    pub const fn answers(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::GoesIn => "done, or: it doesn't go in",
            Self::OldTag | Self::NewTag => "the code on its tag",
            Self::Seals => "good, missing or damaged",
            Self::Torque => "done, or the torque, as 5 N·m",
            Self::LeakTest => {
                "passed or failed, as: passed 200 bar under water (or: with soapy water)"
            }
            Self::OldGoes => "stock, or retire: WHY",
        }
    }
}

impl Asks {
    /// The answers that a screen offers as buttons, each with its words; none
    /// where a tag is scanned. What is behind a colon is typed.
    #[must_use]
    pub const fn choices(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::Done => &[("done", "Done")],
            Self::GoesIn => &[("done", "It goes in"), (NOT_IN, "It doesn't go in")],
            Self::OldTag | Self::NewTag => &[],
            Self::Seals => &[
                ("good", "All there and good"),
                ("missing", "One was missing"),
                ("damaged", "One was damaged"),
            ],
            Self::Torque => &[("done", "Tight")],
            Self::LeakTest => &[("passed", "Nothing leaked"), ("failed", "It leaked")],
            Self::OldGoes => {
                &[("stock", "Back to stock"), ("retire:", "Out of service for good, because")]
            }
        }
    }
}

impl Step {
    /// The step of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        STEPS.iter().find(|step| step.name == name)
    }
}

/// What a swap is of, as far as its steps depend on it.
#[derive(Debug, Clone, Copy)]
pub struct Swap<'a> {
    /// The hose that comes off.
    pub old: &'a Specification,
    /// The hose that goes on.
    pub new: &'a Specification,
    /// Whether the new hose goes into another port, whose plug comes out.
    pub plug_moves: bool,
}

/// One row of the table of steps.
pub struct Step {
    /// Its name.
    pub name: &'static str,
    /// What to do, in words.
    pub todo: &'static str,
    /// What it asks for.
    pub asks: Asks,
    needed: fn(&Swap<'_>) -> bool,
}

const fn step(
    name: &'static str,
    asks: Asks,
    needed: fn(&Swap<'_>) -> bool,
    todo: &'static str,
) -> Step {
    Step { name, todo, asks, needed }
}

const fn always(_: &Swap<'_>) -> bool {
    true
}

fn far_end_turns(swap: &Swap<'_>) -> bool {
    swap.old.service() != Service::Inflator && !makers_own(swap)
}

fn far_end_clicks(swap: &Swap<'_>) -> bool {
    swap.old.service() == Service::Inflator && !makers_own(swap)
}

fn makers_own(swap: &Swap<'_>) -> bool {
    matches!(swap.old.fitting(crate::hose::End::B), Fitting::Proprietary(_))
}

fn swivel_pin(swap: &Swap<'_>) -> bool {
    swap.old.service() == Service::Gauge
}

/// Every step that a swap can have, in their order.
pub const STEPS: &[Step] = &[
    step(
        "depressurised",
        Asks::Done,
        always,
        "Close the valve, purge until nothing comes, and take the first stage off the cylinder. \
         Never work on a pressurised regulator.",
    ),
    step(
        "laid-out",
        Asks::Done,
        always,
        "Lay the set out so that nothing whips round or rolls off.",
    ),
    step("old-tag", Asks::OldTag, always, "Scan the old hose."),
    step(
        "protector-back",
        Asks::Done,
        |swap| swap.old.protector(),
        "Pull the old hose's protectors back.",
    ),
    step(
        "held",
        Asks::Done,
        always,
        "Hold the first stage firmly, by its body and never by another hose.",
    ),
    step(
        "spanner",
        Asks::Done,
        always,
        "Seat a fixed spanner of the right size flat and deep on the nut; no adjustable one.",
    ),
    step(
        "off",
        Asks::Done,
        always,
        "Turn anticlockwise: a hose comes off in 4 to 5 turns. Take the old hose off.",
    ),
    step(
        "far-end-off",
        Asks::Done,
        far_end_turns,
        "Undo the far end with two spanners pinched against each other, so that nothing else turns.",
    ),
    step(
        "far-end-unclicked",
        Asks::Done,
        far_end_clicks,
        "Pull the quick-disconnect's collar back and take it off.",
    ),
    step(
        "far-end-maker-off",
        Asks::Done,
        makers_own,
        "Undo the far end as its maker says: it is the maker's own fitting.",
    ),
    step(
        "seals",
        Asks::Seals,
        always,
        "Look at the O-rings. A missing one is in the port or on the old hose: pick it out with \
         something soft, and fit a new one.",
    ),
    step(
        "pin",
        Asks::Done,
        swivel_pin,
        "Take the swivel pin out, look at both of its tiny O-rings, and put it back with a thin \
         film of grease. Silicone grease is not for oxygen service.",
    ),
    step(
        "plug",
        Asks::Done,
        |swap| swap.plug_moves,
        "Take the plug out of the new port (5 to 6 turns) and put it into the old one; look at its \
         O-ring. A plug that is left over stays with the set.",
    ),
    step(
        "new-tag",
        Asks::NewTag,
        always,
        "Scan the new hose: its fit is checked before a thread is started.",
    ),
    step(
        "started",
        Asks::GoesIn,
        always,
        "Start the thread by hand. If it resists it is crossed: back it out, turn it backwards \
         until it drops with a click, then forwards.",
    ),
    step(
        "tightened",
        Asks::Torque,
        always,
        "Finger tight, then a nudge: about 5 N·m, so that fingers cannot undo it. No more: it \
         seals no better and strains the thread.",
    ),
    step(
        "far-end-on",
        Asks::Done,
        far_end_turns,
        "Do the far end up by hand, then with two spanners pinched against each other.",
    ),
    step(
        "far-end-clicked",
        Asks::Done,
        far_end_clicks,
        "Push the quick-disconnect on until it clicks, and tug at it.",
    ),
    step("far-end-maker-on", Asks::Done, makers_own, "Do the far end up as its maker says."),
    step(
        "protector-on",
        Asks::Done,
        |swap| swap.new.protector(),
        "Put the new hose's protectors back.",
    ),
    step(
        "leak-test",
        Asks::LeakTest,
        always,
        "Open the valve slowly, the glass of every gauge away from faces, read the pressure, and \
         test under water or with soapy water for a minute; never feel for a leak of a \
         high-pressure hose with a hand. Did nothing leak?",
    ),
    step(
        "function-check",
        Asks::Done,
        always,
        "Breathe from every second stage and purge it; connect the inflator and press it. If \
         anything does not work, close the valve, purge, and put that right first.",
    ),
    step("old-goes", Asks::OldGoes, always, "Where does the old hose go?"),
];

/// The steps that this swap needs, in their order.
pub fn steps(swap: &Swap<'_>) -> impl Iterator<Item = &'static Step> {
    STEPS.iter().filter(|step| (step.needed)(swap))
}

/// The first step that is not answered yet.
#[must_use]
pub fn next(swap: &Swap<'_>, open: &OpenSwap) -> Option<&'static Step> {
    let answered = |step: &Step| open.steps.iter().any(|(name, _)| name.as_str() == step.name);
    steps(swap).find(|step| !answered(step))
}

/// An answer to a step, understood.
#[derive(Debug, Clone, PartialEq)]
pub enum Answered {
    /// It is done.
    Done,
    /// The thread does not go in.
    NotIn,
    /// A tag was scanned.
    Tag(String),
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

/// What stands on record where a thread does not go in.
pub const NOT_IN: &str = "does-not-go-in";

/// What to say where a step is open still after its answer.
#[must_use]
pub fn open_still(step: &str) -> &'static str {
    match Step::named(step).map(|step| step.asks) {
        Some(Asks::GoesIn) => DOES_NOT_GO_IN,
        _ => LEAKED,
    }
}

/// What giving a swap up means for what is in the port, once the spanner was on
/// or before.
#[must_use]
pub fn giving_up(loosened: bool, seat: &str) -> String {
    if loosened {
        format!(
            "The spanner was on: once the swap is given up, a leak test is due for whatever is in \
             {seat}, before anybody dives it."
        )
    } else {
        "The spanner was not on: once the swap is given up, all is as it was.".to_owned()
    }
}

/// Said where a thread does not go in.
pub const DOES_NOT_GO_IN: &str = "It is on record that it does not go in. Do not force it. Measure \
the thread of the hose and that of the port, and see which they are; then put right what is on \
record of the hose or of the set's ports, with a reason. Where they do not go together, give this \
swap up.";

/// Said where a step is open still after its answer: the leak test failed.
pub const LEAKED: &str = "It is on record that it leaked. Close the valve and purge before \
anything is turned, put right what leaks, and test again.";

/// Why the new hose cannot take the old one's place; empty where it can.
#[must_use]
pub fn stops(swap: &Swap<'_>) -> Vec<String> {
    mismatches(swap.old, swap.new)
}

/// A step as it is shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StepShown {
    /// Its name.
    pub step: &'static str,
    /// What to do.
    pub todo: &'static str,
    /// The answers that are understood.
    pub answers: &'static str,
    /// What was answered, where it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<String>,
}

/// Every step of a swap with what was answered so far.
#[must_use]
pub fn shown(swap: &Swap<'_>, open: Option<&OpenSwap>) -> Vec<StepShown> {
    let answer = |name: &str| {
        let steps = open.map(|open| open.steps.as_slice()).unwrap_or_default();
        steps.iter().find(|(step, _)| step.as_str() == name).map(|(_, said)| said.to_string())
    };
    let one = |step: &'static Step| StepShown {
        step: step.name,
        todo: step.todo,
        answers: step.asks.answers(),
        answer: answer(step.name),
    };
    steps(swap).map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, HoseError};
    use crate::measure::HoseLength;

    fn hose(service: &str, b: &str, protector: bool) -> Specification {
        let service: Service = service.parse().unwrap_or_else(|e| unreachable!("{e}"));
        let a = if service == Service::Gauge { "7/16-20" } else { "3/8-24" };
        let end = |text: &str| text.parse().unwrap_or_else(|e: HoseError| unreachable!("{e}"));
        let length = HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
        Specification::new(service, Construction::Rubber, length, end(a), end(b), protector)
            .unwrap_or_else(|e| unreachable!("{e}"))
    }

    fn names(old: &Specification, new: &Specification, plug_moves: bool) -> Vec<&'static str> {
        steps(&Swap { old, new, plug_moves }).map(|step| step.name).collect()
    }

    #[test]
    fn a_swap_has_the_steps_that_it_needs() {
        let plain = hose("second-stage", "9/16-18", false);
        let sleeved = hose("second-stage", "9/16-18", true);
        let inflator = hose("inflator", "quick-disconnect", false);
        let gauge = hose("gauge", "7/16-20", false);
        let own = hose("second-stage", "proprietary:Otter", false);
        let of_plain = names(&plain, &plain, false);
        assert_eq!(
            of_plain,
            [
                "depressurised",
                "laid-out",
                "old-tag",
                "held",
                "spanner",
                "off",
                "far-end-off",
                "seals",
                "new-tag",
                "started",
                "tightened",
                "far-end-on",
                "leak-test",
                "function-check",
                "old-goes",
            ]
        );
        let rows = [
            (names(&sleeved, &plain, false), vec!["protector-back"], vec!["protector-on"]),
            (names(&plain, &sleeved, false), vec!["protector-on"], vec!["protector-back"]),
            (names(&plain, &plain, true), vec!["plug"], vec!["pin"]),
            (names(&gauge, &gauge, false), vec!["pin", "far-end-off"], vec!["plug"]),
            (
                names(&inflator, &inflator, false),
                vec!["far-end-unclicked", "far-end-clicked"],
                vec!["far-end-off", "pin"],
            ),
            (
                names(&own, &own, false),
                vec!["far-end-maker-off", "far-end-maker-on"],
                vec!["far-end-on"],
            ),
        ];
        for (names, has, lacks) in rows {
            assert!(has.iter().all(|name| names.contains(name)), "{names:?} has {has:?}");
            assert!(!lacks.iter().any(|name| names.contains(name)), "{names:?} lacks {lacks:?}");
        }
    }

    /// Whatever the swap: depressurised first, fit checked before a thread is
    /// started, and the leak test before the end.
    #[test]
    fn the_order_that_keeps_people_safe() {
        let kinds = [
            hose("second-stage", "9/16-18", true),
            hose("inflator", "quick-disconnect", false),
            hose("gauge", "7/16-20", false),
            hose("second-stage", "proprietary:Otter", false),
        ];
        for old in &kinds {
            let names = names(old, old, true);
            let at = |name: &str| names.iter().position(|n| *n == name).unwrap_or(usize::MAX);
            assert_eq!(at("depressurised"), 0);
            assert!(at("new-tag") < at("started") && at("started") < at("tightened"));
            assert!(at("tightened") < at("leak-test"));
            assert_eq!(at("leak-test"), names.len() - 3);
            assert_eq!(at("function-check"), names.len() - 2);
        }
    }

    #[test]
    fn every_answer_on_a_button_is_understood() {
        let mut buttons = 0;
        for step in STEPS {
            for (answer, words) in step.asks.choices() {
                let said = if answer.ends_with(':') {
                    format!("{answer} worn")
                } else {
                    (*answer).to_owned()
                };
                assert!(understand(step, &said).is_ok(), "{}: {said}", step.name);
                assert!(!words.is_empty());
                buttons += 1;
            }
            let tag = matches!(step.asks, Asks::OldTag | Asks::NewTag);
            assert_eq!(step.asks.choices().is_empty(), tag, "{}", step.name);
        }
        assert!(buttons > STEPS.len() / 2);
    }

    #[test]
    fn answers_are_understood_or_refused_in_words() {
        let of = |name: &str, typed: &str| {
            let step =
                STEPS.iter().find(|s| s.name == name).unwrap_or_else(|| unreachable!("{name}"));
            understand(step, typed)
        };
        for (name, typed) in [
            ("depressurised", "done"),
            ("held", "Yes"),
            ("seals", "missing"),
            ("tightened", "5 N·m"),
            ("tightened", "done"),
            ("leak-test", "passed at 200 bar"),
            ("leak-test", "failed"),
            ("leak-test", "passed 200 bar under water"),
            ("leak-test", "passed at 3000 psi, with soapy water"),
            ("leak-test", "failed soapy-water"),
            ("function-check", "done"),
            ("started", "done"),
            ("old-goes", "stock"),
            ("old-goes", "retire: cracked at the sleeve"),
        ] {
            assert!(of(name, typed).is_ok(), "{name} {typed}: {:?}", of(name, typed));
        }
        for (name, typed, why) in [
            ("depressurised", "no", "comes first"),
            ("depressurised", "perhaps", "answer done"),
            ("seals", "done", "good, missing or damaged"),
            ("tightened", "80 N·m", "crushes"),
            ("leak-test", "done", "passed or failed"),
            ("leak-test", "passed 900 bar", "500 bar"),
            ("old-goes", "retire", "retire: WHY"),
            ("old-goes", "bin", "stock, or retire"),
            ("function-check", "no", "comes first"),
            ("started", "perhaps", "it doesn't go in"),
        ] {
            let said = of(name, typed).err().unwrap_or_default();
            assert!(said.contains(why), "{name} {typed}: {said}");
        }
        for typed in ["it doesn't go in", "It doesn’t go in", "does not go in", NOT_IN, "no"] {
            assert_eq!(of("started", typed), Ok(Answered::NotIn), "{typed}");
        }
        let (passed, pressure) = (true, TestPressure::parse("200 bar").ok());
        for (typed, method) in [
            ("passed 200 bar", None),
            ("passed 200 bar under water", Some(TestMethod::UnderWater)),
            ("passed at 200 bar, with soapy water", Some(TestMethod::SoapyWater)),
            ("passed 200 bar soapy-water", Some(TestMethod::SoapyWater)),
        ] {
            let pressure = pressure.clone();
            let said = Ok(Answered::LeakTest { passed, pressure, method });
            assert_eq!(of("leak-test", typed), said, "{typed}");
        }
    }

    #[test]
    fn what_is_left_open_says_what_to_do() {
        assert_eq!(open_still("started"), DOES_NOT_GO_IN);
        assert_eq!(open_still("leak-test"), LEAKED);
        assert!(giving_up(true, "set R3, port LP1").contains("leak test is due"));
        assert!(!giving_up(false, "set R3, port LP1").contains("leak test"));
    }
}

//! The guided swap: one table of steps, of which each swap needs some.
//!
//! A swap lives in the record of both hoses, so that it can be left at any step
//! and continued, on this device or another. Source of the steps: common
//! practice, no source; the maker's instructions come first.

mod shown;
mod understood;

pub use shown::{DOES_NOT_GO_IN, LEAKED, StepShown, giving_up, open_still, shown};
pub use understood::{Answered, understand};

use crate::fit::replacement::mismatches;
use crate::hose::{Fitting, Label, Service, Specification};
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
    /// The spanner's size, or that it is done.
    Spanner,
    /// How the O-rings are: good, missing or damaged.
    Seals,
    /// The torque that it was tightened to, or that it is done.
    Torque,
    /// Whether the leak test passed.
    LeakTest,
    /// Where the old hose goes: stock, or retire and why.
    OldGoes,
}

/// The button of a step that is done.
pub const DONE: &str = "Done";

/// How the last step of a hose that must be retired is answered.
pub const RETIRE_ALONE: &str = "retire: WHY";

impl Asks {
    /// The answers that are understood.
    #[must_use]
    pub const fn answers(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::GoesIn => "done, or: it doesn't go in",
            Self::OldTag | Self::NewTag => "the code on its tag",
            Self::Spanner => "done, or the spanner's size, as 16 mm",
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
            Self::Done => &[("done", DONE)],
            Self::GoesIn => &[("done", "It goes in"), (NOT_IN, "It doesn't go in")],
            Self::OldTag | Self::NewTag => &[],
            Self::Seals => &[
                ("good", "They are fine"),
                ("missing", "One is missing"),
                ("damaged", "One is damaged"),
            ],
            Self::Spanner | Self::Torque => &[("done", DONE)],
            Self::LeakTest => &[("passed", "Nothing leaked"), ("failed", "It leaked")],
            Self::OldGoes => &[("stock", "To stock"), ("retire:", "Retire it")],
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

/// When a step is asked again because the new hose is exchanged for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Again {
    /// Never: it is about the old hose, the tool or the set.
    Never,
    /// If the hose before was on, and has to come off under no pressure.
    IfItWasOn,
    /// Always: it is about the new hose.
    Always,
}

/// One row of the table of steps.
pub struct Step {
    /// Its name.
    pub name: &'static str,
    /// What to do, in words.
    pub todo: &'static str,
    /// What it asks for.
    pub asks: Asks,
    /// Whether its answer does more than tick it off: it may have loosened or moved a hose,
    /// or recorded a test.
    pub does_more: bool,
    /// When it is asked again because the new hose is exchanged for another.
    pub again: Again,
    needed: fn(&Swap<'_>) -> bool,
}

const fn step(
    name: &'static str,
    asks: Asks,
    needed: fn(&Swap<'_>) -> bool,
    todo: &'static str,
) -> Step {
    Step { name, todo, asks, does_more: false, again: Again::Never, needed }
}

impl Step {
    const fn does_more(self) -> Self {
        Self { does_more: true, ..self }
    }

    const fn again(self, again: Again) -> Self {
        Self { again, ..self }
    }
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
    )
    .again(Again::IfItWasOn),
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
    )
    .again(Again::IfItWasOn),
    step(
        "spanner",
        Asks::Spanner,
        always,
        "Seat a fixed spanner of the right size flat and deep on the nut; no adjustable one.",
    )
    .does_more(),
    step(
        "off",
        Asks::Done,
        always,
        "Turn anticlockwise: a hose comes off in 4 to 5 turns. Take the old hose off.",
    )
    .does_more(),
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
    )
    .again(Again::IfItWasOn),
    step(
        "pin",
        Asks::Done,
        swivel_pin,
        "Take the swivel pin out, look at both of its tiny O-rings, and put it back with a thin \
         film of grease. Silicone grease is not for oxygen service.",
    )
    .again(Again::IfItWasOn),
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
    )
    .again(Again::Always),
    step(
        "started",
        Asks::GoesIn,
        always,
        "Start the thread by hand. If it resists it is crossed: back it out, turn it backwards \
         until it drops with a click, then forwards.",
    )
    .again(Again::Always),
    step(
        "tightened",
        Asks::Torque,
        always,
        "Finger tight, then a nudge: about 5 N·m, so that fingers cannot undo it. No more: it \
         seals no better and strains the thread.",
    )
    .again(Again::Always)
    .does_more(),
    step(
        "far-end-on",
        Asks::Done,
        far_end_turns,
        "Do the far end up by hand, then with two spanners pinched against each other.",
    )
    .again(Again::Always),
    step(
        "far-end-clicked",
        Asks::Done,
        far_end_clicks,
        "Push the quick-disconnect on until it clicks, and tug at it.",
    )
    .again(Again::Always),
    step("far-end-maker-on", Asks::Done, makers_own, "Do the far end up as its maker says.")
        .again(Again::Always),
    step(
        "protector-on",
        Asks::Done,
        |swap| swap.new.protector(),
        "Put the new hose's protectors back.",
    )
    .again(Again::Always),
    step(
        "leak-test",
        Asks::LeakTest,
        always,
        "Open the valve slowly, the glass of every gauge away from faces, read the pressure, and \
         test under water or with soapy water for a minute; never feel for a leak of a \
         high-pressure hose with a hand. Did nothing leak?",
    )
    .again(Again::Always)
    .does_more(),
    step(
        "function-check",
        Asks::Done,
        always,
        "Breathe from every second stage and purge it; connect the inflator and press it. If \
         anything does not work, close the valve, purge, and put that right first.",
    )
    .again(Again::Always),
    step("old-goes", Asks::OldGoes, always, "Where does the old hose go?").again(Again::Always),
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

/// The answers that stay once the new hose is exchanged for another; `was_on` if it was
/// on already.
#[must_use]
pub fn kept(open: &OpenSwap, was_on: bool) -> Vec<(Label, Label)> {
    let stays =
        |(name, _): &&(Label, Label)| match Step::named(name.as_str()).map(|step| step.again) {
            Some(Again::Never) => true,
            Some(Again::IfItWasOn) => !was_on,
            Some(Again::Always) | None => false,
        };
    open.steps.iter().filter(stays).cloned().collect()
}

/// What is on record where a thread does not go in.
pub const NOT_IN: &str = "does-not-go-in";

/// Why the new hose cannot take the old one's place; empty if it can.
#[must_use]
pub fn stops(swap: &Swap<'_>) -> Vec<String> {
    mismatches(swap.old, swap.new)
}

#[cfg(test)]
mod tests;

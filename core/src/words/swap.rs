//! The words of a swap's forms.

use crate::event::Seat;
use crate::tag::Code;

/// What stands over it.
pub const TITLE: &str = "Swap";
/// A step that is not answered yet.
pub const OPEN: &str = "Open";
/// Said if there is no swap to give up.
pub const NOT_BEGUN: &str = "this swap was not begun";
/// Said if a step is submitted without an answer.
pub const NO_ANSWER: &str = "this step has no answer yet";
/// After a swap was given up.
pub const GIVEN_UP: &str = "The swap is given up.";

/// What a swap is of.
#[must_use]
pub fn off_and_on(old: Code, new: Code, seat: &Seat) -> String {
    format!("{old} off, {new} on: {seat}")
}

/// Asks for a tag.
pub const SCAN: &str = "Scan it, or type its code";
/// Asks for the torque.
pub const TORQUE: &str = "Torque, if measured";
/// How it is written.
pub const TORQUE_HINT: &str = "as 5 N·m";
/// Why the old hose is retired.
pub const WHY_RETIRED: &str = "Why, if it is retired";
/// Over the form that gives a swap up, and on its button.
pub const GIVE_UP: &str = "Give up the swap";
/// The port that the new hose goes into.
pub const INTO_PORT: &str = "Into port";

/// Which step comes next, from 1.
#[must_use]
pub fn step_of(step: usize, steps: usize) -> String {
    format!("Step {step} of {steps}")
}

//! The words of a swap's forms.

use chrono::NaiveDate;

use crate::event::Seat;
use crate::hose::Label;
use crate::tag::Code;

/// What stands over it.
pub const TITLE: &str = "Swap";
/// Said if there is no swap to give up.
pub const NOT_BEGUN: &str = "this swap was not begun";
/// Said if a step is submitted without an answer.
pub const NO_ANSWER: &str = "this step has no answer yet";
/// After a swap was given up.
pub const GIVEN_UP: &str = "The swap is given up.";

/// What a swap is of.
#[must_use]
pub fn off_and_on([old, new]: &[String; 2], seat: &Seat) -> String {
    format!("{old} off, {new} on: {seat}")
}

/// Asks for a tag.
pub const SCAN: &str = "Scan it, or type its code";
/// Asks for the size of the spanner.
pub const SPANNER: &str = "The spanner's size";
/// How it is written, and what it is for.
pub const SPANNER_HINT: &str = "as 16 mm; the next swap here says it again";

/// The spanner that a nut took before.
#[must_use]
pub fn spanner_before(size: &Label, on: NaiveDate) -> String {
    format!("On {on} its nut took a spanner of {size}.")
}

/// The spanner that the nut in this port took before, of whichever hose.
#[must_use]
pub fn spanner_here(size: &Label, on: NaiveDate) -> String {
    format!("On {on} the nut in this port took a spanner of {size}.")
}

/// A swap in a history, in one line: its hoses, how many steps it had, and how it ended.
#[must_use]
pub fn told(hoses: Option<[Code; 2]>, before: &[Code], steps: usize, end: Option<&str>) -> String {
    let before: String = before.iter().map(|new| format!(" instead of {new}")).collect();
    let of = hoses.map(|[old, new]| format!(": {old} off, {new} on{before}")).unwrap_or_default();
    let steps = super::counted(i64::try_from(steps).unwrap_or(i64::MAX), "step");
    format!("swap{of}; {steps}, {}", end.unwrap_or("not finished"))
}

/// Takes another new hose, and goes on.
pub const ANOTHER: &str = "Take another new hose";
/// What that does.
pub const ANOTHER_LEAD: &str = "Is it the wrong hose, or doesn't it go in, or does it leak? Choose \
    another one that fits. The swap goes on: what you answered about the old hose, the spanner and \
    the set stays, and what is about the new hose is asked again.";
/// What scans it.
pub const SCAN_ANOTHER: &str = "Scan the other new hose";
/// Said if no other hose fits.
pub const NO_OTHER: &str = "No other hose in stock fits.";

/// Why a swap ended on record that goes on with another hose.
#[must_use]
pub fn exchanged(other: Code) -> String {
    format!("given up: it goes on with another new hose, {other}")
}

/// Said of a hose that is in the swap already.
#[must_use]
pub fn not_another(hose: Code) -> String {
    format!("{hose} is in this swap already; scan another hose")
}

/// What is to be done with the new hose that a swap began with.
#[must_use]
pub fn began_with(name: &str) -> String {
    format!(
        "This swap began with another new hose, {name}. If it is in the port, take it off: no \
         pressure on the set, hold the first stage by its body, turn anticlockwise. It goes back \
         to stock."
    )
}

/// Goes back a step.
pub const BACK: &str = "Go back a step";
/// Said if there is no step to go back to.
pub const NO_STEP_BACK: &str = "there is no step to go back to";
/// Said if going back would take back more than a tick.
pub const STEP_DID_MORE: &str = "that step loosened or moved a hose, or recorded a test, and stays on record; go on, or give \
     the swap up";

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

/// What is done of it, in one line: how many steps, and the last of them with its answer.
#[must_use]
pub fn done_so_far(steps: usize, (todo, answer): (&str, &str)) -> String {
    let steps = if steps == 1 { "1 step is".to_owned() } else { format!("{steps} steps are") };
    format!("{steps} done. The last, “{}”: {answer}", todo.trim_end_matches('.'))
}

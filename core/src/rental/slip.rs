//! The slip that goes with a set: what went out, on which ticket, and what the hirer
//! heeds.

use chrono::NaiveDate;
use serde::Serialize;

use crate::hose::{Label, Prose};
use crate::inspection::Verdict;
use crate::set_view::Checked;
use crate::words::rental as say;

/// What the hirer is told of some hoses: what was seen on them and does not stop them.
/// What only the shop has to know, such as a limit that comes near, is left out.
#[must_use]
pub fn told_hirer<'h>(hoses: impl IntoIterator<Item = &'h Checked>) -> Vec<String> {
    let seen = |hose: &'h Checked| {
        let of_hirer = hose.reasons.iter().filter(|reason| {
            reason.verdict == Verdict::Watch && reason.code.starts_with("finding-")
        });
        let name = hose.number.as_ref();
        of_hirer.map(move |reason| say::seen_on((hose.port, name, &hose.briefly), &reason.words))
    };
    hoses.into_iter().flat_map(seen).collect()
}

/// The slip of a set that is out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Slip {
    /// The set.
    pub set: Label,
    /// That it is out, on which ticket and with how many hoses.
    pub words: String,
    /// The hirer's ticket.
    pub ticket: Label,
    /// Since when it is out.
    pub on: NaiveDate,
    /// Why it went out although something spoke against it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Prose>,
    /// The hoses that went with it, by port.
    pub hoses: Vec<Checked>,
    /// What the hirer is told of them, a sentence or two each.
    pub told: Vec<String>,
    /// What every hirer heeds.
    pub cautions: &'static [&'static str],
}

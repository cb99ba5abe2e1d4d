//! Sets that go out and come back, and what a hand-out keeps of each hose that went.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{EntryId, PortName, SetId};
use crate::hose::{Label, Prose};
use crate::inspection::Verdict;
use crate::tag::Code;

/// A set was handed out with its hoses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HandedOut {
    /// The set.
    pub set: SetId,
    /// Its hoses.
    pub hoses: Vec<Code>,
    /// The hirer's ticket: a number, never a person.
    pub ticket: Label,
    /// Why it went out although something spoke against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Prose>,
    /// How each hose stood, as it was shown; programs before did not keep it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shown: Vec<ShownThen>,
}

/// A set was packed for a hirer, each of its hoses looked at, and waits to go out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Packed {
    /// The set.
    pub set: SetId,
    /// The hoses that were scanned.
    pub hoses: Vec<Code>,
    /// The hirer's ticket: a number, never a person.
    pub ticket: Label,
    /// Why it was packed although something spoke against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Prose>,
    /// How each hose stood, as it was shown.
    pub shown: Vec<ShownThen>,
    /// The hose that was in each port.
    pub ports: BTreeMap<PortName, Code>,
    /// The set's making and the changes that counted.
    pub described: Vec<EntryId>,
}

/// A packed set was unpacked: it does not go out by that packing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Unpacked {
    /// The set.
    pub set: SetId,
    /// The hoses that were packed.
    pub hoses: Vec<Code>,
    /// The packings.
    pub answers: Vec<EntryId>,
}

/// A set came back with its hoses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Returned {
    /// The set.
    pub set: SetId,
    /// The hoses that were out with it.
    pub hoses: Vec<Code>,
    /// Those of them that did not come back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<Code>,
    /// The tickets that it was out on.
    pub tickets: Vec<Label>,
    /// Dives made with each hose.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub dives: u32,
    /// Nobody knew them: the owner's number a day was counted.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub estimated: bool,
    /// The hand-outs that it ends.
    pub answers: Vec<EntryId>,
}

/// How a hose stood when it was handed out, as it was shown: later entries change
/// nothing of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShownThen {
    /// The hose.
    pub hose: Code,
    /// Its verdict.
    pub verdict: Verdict,
    /// Every reason, worst first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reasons: Vec<ReasonThen>,
}

/// A reason as it was shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReasonThen {
    /// Its code.
    pub code: String,
    /// Why, in words.
    pub words: String,
}

const fn is_zero(number: &u32) -> bool {
    *number == 0
}

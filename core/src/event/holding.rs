//! What keeps a hose or a set from being used, and what ends that.

use serde::{Deserialize, Serialize};

use super::{EntryId, SetId};
use crate::hose::{Label, Prose};
use crate::tag::Code;

/// A hose, or a set with its hoses, was put on hold by hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Held {
    /// The hose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hose: Option<Code>,
    /// The set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<SetId>,
    /// The hoses that are in the set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hoses: Vec<Code>,
    /// Why.
    pub why: Prose,
    /// After an accident, or the suspicion of one: it stays with every hose
    /// wherever it goes, and the owner alone releases it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub incident: bool,
}

/// A hold or a quarantine is over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Released {
    /// The hose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hose: Option<Code>,
    /// The set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<SetId>,
    /// The hoses that were in the set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hoses: Vec<Code>,
    /// Why.
    pub why: Prose,
    /// Whether it ends the hold after an incident.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub incident: bool,
    /// The holds and quarantines that it ends.
    pub answers: Vec<EntryId>,
}

/// A customer's hose, or a set with its hoses, went home.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GoneHome {
    /// The hose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hose: Option<Code>,
    /// The set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<SetId>,
    /// The hoses that are in the set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hoses: Vec<Code>,
    /// The ticket under which it was in.
    pub ticket: Label,
}

/// It came in again, under a new ticket.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CameIn {
    /// The hose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hose: Option<Code>,
    /// The set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<SetId>,
    /// The hoses that are in the set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hoses: Vec<Code>,
    /// The new ticket.
    pub ticket: Label,
    /// The goings home, and what said whose the hoses are.
    pub answers: Vec<EntryId>,
}

//! What says where hoses are: sets and what is in their ports.

use serde::{Deserialize, Serialize};

use super::{EntryId, Port, PortName, SetDetails, SetId, Slot};
use crate::hose::Label;
use crate::policy::Use;
use crate::tag::Code;

/// A regulator set and the ports of its first stage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Assembled {
    /// The set.
    pub set: SetId,
    /// Its name.
    pub name: Label,
    /// Who dives with it.
    #[serde(rename = "use")]
    pub in_use: Use,
    /// Its ports.
    pub ports: Vec<Port>,
    /// What else it is.
    #[serde(flatten)]
    pub details: Box<SetDetails>,
}

/// A hose was put in a port.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fitted {
    /// The hose.
    pub hose: Code,
    /// The set.
    pub set: SetId,
    /// The port.
    pub port: PortName,
    /// Other sets that it left.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sets: Vec<SetId>,
    /// The placings that it replaces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<EntryId>,
}

/// A hose was taken off, to stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Removed {
    /// The hose.
    pub hose: Code,
    /// The sets that it left.
    pub sets: Vec<SetId>,
    /// The placings that it replaces.
    pub answers: Vec<EntryId>,
}

/// Someone looked where a hose is: that settles what two devices put down
/// differently. The other hoses of the dispute are in stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlaceConfirmed {
    /// The hose that was looked for.
    pub hose: Code,
    /// Where it is; nothing is stock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Slot>,
    /// The other hoses of the dispute.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hoses: Vec<Code>,
    /// The sets of the dispute.
    pub sets: Vec<SetId>,
    /// Every placing in the dispute.
    pub answers: Vec<EntryId>,
}

/// One step of a guided swap was answered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Swapped {
    /// The old hose and the new one.
    pub hoses: [Code; 2],
    /// The set that it is done on.
    pub set: SetId,
    /// The port of its first stage.
    pub port: PortName,
    /// The step.
    pub step: Label,
    /// What was answered.
    pub answer: Label,
    /// Given up after the spanner was on: what is in the port is loosened.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub loosened: bool,
    /// The entry that began the swap; none for that entry itself.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<EntryId>,
    /// Of the entry that began it: what it goes on from, with another new hose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instead: Option<InsteadOf>,
}

/// The swap that another one goes on from, and its new hose, which did not do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct InsteadOf {
    /// The entry that began it.
    pub swap: EntryId,
    /// The hose.
    pub hose: Code,
}

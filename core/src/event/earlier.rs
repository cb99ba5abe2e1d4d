//! Kinds as earlier programs wrote them: they name a set by its name, and mean
//! by their place in the record what later ones name.

use serde::{Deserialize, Serialize};

use super::inspected::Fields;
use super::{Port, PortName, Seat};
use crate::hose::{Label, Origin, Prose, Specification};
use crate::inspection::Look;
use crate::policy::Use;
use crate::tag::Code;

/// What was recorded about a hose is put right, as a whole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DescribedBefore {
    /// The hose.
    pub hose: Code,
    /// What it is.
    #[serde(flatten)]
    pub specification: Specification,
    /// Where it came from.
    #[serde(flatten)]
    pub origin: Origin,
}

/// A hose was looked over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(from = "Fields")]
pub struct InspectedBefore {
    /// The hose.
    pub hose: Code,
    /// How, and what was seen.
    #[serde(flatten)]
    pub look: Look,
}

impl From<Fields> for InspectedBefore {
    fn from(fields: Fields) -> Self {
        Self { hose: fields.hose, look: fields.look() }
    }
}

/// A regulator set and the ports of its first stage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AssembledBefore {
    /// The set's name.
    pub set: Label,
    /// Who dives with it.
    #[serde(rename = "use")]
    pub in_use: Use,
    /// Its ports.
    pub ports: Vec<Port>,
}

/// A hose was put in a port.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FittedBefore {
    /// The hose.
    pub hose: Code,
    /// The set.
    pub set: Label,
    /// The port.
    pub port: PortName,
    /// Where the writer knew it to be before; nothing is stock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Seat>,
}

/// A hose was taken off, to stock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RemovedBefore {
    /// The hose.
    pub hose: Code,
    /// The set it was in.
    pub set: Label,
    /// The port it was in.
    pub port: PortName,
}

/// One step of a guided swap was answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SwappedBefore {
    /// The old hose and the new one.
    pub hoses: [Code; 2],
    /// The set that it is done on.
    pub set: Label,
    /// The port of its first stage.
    pub port: PortName,
    /// The step.
    pub step: Label,
    /// What was answered.
    pub answer: Label,
}

/// A set was handed out with its hoses.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandedOutBefore {
    /// The set.
    pub set: Label,
    /// Its hoses.
    pub hoses: Vec<Code>,
    /// The hirer's ticket: a number, never a person.
    pub ticket: Label,
    /// Why it went out although something spoke against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Prose>,
}

/// A set came back with its hoses.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReturnedBefore {
    /// The set.
    pub set: Label,
    /// Its hoses.
    pub hoses: Vec<Code>,
    /// The ticket it was out on.
    pub ticket: Label,
}

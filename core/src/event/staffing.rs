//! People who work here, and who no longer do.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::device::DeviceId;
use crate::hose::Label;
use crate::staff::{Deed, PersonId};

/// A person works here, or what is said of them changes: this is all of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Staffed {
    /// Who, by the code of their badge.
    pub person: PersonId,
    /// The name or number under which they write.
    pub name: Label,
    /// What they may do besides the everyday work.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub may: BTreeSet<Deed>,
    /// The devices that they carry.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub carries: BTreeSet<DeviceId>,
}

/// A person no longer works here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StaffLeft {
    /// Who.
    pub person: PersonId,
    /// The name or number under which they wrote.
    pub name: Label,
}

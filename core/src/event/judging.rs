//! Whom an entry that judges others is about.

use serde::{Deserialize, Serialize};

use super::SetId;
use crate::tag::Code;

/// Whom entries that another names are about.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct About {
    /// Hoses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hoses: Vec<Code>,
    /// Sets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sets: Vec<SetId>,
    /// Limits or recalls.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub fleet: bool,
}

//! What a hand-out keeps of each hose that went.

use serde::{Deserialize, Serialize};

use crate::inspection::Verdict;
use crate::tag::Code;

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

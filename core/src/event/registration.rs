//! What a hose is registered with.

use crate::hose::{Origin, Specification};
use crate::tag::Code;

/// A hose to be registered.
#[derive(Debug, Clone, PartialEq)]
pub struct Registration {
    /// What it is.
    pub specification: Specification,
    /// Where it came from.
    pub origin: Origin,
    /// A tag that was printed blank; none draws a new one.
    pub tag: Option<Code>,
}

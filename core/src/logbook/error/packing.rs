//! Why a set that is packed, or is to be, can't be handled so.

use thiserror::Error;

use crate::hose::Label;

/// Why a set that is packed, or is to be, can't be handled so.
#[derive(Debug, Error)]
pub enum PackingError {
    /// It is packed already.
    #[error("set {set} is packed for ticket {ticket}; unpack it first")]
    Packed {
        /// The set.
        set: Label,
        /// The ticket.
        ticket: Label,
    },
    /// It is not packed.
    #[error("set {0} is not packed; scan every hose of it, and hand it out as usual")]
    NotPacked(Label),
    /// Nothing can be unpacked.
    #[error("set {0} is not packed, so there is nothing to unpack")]
    NothingToUnpack(Label),
    /// Something is new since it was packed.
    #[error(
        "something is new since set {set} was packed: {} Scan every hose of it, and hand it out \
         as usual",
        .news.join(" ")
    )]
    Changed {
        /// The set.
        set: Label,
        /// What, in words.
        news: Vec<String>,
    },
}

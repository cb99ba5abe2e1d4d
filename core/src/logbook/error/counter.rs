//! Why devices don't meet in a shop's network.

use thiserror::Error;

/// Why a counter and a device don't meet; what came in before stays.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum CounterError {
    /// Nothing answers there.
    #[error(
        "the counter can't be reached: {0}. Is it open to the shop's network, and is this device \
         in the same one?"
    )]
    Unreachable(String),
    /// It ended half way.
    #[error("the meeting broke off: {0}. What came in before that is kept; meet again to go on")]
    BrokeOff(String),
    /// Somebody here stopped it.
    #[error("stopped, as asked. Nothing is half done; meet again to go on")]
    Stopped,
    /// What answers has not the counter's key, or somebody sits between.
    #[error(
        "what answers there does not prove to be that counter: another computer has its address \
         now, or somebody sits between. Nothing was told to it. If the counter is new, read the \
         symbol that it shows"
    )]
    NotTheCounter,
    /// It proves to be somebody, whom this device does not know.
    #[error(
        "this device does not know the counter that answers there; read the symbol that the \
         counter shows to let a device in"
    )]
    UnknownCounter,
    /// The counter refuses, in its own words.
    #[error("the counter says: {0}")]
    Refused(String),
    /// What calls does not prove to be the device that it names.
    #[error("the device that calls does not prove who it is")]
    NotTheDevice,
    /// The secret is not, or no longer, that of a symbol that is shown.
    #[error("that symbol was used already, or its minutes are over; let the counter show another")]
    Secret,
    /// Too many tried.
    #[error("too many attempts; wait a minute")]
    TooMany,
    /// It was never let in.
    #[error("this counter has not let that device in; read the symbol that it shows")]
    Stranger,
    /// It was sent away.
    #[error("the owner dismissed that device; only the owner admits it again, under Devices")]
    Dismissed,
    /// They belong to two fleets.
    #[error(
        "the device's record and the counter's belong to different fleets, so they do not meet"
    )]
    OtherFleet,
    /// The device belongs to a fleet, the counter to none.
    #[error(
        "the device's record belongs to a fleet and the counter's to none; let the counter join \
         that fleet first, under Devices"
    )]
    NoFleetHere,
    /// It says to be another than it was let in as.
    #[error("what the device sent says that another device made it; begin again")]
    OtherMaker,
}

//! Why a hose can't go into a port, or a port isn't there.

use thiserror::Error;

use crate::event::{PortName, Seat};
use crate::hose::{Label, Pressure, Thread};
use crate::tag::Code;
use crate::words::sets::free_ports;

/// A hose can't go where it was to go.
#[derive(Debug, Error)]
pub enum PlaceError {
    /// The hose is in no set.
    #[error("{0} is in no set; fit it first")]
    NotFitted(Code),
    /// The hose is somewhere else.
    #[error("{hose} is in {seat}; remove it from there first")]
    FittedElsewhere {
        /// The hose's tag.
        hose: Code,
        /// Where it is.
        seat: Seat,
    },
    /// The hose is there already.
    #[error("{hose} is already in {seat}")]
    FittedThere {
        /// The hose's tag.
        hose: Code,
        /// Where it is.
        seat: Seat,
    },
    /// Nothing about its place is in dispute.
    #[error("the place of {0} is not in dispute; nothing was written")]
    PlaceNotContested(Code),
    /// The hose cannot take the place.
    #[error("{hose} does not fit there: {why}")]
    DoesNotFit {
        /// The hose's tag.
        hose: Code,
        /// Each mismatch.
        why: String,
    },
    /// No port was named.
    #[error("say in which port of set {set} to put {hose}: {}", free_ports(.free))]
    PortNeeded {
        /// The hose's tag.
        hose: Code,
        /// The set.
        set: Label,
        /// The free ports that take it, best first.
        free: Vec<PortName>,
    },
    /// The port has a hose.
    #[error("{seat} already has {holder} in it; remove that hose first ({})", free_ports(.free))]
    PortTaken {
        /// The port.
        seat: Seat,
        /// The hose in it.
        holder: Code,
        /// The free ports of the set that take the hose.
        free: Vec<PortName>,
    },
    /// The set has no such port.
    #[error("set {set} has no port {port}; it has {}", .ports.join(", "))]
    NoSuchPort {
        /// The set.
        set: Label,
        /// The port.
        port: PortName,
        /// The ports it has.
        ports: Vec<String>,
    },
    /// High pressure into low, or the other way round.
    #[error("{port} is {} port, and {hose} is {} hose: never mix the two", a_port(other(*.needs)), a_port(*.needs))]
    WrongPressure {
        /// The hose's tag.
        hose: Code,
        /// The port.
        port: PortName,
        /// What the hose needs.
        needs: Pressure,
    },
    /// The threads differ.
    #[error("{hose} will not go into {port}: {thread} does not screw into a {cut} port")]
    WrongThread {
        /// The hose's tag.
        hose: Code,
        /// The port.
        port: PortName,
        /// The hose's thread.
        thread: String,
        /// The port's thread.
        cut: Thread,
    },
    /// The ports are invalid.
    #[error("{0}")]
    BadPorts(String),
}

const fn other(pressure: Pressure) -> Pressure {
    match pressure {
        Pressure::High => Pressure::Low,
        Pressure::Low => Pressure::High,
    }
}

const fn a_port(pressure: Pressure) -> &'static str {
    match pressure {
        Pressure::High => "a high-pressure",
        Pressure::Low => "a low-pressure",
    }
}

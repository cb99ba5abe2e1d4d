//! Ports as people name them: how many of a kind, what is in one, and what one gives.

use std::collections::BTreeMap;

use super::{LogbookError, PlaceError};
use crate::event::{Port, PortName};
use crate::hose::{Label, PortKind, Pressure, Thread};

/// Some ports of a kind and thread, as `LP:3/8-24=4`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PortCount {
    /// The kind.
    pub kind: PortKind,
    /// The thread.
    pub thread: Thread,
    /// How many, 1 to 12.
    pub count: u8,
}

impl std::str::FromStr for PortCount {
    type Err = LogbookError;

    fn from_str(typed: &str) -> Result<Self, LogbookError> {
        let text = typed.trim();
        let wrong = || {
            LogbookError::Place(PlaceError::BadPorts(format!(
                "“{text}” does not name ports; write KIND:THREAD=COUNT, as LP:3/8-24=4"
            )))
        };
        let (kind, rest) = text.split_once(':').ok_or_else(wrong)?;
        let (thread, count) = rest.split_once('=').unwrap_or((rest, "1"));
        let count = count.trim().parse().ok().filter(|n| (1..=12).contains(n)).ok_or_else(wrong)?;
        let (kind, thread) = (kind.parse()?, thread.parse()?);
        check_thread(kind, thread)?;
        Ok(Self { kind, thread, count })
    }
}

/// High-pressure ports are 7/16-20 on anything modern and were 3/8-24, as
/// low-pressure ports are; so only of that thread can the kind be in doubt
/// (section 2 of the trade's rules: common practice, no source).
fn check_thread(kind: PortKind, thread: Thread) -> Result<(), LogbookError> {
    let possible = match kind {
        PortKind::High => matches!(thread, Thread::Unf7_16x20 | Thread::Unf3_8x24),
        PortKind::Low => matches!(thread, Thread::Unf3_8x24 | Thread::Unf1_2x20),
        PortKind::Unknown => thread == Thread::Unf3_8x24,
    };
    if possible {
        return Ok(());
    }
    Err(LogbookError::Place(PlaceError::BadPorts(format!(
        "no first stage has a {thread} port of kind {kind}; HP ports are 7/16-20 (old ones \
         3/8-24), LP ports 3/8-24 or 1/2-20, and only of a 3/8-24 port can the kind be unknown"
    ))))
}

/// Numbers ports among their kind: `LP1`, `LP2` …
pub(super) fn numbered(counts: &[PortCount]) -> Result<Vec<Port>, LogbookError> {
    let mut ports: Vec<Port> = Vec::new();
    for wanted in counts {
        for _ in 0..wanted.count {
            let before = ports.iter().filter(|p| p.name.kind() == wanted.kind).count();
            let number = u8::try_from(before + 1).unwrap_or(u8::MAX);
            ports.push(Port::new(PortName::of(wanted.kind, number), wanted.thread));
        }
    }
    if ports.is_empty() || ports.len() > 16 {
        let said = "a first stage has 1 to 16 ports".to_owned();
        return Err(LogbookError::Place(PlaceError::BadPorts(said)));
    }
    Ok(ports)
}

/// A port that has a device in it instead of a hose, as `LP4=relief valve`, or has
/// its plug again, as `LP4=none`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PortDevice {
    /// The port.
    pub port: PortName,
    /// What is in it; nothing is its plug.
    pub device: Option<Label>,
}

impl std::str::FromStr for PortDevice {
    type Err = LogbookError;

    fn from_str(typed: &str) -> Result<Self, LogbookError> {
        let wrong = || {
            let said = "does not say what is in which port; write LP4=transmitter or LP4=none";
            LogbookError::Place(PlaceError::BadPorts(format!("“{}” {said}", typed.trim())))
        };
        let (port, device) = typed.split_once('=').ok_or_else(wrong)?;
        let port = port.parse().map_err(PlaceError::BadPorts)?;
        let device = match device.trim() {
            "none" | "plug" => None,
            device => Some(Label::new("what is in a port", device)?),
        };
        Ok(Self { port, device })
    }
}

/// What a port that was named without a kind gives, as `P1=LP`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PortIs {
    /// The port.
    pub port: PortName,
    /// What it gives.
    pub pressure: Pressure,
}

impl std::str::FromStr for PortIs {
    type Err = LogbookError;

    fn from_str(typed: &str) -> Result<Self, LogbookError> {
        let wrong = || {
            let said = "does not say what a port gives; write P1=LP or P1=HP";
            LogbookError::Place(PlaceError::BadPorts(format!("“{}” {said}", typed.trim())))
        };
        let (port, pressure) = typed.split_once('=').ok_or_else(wrong)?;
        let port = port.parse().map_err(PlaceError::BadPorts)?;
        Ok(Self { port, pressure: pressure.parse().map_err(|_| wrong())? })
    }
}

/// The ports with what was found out about some of them.
pub(super) fn with_kinds(ports: &[Port], kinds: &[PortIs]) -> Result<Vec<Port>, LogbookError> {
    let mut ports = ports.to_vec();
    for PortIs { port: name, pressure } in kinds {
        if name.kind() != PortKind::Unknown {
            let said = format!("{name} says its kind in its name; give all ports again");
            return Err(LogbookError::Place(PlaceError::BadPorts(said)));
        }
        let port = ports.iter_mut().find(|port| port.name == *name);
        let port = port.ok_or_else(|| no_such_port(*name))?;
        port.kind = Some(*pressure);
    }
    Ok(ports)
}

/// What is in ports after some of it changed.
pub(super) fn with_devices(
    mut devices: BTreeMap<PortName, Label>,
    changes: &[PortDevice],
    ports: &[Port],
) -> Result<BTreeMap<PortName, Label>, LogbookError> {
    for PortDevice { port, device } in changes {
        if !ports.iter().any(|known| known.name == *port) {
            return Err(no_such_port(*port));
        }
        match device {
            Some(device) => devices.insert(*port, device.clone()),
            None => devices.remove(port),
        };
    }
    Ok(devices)
}

fn no_such_port(port: PortName) -> LogbookError {
    LogbookError::Place(PlaceError::BadPorts(format!("the set has no port {port}")))
}

#[cfg(test)]
#[path = "ports_tests.rs"]
mod tests;

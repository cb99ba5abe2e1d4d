//! What a set is besides its name and use: ports of a kind that is not known,
//! devices in ports, oxygen, and whose it is.

use std::collections::BTreeMap;

use super::{LogbookError, PortCount};
use crate::event::{DetailChanges, Port, PortName, SetDetails};
use crate::hose::{Label, Owner, PortKind, Pressure};
use crate::policy::Use;
use crate::record::SetRecord;

/// A set that is to be put on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewSet {
    /// Its name.
    pub name: Label,
    /// Who dives with it.
    pub in_use: Use,
    /// Its ports.
    pub ports: Vec<PortCount>,
    /// What is in ports that have no hose and no plug.
    pub devices: Vec<PortDevice>,
    /// It is cleaned for oxygen.
    pub oxygen: bool,
    /// Whose it is.
    pub owner: Owner,
}

impl NewSet {
    /// The centre's own set, with plugs in its ports.
    #[must_use]
    pub fn new(name: Label, in_use: Use, ports: Vec<PortCount>) -> Self {
        let (devices, oxygen, owner) = (Vec::new(), false, Owner::Centre);
        Self { name, in_use, ports, devices, oxygen, owner }
    }

    /// Its details, for ports that it has.
    pub(super) fn details(&self, ports: &[Port]) -> Result<SetDetails, LogbookError> {
        of_customer(&self.owner, self.in_use)?;
        let devices = with_devices(BTreeMap::new(), &self.devices, ports)?;
        let owner = Some(self.owner.clone()).filter(|owner| *owner != Owner::Centre);
        Ok(SetDetails { oxygen: self.oxygen, owner, devices })
    }
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
            LogbookError::BadPorts(format!("“{}” {said}", typed.trim()))
        };
        let (port, device) = typed.split_once('=').ok_or_else(wrong)?;
        let port = port.parse().map_err(LogbookError::BadPorts)?;
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
            LogbookError::BadPorts(format!("“{}” {said}", typed.trim()))
        };
        let (port, pressure) = typed.split_once('=').ok_or_else(wrong)?;
        let port = port.parse().map_err(LogbookError::BadPorts)?;
        Ok(Self { port, pressure: pressure.parse().map_err(|_| wrong())? })
    }
}

/// The ports with what was found out about some of them.
pub(super) fn with_kinds(ports: &[Port], kinds: &[PortIs]) -> Result<Vec<Port>, LogbookError> {
    let mut ports = ports.to_vec();
    for PortIs { port: name, pressure } in kinds {
        if name.kind() != PortKind::Unknown {
            let said = format!("the kind of {name} stands in its name; give all ports anew");
            return Err(LogbookError::BadPorts(said));
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
    LogbookError::BadPorts(format!("the set has no port {port}"))
}

/// A customer's set is never handed out, so it is for personal use.
pub(super) fn of_customer(owner: &Owner, in_use: Use) -> Result<(), LogbookError> {
    if owner.ticket().is_some() && in_use == Use::Rental {
        return Err(LogbookError::Nothing(
            "a customer's set is never handed out: its use is personal",
        ));
    }
    Ok(())
}

/// What changes of a set's details.
pub(super) fn changed(
    set: &SetRecord,
    (oxygen, owner): (Option<bool>, Option<Owner>),
    devices: &[PortDevice],
    ports: &[Port],
) -> Result<DetailChanges, LogbookError> {
    let mut taken = devices.iter().filter(|change| change.device.is_some());
    if let Some((change, hose)) =
        taken.find_map(|change| Some((change, set.hoses.get(&change.port)?)))
    {
        let said = format!("{} has the hose {hose} in it; take it off first", change.port);
        return Err(LogbookError::BadPorts(said));
    }
    // A contest is settled by saying all of it once more.
    let oxygen = oxygen.filter(|oxygen| *oxygen != set.oxygen);
    let oxygen = oxygen.or(set.contested.then_some(set.oxygen));
    let owner = owner.filter(|owner| set.owners != [owner.clone()]);
    let owner = owner.or_else(|| set.contested.then(|| set.owner.clone()));
    let now = with_devices(set.devices.clone(), devices, ports)?;
    let devices = (now != set.devices).then_some(now);
    Ok(DetailChanges { oxygen, owner, devices })
}

#[cfg(test)]
#[path = "sets_tests.rs"]
mod tests;

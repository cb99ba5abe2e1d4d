//! Ports of a first stage, and the place of a hose in one.

use serde::{Deserialize, Serialize};

use super::SetId;
use crate::hose::{Label, Pressure, Thread};

/// A port of a first stage, as `LP2`: its kind and its number among its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PortName {
    pressure: Pressure,
    number: u8,
}

impl PortName {
    /// The port of a kind and a number from 1 up.
    #[must_use]
    pub const fn new(pressure: Pressure, number: u8) -> Self {
        Self { pressure, number }
    }

    /// Whether it gives high or low pressure.
    #[must_use]
    pub const fn pressure(self) -> Pressure {
        self.pressure
    }
}

impl std::fmt::Display for PortName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&format!("{}{}", self.pressure, self.number))
    }
}

impl From<PortName> for String {
    fn from(port: PortName) -> Self {
        port.to_string()
    }
}

impl std::str::FromStr for PortName {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let text = typed.trim();
        let wrong = || format!("“{text}” is not a port; ports are named HP1, LP1, LP2 …");
        let (kind, number) = text.split_at_checked(2).ok_or_else(wrong)?;
        let pressure = kind.parse().map_err(|_| wrong())?;
        let number = number.trim().parse().ok().filter(|n| *n > 0).ok_or_else(wrong)?;
        Ok(Self { pressure, number })
    }
}

impl TryFrom<String> for PortName {
    type Error = String;

    fn try_from(typed: String) -> Result<Self, String> {
        typed.parse()
    }
}

/// A port of a first stage and the thread cut in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Port {
    /// Its name.
    pub name: PortName,
    /// Its thread.
    pub thread: Thread,
}

/// Where a fitted hose is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seat {
    /// The set.
    pub set: Label,
    /// The port of its first stage.
    pub port: PortName,
}

impl std::fmt::Display for Seat {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "set {}, port {}", self.set, self.port)
    }
}

/// The same by identity, as entries and records have it: a set's name may change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Slot {
    /// The set.
    pub set: SetId,
    /// The port of its first stage.
    pub port: PortName,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ports_are_named_as_people_say_them() {
        for (typed, shown) in [("LP2", "LP2"), ("hp1", "HP1"), (" lp 3", "LP3")] {
            assert_eq!(typed.parse::<PortName>().map(|p| p.to_string()), Ok(shown.to_owned()));
        }
        for typed in ["", "L", "LP", "LP0", "MP1", "LPx", "LP999", "é1"] {
            assert!(typed.parse::<PortName>().is_err(), "{typed}");
        }
    }
}

//! Ports of a first stage, and the place of a hose in one.

use serde::{Deserialize, Serialize};

use super::SetId;
use crate::hose::{Label, PortKind, Pressure, Thread};

/// A port of a first stage, as `LP2`: its kind and its number among its kind.
/// One whose kind was not known when it was named is `P1` for good, which earlier
/// programs do not read: to them it is a set that they do not know wholly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PortName {
    kind: PortKind,
    number: u8,
}

impl PortName {
    /// The port of a kind and a number from 1 up.
    #[must_use]
    pub const fn new(pressure: Pressure, number: u8) -> Self {
        let kind = match pressure {
            Pressure::High => PortKind::High,
            Pressure::Low => PortKind::Low,
        };
        Self { kind, number }
    }

    /// The port of a kind, which may be unknown, and a number from 1 up.
    #[must_use]
    pub const fn of(kind: PortKind, number: u8) -> Self {
        Self { kind, number }
    }

    /// Its kind, as its name has it.
    #[must_use]
    pub const fn kind(self) -> PortKind {
        self.kind
    }

    /// Its number among its kind, from 1.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.number
    }

    /// Whether it gives high or low pressure, if its name says so.
    #[must_use]
    pub const fn pressure(self) -> Option<Pressure> {
        self.kind.pressure()
    }
}

impl std::fmt::Display for PortName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.kind {
            PortKind::Unknown => f.pad(&format!("P{}", self.number)),
            kind => f.pad(&format!("{kind}{}", self.number)),
        }
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
        let wrong = || {
            format!(
                "“{text}” is not a port; ports are named HP1, LP1, LP2 …, and P1 if the kind is \
                 not known"
            )
        };
        let letters = text.find(|c: char| !c.is_ascii_alphabetic()).ok_or_else(wrong)?;
        let (kind, number) = text.split_at_checked(letters).ok_or_else(wrong)?;
        let kind = match kind.to_ascii_lowercase().as_str() {
            "hp" => PortKind::High,
            "lp" => PortKind::Low,
            "p" => PortKind::Unknown,
            _ => return Err(wrong()),
        };
        let number = number.trim().parse().ok().filter(|n| *n > 0).ok_or_else(wrong)?;
        Ok(Self { kind, number })
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
    /// What a port that was named without a kind is known to give since.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<Pressure>,
}

impl Port {
    /// A port whose name says all that is known of its kind.
    #[must_use]
    pub const fn new(name: PortName, thread: Thread) -> Self {
        Self { name, thread, kind: None }
    }

    /// Whether it gives high or low pressure, if that is known.
    #[must_use]
    pub fn pressure(&self) -> Option<Pressure> {
        self.name.pressure().or(self.kind)
    }
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
        for (typed, shown) in [("LP2", "LP2"), ("hp1", "HP1"), (" lp 3", "LP3"), ("p1", "P1")] {
            assert_eq!(typed.parse::<PortName>().map(|p| p.to_string()), Ok(shown.to_owned()));
        }
        for typed in ["", "L", "LP", "LP0", "MP1", "LPx", "LP999", "é1", "P", "P0", "1", "unknown1"]
        {
            assert!(typed.parse::<PortName>().is_err(), "{typed}");
        }
    }
}

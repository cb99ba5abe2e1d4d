//! What can happen to a hose, a set or the fleet: the kinds of entry in the
//! journal, each with its version.
//!
//! A kind is a promise: its fields keep their meaning for ever, and what it
//! touches stands under the keys `hose`, `hoses`, `set` and `sets`, so that a
//! program that does not know a later kind still knows whom it is about.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::device::Warrant;
use crate::hose::{End, Label, Origin, Pressure, Specification, Thread};
use crate::inspection::{InspectionKind, Look, Place};
use crate::photograph::Photograph;
use crate::policy::{Change, Scope, Use};
use crate::tag::Code;

/// The version of every kind that this program writes.
pub const VERSION: u32 = 1;

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

/// One thing that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "body", rename_all = "kebab-case")]
pub enum Event {
    /// A hose got its first tag; the tag's code is the hose's identity.
    Registered {
        /// The hose.
        hose: Code,
        /// What it is.
        #[serde(flatten)]
        specification: Specification,
        /// Where it came from.
        #[serde(flatten)]
        origin: Origin,
    },
    /// What was written down about a hose is put right, as a whole.
    Described {
        /// The hose.
        hose: Code,
        /// What it is.
        #[serde(flatten)]
        specification: Specification,
        /// Where it came from.
        #[serde(flatten)]
        origin: Origin,
    },
    /// A new tag for a hose; its earlier tags are withdrawn.
    Tagged {
        /// The hose.
        hose: Code,
        /// The new tag.
        tag: Code,
    },
    /// A maker's own barcode is bound to a hose as a second tag.
    Bound {
        /// The hose.
        hose: Code,
        /// What the barcode says.
        barcode: Label,
    },
    /// A hose was looked over.
    Inspected {
        /// The hose.
        hose: Code,
        /// How, and what was seen.
        #[serde(flatten)]
        look: Look,
    },
    /// What the last inspection of a kind, on that day, found was photographed.
    Photographed {
        /// The hose.
        hose: Code,
        /// The kind of inspection.
        inspection: InspectionKind,
        /// The place that it shows.
        place: Place,
        /// The picture.
        photograph: Photograph,
    },
    /// New O-rings at one end.
    Resealed {
        /// The hose.
        hose: Code,
        /// The end.
        end: End,
        /// The size of the O-ring, if it was written down.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        seal: Option<Label>,
    },
    /// Soaked, cleaned and dried.
    Cleaned {
        /// The hose.
        hose: Code,
    },
    /// A regulator set and the ports of its first stage.
    Assembled {
        /// The set's name.
        set: Label,
        /// Who dives with it.
        #[serde(rename = "use")]
        in_use: Use,
        /// Its ports.
        ports: Vec<Port>,
    },
    /// A hose was put in a port.
    Fitted {
        /// The hose.
        hose: Code,
        /// The set.
        set: Label,
        /// The port.
        port: PortName,
        /// Where the writer knew it to be before; nothing is stock.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        from: Option<Seat>,
    },
    /// A hose was taken off, to stock.
    Removed {
        /// The hose.
        hose: Code,
        /// The set it was in.
        set: Label,
        /// The port it was in.
        port: PortName,
    },
    /// A hose was taken out of service for good.
    Retired {
        /// The hose.
        hose: Code,
        /// Why.
        why: Label,
    },
    /// Dives were made with hoses.
    Dived {
        /// The hoses.
        hoses: Vec<Code>,
        /// How many dives each.
        dives: u32,
    },
    /// One step of a guided swap was answered.
    Swapped {
        /// The old hose and the new one.
        hoses: [Code; 2],
        /// The set that it is done on.
        set: Label,
        /// The port of its first stage.
        port: PortName,
        /// The step.
        step: Label,
        /// What was answered.
        answer: Label,
    },
    /// A set was handed out with its hoses.
    HandedOut {
        /// The set.
        set: Label,
        /// Its hoses.
        hoses: Vec<Code>,
        /// The hirer's ticket: a number, never a person.
        ticket: Label,
        /// Why it went out although something spoke against it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        override_why: Option<Label>,
    },
    /// A set came back with its hoses.
    Returned {
        /// The set.
        set: Label,
        /// Its hoses.
        hoses: Vec<Code>,
        /// The ticket it was out on.
        ticket: Label,
    },
    /// A hose of a recalled lot was found and set aside.
    SetAside {
        /// The hose.
        hose: Code,
        /// The lot that was called back.
        lot: Label,
    },
    /// The owner set limits for some hoses.
    Limited {
        /// Which.
        #[serde(flatten)]
        scope: Scope,
        /// The limits.
        limits: Change,
    },
    /// The fleet's owner said what a device may write.
    Enrolled {
        /// The owner's word.
        warrant: Warrant,
    },
    /// A lot was recalled.
    Recalled {
        /// The lot as printed.
        lot: Label,
        /// The maker, where the lot alone is not enough.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        maker: Option<Label>,
        /// Why.
        why: Label,
    },
}

/// Whom an entry is about.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Touched {
    /// Hoses.
    pub hoses: Vec<Code>,
    /// Sets, by name.
    pub sets: Vec<Label>,
    /// Limits or recalls, which are every hose's.
    pub fleet: bool,
}

impl Event {
    /// The kind's name and its fields.
    #[must_use]
    pub fn to_parts(&self) -> (String, Value) {
        let mut whole = serde_json::to_value(self).unwrap_or_default();
        let kind = whole.get("kind").and_then(Value::as_str).unwrap_or_default().to_owned();
        (kind, whole.get_mut("body").map(Value::take).unwrap_or_default())
    }

    /// The event of a kind, its version and its fields; nothing where this
    /// program does not know them.
    #[must_use]
    pub fn from_parts(kind: &str, version: u32, body: Value) -> Option<Self> {
        if version > VERSION {
            return None;
        }
        let kind = ("kind".to_owned(), Value::from(kind));
        let whole = Value::Object([kind, ("body".to_owned(), body)].into_iter().collect());
        serde_json::from_value(whole).ok()
    }
}

/// Whom an entry of any kind, known or not, is about.
#[must_use]
pub fn touched(kind: &str, body: &Value) -> Touched {
    let code = |v: &Value| v.as_str().and_then(|text| Code::parse(text).ok());
    let label = |v: &Value| v.as_str().and_then(|text| Label::new("a set", text).ok());
    let listed = |one: &str, many: &str| {
        let one = body.get(one).into_iter();
        let many = body.get(many).and_then(Value::as_array).into_iter().flatten();
        one.chain(many).collect::<Vec<_>>()
    };
    let from = body.get("from").and_then(|from| from.get("set"));
    let mut sets: Vec<Label> =
        listed("set", "sets").into_iter().chain(from).filter_map(label).collect();
    sets.sort_unstable();
    sets.dedup();
    let mut hoses: Vec<Code> = listed("hose", "hoses").into_iter().filter_map(code).collect();
    hoses.sort_unstable();
    hoses.dedup();
    Touched { hoses, sets, fleet: matches!(kind, "limited" | "recalled" | Warrant::KIND) }
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

    #[test]
    fn an_unknown_kind_still_says_whom_it_is_about() {
        let code = "0123-4567-89AB";
        let hose = (0..).find_map(|n| Code::from_bits(n).map(|c| (c, c.to_string())));
        let Some((hose, text)) = hose else { unreachable!("{code}") };
        let body = serde_json::json!({"hose": text, "set": "A1", "from": {"set": "B2"}, "x": 1});
        let whom = touched("polished", &body);
        assert_eq!(whom.hoses, vec![hose]);
        assert_eq!(whom.sets.iter().map(Label::as_str).collect::<Vec<_>>(), ["A1", "B2"]);
        assert_eq!(Event::from_parts("polished", 1, body), None);
        assert_eq!(Event::from_parts("cleaned", 2, serde_json::json!({"hose": text})), None);
        assert_eq!(
            Event::from_parts("cleaned", 1, serde_json::json!({"hose": text})),
            Some(Event::Cleaned { hose })
        );
    }
}

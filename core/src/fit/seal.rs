//! Which O-rings a joint needs, and their sizes.
//!
//! The sizes are of SAE AS568 (ISO 3601-1). Which ring goes in which joint of
//! a regulator has no open source: every assignment here is from memory, and
//! the words say so.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::inch;

use super::{DEPRESSURISE, FitError, OXYGEN, TECHNICIAN, in_mm};
use crate::hose::{End, Fitting, Pressure, Service, Specification, Thread};

/// A row of the table of sizes: dash number; inside diameter, its tolerance and
/// the cross-section, all in thousandths of an inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Row {
    dash: u16,
    inner: u16,
    inner_tolerance: u16,
    section: u16,
}

/// All cross-sections here are good to 0.003 in.
const SECTION_TOLERANCE: u16 = 3;

const fn row(dash: u16, inner: u16, inner_tolerance: u16, section: u16) -> Row {
    Row { dash, inner, inner_tolerance, section }
}

fn thousandths(inches: u16) -> Length {
    Length::new::<inch>(f64::from(inches) / 1000.0)
}

/// AS568 sizes. -001, -004, -008, -010, -012 and -014 as the standard is quoted
/// in print; the others, and the tolerances of all, from memory. -001 to -003
/// are the exceptions to a cross-section of 0.070 in.
const ROWS: &[Row] = &[
    row(1, 29, 4, 40),
    row(2, 42, 4, 50),
    row(3, 56, 4, 60),
    row(4, 70, 5, 70),
    row(6, 114, 5, 70),
    row(7, 145, 5, 70),
    row(8, 176, 5, 70),
    row(9, 208, 5, 70),
    row(10, 239, 5, 70),
    row(11, 301, 5, 70),
    row(12, 364, 5, 70),
    row(13, 426, 5, 70),
    row(14, 489, 5, 70),
];

/// Hydraulic port seals for the threads of the trade (SAE J1926, ISO 11926): a
/// regulator's port is not cut for them.
const HYDRAULIC: &[(u16, Thread)] = &[
    (903, Thread::Unf3_8x24),
    (904, Thread::Unf7_16x20),
    (905, Thread::Unf1_2x20),
    (906, Thread::Unf9_16x18),
];

/// An O-ring's size by AS568; only a size of the table can be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct DashSize(Row);

impl DashSize {
    /// Every size of the table, the smallest first.
    pub fn all() -> impl Iterator<Item = Self> {
        ROWS.iter().copied().map(Self)
    }

    fn numbered(dash: u16) -> Option<Self> {
        Self::all().find(|size| size.0.dash == dash)
    }

    /// The inside diameter.
    #[must_use]
    pub fn inner_diameter(self) -> Length {
        thousandths(self.0.inner)
    }

    /// How far the inside diameter of a good ring may be off, either way.
    #[must_use]
    pub fn inner_tolerance(self) -> Length {
        thousandths(self.0.inner_tolerance)
    }

    /// The cross-section.
    #[must_use]
    pub fn cross_section(self) -> Length {
        thousandths(self.0.section)
    }

    /// How far the cross-section of a good ring may be off, either way.
    #[must_use]
    pub fn cross_section_tolerance(self) -> Length {
        thousandths(SECTION_TOLERANCE)
    }

    /// Size and both measures: `-012: 9.25 mm (0.364 in) inside, 1.78 mm (0.070 in) thick`.
    #[must_use]
    pub fn in_words(self) -> String {
        let (inner, section) = (self.inner_diameter(), self.cross_section());
        format!(
            "{self}: {} ({:.3} in) inside, {} ({:.3} in) thick",
            in_mm(inner),
            inner.get::<inch>(),
            in_mm(section),
            section.get::<inch>()
        )
    }
}

fn known_sizes() -> String {
    DashSize::all().map(|size| size.to_string()).collect::<Vec<_>>().join(", ")
}

impl fmt::Display for DashSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("-{:03}", self.0.dash))
    }
}

impl FromStr for DashSize {
    type Err = FitError;

    /// Reads `-012`, `012`, `12` or `AS568-012`.
    fn from_str(typed: &str) -> Result<Self, FitError> {
        let folded = typed.trim().to_uppercase();
        let number = folded.strip_prefix("AS568").map_or(folded.as_str(), |rest| {
            rest.strip_prefix(['A', 'B']).unwrap_or(rest).trim_start()
        });
        let number = number.strip_prefix(['-', '–', '−']).unwrap_or(number);
        let digits = (1..=3).contains(&number.len()) && number.bytes().all(|b| b.is_ascii_digit());
        let dash: u16 = if digits { number.parse().unwrap_or(0) } else { 0 };
        if let Some(size) = Self::numbered(dash) {
            return Ok(size);
        }
        let (typed, known) = (typed.trim().to_owned(), known_sizes());
        match HYDRAULIC.iter().find(|(number, _)| *number == dash) {
            Some((_, thread)) => {
                Err(FitError::HydraulicSeal { typed, thread: thread.word(), known })
            }
            None => Err(FitError::UnknownDash { typed, known }),
        }
    }
}

impl From<DashSize> for String {
    fn from(size: DashSize) -> Self {
        size.to_string()
    }
}

impl TryFrom<String> for DashSize {
    type Error = FitError;

    fn try_from(typed: String) -> Result<Self, FitError> {
        typed.parse()
    }
}

/// A joint that an O-ring seals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Joint {
    /// A hose's end in a port of the first stage.
    Port(Thread),
    /// The 9/16-18 end on a second stage.
    SecondStage,
    /// The swivel pin between an HP hose and its gauge: two tiny rings.
    SwivelPin,
    /// A plug in a port of the first stage.
    Plug(Thread),
}

/// The joints that this table knows, and the rings of each: from memory,
/// unconfirmed, every one.
const JOINTS: &[(Joint, &[u16], &str)] = &[
    (Joint::Port(Thread::Unf3_8x24), &[11], "LP hose in a 3/8-24 port"),
    (Joint::Port(Thread::Unf1_2x20), &[13], "LP hose in a 1/2-20 port"),
    (Joint::Port(Thread::Unf7_16x20), &[12], "HP hose in a 7/16-20 port"),
    (Joint::SecondStage, &[10], "9/16-18 end at the second stage"),
    (Joint::SwivelPin, &[3, 3], "swivel pin at the gauge"),
    (Joint::Plug(Thread::Unf3_8x24), &[11], "LP plug in a 3/8-24 port"),
    (Joint::Plug(Thread::Unf1_2x20), &[13], "LP plug in a 1/2-20 port"),
    (Joint::Plug(Thread::Unf7_16x20), &[12], "HP plug in a 7/16-20 port"),
];

impl Joint {
    /// Every joint that the table knows.
    pub fn all() -> impl Iterator<Item = Self> {
        JOINTS.iter().map(|(joint, _, _)| *joint)
    }
}

impl fmt::Display for Joint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Port(thread) => f.pad(&format!("port:{thread}")),
            Self::SecondStage => f.pad("second-stage"),
            Self::SwivelPin => f.pad("swivel-pin"),
            Self::Plug(thread) => f.pad(&format!("plug:{thread}")),
        }
    }
}

impl FromStr for Joint {
    type Err = FitError;

    /// Reads `port:3/8-24`, `plug:7/16-20`, `second-stage` or `swivel-pin`.
    fn from_str(typed: &str) -> Result<Self, FitError> {
        let folded = typed.trim().to_lowercase().replace([' ', '_'], "-");
        Self::all().find(|joint| joint.to_string() == folded).ok_or_else(|| {
            let known: Vec<String> = Self::all().map(|joint| joint.to_string()).collect();
            FitError::UnknownJoint { typed: typed.trim().to_owned(), known: known.join(", ") }
        })
    }
}

/// Said of an end whose seals no table knows.
pub const UNKNOWN_SEALS: &str =
    "a quick-disconnect or a maker's own fitting: its seals are on the maker's list";

/// What to say beside every answer about seals, and where new ones went in.
pub const SEAL_CAUTIONS: &[&str] = &[
    DEPRESSURISE,
    "A thin film of grease only, enough to shine.",
    OXYGEN,
    "Look for the old ring: a missing one is still in the port or on the hose.",
    TECHNICIAN,
];

const FROM_MEMORY: &str =
    "from memory, unconfirmed: compare with the old ring and with the maker's list";

/// The rings of a joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Seals {
    /// The joint, in words.
    #[serde(skip)]
    pub joint: &'static str,
    /// One entry a ring: a swivel pin has two.
    pub rings: Vec<DashSize>,
    /// The same for people, with the measures and how sure it is.
    pub words: String,
    /// A ring for the same thread from another trade, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warning: Option<String>,
}

/// The rings that a joint needs; nothing for a joint that no hose or plug of
/// the trade makes.
#[must_use]
pub fn seals(joint: Joint) -> Option<Seals> {
    let (_, dashes, name) = JOINTS.iter().find(|(known, _, _)| *known == joint)?;
    let rings: Vec<DashSize> = dashes.iter().copied().filter_map(DashSize::numbered).collect();
    let size = rings.first()?.in_words();
    let count = match rings.len() {
        1 => "one O-ring".to_owned(),
        n => format!("{n} O-rings, change both,"),
    };
    let words = format!("{name}: {count} AS568 {size} ({FROM_MEMORY})");
    Some(Seals { joint: name, rings, words, warning: thread_of(joint).map(hydraulic_warning) })
}

const fn thread_of(joint: Joint) -> Option<Thread> {
    match joint {
        Joint::Port(thread) | Joint::Plug(thread) => Some(thread),
        Joint::SecondStage => Some(Thread::Unf9_16x18),
        Joint::SwivelPin => None,
    }
}

fn hydraulic_warning(thread: Thread) -> String {
    let dash = HYDRAULIC.iter().find(|(_, t)| *t == thread).map_or(0, |(dash, _)| *dash);
    format!(
        "Right thread, wrong ring: AS568 -{dash} is for {thread} hydraulic ports (SAE J1926), and a regulator's port is not cut for it."
    )
}

/// Which joint an end of a hose makes; nothing for a quick-disconnect or a
/// maker's own fitting, whose seals only the maker's list knows.
#[must_use]
pub fn joint_of(hose: &Specification, end: End) -> Option<Joint> {
    let Fitting::Thread(thread) = hose.fitting(end) else { return None };
    Some(match (end, hose.service()) {
        (End::A, _) => Joint::Port(*thread),
        (End::B, Service::Gauge) => Joint::SwivelPin,
        (End::B, Service::SecondStage | Service::Inflator) => Joint::SecondStage,
    })
}

/// The plug of a port.
#[must_use]
pub fn plug_of(pressure: Pressure, thread: Thread) -> Option<Joint> {
    let high = thread == Thread::Unf7_16x20;
    let exists = high == (pressure == Pressure::High) && thread != Thread::Unf9_16x18;
    exists.then_some(Joint::Plug(thread))
}

#[cfg(test)]
mod tests;

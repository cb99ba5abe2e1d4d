//! The threads that a caliper reading is compared with: the four of the trade,
//! and the inch, metric and pipe threads that a caliper could take for them.

use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::geometry::{Limits, Series, UnifiedThread};
use crate::hose::Thread;

/// How far a figure of the table can be relied upon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sure {
    /// Computed from the standard's own formula, or read in a published table.
    Confirmed,
    /// From memory; no published copy was at hand to compare it with.
    Unconfirmed,
}

/// A thread with what a caliper can measure of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownThread {
    /// Its name: `3/8-24`, `M10x1`, `G 1/8`.
    pub name: &'static str,
    /// Which thread of the trade it is, if it is one.
    pub trade: Option<Thread>,
    /// The standard that its limits are from.
    pub standard: &'static str,
    /// From one crest to the next.
    pub pitch: Length,
    /// Over the crests of the male.
    pub male_major: Limits,
    /// How far the male's limits can be relied upon.
    pub male_sure: Sure,
    /// Across the bore of the female.
    pub female_minor: Limits,
    /// How far the female's limits can be relied upon.
    pub female_sure: Sure,
}

const UNIFIED_STANDARD: &str = "ASME B1.1, classes 2A and 2B";

/// A row of stored limits, all in millimetres: name, pitch, male major least
/// and most and how sure, female minor least and most and how sure.
type StoredRow = (&'static str, f64, (f64, f64), Sure, (f64, f64), Sure);

use Sure::{Confirmed, Unconfirmed};

/// ISO 965, class 6g outside and 6H inside. Stored and not computed, since the
/// standard rounds what its formulas give, and not always to the nearest.
const METRIC: &[StoredRow] = &[
    ("M8x1", 1.0, (7.794, 7.974), Confirmed, (6.917, 7.153), Unconfirmed),
    ("M10x1", 1.0, (9.794, 9.974), Confirmed, (8.917, 9.153), Unconfirmed),
    ("M10x1.25", 1.25, (9.760, 9.972), Confirmed, (8.647, 8.912), Unconfirmed),
    ("M10x1.5", 1.5, (9.732, 9.968), Confirmed, (8.376, 8.676), Unconfirmed),
    ("M11x1", 1.0, (10.794, 10.974), Unconfirmed, (9.917, 10.153), Unconfirmed),
    ("M12x1", 1.0, (11.794, 11.974), Unconfirmed, (10.917, 11.153), Unconfirmed),
    ("M12x1.25", 1.25, (11.760, 11.972), Unconfirmed, (10.647, 10.912), Unconfirmed),
    ("M12x1.5", 1.5, (11.732, 11.968), Unconfirmed, (10.376, 10.676), Unconfirmed),
    ("M12x1.75", 1.75, (11.701, 11.966), Unconfirmed, (10.106, 10.441), Unconfirmed),
    ("M14x1.25", 1.25, (13.760, 13.972), Unconfirmed, (12.647, 12.912), Unconfirmed),
    ("M14x1.5", 1.5, (13.732, 13.968), Unconfirmed, (12.376, 12.676), Unconfirmed),
];

/// ISO 228-1, class A outside. The nominal sizes were read in two handbooks;
/// the tolerances (major 0.214 and 0.250 mm under, minor 0.282 and 0.445 mm
/// over) are from memory.
const PIPE: &[StoredRow] = &[
    ("G 1/8", 25.4 / 28.0, (9.514, 9.728), Unconfirmed, (8.566, 8.848), Unconfirmed),
    ("G 1/4", 25.4 / 19.0, (12.907, 13.157), Unconfirmed, (11.445, 11.890), Unconfirmed),
    ("G 3/8", 25.4 / 19.0, (16.412, 16.662), Unconfirmed, (14.950, 15.395), Unconfirmed),
];

/// Every thread that readings are compared with, the trade's own first.
#[must_use]
pub fn catalogue() -> Vec<KnownThread> {
    let trade = Thread::ALL.iter().map(|t| unified_row(t.word(), Some(*t), (*t).into()));
    let larger = UnifiedThread::known(0.625, 18, Series::Graded);
    let metric = METRIC.iter().map(|row| stored_row("ISO 965, classes 6g and 6H", row));
    let pipe = PIPE.iter().map(|row| stored_row("ISO 228-1, class A", row));
    trade.chain([unified_row("5/8-18", None, larger)]).chain(metric).chain(pipe).collect()
}

fn unified_row(name: &'static str, trade: Option<Thread>, thread: UnifiedThread) -> KnownThread {
    KnownThread {
        name,
        trade,
        standard: UNIFIED_STANDARD,
        pitch: thread.pitch(),
        male_major: thread.external().major,
        male_sure: Confirmed,
        female_minor: thread.internal().minor,
        female_sure: Confirmed,
    }
}

fn stored_row(standard: &'static str, row: &StoredRow) -> KnownThread {
    let &(name, pitch, male, male_sure, female, female_sure) = row;
    KnownThread {
        name,
        trade: None,
        standard,
        pitch: Length::new::<millimeter>(pitch),
        male_major: millimetres(male),
        male_sure,
        female_minor: millimetres(female),
        female_sure,
    }
}

fn millimetres((least, most): (f64, f64)) -> Limits {
    Limits { least: Length::new::<millimeter>(least), most: Length::new::<millimeter>(most) }
}

/// The geometry behind a thread of the trade: all four are of the fine series.
impl From<Thread> for UnifiedThread {
    fn from(thread: Thread) -> Self {
        let (sixteenths, per_inch) = match thread {
            Thread::Unf3_8x24 => (6.0, 24),
            Thread::Unf7_16x20 => (7.0, 20),
            Thread::Unf1_2x20 => (8.0, 20),
            Thread::Unf9_16x18 => (9.0, 18),
        };
        Self::known(sixteenths / 16.0, per_inch, Series::Graded)
    }
}

//! Which thread a caliper has between its jaws.
//!
//! Two things decide how sure an answer is, and both are common practice with
//! no source: a shop caliper is good to 0.05 mm, to which its display adds
//! 0.01 mm; a pitch taken over a few threads is good to 0.025 mm, which does
//! not tell 20 threads per inch (1.27 mm) from 1.25 mm. Every thread that
//! the reading could be within both is named; only if that is a single one
//! is the answer certain.

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::catalogue::{KnownThread, Sure, catalogue};
use super::geometry::Limits;
use crate::fit::{FitError, as_millimetres, in_mm, within};
use crate::hose::Thread;
use crate::measure::{MeasureError, parse_length};

/// What a reading may lie outside of a thread's limits, in mm, and still be it.
const CALIPER: f64 = 0.06;
/// The measuring faces of a caliper's inside jaws are up to so wide, in mm: in a bore they
/// touch with their edges, so it reads a chord and not the diameter. Common practice, no
/// source.
const FACES: f64 = 1.5;
/// What a measured pitch may differ from a thread's, in mm, and count for nothing.
const PITCH: f64 = 0.025;
/// A pitch's slip is felt over the threads of a joint: ten of them, in round
/// figures. So many times does what is over [`PITCH`] count.
const THREADS: f64 = 10.0;

/// Which side of a joint is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gender {
    /// Threads outside; the caliper goes over the crests.
    Male,
    /// Threads inside; the caliper goes across the bore.
    Female,
}

impl Gender {
    /// The limits of a thread that a reading of this side is compared with: a
    /// bore with bores only, never with the size of the male that goes in.
    #[must_use]
    pub fn limits(self, thread: &KnownThread) -> Limits {
        match self {
            Self::Male => thread.male_major,
            Self::Female => thread.female_minor,
        }
    }

    /// By how much a caliper may read too little: in a bore, whose chord it measures,
    /// `D − √(D² − f²)` for faces of a width `f`.
    fn short(self, limits: &Limits) -> Length {
        let bore = limits.least.get::<millimeter>();
        match self {
            Self::Male => Length::new::<millimeter>(0.0),
            Self::Female => {
                Length::new::<millimeter>(bore - (bore * bore - FACES * FACES).max(0.0).sqrt())
            }
        }
    }

    fn sure(self, thread: &KnownThread) -> Sure {
        match self {
            Self::Male => thread.male_sure,
            Self::Female => thread.female_sure,
        }
    }
}

/// From one crest to the next: 0.25 to 6.35 mm (100 to 4 threads per inch).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitch(Length);

impl Pitch {
    /// A pitch as a length.
    ///
    /// # Errors
    /// [`FitError::Measure`] if no thread has such a pitch.
    pub fn new(pitch: Length) -> Result<Self, FitError> {
        Self::checked(pitch, &in_mm(pitch))
    }

    /// Reads a pitch such as `1.06 mm`.
    ///
    /// # Errors
    /// [`FitError::Measure`] if it is not a length, or no thread has such a pitch.
    pub fn parse(typed: &str) -> Result<Self, FitError> {
        Self::checked(parse_length(typed)?, typed)
    }

    /// Takes a pitch as a count of threads on an inch, 4 to 100.
    ///
    /// # Errors
    /// [`FitError::Measure`] if no thread has so few or so many.
    pub fn per_inch(threads: f64) -> Result<Self, FitError> {
        if (4.0..=100.0).contains(&threads) {
            return Ok(Self(Length::new::<millimeter>(25.4 / threads)));
        }
        Err(FitError::Measure(MeasureError::OutOfRange {
            typed: threads.to_string(),
            what: "count of threads per inch",
            least: "4",
            most: "100",
        }))
    }

    fn checked(pitch: Length, typed: &str) -> Result<Self, FitError> {
        let words = ("0.25 mm", "6.35 mm");
        Ok(Self(within(pitch, typed, "thread pitch", (0.25, 6.35), words)?))
    }

    /// The pitch as a length.
    #[must_use]
    pub const fn length(self) -> Length {
        self.0
    }
}

/// What was measured of a thread: a diameter of 3 to 60 mm, and its pitch if
/// that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    gender: Gender,
    diameter: Length,
    pitch: Option<Pitch>,
}

impl Reading {
    /// A reading: over the crests of a male thread, or across the bore of a
    /// female one.
    ///
    /// # Errors
    /// [`FitError::Measure`] if no thread in the table comes near.
    pub fn new(gender: Gender, diameter: Length, pitch: Option<Pitch>) -> Result<Self, FitError> {
        Self::checked(gender, diameter, &in_mm(diameter), pitch)
    }

    /// Reads the diameter as people write it: `9.4mm`, `3/8 in`.
    ///
    /// # Errors
    /// [`FitError::Measure`] if it is not a length, or not one of a thread.
    pub fn parse(gender: Gender, typed: &str, pitch: Option<Pitch>) -> Result<Self, FitError> {
        Self::checked(gender, parse_length(typed)?, typed, pitch)
    }

    fn checked(
        gender: Gender,
        diameter: Length,
        typed: &str,
        pitch: Option<Pitch>,
    ) -> Result<Self, FitError> {
        let words = ("3 mm", "60 mm");
        let diameter = within(diameter, typed, "thread diameter", (3.0, 60.0), words)?;
        Ok(Self { gender, diameter, pitch })
    }
}

/// A thread, and how far the reading is from it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Candidate {
    /// The thread's name.
    pub thread: &'static str,
    /// How far the diameter lies outside of the thread's limits (nothing
    /// inside), plus ten times what the pitch differs over 0.025 mm.
    #[serde(rename = "misfit_mm", serialize_with = "as_millimetres")]
    pub misfit: Length,
    /// Which thread of the trade it is, if it is one.
    #[serde(skip)]
    pub trade: Option<Thread>,
    /// Whether the reading, as good as calipers are, could be this thread:
    /// within 0.06 mm of its limits, and within 0.025 mm of its pitch.
    #[serde(skip)]
    pub possible: bool,
    /// How far the limits that it was compared with can be relied upon.
    #[serde(skip)]
    pub sure: Sure,
}

/// Which threads a reading could be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Identification {
    /// Every thread of the catalogue, the nearest first; among equals, the
    /// trade's own first.
    pub candidates: Vec<Candidate>,
    /// Whether the first is the only one that the reading could be.
    pub certain: bool,
    /// The same for people.
    pub words: String,
}

/// Compares a reading with every thread of the catalogue.
#[must_use]
pub fn identify(reading: &Reading) -> Identification {
    let mut candidates: Vec<Candidate> =
        catalogue().iter().map(|thread| compare(reading, thread)).collect();
    candidates.sort_by(|a, b| a.misfit.value.total_cmp(&b.misfit.value));
    let possible: Vec<Candidate> = candidates.iter().filter(|c| c.possible).copied().collect();
    let words = in_words(reading, &possible, candidates.first());
    Identification { certain: possible.len() == 1, words, candidates }
}

fn compare(reading: &Reading, thread: &KnownThread) -> Candidate {
    let mut limits = reading.gender.limits(thread);
    limits.least -= reading.gender.short(&limits);
    let outside = limits.distance(reading.diameter);
    let slip = reading.pitch.map_or(0.0, |pitch| {
        let differs = (pitch.length() - thread.pitch).get::<millimeter>().abs();
        (differs - PITCH).max(0.0)
    });
    Candidate {
        thread: thread.name,
        misfit: outside + Length::new::<millimeter>(THREADS * slip),
        trade: thread.trade,
        sure: reading.gender.sure(thread),
        possible: outside.get::<millimeter>() <= CALIPER && slip <= 0.0,
    }
}

const MEASURE_PITCH: &str = "measure the pitch, best over ten threads, and ask again with it";
const NOT_OF_THE_TRADE: &str =
    "It is none of the four threads of the trade: do not start it in a regulator's port or hose.";

fn in_words(reading: &Reading, possible: &[Candidate], nearest: Option<&Candidate>) -> String {
    let said = match (possible, nearest) {
        ([only], _) => format!("This is {}: no other thread on the list comes near.", only.thread),
        ([], Some(nearest)) => nothing_near(reading, nearest),
        ([], None) => return NOT_OF_THE_TRADE.to_owned(),
        (several, _) => could_be(reading, several),
    };
    let memory = from_memory(possible);
    if possible.iter().any(|c| c.trade.is_some()) {
        return format!("{said}{memory}");
    }
    format!("{said}{memory} {NOT_OF_THE_TRADE}")
}

/// Names the threads whose limits no published table was at hand for.
fn from_memory(possible: &[Candidate]) -> String {
    let unconfirmed = possible.iter().filter(|c| c.sure == Sure::Unconfirmed);
    let names: Vec<&str> = unconfirmed.map(|c| c.thread).collect();
    if names.is_empty() {
        return String::new();
    }
    format!(" (Limits from memory, unconfirmed: {}.)", names.join(", "))
}

fn could_be(reading: &Reading, several: &[Candidate]) -> String {
    let names: Vec<&str> = several.iter().map(|c| c.thread).collect();
    let (last, rest) = names.split_last().unwrap_or((&"", &[]));
    let names = format!("{} or {last}", rest.join(", "));
    match reading.pitch {
        None => format!(
            "This could be {names}: the diameter alone does not tell them apart; {MEASURE_PITCH}."
        ),
        Some(_) => format!(
            "This could be {names}, even with the pitch: hold a thread gauge against it, and start nothing until it is known."
        ),
    }
}

fn nothing_near(reading: &Reading, nearest: &Candidate) -> String {
    let hint = match reading.pitch {
        None => MEASURE_PITCH,
        Some(_) => "measure the diameter and the pitch again",
    };
    let misfit = in_mm(nearest.misfit);
    format!("No thread on the list fits: {} is nearest, off by {misfit}; {hint}.", nearest.thread)
}

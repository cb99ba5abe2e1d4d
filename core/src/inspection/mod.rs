//! Looking a hose over: places, findings and what each of them means.
//!
//! Every rule is a row of [`FINDINGS`]; the verdicts, the refusals, the help
//! and the tests all read that one table.

mod choices;
mod form;
mod observation;
mod table;

pub use choices::Choice;
pub use form::{Checkpoint, Form, LeakTest, LeastPressure, Look};
pub use observation::{Grade, Observation};
pub use table::{Ends, FINDINGS, FindingRule, Graded, OnHose, Where, rule_for, rules_at};

use thiserror::Error;

use crate::hose::words;

words!(
    /// What may be done with a hose, from best to worst: the worst reason wins.
    Verdict, "verdict", {
        /// Nothing known against it.
        Ready = "ready",
        /// Usable; something to compare next time.
        Watch = "watch",
        /// Not to be dived until it has been put right.
        Hold = "hold",
        /// Never again.
        Retire = "retire",
    }
);

words!(
    /// How thoroughly a hose is looked over.
    InspectionKind, "kind of inspection", {
        /// Before diving and when rinsing, at hand-out and return.
        Quick = "quick",
        /// Every checkpoint that the hose has.
        Full = "full",
        /// Under pressure, fitted, in water or with soapy water.
        LeakTest = "leak-test" | "leak" | "leaktest",
    }
);

words!(
    /// Where on a hose something is found.
    Place, "place on a hose", {
        /// Between the ends.
        Run = "run",
        /// Crimped sleeve, metal and nut at the first stage.
        EndA = "end-a",
        /// Crimped sleeve, metal and nut at the far end.
        EndB = "end-b",
        /// The O-ring at the first stage.
        SealA = "seal-a",
        /// The O-rings at the far end.
        SealB = "seal-b",
    }
);

words!(
    /// What can be found on a hose.
    Finding, "finding", {
        /// A scuffed cover.
        Scuff = "scuff",
        /// A cut.
        Cut = "cut",
        /// A lump, blister or soft spot.
        Bulge = "bulge",
        /// A kink.
        Kink = "kink",
        /// A crack.
        Crack = "crack",
        /// A tacky, hard or brittle cover.
        Perished = "perished",
        /// Broken threads of a braid, counted.
        Strands = "strands",
        /// A changed colour.
        Discoloured = "discoloured" | "discolored",
        /// Green corrosion.
        Verdigris = "verdigris",
        /// Salt crystals.
        Salt = "salt",
        /// A crimped sleeve that turns or has slipped.
        SleeveLoose = "sleeve-loose",
        /// A nut whose corners are rounded.
        NutRounded = "nut-rounded",
        /// A damaged thread.
        ThreadDamaged = "thread-damaged",
        /// No O-ring where one belongs.
        SealMissing = "seal-missing",
        /// A nicked, flat or swollen O-ring.
        SealDamaged = "seal-damaged",
        /// A dirty or dry O-ring.
        SealDirty = "seal-dirty",
        /// Bubbles under water.
        Bubbles = "bubbles",
        /// Water that comes out of the pinpricks after a dive.
        Weep = "weep",
    }
);

words!(
    /// How bad a finding is, where a word says it.
    GradeWord, "grade", {
        /// Through part of the cover.
        Cover = "cover",
        /// Through to the reinforcement.
        Deep = "deep",
        /// A kink that goes when it is let go.
        SpringsBack = "springs-back",
        /// A kink that stays.
        Set = "set",
        /// A hairline.
        Fine = "fine",
        /// A crack that gapes when bent.
        Open = "open",
        /// A trace.
        Light = "light",
        /// Much.
        Heavy = "heavy",
        /// About one a centimetre, early in the dive.
        Occasional = "occasional",
        /// A stream.
        Steady = "steady",
        /// A drop or two.
        Slight = "slight",
    }
);

/// Why a finding is refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FindingError {
    /// Not of the form place:finding or place:finding:grade.
    #[error("“{0}” is not a finding; write PLACE:FINDING or PLACE:FINDING:GRADE, as run:cut:cover")]
    BadForm(String),
    /// A word that is not in the list.
    #[error(transparent)]
    UnknownWord(#[from] crate::hose::HoseError),
    /// The finding does not occur at this place.
    #[error("{finding} is not found at {place}; it is found at {places}")]
    NotThere {
        /// The finding.
        finding: Finding,
        /// The place it was said of.
        place: Place,
        /// Where it can be.
        places: String,
    },
    /// This kind of hose cannot have the finding.
    #[error("{finding} cannot be on this hose: {why}")]
    NotOnThisHose {
        /// The finding.
        finding: Finding,
        /// The reason, in words.
        why: &'static str,
    },
    /// The finding needs a grade, or another one.
    #[error("{finding} at {place} needs {needs}")]
    Grade {
        /// The finding.
        finding: Finding,
        /// The place.
        place: Place,
        /// The grades that can be given.
        needs: String,
    },
    /// A photo of a place at which nothing was found.
    #[error(
        "a photo is kept with what it shows; say what was found at {0}, or leave the photo out"
    )]
    PhotoOfNothing(Place),
    /// Two photos of one place.
    #[error("two photos of {0} are given; keep the one that shows it best")]
    TwoPhotos(Place),
    /// A full inspection with checkpoints not answered.
    #[error("a full inspection takes every checkpoint; still open: {0}")]
    Unanswered(String),
    /// A leak test without a result.
    #[error("a leak test needs its result: passed or failed")]
    NoResult,
    /// A leak test that was passed, at no pressure.
    #[error("a leak test that was passed needs the pressure in the cylinder, at least {least} bar")]
    NoPressure {
        /// The pressure that is asked for, in bar.
        least: u32,
    },
    /// A leak test that was passed, at too little pressure to count.
    #[error(
        "{typed} is too little for a leak test of this hose to count; test it under at least \
         {least} bar in the cylinder, or record what leaked"
    )]
    LowPressure {
        /// The pressure as it was typed.
        typed: String,
        /// The pressure that is asked for, in bar.
        least: u32,
    },
    /// A result on an inspection that is no leak test.
    #[error("only a leak test passes or fails, or has a pressure; use --kind leak-test")]
    NotATest,
    /// A leak test that is said to have passed, with a leak.
    #[error("a leak test with {0} has not passed; record it as failed")]
    PassedWithLeak(String),
    /// The same finding twice at one place.
    #[error("{0} is given twice; give each finding of a place once, with its worst grade")]
    Twice(String),
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod words_tests;

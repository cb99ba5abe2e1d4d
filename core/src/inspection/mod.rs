//! Looking a hose over: places, findings and what each of them means.
//!
//! Every rule is a row of [`FINDINGS`]; the verdicts, the refusals, the help
//! and the tests all read that one table.

mod choices;
mod damage;
mod form;
mod observation;
mod of_set;
mod table;

pub use choices::Choice;
pub use damage::{Damage, Known};
pub use form::{Checkpoint, Form, FromList, LeakTest, LeastPressure, Look};
pub use observation::Observation;
pub use of_set::{LookedOver, SaidOn, TestOfSet};
pub use table::{Ends, FINDINGS, FindingRule, Graded, OnHose, Where, rule_for, rules_at};

use std::fmt;

use thiserror::Error;

use crate::hose::words;

words!(
    /// What may be done with a hose, from best to worst: the worst reason wins.
    Verdict, "verdict", {
        /// Nothing known against it.
        Ready = "ready",
        /// Usable; something to compare next time.
        Watch = "watch",
        /// Not to be dived until it is put right.
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
        /// Hard to breathe through, wet, debris or crystals inside.
        FlowPoor = "flow-poor",
        /// The quick-disconnect of an inflator hose leaks, connected or not.
        CouplingLeaks = "coupling-leaks",
        /// The quick-disconnect of an inflator hose goes on or comes off hard.
        CouplingSticks = "coupling-sticks",
        /// Water that comes out of the pinpricks after a dive.
        Weep = "weep",
    }
);

words!(
    /// How bad a finding is, if a word says it.
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
        /// From the nut, the port or the swivel.
        Joint = "joint",
        /// From under the crimped sleeve.
        Sleeve = "sleeve",
    }
);

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Grade {
    /// A word from the table.
    Word(GradeWord),
    /// A count.
    Count(u32),
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Word(word) => word.fmt(f),
            Self::Count(n) => n.fmt(f),
        }
    }
}

words!(
    /// How a leak test is done.
    TestMethod, "way of testing", {
        /// Soapy water on every joint.
        SoapyWater = "soapy-water" | "soap" | "soapy",
        /// Held under water.
        UnderWater = "under-water" | "water" | "underwater",
    }
);

impl TestMethod {
    /// The way as people say it.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::SoapyWater => "with soapy water",
            Self::UnderWater => "under water",
        }
    }
}

/// How a leak test is done (common practice, no source).
pub const LEAK_TEST_LEAD: &str = "Open the cylinder slowly, the glass of every gauge away from \
faces, and read the pressure. Hold it under water or wet every joint with soapy water, and watch \
for a minute; connect and disconnect the coupling of an inflator hose. Never feel for a leak of a \
high-pressure hose with a hand.";

/// Why a finding is refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FindingError {
    /// Not of the form place:finding or place:finding:grade.
    #[error("“{0}” is not a finding: it needs the place and what was found there")]
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
    /// Two photos of one place.
    #[error("two photos of {0} are given; keep the one that shows it best")]
    TwoPhotos(Place),
    /// A full inspection with checkpoints not answered.
    #[error("a full inspection takes every checkpoint; still open: {0}")]
    Unanswered(String),
    /// A full inspection that leaves open damage without an answer.
    #[error(
        "damage does not heal, so a full inspection answers for what is on record: {0}. Give each \
         again as it is now, or say that it is not there, and why"
    )]
    NoAnswer(String),
    /// Bubbles at an end of which a full inspection does not say where they come
    /// from.
    #[error(
        "bubbles at {place}: a full inspection says where they come from, the joint (nut, port or \
         swivel) or from under the crimped sleeve; if you can't tell yet, record a quick \
         inspection and test it under pressure first"
    )]
    BubblesFromWhere {
        /// The end.
        place: Place,
    },
    /// Something that is no damage is said to be gone.
    #[error(
        "{0} does not stay with a hose; only a cut, a crack, a kink, broken strands and a rounded \
         nut can be reported as gone"
    )]
    NoDamage(String),
    /// Damage that is not on record is said to be gone.
    #[error("no {0} is on record that could be gone; look at its answer")]
    NotOpen(String),
    /// Damage is said to be gone and is found.
    #[error("{0} is reported both as gone and as found; choose one")]
    GoneAndFound(String),
    /// Damage is said to be gone without a reason, or a reason is given for nothing.
    #[error("damage that is gone needs a reason, and nothing else does: say what is gone and why")]
    GoneAndWhy,
    /// An inspection that is no full one says that damage is gone.
    #[error("only a full inspection can report damage as gone; make it a full inspection")]
    NotFull,
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
    #[error("only a leak test passes or fails, or has a pressure or a method; make it a leak test")]
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

//! The one table of findings: where, on which hose, how bad, and what then.
//!
//! Source: common practice, no source. Makers and local codes come first.

use super::Finding::{
    Bubbles, Bulge, CouplingLeaks, CouplingSticks, Crack, Cut, Discoloured, FlowPoor, Kink,
    NutRounded, Perished, Salt, Scuff, SealDamaged, SealDirty, SealMissing, SleeveLoose, Strands,
    ThreadDamaged, Verdigris, Weep,
};
use super::GradeWord::{
    Cover, Deep, Fine, Heavy, Joint, Light, Occasional, Open, Set, Sleeve, Slight, SpringsBack,
    Steady,
};
use super::Verdict::{Hold, Ready, Retire, Watch};
use super::{Finding, FindingError, Grade, GradeWord, Place, Verdict};
use crate::hose::{Construction, Service, Specification};

/// The places at which a row holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Where {
    /// Between the ends.
    Run,
    /// At either end's metal.
    Ends,
    /// At the far end's metal.
    FarEnd,
    /// Along the cover, the ends included.
    Cover,
    /// At either seal.
    Seals,
    /// Anywhere.
    Anywhere,
}

impl Where {
    /// Whether it takes in `place`.
    #[must_use]
    pub const fn has(self, place: Place) -> bool {
        match place {
            Place::Run => matches!(self, Self::Run | Self::Cover | Self::Anywhere),
            Place::EndB if matches!(self, Self::FarEnd) => true,
            Place::EndA | Place::EndB => matches!(self, Self::Ends | Self::Cover | Self::Anywhere),
            Place::SealA | Place::SealB => matches!(self, Self::Seals | Self::Anywhere),
        }
    }
}

impl Where {
    /// The places as people read them in a table.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Run => "run",
            Self::Ends => "ends",
            Self::FarEnd => "far end",
            Self::Cover => "run and ends",
            Self::Seals => "seals",
            Self::Anywhere => "anywhere",
        }
    }
}

/// The hoses on which a row holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnHose {
    /// Every hose.
    Any,
    /// Braided hoses.
    Braided,
    /// High-pressure rubber hoses, whose cover is pricked to let gas out.
    Pinpricked,
    /// Every hose without pinpricks.
    NotPinpricked,
    /// Inflator hoses, which end in a quick-disconnect.
    Inflator,
}

impl OnHose {
    /// Whether it takes in a hose; a hose that nobody has described may be any.
    #[must_use]
    pub fn has(self, hose: Option<&Specification>) -> bool {
        hose.is_none_or(|hose| match self {
            Self::Any => true,
            Self::Braided => hose.construction() == Construction::Braided,
            Self::Pinpricked => hose.has_pinpricks(),
            Self::NotPinpricked => !hose.has_pinpricks(),
            Self::Inflator => hose.service() == Service::Inflator,
        })
    }

    /// The hoses as people read them in a table.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Any => "any hose",
            Self::Braided => "braided",
            Self::Pinpricked => "HP rubber",
            Self::NotPinpricked => "all but HP rubber",
            Self::Inflator => "inflator",
        }
    }

    fn why_not(self, hose: &Specification) -> &'static str {
        match self {
            Self::Braided => "it is rubber, and only a braid has strands to break",
            Self::Inflator => "only inflator hoses end in a coupling",
            _ if hose.service() != Service::Gauge => {
                "it is a low-pressure hose, and only high-pressure rubber hoses have pinpricks; \
                 bubbles on its run are recorded as run:bubbles"
            }
            _ => {
                "it is braided, and only high-pressure rubber hoses have pinpricks; \
                 bubbles on its run are recorded as run:bubbles"
            }
        }
    }
}

/// The grade of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Graded {
    /// No grade is given.
    Plain,
    /// This word.
    Word(GradeWord),
    /// A count from the first to the second number.
    Count(u32, u32),
    /// With or without a word: any.
    Any,
    /// No word says where it comes from.
    Unsaid,
}

impl Graded {
    fn has(self, grade: Option<Grade>) -> bool {
        match (self, grade) {
            (Self::Plain, None) => true,
            (Self::Any | Self::Unsaid, None) | (Self::Any, Some(Grade::Word(_))) => true,
            (Self::Unsaid, Some(Grade::Word(word))) => !matches!(word, Joint | Sleeve),
            (Self::Word(word), Some(Grade::Word(given))) => word == given,
            (Self::Count(from, to), Some(Grade::Count(n))) => (from..=to).contains(&n),
            _ => false,
        }
    }

    /// The grade as people read it in a table; nothing for a plain finding.
    #[must_use]
    pub fn in_words(self) -> String {
        match self {
            Self::Plain => String::new(),
            Self::Any => "any".to_owned(),
            Self::Unsaid => "not said which".to_owned(),
            Self::Word(word) => word.word().to_owned(),
            Self::Count(from, to) if from == to => from.to_string(),
            Self::Count(from, u32::MAX) => format!("more than {}", from.saturating_sub(1)),
            Self::Count(from, to) => format!("{from} to {to}"),
        }
    }
}

/// What ends an open finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Nothing: the hose is retired for good.
    Never,
    /// The next full inspection.
    FullInspection,
    /// The next cleaning or full inspection.
    Cleaning,
    /// A reseal of that end, then a passed leak test.
    ResealAndTest,
    /// A new valve core or coupling, then a passed leak test.
    CouplingAndTest,
    /// A full inspection that says where it comes from.
    OnceSaid,
}

impl Ends {
    /// What ends it, in words.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Never => "nothing",
            Self::FullInspection => "a full inspection",
            Self::Cleaning => "cleaning; a full inspection",
            Self::ResealAndTest => "new O-rings there, then a passed leak test",
            Self::CouplingAndTest => "a new valve core or coupling, then a passed leak test",
            Self::OnceSaid => "a full inspection that says joint or sleeve",
        }
    }
}

/// One row of the table of findings.
#[derive(Debug, Clone, Copy)]
pub struct FindingRule {
    /// What is found.
    pub finding: Finding,
    /// Where.
    pub at: Where,
    /// On which hoses.
    pub on: OnHose,
    /// How bad.
    pub grade: Graded,
    /// What it means for the hose.
    pub verdict: Verdict,
    /// What ends it.
    pub ends: Ends,
    /// What was seen, in words.
    pub seen: &'static str,
    /// What to do, in words.
    pub todo: &'static str,
}

const fn row(
    finding: Finding,
    at: Where,
    on: OnHose,
    grade: Graded,
    verdict: Verdict,
    seen: &'static str,
    todo: &'static str,
) -> FindingRule {
    let ends = match (finding, grade, verdict) {
        (_, _, Verdict::Retire) => Ends::Never,
        (_, Graded::Unsaid, _) => Ends::OnceSaid,
        (SealMissing | SealDamaged | Bubbles, _, Verdict::Hold) => Ends::ResealAndTest,
        (CouplingLeaks | CouplingSticks, _, _) => Ends::CouplingAndTest,
        (Salt | SealDirty, _, _) | (Verdigris, Graded::Word(Light), _) => Ends::Cleaning,
        _ => Ends::FullInspection,
    };
    FindingRule { finding, at, on, grade, verdict, ends, seen, todo }
}

const TAKE_OUT: &str = "Take it out of service for good and replace it.";
const RESEAL: &str = "Fit a new O-ring, then pass a leak test.";
const RECOUPLE: &str = "Fit a new valve core or a new coupling, then pass a leak test, connected \
    and disconnected.";

/// Every finding that can be recorded, each grade a row.
#[rustfmt::skip]
pub const FINDINGS: &[FindingRule] = &[
    row(Scuff, Where::Cover, OnHose::Any, Graded::Plain, Ready,
        "scuffed, surface only", "Note it."),
    row(Cut, Where::Cover, OnHose::Any, Graded::Word(Cover), Watch,
        "a cut in the cover", "Compare it next time; plan a replacement."),
    row(Cut, Where::Cover, OnHose::Any, Graded::Word(Deep), Retire,
        "a cut down to the reinforcement", TAKE_OUT),
    row(Bulge, Where::Cover, OnHose::Any, Graded::Plain, Retire,
        "a lump, blister or soft spot", TAKE_OUT),
    row(Kink, Where::Cover, OnHose::Any, Graded::Word(SpringsBack), Watch,
        "a kink that springs back", "Change how the hose is led; compare next time."),
    row(Kink, Where::Cover, OnHose::Any, Graded::Word(Set), Retire,
        "a kink that stays", TAKE_OUT),
    row(Crack, Where::Run, OnHose::Any, Graded::Word(Fine), Watch,
        "fine cracks on the run", "Compare them next time; plan a replacement."),
    row(Crack, Where::Run, OnHose::Any, Graded::Word(Open), Retire,
        "open cracks on the run", TAKE_OUT),
    row(Crack, Where::Ends, OnHose::Any, Graded::Any, Retire,
        "a crack at the end", TAKE_OUT),
    row(Perished, Where::Cover, OnHose::Any, Graded::Plain, Retire,
        "a tacky, hard or brittle cover", TAKE_OUT),
    row(Strands, Where::Cover, OnHose::Braided, Graded::Count(0, 0), Ready,
        "no broken strands", "Note it."),
    row(Strands, Where::Cover, OnHose::Braided, Graded::Count(1, 3), Watch,
        "broken strands in the braid", "Compare the count with last time."),
    row(Strands, Where::Cover, OnHose::Braided, Graded::Count(4, u32::MAX), Retire,
        "more than three broken strands in the braid", TAKE_OUT),
    row(Discoloured, Where::Cover, OnHose::Any, Graded::Plain, Ready,
        "discoloured", "Note it."),
    row(Verdigris, Where::Ends, OnHose::Any, Graded::Word(Light), Watch,
        "a little verdigris", "Clean it and look again."),
    row(Verdigris, Where::Ends, OnHose::Any, Graded::Word(Heavy), Retire,
        "heavy verdigris", TAKE_OUT),
    row(Salt, Where::Anywhere, OnHose::Any, Graded::Plain, Watch,
        "salt crystals", "Soak it in fresh water and look again."),
    row(SleeveLoose, Where::Ends, OnHose::Any, Graded::Plain, Retire,
        "the crimped sleeve turns or has slipped", TAKE_OUT),
    row(NutRounded, Where::Ends, OnHose::Any, Graded::Plain, Watch,
        "the nut's corners are rounded", "Use the right spanner next time; plan a swap."),
    row(ThreadDamaged, Where::Ends, OnHose::Any, Graded::Plain, Retire,
        "a damaged thread", "Take it out of service for good; look at the port it was in too."),
    row(SealMissing, Where::Seals, OnHose::Any, Graded::Plain, Hold,
        "an O-ring is missing",
        "Look for it in the port; fit a new O-ring (both, on a swivel pin), then pass a leak \
         test."),
    row(SealDamaged, Where::Seals, OnHose::Any, Graded::Plain, Hold,
        "a damaged O-ring", "Fit a new O-ring (both, on a swivel pin), then pass a leak test."),
    row(SealDirty, Where::Seals, OnHose::Any, Graded::Plain, Watch,
        "a dirty or dry O-ring", "Clean it and give it a thin film of the maker's grease."),
    row(Bubbles, Where::Ends, OnHose::Any, Graded::Word(Joint), Hold,
        "bubbles from the joint: the nut, the port or the swivel", RESEAL),
    row(Bubbles, Where::Ends, OnHose::Any, Graded::Word(Sleeve), Retire,
        "bubbles from under the crimped sleeve", "The hose is failing. Take it out of service for \
         good and replace it."),
    row(Bubbles, Where::Ends, OnHose::Any, Graded::Unsaid, Hold,
        "bubbles at the end, source not recorded",
        "Give it a full inspection under pressure to see whether they come from the joint or \
         from under the sleeve; new O-rings do not settle it before that."),
    row(FlowPoor, Where::FarEnd, OnHose::Any, Graded::Plain, Retire,
        "hard to breathe through, or wet, debris or crystals inside",
        "The liner breaks down inside a hose that looks sound. Take it out of service for good; \
         look into the second stage too."),
    row(CouplingLeaks, Where::FarEnd, OnHose::Inflator, Graded::Plain, Hold,
        "the coupling leaks, connected or not", RECOUPLE),
    row(CouplingSticks, Where::FarEnd, OnHose::Inflator, Graded::Plain, Hold,
        "the coupling goes on or comes off hard, or its valve sticks", RECOUPLE),
    row(Bubbles, Where::Run, OnHose::Pinpricked, Graded::Word(Occasional), Ready,
        "a bubble here and there from the pinpricks early in the dive",
        "Note it: the pinpricks are made to let trapped gas out."),
    row(Bubbles, Where::Run, OnHose::Pinpricked, Graded::Word(Steady), Retire,
        "steady bubbles from the pinpricks", TAKE_OUT),
    row(Bubbles, Where::Run, OnHose::NotPinpricked, Graded::Plain, Retire,
        "bubbles on the run", TAKE_OUT),
    row(Bubbles, Where::Run, OnHose::NotPinpricked, Graded::Word(Steady), Retire,
        "steady bubbles on the run", TAKE_OUT),
    row(Weep, Where::Run, OnHose::Pinpricked, Graded::Word(Slight), Ready,
        "a drop or two from the pinpricks after a dive", "Note it."),
    row(Weep, Where::Run, OnHose::Pinpricked, Graded::Word(Heavy), Retire,
        "water runs from the pinpricks after a dive", TAKE_OUT),
];

/// The rows of a finding that hold at a place of a hose.
pub fn rules_at(
    hose: Option<&Specification>,
    place: Place,
    finding: Finding,
) -> impl Iterator<Item = &'static FindingRule> {
    FINDINGS.iter().filter(move |r| r.finding == finding && r.at.has(place) && r.on.has(hose))
}

/// The row for a finding, or why there is none. Of a hose that nobody has
/// described the worst row that could hold is taken.
///
/// # Errors
/// [`FindingError`] if the finding cannot be at this place of this hose, or
/// needs another grade.
pub fn rule_for(
    hose: Option<&Specification>,
    place: Place,
    finding: Finding,
    grade: Option<Grade>,
) -> Result<&'static FindingRule, FindingError> {
    rules_at(hose, place, finding)
        .filter(|r| r.grade.has(grade))
        .max_by_key(|r| r.verdict)
        .ok_or_else(|| refusal(hose, place, finding, grade))
}

fn refusal(
    hose: Option<&Specification>,
    place: Place,
    finding: Finding,
    grade: Option<Grade>,
) -> FindingError {
    let there: Vec<&FindingRule> =
        FINDINGS.iter().filter(|r| r.finding == finding && r.at.has(place)).collect();
    let elsewhere = there.iter().find(|r| grade.is_some() && !r.on.has(hose) && r.grade.has(grade));
    if there.is_empty() {
        let found: Vec<&str> = Place::ALL
            .iter()
            .filter(|p| FINDINGS.iter().any(|r| r.finding == finding && r.at.has(**p)))
            .map(|p| p.word())
            .collect();
        return FindingError::NotThere { finding, place, places: found.join(", ") };
    }
    if let (Some(row), Some(hose)) = (elsewhere, hose) {
        return FindingError::NotOnThisHose { finding, why: row.on.why_not(hose) };
    }
    let here: Vec<String> = there
        .iter()
        .filter(|r| r.on.has(hose))
        .map(|r| match r.grade {
            Graded::Plain | Graded::Any | Graded::Unsaid => "no grade".to_owned(),
            Graded::Count(..) => "a count of 0 or more".to_owned(),
            Graded::Word(word) => word.word().to_owned(),
        })
        .collect();
    if let (true, Some(hose)) = (here.is_empty(), hose) {
        let why = there.first().map_or("", |row| row.on.why_not(hose));
        return FindingError::NotOnThisHose { finding, why };
    }
    let mut needs = here;
    needs.dedup();
    FindingError::Grade { finding, place, needs: needs.join(" or ") }
}

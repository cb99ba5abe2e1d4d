//! The form that an inspection fills in, and what it becomes when it is done.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::damage::listed;
use super::{Damage, FindingError, InspectionKind, Known, Observation, Place, TestMethod, Verdict};
use crate::hose::{Label, Prose, Service, Specification, words};
use crate::measure::TestPressure;

words!(
    /// One thing to do on a hose while looking it over.
    Checkpoint, "checkpoint", {
        /// Sleeves pulled back: they hide wear and hold water.
        Protector = "protector",
        /// Hands run along the whole length.
        Run = "run",
        /// The first-stage end flexed and twisted all round.
        EndA = "end-a",
        /// The far end flexed and twisted all round.
        EndB = "end-b",
        /// The O-ring at the first stage looked at.
        SealA = "seal-a",
        /// The O-rings at the far end looked at.
        SealB = "seal-b",
    }
);

impl Checkpoint {
    /// The checkpoints that a hose has.
    #[must_use]
    pub fn of(hose: &Specification) -> Vec<Self> {
        let has = |c: &Self| *c != Self::Protector || hose.protector();
        Self::ALL.iter().copied().filter(has).collect()
    }

    /// Where it is, as people say it.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Protector => "under the protectors",
            Self::Run => "the whole length",
            Self::EndA => "the first-stage end",
            Self::EndB => "the far end",
            Self::SealA => "the O-ring at the first stage",
            Self::SealB => "the O-rings at the far end",
        }
    }

    /// What to do there on a hose, in words.
    #[must_use]
    pub fn todo(self, hose: &Specification) -> &'static str {
        match self {
            Self::Protector => "Pull every protector and wrap-round tag back and look under it.",
            Self::Run => {
                "Run both hands along the whole length; look and feel. Bubbles under water, wait: \
                 trapped air. Wet the braid, pull the protector back, and count them once they go \
                 on after a minute."
            }
            Self::EndB if hose.service() == Service::Inflator => {
                "Flex and twist the far end all round; look at sleeve and nut. Connect the \
                 coupling and disconnect it: does it go on and come off easily, and does it leak \
                 either way?"
            }
            Self::EndA => "Flex and twist the first-stage end all round; look at sleeve and nut.",
            Self::EndB => "Flex and twist the far end all round; look at sleeve and nut.",
            Self::SealA => "Look at the O-ring at the first stage.",
            Self::SealB => "Look at every O-ring at the far end.",
        }
    }

    const fn at(place: Place) -> Self {
        match place {
            Place::Run => Self::Run,
            Place::EndA => Self::EndA,
            Place::EndB => Self::EndB,
            Place::SealA => Self::SealA,
            Place::SealB => Self::SealB,
        }
    }
}

/// The result of a leak test.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LeakTest {
    /// Whether nothing leaked.
    pub passed: bool,
    /// The pressure it was done at, if it was recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure: Option<TestPressure>,
    /// What the owner asked for when it was written.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<LeastPressure>,
    /// How it was done, if it was recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<TestMethod>,
}

impl LeakTest {
    /// A result, and the pressure it was done at.
    #[must_use]
    pub const fn new(passed: bool, pressure: Option<TestPressure>) -> Self {
        Self { passed, pressure, least: None, method: None }
    }

    /// The same, done in this way.
    #[must_use]
    pub const fn done(mut self, method: Option<TestMethod>) -> Self {
        self.method = method;
        self
    }

    /// The result in a few words: `passed at 200 bar, under water`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let passed = if self.passed { "passed" } else { "failed" };
        let at = self.pressure.as_ref().map(|p| format!(" at {p}")).unwrap_or_default();
        let how = self.method.map(|method| format!(", {}", method.in_words()));
        format!("{passed}{at}{}", how.unwrap_or_default())
    }
}

/// The pressure in the cylinder under which a leak test counts, in bar. The
/// default is common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeastPressure {
    /// For low-pressure hoses, whose pressure is the first stage's.
    pub low_bar: u32,
    /// For high-pressure hoses.
    pub high_bar: u32,
}

impl Default for LeastPressure {
    fn default() -> Self {
        Self { low_bar: 50, high_bar: 150 }
    }
}

/// That something was not seen by its writer, but is in a shop's own list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FromList {
    /// The day on which the list was taken in.
    pub of: NaiveDate,
    /// Who did it, as the list says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Label>,
}

/// A finished inspection: complete, possible and of one mind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// How thorough it was.
    pub kind: InspectionKind,
    /// What was seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<Observation>,
    /// The result, of a leak test.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub test: Option<LeakTest>,
    /// A note.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Prose>,
    /// The damage on record that a full inspection did not find any more. None
    /// for other kinds and for those of earlier programs, which end the damage
    /// that they name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gone: Option<Vec<Damage>>,
    /// Why that damage is not there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<Prose>,
    /// The list that it is from, if its writer did not see it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub list: Option<FromList>,
}

impl Look {
    /// What an inspection saw that is no leak test, with nothing said besides.
    #[must_use]
    pub fn of(kind: InspectionKind, findings: Vec<Observation>) -> Self {
        let gone = (kind == InspectionKind::Full).then(Vec::new);
        Self { kind, findings, test: None, note: None, gone, why: None, list: None }
    }

    /// An inspection that a list brings in: it found nothing that the list says, and ends
    /// no finding.
    #[must_use]
    pub fn listed(kind: InspectionKind, test: Option<LeakTest>, list: FromList) -> Self {
        Self { test, list: Some(list), ..Self::of(kind, Vec::new()) }
    }

    /// Whether it says of damage on record how it is now, or that it is gone. One
    /// of an earlier program says so of all damage that it names.
    #[must_use]
    pub fn answers_for(&self, damage: Damage) -> bool {
        let Some(gone) = &self.gone else { return true };
        gone.contains(&damage) || self.findings.iter().any(|seen| Damage::of(seen) == Some(damage))
    }
}

/// An inspection being filled in, checkpoint by checkpoint.
#[derive(Debug, Clone)]
pub struct Form<'h> {
    kind: InspectionKind,
    hose: &'h Specification,
    answers: BTreeMap<Checkpoint, Vec<Observation>>,
    test: Option<LeakTest>,
    note: Option<Prose>,
    known: Vec<Known>,
    gone: Vec<Damage>,
    why: Option<Prose>,
}

impl<'h> Form<'h> {
    /// An empty form for a hose.
    #[must_use]
    pub fn new(kind: InspectionKind, hose: &'h Specification) -> Self {
        let (answers, known, gone) = (BTreeMap::new(), Vec::new(), Vec::new());
        Self { kind, hose, answers, test: None, note: None, known, gone, why: None }
    }

    /// What is on record and wants an answer, of a full inspection.
    #[must_use]
    pub fn with_known(mut self, known: Vec<Known>) -> Self {
        if self.kind == InspectionKind::Full {
            self.known = known;
        }
        self
    }

    /// Damage on record is not there.
    pub fn gone(&mut self, damage: Damage) {
        if !self.gone.contains(&damage) {
            self.gone.push(damage);
        }
    }

    /// Why damage on record is not there.
    pub fn why(&mut self, why: Prose) {
        self.why = Some(why);
    }

    /// The checkpoints still to be answered: none but for a full inspection.
    #[must_use]
    pub fn open(&self) -> Vec<Checkpoint> {
        let needed = match self.kind {
            InspectionKind::Full => Checkpoint::of(self.hose),
            InspectionKind::Quick | InspectionKind::LeakTest => Vec::new(),
        };
        needed.into_iter().filter(|c| !self.answers.contains_key(c)).collect()
    }

    /// Looked at, nothing found.
    pub fn clear(&mut self, checkpoint: Checkpoint) {
        self.answers.entry(checkpoint).or_default();
    }

    /// Every checkpoint not answered so far was looked at, nothing found.
    pub fn clear_rest(&mut self) {
        for checkpoint in self.open() {
            self.clear(checkpoint);
        }
    }

    /// Something found; its place counts as looked at.
    ///
    /// # Errors
    /// [`FindingError`] if this hose cannot have it, or it is given twice.
    pub fn found(&mut self, seen: Observation) -> Result<(), FindingError> {
        seen.rule(Some(self.hose))?;
        let there = self.answers.entry(Checkpoint::at(seen.place())).or_default();
        if there.iter().any(|s| s.place() == seen.place() && s.finding() == seen.finding()) {
            return Err(FindingError::Twice(format!("{}:{}", seen.place(), seen.finding())));
        }
        there.push(seen);
        Ok(())
    }

    /// The result of the leak test.
    pub fn tested(&mut self, test: LeakTest) {
        self.test = Some(test);
    }

    /// A note.
    pub fn note(&mut self, note: Prose) {
        self.note = Some(note);
    }

    /// The finished inspection.
    ///
    /// # Errors
    /// [`FindingError`] if a checkpoint is unanswered, a leak test has no
    /// result or has one that its findings speak against.
    pub fn finish(self) -> Result<Look, FindingError> {
        let open: Vec<&str> = self.open().iter().map(|c| c.in_words()).collect();
        if !open.is_empty() {
            return Err(FindingError::Unanswered(open.join(", ")));
        }
        let findings: Vec<Observation> = self.answers.values().flatten().copied().collect();
        check_result(self.kind, self.test.as_ref(), &findings, self.hose)?;
        self.check_known(&findings)?;
        let (kind, test, note, why) = (self.kind, self.test, self.note, self.why);
        let gone = (kind == InspectionKind::Full).then_some(self.gone);
        Ok(Look { kind, findings, test, note, gone, why, list: None })
    }

    /// Damage does not heal: what is on record has its answer.
    fn check_known(&self, findings: &[Observation]) -> Result<(), FindingError> {
        if self.kind != InspectionKind::Full {
            let said = !self.gone.is_empty() || self.why.is_some();
            return if said { Err(FindingError::NotFull) } else { Ok(()) };
        }
        if let Some(seen) = findings.iter().find(|seen| seen.is_bubbles_from_anywhere()) {
            return Err(FindingError::BubblesFromWhere { place: seen.place() });
        }
        for damage in &self.gone {
            if !self.known.iter().any(|known| known.damage() == Some(*damage)) {
                return Err(FindingError::NotOpen(damage.to_string()));
            }
            if findings.iter().any(|seen| Damage::of(seen) == Some(*damage)) {
                return Err(FindingError::GoneAndFound(damage.to_string()));
            }
        }
        if self.gone.is_empty() == self.why.is_some() {
            return Err(FindingError::GoneAndWhy);
        }
        let open = |known: &&Known| !known.is_answered(findings, &self.gone);
        let open: Vec<Known> = self.known.iter().filter(open).cloned().collect();
        if open.is_empty() { Ok(()) } else { Err(FindingError::NoAnswer(listed(&open))) }
    }
}

fn check_result(
    kind: InspectionKind,
    test: Option<&LeakTest>,
    findings: &[Observation],
    hose: &Specification,
) -> Result<(), FindingError> {
    match (kind, test) {
        (InspectionKind::LeakTest, None) => Err(FindingError::NoResult),
        (InspectionKind::Quick | InspectionKind::Full, Some(_)) => Err(FindingError::NotATest),
        (InspectionKind::LeakTest, Some(test)) if test.passed => {
            let stops = |seen: &&Observation| {
                seen.rule(Some(hose)).is_ok_and(|rule| rule.verdict >= Verdict::Hold)
            };
            findings
                .iter()
                .find(stops)
                .map_or(Ok(()), |seen| Err(FindingError::PassedWithLeak(seen.to_string())))
        }
        _ => Ok(()),
    }
}

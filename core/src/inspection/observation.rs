//! One thing seen at one place: `run:cut:deep`, `seal-a:seal-missing`, `run:strands:2`.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::{Finding, FindingError, FindingRule, Grade, Place, rule_for};
use crate::hose::Specification;

/// A finding at a place with its grade, of the table's form but not yet held
/// against a hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Observation {
    place: Place,
    finding: Finding,
    grade: Option<Grade>,
}

impl Observation {
    /// Something seen, if the table knows it.
    ///
    /// # Errors
    /// [`FindingError`] if no hose could have it there.
    pub fn new(place: Place, finding: Finding, grade: Option<Grade>) -> Result<Self, FindingError> {
        let place = as_a_seal(place, finding);
        rule_for(None, place, finding, grade)?;
        Ok(Self { place, finding, grade })
    }

    /// The row of the table that holds for it on this hose.
    ///
    /// # Errors
    /// [`FindingError`] if this hose cannot have it.
    pub fn rule(&self, hose: Option<&Specification>) -> Result<&'static FindingRule, FindingError> {
        rule_for(hose, self.place, self.finding, self.grade)
    }

    /// Where it was seen.
    #[must_use]
    pub const fn place(&self) -> Place {
        self.place
    }

    /// What was seen.
    #[must_use]
    pub const fn finding(&self) -> Finding {
        self.finding
    }

    /// How bad it was.
    #[must_use]
    pub const fn grade(&self) -> Option<Grade> {
        self.grade
    }

    /// The count, for findings that are counted.
    #[must_use]
    pub const fn count(&self) -> Option<u32> {
        match self.grade {
            Some(Grade::Count(n)) => Some(n),
            _ => None,
        }
    }
}

/// People say “end a: O-ring missing”; an O-ring's findings belong to the seal.
fn as_a_seal(place: Place, finding: Finding) -> Place {
    match (finding, place) {
        (Finding::SealMissing | Finding::SealDamaged | Finding::SealDirty, Place::EndA) => {
            Place::SealA
        }
        (Finding::SealMissing | Finding::SealDamaged | Finding::SealDirty, Place::EndB) => {
            Place::SealB
        }
        _ => place,
    }
}

impl fmt::Display for Observation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.place, self.finding)?;
        self.grade.map_or(Ok(()), |grade| write!(f, ":{grade}"))
    }
}

impl FromStr for Observation {
    type Err = FindingError;

    fn from_str(typed: &str) -> Result<Self, FindingError> {
        let parts: Vec<&str> = typed.split(':').map(str::trim).collect();
        let (place, finding, grade) = match parts.as_slice() {
            [place, finding] => (place, finding, None),
            [place, finding, grade] => (place, finding, Some(*grade)),
            _ => return Err(FindingError::BadForm(typed.trim().to_owned())),
        };
        let (place, finding): (Place, Finding) = (place.parse()?, finding.parse()?);
        let grade = grade.map(|text| parse_grade(text, place, finding)).transpose()?;
        Self::new(place, finding, grade)
    }
}

fn parse_grade(text: &str, place: Place, finding: Finding) -> Result<Grade, FindingError> {
    if let Ok(count) = text.parse() {
        return Ok(Grade::Count(count));
    }
    text.parse().map(Grade::Word).map_err(|unknown: crate::hose::HoseError| {
        // `-1` or `many` of a counted finding is a bad count, not an unknown word.
        rule_for(None, place, finding, Some(Grade::Count(0))).map_or(
            FindingError::UnknownWord(unknown),
            |_| FindingError::Grade { finding, place, needs: "a count of 0 or more".to_owned() },
        )
    })
}

impl From<Observation> for String {
    fn from(observation: Observation) -> Self {
        observation.to_string()
    }
}

impl TryFrom<String> for Observation {
    type Error = FindingError;

    fn try_from(typed: String) -> Result<Self, FindingError> {
        typed.parse()
    }
}

//! Damage does not heal: what a full inspection has to answer for.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Finding, FindingError, Grade, GradeWord, Observation, Place};

/// Damage of one kind at one place, whatever its grade: `run:cut`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Damage {
    place: Place,
    finding: Finding,
}

impl Finding {
    /// Whether it is damage that has a grade or a count, and stays with the hose.
    #[must_use]
    pub const fn is_damage(self) -> bool {
        matches!(self, Self::Cut | Self::Crack | Self::Kink | Self::Strands | Self::NutRounded)
    }
}

impl Damage {
    /// The damage that something seen is; nothing if it is none, and for a
    /// count of 0.
    #[must_use]
    pub fn of(seen: &Observation) -> Option<Self> {
        let damage = seen.finding().is_damage() && seen.count() != Some(0);
        damage.then_some(Self { place: seen.place(), finding: seen.finding() })
    }

    /// Where it is.
    #[must_use]
    pub const fn place(self) -> Place {
        self.place
    }

    /// What it is.
    #[must_use]
    pub const fn finding(self) -> Finding {
        self.finding
    }
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.place, self.finding)
    }
}

impl FromStr for Damage {
    type Err = FindingError;

    fn from_str(typed: &str) -> Result<Self, FindingError> {
        let bad = || FindingError::BadForm(typed.trim().to_owned());
        let mut parts = typed.split(':').map(str::trim);
        let place: Place = parts.next().ok_or_else(bad)?.parse()?;
        let finding: Finding = parts.next().ok_or_else(bad)?.parse()?;
        if !finding.is_damage() {
            return Err(FindingError::NoDamage(format!("{place}:{finding}")));
        }
        // A grade behind it says nothing more: whatever it was, it is gone.
        Ok(Self { place, finding })
    }
}

impl From<Damage> for String {
    fn from(damage: Damage) -> Self {
        damage.to_string()
    }
}

impl TryFrom<String> for Damage {
    type Error = FindingError;

    fn try_from(typed: String) -> Result<Self, FindingError> {
        typed.parse()
    }
}

/// Something on record that a full inspection has to answer for: damage, or
/// bubbles at an end of which nobody has said where they come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// What was seen.
    pub seen: Observation,
    /// On which day.
    pub on: NaiveDate,
    /// The same in words.
    pub words: &'static str,
}

impl Known {
    /// The damage that it is; nothing for bubbles.
    #[must_use]
    pub fn damage(&self) -> Option<Damage> {
        Damage::of(&self.seen)
    }

    /// Whether what was found, or what is said to be gone, answers for it.
    #[must_use]
    pub fn is_answered(&self, findings: &[Observation], gone: &[Damage]) -> bool {
        match self.damage() {
            Some(damage) => {
                gone.contains(&damage)
                    || findings.iter().any(|seen| Damage::of(seen) == Some(damage))
            }
            None => findings.iter().any(|seen| {
                seen.place() == self.seen.place() && seen.says_where_bubbles_come_from()
            }),
        }
    }

    /// What it wants, in words.
    fn wanted(&self) -> String {
        let Self { seen, on, words } = self;
        match self.damage() {
            Some(_) => format!("{seen} ({words}, seen on {on})"),
            None => format!(
                "{seen} (seen on {on}: say whether they come from the joint or from under the \
                 sleeve; if you can't tell yet, record a quick inspection and test it under \
                 pressure first)"
            ),
        }
    }
}

impl Observation {
    /// Whether it is bubbles at an end, and says that they come from the joint or
    /// from under the sleeve.
    #[must_use]
    pub fn says_where_bubbles_come_from(&self) -> bool {
        let said = Some(Grade::Word(GradeWord::Joint)) == self.grade()
            || Some(Grade::Word(GradeWord::Sleeve)) == self.grade();
        self.finding() == Finding::Bubbles && said
    }

    /// Whether it is bubbles at an end, and does not say where they come from.
    #[must_use]
    pub fn is_bubbles_from_anywhere(&self) -> bool {
        let at_end = matches!(self.place(), Place::EndA | Place::EndB);
        self.finding() == Finding::Bubbles && at_end && !self.says_where_bubbles_come_from()
    }
}

/// What has no answer, for a refusal.
pub(super) fn listed(known: &[Known]) -> String {
    known.iter().map(Known::wanted).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(text: &str) -> Observation {
        text.parse().unwrap_or_else(|e| unreachable!("{e}"))
    }

    #[test]
    fn what_stays_with_a_hose_is_damage() {
        let rows = [
            ("run:cut:cover", Some("run:cut")),
            ("run:strands:1", Some("run:strands")),
            ("run:strands:0", None),
            ("end-a:nut-rounded", Some("end-a:nut-rounded")),
            ("run:kink:springs-back", Some("run:kink")),
            ("run:crack:fine", Some("run:crack")),
            ("run:scuff", None),
            ("end-a:verdigris:light", None),
            ("seal-a:seal-damaged", None),
            ("end-a:bubbles", None),
        ];
        for (text, damage) in rows {
            let found = Damage::of(&seen(text)).map(|d| d.to_string());
            assert_eq!(found.as_deref(), damage, "{text}");
        }
    }

    #[test]
    fn damage_is_read_with_or_without_its_grade() {
        for text in ["run:cut", "run:cut:cover", " run : cut "] {
            assert_eq!(text.parse::<Damage>().map(|d| d.to_string()), Ok("run:cut".to_owned()));
        }
        for (text, why) in [
            ("run", "needs the place"),
            ("run:salt", "does not stay with a hose"),
            ("hilt:cut", "is not a place on a hose"),
            ("run:gremlin", "is not a finding"),
        ] {
            let said = text.parse::<Damage>().err().map(|e| e.to_string()).unwrap_or_default();
            assert!(said.contains(why), "{text}: {said}");
        }
    }

    #[test]
    fn the_same_and_worse_answer_for_damage_and_nothing_else_does() {
        let on = NaiveDate::MIN;
        let known = |text| Known { seen: seen(text), on, words: "" };
        let gone = |text: &str| text.parse::<Damage>().into_iter().collect::<Vec<_>>();
        let rows = [
            ("run:cut:cover", "run:cut:cover", "", true),
            ("run:cut:cover", "run:cut:deep", "", true),
            ("run:cut:cover", "end-a:cut:cover", "", false),
            ("run:cut:cover", "run:scuff", "", false),
            ("run:cut:cover", "run:scuff", "run:cut", true),
            ("run:strands:2", "run:strands:1", "", true),
            ("run:strands:2", "run:strands:0", "", false),
            ("run:strands:2", "run:strands:0", "run:strands", true),
            ("end-a:bubbles", "end-a:bubbles", "", false),
            ("end-a:bubbles", "end-a:bubbles:joint", "", true),
            ("end-a:bubbles", "end-a:bubbles:sleeve", "", true),
            ("end-a:bubbles", "end-b:bubbles:joint", "", false),
        ];
        for (before, now, left, answered) in rows {
            let found = known(before).is_answered(&[seen(now)], &gone(left));
            assert_eq!(found, answered, "{before}: {now}, gone {left}");
        }
    }
}

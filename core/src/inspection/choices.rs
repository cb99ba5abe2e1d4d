//! What can be chosen at a checkpoint of a form: the rows of the table that
//! hold for the hose, as a screen lists them.

use super::{Checkpoint, Finding, Grade, Graded, Observation, Place, Verdict, rules_at};
use crate::hose::Specification;

/// Something that can be chosen at a checkpoint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// A finding with its grade.
    Seen {
        /// The finding.
        seen: Observation,
        /// The same in words.
        words: &'static str,
        /// What it means for the hose.
        verdict: Verdict,
    },
    /// A finding that is counted; its verdict follows from the count.
    Counted {
        /// Where.
        place: Place,
        /// What.
        finding: Finding,
        /// What is counted, in words.
        words: &'static str,
    },
}

impl Checkpoint {
    /// The place that is looked at there.
    #[must_use]
    pub const fn place(self) -> Option<Place> {
        match self {
            Self::Protector => None,
            Self::Run => Some(Place::Run),
            Self::EndA => Some(Place::EndA),
            Self::EndB => Some(Place::EndB),
            Self::SealA => Some(Place::SealA),
            Self::SealB => Some(Place::SealB),
        }
    }

    /// What can be found there on a hose, in the order of the table.
    #[must_use]
    pub fn choices(self, hose: &Specification) -> Vec<Choice> {
        let Some(place) = self.place() else { return Vec::new() };
        let of = |finding: &Finding| choices_of(hose, place, *finding);
        Finding::ALL.iter().flat_map(of).collect()
    }
}

fn choices_of(hose: &Specification, place: Place, finding: Finding) -> Vec<Choice> {
    let rules = || rules_at(Some(hose), place, finding);
    // Of a counted finding the row that begins at one names what is counted.
    let counted = rules().find(|rule| matches!(rule.grade, Graded::Count(1, _)));
    if let Some(rule) = counted {
        return vec![Choice::Counted { place, finding, words: rule.seen }];
    }
    let seen = |rule: &super::FindingRule| {
        let grade = match rule.grade {
            Graded::Plain | Graded::Any | Graded::Unsaid => None,
            Graded::Word(word) => Some(Grade::Word(word)),
            Graded::Count(from, _) => Some(Grade::Count(from)),
        };
        let seen = Observation::new(place, finding, grade).ok()?;
        Some(Choice::Seen { seen, words: rule.seen, verdict: rule.verdict })
    };
    rules().filter_map(seen).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, HoseError, Service};
    use crate::inspection::Form;
    use crate::inspection::InspectionKind;
    use crate::measure::HoseLength;

    fn hoses() -> Vec<Specification> {
        let end = |text: &str| text.parse().unwrap_or_else(|e: HoseError| unreachable!("{e}"));
        let length = || HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
        let of = |service, construction, a: &str, b: &str| {
            Specification::new(service, construction, length(), end(a), end(b), true)
                .unwrap_or_else(|e| unreachable!("{e}"))
        };
        vec![
            of(Service::SecondStage, Construction::Braided, "3/8-24", "9/16-18"),
            of(Service::SecondStage, Construction::Rubber, "3/8-24", "9/16-18"),
            of(Service::Gauge, Construction::Rubber, "7/16-20", "7/16-20"),
        ]
    }

    /// Everything that is offered is taken, and everything that a form takes
    /// at a place is offered there.
    #[test]
    fn what_is_offered_is_what_a_form_takes() {
        let mut offered = 0;
        for hose in hoses() {
            for checkpoint in Checkpoint::of(&hose) {
                for choice in checkpoint.choices(&hose) {
                    let seen = match choice {
                        Choice::Seen { seen, verdict, .. } => {
                            let rule = seen.rule(Some(&hose));
                            assert_eq!(rule.map(|r| r.verdict), Ok(verdict), "{seen}");
                            seen
                        }
                        Choice::Counted { place, finding, .. } => {
                            Observation::new(place, finding, Some(Grade::Count(2)))
                                .unwrap_or_else(|e| unreachable!("{e}"))
                        }
                    };
                    let mut form = Form::new(InspectionKind::Quick, &hose);
                    assert_eq!(form.found(seen), Ok(()), "{seen}");
                    offered += 1;
                }
            }
            for rule in super::super::FINDINGS {
                for place in Place::ALL.iter().filter(|place| rule.at.has(**place)) {
                    if !rule.on.has(Some(&hose)) {
                        continue;
                    }
                    let there = Checkpoint::ALL.iter().filter(|c| c.place() == Some(*place));
                    let mut choices = there.flat_map(|c| c.choices(&hose));
                    let named = choices.any(|choice| match choice {
                        Choice::Seen { seen, .. } => seen.finding() == rule.finding,
                        Choice::Counted { finding, .. } => finding == rule.finding,
                    });
                    assert!(named, "{} at {place}", rule.finding);
                }
            }
        }
        assert!(offered > 60, "{offered}");
    }

    #[test]
    fn strands_are_counted_on_a_braid_alone() {
        let counted = |hose: &Specification| {
            let run = Checkpoint::Run.choices(hose);
            run.iter().filter(|choice| matches!(choice, Choice::Counted { .. })).count()
        };
        let counts: Vec<usize> = hoses().iter().map(counted).collect();
        assert_eq!(counts, [1, 0, 0]);
    }
}

//! What other limits would change, before anybody sets them: every hose is judged by the
//! rules twice on one day, with the limits on record and with the others.

use chrono::NaiveDate;
use serde::Serialize;

use super::place;
use crate::answer::spans::limits_of;
use crate::answer::{Asked, Reason, reasons};
use crate::event::EntryId;
use crate::hose::Label;
use crate::inspection::Verdict;
use crate::policy::{Change, Scope};
use crate::record::{FleetRecord, LimitsSet};
use crate::tag::Code;
use crate::words::{hose_briefly, limits as say};

/// A hose that other limits would judge otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OtherwiseJudged {
    /// The tag that it carries.
    pub code: Code,
    /// The shop's own number for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// What it is, in few words.
    pub hose: String,
    /// Where it is, in words.
    pub place: String,
    /// Its verdict today.
    pub before: Verdict,
    /// Its verdict today with the other limits.
    pub after: Verdict,
    /// Why it would be worse, or what would no longer be said of it.
    pub words: String,
}

/// What other limits would change today.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LimitsTried {
    /// How many hoses were judged.
    pub hoses: usize,
    /// The hoses whose verdict would be another: the worst first, then by place.
    pub changed: Vec<OtherwiseJudged>,
    /// The same in words.
    pub words: String,
}

/// Judges hoses twice, one after the other.
pub struct LimitsTrial {
    other: FleetRecord,
    hoses: usize,
    changed: Vec<OtherwiseJudged>,
}

impl LimitsTrial {
    /// Begins, with the limits on record and what would be set.
    #[must_use]
    pub fn new(fleet: &FleetRecord, (scope, limits): (Scope, Change), on: NaiveDate) -> Self {
        let mut other = fleet.clone();
        // No entry says it: nothing is written.
        let entry = EntryId::new([0; 32]);
        other.limits.push(LimitsSet { entry, on, scope, limits, doubtful: false });
        Self { other, hoses: 0, changed: Vec::new() }
    }

    /// Takes in one hose.
    pub fn take(&mut self, asked: &Asked<'_>) {
        self.hoses += 1;
        let other = Asked { fleet: &self.other, ..*asked };
        // Limits count through these alone: whom they are the same for is judged the same.
        if limits_of(asked) == limits_of(&other) {
            return;
        }
        let (before, after) = (reasons(asked), reasons(&other));
        let (was, would_be) = (worst(&before), worst(&after));
        if was == would_be {
            return;
        }
        let record = asked.record;
        let words = if would_be > was { only(&after, &before) } else { only(&before, &after) };
        self.changed.push(OtherwiseJudged {
            code: record.tag(),
            number: record.origin.own.number.clone(),
            hose: hose_briefly(record.specification.as_ref()),
            place: place(asked),
            before: was,
            after: would_be,
            words,
        });
    }

    /// How many hoses were taken in.
    #[must_use]
    pub const fn taken(&self) -> usize {
        self.hoses
    }

    /// What would change.
    #[must_use]
    pub fn found(self) -> LimitsTried {
        let Self { hoses, mut changed, .. } = self;
        changed.sort_by(|one, other| {
            let key = |hose: &OtherwiseJudged| std::cmp::Reverse((hose.after, hose.before));
            key(one)
                .cmp(&key(other))
                .then_with(|| (&one.place, one.code).cmp(&(&other.place, other.code)))
        });
        let verdicts: Vec<(Verdict, Verdict)> =
            changed.iter().map(|hose| (hose.before, hose.after)).collect();
        LimitsTried { hoses, changed, words: say::would_change(&verdicts) }
    }
}

fn worst(reasons: &[Reason]) -> Verdict {
    reasons.iter().map(|reason| reason.verdict).max().unwrap_or(Verdict::Ready)
}

/// What some reasons say that others do not, of the worst of them.
fn only(some: &[Reason], others: &[Reason]) -> String {
    let same = |one: &Reason, other: &Reason| one.code == other.code && one.words == other.words;
    let new = some.iter().filter(|one| !others.iter().any(|other| same(one, other)));
    let mut new: Vec<&Reason> = new.collect();
    new.sort_by_key(|reason| std::cmp::Reverse(reason.verdict));
    new.first().map(|reason| reason.words.clone()).unwrap_or_default()
}

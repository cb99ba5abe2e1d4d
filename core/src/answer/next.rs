//! The one thing to do next about a hose: what a screen puts within the
//! thumb's reach. The reasons themselves say everything that is to be done.

use serde::Serialize;

use super::Answer;
use crate::hose::{End, words};
use crate::inspection::{Ends, Place, Verdict};
use crate::record::{HoseRecord, OpenFinding};

words!(
    /// What can be done next.
    NextKind, "thing to do next", {
        /// Take up a swap that was begun.
        TakeUpSwap = "take-up-swap",
        /// Scan the hose's own tag.
        ScanOwnTag = "scan-own-tag",
        /// Fit new O-rings at one end.
        Reseal = "reseal",
        /// Fit a new valve core or coupling.
        Recouple = "recouple",
        /// A leak test under pressure.
        LeakTest = "leak-test",
        /// Soak, clean and dry it.
        Clean = "clean",
        /// A full inspection.
        FullInspection = "full-inspection",
        /// Swap it for another hose.
        Swap = "swap",
        /// Take it out of service for good.
        Retire = "retire",
        /// Bring in the record of a device that knows more.
        TakeInRecord = "take-in-record",
        /// A quick look before diving.
        QuickLook = "quick-look",
    }
);

/// One thing to do next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Next {
    /// What.
    pub what: NextKind,
    /// At which end, for new O-rings.
    pub end: Option<End>,
}

impl Next {
    const fn of(what: NextKind) -> Self {
        Self { what, end: None }
    }

    /// What to do, in a few words.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match (self.what, self.end) {
            (NextKind::TakeUpSwap, _) => "Take up the swap",
            (NextKind::ScanOwnTag, _) => "Scan the hose's own tag",
            (NextKind::Reseal, Some(End::A)) => "New O-rings at the first-stage end",
            (NextKind::Reseal, _) => "New O-rings at the far end",
            (NextKind::Recouple, _) => "New valve core or coupling",
            (NextKind::LeakTest, _) => "Do a leak test",
            (NextKind::Clean, _) => "Soak, clean and dry it",
            (NextKind::FullInspection, _) => "Give it a full inspection",
            (NextKind::Swap, _) => "Swap it for another hose",
            (NextKind::Retire, _) => "Take it out of service for good",
            (NextKind::TakeInRecord, _) => "Bring in another device's record",
            (NextKind::QuickLook, _) => "Take a quick look at it",
        }
    }
}

/// The one thing to do next, by the worst reasons: the first of them that
/// something can be done about here. `record` is none where all that is known stands on the tag: then
/// its record is to be brought in before anything is written about it. Nothing
/// is left to do for a hose that is out of service, or kept after an incident.
#[must_use]
pub fn next(answer: &Answer, record: Option<&HoseRecord>) -> Option<Next> {
    let Some(record) = record else { return Some(Next::of(NextKind::TakeInRecord)) };
    // Nothing is done to what is kept as it is after an incident.
    let incident = record.holds.iter().any(|hold| hold.incident);
    if record.retired.is_some() || incident {
        return None;
    }
    // What is good for a lesser reason does not help against the worst.
    let mut worst = answer.reasons.iter().filter(|reason| reason.verdict == answer.verdict);
    let by_reason = worst.find_map(|reason| of_reason(&reason.code, record));
    let quick = || (answer.verdict < Verdict::Hold).then_some(Next::of(NextKind::QuickLook));
    by_reason.or_else(quick)
}

fn of_reason(code: &str, record: &HoseRecord) -> Option<Next> {
    let fitted = record.seat.is_some();
    let what = match code {
        "swap-open" => NextKind::TakeUpSwap,
        "tag-old" => NextKind::ScanOwnTag,
        "leak-test-due" => NextKind::LeakTest,
        "inspection-never" | "inspection-over" | "inspection-near" | "stored-long"
        | "corrected" | "not-believed" => NextKind::FullInspection,
        "age-over" | "age-near" | "dives-over" | "dives-near" | "recalled" if fitted => {
            NextKind::Swap
        }
        "tag-only" | "not-all-read" | "record-gap" | "record-old" => NextKind::TakeInRecord,
        _ => return of_finding(code.strip_prefix("finding-")?, record),
    };
    Some(Next::of(what))
}

fn of_finding(finding: &str, record: &HoseRecord) -> Option<Next> {
    let open = record.open.iter().find(|open| open.seen.finding().word() == finding)?;
    let ends = open.seen.rule(record.specification.as_ref()).map(|rule| rule.ends);
    Some(match ends {
        Ok(Ends::Never) if record.seat.is_some() => Next::of(NextKind::Swap),
        Ok(Ends::Never) => Next::of(NextKind::Retire),
        Ok(Ends::Cleaning) => Next::of(NextKind::Clean),
        Ok(Ends::ResealAndTest) => reseal(open),
        Ok(Ends::CouplingAndTest) if open.resealed.is_none() => Next::of(NextKind::Recouple),
        Ok(Ends::CouplingAndTest) => Next::of(NextKind::LeakTest),
        Ok(Ends::FullInspection | Ends::OnceSaid) | Err(_) => Next::of(NextKind::FullInspection),
    })
}

fn reseal(open: &OpenFinding) -> Next {
    let end = match open.seen.place() {
        Place::EndA | Place::SealA => Some(End::A),
        Place::EndB | Place::SealB => Some(End::B),
        Place::Run => None,
    };
    match end {
        Some(_) if open.resealed.is_none() => Next { what: NextKind::Reseal, end },
        _ => Next::of(NextKind::LeakTest),
    }
}

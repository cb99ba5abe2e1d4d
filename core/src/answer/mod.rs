//! The answer to a scan: may this hose be dived, why or why not, how old it is,
//! who looked at it last, and what is due.

mod doubt;
mod due;
mod facts;
pub mod lines;
mod reason;
mod reasons;
mod set;
pub mod spans;

pub use doubt::{RECORD_OLD_DAYS, not_of_this_set, unknown_kind};
pub use due::{Due, DueKind};
pub use facts::{Asked, Heard};
pub use reason::Reason;
pub use reasons::{REASONS, ReasonRule};
pub use set::{AskedOfSet, InPort, SetLine, Standing, WorstHose, set_line, set_reasons};

use chrono::NaiveDate;
use serde::Serialize;

use crate::hose::{Label, Origin, Prose, Specification};
use crate::inspection::{Damage, FromList, InspectionKind, LeakTest, Observation, Verdict};
use crate::measure::{AgeRange, Period};
use crate::photograph::PhotographName;
use crate::policy::Use;
use crate::record::{HoseRecord, Seen};
use crate::tag::{Code, Passport};
use crate::words;

use facts::Facts;

/// How old a hose is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Age {
    /// From made, or from bought if made is unknown.
    pub made: Option<AgeRange>,
    /// From the first fitting.
    pub fitted: Option<Period>,
}

/// The last inspection of a kind, as an answer shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LastLook {
    /// How thorough it was.
    pub kind: InspectionKind,
    /// When.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// What was seen.
    pub findings: Vec<SeenThere>,
    /// The result of a leak test.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub test: Option<LeakTest>,
    /// A note.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<Prose>,
    /// The damage that was on record and was not there.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gone: Vec<Damage>,
    /// Why it was not there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<Prose>,
    /// The list that it is from, if its writer did not see it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub list: Option<FromList>,
}

impl LastLook {
    /// Who it was: by a list, whom the list names.
    #[must_use]
    pub fn whose(&self) -> Option<&Label> {
        self.list.as_ref().map_or(Some(&self.by), |list| list.by.as_ref())
    }
}

/// One thing that was seen, with its words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeenThere {
    /// Place, finding and grade, as `run:cut:cover`.
    pub seen: Observation,
    /// The same in words.
    pub words: String,
    /// The photograph of that place, if one was taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub photograph: Option<PhotographName>,
}

/// Where a hose is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Whereabouts {
    /// The set, where it is in one.
    pub set: Option<Label>,
    /// The port of the set.
    pub port: Option<String>,
    /// The ticket on which it is out with its set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ticket: Option<Label>,
    /// Since when it is at home with its customer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub home: Option<NaiveDate>,
    /// Since when it is missing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub missing: Option<NaiveDate>,
    /// The same in words.
    pub words: String,
}

/// What a hose is, as an answer shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HoseShown {
    /// What it is in one line.
    pub words: String,
    /// What it is, if that is known.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub specification: Option<Specification>,
    /// Where it came from.
    #[serde(flatten)]
    pub origin: Origin,
    /// Who dives with it.
    #[serde(rename = "use")]
    pub in_use: Use,
    /// What its tag says, if that is all that is known.
    #[serde(skip)]
    pub passport: Option<Passport>,
}

impl HoseShown {
    /// Whether nothing says what it is, as for a tag that was printed blank.
    #[must_use]
    pub const fn is_unknown(&self) -> bool {
        self.specification.is_none() && self.passport.is_none()
    }
}

/// How fresh and how whole the record is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Freshness {
    /// The day of the newest entry about this hose.
    pub newest_entry: Option<NaiveDate>,
    /// How many devices' entries this record holds.
    pub devices: usize,
    /// Whether no device's numbering has a gap.
    pub complete: bool,
    /// Whether a device was copied, so that two wrote under its name.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub forked: bool,
}

/// The answer to a scan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// The tag that the hose carries.
    pub code: Code,
    /// The worst of the reasons.
    pub verdict: Verdict,
    /// What that means here, in one sentence.
    pub meaning: &'static str,
    /// Every reason, worst first.
    pub reasons: Vec<Reason>,
    /// How old it is.
    pub age: Age,
    /// Dives on record; nothing for a hose that is not on record here.
    pub dives: Option<u32>,
    /// The last inspection of each kind.
    pub inspections: Vec<LastLook>,
    /// What is due, soonest first.
    pub due: Vec<Due>,
    /// Where it is.
    pub place: Whereabouts,
    /// The status of the set that it is in; filled in by a caller that knows the set's
    /// other hoses, and nothing for a hose in no set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set: Option<SetLine>,
    /// What it is.
    pub hose: HoseShown,
    /// How fresh the record is.
    pub record: Freshness,
    /// The caution that goes with every answer.
    pub caution: &'static str,
    /// The day of which it was asked.
    #[serde(skip)]
    pub today: NaiveDate,
    /// Whether it, or a set that it was in, is held after an incident.
    #[serde(skip)]
    pub after_incident: bool,
}

/// Answers what is asked about a hose.
#[must_use]
pub fn answer(asked: &Asked<'_>) -> Answer {
    let facts = Facts::of(asked);
    let reasons = reasons::all(&facts);
    let record = asked.record;
    let first = reasons.first();
    let verdict = first.map_or(Verdict::Ready, |reason| reason.verdict);
    let code = first.map_or("", |reason| reason.code.as_str());
    let after_incident = doubt::after_incident(&facts);
    let meaning = words::meaning(verdict, code, after_incident);
    Answer {
        code: record.tag(),
        verdict,
        meaning,
        reasons,
        age: Age {
            made: facts.born.map(|date| date.age(asked.today)),
            fitted: facts.in_service.map(|day| Period::between(day, asked.today)),
        },
        dives: record.is_registered().then_some(record.dives),
        inspections: record.seen.iter().map(|seen| last_look(record, seen)).collect(),
        due: due::all(&facts),
        place: whereabouts(asked),
        set: None,
        hose: hose_shown(asked, facts.in_use),
        record: Freshness {
            newest_entry: asked.tag_only.is_none().then_some(record.newest_on),
            devices: asked.heard.devices,
            complete: asked.heard.complete,
            forked: asked.heard.forked,
        },
        caution: words::CAUTION,
        today: asked.today,
        after_incident,
    }
}

/// Everything that is due for a hose, soonest first: the part of its answer
/// that lists of many hoses need.
#[must_use]
pub fn due(asked: &Asked<'_>) -> Vec<Due> {
    due::all(&Facts::of(asked))
}

/// Whether a hose was in an accident, or may have been, that is not settled.
#[must_use]
pub fn after_incident(asked: &Asked<'_>) -> bool {
    doubt::after_incident(&Facts::of(asked))
}

/// Every reason for a hose's verdict, worst first, without the rest of its answer.
#[must_use]
pub fn reasons(asked: &Asked<'_>) -> Vec<Reason> {
    reasons::all(&Facts::of(asked))
}

fn last_look(record: &HoseRecord, seen: &Seen) -> LastLook {
    let words = |observation: &Observation| {
        let rule = record.rule(observation).map(|rule| rule.seen.to_owned());
        let why_not = || observation.rule(record.specification.as_ref()).err();
        rule.unwrap_or_else(|| why_not().map(|e| e.to_string()).unwrap_or_default())
    };
    let findings = seen.look.findings.iter().map(|observation| SeenThere {
        seen: *observation,
        words: words(observation),
        photograph: seen.photographs.get(&observation.place()).copied(),
    });
    LastLook {
        kind: seen.look.kind,
        on: seen.on,
        by: seen.by.clone(),
        findings: findings.collect(),
        test: seen.look.test.clone(),
        note: seen.look.note.clone(),
        gone: seen.look.gone.clone().unwrap_or_default(),
        why: seen.look.why.clone(),
        list: seen.look.list.clone(),
    }
}

fn whereabouts(asked: &Asked<'_>) -> Whereabouts {
    let record = asked.record;
    if !record.is_registered() {
        // Nothing that only a record could know is claimed.
        let words = words::NOT_KNOWN_HERE.to_owned();
        let (set, port, ticket, home, missing) = (None, None, None, None, None);
        return Whereabouts { set, port, ticket, home, missing, words };
    }
    let seat = record.seat.map(|slot| {
        let name = asked.set(slot).map_or_else(|| slot.set.into(), |set| set.name.clone());
        words::seat(&name, slot.port)
    });
    let ticket = record.out().map(|out| out.ticket.clone());
    let words = words::place_of(record, seat.as_ref());
    let port = seat.as_ref().map(|seat| seat.port.to_string());
    let home = record.home.as_ref().map(|home| home.since);
    let missing = record.missing.as_ref().map(|missing| missing.since);
    Whereabouts { set: seat.map(|seat| seat.set), port, ticket, home, missing, words }
}

fn hose_shown(asked: &Asked<'_>, in_use: Use) -> HoseShown {
    let record = asked.record;
    let passport = asked.tag_only.and_then(|payload| payload.passport);
    let words = match (&record.specification, passport) {
        (Some(hose), _) => words::hose_of(hose, &record.origin),
        (None, Some(passport)) => passport.to_string(),
        (None, None) => words::UNKNOWN_HOSE.to_owned(),
    };
    HoseShown {
        words,
        specification: record.specification.clone(),
        origin: record.origin.clone(),
        in_use,
        passport,
    }
}

#[cfg(test)]
mod asked_tests;
#[cfg(test)]
mod believed_tests;
#[cfg(test)]
mod clearing_tests;
#[cfg(test)]
mod doubt_tests;
#[cfg(test)]
mod ending_tests;
#[cfg(test)]
mod findings_tests;
#[cfg(test)]
mod fleet_tests;
#[cfg(test)]
mod lines_tests;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod rule_tests;
#[cfg(test)]
mod tests;

//! What the record of a hose or a set is made of: tags, findings, claims, holds and more.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::event::{EntryId, Event, SetId, Slot};
use crate::hose::{Label, Owner, Prose, Specification};
use crate::inspection::{Look, Observation, Place, Verdict};
use crate::journal::Stamp;
use crate::measure::PartialDate;
use crate::photograph::PhotographName;
use crate::tag::Code;

/// A tag that a hose has or had.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tag {
    /// Its code.
    pub code: Code,
    /// Since when.
    pub since: NaiveDate,
    /// When another took its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<NaiveDate>,
}

/// A finding that nothing has ended yet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OpenFinding {
    /// The entry that says so.
    pub entry: EntryId,
    /// What was seen.
    pub seen: Observation,
    /// On which day.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// The count of the inspection before, if it was smaller.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grown_from: Option<(u32, NaiveDate)>,
    /// The new O-rings or coupling since, with which a passed leak test will end it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resealed: Option<EntryId>,
}

/// The last inspection of a kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Seen {
    /// When.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// What was seen.
    pub look: Look,
    /// The photographs of it, at most one of each place.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub photographs: BTreeMap<Place, PhotographName>,
}

/// What made a leak test due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LeakDueBecause {
    /// It was put in a port.
    Fitted,
    /// It was moved to another port.
    Moved,
    /// It got new O-rings.
    Resealed,
    /// It got a new valve core or coupling.
    Recoupled,
    /// The last leak test failed.
    Failed,
    /// A swap in its port was given up after the spanner was on.
    Loosened,
}

/// A leak test that is due as soon as the hose is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeakDue {
    /// The entry that made it due.
    pub entry: EntryId,
    /// Since when.
    pub since: NaiveDate,
    /// Why.
    pub because: LeakDueBecause,
}

/// The end of a hose's service.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Retirement {
    /// The entry that says so.
    pub entry: EntryId,
    /// When.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Prose,
}

/// A guided swap that was started and is not finished: it can be continued
/// wherever the record is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenSwap {
    /// The entries that are to be named when it ends: the one that began it, or
    /// those of an earlier program.
    pub entries: Vec<EntryId>,
    /// The hose that comes off.
    pub old: Code,
    /// The hose that goes on.
    pub new: Code,
    /// Where.
    pub slot: Slot,
    /// When it was begun.
    pub since: NaiveDate,
    /// The steps answered so far, in their order, each with its answer.
    pub steps: Vec<(Label, Label)>,
    /// The new hose that it began with, if that did not do and was exchanged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instead: Option<Code>,
}

impl OpenSwap {
    /// The step whose answer ends a swap, finished or given up.
    pub const END: &'static str = "end";
    /// The step whose answer names one that is open again. A program that doesn't know
    /// it takes that one for answered.
    pub const BACK: &'static str = "back";
}

/// When something was written: its day, then the clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct When(pub NaiveDate, pub Stamp);

/// A place that an entry says a hose is in, and nothing has taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Claim {
    /// The entry.
    pub entry: EntryId,
    /// The place; nothing is stock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<Slot>,
    /// When it was written.
    pub when: When,
    /// It is not wholly believed, or of the future: it moves nothing and adds
    /// what stands for its place.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub doubtful: bool,
}

/// A time in a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stay {
    /// The set.
    pub set: SetId,
    /// Until when; nothing while it lasts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<When>,
}

/// A hold by hand, or a set's quarantine.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hold {
    /// The entry that says so.
    pub entry: EntryId,
    /// When it was written.
    pub when: When,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Prose,
    /// Whether it is after an accident, or the suspicion of one.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub incident: bool,
    /// The return that it was written with was taken back.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub return_withdrawn: bool,
}

/// Something that was taken back or described otherwise: a full inspection is to
/// look at what that leaves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Correction {
    /// The entry that corrects.
    pub entry: EntryId,
    /// On which day.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Prose,
    /// What was corrected.
    pub what: CorrectedThing,
    /// How bad it is.
    pub verdict: Verdict,
}

/// What a correction took away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CorrectedThing {
    /// Entries were withdrawn.
    Withdrawal,
    /// It was described otherwise.
    Description,
    /// Entries that are not believed were dismissed.
    Dismissal,
    /// The set that it is in was changed.
    Set,
}

/// An entry that is not believed and would make the answer worse.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Disbelieved {
    /// The entry.
    pub entry: EntryId,
    /// On which day.
    pub on: NaiveDate,
    /// By whom, as it says.
    pub by: Label,
    /// What it says; nothing if this program cannot read it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<Box<Event>>,
    /// How bad that is: hold where it would retire.
    pub verdict: Verdict,
}

/// A hand-out that is not over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Out {
    /// The entry.
    pub entry: EntryId,
    /// The ticket.
    pub ticket: Label,
    /// The set with which it went.
    pub set: SetId,
    /// It is not wholly believed, or of the future.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub doubtful: bool,
}

/// It is at home with its customer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Home {
    /// The entry that says so.
    pub entry: EntryId,
    /// Since when.
    pub since: NaiveDate,
    /// The ticket under which it was in.
    pub ticket: Label,
}

/// It did not come back with its set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Missing {
    /// Since when.
    pub since: NaiveDate,
    /// The ticket on which it was out.
    pub ticket: Label,
}

/// What else a hose may be than what is shown: descriptions that nobody has
/// given a reason for are beside the earlier ones, and for each reason the
/// worst of them counts.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Alternatives {
    /// What it is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub specifications: Vec<Specification>,
    /// When it was made.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made: Vec<Option<PartialDate>>,
    /// When it was bought.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bought: Vec<Option<PartialDate>>,
    /// Since when it was in service.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub in_service: Vec<Option<PartialDate>>,
    /// The maker.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub makers: Vec<Option<Label>>,
    /// The lot.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lots: Vec<Option<Label>>,
    /// Makers that a description with a reason replaced: none ends a recall.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaced_makers: Vec<Label>,
    /// Lots that a description with a reason replaced.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaced_lots: Vec<Label>,
    /// The model.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub models: Vec<Option<Label>>,
    /// Models that a description with a reason replaced.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaced_models: Vec<Label>,
    /// Made dates that a description with a reason replaced.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaced_made: Vec<PartialDate>,
    /// Whose it is, as anybody says whose word nothing replaced; where it is in a set
    /// all of them count.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub owners: Vec<Owner>,
}

impl Alternatives {
    pub(super) fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

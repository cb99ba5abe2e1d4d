//! What may end a reason: the one table. The folds ask it before anything is
//! ended, `rules` prints it, and a property holds every history against it.
//!
//! Source: common practice, no source.

use crate::event::{Event, Swapped};
use crate::hose::words;
use crate::inspection::InspectionKind;

words!(
    /// Something that is recorded and may end a reason.
    Act, "act", {
        /// A full inspection.
        FullInspection = "full-inspection",
        /// An inspection or a leak test that a list brought in.
        Listed = "listed",
        /// Soaked, cleaned and dried.
        Cleaning = "cleaning",
        /// A leak test that was passed, at enough pressure.
        LeakTest = "leak-test",
        /// A hose was fitted or moved to another port.
        Fitting = "fitting",
        /// A hose was taken off.
        Removal = "removal",
        /// Someone looked where a hose is.
        PlaceConfirmation = "place-confirmation",
        /// A swap was finished or given up.
        SwapEnd = "swap-end",
        /// A set was made.
        SetMaking = "set-making",
        /// A set's name, use or ports changed, or two sets are one.
        SetChange = "set-change",
        /// A set came back.
        Return = "return",
        /// The owner set limits.
        Limits = "limits",
        /// A customer's hose or set came in again.
        ComingIn = "coming-in",
        /// A recall is over.
        RecallEnd = "recall-end",
        /// A recall does not mean this hose.
        CheckOff = "check-off",
        /// A hold or a quarantine is over.
        Release = "release",
        /// Entries were taken back.
        Withdrawal = "withdrawal",
        /// A description, with a reason.
        Description = "description",
        /// A hose was registered.
        Registration = "registration",
        /// A new tag.
        NewTag = "new-tag",
        /// One of two hoses of one tag got a new tag and an identity.
        Identification = "identification",
        /// Unsigned entries were admitted, or a device was.
        Admission = "admission",
        /// Entries that are not believed were dismissed.
        Dismissal = "dismissal",
        /// Missing entries were declared lost.
        GapLost = "gap-lost",
    }
);

/// What can be ended: reasons of one sort.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Matter {
    /// A finding that a full inspection ends.
    Finding,
    /// A finding that a cleaning ends too.
    Soiling,
    /// A finding of a seal that holds.
    SealFinding,
    /// A finding of an inflator hose's coupling.
    CouplingFinding,
    /// How long ago the last full inspection was.
    InspectionDay,
    /// A leak test is due.
    LeakTestDue,
    /// What is only for as long as a hose is in its place.
    Place,
    /// Two devices put a hose in different places.
    PlaceContest,
    /// It was stored for long.
    StoredLong,
    /// A swap is open.
    Swap,
    /// What comes of a set's ports and use.
    SetAsItIs,
    /// It was handed out twice.
    RentedTwice,
    /// Whose a hose is, where it is fitted.
    Ownership,
    /// A limit of age, dives or inspections.
    Limit,
    /// It is recalled.
    Recall,
    /// A hold by hand.
    Hold,
    /// A quarantine.
    Quarantine,
    /// What rests on what is taken back or described otherwise.
    WhatRestsOnIt,
    /// Something was corrected.
    Correction,
    /// An entry is not believed.
    Disbelief,
    /// One tag names two hoses.
    IdentityContest,
    /// A tag has no registration.
    TagOnly,
    /// A set's making is not here.
    UnmadeSet,
    /// Entries are missing.
    Gap,
}

/// The place reasons: they also end when the hose leaves that place.
const PLACE: &[&str] = &[
    "leak-test-due",
    "misfit",
    "held",
    "swap-open",
    "set-quarantined",
    "set-contested",
    "not-all-read",
    "age-over",
    "age-near",
    "dives-over",
    "dives-near",
    "inspection-over",
    "inspection-near",
    "corrected",
];

impl Matter {
    /// The codes of its reasons; one that ends in `-` stands for all that begin
    /// with it, and an empty one for all.
    #[must_use]
    pub const fn codes(self) -> &'static [&'static str] {
        match self {
            Self::Finding => &["finding-"],
            Self::Soiling => &["finding-salt", "finding-seal-dirty", "finding-verdigris"],
            Self::SealFinding => {
                &["finding-seal-missing", "finding-seal-damaged", "finding-bubbles"]
            }
            Self::CouplingFinding => &["finding-coupling-leaks", "finding-coupling-sticks"],
            Self::InspectionDay => &["inspection-"],
            Self::LeakTestDue => &["leak-test-due"],
            Self::Place => PLACE,
            Self::PlaceContest => &["place-contested"],
            Self::StoredLong => &["stored-long"],
            Self::Swap => &["swap-open"],
            Self::SetAsItIs => &[
                "misfit",
                "set-contested",
                "age-over",
                "age-near",
                "dives-over",
                "dives-near",
                "inspection-over",
                "inspection-near",
            ],
            Self::RentedTwice => &["rented-twice"],
            Self::Ownership => &["misfit"],
            Self::Limit => &[
                "age-over",
                "age-near",
                "dives-over",
                "dives-near",
                "inspection-over",
                "inspection-near",
            ],
            Self::Recall => &["recalled", "recall-open"],
            Self::Hold => &["held"],
            Self::Quarantine => &["set-quarantined"],
            Self::WhatRestsOnIt => &[""],
            Self::Correction => &["corrected"],
            Self::Disbelief => &["not-believed"],
            Self::IdentityContest => &["identity-contested"],
            // With all that was answered from the tag alone: no lot is known then.
            Self::TagOnly => {
                &["tag-only", "age-unknown", "age-over", "age-near", "stored-long", "recall-open"]
            }
            Self::UnmadeSet => {
                &["not-all-read", "dives-over", "dives-near", "inspection-over", "inspection-near"]
            }
            Self::Gap => &["record-gap"],
        }
    }
}

/// A row of the table: an act, what it may end, and what it must name for that.
#[derive(Debug, Clone, Copy)]
pub struct Ending {
    /// The act.
    pub act: Act,
    /// What it may end.
    pub ends: &'static [Matter],
    /// Which of them, in words.
    pub which: &'static str,
}

const fn row(act: Act, ends: &'static [Matter], which: &'static str) -> Ending {
    Ending { act, ends, which }
}

/// What may end a reason, and nothing else does. An entry ends only what is in
/// its row, and only if it is wholly believed and not of the future.
#[rustfmt::skip]
pub const ENDINGS: &[Ending] = &[
    row(Act::FullInspection,
        &[Matter::Finding, Matter::Soiling, Matter::InspectionDay, Matter::Correction, Matter::Disbelief],
        "the findings, corrections and unbelieved entries that its form showed, of days not after \
         its own; damage only if it is found again or reported as gone, bubbles of unknown \
         source only if it says where they come from; never a finding that retires, or holds for \
         a seal or a coupling"),
    row(Act::Listed, &[Matter::InspectionDay, Matter::LeakTestDue],
        "that no full inspection is on record; by a passed leak test, that of the fittings that \
         it names"),
    row(Act::Cleaning, &[Matter::Soiling], "the findings that were open when it was written"),
    row(Act::LeakTest, &[Matter::LeakTestDue, Matter::SealFinding, Matter::CouplingFinding],
        "what was due when it was written; of a seal's finding, with the new O-rings after it; of \
         a coupling's, with the new valve core or coupling after it"),
    row(Act::Fitting, &[Matter::Place, Matter::PlaceContest, Matter::StoredLong],
        "what followed from the places that it left; a contest, if it names every place in it"),
    row(Act::Removal, &[Matter::Place, Matter::PlaceContest],
        "what followed from the places that it left; a contest, if it names every place in it"),
    row(Act::PlaceConfirmation, &[Matter::Place, Matter::PlaceContest],
        "what followed from the places that it names; a contest, if it names every place in it"),
    row(Act::SwapEnd, &[Matter::Swap], "the swap that it ends"),
    row(Act::SetMaking, &[Matter::UnmadeSet, Matter::TagOnly],
        "that the set's making was not here, and what its use made stricter"),
    row(Act::SetChange, &[Matter::SetAsItIs],
        "what follows from the changes that it replaces; sets that become one count what was \
         written for either"),
    row(Act::Return, &[Matter::RentedTwice], "once every hand-out is back"),
    row(Act::ComingIn, &[Matter::Ownership],
        "that a customer's hose is in a set of another ticket, if it names whose it was"),
    row(Act::Limits, &[Matter::Limit], "from its day on"),
    row(Act::RecallEnd, &[Matter::Recall], "the recall that it ends"),
    row(Act::CheckOff, &[Matter::Recall], "that recall, for that hose"),
    row(Act::Release, &[Matter::Hold, Matter::Quarantine],
        "the holds that it names; after an incident by the owner alone"),
    row(Act::Withdrawal, &[Matter::WhatRestsOnIt],
        "what rests on what it withdraws; leaves corrected"),
    row(Act::Description, &[Matter::WhatRestsOnIt],
        "with a reason, what rests on the descriptions that it replaces; leaves corrected"),
    row(Act::Registration, &[Matter::TagOnly], "for that tag"),
    row(Act::NewTag, &[Matter::TagOnly], "for that tag"),
    row(Act::Identification, &[Matter::IdentityContest, Matter::TagOnly],
        "for the hose in hand, with a full inspection in the same act"),
    row(Act::Admission, &[Matter::Disbelief, Matter::WhatRestsOnIt],
        "of the entries that count from then on, with all that those may end"),
    row(Act::Dismissal, &[Matter::Disbelief], "of the entries that it names"),
    row(Act::GapLost, &[Matter::Gap], "for the numbers that it names"),
];

impl Act {
    /// The act that something recorded is, if it is one.
    #[must_use]
    pub fn of(event: &Event) -> Option<Self> {
        Some(match event {
            Event::Inspected { look, .. } => {
                let seen = Self::of_look(look.kind)?;
                if look.list.is_some() { Self::Listed } else { seen }
            }
            Event::InspectedBefore(before) => Self::of_look(before.look.kind)?,
            Event::Cleaned { .. } | Event::CleanedBefore { .. } => Self::Cleaning,
            Event::Fitted(_) | Event::FittedBefore(_) => Self::Fitting,
            Event::Removed(_) | Event::RemovedBefore(_) => Self::Removal,
            Event::PlaceConfirmed(_) => Self::PlaceConfirmation,
            Event::Swapped(Swapped { step, .. }) if step.as_str() == super::OpenSwap::END => {
                Self::SwapEnd
            }
            Event::SwappedBefore(b) if b.step.as_str() == super::OpenSwap::END => Self::SwapEnd,
            Event::Assembled(_) | Event::AssembledBefore(_) => Self::SetMaking,
            Event::SetChanged { .. } | Event::SetsJoined { .. } => Self::SetChange,
            Event::Returned(_) | Event::ReturnedBefore(_) => Self::Return,
            Event::CameIn(_) => Self::ComingIn,
            Event::Limited { .. } => Self::Limits,
            Event::RecallEnded { .. } => Self::RecallEnd,
            Event::CheckedOff { .. } => Self::CheckOff,
            Event::Released(_) => Self::Release,
            Event::Withdrawn { .. } => Self::Withdrawal,
            Event::Described { why: Some(_), .. } => Self::Description,
            Event::Registered { .. } => Self::Registration,
            Event::Tagged { .. } | Event::SetTagged { .. } => Self::NewTag,
            Event::Identified { .. } => Self::Identification,
            Event::Admitted { .. } | Event::Enrolled { .. } | Event::Succeeded { .. } => {
                Self::Admission
            }
            Event::Dismissed { .. } => Self::Dismissal,
            Event::GapLost { .. } => Self::GapLost,
            _ => return None,
        })
    }

    const fn of_look(kind: InspectionKind) -> Option<Self> {
        match kind {
            InspectionKind::Full => Some(Self::FullInspection),
            InspectionKind::LeakTest => Some(Self::LeakTest),
            InspectionKind::Quick => None,
        }
    }

    /// What it may end.
    #[must_use]
    pub fn ends(self) -> &'static [Matter] {
        let row = ENDINGS.iter().find(|row| row.act == self);
        row.map_or(&[], |row| row.ends)
    }

    /// Whether it may end reasons of a code.
    #[must_use]
    pub fn may_end(self, code: &str) -> bool {
        let mut codes = self.ends().iter().flat_map(|matter| matter.codes());
        codes.any(|own| {
            own.is_empty() || *own == code || own.ends_with('-') && code.starts_with(own)
        })
    }
}

//! What can happen to a hose, a set or the fleet: the kinds of entry in the
//! journal, each with its version.
//!
//! A kind is a promise: its fields keep their meaning for ever, and what it
//! touches is under the keys `hose`, `hoses`, `set` and `sets`, so that a
//! program that does not know a later kind still knows whom it is about. An
//! entry that judges others names them, by hash, under `answers`.

mod changes;
mod details;
mod earlier;
mod holding;
mod identity;
mod inspected;
mod judging;
mod parts;
mod placing;
mod port;
mod registration;
mod rental;
mod staffing;
mod touched;
mod whole;

pub use changes::{Changes, OriginField, SetChanges};
pub use details::{DetailChanges, MadeSpan, OwnField, RecallOf, SetDetails};
pub use earlier::{
    AssembledBefore, DescribedBefore, FittedBefore, HandedOutBefore, InspectedBefore,
    RemovedBefore, ReturnedBefore, SwappedBefore,
};
pub use holding::{CameIn, GoneHome, Held, Released};
pub use identity::{EntryId, SetId};
pub use judging::About;
pub use placing::{Assembled, Fitted, InsteadOf, PlaceConfirmed, Removed, Swapped};
pub use port::{Port, PortName, Seat, Slot};
pub use registration::Registration;
pub use rental::{HandedOut, Packed, ReasonThen, Returned, ShownThen, Unpacked};
pub use staffing::{StaffLeft, Staffed};
pub use touched::{Touched, touched};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::device::{DeviceId, Succession, Warrant};
use crate::hose::{End, Label, Origin, Prose, Specification};
use crate::inspection::{InspectionKind, Look, Place};
use crate::photograph::Photograph;
use crate::policy::{Change, Scope};
use crate::tag::Code;

/// One thing that happened. A kind of version 1 is named by its kind alone, a
/// later version by the kind, `@` and the version.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "body", rename_all = "kebab-case")]
pub enum Event {
    /// A hose got its first tag; the tag's code is the hose's identity.
    Registered {
        /// The hose.
        hose: Code,
        /// What it is.
        #[serde(flatten)]
        specification: Specification,
        /// Where it came from.
        #[serde(flatten)]
        origin: Origin,
    },
    /// A whole description, as earlier programs wrote it.
    #[serde(rename = "described")]
    DescribedBefore(DescribedBefore),
    /// Some of what is recorded about a hose is put right. With a reason it
    /// replaces the descriptions that it names, without one it is judged beside
    /// them.
    #[serde(rename = "described@2")]
    Described {
        /// The hose.
        hose: Code,
        /// What changes.
        #[serde(flatten)]
        changes: Box<Changes>,
        /// Why the earlier descriptions are wrong.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<Prose>,
        /// The registration and descriptions that it replaces.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        answers: Vec<EntryId>,
    },
    /// A new tag for a hose; its earlier tags are withdrawn.
    Tagged {
        /// The hose.
        hose: Code,
        /// The new tag.
        tag: Code,
    },
    /// One of two hoses of one tag got a new tag, and with it an identity.
    Identified {
        /// The hose, by its new tag.
        hose: Code,
        /// The tag that named two.
        hoses: [Code; 1],
        /// The hose's registration.
        answers: [EntryId; 1],
    },
    /// A maker's own barcode is bound to a hose as a second tag.
    Bound {
        /// The hose.
        hose: Code,
        /// What the barcode says.
        barcode: Label,
    },
    /// An inspection of earlier programs, which names nothing.
    #[serde(rename = "inspected")]
    InspectedBefore(InspectedBefore),
    /// A hose was looked over.
    #[serde(rename = "inspected@2", deserialize_with = "inspected::inspected")]
    Inspected {
        /// The hose.
        hose: Code,
        /// How, and what was seen.
        #[serde(flatten)]
        look: Look,
        /// In which port a leak test was done.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<Slot>,
        /// What its form showed: the entries that it judges.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        answers: Vec<EntryId>,
    },
    /// What the last inspection of a kind, on that day, found was photographed.
    Photographed {
        /// The hose.
        hose: Code,
        /// The kind of inspection.
        inspection: InspectionKind,
        /// The place that it shows.
        place: Place,
        /// The picture.
        photograph: Photograph,
    },
    /// New O-rings at one end.
    Resealed {
        /// The hose.
        hose: Code,
        /// The end.
        end: End,
        /// The size of the O-ring, if it was recorded.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        seal: Option<Label>,
    },
    /// A new valve core or a new coupling at the far end of an inflator hose.
    Recoupled {
        /// The hose.
        hose: Code,
    },
    /// Soaked, cleaned and dried, as earlier programs wrote it.
    #[serde(rename = "cleaned")]
    CleanedBefore {
        /// The hose.
        hose: Code,
    },
    /// Soaked, cleaned and dried.
    #[serde(rename = "cleaned@2")]
    Cleaned {
        /// The hose.
        hose: Code,
        /// The findings that it ends.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        answers: Vec<EntryId>,
    },
    /// A set of earlier programs, known by its name.
    #[serde(rename = "assembled")]
    AssembledBefore(AssembledBefore),
    /// A regulator set and the ports of its first stage.
    #[serde(rename = "assembled@2")]
    Assembled(Assembled),
    /// A set got a tag of its own for its first stage; its earlier tags are
    /// withdrawn. One that was made with a code has that as its first tag.
    SetTagged {
        /// The set.
        set: SetId,
        /// The tag.
        tag: Code,
    },
    /// A set's name, use or ports are others, or it is gone.
    SetChanged {
        /// The set.
        set: SetId,
        /// What changes.
        #[serde(flatten)]
        changes: SetChanges,
        /// Why, if that takes a reason away from its hoses.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<Prose>,
        /// The making and the changes that it replaces.
        answers: Vec<EntryId>,
    },
    /// Two sets on record are one.
    SetsJoined {
        /// The two; the lower of their codes is that of both.
        sets: [SetId; 2],
        /// Why.
        why: Prose,
    },
    /// A fitting of earlier programs.
    #[serde(rename = "fitted")]
    FittedBefore(FittedBefore),
    /// A hose was put in a port.
    #[serde(rename = "fitted@2")]
    Fitted(Fitted),
    /// A removal of earlier programs.
    #[serde(rename = "removed")]
    RemovedBefore(RemovedBefore),
    /// A hose was taken off, to stock.
    #[serde(rename = "removed@2")]
    Removed(Removed),
    /// Someone looked where a hose is: that settles what two devices put down
    /// differently. The other hoses of the dispute are in stock.
    PlaceConfirmed(PlaceConfirmed),
    /// A hose was taken out of service for good.
    Retired {
        /// The hose.
        hose: Code,
        /// Why.
        why: Prose,
    },
    /// Dives were made with hoses.
    Dived {
        /// The hoses.
        hoses: Vec<Code>,
        /// How many dives each.
        dives: u32,
        /// The day of the list that they are from, if they were before the record.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        list: Option<NaiveDate>,
    },
    /// A step of a swap of earlier programs.
    #[serde(rename = "swapped")]
    SwappedBefore(SwappedBefore),
    /// One step of a guided swap was answered.
    #[serde(rename = "swapped@2")]
    Swapped(Swapped),
    /// A hand-out of earlier programs.
    #[serde(rename = "handed-out")]
    HandedOutBefore(HandedOutBefore),
    /// A set was handed out with its hoses.
    #[serde(rename = "handed-out@2")]
    HandedOut(HandedOut),
    /// A return of earlier programs.
    #[serde(rename = "returned")]
    ReturnedBefore(ReturnedBefore),
    /// A set came back with its hoses.
    #[serde(rename = "returned@2")]
    Returned(Returned),
    /// A set was packed for a hirer, and waits to go out.
    Packed(Packed),
    /// A packed set was unpacked.
    Unpacked(Unpacked),
    /// A hose of a recalled lot was found and set aside.
    SetAside {
        /// The hose.
        hose: Code,
        /// The lot that was called back.
        lot: Label,
    },
    /// A hose, or a set with its hoses, was put on hold by hand.
    Held(Held),
    /// A set is in quarantine: something was found on a hose of it.
    Quarantined {
        /// The set.
        set: SetId,
        /// Why.
        why: Prose,
    },
    /// A hold or a quarantine is over.
    Released(Released),
    /// The owner set limits for some hoses.
    Limited {
        /// Which.
        #[serde(flatten)]
        scope: Scope,
        /// The limits.
        limits: Change,
    },
    /// The fleet's owner said what a device may write.
    Enrolled {
        /// The owner's word.
        warrant: Warrant,
    },
    /// The fleet's owner said that another key is the owner's from here on.
    Succeeded {
        /// The owner's word.
        succession: Succession,
    },
    /// A person works here, or what is said of them changes.
    Staffed(Staffed),
    /// A person no longer works here.
    StaffLeft(StaffLeft),
    /// A lot was recalled.
    Recalled {
        /// The lot as printed.
        lot: Label,
        /// The maker, if the lot alone is not enough.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        maker: Option<Label>,
        /// Why.
        why: Prose,
    },
    /// A recall by more than a lot.
    #[serde(rename = "recalled@2")]
    RecalledBy {
        /// What it names.
        #[serde(flatten)]
        of: Box<RecallOf>,
        /// Why.
        why: Prose,
    },
    /// A hose that a recall of more than a lot means was found and set aside.
    #[serde(rename = "set-aside@2")]
    SetAsideFor {
        /// The hose.
        hose: Code,
        /// The recall.
        answers: [EntryId; 1],
    },
    /// A customer's hose, or a set with its hoses, went home.
    GoneHome(GoneHome),
    /// It came in again, under a new ticket.
    CameIn(CameIn),
    /// A recall is over.
    RecallEnded {
        /// Why.
        why: Prose,
        /// The recall.
        answers: [EntryId; 1],
    },
    /// The owner found that a recall does not mean a hose.
    CheckedOff {
        /// The hose.
        hose: Code,
        /// Why.
        why: Prose,
        /// The recall.
        answers: [EntryId; 1],
    },
    /// Entries of a device that will never come: the owner knows that they are
    /// gone.
    GapLost {
        /// The device.
        device: DeviceId,
        /// The numbers that are missing, the last included.
        missing: Vec<(u64, u64)>,
        /// Why.
        why: Prose,
    },
    /// Entries that should not have been written are taken back.
    Withdrawn {
        /// Whom they are about.
        #[serde(flatten)]
        about: About,
        /// Why.
        why: Prose,
        /// The entries.
        answers: Vec<EntryId>,
    },
    /// Unsigned entries of earlier programs are believed, after they were listed.
    Admitted {
        /// Whom they are about.
        #[serde(flatten)]
        about: About,
        /// The entries.
        answers: Vec<EntryId>,
    },
    /// Entries that are not believed need no more attention, after they were
    /// listed.
    Dismissed {
        /// Whom they are about.
        #[serde(flatten)]
        about: About,
        /// Why.
        why: Prose,
        /// The entries.
        answers: Vec<EntryId>,
    },
}

//! Why a logbook refuses.

mod counter;
mod day;
mod naming;
mod packing;
mod place;
mod staff;
mod told;

pub use counter::CounterError;
pub use day::DayError;
pub use naming::NamingError;
pub use packing::PackingError;
pub use place::PlaceError;
pub use staff::StaffError;

use told::{briefly, known_sets, own_lot, stopped};

use std::path::PathBuf;

use chrono::NaiveDate;
use thiserror::Error;

use crate::device::{DeviceId, SealError, WordsError};
use crate::event::EntryId;
use crate::file::FileError;
use crate::hose::{HoseError, Label, Prose};
use crate::inspection::FindingError;
use crate::journal::{Aside, BranchError, BundleError, FilmError, StoreError};
use crate::policy::PolicyError;
use crate::rental::{HandOutCheck, MOST_DIVES};
use crate::tag::Code;
use crate::view::Action;
use crate::words::returns::unaccounted;

/// Why a command was refused; nothing was changed.
#[derive(Debug, Error)]
pub enum LogbookError {
    /// The store cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The fleet's owner does not let this device write that.
    #[error("{}", staff::not_allowed(.device, *.why))]
    NotAllowed {
        /// The device.
        device: DeviceId,
        /// Why not.
        why: Aside,
    },
    /// The owner's key rests under a pass phrase, which was not given.
    #[error("{}", crate::words::meeting::GIVE_OWNER_PASS)]
    OwnerSealed,
    /// The pass phrase of the owner's key is not right, or can't be.
    #[error(transparent)]
    Seal(#[from] SealError),
    /// What was typed names no device, or several.
    #[error("{0}")]
    Device(String),
    /// The words are no key.
    #[error(transparent)]
    Words(#[from] WordsError),
    /// A file is not a bundle.
    #[error("{path}: {source}")]
    Bundle {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        source: BundleError,
    },
    /// A film cannot be made, or is not seen to its end.
    #[error(transparent)]
    Film(#[from] FilmError),
    /// The branches' server can't be used.
    #[error(transparent)]
    Branches(#[from] BranchError),
    /// A counter and a device don't meet.
    #[error(transparent)]
    Counter(#[from] CounterError),
    /// A store is to be made where something is already.
    #[error("{0} is there already; name another file for the new store. Nothing was changed")]
    AlreadyThere(PathBuf),
    /// A damaged file has no Hosewright entry in it.
    #[error("in {0} no entry of a Hosewright record can be found. Nothing was changed")]
    NothingToSave(PathBuf),
    /// What was typed or scanned names no hose or set, or more than one.
    #[error(transparent)]
    Naming(#[from] NamingError),
    /// A hose can't go where it was to go.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// It is not for the writer to do.
    #[error(transparent)]
    Staff(#[from] StaffError),
    /// A day can't be right.
    #[error(transparent)]
    Day(#[from] DayError),
    /// A hose cannot be described so.
    #[error(transparent)]
    Hose(#[from] HoseError),
    /// A finding cannot be recorded so.
    #[error(transparent)]
    Finding(#[from] FindingError),
    /// A limit cannot be set so.
    #[error(transparent)]
    Policy(#[from] PolicyError),
    /// The hose is out of service.
    #[error("{hose} was retired on {on}: {why}. A retired hose stays out of service")]
    Retired {
        /// The hose's tag.
        hose: Code,
        /// When.
        on: NaiveDate,
        /// Why.
        why: Prose,
    },
    /// What the hose is has not been told to this store.
    #[error(
        "this record does not know what kind of hose {0} is; import the record of the device \
         that registered it"
    )]
    Undescribed(Code),
    /// The hose ends in no coupling.
    #[error("{0} is not an inflator hose, so it has no coupling to replace")]
    NoCoupling(Code),
    /// The hose is with a hirer.
    #[error("{hose} is out with its set on ticket {ticket}; take the set back first")]
    RentedOut {
        /// The hose's tag.
        hose: Code,
        /// The ticket.
        ticket: Label,
    },
    /// Something looks like a slip: it is asked about first.
    #[error("{} {} Nothing was written", .0.join(" "), crate::words::slips::ALL_THE_SAME)]
    AskFirst(Vec<String>),
    /// The hose was in an accident, or may have been.
    #[error(
        "{0} is kept as it is after an incident: findings, photographs and holds are written \
         down, and nothing else until the owner releases it"
    )]
    AfterIncident(Code),
    /// The set was in an accident, or may have been.
    #[error(
        "set {0} is kept as it is after an incident; nothing is done to it until the owner \
         releases it"
    )]
    SetAfterIncident(Label),
    /// Nothing holds the hose by hand.
    #[error("nobody put {0} on hold by hand; its other reasons say what ends them")]
    NotHeld(Code),
    /// Its set holds it.
    #[error("{hose} is on hold with set {set}; release the set")]
    HeldWithSet {
        /// The hose's tag.
        hose: Code,
        /// The set.
        set: Label,
    },
    /// Nothing holds the set.
    #[error("set {0} is neither on hold nor in quarantine")]
    SetNotHeld(Label),
    /// No entry begins so.
    #[error(
        "“{0}” does not name one entry; type the first 16 digits or more of the number that the \
         history shows"
    )]
    NoSuchEntry(String),
    /// The entry cannot be taken back.
    #[error("entry {entry:.16} is not withdrawn: {why}")]
    NotWithdrawable {
        /// The entry.
        entry: EntryId,
        /// Why not.
        why: &'static str,
    },
    /// This device's clock was ahead when it wrote others too.
    #[error(
        "this device's clock was ahead when it wrote these too, so withdraw them together: {}",
        briefly(.0)
    )]
    AlsoAhead(Vec<EntryId>),
    /// Something that was unknown is filled in, which takes a reason away.
    #[error("give a reason, such as “read off the hose”: this fills in what was not known of {0}")]
    ReasonNeeded(Code),
    /// A hose cleaned for oxygen got new O-rings, and nobody says with which grease.
    #[error(
        "{0} is on record as cleaned for oxygen: say which grease was used, oxygen or other. Other \
         grease ends that"
    )]
    GreaseNeeded(Code),
    /// It is the centre's own.
    #[error("{what} is not on record as of that customer; enter its ticket first")]
    NotACustomers {
        /// The hose or the set.
        what: String,
        /// With what its ticket is entered.
        edit: Action,
    },
    /// It is at home.
    #[error("{0} is at home with its customer; take it in under a new ticket first")]
    AtHome(String),
    /// It is not at home.
    #[error("{0} is not at home with a customer, so it cannot come in")]
    NotAtHome(String),
    /// It went home with its set.
    #[error("{hose} went home with set {set}; take the set in")]
    HomeWithSet {
        /// The hose's tag.
        hose: Code,
        /// The set.
        set: Label,
    },
    /// A set's change takes a reason away.
    #[error("give a reason for changing set {0}: it lifts a warning about its hoses")]
    SetReasonNeeded(Label),
    /// The set has hoses.
    #[error("set {0} has hoses in its ports; take them off before it is dissolved")]
    SetNotEmpty(Label),
    /// Sets of one name.
    #[error(
        "“{name}” names {} sets: {}. Name one by its code, give one another name, or say that \
         they are one",
        .sets.len(),
        .sets.join("; ")
    )]
    SeveralSets {
        /// The name.
        name: Label,
        /// Their codes, with who put them on record.
        sets: Vec<String>,
    },
    /// The name reads as a code.
    #[error("“{0}” reads as a code; give the set another name")]
    NameLikeCode(Label),
    /// The hose speaks against being used.
    #[error("{hose} is held: {why}")]
    Held {
        /// The hose's tag.
        hose: Code,
        /// Why, and what to do.
        why: String,
    },
    /// A swap cannot go on so.
    #[error("{0}")]
    Swap(String),
    /// The set is with a hirer.
    #[error("set {set} is out since {since} on ticket {ticket}; take it back first")]
    SetOut {
        /// The set.
        set: Label,
        /// The ticket.
        ticket: Label,
        /// Since when.
        since: NaiveDate,
    },
    /// A personal set is not handed out.
    #[error(
        "set {0} is for personal use, which has looser limits than rental; only a rental set is \
         handed out"
    )]
    NotForRental(Label),
    /// Something stops the hand-out: the whole check.
    #[error("{}", stopped(.0))]
    HandOutStopped(Box<HandOutCheck>),
    /// It is packed, or is to be.
    #[error(transparent)]
    Packing(#[from] PackingError),
    /// The set is not with a hirer.
    #[error("set {0} is not out, so it cannot come back")]
    NotOut(Label),
    /// More dives than one hire can have.
    #[error("{dives} dives are more than one return can bring, {MOST_DIVES}; correct the number")]
    TooManyDives {
        /// The dives.
        dives: u32,
    },
    /// Hoses that are out were neither scanned nor named missing.
    #[error("{}", unaccounted(.set, .ticket, .hoses))]
    Unaccounted {
        /// The set.
        set: Label,
        /// The ticket.
        ticket: Label,
        /// The hoses, in words.
        hoses: Vec<String>,
    },
    /// A hose was both scanned and named missing.
    #[error("{0} was scanned and named missing; choose one")]
    ScannedAndMissing(Code),
    /// Nobody says how hoses that came back looked.
    #[error("{}", crate::words::returns::not_looked_at(.0))]
    NotLookedAt(Vec<String>),
    /// Something was seen on a hose that was not out.
    #[error(
        "{hose} was not out with set {set} on ticket {ticket}; leave it out of the return, and \
         inspect it by itself to record what was seen on it"
    )]
    NotOutWith {
        /// The hose.
        hose: Code,
        /// The set.
        set: Label,
        /// The ticket.
        ticket: Label,
    },
    /// Something is said of a hose that was not scanned with the others.
    #[error(
        "{0} is not among the hoses of the set that were scanned; scan it too, or leave it out"
    )]
    NotScanned(Code),
    /// There is no such set.
    #[error("there is no set “{name}”; {}", known_sets(.known))]
    NoSuchSet {
        /// The name.
        name: Label,
        /// The sets there are.
        known: Vec<String>,
    },
    /// The set is on record already.
    #[error("there is already a set “{0}”; choose another name")]
    SetExists(Label),
    /// The lot is under a recall already.
    #[error("{of} is already recalled, since {on}: {why}")]
    RecalledAlready {
        /// What it names.
        of: String,
        /// Since when.
        on: NaiveDate,
        /// Why.
        why: Prose,
    },
    /// The lot is under no recall.
    #[error("{0} is under no recall; start one first, with its reason")]
    NotRecalled(String),
    /// The hose is of another lot.
    #[error("{hose} is not of {of}: {}", own_lot(.own.as_ref()))]
    NotOfLot {
        /// The hose's tag.
        hose: Code,
        /// What was named.
        of: String,
        /// The lot that is recorded for it.
        own: Option<String>,
    },
    /// The hose was found already.
    #[error("{hose} is already on record as found and set aside for {of}")]
    FoundAlready {
        /// The hose's tag.
        hose: Code,
        /// What is recalled.
        of: String,
    },
    /// Nothing to do.
    #[error("{0}")]
    Nothing(&'static str),
    /// A picture that cannot be read.
    #[error(transparent)]
    Picture(#[from] crate::tag::PictureError),
    /// A photo that cannot be kept.
    #[error(transparent)]
    Photograph(#[from] crate::photograph::PhotographError),
    /// A photo that is not in the record of a hose.
    #[error("the record of {hose} has no photo {name}; photos {hose} lists those it has")]
    NoSuchPhotograph {
        /// The hose's tag.
        hose: Code,
        /// What was asked for.
        name: crate::photograph::PhotographName,
    },
    /// One of our tags that cannot be read.
    #[error(transparent)]
    Payload(#[from] crate::tag::PayloadError),
    /// A file is not written where something else is.
    #[error("{0}")]
    File(FileError),
    /// A file cannot be read or written.
    #[error("cannot use {path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

impl From<FileError> for LogbookError {
    fn from(error: FileError) -> Self {
        match error {
            FileError::Io { path, source } => Self::Io { path, source },
            other => Self::File(other),
        }
    }
}

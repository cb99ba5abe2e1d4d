//! Which forms there are on a phone.

use hosewright_core::hose::End;
use hosewright_core::inspection::InspectionKind;
use hosewright_core::tag::Code;
use hosewright_core::view::Action;

/// Which form.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum FormOf {
    /// The one to register a hose.
    Register {
        /// The tag that is on it, as it was scanned or typed; none if the form asks
        /// for it, or a new one is drawn.
        tag: Option<String>,
    },
    /// One about a hose.
    Hose {
        /// Whatever names the hose.
        hose: String,
        /// Which, as `quick-look`, `leak-test`, `clean` or `retire`: what an action of
        /// its answer names.
        form: String,
    },
    /// The one to hand a set out.
    HandOut {
        /// The set.
        set: String,
    },
    /// The one to take a set back.
    TakeBack {
        /// The set.
        set: String,
    },
    /// The next step of a swap.
    Swap {
        /// Whatever names the hose that comes off.
        old: String,
        /// Whatever names the hose that goes on.
        new: String,
    },
    /// The one to give up a swap.
    GiveUp {
        /// Whatever names the hose that comes off.
        old: String,
        /// Whatever names the hose that goes on.
        new: String,
    },
    /// One about a set.
    Set {
        /// The set.
        set: String,
        /// Which: `edit`, `hold`, `release`, `dives` or `new-tag`.
        form: String,
    },
    /// The one for a set that is new.
    NewSet,
    /// The one to withdraw what was written about a hose.
    Withdraw {
        /// Whatever names the hose.
        hose: String,
        /// The entry.
        entry: String,
    },
    /// Tags to print, as a file to share.
    Tags {
        /// Those of a set; none for every hose.
        set: Option<String>,
    },
    /// The one to meet counters in the shop's network.
    Counters {
        /// The text of the symbol by which one lets this phone in; none for those that did.
        symbol: Option<String>,
    },
    /// What can be set on this phone.
    Settings,
    /// What helps; nothing is filled in.
    Help,
}

/// What is done about a hose.
pub(super) type OfHose = fn(Code) -> Action;

/// The forms about a hose, by their names.
pub(super) const OF_HOSE: [(&str, OfHose); 17] = [
    ("quick-look", |hose| Action::Inspect { hose, kind: InspectionKind::Quick }),
    ("full-inspection", |hose| Action::Inspect { hose, kind: InspectionKind::Full }),
    ("leak-test", |hose| Action::Inspect { hose, kind: InspectionKind::LeakTest }),
    ("details", |hose| Action::Describe { hose }),
    ("clean", |hose| Action::Clean { hose }),
    ("dives", |hose| Action::Dive { hose }),
    ("reseal", |hose| Action::Reseal { hose, end: None }),
    ("reseal-a", |hose| Action::Reseal { hose, end: Some(End::A) }),
    ("reseal-b", |hose| Action::Reseal { hose, end: Some(End::B) }),
    ("coupling", |hose| Action::ReplaceCoupling { hose }),
    ("hold", |hose| Action::Hold { hose }),
    ("release", |hose| Action::Release { hose }),
    ("place", |hose| Action::Place { hose }),
    ("confirm-place", |hose| Action::ConfirmPlace { hose }),
    ("barcode", |hose| Action::BindBarcode { hose }),
    ("new-tag", |hose| Action::Retag { hose }),
    ("retire", |hose| Action::Retire { hose }),
];

impl FormOf {
    /// Whether nothing of it goes into the record, so that it matters to nobody who writes.
    pub(crate) const fn writes_nothing(&self) -> bool {
        matches!(self, Self::Settings | Self::Tags { .. } | Self::Counters { .. } | Self::Help)
    }

    /// The form of an action about a hose; none if a phone has no such form.
    pub(crate) fn hose(hose: Code, action: Action) -> Option<Self> {
        let (name, _) = OF_HOSE.iter().find(|(_, of)| of(hose) == action)?;
        Some(Self::Hose { hose: hose.to_string(), form: (*name).to_owned() })
    }
}

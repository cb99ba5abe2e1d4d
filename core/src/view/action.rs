//! Everything that can be done about a hose or a set, and the one thing to do
//! next: what a screen puts within the thumb's reach. The reasons themselves say
//! everything that is to be done.

use serde::Serialize;

use crate::answer::{Answer, Reason};
use crate::device::DeviceId;
use crate::event::SetId;
use crate::hose::{End, Service, Specification};
use crate::inspection::{Ends, InspectionKind, Place, Verdict};
use crate::record::{HoseRecord, OpenFinding};
use crate::tag::Code;

/// One thing to do: what, and on what. A command line writes it as a command, a
/// page as a link, a phone as a button.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub enum Action {
    /// Continue a swap that was begun.
    ContinueSwap {
        /// The hose that comes off.
        old: Code,
        /// The hose that goes on.
        new: Code,
    },
    /// Scan the tag that the hose carries now.
    ScanOwnTag {
        /// The hose, by that tag.
        hose: Code,
    },
    /// Scan another hose: nothing is left to do here.
    ScanAnother,
    /// Inspect it, or test it for leaks.
    Inspect {
        /// The hose.
        hose: Code,
        /// How thoroughly.
        kind: InspectionKind,
    },
    /// Fit new O-rings.
    Reseal {
        /// The hose.
        hose: Code,
        /// At which end, if that is known.
        end: Option<End>,
    },
    /// Fit a new valve core or coupling to an inflator hose.
    ReplaceCoupling {
        /// The hose.
        hose: Code,
    },
    /// Soak, clean and dry it.
    Clean {
        /// The hose.
        hose: Code,
    },
    /// Record dives that were made with it outside a rental.
    Dive {
        /// The hose.
        hose: Code,
    },
    /// Swap it for another hose.
    Swap {
        /// The hose that comes off.
        hose: Code,
    },
    /// Retire it.
    Retire {
        /// The hose.
        hose: Code,
    },
    /// Edit what it is: a date, a lot, a length.
    Describe {
        /// The hose.
        hose: Code,
    },
    /// Put it on hold by hand.
    Hold {
        /// The hose.
        hose: Code,
    },
    /// Release it from a hold, with a reason.
    Release {
        /// The hose.
        hose: Code,
    },
    /// Release a set from quarantine, with a reason.
    ReleaseSet {
        /// The set.
        set: SetId,
    },
    /// Edit a set's use and ports.
    ChangeSet {
        /// The set.
        set: SetId,
    },
    /// Take a set back from its hirer.
    TakeBack {
        /// The set.
        set: SetId,
    },
    /// Fit it in a port, move it, or take it off.
    Place {
        /// The hose.
        hose: Code,
    },
    /// Confirm where it is.
    ConfirmPlace {
        /// The hose.
        hose: Code,
    },
    /// Say which of two hoses with one tag it is.
    Identify {
        /// The hose, by that tag.
        hose: Code,
    },
    /// Record that a recalled hose was found and set aside.
    SetAside {
        /// The hose.
        hose: Code,
    },
    /// Import the record of a device that knows more.
    ImportRecord,
    /// Register a hose.
    Register {
        /// The tag that was tied on it, if it has one.
        tag: Option<Code>,
    },
    /// Add a maker's barcode as a second tag.
    BindBarcode {
        /// The hose.
        hose: Code,
    },
    /// Give it a new tag in the place of the present one.
    Retag {
        /// The hose.
        hose: Code,
    },
    /// Print its tag.
    PrintTag {
        /// The hose.
        hose: Code,
    },
    /// Let a device record things, as the fleet's owner does.
    AdmitDevice {
        /// The device.
        device: DeviceId,
    },
}

impl Action {
    /// Every action once, about these: for a face to prove that its table is whole.
    #[must_use]
    pub fn all(hose: Code, other: Code, set: SetId, device: DeviceId) -> Vec<Self> {
        let inspect = |kind| Self::Inspect { hose, kind };
        let reseal = |end| Self::Reseal { hose, end };
        vec![
            Self::ContinueSwap { old: hose, new: other },
            Self::ScanOwnTag { hose },
            Self::ScanAnother,
            inspect(InspectionKind::Quick),
            inspect(InspectionKind::Full),
            inspect(InspectionKind::LeakTest),
            reseal(None),
            reseal(Some(End::A)),
            reseal(Some(End::B)),
            Self::ReplaceCoupling { hose },
            Self::Clean { hose },
            Self::Dive { hose },
            Self::Swap { hose },
            Self::Retire { hose },
            Self::Describe { hose },
            Self::Hold { hose },
            Self::Release { hose },
            Self::ReleaseSet { set },
            Self::ChangeSet { set },
            Self::TakeBack { set },
            Self::Place { hose },
            Self::ConfirmPlace { hose },
            Self::Identify { hose },
            Self::SetAside { hose },
            Self::ImportRecord,
            Self::Register { tag: Some(hose) },
            Self::BindBarcode { hose },
            Self::Retag { hose },
            Self::PrintTag { hose },
            Self::AdmitDevice { device },
        ]
    }

    /// What to do, in the few words that a button has room for.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::ContinueSwap { .. } => "Continue the swap",
            Self::ScanOwnTag { .. } => "Scan the hose's own tag",
            Self::ScanAnother => "Scan another hose",
            Self::Inspect { kind: InspectionKind::Quick, .. } => "Quick look",
            Self::Inspect { kind: InspectionKind::Full, .. } => "Full inspection",
            Self::Inspect { kind: InspectionKind::LeakTest, .. } => "Leak test",
            Self::Reseal { end: None, .. } => "New O-rings",
            Self::Reseal { end: Some(End::A), .. } => "New O-rings at the first-stage end",
            Self::Reseal { end: Some(End::B), .. } => "New O-rings at the far end",
            Self::ReplaceCoupling { .. } => "New valve core or coupling",
            Self::Clean { .. } => "Clean",
            Self::Dive { .. } => "Record dives",
            Self::Swap { .. } => "Swap for another hose",
            Self::Retire { .. } => "Retire",
            Self::Describe { .. } => "Edit details",
            Self::Hold { .. } => "Put on hold",
            Self::Release { .. } => "Release",
            Self::ReleaseSet { .. } => "Release the set",
            Self::ChangeSet { .. } => "Edit the set",
            Self::TakeBack { .. } => "Take the set back",
            Self::Place { .. } => "Fit or move",
            Self::ConfirmPlace { .. } => "Confirm its place",
            Self::Identify { .. } => "Say which hose it is",
            Self::SetAside { .. } => "Set aside for the recall",
            Self::ImportRecord => "Import another device's record",
            Self::Register { .. } => "Register this hose",
            Self::BindBarcode { .. } => "Add a barcode",
            Self::Retag { .. } => "New tag",
            Self::PrintTag { .. } => "Print its tag",
            Self::AdmitDevice { .. } => "Admit the device",
        }
    }
}

/// The one thing to do next, by the worst reasons: the first of them that
/// something can be done about. `record` is none if all that is known is on the
/// tag.
#[must_use]
pub fn next(answer: &Answer, record: Option<&HoseRecord>) -> Action {
    let hose = answer.code;
    let Some(record) = record else {
        // A blank tag says nothing of its hose; any other was printed from a record.
        return if answer.hose.is_unknown() {
            Action::Register { tag: Some(hose) }
        } else {
            Action::ImportRecord
        };
    };
    // A retired hose stays as it is, and so does one after an incident.
    if record.retired.is_some() || answer.after_incident {
        return Action::ScanAnother;
    }
    if let (Some(_), Some(slot)) = (&answer.place.ticket, record.seat) {
        return Action::TakeBack { set: slot.set };
    }
    // What is good for a lesser reason does not help against the worst.
    let mut worst = answer.reasons.iter().filter(|reason| reason.verdict == answer.verdict);
    let by_reason = worst.find_map(|reason| of_reason(reason, hose, record));
    by_reason.unwrap_or(if answer.verdict < Verdict::Hold {
        Action::Inspect { hose, kind: InspectionKind::Quick }
    } else {
        Action::ScanAnother
    })
}

/// What a reason asks for, if it asks for anything that can be done.
pub(super) fn of_reason(reason: &Reason, hose: Code, record: &HoseRecord) -> Option<Action> {
    let set = || record.slots().next().map(|slot| slot.set);
    Some(match reason.code.as_str() {
        "retired" => Action::ScanAnother,
        "swap-open" => {
            let swap = record.swap()?;
            Action::ContinueSwap { old: swap.old, new: swap.new }
        }
        "tag-old" => Action::ScanOwnTag { hose },
        "leak-test-due" => Action::Inspect { hose, kind: InspectionKind::LeakTest },
        "inspection-never" | "inspection-over" | "stored-long" | "corrected" | "not-believed" => {
            Action::Inspect { hose, kind: InspectionKind::Full }
        }
        "age-over" | "dives-over" => replaced(hose, record),
        "recalled" if record.seat.is_some() => Action::Swap { hose },
        "recalled" if record.set_aside.is_empty() && record.set_aside_for.is_empty() => {
            Action::SetAside { hose }
        }
        "age-unknown" | "recall-open" => Action::Describe { hose },
        "held" => Action::Release { hose },
        "set-quarantined" => Action::ReleaseSet { set: set()? },
        "set-contested" => Action::ChangeSet { set: set()? },
        "rented-twice" => Action::TakeBack { set: set()? },
        "misfit" => Action::Place { hose },
        "place-contested" => Action::ConfirmPlace { hose },
        "identity-contested" => Action::Identify { hose },
        "tag-only" | "not-all-read" | "record-gap" | "record-old" => Action::ImportRecord,
        _ => return of_finding(reason, hose, record),
    })
}

/// A hose that has served its time comes off its set, or leaves the stock.
const fn replaced(hose: Code, record: &HoseRecord) -> Action {
    if record.seat.is_some() { Action::Swap { hose } } else { Action::Retire { hose } }
}

fn of_finding(reason: &Reason, hose: Code, record: &HoseRecord) -> Option<Action> {
    let finding = reason.code.strip_prefix("finding-")?;
    let mut same = record.open.iter().filter(|open| open.seen.finding().word() == finding);
    let as_bad = |open: &&OpenFinding| {
        record.rule(&open.seen).is_none_or(|rule| rule.verdict == reason.verdict)
    };
    let open = same.clone().find(as_bad).or_else(|| same.next())?;
    let rule = record.rule(&open.seen);
    let leak = Action::Inspect { hose, kind: InspectionKind::LeakTest };
    Some(match rule.map(|rule| rule.ends) {
        Some(Ends::Never) => replaced(hose, record),
        Some(Ends::Cleaning) => Action::Clean { hose },
        Some(Ends::ResealAndTest | Ends::CouplingAndTest) if open.resealed.is_some() => {
            // Without a port nothing can be put under pressure.
            if record.seat.is_some() { leak } else { Action::Place { hose } }
        }
        Some(Ends::ResealAndTest) => Action::Reseal { hose, end: end_of(open) },
        Some(Ends::CouplingAndTest) => Action::ReplaceCoupling { hose },
        // What is only compared next time wants a look, and no bench.
        _ if reason.verdict < Verdict::Hold => {
            Action::Inspect { hose, kind: InspectionKind::Quick }
        }
        _ => Action::Inspect { hose, kind: InspectionKind::Full },
    })
}

const fn end_of(open: &OpenFinding) -> Option<End> {
    match open.seen.place() {
        Place::EndA | Place::SealA => Some(End::A),
        Place::EndB | Place::SealB => Some(End::B),
        Place::Run => None,
    }
}

/// What every reason asks for, and everything else that can be recorded about a
/// hose; each once.
pub(super) fn actions(answer: &Answer, record: &HoseRecord) -> Vec<Action> {
    if record.retired.is_some() {
        return Vec::new();
    }
    let hose = answer.code;
    if answer.after_incident {
        // Nothing else is taken while an accident is looked into.
        return vec![
            Action::Inspect { hose, kind: InspectionKind::Quick },
            Action::Hold { hose },
            Action::Release { hose },
        ];
    }
    let asked = answer.reasons.iter().filter_map(|reason| of_reason(reason, hose, record));
    let mut all: Vec<Action> = Vec::new();
    for action in asked.chain(general(hose, record)) {
        let other = |known: &Action| known.in_words() != action.in_words();
        if action != Action::ScanAnother && all.iter().all(other) {
            all.push(action);
        }
    }
    all
}

fn general(hose: Code, record: &HoseRecord) -> impl Iterator<Item = Action> {
    let inspect = |kind| Action::Inspect { hose, kind };
    let fitted = [inspect(InspectionKind::LeakTest), Action::Swap { hose }];
    let fitted = fitted.into_iter().filter(|_| record.seat.is_some());
    let inflator =
        record.specification.as_ref().map(Specification::service) == Some(Service::Inflator);
    let coupling = inflator.then_some(Action::ReplaceCoupling { hose });
    let rest = [Action::Hold { hose }, Action::Clean { hose }, Action::Reseal { hose, end: None }];
    // The dives of a rental are counted at its return.
    let dives = record.out().is_none().then_some(Action::Dive { hose });
    let last = [
        Action::Place { hose },
        Action::Describe { hose },
        Action::BindBarcode { hose },
        Action::Retag { hose },
        Action::PrintTag { hose },
        Action::Retire { hose },
    ];
    let looks = [inspect(InspectionKind::Full), inspect(InspectionKind::Quick)];
    looks.into_iter().chain(fitted).chain(dives).chain(rest).chain(coupling).chain(last)
}

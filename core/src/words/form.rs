//! The words of the form that describes a hose: its fields, what can be chosen
//! in them, and what is said beside it.

use crate::hose::{Construction, Service, words};
use crate::tag::Code;

words!(
    /// A field of the form that describes a hose, in the order in which it is
    /// filled in.
    HoseField, "field", {
        /// What the hose does.
        Service = "service",
        /// How it is built.
        Construction = "construction",
        /// How long it is.
        Length = "length",
        /// The thread at the first stage.
        EndA = "end_a" | "end-a",
        /// The fitting at the far end.
        EndB = "end_b" | "end-b",
        /// What a maker's own fitting at the far end is called.
        OwnFitting = "own",
        /// When it was made.
        Made = "made",
        /// When it was bought.
        Bought = "bought",
        /// Since when it is in service.
        InService = "in_service" | "in-service",
        /// Who made it.
        Maker = "maker",
        /// Its lot.
        Lot = "lot",
        /// Its model.
        Model = "model",
        /// Whether a sleeve covers an end.
        Protector = "protector",
        /// Whether it is cleaned for oxygen.
        Oxygen = "oxygen",
        /// The shop's own number for it.
        Number = "number",
        /// A note.
        Note = "note",
        /// The branch.
        Branch = "branch",
        /// The ticket of the customer whose it is.
        Ticket = "ticket",
        /// The tag that is on it already.
        Tag = "tag",
        /// A maker's own barcode that leads to it.
        Barcode = "barcode",
        /// Why a description on record is put right.
        Why = "why",
    }
);

impl HoseField {
    /// What the field is called.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Service => "Use",
            Self::Construction => "Construction",
            Self::Length => "Length with its unit",
            Self::EndA => "Thread at the first stage",
            Self::EndB => "Far end",
            Self::OwnFitting => "The maker's own fitting: its name",
            Self::Made => "Made",
            Self::Bought => "Bought",
            Self::InService => "In service since, if before this record",
            Self::Maker => "Maker, as printed on it",
            Self::Lot => "Lot, as printed on it",
            Self::Model => "Model, as printed on it",
            Self::Protector => "A protector covers an end",
            Self::Oxygen => "Cleaned for oxygen",
            Self::Number => "Your own number for it",
            Self::Note => "Note",
            Self::Branch => "Branch, if you have several",
            Self::Ticket => "Ticket, if it is a customer's",
            Self::Tag => "Code of the blank tag on it, if it has one",
            Self::Barcode => "The maker's barcode, if it has one",
            Self::Why => "Reason for the change",
        }
    }

    /// How it is written, if that is not plain.
    #[must_use]
    pub const fn hint(self) -> Option<&'static str> {
        match self {
            Self::Length => Some("as 22 in or 56 cm"),
            Self::Made | Self::Bought | Self::InService => {
                Some("as 2023, 2023-05, 2023-05-20 or 3Q21")
            }
            Self::Number => Some("as LP-17"),
            Self::Ticket => Some("a number, never a name; empty for the centre's own"),
            Self::Barcode => Some(super::notices::BARCODE_LEADS_TOO),
            Self::Why => Some(
                "For example: read off the hose. With a reason, this replaces the earlier details. \
                 Without one, both count and the worse decides. A date or lot that was not known \
                 needs a reason.",
            ),
            _ => None,
        }
    }

    /// What is to be done where the field is empty and must not be.
    #[must_use]
    pub const fn missing(self) -> &'static str {
        match self {
            Self::Service => "Choose what the hose does.",
            Self::Construction => "Choose how the hose is built.",
            Self::Length => "Measure the hose, and enter its length with the unit.",
            Self::OwnFitting => "Name the maker's own fitting, so that it can be told apart.",
            Self::Why => {
                "A date, a lot or a model that was not known needs a reason: say where it comes \
                 from, as read off the hose."
            }
            _ => "Fill this in.",
        }
    }
}

/// What a hose does, as it is chosen.
#[must_use]
pub const fn service(service: Service) -> &'static str {
    match service {
        Service::SecondStage => "Breathing: to a second stage",
        Service::Inflator => "Inflating: to a jacket, wing or dry suit",
        Service::Gauge => "High pressure: to a gauge or transmitter",
    }
}

/// How a hose is built, as it is chosen.
#[must_use]
pub const fn construction(construction: Construction) -> &'static str {
    match construction {
        Construction::Rubber => "Rubber",
        Construction::Braided => "Braided",
    }
}

/// A fitting as it is chosen; the first of its table is the usual one.
#[must_use]
pub fn fitting(fitting: &str, usual: bool) -> String {
    format!("{fitting} ({})", if usual { "the usual one" } else { "a few designs" })
}

/// The usual fitting, before the service is chosen.
pub const USUAL_FITTING: &str = "The usual one";

/// A far end of the maker's own, as it is chosen.
pub const OWN_FITTING: &str = "The maker's own fitting";

/// A barcode that is to be bound, and is one of our tags.
pub const BARCODE_IS_A_TAG: &str =
    "This is a Hosewright tag and not a barcode of the maker's. Scan the barcode on the hose.";

/// Over the form for a hose that is not on record.
pub const REGISTER: &str = "Register a hose";

/// The button of that form.
pub const REGISTER_GO: &str = "Register";

/// The button of most forms.
pub const SAVE: &str = "Save";

/// Over the form for one of several hoses of one tag.
pub const IDENTIFY: &str = "Two hoses with one tag";

/// The button of that form.
pub const IDENTIFY_GO: &str = "Give it the new tag";

/// The new tag of something that has one.
pub const NEW_TAG: &str = "Code of a blank tag";

/// What happens if there is none.
pub const NEW_TAG_HINT: &str = "Leave empty to get a new code.";

/// A set has a new tag.
#[must_use]
pub fn set_tagged(tag: Code) -> String {
    format!("The set's tag is {tag} now. Print it, and tie it on its first stage.")
}

/// No port was chosen.
pub const NO_PORT: &str = "Choose the port.";

/// Something was chosen that the form does not offer.
pub const NO_SUCH_CHOICE: &str = "This can't be chosen here.";

/// After most forms were saved.
pub const SAVED: &str = "Saved.";

/// Beside it.
pub const REGISTER_LEAD: &str = "Read it off the hose; leave empty what you can't read.";

/// Over the form for a hose that is on record.
pub const DESCRIBE: &str = "Edit details";

/// Beside the form, if a blank tag was scanned.
pub const TAG_WAS_BLANK: &str =
    "This tag is blank. It will belong to the hose that you register with it.";

/// Beside the form, if a tag was scanned that another device printed for a hose.
pub const TAG_OF_ANOTHER_RECORD: &str = "Another device registered a hose with this tag. If you \
    can, import that device's record instead: only it has the inspections. What the tag says is \
    filled in; compare it with the hose.";

/// Beside the form, if the code of a tag was typed.
pub const TAG_WAS_TYPED: &str = "If another device has this hose on record, import that record \
    instead: only it has the inspections.";

/// After a hose was registered and a tag drawn for it.
pub const REGISTERED: &str = "Registered. Now print its tag and tie it on.";

/// After a hose was registered with the tag that is on it.
pub const REGISTERED_WITH_TAG: &str = "Registered with the tag on it.";

/// After its description was put right.
pub const DESCRIBED: &str = "The details are changed.";

/// Where a record has no hose yet.
pub const WELCOME: &str = "Welcome. No hoses yet.";

/// A way into a record that has no hose yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayIn {
    /// Register the first hose.
    Register,
    /// Import the record of another device.
    BringIn,
}

impl WayIn {
    /// Every way, the one for most people first.
    pub const ALL: &'static [Self] = &[Self::Register, Self::BringIn];

    /// What its button says.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Register => "Register the first hose",
            Self::BringIn => "Import a record",
        }
    }

    /// For whom it is, and what it takes.
    #[must_use]
    pub const fn lead(self) -> &'static str {
        match self {
            Self::Register => {
                "Begin with your own: register the first hose, print its tag, tie it on. It takes \
                 two minutes."
            }
            Self::BringIn => {
                "If another device has your hoses on record, share its record as a file and \
                 import it here."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_field_has_a_label_of_its_own() {
        let mut labels: Vec<&str> = HoseField::ALL.iter().map(|field| field.label()).collect();
        let all = labels.len();
        labels.sort_unstable();
        labels.dedup();
        assert_eq!(labels.len(), all);
    }
}

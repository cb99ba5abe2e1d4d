//! What a column of a list can say of a hose.

use crate::hose::words;

words!(
    /// What a column of a list says of a hose.
    Column, "field of a list", {
        /// Its own number, or the serial number printed on it.
        Number = "number",
        /// What it does.
        Service = "service",
        /// What it does where no other column says it, and else who dives with it.
        Use = "use",
        /// How long it is.
        Length = "length",
        /// How it is built.
        Construction = "construction",
        /// Its first-stage end.
        EndA = "end-a",
        /// Its far end.
        EndB = "end-b",
        /// When it was made.
        Made = "made",
        /// When it was bought.
        Bought = "bought",
        /// Since when it is in service.
        InService = "in-service",
        /// The maker.
        Maker = "maker",
        /// The lot.
        Lot = "lot",
        /// The model.
        Model = "model",
        /// Whether it has a protector.
        Protector = "protector",
        /// Whether it is cleaned for oxygen.
        Oxygen = "oxygen",
        /// The set that it is in.
        Set = "set",
        /// The port that it is in.
        Port = "port",
        /// The day of its last full inspection.
        FullOn = "full-inspection",
        /// Who inspected it then.
        FullBy = "full-inspection-by",
        /// The day on which it last passed a leak test.
        LeakOn = "leak-test",
        /// The pressure in the cylinder then.
        LeakPressure = "leak-test-pressure",
        /// The dives that it has.
        Dives = "dives",
        /// A note.
        Note = "note",
        /// The branch whose it is.
        Branch = "branch",
        /// The ticket of its customer.
        Ticket = "ticket",
        /// Its Hosewright tag.
        Tag = "tag",
        /// How many such hoses there are.
        Quantity = "quantity",
    }
);

impl Column {
    /// Those that a head can be matched to by hand.
    pub fn offered() -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(|column| *column != Self::Use)
    }

    /// As people call it, and as the template has it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Number => "Number",
            Self::Service => "Service",
            Self::Use => "Use",
            Self::Length => "Length",
            Self::Construction => "Construction",
            Self::EndA => "First-stage end",
            Self::EndB => "Far end",
            Self::Made => "Made",
            Self::Bought => "Bought",
            Self::InService => "In service since",
            Self::Maker => "Maker",
            Self::Lot => "Lot",
            Self::Model => "Model",
            Self::Protector => "Protector",
            Self::Oxygen => "Cleaned for oxygen",
            Self::Set => "Set",
            Self::Port => "Port",
            Self::FullOn => "Last full inspection",
            Self::FullBy => "Full inspection by",
            Self::LeakOn => "Last leak test",
            Self::LeakPressure => "Leak test pressure",
            Self::Dives => "Dives",
            Self::Note => "Note",
            Self::Branch => "Branch",
            Self::Ticket => "Ticket",
            Self::Tag => "Tag",
            Self::Quantity => "Quantity",
        }
    }

    /// Whether dates are under it.
    pub(super) const fn is_date(self) -> bool {
        matches!(self, Self::Made | Self::Bought | Self::InService | Self::FullOn | Self::LeakOn)
    }

    /// What it says, in words.
    pub(super) const fn says(self) -> &'static str {
        match self {
            Self::Service => "what a hose does",
            Self::Use => "who dives with it",
            Self::Construction => "how it is built",
            Self::Length => "how long it is",
            Self::EndA => "the first-stage end",
            Self::EndB => "the far end",
            Self::Made => "when it was made",
            Self::Bought => "when it was bought",
            Self::InService => "since when it is in service",
            Self::Maker => "the maker",
            Self::Lot => "the lot",
            Self::Model => "the model",
            Self::Oxygen => "whether it is cleaned for oxygen",
            Self::Note => "a note",
            Self::Branch => "the branch",
            Self::Ticket => "the ticket of a customer",
            Self::Protector => "whether it has a protector",
            Self::Tag => "the tag",
            Self::Number => "the number",
            Self::Quantity => "how many there are",
            Self::Set => "the set",
            Self::Port => "the port",
            Self::FullOn => "when it was last inspected fully",
            Self::FullBy => "who inspected it fully",
            Self::LeakOn => "when it last passed a leak test",
            Self::LeakPressure => "the pressure of that leak test",
            Self::Dives => "how many dives it has",
        }
    }
}

//! What a hose is: its service, construction, fittings and specification.

mod fitting;
mod label;
mod origin;
mod prose;
mod specification;
mod ticket;

pub use fitting::{FITTINGS, Fitting};
pub use label::Label;
pub use origin::{Origin, Owner, Particulars};
pub use prose::Prose;
pub use specification::Specification;
pub use ticket::ticket;

use chrono::NaiveDate;
use thiserror::Error;

/// Why a hose cannot be described as asked.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum HoseError {
    /// A text that is no ticket.
    #[error(
        "a ticket is a number, such as 4711 or T-17, and never a person's name: digits, with up \
         to three letters and - / . between them"
    )]
    NoTicket,
    /// A word that is none of the choices.
    #[error("“{typed}” is not a {what}; understood are {choices}")]
    UnknownWord {
        /// What was typed.
        typed: String,
        /// What the word should name.
        what: &'static str,
        /// The words understood.
        choices: String,
    },
    /// A fitting that this service does not have at this end.
    #[error("a {service} hose cannot have {fitting} at end {end}; it has {choices}")]
    ImpossibleFitting {
        /// The service.
        service: Service,
        /// The fitting asked for.
        fitting: String,
        /// The end.
        end: End,
        /// What is possible there.
        choices: &'static str,
    },
    /// A proprietary fitting without a description.
    #[error("a proprietary fitting needs a text to tell it from others; write proprietary:TEXT")]
    UnnamedProprietary,
    /// Made or bought after today.
    #[error("{what} {date} is after today, {today}; correct the date, or this device's clock")]
    InTheFuture {
        /// Which date.
        what: &'static str,
        /// The date given.
        date: String,
        /// Today.
        today: NaiveDate,
    },
    /// Two dates in an impossible order.
    #[error("{later_what} {later} is before {earlier_what} {earlier}; correct one of the two")]
    WrongOrder {
        /// What should come first.
        earlier_what: &'static str,
        /// When that was.
        earlier: String,
        /// What should come second.
        later_what: &'static str,
        /// When that was.
        later: String,
    },
    /// A text that is empty, too long or not printable.
    #[error("{what} must be 1 to {most} printable characters")]
    BadText {
        /// What the text is for.
        what: &'static str,
        /// The greatest length in characters.
        most: usize,
    },
}

/// Writes an enum of fixed words with its spelling, parser and list in one table.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident, $what:literal, { $($(#[$vmeta:meta])* $variant:ident = $word:literal $(| $alias:literal)*),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, ::serde::Serialize, ::serde::Deserialize)]
        pub enum $name { $($(#[$vmeta])* #[serde(rename = $word)] $variant),+ }

        impl $name {
            /// Every one of them, in the order in which they are listed to people.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word for it, on the command line and in the record.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl ::std::fmt::Display for $name {
            fn fmt(&self, f: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                f.pad(self.word())
            }
        }

        impl ::std::str::FromStr for $name {
            type Err = $crate::hose::HoseError;

            fn from_str(typed: &str) -> Result<Self, Self::Err> {
                let folded = typed.trim().to_lowercase().replace(['_', ' '], "-");
                match folded.as_str() {
                    $($word $(| $alias)* => Ok(Self::$variant),)+
                    _ => Err($crate::hose::HoseError::UnknownWord {
                        typed: typed.trim().to_owned(),
                        what: $what,
                        choices: Self::ALL.iter().map(|v| v.word()).collect::<Vec<_>>().join(", "),
                    }),
                }
            }
        }
    };
}

pub(crate) use words;

words!(
    /// What a hose does on the regulator.
    Service, "service", {
        /// Low pressure, to a second stage.
        SecondStage = "second-stage" | "second" | "2nd-stage" | "regulator",
        /// Low pressure, to a jacket, wing or dry suit.
        Inflator = "inflator" | "bcd" | "lpi" | "drysuit" | "dry-suit",
        /// High pressure, to a gauge or transmitter.
        Gauge = "gauge" | "hp" | "spg",
    }
);

words!(
    /// How the hose is built.
    Construction, "construction", {
        /// A rubber cover over a textile reinforcement.
        Rubber = "rubber",
        /// A braid of threads outside.
        Braided = "braided" | "braid",
    }
);

words!(
    /// One of the two ends of a hose.
    End, "end of a hose", {
        /// The end at the first stage.
        A = "a",
        /// The far end.
        B = "b",
    }
);

words!(
    /// The pressure that a first stage's port gives.
    Pressure, "kind of port", {
        /// High pressure, straight from the cylinder.
        High = "HP" | "hp" | "high",
        /// Low pressure, from the first stage.
        Low = "LP" | "lp" | "low",
    }
);

words!(
    /// A unified inch thread of the trade (ASME B1.1).
    Thread, "thread", {
        /// Low-pressure ports nearly always.
        Unf3_8x24 = "3/8-24" | "3/8-24-unf" | "3/8\"-24" | "3/8\"-24-unf",
        /// Low-pressure ports of a few designs.
        Unf1_2x20 = "1/2-20" | "1/2-20-unf" | "1/2\"-20" | "1/2\"-20-unf",
        /// High-pressure ports always, and swivels at gauges.
        Unf7_16x20 = "7/16-20" | "7/16-20-unf" | "7/16\"-20" | "7/16\"-20-unf",
        /// The far end of nearly every second-stage hose.
        Unf9_16x18 = "9/16-18" | "9/16-18-unf" | "9/16\"-18" | "9/16\"-18-unf",
    }
);

words!(
    /// What a port of a first stage is known to give.
    PortKind, "kind of port", {
        /// High pressure.
        High = "HP" | "hp" | "high",
        /// Low pressure.
        Low = "LP" | "lp" | "low",
        /// Nobody can say: an old first stage can have a high-pressure port with
        /// the thread of a low-pressure one.
        Unknown = "unknown" | "p" | "port",
    }
);

impl PortKind {
    /// The pressure, if it is known.
    #[must_use]
    pub const fn pressure(self) -> Option<Pressure> {
        match self {
            Self::High => Some(Pressure::High),
            Self::Low => Some(Pressure::Low),
            Self::Unknown => None,
        }
    }
}

impl From<Pressure> for PortKind {
    fn from(pressure: Pressure) -> Self {
        match pressure {
            Pressure::High => Self::High,
            Pressure::Low => Self::Low,
        }
    }
}

impl Service {
    /// The kind of port that the hose belongs in.
    #[must_use]
    pub const fn pressure(self) -> Pressure {
        match self {
            Self::SecondStage | Self::Inflator => Pressure::Low,
            Self::Gauge => Pressure::High,
        }
    }
}

impl End {
    /// The other end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }
}

words!(
    /// The grease on new O-rings.
    Grease, "grease", {
        /// Approved for oxygen.
        Oxygen = "oxygen",
        /// Any other, as silicone grease.
        Other = "other" | "silicone",
    }
);

#[cfg(test)]
mod tests;

//! What a hose is: its service, construction, fittings and specification.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::measure::{HoseLength, PartialDate};

/// Why a hose cannot be described as asked.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum HoseError {
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
    #[error("{what} {date} lies after today, {today}; correct the date, or this device's clock")]
    InTheFuture {
        /// Which date.
        what: &'static str,
        /// The date given.
        date: String,
        /// Today.
        today: NaiveDate,
    },
    /// Two dates in an order that cannot be.
    #[error("{later_what} {later} lies before {earlier_what} {earlier}; correct one of the two")]
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
    /// The pressure, where it is known.
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

/// A free text of 1 to 80 printable characters, trimmed: a maker, a lot, a name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Label(String);

impl Label {
    /// The greatest length, in characters.
    pub const MOST: usize = 80;

    /// Takes a text as a label; `what` is named in the error.
    ///
    /// # Errors
    /// [`HoseError::BadText`] where it is empty, too long or holds control characters.
    pub fn new(what: &'static str, text: &str) -> Result<Self, HoseError> {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let good = !text.is_empty()
            && text.chars().count() <= Self::MOST
            && !text.chars().any(char::is_control);
        good.then_some(Self(text)).ok_or(HoseError::BadText { what, most: Self::MOST })
    }

    /// Any text as a label: what cannot be in one is left out, and what is too
    /// long is cut.
    #[must_use]
    pub fn clipped(text: &str) -> Self {
        let good: String = text.chars().filter(|c| !c.is_control()).take(Self::MOST).collect();
        let text = good.trim();
        Self(if text.is_empty() { "?".to_owned() } else { text.to_owned() })
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl From<Label> for String {
    fn from(label: Label) -> Self {
        label.0
    }
}

impl TryFrom<String> for Label {
    type Error = HoseError;

    fn try_from(text: String) -> Result<Self, HoseError> {
        Self::new("a text", &text)
    }
}

/// What is at one end of a hose.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Fitting {
    /// A standard thread.
    Thread(Thread),
    /// The quick-disconnect of an inflator.
    QuickDisconnect,
    /// A maker's own fitting or a built-in swivel, told apart by its text.
    Proprietary(Label),
}

impl fmt::Display for Fitting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Thread(thread) => f.pad(thread.word()),
            Self::QuickDisconnect => f.pad("quick-disconnect"),
            Self::Proprietary(text) => write!(f, "proprietary:{text}"),
        }
    }
}

impl From<Fitting> for String {
    fn from(fitting: Fitting) -> Self {
        fitting.to_string()
    }
}

impl TryFrom<String> for Fitting {
    type Error = HoseError;

    fn try_from(typed: String) -> Result<Self, HoseError> {
        typed.parse()
    }
}

/// What a maker's own fitting begins with.
const PROPRIETARY: &str = "proprietary";

impl FromStr for Fitting {
    type Err = HoseError;

    fn from_str(typed: &str) -> Result<Self, HoseError> {
        let text = typed.trim();
        if let Some((word, described)) = text.split_at_checked(PROPRIETARY.len())
            && word.eq_ignore_ascii_case(PROPRIETARY)
        {
            let described = described.trim_start_matches(|c: char| c == ':' || c.is_whitespace());
            return Label::new("a proprietary fitting", described)
                .map(Self::Proprietary)
                .map_err(|_| HoseError::UnnamedProprietary);
        }
        let folded = text.to_lowercase();
        match folded.replace([' ', '_'], "-").as_str() {
            "quick-disconnect" | "qd" | "quick-release" => Ok(Self::QuickDisconnect),
            _ => text.parse().map(Self::Thread).map_err(|_| HoseError::UnknownWord {
                typed: text.to_owned(),
                what: "fitting",
                choices: "3/8-24, 1/2-20, 7/16-20, 9/16-18, quick-disconnect, proprietary:TEXT"
                    .to_owned(),
            }),
        }
    }
}

/// What each service may have at each end: the one table of section 2 of the
/// trade's rules (common practice, no source). A proprietary fitting may stand
/// at any far end.
pub const FITTINGS: &[(Service, End, &[Fitting], &str)] = &[
    (
        Service::SecondStage,
        End::A,
        &[Fitting::Thread(Thread::Unf3_8x24), Fitting::Thread(Thread::Unf1_2x20)],
        "3/8-24 or 1/2-20",
    ),
    (
        Service::SecondStage,
        End::B,
        &[Fitting::Thread(Thread::Unf9_16x18)],
        "9/16-18 or proprietary:TEXT",
    ),
    (
        Service::Inflator,
        End::A,
        &[Fitting::Thread(Thread::Unf3_8x24), Fitting::Thread(Thread::Unf1_2x20)],
        "3/8-24 or 1/2-20",
    ),
    (
        Service::Inflator,
        End::B,
        &[Fitting::QuickDisconnect],
        "quick-disconnect or proprietary:TEXT",
    ),
    (Service::Gauge, End::A, &[Fitting::Thread(Thread::Unf7_16x20)], "7/16-20"),
    (Service::Gauge, End::B, &[Fitting::Thread(Thread::Unf7_16x20)], "7/16-20 or proprietary:TEXT"),
];

/// What a hose is, apart from what has happened to it. It can only be built
/// with fittings that its service has.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Described", into = "Described")]
pub struct Specification {
    service: Service,
    construction: Construction,
    length: HoseLength,
    end_a: Fitting,
    end_b: Fitting,
    protector: bool,
    oxygen: bool,
}

impl Specification {
    /// Describes a hose.
    ///
    /// # Errors
    /// [`HoseError::ImpossibleFitting`] where the service has no such end.
    pub fn new(
        service: Service,
        construction: Construction,
        length: HoseLength,
        end_a: Fitting,
        end_b: Fitting,
        protector: bool,
    ) -> Result<Self, HoseError> {
        for (end, fitting) in [(End::A, &end_a), (End::B, &end_b)] {
            check_fitting(service, end, fitting)?;
        }
        Ok(Self { service, construction, length, end_a, end_b, protector, oxygen: false })
    }

    /// The same hose, cleaned for oxygen or not.
    #[must_use]
    pub fn cleaned_for_oxygen(self, oxygen: bool) -> Self {
        Self { oxygen, ..self }
    }

    /// What the hose does.
    #[must_use]
    pub const fn service(&self) -> Service {
        self.service
    }

    /// How it is built.
    #[must_use]
    pub const fn construction(&self) -> Construction {
        self.construction
    }

    /// How long it is.
    #[must_use]
    pub const fn length(&self) -> &HoseLength {
        &self.length
    }

    /// The fitting at an end.
    #[must_use]
    pub const fn fitting(&self, end: End) -> &Fitting {
        match end {
            End::A => &self.end_a,
            End::B => &self.end_b,
        }
    }

    /// Whether a sleeve covers an end.
    #[must_use]
    pub const fn protector(&self) -> bool {
        self.protector
    }

    /// Whether it is cleaned for oxygen.
    #[must_use]
    pub const fn oxygen(&self) -> bool {
        self.oxygen
    }

    /// Whether its cover may have pinpricks that let trapped gas out.
    #[must_use]
    pub fn has_pinpricks(&self) -> bool {
        self.service == Service::Gauge && self.construction == Construction::Rubber
    }
}

impl fmt::Display for Specification {
    /// `braided second-stage hose, 22 in, 3/8-24 to 9/16-18`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { service, construction, length, end_a, end_b, .. } = self;
        write!(f, "{construction} {service} hose, {length}, {end_a} to {end_b}")
    }
}

fn check_fitting(service: Service, end: End, fitting: &Fitting) -> Result<(), HoseError> {
    let row = FITTINGS.iter().find(|(s, e, _, _)| *s == service && *e == end);
    let (known, choices) = row.map_or((&[][..], ""), |(_, _, known, choices)| (*known, *choices));
    let own = end == End::B && matches!(fitting, Fitting::Proprietary(_));
    if own || known.contains(fitting) {
        return Ok(());
    }
    Err(HoseError::ImpossibleFitting { service, fitting: fitting.to_string(), end, choices })
}

/// A specification as it is written down, before it is known to be possible.
#[derive(Serialize, Deserialize)]
struct Described {
    service: Service,
    construction: Construction,
    length: HoseLength,
    end_a: Fitting,
    end_b: Fitting,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    protector: bool,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    oxygen: bool,
}

impl TryFrom<Described> for Specification {
    type Error = HoseError;

    fn try_from(d: Described) -> Result<Self, HoseError> {
        let made = Self::new(d.service, d.construction, d.length, d.end_a, d.end_b, d.protector)?;
        Ok(made.cleaned_for_oxygen(d.oxygen))
    }
}

impl From<Specification> for Described {
    fn from(s: Specification) -> Self {
        Self {
            service: s.service,
            construction: s.construction,
            length: s.length,
            end_a: s.end_a,
            end_b: s.end_b,
            protector: s.protector,
            oxygen: s.oxygen,
        }
    }
}

/// Where a hose came from and since when it is in use; each may be unknown.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Origin {
    /// When it was made, as far as its mark says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<PartialDate>,
    /// When it was bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bought: Option<PartialDate>,
    /// Since when it was in service before it had a record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_service: Option<PartialDate>,
    /// The maker's name as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<Label>,
    /// The lot as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<Label>,
    /// The model as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<Label>,
    /// What the shop says of it. No verdict rests on it but where it fits.
    #[serde(flatten)]
    pub own: Particulars,
}

/// Whose a hose or a set is.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Owner {
    /// The centre's own.
    #[default]
    Centre,
    /// A customer's, in for service under a ticket: a number, never a person.
    Ticket(Label),
}

impl Owner {
    /// The ticket under which a customer's is in.
    #[must_use]
    pub const fn ticket(&self) -> Option<&Label> {
        match self {
            Self::Centre => None,
            Self::Ticket(ticket) => Some(ticket),
        }
    }

    /// The owner whom a ticket names; nothing is the centre.
    #[must_use]
    pub fn of_ticket(ticket: Option<Label>) -> Self {
        ticket.map_or(Self::Centre, Self::Ticket)
    }
}

impl fmt::Display for Owner {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Centre => f.pad("the centre's"),
            Self::Ticket(ticket) => write!(f, "a customer's, ticket {ticket}"),
        }
    }
}

/// What a shop says of a hose of its own accord.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Particulars {
    /// Its own number for it, as `LP-17`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// A note.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Label>,
    /// Whose it is; nothing is the centre's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<Owner>,
}

impl Particulars {
    /// The greatest length of an own number, in characters.
    pub const NUMBER_MOST: usize = 20;

    /// Takes a text as a shop's own number: short, so that it can be called out.
    ///
    /// # Errors
    /// [`HoseError::BadText`] where it is empty, too long or not printable.
    pub fn own_number(text: &str) -> Result<Label, HoseError> {
        let (what, most) = ("a number of one's own", Self::NUMBER_MOST);
        let label = Label::new(what, text).ok();
        label
            .filter(|label| label.as_str().chars().count() <= most)
            .ok_or(HoseError::BadText { what, most })
    }

    /// Whose it is.
    #[must_use]
    pub fn owner(&self) -> Owner {
        self.owner.clone().unwrap_or_default()
    }
}

impl Origin {
    /// The date from which its age is judged: made, else bought, since the hose
    /// is at least that old.
    #[must_use]
    pub fn born(&self) -> Option<PartialDate> {
        self.made.or(self.bought)
    }

    /// Checks that nothing lies in the future and that it was made before it
    /// was bought or used.
    ///
    /// # Errors
    /// [`HoseError::InTheFuture`] or [`HoseError::WrongOrder`].
    pub fn check(&self, today: NaiveDate) -> Result<(), HoseError> {
        let dates =
            [("made", self.made), ("bought", self.bought), ("in service since", self.in_service)];
        for (what, date) in dates {
            if let Some(date) = date.filter(|d| d.earliest() > today) {
                return Err(HoseError::InTheFuture { what, date: date.to_string(), today });
            }
        }
        let [made, bought, used] = dates;
        for (earlier, later) in [(made, bought), (made, used)] {
            if let (Some(first), Some(second)) = (earlier.1, later.1)
                && second.latest() < first.earliest()
            {
                return Err(HoseError::WrongOrder {
                    earlier_what: earlier.0,
                    earlier: first.to_string(),
                    later_what: later.0,
                    later: second.to_string(),
                });
            }
        }
        Ok(())
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

//! The passport: what a tag says of its hose, in 44 bits.
//!
//! From the highest bit down: service 2, construction 1, unit of length 1,
//! length 10, end A 3, end B 3, protector 1, born 11, born is made 1, fitted 11,
//! all written as 9 base-32 characters of which the highest bit stays 0.
//!
//! A service of 3 is none of a hose's: with all other bits 0 it says that the tag
//! is a set's.
//!
//! A date is 0 for unknown, else 1 + 13 · (year − 1950) + month, with month 0
//! where only the year is known; years 1950 to 2106. A day is written as its
//! month, and a year outside of these as unknown.

use std::fmt;

use chrono::Datelike;
use uom::si::f64::Length;
use uom::si::length::{centimeter, inch};

use crate::hose::{Construction, End, FITTINGS, Fitting, Service, Specification, Thread};
use crate::measure::{HoseLength, PartialDate};

/// The unit in which a length is rounded on a tag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LengthUnit {
    /// Centimetres.
    Centimetre,
    /// Inches of 25.4 mm.
    Inch,
}

/// A hose's length as its tag says it: rounded to whole centimetres, or to whole
/// inches where it was entered in inches or feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AboutLength {
    count: u16,
    unit: LengthUnit,
}

/// What is at an end, as far as a tag says it: a maker's own fitting is known
/// only as such.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FittingKind {
    /// A standard thread.
    Thread(Thread),
    /// The quick-disconnect of an inflator.
    QuickDisconnect,
    /// Some maker's own; the record says whose.
    Proprietary,
}

/// What a tag says of its hose. It can only be one that a hose can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Passport {
    service: Service,
    construction: Construction,
    length: AboutLength,
    ends: [FittingKind; 2],
    protector: bool,
    born: Option<PartialDate>,
    born_is_made: bool,
    fitted: Option<PartialDate>,
}

/// Every fitting that a tag can name, by its number there.
const KINDS: [FittingKind; 6] = [
    FittingKind::Thread(Thread::Unf3_8x24),
    FittingKind::Thread(Thread::Unf1_2x20),
    FittingKind::Thread(Thread::Unf7_16x20),
    FittingKind::Thread(Thread::Unf9_16x18),
    FittingKind::QuickDisconnect,
    FittingKind::Proprietary,
];
const SERVICES: [Service; 3] = [Service::SecondStage, Service::Inflator, Service::Gauge];
const CONSTRUCTIONS: [Construction; 2] = [Construction::Rubber, Construction::Braided];
const UNITS: [LengthUnit; 2] = [LengthUnit::Centimetre, LengthUnit::Inch];
const FIRST_YEAR: i32 = 1950;

/// What a set's tag says: a service that no hose has.
pub(super) const OF_SET: [u8; Passport::LENGTH] = [0b0_1100, 0, 0, 0, 0, 0, 0, 0, 0];
/// What a badge says: the same, and that it is a person's.
pub(super) const OF_PERSON: [u8; Passport::LENGTH] = [0b0_1100, 1, 0, 0, 0, 0, 0, 0, 0];

impl Passport {
    /// How many base-32 characters it takes.
    pub const LENGTH: usize = 9;

    /// What a tag will say of a hose. `born` is when it was made, or bought
    /// where `born_is_made` is false; `fitted` is since when it is in service.
    /// Dates are kept to the month and the length to the centimetre or inch.
    #[must_use]
    pub fn of(
        specification: &Specification,
        born: Option<PartialDate>,
        born_is_made: bool,
        fitted: Option<PartialDate>,
    ) -> Self {
        let born = born.and_then(to_month);
        Self {
            service: specification.service(),
            construction: specification.construction(),
            length: AboutLength::of(specification.length()),
            ends: [End::A, End::B].map(|end| FittingKind::of(specification.fitting(end))),
            protector: specification.protector(),
            born,
            born_is_made: born_is_made && born.is_some(),
            fitted: fitted.and_then(to_month),
        }
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

    /// About how long it is.
    #[must_use]
    pub const fn length(&self) -> AboutLength {
        self.length
    }

    /// What is at an end.
    #[must_use]
    pub const fn fitting(&self, end: End) -> FittingKind {
        match end {
            End::A => self.ends[0],
            End::B => self.ends[1],
        }
    }

    /// Whether a sleeve covers an end.
    #[must_use]
    pub const fn protector(&self) -> bool {
        self.protector
    }

    /// When it was made or, where [`Passport::born_is_made`] is false, bought;
    /// a year or a month.
    #[must_use]
    pub const fn born(&self) -> Option<PartialDate> {
        self.born
    }

    /// Whether [`Passport::born`] is the day on which it was made.
    #[must_use]
    pub const fn born_is_made(&self) -> bool {
        self.born_is_made
    }

    /// Since when it is in service, a year or a month.
    #[must_use]
    pub const fn fitted(&self) -> Option<PartialDate> {
        self.fitted
    }

    /// Its base-32 values, highest first.
    pub(super) fn characters(&self) -> [u8; Self::LENGTH] {
        let [end_a, end_b] = self.ends.map(|kind| number(&KINDS, kind));
        let fields = [
            (2, number(&SERVICES, self.service)),
            (1, number(&CONSTRUCTIONS, self.construction)),
            (1, number(&UNITS, self.length.unit)),
            (10, u64::from(self.length.count)),
            (3, end_a),
            (3, end_b),
            (1, u64::from(self.protector)),
            (11, date_number(self.born)),
            (1, u64::from(self.born_is_made)),
            (11, date_number(self.fitted)),
        ];
        let bits = fields.iter().fold(0, |bits, (width, value)| bits << width | value);
        let mut at = Self::LENGTH;
        [(); Self::LENGTH].map(|()| {
            at -= 1;
            u8::try_from(bits >> (5 * at) & 31).unwrap_or(0)
        })
    }

    /// Reads its base-32 values; `None` if no hose is like that.
    pub(super) fn from_characters(values: &[u8]) -> Option<Self> {
        let mut bits = Bits(values.iter().fold(0, |bits, v| bits << 5 | u64::from(*v)));
        let fitted = date_of(bits.take(11))?;
        let born_is_made = bits.take(1) == 1;
        let born = date_of(bits.take(11))?;
        let protector = bits.take(1) == 1;
        let end_b = pick(&KINDS, bits.take(3))?;
        let end_a = pick(&KINDS, bits.take(3))?;
        let count = u16::try_from(bits.take(10)).ok()?;
        let length = AboutLength { count, unit: pick(&UNITS, bits.take(1))? };
        let construction = pick(&CONSTRUCTIONS, bits.take(1))?;
        let service = pick(&SERVICES, bits.take(2))?;
        let ends = [end_a, end_b];
        let possible = bits.0 == 0
            && length.is_possible()
            && (born.is_some() || !born_is_made)
            && fits(service, End::A, end_a)
            && fits(service, End::B, end_b);
        possible.then_some(Self {
            service,
            construction,
            length,
            ends,
            protector,
            born,
            born_is_made,
            fitted,
        })
    }
}

/// Bits from which fields are taken, lowest first.
struct Bits(u64);

impl Bits {
    fn take(&mut self, width: u32) -> u64 {
        let taken = self.0 & ((1 << width) - 1);
        self.0 >>= width;
        taken
    }
}

fn number<T: PartialEq>(table: &[T], value: T) -> u64 {
    let at = table.iter().position(|v| *v == value);
    at.and_then(|at| u64::try_from(at).ok()).unwrap_or(0)
}

fn pick<T: Copy>(table: &[T], number: u64) -> Option<T> {
    table.get(usize::try_from(number).ok()?).copied()
}

fn fits(service: Service, end: End, kind: FittingKind) -> bool {
    let own = end == End::B && kind == FittingKind::Proprietary;
    let row = FITTINGS.iter().find(|(s, e, ..)| *s == service && *e == end);
    own || row.is_some_and(|(_, _, known, _)| known.iter().any(|f| FittingKind::of(f) == kind))
}

fn to_month(date: PartialDate) -> Option<PartialDate> {
    let date = match date {
        PartialDate::Year(_) | PartialDate::Month { .. } => date,
        // The older end, on which limits are judged.
        PartialDate::Quarter { .. } | PartialDate::Week { .. } | PartialDate::Day(_) => {
            let day = date.earliest();
            PartialDate::Month { year: day.year(), month: day.month() }
        }
    };
    (date_number(Some(date)) > 0).then_some(date)
}

fn date_number(date: Option<PartialDate>) -> u64 {
    let (year, month) = match date {
        None => return 0,
        Some(PartialDate::Year(year)) => (year, 0),
        Some(PartialDate::Month { year, month }) => (year, month),
        Some(other) => (other.earliest().year(), other.earliest().month()),
    };
    let since = u64::try_from(year - FIRST_YEAR).ok().filter(|y| *y <= 156);
    since.map_or(0, |y| 1 + 13 * y + u64::from(month))
}

/// The date of a number: `None` if there is none, `Some(None)` for unknown.
fn date_of(number: u64) -> Option<Option<PartialDate>> {
    let Some(number) = number.checked_sub(1) else { return Some(None) };
    let year = FIRST_YEAR + i32::try_from(number / 13).ok().filter(|y| *y <= 156)?;
    let date = match u32::try_from(number % 13).ok()? {
        0 => PartialDate::Year(year),
        month => PartialDate::Month { year, month },
    };
    Some(Some(date))
}

impl AboutLength {
    /// A length as a tag says it.
    #[must_use]
    pub fn of(length: &HoseLength) -> Self {
        let typed = length.as_typed().to_lowercase();
        let imperial = typed.contains(['"', '″', '”', '\'', '′'])
            || ["in", "ft", "feet", "foot"].iter().any(|unit| typed.contains(unit));
        let unit = if imperial { LengthUnit::Inch } else { LengthUnit::Centimetre };
        let whole = match unit {
            LengthUnit::Inch => length.quantity().get::<inch>(),
            LengthUnit::Centimetre => length.quantity().get::<centimeter>(),
        };
        // A hose is 5 cm to 10 m long, so the search always ends within.
        let count = (0..=1000_u16).find(|n| f64::from(*n) + 0.5 > whole).unwrap_or(1000);
        Self { count, unit }
    }

    /// How many of the unit, rounded.
    #[must_use]
    pub const fn count(self) -> u16 {
        self.count
    }

    /// The unit.
    #[must_use]
    pub const fn unit(self) -> LengthUnit {
        self.unit
    }

    /// The rounded length as a quantity.
    #[must_use]
    pub fn quantity(self) -> Length {
        match self.unit {
            LengthUnit::Centimetre => Length::new::<centimeter>(f64::from(self.count)),
            LengthUnit::Inch => Length::new::<inch>(f64::from(self.count)),
        }
    }

    /// Whether a hose can round to it: 5 cm to 10 m.
    fn is_possible(self) -> bool {
        match self.unit {
            LengthUnit::Centimetre => (5..=1000).contains(&self.count),
            LengthUnit::Inch => (2..=394).contains(&self.count),
        }
    }
}

impl fmt::Display for AboutLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self.unit {
            LengthUnit::Centimetre => "cm",
            LengthUnit::Inch => "in",
        };
        write!(f, "about {} {unit}", self.count)
    }
}

impl FittingKind {
    /// A fitting as a tag says it.
    #[must_use]
    pub const fn of(fitting: &Fitting) -> Self {
        match fitting {
            Fitting::Thread(thread) => Self::Thread(*thread),
            Fitting::QuickDisconnect => Self::QuickDisconnect,
            Fitting::Proprietary(_) => Self::Proprietary,
        }
    }
}

impl fmt::Display for FittingKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Thread(thread) => f.pad(thread.word()),
            Self::QuickDisconnect => f.pad("quick-disconnect"),
            Self::Proprietary => f.pad("a maker's own fitting"),
        }
    }
}

impl fmt::Display for Passport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [end_a, end_b] = self.ends;
        write!(
            f,
            "{} hose, {}, {}, {end_a} to {end_b}",
            self.service, self.construction, self.length
        )?;
        if self.protector {
            f.write_str(", with a protector")?;
        }
        if let Some(born) = self.born {
            write!(f, ", {} {born}", if self.born_is_made { "made" } else { "bought" })?;
        }
        self.fitted.map_or(Ok(()), |fitted| write!(f, ", in service since {fitted}"))
    }
}

//! Lengths and pressures: what was typed, and the quantity it stands for.

use std::fmt;

use serde::{Deserialize, Serialize};
use uom::si::f64::{Length, Pressure};
use uom::si::length::{centimeter, foot, inch, meter, millimeter};
use uom::si::pressure::{bar, kilopascal, megapascal, pascal, psi};

use super::{MeasureError, Units, number::split_number};

/// One row of a table of units: the spellings understood, the first being the
/// one that is shown, and how many of the base unit it is.
pub(crate) struct Unit<Q> {
    pub(crate) spellings: &'static [&'static str],
    pub(crate) quantity: fn(f64) -> Q,
}

/// What a quantity is called in errors.
pub(crate) struct Kind {
    pub(crate) quantity: &'static str,
    pub(crate) what: &'static str,
    pub(crate) examples: &'static str,
}

/// The greatest number of any unit: what is larger is a slip, and could be too
/// large for a quantity once it is turned into the base unit.
const MOST: f64 = 1e9;

impl<Q> Unit<Q> {
    /// The one of a table that is spelled so.
    fn spelled<'t>(table: &'t [Self], unit: &str) -> Option<&'t Self> {
        let folded = unit.to_lowercase();
        table.iter().find(|row| row.spellings.iter().any(|s| s.to_lowercase() == folded))
    }
}

/// Which units a quantity was written in.
fn written_in<Q>(typed: &str, table: &[Unit<Q>]) -> Units {
    let row = split_number(typed).and_then(|(_, unit)| Unit::spelled(table, unit));
    match row.and_then(|row| row.spellings.first()) {
        Some(&("in" | "ft" | "psi")) => Units::Us,
        _ => Units::Metric,
    }
}

/// Reads a number and a unit from `table`.
pub(crate) fn parse<Q>(typed: &str, kind: &Kind, table: &[Unit<Q>]) -> Result<Q, MeasureError> {
    let shown = typed.trim();
    let (value, unit) = split_number(typed).ok_or_else(|| MeasureError::NotANumber {
        typed: shown.to_owned(),
        what: kind.what,
        examples: kind.examples,
    })?;
    if unit.is_empty() {
        return Err(MeasureError::NoUnit { typed: shown.to_owned(), units: known_units(table) });
    }
    if value.abs() > MOST {
        return Err(MeasureError::OutOfRange {
            typed: shown.to_owned(),
            what: kind.quantity,
            least: "-1000000000",
            most: "1000000000 of any unit",
        });
    }
    Unit::spelled(table, unit).map(|row| (row.quantity)(value)).ok_or_else(|| {
        MeasureError::UnknownUnit {
            unit: unit.to_owned(),
            quantity: kind.quantity,
            units: known_units(table),
        }
    })
}

fn known_units<Q>(table: &[Unit<Q>]) -> String {
    let first: Vec<&str> = table.iter().filter_map(|row| row.spellings.first().copied()).collect();
    first.join(", ")
}

const LENGTH: Kind =
    Kind { quantity: "length", what: "a length", examples: "56 cm, 560 mm, 22 in or 22 1/2\"" };

const LENGTH_UNITS: &[Unit<Length>] = &[
    Unit {
        spellings: &["cm", "centimeter", "centimetre", "centimeters", "centimetres", "cms"],
        quantity: Length::new::<centimeter>,
    },
    Unit {
        spellings: &["mm", "millimeter", "millimetre", "millimeters", "millimetres"],
        quantity: Length::new::<millimeter>,
    },
    Unit {
        spellings: &["m", "meter", "metre", "meters", "metres"],
        quantity: Length::new::<meter>,
    },
    Unit {
        spellings: &["in", "\"", "''", "″", "”", "inch", "inches", "in.", "ins"],
        quantity: Length::new::<inch>,
    },
    Unit { spellings: &["ft", "'", "′", "foot", "feet", "ft."], quantity: Length::new::<foot> },
];

/// Reads a length such as `56 cm`, `22"` or `9/16 in`; any sign, up to
/// 1,000,000,000 of the unit.
///
/// # Errors
/// [`MeasureError`] if no number leads, it is too large, or the unit is
/// missing or unknown.
pub fn parse_length(typed: &str) -> Result<Length, MeasureError> {
    parse(typed, &LENGTH, LENGTH_UNITS)
}

const PRESSURE: Kind =
    Kind { quantity: "pressure", what: "a pressure", examples: "200 bar, 3000 psi or 20 MPa" };

const PRESSURE_UNITS: &[Unit<Pressure>] = &[
    Unit { spellings: &["bar", "bars"], quantity: Pressure::new::<bar> },
    Unit { spellings: &["psi", "psig", "lbf/in2", "lbf/in²"], quantity: Pressure::new::<psi> },
    Unit { spellings: &["MPa"], quantity: Pressure::new::<megapascal> },
    Unit { spellings: &["kPa"], quantity: Pressure::new::<kilopascal> },
    Unit { spellings: &["Pa"], quantity: Pressure::new::<pascal> },
];

/// Reads a pressure such as `200 bar`, `3000psi` or `20 MPa`; any sign, up to
/// 1,000,000,000 of the unit.
///
/// # Errors
/// [`MeasureError`] if no number leads, it is too large, or the unit is
/// missing or unknown.
pub fn parse_pressure(typed: &str) -> Result<Pressure, MeasureError> {
    parse(typed, &PRESSURE, PRESSURE_UNITS)
}

/// The length of a hose, 5 cm to 10 m, kept as it was entered. The bounds are
/// common practice, no source: they catch a slipped unit, not a rare hose.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct HoseLength {
    typed: String,
    quantity: Length,
    units: Units,
}

impl HoseLength {
    /// Reads a hose length as people write it.
    ///
    /// # Errors
    /// [`MeasureError`] if it is not a length, or not one of a hose.
    pub fn parse(typed: &str) -> Result<Self, MeasureError> {
        let quantity = parse_length(typed)?;
        let metres = quantity.get::<meter>();
        if !(0.05..=10.0).contains(&metres) {
            return Err(MeasureError::OutOfRange {
                typed: typed.trim().to_owned(),
                what: "hose length",
                least: "5 cm",
                most: "10 m",
            });
        }
        Ok(Self { typed: tidy(typed), quantity, units: Units::AsWritten })
    }

    /// The length as a quantity.
    #[must_use]
    pub fn quantity(&self) -> Length {
        self.quantity
    }

    /// The length as it was entered.
    #[must_use]
    pub fn as_typed(&self) -> &str {
        &self.typed
    }

    /// In the units that it is shown in, without what was entered.
    #[must_use]
    pub fn briefly(&self) -> String {
        self.converted().unwrap_or_else(|| self.typed.clone())
    }

    /// How far another length is from this one, in the units that this one is shown in.
    #[must_use]
    pub fn apart(&self, other: &Self) -> String {
        self.units.apart((other.quantity - self.quantity).abs())
    }

    fn converted(&self) -> Option<String> {
        self.units.length(self.quantity, written_in(&self.typed, LENGTH_UNITS))
    }
}

/// The gauge pressure of a leak test, above 0 and up to 500 bar, kept as it was
/// entered. The upper bound is common practice, no source.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct TestPressure {
    typed: String,
    quantity: Pressure,
    units: Units,
}

impl TestPressure {
    /// Reads a test pressure as people write it. A number from 40 to 300 alone is in bar:
    /// no cylinder has so little in psi, or so much in MPa.
    ///
    /// # Errors
    /// [`MeasureError`] if it is not a pressure, or not one of a test.
    pub fn parse(typed: &str) -> Result<Self, MeasureError> {
        let in_bar = split_number(typed)
            .filter(|(number, unit)| unit.is_empty() && (40.0..=300.0).contains(number));
        let with_unit = in_bar.map(|_| format!("{} bar", typed.trim()));
        let typed = with_unit.as_deref().unwrap_or(typed);
        let quantity = parse_pressure(typed)?;
        let in_bar = quantity.get::<bar>();
        if !(in_bar > 0.0 && in_bar <= 500.0) {
            return Err(MeasureError::OutOfRange {
                typed: typed.trim().to_owned(),
                what: "test pressure",
                least: "just above 0 bar",
                most: "500 bar",
            });
        }
        Ok(Self { typed: tidy(typed), quantity, units: Units::AsWritten })
    }

    /// The pressure as a quantity.
    #[must_use]
    pub fn quantity(&self) -> Pressure {
        self.quantity
    }

    /// The pressure as it was entered.
    #[must_use]
    pub fn as_typed(&self) -> &str {
        &self.typed
    }

    fn converted(&self) -> Option<String> {
        self.units.pressure(self.quantity, written_in(&self.typed, PRESSURE_UNITS))
    }
}

/// Single spaces, none at the ends: the one liberty taken with what was typed.
fn tidy(typed: &str) -> String {
    typed.split_whitespace().collect::<Vec<_>>().join(" ")
}

macro_rules! as_typed_text {
    ($name:ident) => {
        impl $name {
            /// The same, shown in these units. It is stored and exported as it was entered.
            #[must_use]
            pub fn in_units(self, units: Units) -> Self {
                Self { units, ..self }
            }
        }

        /// How it is shown is not what it is.
        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.typed == other.typed && self.quantity == other.quantity
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match self.converted() {
                    Some(words) => write!(f, "{words} ({} as written)", self.typed),
                    None => f.write_str(&self.typed),
                }
            }
        }

        impl From<$name> for String {
            fn from(value: $name) -> Self {
                value.typed
            }
        }

        impl TryFrom<String> for $name {
            type Error = MeasureError;

            fn try_from(typed: String) -> Result<Self, MeasureError> {
                Self::parse(&typed)
            }
        }

        impl std::str::FromStr for $name {
            type Err = MeasureError;

            fn from_str(typed: &str) -> Result<Self, MeasureError> {
                Self::parse(typed)
            }
        }
    };
}

as_typed_text!(HoseLength);
as_typed_text!(TestPressure);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_as_shops_write_them() {
        // 1 in = 25.4 mm and 1 ft = 0.3048 m exactly (NIST SP 811, appendix B).
        let table = [
            ("56 cm", 560.0),
            ("56cm", 560.0),
            ("56,5 CM", 565.0),
            ("22\"", 558.8),
            ("22 in", 558.8),
            ("22 inches", 558.8),
            ("22 1/2 in", 571.5),
            ("22″", 558.8),
            ("0.56 m", 560.0),
            ("2 ft", 609.6),
            ("560mm", 560.0),
        ];
        for (typed, expected) in table {
            let length = HoseLength::parse(typed).map(|l| l.quantity().get::<millimeter>());
            assert!(length.is_ok_and(|l| (l - expected).abs() < 1e-9), "{typed}");
        }
    }

    #[test]
    fn a_unit_typo_lists_what_is_understood() {
        let said = HoseLength::parse("56 cn").err().map(|e| e.to_string()).unwrap_or_default();
        assert_eq!(said, "“cn” is not a unit of length; understood are cm, mm, m, in, ft");
        let said = HoseLength::parse("56").err().map(|e| e.to_string()).unwrap_or_default();
        assert_eq!(said, "“56” has no unit; understood are cm, mm, m, in, ft");
    }

    #[test]
    fn senseless_measures_are_refused() {
        for typed in ["-56 cm", "0 cm", "4.9 cm", "10.1 m", "56 km", "", "cm", "1e3 cm", "NaN cm"] {
            assert!(HoseLength::parse(typed).is_err(), "{typed}");
        }
        for typed in ["0 bar", "-3 bar", "501 bar", "39", "301", "3000", "200 barr"] {
            assert!(TestPressure::parse(typed).is_err(), "{typed}");
        }
    }

    #[test]
    fn a_pressure_without_a_unit_is_in_bar_if_it_can_be_nothing_else() {
        for (typed, kept) in [("200", "200 bar"), ("40", "40 bar"), ("232,5", "232,5 bar")] {
            assert_eq!(TestPressure::parse(typed).map(String::from), Ok(kept.to_owned()));
        }
    }

    /// A number of 309 digits is infinite as a binary one, and one of 304 is so
    /// in pascals.
    #[test]
    fn endless_numbers_are_refused() {
        let megapascals = format!("{} MPa", "9".repeat(304));
        let metres = format!("-{} m", "9".repeat(309));
        assert!(parse_pressure(&megapascals).is_err());
        assert!(parse_length(&metres).is_err());
        assert!(parse_length("1000000000 ft").is_ok());
        let said = parse_length("1000000001 m").err().map(|e| e.to_string()).unwrap_or_default();
        assert_eq!(
            said,
            "1000000001 m is not a sensible length: it must be between -1000000000 and \
             1000000000 of any unit"
        );
    }

    #[test]
    fn what_was_typed_is_kept() {
        let length = HoseLength::parse("  22   in ").map(String::from);
        assert_eq!(length, Ok("22 in".to_owned()));
    }
}

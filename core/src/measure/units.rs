//! The units in which people read lengths and pressures. What was written is kept as it is,
//! and stands beside what was converted.

use std::fmt;
use std::str::FromStr;

use uom::si::f64::{Length, Pressure};
use uom::si::length::{centimeter, inch};
use uom::si::pressure::{bar, psi};

use super::MeasureError;

/// The units in which lengths and pressures are shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Units {
    /// As each was written.
    #[default]
    AsWritten,
    /// Centimetres and bar.
    Metric,
    /// Inches and pounds-force a square inch.
    Us,
}

impl Units {
    /// Every one of them, in the order in which they are listed to people.
    pub const ALL: [Self; 3] = [Self::AsWritten, Self::Metric, Self::Us];

    /// The word for them.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::AsWritten => "as-written",
            Self::Metric => "metric",
            Self::Us => "us",
        }
    }

    /// A length in these units, if it is to be converted: to the centimetre, or to half an
    /// inch, as hoses are sold (common practice, no source).
    pub(super) fn length(self, length: Length, written: Self) -> Option<String> {
        match self {
            Self::Metric if written == Self::Us => {
                Some(format!("{:.0} cm", length.get::<centimeter>()))
            }
            Self::Us if written == Self::Metric => {
                Some(format!("{} in", (2.0 * length.get::<inch>()).round() / 2.0))
            }
            _ => None,
        }
    }

    /// A pressure in these units, if it is to be converted: to one bar or psi.
    pub(super) fn pressure(self, pressure: Pressure, written: Self) -> Option<String> {
        match self {
            Self::Metric if written == Self::Us => {
                Some(format!("{:.0} bar", pressure.get::<bar>()))
            }
            Self::Us if written == Self::Metric => {
                Some(format!("{:.0} psi", pressure.get::<psi>()))
            }
            _ => None,
        }
    }

    /// How far two lengths are apart, to a tenth of a centimetre, or of an inch.
    pub(super) fn apart(self, apart: Length) -> String {
        match self {
            Self::AsWritten | Self::Metric => format!("{:.1} cm", apart.get::<centimeter>()),
            Self::Us => format!("{:.1} in", apart.get::<inch>()),
        }
    }
}

impl fmt::Display for Units {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl FromStr for Units {
    type Err = MeasureError;

    fn from_str(typed: &str) -> Result<Self, MeasureError> {
        let known = Self::ALL.into_iter().find(|units| units.word() == typed.trim());
        known.ok_or_else(|| MeasureError::UnknownUnits { typed: typed.trim().to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::measure::{HoseLength, TestPressure};

    fn length(typed: &str, units: Units) -> Option<String> {
        HoseLength::parse(typed).ok().map(|length| length.in_units(units).to_string())
    }

    fn pressure(typed: &str, units: Units) -> Option<String> {
        TestPressure::parse(typed).ok().map(|pressure| pressure.in_units(units).to_string())
    }

    /// 1 in = 2.54 cm exactly; 1 psi = 4.448 221 615 260 5 N / (25.4 mm)² (NIST SP 811,
    /// appendix B.8).
    #[test]
    fn what_is_converted_names_what_was_written() {
        let lengths = [
            ("22 in", Units::Metric, "56 cm (22 in as written)"),
            ("22\"", Units::Metric, "56 cm (22\" as written)"),
            ("2 ft", Units::Metric, "61 cm (2 ft as written)"),
            ("56 cm", Units::Us, "22 in (56 cm as written)"),
            ("0.75 m", Units::Us, "29.5 in (0.75 m as written)"),
            ("760 mm", Units::Us, "30 in (760 mm as written)"),
        ];
        for (typed, units, words) in lengths {
            assert_eq!(length(typed, units).as_deref(), Some(words));
        }
        let pressures = [
            ("3000 psi", Units::Metric, "207 bar (3000 psi as written)"),
            ("200", Units::Us, "2901 psi (200 bar as written)"),
            ("20 MPa", Units::Us, "2901 psi (20 MPa as written)"),
        ];
        for (typed, units, words) in pressures {
            assert_eq!(pressure(typed, units).as_deref(), Some(words));
        }
    }

    #[test]
    fn units_are_named_and_no_others() {
        for units in Units::ALL {
            assert_eq!(units.word().parse(), Ok(units));
        }
        let said = "imperial".parse::<Units>().err().map(|why| why.to_string());
        let words = "“imperial” are no units that can be shown; write as-written, metric or us";
        assert_eq!(said.as_deref(), Some(words));
    }

    proptest! {
        /// Nothing that was written is lost, and nothing but its wording is another.
        #[test]
        fn what_was_written_stays(
            number in 6_u32..300,
            unit in prop::sample::select(vec!["cm", "in", "\"", "CM", "Inches"]),
            units in prop::sample::select(Units::ALL.to_vec()),
        ) {
            let typed = format!("{number} {unit}");
            let Ok(length) = HoseLength::parse(&typed) else { return Ok(()) };
            let shown = length.clone().in_units(units);
            prop_assert!(shown.to_string().contains(&typed));
            prop_assert_eq!(shown.as_typed(), typed.as_str());
            prop_assert_eq!(serde_json::to_string(&shown).ok(), serde_json::to_string(&length).ok());
            prop_assert_eq!(&shown, &length);
            // Back in the units that it was written in, it is as it was written.
            prop_assert_eq!(shown.in_units(Units::AsWritten).to_string(), typed);
        }

        /// What is shown is the length that was written, to half of the last figure.
        #[test]
        fn what_is_shown_is_as_long(centimetres in 6_u32..900, inches in 3_u32..390) {
            let typed = format!("{centimetres} cm");
            let shown = HoseLength::parse(&typed).map(|it| it.in_units(Units::Us).briefly());
            let inches_shown: Option<f64> =
                shown.ok().and_then(|it| it.trim_end_matches(" in").parse().ok());
            let exact = f64::from(centimetres) / 2.54;
            prop_assert!(inches_shown.is_some_and(|it| (it - exact).abs() <= 0.25 + 1e-9));
            let typed = format!("{inches} in");
            let shown = HoseLength::parse(&typed).map(|it| it.in_units(Units::Metric).briefly());
            let shown: Option<f64> =
                shown.ok().and_then(|it| it.trim_end_matches(" cm").parse().ok());
            prop_assert!(shown.is_some_and(|it| (it - f64::from(inches) * 2.54).abs() <= 0.5 + 1e-9));
        }
    }
}

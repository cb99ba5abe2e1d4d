//! Torques as people and torque wrenches write them.

use uom::si::f64::Torque;
use uom::si::torque::newton_meter;

use super::MeasureError;
use super::quantity::{Kind, Unit, parse};

/// A pound-force, in newtons, exactly: 0.45359237 kg times 9.80665 m/s². The
/// units library rounds it to seven figures (NIST SP 811, appendix B.8, gives
/// both), so the four units below are built on newton metres.
const POUND_FORCE: f64 = 0.453_592_37 * 9.806_65;

/// Newton metres in a pound-force inch; 0.0254 m exactly.
pub const POUND_FORCE_INCH: f64 = POUND_FORCE * 0.0254;
/// Newton metres in a pound-force foot; 0.3048 m exactly.
pub const POUND_FORCE_FOOT: f64 = POUND_FORCE * 0.3048;
/// Newton metres in a kilogram-force centimetre, exactly.
pub const KILOGRAM_FORCE_CENTIMETRE: f64 = 0.098_066_5;

const TORQUE: Kind =
    Kind { quantity: "torque", what: "a torque", examples: "5 N·m, 44 lbf·in or 3.7 ft-lb" };

const TORQUE_UNITS: &[Unit<Torque>] = &[
    Unit {
        spellings: &["N·m", "Nm", "newton·metre", "newton·metres", "newton·meter", "newton·meters"],
        quantity: Torque::new::<newton_meter>,
    },
    Unit { spellings: &["cN·m", "cNm"], quantity: |n| newton_metres(n * 0.01) },
    Unit {
        spellings: &[
            "lbf·in",
            "in·lbf",
            "lb·in",
            "in·lb",
            "lbs·in",
            "in·lbs",
            "inlb",
            "inlbs",
            "inlbf",
            "lbin",
            "lbfin",
            "inch·pound",
            "inch·pounds",
            "pound·inch",
            "pound·inches",
        ],
        quantity: |n| newton_metres(n * POUND_FORCE_INCH),
    },
    Unit {
        spellings: &[
            "lbf·ft",
            "ft·lbf",
            "lb·ft",
            "ft·lb",
            "lbs·ft",
            "ft·lbs",
            "ftlb",
            "ftlbs",
            "ftlbf",
            "lbft",
            "lbfft",
            "foot·pound",
            "foot·pounds",
            "pound·foot",
            "pound·feet",
        ],
        quantity: |n| newton_metres(n * POUND_FORCE_FOOT),
    },
    Unit {
        spellings: &["kgf·cm", "kg·cm", "kgfcm", "kgcm", "kp·cm", "cm·kgf", "cm·kg"],
        quantity: |n| newton_metres(n * KILOGRAM_FORCE_CENTIMETRE),
    },
    Unit {
        spellings: &["kgf·m", "kg·m", "kgfm", "kgm", "kp·m", "m·kgf", "m·kg", "mkg"],
        quantity: |n| newton_metres(n * KILOGRAM_FORCE_CENTIMETRE * 100.0),
    },
];

fn newton_metres(value: f64) -> Torque {
    Torque::new::<newton_meter>(value)
}

/// Reads a torque such as `5 N·m`, `44 in-lb` or `51 kgf·cm`; any sign, up
/// to 1,000,000,000 of the unit. Points, hyphens, spaces and stars between the
/// parts of a unit are one.
///
/// # Errors
/// [`MeasureError`] if no number leads, it is too large, or the unit is
/// missing or unknown.
pub fn parse_torque(typed: &str) -> Result<Torque, MeasureError> {
    parse(&with_dots(typed), &TORQUE, TORQUE_UNITS)
}

/// One `·` for whatever is between two letters, and nothing after the last.
fn with_dots(typed: &str) -> String {
    let mut joined = String::new();
    let mut waiting = String::new();
    for c in typed.trim().chars() {
        if matches!(c, '·' | '⋅' | '•' | '∙' | '*' | '×' | '-' | '.' | ' ') {
            waiting.push(c);
            continue;
        }
        let between = c.is_alphabetic() && joined.ends_with(char::is_alphabetic);
        joined.push_str(if between && !waiting.is_empty() { "·" } else { &waiting });
        waiting.clear();
        joined.push(c);
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Factors: NIST SP 811, appendix B.8, from the exact definitions.
    #[test]
    fn torques_as_people_write_them() {
        let table = [
            ("5 N·m", 5.0),
            ("5N·m", 5.0),
            ("5 Nm", 5.0),
            ("5,5 nm", 5.5),
            ("5 N m", 5.0),
            ("5 N-m", 5.0),
            ("5 N⋅m", 5.0),
            ("5 newton metres", 5.0),
            ("500 cNm", 5.0),
            ("1 lbf·in", 0.112_984_829_027_616_7),
            ("44 in-lb", 44.0 * 0.112_984_829_027_616_7),
            ("44 in.-lbs.", 44.0 * 0.112_984_829_027_616_7),
            ("44 1/2 in lb", 44.5 * 0.112_984_829_027_616_7),
            ("3.7 ft-lb", 3.7 * 1.355_817_948_331_400_4),
            ("10 LBF FT", 13.558_179_483_314_004),
            ("51 kgf·cm", 51.0 * 0.098_066_5),
            ("0.5 kgf m", 4.903_325),
            ("-3 Nm", -3.0),
        ];
        for (typed, expected) in table {
            let found = parse_torque(typed).map(|t| t.get::<newton_meter>());
            assert!(
                found.as_ref().is_ok_and(|t| (t - expected).abs() < 1e-12),
                "{typed}: {found:?}"
            );
        }
    }

    #[test]
    fn a_slip_says_what_is_understood() {
        let said = |typed| parse_torque(typed).err().map(|e| e.to_string()).unwrap_or_default();
        assert_eq!(
            said("5 bar"),
            "“bar” is not a unit of torque; understood are N·m, cN·m, lbf·in, lbf·ft, kgf·cm, kgf·m"
        );
        assert!(said("5").contains("has no unit"));
        assert!(said("tight").contains("does not start with a number"));
        assert!(said("5 in").contains("is not a unit of torque"));
    }

    proptest! {
        /// Every spelling of every unit, with any separator, is understood.
        #[test]
        fn every_spelling_with_any_separator(
            value in 0u32..1000,
            unit in 0..TORQUE_UNITS.len(),
            spelling in any::<prop::sample::Index>(),
            between in prop::sample::select(vec!["·", "-", " ", ".", "*", ". "]),
        ) {
            let unit = TORQUE_UNITS.get(unit);
            let written = unit.map(|u| spelling.get(u.spellings).replace('·', between));
            let typed = format!("{value} {}", written.unwrap_or_default());
            let expected = unit.map(|u| (u.quantity)(f64::from(value)));
            prop_assert_eq!(parse_torque(&typed).ok(), expected);
        }

        #[test]
        fn no_text_is_too_odd(typed in "\\PC{0,20}") {
            let _ = parse_torque(&typed);
        }
    }
}

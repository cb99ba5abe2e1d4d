//! Text in a cell that a spreadsheet program would take for a formula.
//!
//! Source: OWASP, "CSV Injection" (owasp.org/www-community/attacks/CSV_Injection):
//! a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage return gets
//! an apostrophe before it. A number is no formula and stays a number.

const GUARD: char = '\'';
const FORMULAS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A cell as it is written: with an apostrophe before what would be a formula,
/// or would be one without the apostrophes that it has, so that reading
/// it gives back every text.
#[must_use]
pub fn guarded(cell: String) -> String {
    if is_formula(cell.trim_start_matches(GUARD)) { format!("{GUARD}{cell}") } else { cell }
}

/// A cell as it was before it was guarded.
#[must_use]
pub fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix(GUARD) {
        Some(rest) if is_formula(rest.trim_start_matches(GUARD)) => rest,
        _ => cell,
    }
}

fn is_formula(text: &str) -> bool {
    let is_number = || text.parse::<f64>().is_ok_and(f64::is_finite);
    text.starts_with(FORMULAS) && !is_number()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn formulas_are_guarded_and_nothing_else() {
        for (cell, written) in [
            ("=1+1", "'=1+1"),
            ("+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"),
            ("-2+3", "'-2+3"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\t=1", "'\t=1"),
            ("\r=1", "'\r=1"),
            ("-", "'-"),
            ("-infinity", "'-infinity"),
            ("'=1", "''=1"),
            ("-1", "-1"),
            ("+0.25", "+0.25"),
            ("-1e-3", "-1e-3"),
            ("'s Graveland", "'s Graveland"),
            ("a=b", "a=b"),
            ("", ""),
        ] {
            assert_eq!(guarded(cell.to_owned()), written, "{cell:?}");
            assert_eq!(unguarded(written), cell, "{written:?}");
        }
    }

    proptest! {
        #[test]
        fn every_text_comes_back_and_none_is_a_formula(cell in "['=+@\t\r1a-]{0,6}|\\PC{0,8}") {
            let written = guarded(cell.clone());
            prop_assert_eq!(unguarded(&written), cell.as_str());
            prop_assert!(!written.starts_with(FORMULAS) || written.parse::<f64>().is_ok());
        }
    }
}

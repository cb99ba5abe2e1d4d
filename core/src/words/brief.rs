//! Reasons and places in the few words that a row of a list has room for.

/// Why a hose has its verdict, in a few words. A code that isn't in the table, as a
/// finding's, is shown by its own words.
#[must_use]
pub fn reason(code: &str) -> String {
    let known = REASONS.iter().find(|(known, _)| *known == code);
    known.map_or_else(
        || code.trim_start_matches("finding-").replace('-', " "),
        |(_, words)| (*words).to_owned(),
    )
}

/// Every reason, but for those of findings.
pub const REASONS: &[(&str, &str)] = &[
    ("held", "on hold"),
    ("age-over", "over its age limit"),
    ("age-near", "age limit near"),
    ("age-unknown", "age unknown"),
    ("stored-long", "stored for long"),
    ("dives-over", "over its dive limit"),
    ("dives-near", "dive limit near"),
    ("inspection-never", "never inspected"),
    ("inspection-over", "inspection overdue"),
    ("inspection-near", "inspection due soon"),
    ("leak-test-due", "leak test due"),
    ("swap-open", "swap not finished"),
    ("recalled", "recalled"),
    ("recall-open", "check for a recall"),
    ("retired", "out of service"),
    ("misfit", "does not fit its port"),
    ("corrected", "record corrected"),
    ("tag-old", "old tag"),
    ("tag-only", "not on record"),
    ("place-contested", "place disputed"),
    ("set-quarantined", "set in quarantine"),
    ("set-contested", "set disputed"),
    ("identity-contested", "two hoses, one tag"),
    ("not-believed", "entry not believed"),
    ("not-all-read", "entry not readable"),
    ("record-gap", "entries missing"),
    ("record-old", "record is old"),
    ("clock-odd", "date looks wrong"),
    ("rented-twice", "rented out twice"),
];

#[cfg(test)]
mod tests {
    use super::reason;

    #[test]
    fn every_reason_has_a_few_words() {
        for rule in crate::answer::REASONS {
            let words = reason(rule.code);
            let known = super::REASONS.iter().any(|(code, _)| *code == rule.code);
            assert!(known && words.chars().count() <= 22, "{}: {words}", rule.code);
        }
        assert_eq!(reason("finding-seal-dirty"), "seal dirty");
    }
}

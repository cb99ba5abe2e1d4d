//! What hoses are held to, and where that comes from.

use super::{counted, months};
use crate::hose::Construction;
use crate::inspection::Verdict;
use crate::policy::{Limit, Limits, Scope};

/// Beside the form that sets limits.
pub const CAUTION: &str = "The maker's instructions and local codes come first: if they are \
    stricter, set the limit by them. A limit set here applies from now on to every hose that it \
    covers, including those that are out.";

/// Which of several rules holds.
pub const MORE_PARTICULAR_WINS: &str = "If several rules cover a hose, the most specific wins: \
service, then construction, then use.";

/// What a limit is on.
#[must_use]
pub const fn on(limit: Limit) -> &'static str {
    match limit {
        Limit::InService => "In service, from the first fitting",
        Limit::FromMade => "From made, in service or not",
        Limit::Dives => "Dives",
        Limit::FullInspection => "From one full inspection to the next",
    }
}

/// What a limit is for, and what comes of it.
#[must_use]
pub const fn explained(limit: Limit) -> &'static str {
    match limit {
        Limit::InService => {
            "Use tires a hose. Its last good day is that many years after the first fitting: watch \
             from 90 days before, hold after it."
        }
        Limit::FromMade => {
            "Rubber ages on the shelf too. Counted from made, or from bought if that is all that \
             is known: watch from 90 days before the last good day, hold after it."
        }
        Limit::Dives => {
            "Every dive bends and loads a hose. Watch from 90 % of the limit, hold above it."
        }
        Limit::FullInspection => {
            "What a look found holds only so long. Overdue, a rental hose is on hold and any other \
             watch."
        }
    }
}

/// Over the ways to a limit for one kind of hose.
pub const ONE_KIND: &str = "A shorter limit for one kind";
/// Why one would want it.
pub const ONE_KIND_LEAD: &str = "If a maker or your own experience asks for less of one \
    construction, set it for that alone.";
/// Asks what other limits would change.
pub const CHECK: &str = "Check what would change";
/// Over what they would change.
pub const CHECKED: &str = "What these limits would change";
/// Said beside it.
pub const NOT_WRITTEN: &str = "Nothing is set yet.";
/// The way back to the form.
pub const BACK: &str = "Change the limits again";

/// The way to a limit for a construction.
#[must_use]
pub fn for_construction(construction: Construction) -> String {
    format!("{} hoses", super::form::construction(construction))
}

/// How many hoses were judged.
#[must_use]
pub fn judged(hoses: usize) -> String {
    let hoses = counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
    format!("{hoses} on record, as they are today.")
}

/// What other limits would change today, by each hose's verdict before and after.
#[must_use]
pub fn would_change(verdicts: &[(Verdict, Verdict)]) -> String {
    let count = |is: &dyn Fn(Verdict, Verdict) -> bool| {
        verdicts.iter().filter(|(before, after)| is(*before, *after)).count()
    };
    let parts = [
        (count(&|before, after| after > before && after == Verdict::Hold), "go on hold"),
        (count(&|before, after| after > before && after == Verdict::Watch), "go on watch"),
        (count(&|before, after| after < before && before == Verdict::Hold), "come off hold"),
        (count(&|before, after| after < before && before == Verdict::Watch), "come off watch"),
    ];
    let mut said = String::new();
    for (n, what) in parts.into_iter().filter(|(n, _)| *n > 0) {
        match said.is_empty() {
            true => {
                let hoses = counted(i64::try_from(n).unwrap_or(i64::MAX), "hose");
                said = format!("{hoses} would {what} today");
            }
            false => said.push_str(&format!(", {n} would {what}")),
        }
    }
    if said.is_empty() { "No hose would change its verdict today.".to_owned() } else { said + "." }
}

/// Said under a list that is cut.
#[must_use]
pub fn more(left: usize) -> String {
    format!("And {left} more.")
}

/// A limit's value.
#[must_use]
pub fn value(limits: &Limits, limit: Limit) -> String {
    match limit {
        Limit::InService => months(limits.in_service_months),
        Limit::FromMade => months(limits.from_made_months),
        Limit::Dives => {
            limits.dives.map_or_else(|| "none".to_owned(), |n| counted(i64::from(n), "dive"))
        }
        Limit::FullInspection => months(limits.full_inspection_months),
    }
}

/// Where a limit comes from: a rule of the owner's, or the default.
#[must_use]
pub fn source(rule: Option<Scope>) -> String {
    rule.map_or_else(
        || "default: common practice, no published source".to_owned(),
        |scope| format!("set by the owner for {scope}"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::policy::{DEFAULTS, Use};

    #[test]
    fn what_would_change_is_counted_by_what_becomes_of_hoses() {
        use Verdict::{Hold, Ready, Watch};
        for (verdicts, said) in [
            (vec![], "No hose would change its verdict today."),
            (vec![(Ready, Hold)], "1 hose would go on hold today."),
            (
                vec![(Ready, Hold), (Watch, Hold), (Watch, Ready), (Ready, Watch)],
                "2 hoses would go on hold today, 1 would go on watch, 1 would come off watch.",
            ),
            (vec![(Hold, Watch), (Hold, Ready)], "2 hoses would come off hold today."),
        ] {
            assert_eq!(would_change(&verdicts), said);
        }
    }

    #[test]
    fn every_limit_says_what_it_is_and_where_it_comes_from() {
        let rental = DEFAULTS.iter().find(|(in_use, _)| *in_use == Use::Rental);
        let said = rental.map(|(_, limits)| Limit::ALL.map(|limit| value(limits, limit)));
        let wanted = ["5 years", "10 years", "500 dives", "6 months"].map(ToOwned::to_owned);
        assert_eq!(said, Some(wanted));
        assert!(source(None).contains("no published source"));
        let scope = Scope { in_use: Some(Use::Rental), ..Scope::default() };
        assert_eq!(source(Some(scope)), "set by the owner for rental hoses");
    }
}

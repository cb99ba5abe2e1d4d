//! What hoses are held to, and where that comes from.

use super::{counted, months};
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

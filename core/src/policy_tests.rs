//! The limits, the strictest of which holds.

use super::*;
use crate::hose::{Fitting, Thread};
use crate::measure::HoseLength;

fn gauge() -> Option<Specification> {
    let end = Fitting::Thread(Thread::Unf7_16x20);
    let length = HoseLength::parse("80 cm").ok()?;
    let (service, construction) = (Service::Gauge, Construction::Rubber);
    Specification::new(service, construction, length, end.clone(), end, false).ok()
}

/// Section 4 of the trade's rules.
#[test]
fn the_defaults_are_those_of_the_trade() {
    let table = [(Use::Personal, 60, 120, None, 12), (Use::Rental, 60, 120, Some(500), 6)];
    for (in_use, service, made, dives, full) in table {
        let limits = Policy::default().limits(gauge().as_ref(), in_use);
        let expected = Limits {
            in_service_months: service,
            from_made_months: made,
            dives,
            full_inspection_months: full,
        };
        assert_eq!(limits, expected);
    }
}

#[test]
fn the_more_particular_rule_wins() {
    let mut policy = Policy::default();
    let change = |months, dives| Change::new(Some(months), None, dives, None).unwrap_or_default();
    let scope = |service, in_use| Scope { service, construction: None, in_use };
    policy.set(scope(Some(Service::Gauge), None), change(36, None));
    policy.set(scope(None, Some(Use::Rental)), change(48, Some(None)));
    policy.set(scope(Some(Service::Inflator), None), change(12, None));
    let hose = gauge();
    let rental = policy.limits(hose.as_ref(), Use::Rental);
    assert_eq!((rental.in_service_months, rental.dives), (36, None));
    assert_eq!(policy.limits(hose.as_ref(), Use::Personal).in_service_months, 36);
    assert_eq!(policy.limits(None, Use::Rental).in_service_months, 48);
    let from = |in_use, limit| policy.source(hose.as_ref(), in_use, limit);
    let (gauges, rentals) = (scope(Some(Service::Gauge), None), scope(None, Some(Use::Rental)));
    assert_eq!(from(Use::Rental, Limit::InService), Some(gauges));
    assert_eq!(from(Use::Rental, Limit::Dives), Some(rentals));
    assert_eq!(from(Use::Personal, Limit::Dives), None);
    assert!(Use::ALL.iter().all(|in_use| from(*in_use, Limit::FromMade).is_none()));
    policy.set(scope(Some(Service::Gauge), Some(Use::Rental)), change(24, None));
    assert_eq!(policy.limits(hose.as_ref(), Use::Rental).in_service_months, 24);
}

#[test]
fn senseless_limits_are_refused() {
    assert_eq!(Change::new(Some(0), None, None, None), Err(PolicyError::Months(0)));
    assert_eq!(Change::new(None, Some(601), None, None), Err(PolicyError::Months(601)));
    assert_eq!(Change::new(None, None, None, None), Err(PolicyError::Nothing));
    assert!(Change::new(None, None, Some(None), None).is_ok());
    assert!(serde_json::from_str::<Change>("{\"from_made_months\":0}").is_err());
    for (a_day, good) in [(0, false), (1, true), (20, true), (21, false)] {
        assert_eq!(Change::of_unknown_dives(a_day).is_ok(), good, "{a_day}");
        let written = format!("{{\"dives_a_day\":{a_day}}}");
        assert_eq!(serde_json::from_str::<Change>(&written).is_ok(), good, "{a_day}");
    }
}

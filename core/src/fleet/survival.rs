//! How long hoses last in service: the Kaplan-Meier estimate, in which a hose
//! still in service counts for as long as it has lasted.
//!
//! E. L. Kaplan and P. Meier, "Nonparametric estimation from incomplete
//! observations", J. Amer. Statist. Assoc. 53 (1958) 457-481. The band is the
//! exponential Greenwood formula (J. D. Kalbfleisch and R. L. Prentice), that is
//! Greenwood's variance on the scale of log(−log S), which never leaves 0 to 1.

use std::collections::BTreeMap;

use serde::Serialize;

/// The 0.975 quantile of the normal distribution, for a band of 95 %.
const Z: f64 = 1.959_963_984_540_054;

/// What to say beside every estimate.
pub const SURVIVAL_NOTE: &str = "The shares are estimates. If few hoses have lasted that long, a \
    single hose decides: look at the 95 % band before you blame a lot or a maker.";

/// Fewer hoses than these make no curve that says anything (common practice, no source).
pub const LEAST_HOSES: u32 = 20;

/// What binary fractions add or take where the survival is one half exactly.
const HALF: f64 = 0.5 + 1e-12;

/// One hose: how long it has been followed, and whether that ended in failure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Observation {
    /// Days in service, from the first fitting.
    pub duration_days: u32,
    /// `true` where it failed on that day; `false` if it was still good when
    /// last heard of (censored).
    pub event: bool,
}

/// The estimate from one day on, until the next step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Step {
    /// Days in service.
    pub days: u32,
    /// How many had lasted until this day and were followed.
    pub at_risk: u32,
    /// How many failed on this day.
    pub events: u32,
    /// How many were followed no longer after this day. Failures of the same
    /// day come first: a hose censored on a day was at risk on it.
    pub censored: u32,
    /// The share expected to last beyond this day, 0 to 1.
    pub survival: f64,
    /// The lower end of the 95 % band, 0 to 1.
    pub lower: f64,
    /// The upper end of the 95 % band, 0 to 1.
    pub upper: f64,
}

/// The survival of a group of hoses.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Survival {
    /// One step for each day on which something failed or was last followed,
    /// in order of time. Nothing was observed where it is empty.
    pub steps: Vec<Step>,
    /// The first day by which half or more have failed; none if more than
    /// half are expected to last beyond the last step.
    pub median_days: Option<u32>,
}

impl Survival {
    /// The share and its band on a day, if any hose was followed so long: the last step up
    /// to that day; none before the first.
    #[must_use]
    pub fn step_at(&self, days: u32) -> Option<&Step> {
        let followed = self.beyond(days).is_some();
        self.steps.iter().take_while(|step| step.days <= days).last().filter(|_| followed)
    }

    /// The share expected to last beyond a day; none after the last day on which
    /// any hose was followed, if nothing is known, unless none is left.
    #[must_use]
    pub fn beyond(&self, days: u32) -> Option<f64> {
        let followed =
            self.steps.last().is_some_and(|last| last.days >= days || last.survival <= 0.0);
        let step = self.steps.iter().take_while(|step| step.days <= days).last();
        followed.then(|| step.map_or(1.0, |step| step.survival))
    }
}

/// Failures and censorings of one day.
#[derive(Default, Clone, Copy)]
struct Day {
    events: u32,
    censored: u32,
}

/// Estimates the survival of what was observed, in whatever order it comes.
#[must_use]
pub fn kaplan_meier(observations: &[Observation]) -> Survival {
    let mut days: BTreeMap<u32, Day> = BTreeMap::new();
    for seen in observations {
        let day = days.entry(seen.duration_days).or_default();
        day.events += u32::from(seen.event);
        day.censored += u32::from(!seen.event);
    }
    let mut at_risk: u32 = days.values().map(|day| day.events + day.censored).sum();
    let (mut survival, mut variance) = (1.0, 0.0);
    let mut steps = Vec::with_capacity(days.len());
    for (days, day) in days {
        let left = at_risk - day.events;
        survival *= f64::from(left) / f64::from(at_risk);
        variance += greenwood(at_risk, left, day.events);
        let (lower, upper) = band(survival, variance);
        let Day { events, censored } = day;
        steps.push(Step { days, at_risk, events, censored, survival, lower, upper });
        at_risk = left - day.censored;
    }
    let median_days = steps.iter().find(|step| step.survival <= HALF).map(|step| step.days);
    Survival { steps, median_days }
}

/// Greenwood's term d / (n (n − d)); nothing if none are left, since the
/// band is then no band.
fn greenwood(at_risk: u32, left: u32, events: u32) -> f64 {
    if left == 0 {
        return 0.0;
    }
    f64::from(events) / (f64::from(at_risk) * f64::from(left))
}

/// The 95 % band, exp(−exp(log(−log S) ± z √V / log S)). It has no width where
/// nothing has failed yet, or everything has: there is then nothing to take a
/// variance from, and the ends are S itself.
fn band(survival: f64, variance: f64) -> (f64, f64) {
    if survival <= 0.0 || survival >= 1.0 {
        return (survival, survival);
    }
    let log = survival.ln();
    let half_width = Z * variance.sqrt() / log;
    let end = |shift: f64| (-((-log).ln() + shift).exp()).exp();
    (end(-half_width), end(half_width))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn observe(rows: &[(u32, bool)]) -> Survival {
        let seen: Vec<Observation> = rows
            .iter()
            .map(|&(duration_days, event)| Observation { duration_days, event })
            .collect();
        kaplan_meier(&seen)
    }

    fn counts(survival: &Survival) -> Vec<(u32, u32, u32, u32)> {
        survival.steps.iter().map(|s| (s.days, s.at_risk, s.events, s.censored)).collect()
    }

    #[test]
    fn nothing_observed_is_nothing_known() {
        assert_eq!(observe(&[]), Survival { steps: Vec::new(), median_days: None });
    }

    #[test]
    fn a_share_is_known_as_far_as_hoses_were_followed() {
        let survival = observe(&[(10, true), (20, false)]);
        let table = [(0, Some(1.0)), (9, Some(1.0)), (10, Some(0.5)), (20, Some(0.5)), (21, None)];
        for (days, share) in table {
            assert_eq!(survival.beyond(days), share, "{days}");
        }
        assert_eq!(observe(&[(3, true)]).beyond(99), Some(0.0));
        assert_eq!(observe(&[]).beyond(0), None);
    }

    #[test]
    fn a_step_is_known_as_far_as_hoses_were_followed() {
        let survival = observe(&[(10, true), (20, false)]);
        let table = [(9, None), (10, Some(10)), (19, Some(10)), (20, Some(20)), (21, None)];
        for (days, of) in table {
            assert_eq!(survival.step_at(days).map(|step| step.days), of, "{days}");
        }
    }

    #[test]
    fn failures_of_a_day_come_before_its_censorings() {
        let survival = observe(&[(6, false), (6, true), (9, true), (6, true)]);
        assert_eq!(counts(&survival), [(6, 4, 2, 1), (9, 1, 1, 0)]);
        assert_eq!(survival.median_days, Some(6));
        assert!(survival.steps.first().is_some_and(|s| (s.survival - 0.5).abs() < 1e-12));
    }

    #[test]
    fn what_never_failed_has_no_median_and_no_band() {
        let survival = observe(&[(10, false), (20, false)]);
        assert_eq!(survival.median_days, None);
        assert!(survival.steps.iter().all(|s| (s.survival, s.lower, s.upper) == (1.0, 1.0, 1.0)));
    }

    #[test]
    fn what_failed_at_once_has_no_band() {
        let survival = observe(&[(3, true), (3, true), (3, true)]);
        assert_eq!(survival.median_days, Some(3));
        assert!(survival.steps.iter().all(|s| (s.survival, s.lower, s.upper) == (0.0, 0.0, 0.0)));
    }

    /// 3/4 · 2/3 is one half, whichever way the fractions round: so is every
    /// other even number of failures, one a day.
    #[test]
    fn one_half_exactly_is_the_median() {
        for half in 1..200 {
            let rows: Vec<(u32, bool)> = (1..=2 * half).map(|day| (day, true)).collect();
            assert_eq!(observe(&rows).median_days, Some(half), "{half}");
        }
    }

    proptest! {
        #[test]
        fn order_of_observation_changes_nothing(
            rows in prop::collection::vec((0u32..50, any::<bool>()), 0..80),
        ) {
            let mut turned = rows.clone();
            turned.reverse();
            prop_assert_eq!(observe(&rows), observe(&turned));
        }

        #[test]
        fn survival_only_falls_and_lies_in_its_band(
            rows in prop::collection::vec((0u32..50, any::<bool>()), 1..80),
        ) {
            let survival = observe(&rows);
            let mut before = 1.0;
            for step in &survival.steps {
                prop_assert!(step.survival <= before);
                prop_assert!(step.lower <= step.survival && step.survival <= step.upper);
                prop_assert!(step.lower >= 0.0 && step.upper <= 1.0);
                before = step.survival;
            }
            let ended: u32 = survival.steps.iter().map(|s| s.events + s.censored).sum();
            prop_assert_eq!(usize::try_from(ended).ok(), Some(rows.len()));
        }
    }
}

//! Survival against published tables and against lifelines 0.30.3.

use hosewright_core::fleet::survival::{Observation, Survival, kaplan_meier};
use hosewright_tests::peers;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

fn observe(rows: &[(u32, bool)]) -> Survival {
    let seen: Vec<Observation> =
        rows.iter().map(|&(duration_days, event)| Observation { duration_days, event }).collect();
    kaplan_meier(&seen)
}

/// E. J. Freireich et al., Blood 21 (1963) 699-716: weeks of remission under
/// 6-MP. `false` was still in remission.
const SIX_MP: &[(u32, bool)] = &[
    (6, true),
    (6, true),
    (6, true),
    (6, false),
    (7, true),
    (9, false),
    (10, true),
    (10, false),
    (11, false),
    (13, true),
    (16, true),
    (17, false),
    (19, false),
    (20, false),
    (22, true),
    (23, true),
    (25, false),
    (32, false),
    (32, false),
    (34, false),
    (35, false),
];

/// The same trial: weeks of remission under placebo, all ended.
const PLACEBO: &[u32] = &[1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23];

/// t, at risk, events, S, 95 % log-log band: lifelines 0.30.3 on the same data,
/// whose S column is the one printed in textbooks (Kalbfleisch and Prentice).
#[test]
fn remission_under_6_mp() {
    let table = [
        (6, 21, 3, 0.857_143, 0.6197, 0.9516),
        (7, 17, 1, 0.806_723, 0.5631, 0.9228),
        (10, 15, 1, 0.752_941, 0.5032, 0.8894),
        (13, 12, 1, 0.690_196, 0.4316, 0.8491),
        (16, 11, 1, 0.627_451, 0.3675, 0.8049),
        (22, 7, 1, 0.537_815, 0.2678, 0.7468),
        (23, 6, 1, 0.448_179, 0.1881, 0.6801),
    ];
    let survival = observe(SIX_MP);
    assert_eq!(survival.median_days, Some(23));
    let failed: Vec<_> = survival.steps.iter().filter(|s| s.events > 0).collect();
    assert_eq!(failed.len(), table.len());
    for (step, (days, at_risk, events, s, lower, upper)) in failed.iter().zip(table) {
        assert_eq!((step.days, step.at_risk, step.events), (days, at_risk, events));
        assert!((step.survival - s).abs() < 5e-7, "week {days}: {}", step.survival);
        assert!((step.lower - lower).abs() < 5e-5, "week {days}: {}", step.lower);
        assert!((step.upper - upper).abs() < 5e-5, "week {days}: {}", step.upper);
    }
}

#[test]
fn remission_under_placebo() {
    let rows: Vec<(u32, bool)> = PLACEBO.iter().map(|week| (*week, true)).collect();
    let survival = observe(&rows);
    assert_eq!(survival.median_days, Some(8));
    for (week, s) in [(8, 0.380_952), (12, 0.190_476), (22, 0.047_619), (23, 0.0)] {
        let found = survival.steps.iter().find(|step| step.days == week).map(|step| step.survival);
        assert!(found.is_some_and(|f| (f - s).abs() < 5e-7), "week {week}: {found:?}");
    }
}

/// Data sets of 1 to 300 hoses, from nearly all failed to nearly none, with
/// many ties (short spans) and few (long ones).
fn random_sets() -> Vec<Vec<(u32, bool)>> {
    let mut rng = ChaCha8Rng::seed_from_u64(1958);
    (0..60)
        .map(|_| {
            let count = rng.random_range(1..=300);
            let span = *[5, 60, 4000].get(rng.random_range(0..3)).unwrap_or(&60);
            let share = rng.random_range(0.02..0.98);
            (0..count).map(|_| (rng.random_range(0..=span), rng.random_bool(share))).collect()
        })
        .collect()
}

fn rows_of(set: &Value) -> Vec<(u32, bool)> {
    let row = |r: &Value| Some((u32::try_from(r[0].as_u64()?).ok()?, r[1].as_bool()?));
    set["rows"].as_array().into_iter().flatten().filter_map(row).collect()
}

/// The peer begins its table at day 0 even where nothing happened on it.
fn table_of(set: &Value) -> Vec<Vec<f64>> {
    let rows = set["table"].as_array().into_iter().flatten();
    let rows = rows.map(|r| r.as_array().into_iter().flatten().filter_map(Value::as_f64).collect());
    rows.filter(|r: &Vec<f64>| r.get(2..4).is_none_or(|ended| ended != [0.0, 0.0])).collect()
}

fn compare(set: &Value) {
    let name = set["name"].as_str().unwrap_or("?");
    let survival = observe(&rows_of(set));
    let table = table_of(set);
    assert!(!table.is_empty(), "{name}");
    assert_eq!(survival.steps.len(), table.len(), "{name}");
    for (step, peer) in survival.steps.iter().zip(&table) {
        let ours = [
            f64::from(step.days),
            f64::from(step.at_risk),
            f64::from(step.events),
            f64::from(step.censored),
            step.survival,
            step.lower,
            step.upper,
        ];
        assert_eq!(peer.len(), ours.len(), "{name} day {}", step.days);
        for (our, peer) in ours.iter().zip(peer) {
            assert!((our - peer).abs() < 1e-9, "{name} day {}: {ours:?} {peer}", step.days);
        }
    }
    // Where S is one half exactly, the peer's own rounding decides its median.
    if !survival.steps.iter().any(|s| (s.survival - 0.5).abs() < 1e-9) {
        assert_eq!(survival.median_days.map(f64::from), set["median"].as_f64(), "{name}");
    }
}

#[test]
fn the_same_as_lifelines() {
    let sets: Vec<Vec<Value>> = random_sets()
        .iter()
        .map(|set| set.iter().map(|(days, failed)| json!([days, failed])).collect())
        .collect();
    let answer = peers::ask("survival.py", &json!(sets));
    assert_eq!(answer.as_ref().err(), None);
    let answer = answer.unwrap_or_default();
    let compared = answer.as_array().map_or(0, Vec::len);
    // 60 random sets, two arms and the whole of one trial, two groups of another.
    assert_eq!(compared, 65);
    answer.as_array().into_iter().flatten().for_each(compare);
    let median = |name: &str| {
        let set = answer.as_array().into_iter().flatten().find(|s| s["name"] == name);
        set.and_then(|s| observe(&rows_of(s)).median_days)
    };
    assert_eq!(median("waltons control"), Some(58));
    assert_eq!(median("waltons miR-137"), Some(26));
    assert_eq!(median("leukemia Rx 0"), Some(23));
    assert_eq!(median("leukemia Rx 1"), Some(8));
}

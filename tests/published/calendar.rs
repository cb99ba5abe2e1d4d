//! Ages and limits by the calendar, against python-dateutil 4.0.0 as a peer.

use chrono::{Days, NaiveDate};
use hosewright_core::measure::{Period, add_months};
use hosewright_tests::peers;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use serde_json::{Value, json};

fn days() -> Vec<(NaiveDate, u32, NaiveDate)> {
    let mut random = ChaCha20Rng::seed_from_u64(20_260_615);
    let first = NaiveDate::from_ymd_opt(1995, 1, 1).unwrap_or_default();
    let mut drawn: Vec<_> = (0..4_000)
        .map(|_| {
            let from = first + Days::new(random.random_range(0..14_000));
            let to = from + Days::new(random.random_range(0..6_000));
            (from, random.random_range(0..200), to)
        })
        .collect();
    // Every pair of days around the ends of February, where calendars differ.
    for year in [2023, 2024, 2096, 2100] {
        let start = NaiveDate::from_ymd_opt(year, 2, 26).unwrap_or_default();
        for (a, b) in (0..5).flat_map(|a| (355..372).map(move |b| (a, b))) {
            drawn.push((start + Days::new(a), 12, start + Days::new(b)));
        }
    }
    drawn
}

#[test]
fn the_same_as_dateutil() {
    let days = days();
    let asked: Vec<Value> = days
        .iter()
        .map(|(from, months, to)| json!([from.to_string(), months, to.to_string()]))
        .collect();
    let told = peers::ask("dates.py", &Value::from(asked));
    let told = told.unwrap_or_default();
    assert_eq!(told.as_array().map(Vec::len), Some(days.len()));
    for ((from, months, to), told) in days.iter().zip(told.as_array().into_iter().flatten()) {
        let gone = Period::between(*from, *to);
        let ours =
            json!([add_months(*from, *months).to_string(), gone.years, gone.months, gone.days]);
        assert_eq!(&ours, told, "{from} + {months} months; {from} to {to}");
    }
}

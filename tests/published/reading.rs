//! How well tags are read from pictures that were made from seeds.

use hosewright_core::tag::{Payload, read_picture};
use hosewright_tests::pictures::{Seen, picture, without_tag};

#[test]
fn tags_under_mild_conditions_are_read() {
    let (mut read, mut missed) = (0, Vec::new());
    for (seen, seed) in Seen::ALL.into_iter().flat_map(|s| (0..8).map(move |seed| (s, seed))) {
        let (bytes, text) = picture(seen, 1000 + seed).unwrap_or_default();
        let found = read_picture(&bytes).unwrap_or_default();
        assert!(found.iter().all(|f| f.text == text), "{seen:?} {seed}: {found:?}");
        if found.is_empty() {
            missed.push((seen, seed));
        } else {
            read += 1;
        }
    }
    println!("read {read}, missed {missed:?}");
    assert!(missed.len() * 20 <= read + missed.len(), "missed {missed:?}");
}

#[test]
fn nothing_is_read_where_there_is_no_tag() {
    for (seen, seed) in Seen::ALL.into_iter().flat_map(|s| (0..6).map(move |seed| (s, seed))) {
        let bytes = without_tag(seen, 5000 + seed).unwrap_or_default();
        let found = read_picture(&bytes);
        assert_eq!(found, Ok(Vec::new()), "{seen:?} {seed}");
    }
}

#[test]
fn the_corners_lie_on_the_symbol() {
    let (bytes, text) = picture(Seen::Plainly, 7).unwrap_or_default();
    let found = read_picture(&bytes).unwrap_or_default();
    let conditions = Seen::Plainly.conditions(7);
    let middle = (640.0 + conditions.offset.0, 360.0 + conditions.offset.1);
    let corners = found.first().map(|f| f.corners.clone()).unwrap_or_default();
    assert!(found.first().is_some_and(|f| Payload::parse(&f.text) == Payload::parse(&text)));
    assert_eq!(corners.len(), 4);
    for (x, y) in corners {
        let away = (f64::from(x) - middle.0).hypot(f64::from(y) - middle.1);
        // Half of the diagonal of 25 modules, and a fifth for the tilt.
        let expected = 12.5 * std::f64::consts::SQRT_2 * conditions.module;
        assert!((0.8..1.2).contains(&(away / expected)), "{away} {expected}");
    }
}

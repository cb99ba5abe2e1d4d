//! What a phone says when something is wrong.

use super::*;

#[test]
fn each_obstacle_has_words_of_its_own_and_a_way_on() {
    let mut said: Vec<String> = Vec::new();
    for obstacle in Obstacle::ALL {
        let words = obstacle.in_words();
        assert!(words.words.ends_with('.') && words.todo.ends_with('.'), "{obstacle}");
        assert!(!words.words.contains("--") && !words.todo.contains("--"), "{obstacle}");
        assert!(!obstacle.ways_on().is_empty(), "{obstacle}");
        said.push(words.words);
    }
    let all = said.len();
    said.sort_unstable();
    said.dedup();
    assert_eq!(said.len(), all, "two obstacles share their words");
    for way in WayOn::ALL {
        assert!(Obstacle::ALL.iter().any(|o| o.ways_on().contains(way)), "{way} is no way");
    }
}

#[test]
fn a_merge_on_a_phone_names_no_command() {
    let fleet = "00112233445566778899aabbccddeeff".parse().ok();
    let report = MergeReport { fleet, ..MergeReport::default() };
    let (here, elsewhere) = (merged(&report), meeting::merge(&report));
    assert!(elsewhere.concat().contains("device join"));
    assert!(here.concat().contains("cannot join a fleet yet"));
    assert!(!here.concat().contains("device join"));
    assert_eq!(here.len(), elsewhere.len());
}

#[test]
fn an_error_of_the_store_is_the_obstacle_that_it_is() {
    let of = |error: StoreError| Obstacle::of(&error);
    assert_eq!(of(StoreError::Full), Obstacle::StorageFull);
    assert_eq!(of(StoreError::Locked), Obstacle::StoreInUse);
    assert_eq!(of(StoreError::TooNew { found: 9, known: 1 }), Obstacle::StoreTooNew);
    assert_eq!(of(StoreError::ReadOnly("a".into())), Obstacle::StoreReadOnly);
    assert_eq!(of(StoreError::NotOurs("a".into())), Obstacle::StoreDamaged);
}

//! Which hose goes in the place of which, as a table, and the words of each miss.

use super::*;
use crate::hose::Thread;

fn hose(text: &str) -> Specification {
    let words: Vec<&str> = text.split(", ").collect();
    let [service, construction, length, a, b] = words.as_slice() else { unreachable!("{text}") };
    let bad = |e: crate::hose::HoseError| -> ! { unreachable!("{text}: {e}") };
    Specification::new(
        service.parse().unwrap_or_else(|e| bad(e)),
        construction.parse().unwrap_or_else(|e| bad(e)),
        HoseLength::parse(length).unwrap_or_else(|e| unreachable!("{text}: {e}")),
        a.parse().unwrap_or_else(|e| bad(e)),
        b.parse().unwrap_or_else(|e| bad(e)),
        false,
    )
    .unwrap_or_else(|e| bad(e))
}

const LP: &str = "second-stage, rubber, 75 cm, 3/8-24, 9/16-18";

#[test]
fn what_fits_and_the_words_where_it_does_not() {
    let own = "second-stage, rubber, 75 cm, 3/8-24, proprietary:Swivel 7";
    let table: &[(&str, &str, &[&str])] = &[
        (LP, LP, &[]),
        (LP, "second-stage, braided, 210 cm, 3/8-24, 9/16-18", &[]),
        (
            LP,
            "second-stage, rubber, 75 cm, 1/2-20, 9/16-18",
            &["1/2-20 will not go into a 3/8-24 port"],
        ),
        (
            "second-stage, rubber, 75 cm, 1/2-20, 9/16-18",
            LP,
            &["3/8-24 will not go into a 1/2-20 port"],
        ),
        (
            LP,
            "inflator, rubber, 75 cm, 3/8-24, quick-disconnect",
            &[
                "it is for an inflator, and this place is for a second stage",
                "its far end, quick-disconnect, does not go on a 9/16-18",
            ],
        ),
        (
            LP,
            "gauge, rubber, 75 cm, 7/16-20, 7/16-20",
            &[
                "it is a high-pressure hose, and this place is a low-pressure hose: never mix the two",
                "7/16-20 will not go into a 3/8-24 port",
                "its far end, 7/16-20, does not go on a 9/16-18",
            ],
        ),
        (own, "second-stage, braided, 80 cm, 3/8-24, proprietary:swivel 7", &[]),
        (
            own,
            "second-stage, rubber, 75 cm, 3/8-24, proprietary:Swivel 70",
            &["its far end is the maker's own “Swivel 70”, and only “Swivel 7” fits here"],
        ),
        (own, LP, &["its far end is 9/16-18, and only the maker's own “Swivel 7” fits here"]),
        (LP, own, &["its far end is the maker's own “Swivel 7”, which does not go on a 9/16-18"]),
    ];
    for (place, other, said) in table {
        assert_eq!(mismatches(&hose(place), &hose(other)), *said, "{other} for {place}");
    }
}

/// Every pair of possible hoses: equal interfaces, and only they, have no mismatch.
#[test]
fn an_interface_says_the_same_as_the_words() {
    let ends = ["9/16-18", "7/16-20", "quick-disconnect", "proprietary:A", "proprietary:b"];
    let mut all = Vec::new();
    for service in Service::ALL {
        for a in Thread::ALL {
            for b in ends {
                let length = HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
                let b = b.parse().unwrap_or_else(|e| unreachable!("{e}"));
                let (a, construction) = (Fitting::Thread(*a), Construction::Rubber);
                all.extend(Specification::new(*service, construction, length, a, b, false).ok());
            }
        }
    }
    assert_eq!(all.len(), 15);
    for one in &all {
        for other in &all {
            let same = Interface::of(one) == Interface::of(other);
            assert_eq!(mismatches(one, other).is_empty(), same, "{one} / {other}");
        }
    }
}

#[test]
fn differences_are_said() {
    let table: &[(&str, &[&str])] = &[
        (LP, &[]),
        ("second-stage, rubber, 750 mm, 3/8-24, 9/16-18", &[]),
        (
            "second-stage, rubber, 60 cm, 3/8-24, 9/16-18",
            &["15.0 cm shorter (60 cm, in place of 75 cm)"],
        ),
        (
            "second-stage, braided, 30 in, 3/8-24, 9/16-18",
            &["1.2 cm longer (30 in, in place of 75 cm)", "braided, in place of rubber"],
        ),
    ];
    for (other, said) in table {
        assert_eq!(differences(&hose(LP), &hose(other)), *said, "{other}");
    }
}

fn candidate(code: u8, text: &str, against: &[&str]) -> Candidate<u8> {
    let against = against.iter().map(|&a| a.to_owned()).collect();
    Candidate { code, number: None, hose: Some(hose(text)), against, watch: Vec::new() }
}

#[test]
fn the_most_alike_comes_first_and_every_reason_is_given() {
    let answer = replacement(
        &hose(LP),
        [
            candidate(1, "second-stage, braided, 75 cm, 3/8-24, 9/16-18", &[]),
            candidate(2, "second-stage, rubber, 90 cm, 3/8-24, 9/16-18", &[]),
            candidate(3, LP, &[]),
            candidate(4, LP, &["it is held"]),
            candidate(5, "second-stage, rubber, 75 cm, 1/2-20, 9/16-18", &["it is out"]),
            Candidate { code: 6, number: None, hose: None, against: Vec::new(), watch: Vec::new() },
        ],
    );
    assert_eq!(answer.fits, [3, 2, 1]);
    let not: Vec<(u8, &str)> = answer.not.iter().map(|n| (n.code, n.words.as_str())).collect();
    assert_eq!(
        not,
        [
            (4, "it is held"),
            (5, "1/2-20 will not go into a 3/8-24 port; it is out"),
            (6, "nobody has said what kind of hose it is"),
        ]
    );
    assert!(!answer.order.needed);
    let json = serde_json::to_value(&answer).unwrap_or_default();
    assert_eq!(json["fits"], serde_json::json!([3, 2, 1]));
    assert_eq!(json["order"]["end_b"], "9/16-18");
}

#[test]
fn what_to_order_where_nothing_fits() {
    let none: [Candidate<u8>; 0] = [];
    let answer = replacement(&hose(LP), none.clone());
    assert!(answer.order.needed);
    assert!(
        answer.order.words.starts_with(
            "Nothing in stock fits. Order: rubber second-stage hose, 75 cm, 3/8-24 to 9/16-18 ("
        ),
        "{}",
        answer.order.words
    );
    let own = hose("second-stage, rubber, 75 cm, 3/8-24, proprietary:Swivel 7");
    let answer = replacement(&own, none);
    assert!(answer.order.words.contains("order it by “Swivel 7” from that maker"));
}

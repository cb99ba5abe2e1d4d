//! What tests of desks that meet share.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;

use hosewright_tests::desk::{Desk, Said};

pub fn exchanged(desk: &Desk, place: &str) -> Said {
    desk.run_args(["exchange", place])
}

pub fn met(desk: &Desk, place: &str) -> String {
    let said = exchanged(desk, place);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    said.out
}

/// The entries that a desk has, without the signatures that a later one makes needless.
pub fn entries(desk: &Desk) -> BTreeSet<String> {
    let unsigned = |line: &str| line.split(",\"sig\":").next().unwrap_or_default().to_owned();
    desk.run("export")
        .out
        .lines()
        .map(unsigned)
        .map(|l| l.trim_end_matches('}').to_owned())
        .collect()
}

pub fn agree(one: &Desk, two: &Desk) {
    let (one, two) = (entries(one), entries(two));
    assert!(one == two, "{:#?}", one.symmetric_difference(&two).take(5).collect::<Vec<_>>());
}

/// Many hoses of a shop's own list.
pub fn many(desk: &Desk, first: &str, hoses: usize) {
    let mut list = "No.,Service,Length,Construction,Made\n".to_owned();
    (0..hoses).for_each(|n| list.push_str(&format!("{first}-{n},octo,56 cm,rubber,2024-03\n")));
    fs::write(desk.path("list.csv"), list).unwrap();
    desk.done("import list.csv");
}

/// Hoses of a shop's own list: three entries each.
pub fn listed(desk: &Desk, first: &str, entries: usize) {
    const AT_ONCE: usize = 20_000;
    let hoses: Vec<usize> = (0..entries.div_ceil(3)).collect();
    for some in hoses.chunks(AT_ONCE) {
        let head = "No.,Service,Length,Construction,Made,Last full inspection,Dives\n";
        let line = |n: &usize| format!("{first}-{n},octo,56 cm,rubber,2024-03,2026-03-01,12\n");
        let list: String = std::iter::once(head.to_owned()).chain(some.iter().map(line)).collect();
        fs::write(desk.path("list.csv"), list).unwrap();
        desk.done("import list.csv");
    }
}

use chrono::DateTime;
use proptest::prelude::*;

use super::lines::{MOST, escaped, folded};
use super::*;
use crate::answer::DueKind;
use crate::hose::Label;
use crate::story::{day as on, label};
use crate::tag::Code;

const TODAY: &str = "2026-06-15";

fn moment() -> Moment {
    let time = DateTime::from_timestamp(1_781_546_400, 0).unwrap_or_default();
    Moment { today: on(TODAY), time, by: label("tester") }
}

fn row(number: Option<Label>, what: DueKind, day: &str) -> DueRow {
    let code: Code = "2RWB-XCB4-GDEA-7".parse().unwrap_or_else(|e| unreachable!("{e}"));
    let day = on(day);
    let days = (day - on(TODAY)).num_days();
    DueRow {
        code,
        number,
        what,
        on: day,
        overdue: days < 0,
        days,
        words: what.in_words(),
        hose: "a hose".to_owned(),
        short: "a hose".to_owned(),
        set: Some(label("R3")),
        port: None,
        place: "set R3, port LP1".to_owned(),
    }
}

fn list(rows: Vec<DueRow>) -> DueList {
    let total = u64::try_from(rows.len()).unwrap_or(0);
    DueList { total, rows, ..DueList::new(CALENDAR_WITHIN, on(TODAY)) }
}

/// The bytes are a promise to calendars that hold them.
#[test]
fn a_calendar_is_what_it_was() {
    let odd = label("Prüf; Öl, 7\\Ä und ein Name, der in keine Zeile passt: Würzburg/Süd");
    let rows = vec![
        row(Some(label("LP-17")), DueKind::FullInspection, "2026-06-01"),
        row(None, DueKind::LeakTest, "2026-06-15"),
        row(Some(odd), DueKind::ReplaceService, "2026-08-12"),
    ];
    let written = calendar(&list(rows), &moment());
    assert_eq!(written, include_str!("../golden/due.ics"));
    for secret in ["R3", "LP1", "a hose", "tester"] {
        assert!(!written.contains(secret), "{secret}");
    }
}

#[test]
fn a_thing_keeps_its_uid_when_its_day_moves_and_two_of_one_tag_have_two() {
    let uids = |rows: Vec<DueRow>| -> Vec<String> {
        let written = calendar(&list(rows), &moment());
        written.lines().filter(|line| line.starts_with("UID:")).map(ToOwned::to_owned).collect()
    };
    let of = |day: &str| row(None, DueKind::FullInspection, day);
    let uid = "UID:2RWB-XCB4-GDEA-7-full-inspection@hosewright";
    assert_eq!(uids(vec![of("2026-06-20")]), [uid]);
    assert_eq!(uids(vec![of("2026-07-20")]), [uid]);
    let two = uids(vec![of("2026-06-20"), of("2026-07-20")]);
    assert_eq!(two, [uid, "UID:2RWB-XCB4-GDEA-7-full-inspection-2@hosewright"]);
}

#[test]
fn a_calendar_says_what_is_not_in_it() {
    let nothing = calendar(&list(Vec::new()), &moment());
    assert!(nothing.contains("SUMMARY:No hose has anything due up to 2027-06-15\r\n"), "{nothing}");
    let mut long = list(vec![row(None, DueKind::LeakTest, TODAY)]);
    long.total = 3;
    let long = calendar(&long, &moment());
    assert!(long.contains("SUMMARY:2 more things due: see the list of what is due\r\n"), "{long}");
    assert_eq!(long.matches("BEGIN:VEVENT").count(), 2);
}

#[test]
fn texts_are_escaped_as_the_standard_says() {
    for (text, value) in [
        ("a, b; c", "a\\, b\\; c"),
        ("C:\\hoses", "C:\\\\hoses"),
        ("one\ntwo", "one\\ntwo"),
        ("“Schlauch” \"ö\": ü", "“Schlauch” \"ö\": ü"),
    ] {
        assert_eq!(escaped(text), value);
    }
}

fn unfolded(lines: &str) -> String {
    lines.replace("\r\n ", "")
}

#[test]
fn a_line_is_folded_behind_75_octets_and_between_letters() {
    let cases = [(75, 1), (76, 2), (149, 2), (150, 3)];
    for (letters, pieces) in cases {
        let written = folded(&"x".repeat(letters));
        assert_eq!(written.matches("\r\n").count(), pieces, "{letters}");
    }
    let umlauts = folded(&"ü".repeat(60));
    assert!(umlauts.lines().all(|line| line.len() <= MOST), "{umlauts}");
    assert_eq!(unfolded(&umlauts), "ü".repeat(60) + "\r\n");
}

proptest! {
    #[test]
    fn any_line_is_folded_and_comes_back(line in "[^\\r\\n]{0,400}") {
        let written = folded(&line);
        prop_assert!(written.ends_with("\r\n"));
        let pieces = written.trim_end_matches("\r\n").split("\r\n");
        prop_assert!(pieces.clone().all(|piece| piece.len() <= MOST));
        prop_assert!(pieces.skip(1).all(|piece| piece.starts_with(' ')));
        prop_assert_eq!(unfolded(&written), line + "\r\n");
    }

    #[test]
    fn any_text_is_escaped_and_comes_back(text in "[a-zü,;:\\\\\\n\" ]{0,80}") {
        let value = escaped(&text);
        prop_assert!(!value.contains('\n'));
        let mut back = String::new();
        let mut letters = value.chars();
        while let Some(letter) = letters.next() {
            match letter {
                '\\' => match letters.next() {
                    Some('n') => back.push('\n'),
                    Some(other) => back.push(other),
                    None => prop_assert!(false, "{}", value),
                },
                ',' | ';' => prop_assert!(false, "{}", value),
                other => back.push(other),
            }
        }
        prop_assert_eq!(back, text);
    }
}

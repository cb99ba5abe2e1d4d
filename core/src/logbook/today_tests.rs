use super::*;
use crate::inspection::InspectionKind;
use crate::logbook::centre::{Centre, LP, TODAY, moment};
use crate::story::label;

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

fn told(centre: &Centre, today: &str) -> Vec<(TodayKind, Option<u64>, Vec<String>)> {
    let today = good(centre.book.today(&moment(today)));
    let line = |row: &TodayRow| format!("{}: {}", row.name, row.words);
    let part = |part: &TodayPart| (part.part, part.total, part.rows.iter().map(line).collect());
    today.parts.iter().map(part).collect()
}

fn part_of(centre: &Centre, today: &str, kind: TodayKind) -> (Option<u64>, Vec<String>) {
    let parts = told(centre, today);
    let found = parts.into_iter().find(|(part, ..)| *part == kind);
    found.map(|(_, total, rows)| (total, rows)).unwrap_or_default()
}

/// A hose in Heron that may go out.
fn good_one(centre: &mut Centre, port: &str) -> Code {
    let hose = centre.hose(LP, "2026-01", None);
    centre.fit(hose, "Heron", port, TODAY);
    centre.full(hose, TODAY);
    centre.look(hose, InspectionKind::LeakTest, TODAY, &[]);
    hose
}

#[test]
fn an_empty_day_says_of_each_part_that_there_is_nothing() {
    let centre = Centre::new();
    let today = good(centre.book.today(&moment(TODAY)));
    // All but wrong PINs, which are told if there were any.
    assert_eq!(today.parts.len(), TodayKind::ALL.len() - 1);
    for part in &today.parts {
        assert!(part.rows.is_empty() && !part.more && !part.none.is_empty(), "{:?}", part.part);
        assert_eq!(part.total, Some(0), "{:?}", part.part);
    }
}

#[test]
fn a_set_is_ready_then_out_and_the_longest_out_comes_first() {
    let mut centre = Centre::new();
    let hose = good_one(&mut centre, "LP1");
    assert_eq!(part_of(&centre, TODAY, TodayKind::Ready), (Some(1), vec!["Heron: 1 hose".into()]));
    let now = centre.at(TODAY);
    good(centre.book.hand_out(&label("Heron"), label("41"), &[hose.to_string()], None, None, &now));
    assert_eq!(part_of(&centre, TODAY, TodayKind::Ready), (Some(0), vec![]));
    let out = |today| part_of(&centre, today, TodayKind::Out);
    assert_eq!(out(TODAY), (Some(1), vec!["Heron: out since today, ticket 41".into()]));
    assert_eq!(out("2026-06-16").1, ["Heron: out for 1 day, ticket 41"]);
    assert_eq!(out("2026-06-27").1, ["Heron: out for 12 days, ticket 41"]);
}

#[test]
fn what_is_on_hold_says_why_and_only_the_first_are_shown() {
    let mut centre = Centre::new();
    for at in 0..8 {
        let hose = centre.hose(LP, "2026-01", None);
        if at > 0 {
            centre.look(hose, InspectionKind::Full, TODAY, &["seal-a:seal-missing"]);
        }
    }
    let (total, rows) = part_of(&centre, TODAY, TodayKind::Hold);
    let list = good(centre.book.list(
        &Filter { verdict: Some(Verdict::Hold), ..Filter::default() },
        Sort::Number,
        &Page::ALL,
        &moment(TODAY),
    ));
    assert_eq!((total, rows.len()), (Some(list.total), ROWS));
    for (row, answer) in rows.iter().zip(&list.rows) {
        assert_eq!(*row, format!("{}: {}", answer.code, why(answer)));
        assert!(row.ends_with('.'), "{row}");
    }
    // What is due this week is the head of the list of what is due.
    let week = centre.due("7d");
    let (due, rows) = part_of(&centre, TODAY, TodayKind::Due);
    assert_eq!((due, rows.len()), (Some(week.total), ROWS.min(week.rows.len())));
}

#[test]
fn a_swap_that_was_begun_is_shown_once_until_it_is_given_up() {
    let mut centre = Centre::new();
    let (old, new) = (good_one(&mut centre, "LP1"), centre.hose(LP, "2026-01", None));
    centre.full(new, TODAY);
    let now = centre.at(TODAY);
    good(centre.book.swap_step((old, new), None, ("depressurised", "done"), None, &now));
    let swap = format!("{old} for {new}: Heron LP1, begun 15 June");
    assert_eq!(part_of(&centre, TODAY, TodayKind::Swaps), (Some(1), vec![swap]));
    let now = centre.at(TODAY);
    good(centre.book.swap_give_up((old, new), &label("no time"), &now));
    assert_eq!(part_of(&centre, TODAY, TodayKind::Swaps), (Some(0), vec![]));
}

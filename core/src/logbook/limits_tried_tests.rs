use super::super::centre::{Centre, LP, TODAY, moment};
use super::*;
use crate::hose::Construction;
use crate::inspection::Verdict::{self, Hold, Ready, Watch};
use crate::policy::Use;
use crate::tag::Code;

/// A braided hose in service since 1 July 2024, and a rubber one since 1 March 2026.
fn fleet() -> (Centre, [Code; 2]) {
    let mut centre = Centre::new();
    let braided = centre.hose("second-stage, braided, 75 cm, 3/8-24, 9/16-18", "2024-01", None);
    let rubber = centre.hose(LP, "2026-01", None);
    for (hose, port, on) in [(braided, "LP1", "2024-07-01"), (rubber, "LP2", "2026-03-01")] {
        centre.fit(hose, "Heron", port, on);
        centre.full(hose, "2026-06-01");
    }
    (centre, [braided, rubber])
}

fn in_service(months: u32) -> Change {
    Change::new(Some(months), None, None, None).unwrap_or_else(|e| unreachable!("{e}"))
}

fn verdicts(centre: &Centre, hoses: &[Code]) -> Vec<Verdict> {
    let answer = |hose: &Code| centre.book.answer(&hose.to_string(), &moment(TODAY));
    hoses.iter().map(|hose| answer(hose).map_or(Verdict::Retire, |a| a.verdict)).collect()
}

/// What was said to change is what changes once it is set, on both sides of each border, and
/// nothing is written before.
#[test]
fn what_is_tried_is_what_comes_of_setting_it() {
    let braided = Scope { construction: Some(Construction::Braided), ..Scope::default() };
    let all = Scope::default();
    for (scope, months, wanted, words) in [
        (all, 23, [Hold, Ready], "1 hose would go on hold today."),
        (all, 24, [Watch, Ready], "1 hose would go on watch today."),
        (all, 30, [Ready, Ready], "No hose would change its verdict today."),
        (all, 1, [Hold, Hold], "2 hoses would go on hold today."),
        (braided, 1, [Hold, Ready], "1 hose would go on hold today."),
    ] {
        let (mut centre, hoses) = fleet();
        assert_eq!(verdicts(&centre, &hoses), [Ready, Ready]);
        let before = centre.book.fleet().ok();
        let mut told = Vec::new();
        let change = in_service(months);
        let tried = centre.book.try_limits(scope, change, &moment(TODAY), |n, of| {
            told.push((n, of));
        });
        let tried = tried.unwrap_or_else(|e| unreachable!("{e}"));
        assert_eq!((tried.words.as_str(), tried.hoses), (words, 2), "{months}");
        assert_eq!(told, [(1, 2), (2, 2)], "every hose is told");
        assert_eq!(centre.book.fleet().ok(), before, "nothing is written");
        let now = centre.at(TODAY);
        let set = centre.book.limit(scope, change, &now, |_, _| ());
        set.unwrap_or_else(|e| unreachable!("{e}"));
        assert_eq!(verdicts(&centre, &hoses), wanted, "{months}");
        for (hose, verdict) in hoses.iter().zip(wanted) {
            let said = tried.changed.iter().find(|one| one.code == *hose);
            assert_eq!(said.map_or(Ready, |one| one.after), verdict, "{months}");
        }
    }
}

#[test]
fn a_longer_limit_takes_hoses_off_hold_and_says_what_ends() {
    let (mut centre, [braided, _]) = fleet();
    let now = centre.at(TODAY);
    let rental = Scope { in_use: Some(Use::Rental), ..Scope::default() };
    let set = centre.book.limit(rental, in_service(12), &now, |_, _| ());
    set.unwrap_or_else(|e| unreachable!("{e}"));
    let tried = centre.book.try_limits(rental, in_service(60), &moment(TODAY), |_, _| ());
    let tried = tried.unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(tried.words, "1 hose would come off hold today.");
    let [one] = tried.changed.as_slice() else { unreachable!("one hose") };
    assert_eq!((one.code, one.before, one.after), (braided, Hold, Ready));
    assert!(one.words.contains("its limit of 1 year ended on 2025-07-01"), "{}", one.words);
    assert!(one.place.contains("Heron"), "{}", one.place);
}

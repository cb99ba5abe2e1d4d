//! A set comes back: every hose is scanned or named missing.

use super::super::rentals::tests::{TODAY, Wharf, all_back, good, moment, open, wharf};
use super::*;
use crate::event::{EntryId, HandedOut};
use crate::journal::Trust;
use crate::policy::{Change, Scope};
use crate::story::{day, label, port_name};

const LATER: &str = "2026-06-18";

fn names(codes: &[Code]) -> Vec<String> {
    codes.iter().map(ToString::to_string).collect()
}

/// The wharf's set is out; it comes back with what `said` makes of all its hoses.
fn back(
    wharf: &mut Wharf,
    dives: Option<u32>,
    said: impl FnOnce(&Wharf, BroughtBack) -> BroughtBack,
) -> Result<TakenBack, LogbookError> {
    let all = all_back(&wharf.book, "Heron", dives, &[]);
    let said = said(wharf, all);
    wharf.book.take_back(&label("Heron"), &said, None, &moment(LATER))
}

fn out() -> Wharf {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    wharf
}

/// Each way in which a return can fail to say where every hose is.
#[test]
fn a_return_says_where_every_hose_is() {
    type Row = (&'static str, fn(&Wharf, BroughtBack) -> BroughtBack, Option<&'static str>);
    let rows: &[Row] = &[
        ("all scanned", |_, all| all, None),
        ("none named", |_, all| BroughtBack { scanned: vec![], ..all }, Some("neither scanned")),
        (
            "one not named",
            |w, all| BroughtBack { scanned: names(&w.heron[1..]), ..all },
            Some("HP1"),
        ),
        (
            "one missing",
            |w, all| BroughtBack {
                scanned: names(&w.heron[1..]),
                missing: names(&w.heron[..1]),
                ..all
            },
            None,
        ),
        (
            "all missing",
            |w, all| BroughtBack { scanned: vec![], missing: names(&w.heron), ..all },
            None,
        ),
        (
            "scanned and missing",
            |w, all| BroughtBack { missing: names(&w.heron[..1]), ..all },
            Some("choose one"),
        ),
        (
            "seen and missing",
            |w, all| BroughtBack {
                scanned: names(&w.heron[1..]),
                missing: names(&w.heron[..1]),
                seen: vec![(w.heron[0].to_string(), good("run:scuff".parse()))],
                ..all
            },
            Some("choose one"),
        ),
        (
            "what was seen on a hose says that it is here",
            |w, all| BroughtBack {
                scanned: names(&w.heron[1..]),
                seen: vec![(w.heron[0].to_string(), good("run:scuff".parse()))],
                ..all
            },
            None,
        ),
        (
            "of another set",
            |w, mut all| {
                all.scanned.push(w.egret.to_string());
                all
            },
            Some("was not out with set Heron"),
        ),
        (
            "from stock, named missing",
            |w, all| BroughtBack { missing: names(&[w.stock]), ..all },
            Some("was not out with set Heron"),
        ),
        (
            "scanned twice",
            |w, mut all| {
                all.scanned.extend(names(&w.heron));
                all
            },
            None,
        ),
    ];
    for (name, said, refused) in rows {
        let mut wharf = out();
        let before = wharf.exported();
        let back = back(&mut wharf, Some(1), said);
        match refused {
            Some(words) => {
                let why = back.err().map(|e| e.to_string()).unwrap_or_default();
                assert!(why.contains(words), "{name}: {why}");
                assert_eq!(wharf.exported(), before, "{name}: it was written");
            }
            None => {
                good(back);
                assert!(good(wharf.book.set(&label("Heron"))).out.is_none(), "{name}");
            }
        }
    }
}

#[test]
fn a_hose_that_is_not_accounted_for_is_named() {
    let mut wharf = out();
    let why =
        back(&mut wharf, Some(1), |w, all| BroughtBack { scanned: names(&w.heron[2..]), ..all });
    let why = why.err().map(|e| e.to_string()).unwrap_or_default();
    for hose in &wharf.heron[..2] {
        assert!(why.contains(&hose.to_string()), "{why}");
    }
    assert!(!why.contains(&wharf.heron[2].to_string()), "{why}");
    assert!(why.contains("HP1") && why.contains("LP1") && why.contains("T-17"), "{why}");
}

#[test]
fn a_missing_hose_leaves_its_port_and_is_held() {
    let mut wharf = out();
    let [gone, kept] = [wharf.heron[1], wharf.heron[0]];
    let back = good(back(&mut wharf, Some(3), |w, all| BroughtBack {
        scanned: all.scanned.into_iter().filter(|code| *code != w.heron[1].to_string()).collect(),
        missing: names(&w.heron[1..2]),
        ..all
    }));
    assert_eq!(back.missing.iter().map(|hose| hose.code).collect::<Vec<_>>(), [gone]);
    assert!(!back.hoses.iter().any(|hose| hose.code == gone) && back.hoses.len() == 3);
    let told = back.differences.join(" ");
    assert!(told.contains(&format!("{gone} did not come back")), "{told}");
    assert!(told.contains("LP1 is left open"), "{told}");
    let set = good(wharf.book.set(&label("Heron")));
    assert!(set.out.is_none() && !set.hoses.values().any(|hose| *hose == gone));
    let record = good(wharf.book.record(gone));
    assert_eq!((record.out(), record.seat, record.dives), (None, None, 3));
    assert!(record.last(InspectionKind::Quick).is_none(), "nobody looked at it");
    let answer = good(wharf.book.answer(&gone.to_string(), &moment(LATER)));
    let held = answer.reasons.iter().find(|reason| reason.code == "held");
    let held = held.map(|reason| reason.words.clone()).unwrap_or_default();
    assert!(held.contains(&format!("missing since {LATER}, ticket T-17")), "{held}");
    let history = good(wharf.book.history(gone));
    let came = history.iter().find(|line| line.words.starts_with("came back"));
    let came = came.map(|line| line.words.clone()).unwrap_or_default();
    assert!(came.contains(&format!("without {gone}, missing")), "{came}");
    // It is found: a release with a reason ends the hold, and nothing else does.
    let reasons = |wharf: &Wharf, hose: Code| {
        let answer = good(wharf.book.answer(&hose.to_string(), &moment(LATER)));
        answer.reasons.into_iter().map(|reason| reason.code).collect::<Vec<_>>()
    };
    assert_eq!(reasons(&wharf, kept), Vec::<String>::new());
    assert_eq!(reasons(&wharf, gone), ["held"]);
    good(wharf.book.release(gone, &label("found in the van"), &moment(LATER)));
    assert_eq!(reasons(&wharf, gone), Vec::<String>::new());
    assert!(good(wharf.book.check(|_, _| ())).sound());
}

/// Taking the return back takes all of it back: the set is out again, and the
/// hose is in its port. Its hold is released, not withdrawn.
#[test]
fn a_return_is_one_act() {
    let mut wharf = out();
    let gone = wharf.heron[1];
    good(back(&mut wharf, Some(3), |w, all| BroughtBack {
        scanned: all.scanned.into_iter().filter(|code| *code != w.heron[1].to_string()).collect(),
        missing: names(&w.heron[1..2]),
        ..all
    }));
    let history = good(wharf.book.history(gone));
    let came = history.iter().find(|line| line.words.starts_with("came back"));
    let id = came.map(|line| line.entry.id()).unwrap_or_else(|| unreachable!("it came back"));
    let act = history.iter().filter(|line| line.entry.act() == came.and_then(|l| l.entry.act()));
    let kinds: Vec<&str> = act.map(|line| line.entry.kind.as_str()).collect();
    assert_eq!(kinds, ["returned", "removed", "held"]);
    assert!(came.is_some_and(|line| line.trust == Trust::Full));
    assert!(history.iter().any(|line| line.entry.id() == id));
}

/// The owner's number for each day away, the first and the last included.
#[test]
fn dives_that_nobody_knows_are_estimated() {
    for (a_day, on, dives) in
        [(None, TODAY, 4), (None, "2026-06-16", 8), (None, LATER, 16), (Some(3), LATER, 12)]
    {
        let mut wharf = out();
        if let Some(a_day) = a_day {
            let change = good(Change::of_unknown_dives(a_day));
            good(wharf.book.limit(Scope::default(), change, &moment(TODAY), |_, _| ()));
        }
        assert_eq!(good(wharf.book.dives_a_day(&moment(LATER))), a_day.unwrap_or(4));
        let all = all_back(&wharf.book, "Heron", None, &[]);
        let set = label("Heron");
        let back = good(wharf.book.take_back(&set, &all, Some(day(on)), &moment(LATER)));
        assert_eq!((back.dives, back.estimated), (dives, true), "{on}");
        assert!(back.words.contains("estimated"), "{}", back.words);
        assert_eq!(good(wharf.book.record(wharf.heron[0])).dives, dives);
        let history = good(wharf.book.history(wharf.heron[0]));
        assert!(history.iter().any(|line| line.words.contains("estimated: nobody knew")));
    }
    let mut wharf = out();
    let told = good(back(&mut wharf, Some(4), |_, all| all));
    assert!(!told.estimated && !told.words.contains("estimated"), "{}", told.words);
}

/// What was shown at the hand-out stays as it was, whatever is written since.
#[test]
fn a_hand_out_keeps_what_was_shown() {
    let mut wharf = wharf();
    super::super::rentals::tests::look(
        &mut wharf.book,
        wharf.heron[0],
        InspectionKind::Quick,
        &["run:cut:cover"],
        TODAY,
    );
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let history = good(wharf.book.history(wharf.heron[0]));
    let shown = history.iter().find_map(|line| match &line.event {
        Some(Event::HandedOut(HandedOut { shown, .. })) => Some(shown.clone()),
        _ => None,
    });
    let shown = shown.unwrap_or_default();
    assert_eq!(shown.iter().map(|then| then.hose).collect::<Vec<_>>(), wharf.heron);
    let verdicts: Vec<Verdict> = shown.iter().map(|then| then.verdict).collect();
    assert_eq!(verdicts, [Verdict::Watch, Verdict::Ready, Verdict::Ready, Verdict::Ready]);
    assert_eq!(shown[0].reasons[0].code, "finding-cut");
    assert!(shown[0].reasons[0].words.contains("On the run"), "{shown:?}");
}

/// Two desks hand one set out while apart: a return of one of the two tickets does
/// not say which hirer has it.
#[test]
fn both_tickets_come_back_before_it_is_not_rented_twice() {
    let mut wharf = wharf();
    let mut other = open(&wharf.folder, "other", 8);
    let text = wharf.exported();
    good(other.import_lines(&mut text.as_bytes(), false, chrono::NaiveDate::default(), |_, _| ()));
    let (set, scans) = (label("Heron"), wharf.scans());
    good(wharf.out(&scans, None));
    good(other.hand_out(&set, label("T-99"), &scans, None, None, &moment("2026-06-16")));
    let one = all_back(&other, "Heron", Some(1), &[]);
    good(other.take_back(&set, &one, None, &moment("2026-06-17")));
    let mut theirs = Vec::new();
    good(other.export(&mut theirs, |_, _| ()));
    good(wharf.book.import_lines(
        &mut theirs.as_slice(),
        false,
        chrono::NaiveDate::default(),
        |_, _| (),
    ));
    let twice = |wharf: &Wharf| {
        let answer = good(wharf.book.answer(&wharf.heron[0].to_string(), &moment(LATER)));
        answer.reasons.into_iter().find(|reason| reason.code == "rented-twice")
    };
    let words = twice(&wharf).map(|reason| reason.words).unwrap_or_default();
    assert!(words.contains("T-17") && words.contains("T-99"), "one of two is back: {words}");
    good(back(&mut wharf, Some(1), |_, all| all));
    assert!(twice(&wharf).is_none(), "both are back");
    // One after the other is no contest.
    let mut wharf = self::wharf();
    for ticket in ["T-1", "T-2"] {
        good(wharf.book.hand_out(&set, label(ticket), &scans, None, None, &moment(TODAY)));
        assert!(twice(&wharf).is_none());
        good(wharf.back(1, &[]));
    }
}

/// A hose that did not come back is missing, and not in stock, until it is found:
/// by a release, or in someone's hand that fits it.
#[test]
fn a_missing_hose_is_missing_until_it_is_found() {
    let lost = || {
        let mut wharf = out();
        let gone = wharf.heron[1];
        good(back(&mut wharf, Some(3), |w, all| BroughtBack {
            scanned: all.scanned.into_iter().filter(|c| *c != w.heron[1].to_string()).collect(),
            missing: names(&w.heron[1..2]),
            ..all
        }));
        (wharf, gone)
    };
    let place = |wharf: &Wharf, hose: Code| {
        let place = good(wharf.book.answer(&hose.to_string(), &moment(LATER))).place;
        (place.words, place.missing)
    };
    let (mut wharf, gone) = lost();
    let missing = (format!("missing since {LATER}, ticket T-17"), Some(day(LATER)));
    assert_eq!(place(&wharf, gone), missing);
    assert_eq!(place(&wharf, wharf.heron[0]), ("set Heron, port HP1".to_owned(), None));
    // Nobody counts on it as stock.
    let bulge = super::super::rentals::tests::look;
    bulge(&mut wharf.book, wharf.egret, InspectionKind::Quick, &["run:bulge"], TODAY);
    let order = good(wharf.book.order(good("90d".parse()), &moment(LATER)));
    let held: Vec<_> = order.lines.iter().flat_map(|line| &line.held).map(|h| h.code).collect();
    assert_eq!((order.lines.len(), held), (1, vec![]));
    // A hold of its own is no word of where it is.
    good(wharf.book.hold(gone, label("wet"), false, &moment(LATER)));
    assert_eq!(place(&wharf, gone), missing);
    good(wharf.book.release(gone, &label("found"), &moment(LATER)));
    assert_eq!(place(&wharf, gone), ("in stock".to_owned(), None));
    // Fitted, it is where it is; its hold remains.
    let (mut wharf, gone) = lost();
    good(wharf.book.fit(gone, &label("Heron"), port_name("LP1"), None, &moment(LATER)));
    assert_eq!(place(&wharf, gone), ("set Heron, port LP1".to_owned(), None));
    let reasons = good(wharf.book.answer(&gone.to_string(), &moment(LATER))).reasons;
    assert!(reasons.iter().any(|reason| reason.code == "held"));
    // The return taken back, it is out as before, and its hold says so.
    let (mut wharf, gone) = lost();
    let history = good(wharf.book.history(gone));
    let came = history.iter().find(|line| line.words.starts_with("came back"));
    let ids: Vec<EntryId> = came.map(|line| line.id).into_iter().collect();
    good(wharf.book.withdraw(&ids, false, &label("a slip"), &moment(LATER)));
    let (words, missing) = place(&wharf, gone);
    assert_eq!(words, "out on ticket T-17; its place is set Heron, port LP1");
    assert_eq!(missing, None);
    let answer = good(wharf.book.answer(&gone.to_string(), &moment(LATER)));
    let held = answer.reasons.iter().find(|reason| reason.code == "held");
    assert!(held.is_some_and(|held| held.words.ends_with("has been withdrawn.")), "{held:?}");
    assert!(good(wharf.book.check(|_, _| ())).sound());
}

/// A set that is held is on hold, and one in quarantine is in quarantine.
#[test]
fn a_hold_is_no_quarantine() {
    let mut wharf = out();
    let stands = |wharf: &Wharf| {
        let view = good(wharf.book.set_view(&label("Heron"), &moment(LATER)));
        (view.words, view.quarantined, view.in_quarantine)
    };
    let back = good(back(&mut wharf, Some(1), |_, all| all));
    assert!(back.words.ends_with("Nothing keeps it from going out again."), "{}", back.words);
    assert_eq!(stands(&wharf), ("Nothing is known against its 4 hoses.".to_owned(), false, false));
    good(wharf.book.hold_set(&label("Heron"), label("doubt"), false, &moment(LATER)));
    let (words, stopped, quarantined) = stands(&wharf);
    assert_eq!((words.as_str(), stopped, quarantined), (words::sets::ON_HOLD, true, false));
    let mut wharf = out();
    let seen = vec![(wharf.heron[1].to_string(), good("seal-a:seal-damaged".parse()))];
    let back = good(self::back(&mut wharf, Some(1), |_, all| BroughtBack { seen, ..all }));
    assert!(back.words.ends_with(words::sets::QUARANTINED), "{}", back.words);
    let (words, stopped, quarantined) = stands(&wharf);
    assert_eq!((words.as_str(), stopped, quarantined), (words::sets::QUARANTINED, true, true));
    for (stopped, quarantined, brief) in [
        (false, false, "here"),
        (true, false, "here, on hold"),
        (true, true, "here, in quarantine"),
        (false, true, "here, in quarantine"),
    ] {
        assert_eq!(words::sets::briefly(None, None, stopped, quarantined), brief);
    }
}

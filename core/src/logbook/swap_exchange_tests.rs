//! A wrong new hose is exchanged at any step, and a resealed hose from stock is put on.

use super::super::rentals::tests::{TODAY, Wharf, good, look, moment, register, wharf};
use super::*;
use crate::hose::{End, Service};
use crate::inspection::InspectionKind;
use crate::logbook::{Told, told};
use crate::story::label;
use crate::swap::{Asks, STEPS, Step};

/// What answers a step of a swap.
fn answer(step: &str, (old, new): (Code, Code)) -> String {
    match Step::named(step).map(|step| step.asks) {
        Some(Asks::OldTag) => old.to_string(),
        Some(Asks::NewTag) => new.to_string(),
        Some(Asks::Seals) => "good".to_owned(),
        Some(Asks::LeakTest) => "passed 200 bar under water".to_owned(),
        Some(Asks::OldGoes) => "stock".to_owned(),
        _ => "done".to_owned(),
    }
}

/// Answers every step up to one, which is left open; without one up to the end.
fn up_to(w: &mut Wharf, pair: (Code, Code), last: Option<&str>) -> SwapView {
    let now = moment(TODAY);
    let mut view = good(w.book.swap(pair.0, pair.1, None, &now));
    while let Some(next) = view.next.clone().filter(|next| Some(next.step) != last) {
        let said = answer(next.step, pair);
        view = good(w.book.swap_step(pair, None, (next.step, &said), None, &now));
    }
    view
}

fn answered(view: &SwapView) -> Vec<&str> {
    view.steps.iter().filter(|step| step.answer.is_some()).map(|step| step.step).collect()
}

#[test]
fn a_wrong_hose_is_exchanged_at_any_step_and_the_rest_stays_done() {
    let before = ["depressurised", "laid-out", "old-tag", "held", "spanner", "off", "far-end-off"];
    let with_seals: Vec<&str> = before.iter().copied().chain(["seals"]).collect();
    // Once it was on, the set was under pressure, and the hose has to come off.
    let on: Vec<&str> = with_seals
        .iter()
        .copied()
        .filter(|s| !["depressurised", "held", "seals"].contains(s))
        .collect();
    for (last, next, kept) in [
        ("laid-out", "laid-out", &with_seals[..1]),
        ("off", "off", &with_seals[..5]),
        ("new-tag", "new-tag", &with_seals[..]),
        ("started", "new-tag", &with_seals[..]),
        ("tightened", "new-tag", &with_seals[..]),
        ("far-end-on", "depressurised", &on[..]),
        ("leak-test", "depressurised", &on[..]),
        ("function-check", "depressurised", &on[..]),
        ("old-goes", "depressurised", &on[..]),
    ] {
        let mut w = wharf();
        let (old, wrong) = (w.heron[1], w.stock);
        let right = register(&mut w.book, Service::SecondStage);
        up_to(&mut w, (old, wrong), Some(last));
        let view = good(w.book.swap_exchange((old, wrong), right, &moment(TODAY)));
        assert_eq!(view.next.as_ref().map(|next| next.step), Some(next), "at {last}");
        let mut kept: Vec<&str> = kept.to_vec();
        kept.sort_unstable();
        let mut done = answered(&view);
        done.sort_unstable();
        assert_eq!(done, kept, "at {last}");
        assert!(view.exchanged.is_some(), "at {last}");
        // The wrong one is in stock again, and in no swap.
        let back = good(w.book.record(wrong));
        assert_eq!((back.seat, back.swaps.len()), (None, 0), "at {last}");
        assert!(!w.reasons(wrong).contains(&"leak-test-due".to_owned()), "at {last}");
        assert!(w.reasons(right).contains(&"swap-open".to_owned()), "at {last}");
        let end = up_to(&mut w, (old, right), None);
        assert_eq!(end.next, None, "at {last}");
        assert_eq!(w.reasons(right), [] as [String; 0], "at {last}");
        let port = good(w.book.record(right)).seat.map(|slot| slot.port.to_string());
        assert_eq!(port.as_deref(), Some("LP1"), "at {last}");
        assert_eq!(good(w.book.record(old)).seat, None, "at {last}");
    }
}

#[test]
fn what_does_not_do_either_is_refused_and_changes_nothing() {
    let mut w = wharf();
    let (old, wrong, egret, now) = (w.heron[1], w.stock, w.egret, moment(TODAY));
    let held = register(&mut w.book, Service::SecondStage);
    good(w.book.hold(held, label("doubted"), false, &now));
    let gauge = register(&mut w.book, Service::Gauge);
    let not_begun = w.book.swap_exchange((old, wrong), gauge, &now).map(drop);
    assert!(matches!(not_begun, Err(LogbookError::Swap(_))), "{not_begun:?}");
    up_to(&mut w, (old, wrong), Some("started"));
    let before = w.exported();
    for (other, why) in [
        (wrong, "in this swap already"),
        (old, "in this swap already"),
        (held, "doubted"),
        (egret, "Egret"),
        (gauge, "does not fit"),
    ] {
        let said = w.book.swap_exchange((old, wrong), other, &now).map(drop);
        let said = said.err().map(|e| e.to_string()).unwrap_or_default();
        assert!(said.contains(why), "{why}: {said}");
    }
    assert_eq!(w.exported(), before);
}

#[test]
fn an_exchange_is_told_within_the_one_line_of_the_swap() {
    let mut w = wharf();
    let (old, wrong) = (w.heron[1], w.stock);
    let right = register(&mut w.book, Service::SecondStage);
    up_to(&mut w, (old, wrong), Some("leak-test"));
    good(w.book.swap_exchange((old, wrong), right, &moment(TODAY)));
    up_to(&mut w, (old, right), None);
    let history = good(w.book.history(old));
    let swaps: Vec<String> = told(&history)
        .into_iter()
        .filter_map(|told| match told {
            Told::Swap { words, .. } => Some(words),
            Told::Line(_) => None,
        })
        .collect();
    assert_eq!(swaps.len(), 1, "{swaps:?}");
    let words = swaps.concat();
    for part in [format!("{old} off, {right} on instead of {wrong}"), "finished".to_owned()] {
        assert!(words.contains(&part), "{words}");
    }
    let lines = told(&history);
    let outside = lines.iter().filter_map(|told| match told {
        Told::Line(line) => line.event.as_ref(),
        Told::Swap { .. } => None,
    });
    assert_eq!(outside.filter(|event| matches!(event, Event::Swapped(_))).count(), 0);
}

/// Whoever does not know of exchanges reads the end of one swap and the steps of another.
#[test]
fn an_older_program_never_takes_the_wrong_hose_for_fitted() {
    let mut w = wharf();
    let (old, wrong) = (w.heron[1], w.stock);
    let right = register(&mut w.book, Service::SecondStage);
    up_to(&mut w, (old, wrong), Some("leak-test"));
    good(w.book.swap_exchange((old, wrong), right, &moment(TODAY)));
    let open = good(w.book.record(old)).swaps;
    let [swap] = open.as_slice() else { unreachable!("{open:?}") };
    assert_eq!((swap.old, swap.new, swap.instead), (old, right, Some(wrong)));
    let lines = good(w.book.history(wrong));
    let ends = lines.iter().filter_map(|line| match &line.event {
        Some(Event::Swapped(swap)) if swap.step.as_str() == OpenSwap::END => Some(swap.hoses),
        _ => None,
    });
    assert_eq!(ends.collect::<Vec<_>>(), [[old, wrong]]);
    assert!(lines.iter().any(|line| matches!(&line.event, Some(Event::Removed(_)))));
}

#[test]
fn every_step_after_the_new_hose_is_scanned_is_asked_again() {
    let new = STEPS.iter().skip_while(|step| step.asks != Asks::NewTag);
    assert!(new.clone().count() > 5);
    for step in new {
        assert_eq!(step.again, crate::swap::Again::Always, "{}", step.name);
    }
}

/// New O-rings in stock want a leak test once the hose is fitted: the swap's own is it.
#[test]
fn a_resealed_hose_from_stock_is_put_on_by_a_swap() {
    let mut w = wharf();
    let (old, new, now) = (w.heron[1], w.stock, moment(TODAY));
    look(&mut w.book, new, InspectionKind::Quick, &["seal-a:seal-damaged"], "2026-06-03");
    // A seal that is not replaced yet keeps it in stock.
    assert!(matches!(w.book.swap(old, new, None, &now), Err(LogbookError::Held { .. })));
    // New O-rings at the other end do not help it.
    good(w.book.reseal_with(new, (End::B, None, None), None, &now));
    assert!(matches!(w.book.swap(old, new, None, &now), Err(LogbookError::Held { .. })));
    good(w.book.reseal_with(new, (End::A, None, None), None, &now));
    let view = good(w.book.swap(old, new, None, &now));
    assert!(view.steps.iter().any(|step| step.step == "leak-test"));
    let view = up_to(&mut w, (old, new), Some("leak-test"));
    assert!(w.reasons(new).iter().any(|code| code == "leak-test-due"), "{:?}", w.reasons(new));
    assert!(view.next.is_some());
    up_to(&mut w, (old, new), None);
    assert_eq!(w.reasons(new), [] as [String; 0]);
}

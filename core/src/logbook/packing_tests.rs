//! A set packed the evening before: what lets it go out by one scan, and what does not.

use super::super::rentals::tests::{Wharf, good, look, moment, open, wharf};
use super::*;
use crate::event::RecallOf;
use crate::inspection::InspectionKind;
use crate::policy::{Change, Scope};
use crate::rental::StopKind;
use crate::story::{label, port_name};

const EVENING: &str = "2026-06-15";
const MORNING: &str = "2026-06-16";

fn heron() -> Label {
    label("Heron")
}

impl Wharf {
    fn pack(&mut self, ticket: &str) -> Result<HandOutCheck, LogbookError> {
        let scans = self.scans();
        self.book.pack(&heron(), label(ticket), &scans, None, None, &moment(EVENING))
    }

    fn go(&mut self) -> Result<HandOutCheck, LogbookError> {
        self.book.hand_out_packed(&heron(), None, None, None, &moment(MORNING))
    }

    fn news(&self) -> Vec<String> {
        let packed = good(self.book.packed(&heron(), &moment(MORNING)));
        packed.map(|packed| packed.news).unwrap_or_else(|| unreachable!("not packed"))
    }
}

#[test]
fn a_packed_set_goes_out_with_what_was_scanned() {
    let mut w = wharf();
    good(w.pack("41"));
    assert!(good(w.book.set(&heron())).out.is_none());
    assert_eq!(w.news(), [] as [String; 0]);
    good(w.go());
    let set = good(w.book.set(&heron()));
    let out = set.out.unwrap_or_else(|| unreachable!("it is out"));
    assert_eq!((out.ticket.as_str(), set.packed), ("41", None));
    assert_eq!(out.hoses, w.heron);
    let twice = w.go().err().map(|e| e.to_string()).unwrap_or_default();
    assert!(twice.contains("is out"), "{twice}");
    // A packing of before does not send it out again once it is back.
    let all = super::super::rentals::tests::all_back(&w.book, "Heron", Some(2), &[]);
    good(w.book.take_back(&heron(), &all, None, &moment("2026-06-17")));
    let again = w.book.hand_out_packed(&heron(), None, None, None, &moment("2026-06-18"));
    assert!(matches!(again, Err(LogbookError::Packing(PackingError::NotPacked(_)))));
}

/// What happens overnight, and a word of what is said of it.
type Row = (&'static str, fn(&mut Wharf), &'static str);

#[test]
fn anything_new_since_then_stops_it_and_is_named() {
    let rows: &[Row] = &[
        ("a finding", |w| scuffed(w, "run:scuff"), "On the run"),
        ("a cut", |w| scuffed(w, "run:cut:deep"), "On the run"),
        (
            "a hold of a hose",
            |w| {
                good(w.book.hold(w.heron[1], label("doubted"), false, &moment(MORNING)));
            },
            "doubted",
        ),
        (
            "a hold of the set",
            |w| good(w.book.hold_set(&heron(), label("creeps"), false, &moment(MORNING))),
            "creeps",
        ),
        (
            "a hose taken off",
            |w| {
                good(w.book.remove(w.heron[1], None, &moment(MORNING)));
            },
            "is no longer there",
        ),
        (
            "a hose that came",
            |w| {
                let (stock, port) = (w.stock, port_name("LP4"));
                good(w.book.fit(stock, &heron(), port, None, &moment(MORNING)));
            },
            "was not there",
        ),
        (
            "new O-rings",
            |w| {
                let end = (crate::hose::End::A, None, None);
                good(w.book.reseal_with(w.heron[1], end, None, &moment(MORNING)));
            },
            "resealed",
        ),
        (
            "a limit",
            |w| {
                let limits = good(Change::new(None, Some(5), None, None));
                good(w.book.limit(Scope::default(), limits, &moment(MORNING), |_, _| ()));
            },
            "limit",
        ),
        (
            "a recall",
            |w| {
                let made = "2026-01..2026-02".parse().ok();
                let of = RecallOf { maker: Some(label("Kelpline")), made, ..RecallOf::default() };
                good(w.book.recall_by(of, label("ferrules"), None, &moment(MORNING)));
            },
            "recall",
        ),
        (
            "another name of the set",
            |w| {
                let name = Some(label("Heron two"));
                let edit = crate::SetEdit { name, ..crate::SetEdit::default() };
                good(w.book.change_set(&heron(), edit, None, &moment(MORNING)));
                let edit = crate::SetEdit { name: Some(heron()), ..crate::SetEdit::default() };
                good(w.book.change_set(&label("Heron two"), edit, None, &moment(MORNING)));
            },
            say::SET_CHANGED,
        ),
    ];
    for (what, happens, said) in rows {
        let mut w = wharf();
        good(w.pack("41"));
        happens(&mut w);
        let news = w.news().join(" ");
        assert!(news.contains(said), "{what}: {news}");
        let before = w.exported();
        match w.go() {
            Err(LogbookError::Packing(PackingError::Changed { news: refused, .. })) => {
                assert_eq!(refused.join(" "), news, "{what}");
            }
            other => unreachable!("{what}: {other:?}"),
        }
        assert_eq!(w.exported(), before, "{what}");
    }
}

fn scuffed(w: &mut Wharf, seen: &str) {
    let hose = w.heron[1];
    look(&mut w.book, hose, InspectionKind::Quick, &[seen], EVENING);
}

#[test]
fn what_was_shown_when_it_was_packed_is_not_new() {
    let mut w = wharf();
    scuffed(&mut w, "run:scuff");
    // A day that comes nearer says nothing new either.
    let limits = good(Change::new(None, None, None, Some(1)));
    good(w.book.limit(Scope::default(), limits, &moment(EVENING), |_, _| ()));
    let near = w.reasons(w.heron[0]);
    assert!(near.contains(&"inspection-near".to_owned()), "{near:?}");
    good(w.pack("41"));
    assert_eq!(w.news(), [] as [String; 0]);
    good(w.go());
}

#[test]
fn it_is_packed_once_and_goes_out_under_its_ticket_alone() {
    let mut w = wharf();
    good(w.pack("41"));
    let before = w.exported();
    let scans = w.scans();
    let of = |refused: Result<HandOutCheck, LogbookError>| match refused {
        Err(LogbookError::Packing(PackingError::Packed { ticket, .. })) => ticket.to_string(),
        other => unreachable!("{other:?}"),
    };
    for ticket in ["41", "42"] {
        assert_eq!(of(w.pack(ticket)), "41");
    }
    assert_eq!(
        of(w.book.hand_out(&heron(), label("42"), &scans, None, None, &moment(MORNING))),
        "41"
    );
    let other = Some(label("42"));
    assert_eq!(
        of(w.book.hand_out_packed(&heron(), other.as_ref(), None, None, &moment(MORNING))),
        "41"
    );
    assert_eq!(w.exported(), before);
    good(w.book.unpack(&heron(), &moment(MORNING)));
    assert!(matches!(
        w.book.unpack(&heron(), &moment(MORNING)),
        Err(LogbookError::Packing(PackingError::NothingToUnpack(_)))
    ));
    assert!(matches!(w.go(), Err(LogbookError::Packing(PackingError::NotPacked(_)))));
    good(w.book.hand_out(&heron(), label("42"), &scans, None, None, &moment(MORNING)));
}

#[test]
fn what_stops_a_hand_out_stops_the_packing_and_the_going() {
    let mut w = wharf();
    let three = w.scans().split_off(1);
    let pack = |w: &mut Wharf, why: Option<&str>| {
        w.book.pack(&heron(), label("41"), &three, why.map(label), None, &moment(EVENING))
    };
    match pack(&mut w, None) {
        Err(LogbookError::HandOutStopped(check)) => {
            assert_eq!(check.stops.first().map(|stop| stop.kind), Some(StopKind::Missing));
        }
        other => unreachable!("{other:?}"),
    }
    good(pack(&mut w, Some("pool session")));
    // The reason of the evening does not send it out: it is asked for again.
    assert!(matches!(w.go(), Err(LogbookError::HandOutStopped(_))));
    let why = Some(label("pool session"));
    good(w.book.hand_out_packed(&heron(), None, why, None, &moment(MORNING)));
    let out = good(w.book.set(&heron())).out.unwrap_or_else(|| unreachable!("it is out"));
    assert_eq!(
        (out.hoses.len(), out.override_why.as_ref().map(|why| why.as_str())),
        (3, Some("pool session"))
    );
}

#[test]
fn the_same_form_sent_twice_packs_once() {
    let mut w = wharf();
    let mut filled = Filled::default();
    w.scans().iter().for_each(|scan| filled.add(rental::SCANNED, scan));
    filled.set(rental::TICKET, "41");
    good(w.book.submit_pack(&heron(), &filled, &moment(EVENING)));
    let before = w.exported();
    good(w.book.submit_pack(&heron(), &filled, &moment(EVENING)));
    assert_eq!(w.exported(), before);
    let go = Filled::default();
    good(w.book.submit_hand_out_packed(&heron(), &go, &moment(MORNING)));
    let before = w.exported();
    good(w.book.submit_hand_out_packed(&heron(), &go, &moment(MORNING)));
    assert_eq!(w.exported(), before);
}

#[test]
fn two_devices_that_packed_it_for_two_hirers_are_both_named() {
    let mut w = wharf();
    let mut other = open(&w.folder, "boat", 8);
    let lines = w.exported();
    good(other.import_lines(&mut lines.as_bytes(), false, chrono::NaiveDate::default(), |_, _| ()));
    let scans = w.scans();
    good(other.pack(&heron(), label("52"), &scans, None, None, &moment(EVENING)));
    good(w.pack("41"));
    let mut out = Vec::new();
    good(other.export(&mut out, |_, _| ()));
    good(w.book.import_lines(&mut &out[..], false, chrono::NaiveDate::default(), |_, _| ()));
    let news = w.news().join(" ");
    assert!(news.contains("41") && news.contains("52"), "{news}");
    assert!(w.go().is_err());
    good(w.book.unpack(&heron(), &moment(MORNING)));
    assert_eq!(good(w.book.packed(&heron(), &moment(MORNING))), None);
}

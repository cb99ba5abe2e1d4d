//! The form of a hand-out, its list and its slip.

use super::*;
use crate::inspection::InspectionKind;
use crate::logbook::rentals::tests::{TODAY, Wharf, good, look, moment, wharf};
use crate::rental::HandOutRow;
use crate::story::label;

fn filled(scans: &[String], more: &[(&str, &str)]) -> Filled {
    let mut filled = Filled::default();
    for scan in scans {
        filled.add(rental::SCANNED, scan);
    }
    for (name, value) in more {
        filled.add(name, value);
    }
    filled
}

/// Before the first scan nothing is a fault; what is not scanned yet never is.
#[test]
fn every_hose_is_in_the_list_once() {
    let mut wharf = wharf();
    look(&mut wharf.book, wharf.heron[1], InspectionKind::Quick, &["run:bulge"], TODAY);
    look(&mut wharf.book, wharf.heron[2], InspectionKind::Quick, &["run:cut:cover"], TODAY);
    let (own, egret) = (wharf.scans(), wharf.egret.to_string());
    let payload = good(wharf.book.payload(wharf.heron[0])).text();
    for (scans, stands, rows) in [
        (vec![], "4 hoses to scan.", vec![(0, false); 4]),
        (
            vec![own[0].clone(), payload.clone()],
            "stays here",
            vec![(2, false), (0, true), (0, false), (0, false)],
        ),
        (
            vec![own[3].clone(), egret.clone(), "nonsense".to_owned()],
            "stays here",
            vec![(0, false), (0, true), (0, false), (1, false), (1, true), (1, true)],
        ),
    ] {
        let check = wharf.check(&scans);
        assert!(check.stands().contains(stands), "{}", check.stands());
        let shown = |row: &HandOutRow<'_>| (row.scanned.len(), row.stops);
        assert_eq!(check.rows().iter().map(shown).collect::<Vec<_>>(), rows, "{scans:?}");
        assert!(scans.is_empty() != check.begun());
    }
    // A bad read leaves the list by itself, also if it was read in two ways.
    let scans = [own[0].clone(), "nonsense".to_owned(), payload.clone(), egret];
    let check = wharf.check(&scans);
    for row in check.rows().iter().filter(|row| !row.scanned.is_empty()) {
        let left: Vec<String> = check.without(&row.scanned).into_iter().map(Into::into).collect();
        assert_eq!(left.len() + row.scanned.len(), scans.len(), "{row:?}");
        let again = wharf.check(&left);
        let gone = |other: &HandOutRow<'_>| {
            other.hose.map(|h| h.code) == row.hose.map(|h| h.code) && other.state == row.state
        };
        assert!(!again.rows().iter().any(gone), "{row:?}");
    }
}

#[test]
fn the_ticket_comes_when_all_are_there_and_is_a_number() {
    let mut wharf = wharf();
    let (heron, scans) = (label("Heron"), wharf.scans());
    let ticket = |wharf: &Wharf, scans: &[String]| {
        let (_, form) = good(wharf.book.hand_out_form(&heron, &filled(scans, &[]), &moment(TODAY)));
        form.fields().find(|field| field.name == "ticket").map(|field| field.goes_on)
    };
    assert_eq!(ticket(&wharf, &scans[..3]), Some(false));
    assert_eq!(ticket(&wharf, &scans), Some(true));
    for typed in ["", "Anna", "HW1:2RWBXCB4GDEA7."] {
        let sent = filled(&scans, &[("ticket", typed)]);
        let refused = wharf.book.submit_hand_out(&heron, &sent, &moment(TODAY));
        let field = matches!(refused, Err(FormRefused::Field(e)) if e.field == "ticket");
        assert!(field, "{typed}");
    }
}

#[test]
fn the_same_form_sent_twice_writes_once() {
    let mut wharf = wharf();
    let (heron, scans) = (label("Heron"), wharf.scans());
    let sent = filled(&scans, &[("ticket", "T-17")]);
    let first = good(wharf.book.submit_hand_out(&heron, &sent, &moment(TODAY)));
    let written = wharf.exported();
    let second = good(wharf.book.submit_hand_out(&heron, &sent, &moment(TODAY)));
    assert_eq!((second, wharf.exported()), (first, written.clone()));
    // Any other form is refused, and so is the same one on another day.
    let others = [
        (filled(&scans, &[("ticket", "T-18")]), TODAY),
        (filled(&scans[1..], &[("ticket", "T-17")]), TODAY),
        (sent.clone(), "2026-06-16"),
    ];
    for (other, on) in others {
        let refused = wharf.book.submit_hand_out(&heron, &other, &moment(on));
        assert!(matches!(refused, Err(FormRefused::Logbook(_))), "{other:?}");
    }
    assert_eq!(wharf.exported(), written);
    good(wharf.back(1, &[]));
    assert_eq!(good(wharf.book.slip(&heron, &moment(TODAY))), None);
    assert!(wharf.book.submit_hand_out(&heron, &sent, &moment(TODAY)).is_ok(), "a new hire");
    assert_ne!(wharf.exported(), written);
}

/// What a hirer is told is for the hirer: no limit that comes near, and nothing to do at
/// the bench.
#[test]
fn the_slip_says_what_the_hirer_heeds() {
    let mut wharf = wharf();
    let heron = label("Heron");
    look(&mut wharf.book, wharf.heron[1], InspectionKind::Quick, &["run:cut:cover"], TODAY);
    good(wharf.book.dived(&wharf.heron, 460, None, &moment(TODAY)));
    let scans = wharf.scans();
    assert_eq!(wharf.check(&scans).watch.len(), 4, "their dives come near the limit");
    let sent = filled(&scans, &[("ticket", "T-17")]);
    let slip = good(wharf.book.submit_hand_out(&heron, &sent, &moment(TODAY)));
    assert_eq!(slip.hoses.len(), 4);
    let ports: Vec<_> = slip.hoses.iter().map(|hose| hose.port).collect();
    assert!(ports.is_sorted(), "{ports:?}");
    let [told] = slip.told.as_slice() else { unreachable!("{:?}", slip.told) };
    assert!(told.contains("LP1") && told.contains("before each dive"), "{told}");
    assert!(!told.contains("next time") && !told.contains("Tern"), "{told}");
    assert!(slip.words.contains("ticket T-17, with 4 hoses"), "{}", slip.words);
}

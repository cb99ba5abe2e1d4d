//! People on a real record: what each may write, PINs, and who left.

#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;

use chrono::TimeDelta;

use super::super::centre::{Centre, LP, moment};
use super::*;
use crate::staff::{Deed, PinError};
use crate::story::label;

fn by(name: &str, day: &str) -> Moment {
    Moment { by: label(name), ..moment(day) }
}

fn said(name: &str, may: &[Deed]) -> Staffing {
    Staffing { name: label(name), may: may.iter().copied().collect(), carries: BTreeSet::new() }
}

/// Mo, who may release and change the list; and 7, who may do the everyday work.
fn staffed() -> (Centre, PersonId, PersonId) {
    let mut c = Centre::new();
    let mo = said("Mo", &[Deed::Release, Deed::Staff]);
    let mo = c.book.staffed(None, mo, &by("Tern", "2026-06-01")).unwrap();
    let seven = c.book.staffed(None, said("7", &[]), &by("Mo", "2026-06-01")).unwrap();
    (c, mo, seven)
}

fn refused<T: std::fmt::Debug>(done: Result<T, LogbookError>) -> StaffError {
    match done {
        Err(LogbookError::Staff(error)) => error,
        other => unreachable!("{other:?}"),
    }
}

#[test]
fn a_hold_is_released_by_whoever_may() {
    let (mut c, ..) = staffed();
    let hose = c.hose(LP, "2025-01", None);
    let (on, why) = (None, || label("looked odd"));
    // Everybody may hold, the list or not: doubt needs no permission.
    c.book.hold(hose, why(), false, &by("7", "2026-06-02")).unwrap();
    for other in ["7", "Tern"] {
        let error = refused(c.book.release(hose, &why(), &by(other, "2026-06-02")));
        assert!(matches!(&error, StaffError::NotYours { who, .. } if *who == [label("Mo")]));
        assert!(error.to_string().contains("may not release holds"), "{error}");
    }
    c.book.release(hose, &why(), &by("mo", "2026-06-02")).unwrap();
    // Nobody here may retire, so everybody may.
    c.book.retire(hose, why(), on, &by("7", "2026-06-03")).unwrap();
}

#[test]
fn the_list_is_changed_by_whoever_may_and_names_are_told_apart() {
    let (mut c, mo, seven) = staffed();
    let add = |c: &mut Centre, name, writer| {
        c.book.staffed(None, said(name, &[]), &by(writer, "2026-06-02"))
    };
    assert!(matches!(refused(add(&mut c, "8", "7")), StaffError::NotYours { .. }));
    for taken in ["mo", "M O", "7"] {
        assert!(matches!(refused(add(&mut c, taken, "Mo")), StaffError::NameTaken(_)), "{taken}");
    }
    // One's own name in other letters is no other's.
    c.book.staffed(Some(seven), said("Seven", &[Deed::Retire]), &by("Mo", "2026-06-02")).unwrap();
    let found = c.book.person("seven").unwrap();
    assert_eq!((found.person, found.since.to_string()), (seven, "2026-06-01".to_owned()));
    assert_eq!(found.may, BTreeSet::from([Deed::Retire]));
    // By the badge, by its code, and by name.
    let badge = crate::tag::TagText::Badge(mo.code()).text();
    for typed in [badge.as_str(), &mo.to_string(), "mo"] {
        assert_eq!(c.book.person(typed).unwrap().person, mo, "{typed}");
    }
    assert!(matches!(refused(c.book.person("7")), StaffError::Nobody(_)));
}

#[test]
fn who_left_writes_nothing_and_their_devices_are_named() {
    let (mut c, _, seven) = staffed();
    let hose = c.hose(LP, "2025-01", None);
    c.book.hold(hose, label("odd"), false, &by("7", "2026-06-02")).unwrap();
    c.book.choose_pin(seven, "4821", &by("7", "2026-06-02")).unwrap();
    let devices = c.book.staff_left(seven, &by("Mo", "2026-06-03")).unwrap();
    // The only device: others wrote on it too.
    let told: Vec<_> = devices.iter().map(|d| (d.device.own, d.carried, d.others)).collect();
    assert_eq!(told, [(true, false, 2)]);
    assert!(!c.book.has_pin(seven).unwrap());
    let again = c.book.staff_left(seven, &by("Mo", "2026-06-03"));
    assert!(matches!(refused(again), StaffError::Nobody(_)));
    let error = refused(c.book.hold(hose, label("odd"), false, &by("7", "2026-06-04")));
    assert!(error.to_string().contains("no longer works here, since 3 June 2026"), "{error}");
    // What was written stays, and says who wrote it.
    let history = c.book.history(hose).unwrap();
    assert!(history.iter().any(|line| line.entry.by == label("7")));
    // They come back, on the same badge.
    c.book.staffed(Some(seven), said("7", &[]), &by("Mo", "2026-06-05")).unwrap();
    c.book.hold(hose, label("odd"), false, &by("7", "2026-06-05")).unwrap();
}

#[test]
fn a_pin_is_asked_for_what_not_everybody_may() {
    let (mut c, mo, seven) = staffed();
    let mo_writes = by("Mo", "2026-06-02");
    c.book.choose_pin(mo, "4821", &mo_writes).unwrap();
    let hose = c.hose(LP, "2025-01", None);
    c.book.hold(hose, label("odd"), false, &mo_writes).unwrap();
    let release = |c: &mut Centre| c.book.release(hose, &label("fine"), &mo_writes);
    assert!(matches!(refused(release(&mut c)), StaffError::PinNeeded { deed: Deed::Release, .. }));
    let wrong = refused(c.book.offer_pin("0000", &mo_writes));
    assert!(matches!(wrong, StaffError::Pin(PinError::Wrong)));
    assert!(matches!(refused(release(&mut c)), StaffError::PinNeeded { .. }));
    // Another's PIN proves nothing of Mo.
    c.book.choose_pin(seven, "1111", &by("7", "2026-06-02")).unwrap();
    c.book.offer_pin("1111", &by("7", "2026-06-02")).unwrap();
    assert!(matches!(refused(release(&mut c)), StaffError::PinNeeded { .. }));
    c.book.offer_pin("4821", &mo_writes).unwrap();
    release(&mut c).unwrap();
    c.book.forget_offered_pin();
    // Neither the list, nor the PIN itself, nor what was tried, without it.
    let list = c.book.staffed(None, said("8", &[]), &mo_writes);
    assert!(matches!(refused(list), StaffError::PinNeeded { .. }));
    let pin = c.book.choose_pin(mo, "0000", &mo_writes);
    assert!(matches!(refused(pin), StaffError::PinNeeded { .. }));
    let others = c.book.choose_pin(mo, "0000", &by("7", "2026-06-02"));
    assert!(matches!(refused(others), StaffError::NotYours { .. }));
    assert!(matches!(refused(c.book.wrong_pins_seen(&mo_writes)), StaffError::PinNeeded { .. }));
    let told: Vec<_> =
        c.book.wrong_pins().unwrap().into_iter().map(|(p, w)| (p.name, w.tried)).collect();
    assert_eq!(told, [(label("Mo"), 1)]);
    c.book.offer_pin("4821", &mo_writes).unwrap();
    c.book.wrong_pins_seen(&mo_writes).unwrap();
    assert!(c.book.wrong_pins().unwrap().is_empty());
}

/// Whoever tries all of them through the record waits, as `staff::pins` has it.
#[test]
fn wrong_pins_wait_and_nothing_of_them_is_an_entry() {
    let (mut c, mo, _) = staffed();
    c.book.choose_pin(mo, "4821", &by("Mo", "2026-06-02")).unwrap();
    let mut now = by("Mo", "2026-06-02");
    let looked_at = (0..20).filter(|_| {
        now.time += TimeDelta::seconds(1);
        matches!(refused(c.book.offer_pin("0000", &now)), StaffError::Pin(PinError::Wrong))
    });
    assert_eq!(looked_at.count(), 3);
    let told = c.book.wrong_pins().unwrap();
    assert_eq!(told.iter().map(|(_, wrong)| wrong.tried).collect::<Vec<_>>(), [20]);
    // A bundle and an export carry neither hash nor count.
    let (mut bundle, mut lines) = (Vec::new(), Vec::new());
    c.book.bundle(&mut bundle, None, now.today, |_| ()).unwrap();
    c.book.export(&mut lines, |_, _| ()).unwrap();
    let mut unpacked = crate::journal::BundleReader::open(bundle.as_slice()).unwrap();
    let mut text = String::from_utf8(lines).unwrap();
    while let Some(part) = unpacked.next_or_end().unwrap() {
        if let crate::journal::Part::Lines(lines) = part {
            text.push_str(&lines);
        }
    }
    assert!(text.contains("\"kind\":\"staffed\""));
    for never in ["argon2", "$v=19", "in_a_row", "pin"] {
        assert!(!text.contains(never), "{never}");
    }
}

#[test]
fn a_permission_that_nobody_believes_gives_nothing() {
    use crate::event::Event;
    use crate::journal::{Believed, Entry, Stamp, Trust};
    let person = PersonId::new(crate::story::code(1));
    let staffed = |may: &[Deed]| {
        let Staffing { name, may, carries } = said("Mo", may);
        Event::Staffed(Staffed { person, name, may, carries })
    };
    let believed = |seq: u64, event: &Event, trust| {
        let (kind, version, body) = event.to_parts();
        let body = crate::journal::canonical_json(&body).unwrap();
        let (device, on) =
            (crate::device::DeviceId::Unsigned([1; 16]), crate::story::day("2026-06-01"));
        let at = Stamp(i64::try_from(seq).unwrap(), 0);
        let (by, previous, signature) = (label("Mo"), None, None);
        let entry = Entry { device, seq, on, at, by, kind, version, body, previous, signature };
        Believed { id: crate::event::EntryId::new(entry.hash()), entry, trust }
    };
    for (trust, may) in [(Trust::Full, 1), (Trust::AddsOnly, 0), (Trust::Disbelieved, 0)] {
        let entries = [
            believed(1, &staffed(&[]), Trust::Full),
            believed(2, &staffed(&[Deed::Limits]), trust),
        ];
        let staff = crate::record::FleetRecord::fold(&entries).staff;
        assert_eq!(staff.iter().map(|p| p.may.len()).collect::<Vec<_>>(), [may], "{trust:?}");
    }
}

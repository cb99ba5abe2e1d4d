//! The owner's key is replaced, and a fleet joins another: nothing that was believed is doubted by
//! it, and the old key does nothing any more.

use tempfile::TempDir;

use super::super::{Logbook, LogbookError};
use super::tests::{answers, entries, good, look, moment, open, register};
use crate::device::{DeviceId, DeviceKey, Role};
use crate::file::InMemory;
use crate::words::meeting;

/// Three records of their own hoses; other numbers make other keys and hoses.
fn books(first: u64) -> (TempDir, Vec<Logbook>) {
    let folder = good(TempDir::new());
    let book = |n| open(folder.path(), &format!("store-{n}"), &format!("keys-{n}"), n);
    let mut books: Vec<Logbook> = (first..first + 3).map(book).collect();
    for (number, book) in (first..).zip(&mut books) {
        let hose = good(register(book, number, &moment(number, 0)));
        look(book, hose, &[], &moment(number, 1));
    }
    (folder, books)
}

fn tell(from: &Logbook, to: &mut Logbook) {
    let mut bytes = Vec::new();
    good(from.bundle(&mut bytes, None, moment(160, 0).today, |_| ()));
    good(to.merge(&InMemory::new("told", bytes), moment(160, 0).today, |_, _| ()));
}

/// How each hose stands and why: not when others were met, and how many they are.
fn standing(book: &Logbook) -> Vec<String> {
    let stands = |line: &str| {
        let answer: serde_json::Value = good(serde_json::from_str(line));
        let reasons = answer["reasons"].as_array().cloned().unwrap_or_default();
        let reasons = reasons.iter().map(|reason| reason["code"].to_string());
        let reasons: Vec<String> = reasons.filter(|code| code != "\"record-old\"").collect();
        format!("{} {} {}", answer["code"], reasons.join(" "), answer["inspections"])
    };
    answers(book).lines().map(stands).collect()
}

fn id(book: &mut Logbook) -> DeviceId {
    good(book.own_device()).device
}

fn doubts(book: &Logbook) -> Vec<(String, u64)> {
    good(book.devices()).into_iter().flat_map(|device| device.set_aside).collect()
}

/// A fleet of an owner's device and two others, all of which have met.
fn fleet(first: u64) -> (TempDir, Vec<Logbook>) {
    let (folder, mut books) = books(first);
    let [owner, boat, lost] = books.as_mut_slice() else { unreachable!("three") };
    good(owner.found_fleet(&moment(20, 0)));
    let fleet = good(owner.owner()).unwrap_or_else(|| unreachable!("a fleet"));
    for book in [&mut *boat, &mut *lost] {
        good(book.join_fleet(&fleet, &moment(21, 0)));
        good(owner.enrol(id(book), (Role::Bench, None), true, &moment(21, 0)));
        tell(book, owner);
    }
    // One was dismissed after what it wrote.
    good(owner.enrol(id(lost), (Role::Dismissed, None), false, &moment(22, 0)));
    for book in [boat, lost] {
        tell(owner, book);
    }
    (folder, books)
}

#[test]
fn a_replaced_key_admits_nobody_and_everything_believed_stays() {
    let (_folder, mut books) = fleet(1);
    let [owner, boat, lost] = books.as_mut_slice() else { unreachable!("three") };
    let old = good(owner.owner_words());
    let before = (answers(owner), doubts(owner));
    assert!(boat.replace_owner("these are no words", None, &moment(30, 0)).is_err());
    let others = DeviceKey::from_secret(&[66; 32]).to_words();
    assert!(owner.replace_owner(&others, None, &moment(30, 0)).is_err());
    good(owner.replace_owner(&old, None, &moment(30, 0)));
    assert_eq!((answers(owner), doubts(owner)), before);
    assert!(good(owner.are_owner_words(&good(owner.owner_words()))));
    assert!(!good(owner.are_owner_words(&old)));
    tell(owner, boat);
    assert_eq!(good(boat.owner()), good(owner.owner()));
    assert_eq!(answers(boat), answers(owner));
    assert_eq!(doubts(boat), doubts(owner));
    // The thief has the old words and a device of their own.
    let stolen = good(DeviceKey::from_words(&old));
    let thief = DeviceKey::from_secret(&[66; 32]).id();
    good(lost.enrol_as(&stolen, thief, (Role::Owner, None), true, &moment(10, 0)));
    let own = id(lost);
    good(lost.enrol_as(&stolen, own, (Role::Owner, None), true, &moment(40, 0)));
    let hose = good(register(lost, 9, &moment(41, 0)));
    tell(lost, boat);
    tell(lost, owner);
    for book in [&*boat, &*owner] {
        let devices = good(book.devices());
        let role = |of: DeviceId| devices.iter().find(|d| d.device == of).and_then(|d| d.role);
        assert_eq!(role(thief), None);
        assert_eq!(devices.iter().filter(|device| device.role == Some(Role::Dismissed)).count(), 1);
        let said = good(serde_json::to_string(&doubts(book)));
        assert!(said.contains("rights-taken") && !said.contains("warrant"), "{said}");
    }
    assert!(answers(boat).contains(&hose.to_string()));
    // Nor do they bring the key back, or replace it once more.
    let again = boat.recover_owner(&old, &moment(50, 0));
    assert!(matches!(again, Err(LogbookError::Device(why)) if why.contains("was replaced")));
    for book in [owner, boat] {
        assert!(good(book.check(|_, _| ())).sound());
        let before = (answers(book), doubts(book));
        good(book.rebuild(|_, _| ()));
        assert_eq!((answers(book), doubts(book)), before);
    }
}

#[test]
fn a_word_of_the_old_key_that_comes_later_is_not_followed() {
    let (_folder, mut books) = fleet(1);
    let [owner, boat, thief] = books.as_mut_slice() else { unreachable!("three") };
    let old = good(owner.owner_words());
    good(owner.replace_owner(&old, None, &moment(30, 0)));
    tell(owner, boat);
    // The thief replaces the key too, and says that it was before.
    good(thief.recover_owner(&old, &moment(31, 0)));
    good(thief.replace_owner(&old, None, &moment(1, 0)));
    let right = good(owner.owner());
    for book in [&mut *boat, &mut *owner] {
        tell(thief, book);
        assert_eq!(good(book.owner()), right);
        assert!(good(book.check(|_, _| ())).sound());
    }
}

#[test]
fn what_the_old_key_granted_since_it_was_in_other_hands_counts_no_more() {
    let (_folder, mut books) = fleet(1);
    let [owner, boat, lost] = books.as_mut_slice() else { unreachable!("three") };
    let old = good(owner.owner_words());
    let stolen = good(DeviceKey::from_words(&old));
    let stranger = |of: u8| DeviceKey::from_secret(&[of; 32]).id();
    // On the day 30 it was stolen. The thief admits one in their own name, and one as if it were
    // long ago, and takes back that their device was dismissed.
    let bench = || (Role::Bench, None);
    let (own, on_boat) = (id(lost), id(boat));
    good(lost.enrol_as(&stolen, stranger(66), bench(), true, &moment(31, 0)));
    good(lost.enrol_as(&stolen, own, bench(), true, &moment(31, 0)));
    good(owner.enrol(stranger(77), bench(), true, &moment(32, 0)));
    good(owner.enrol(stranger(88), (Role::Dismissed, None), false, &moment(32, 0)));
    good(boat.enrol_as(&stolen, on_boat, (Role::Read, None), false, &moment(32, 0)));
    tell(lost, owner);
    tell(boat, owner);
    good(lost.enrol_as(&stolen, stranger(67), bench(), true, &moment(2, 0)));
    tell(lost, owner);
    let role = |book: &Logbook, of: DeviceId| {
        let devices = good(book.devices());
        devices.into_iter().find(|device| device.device == of).and_then(|device| device.role)
    };
    assert_eq!(role(owner, own), Some(Role::Bench), "the thief is believed");
    let day = moment(30, 0).today;
    let early = owner.replace_owner(&old, Some(moment(41, 0).today), &moment(40, 0));
    assert!(matches!(early, Err(LogbookError::Day(_))));
    let replaced = good(owner.replace_owner(&old, Some(day), &moment(40, 0)));
    let mut left_out: Vec<DeviceId> = replaced.left_out.iter().map(|word| word.device).collect();
    left_out.sort();
    let mut expected = vec![own, stranger(66), stranger(67)];
    expected.sort();
    assert_eq!(left_out, expected);
    tell(owner, boat);
    for book in [&*owner, &*boat] {
        // What the owner wrote here counts, and what takes away.
        assert_eq!(role(book, stranger(77)), Some(Role::Bench));
        assert_eq!(role(book, stranger(88)), Some(Role::Dismissed));
        assert_eq!(role(book, own), Some(Role::Dismissed));
        assert_eq!((role(book, stranger(66)), role(book, stranger(67))), (None, None));
        assert!(good(book.check(|_, _| ())).sound());
    }
    assert_eq!(role(owner, on_boat), Some(Role::Read));
    let said = meeting::not_granted(&replaced.left_out, day).join("\n");
    assert!(said.contains("counts no more") && said.contains(&own.short()), "{said}");
}

/// A day begins first fourteen hours before it does in Greenwich (UTC+14, the zone furthest ahead
/// in the IANA time zone database).
#[test]
fn the_named_day_begins_where_on_earth_it_begins_first() {
    let (_folder, mut books) = fleet(1);
    let [owner, _, lost] = books.as_mut_slice() else { unreachable!("three") };
    let old = good(owner.owner_words());
    let stolen = good(DeviceKey::from_words(&old));
    let [before, within] = [66, 67].map(|of| DeviceKey::from_secret(&[of; 32]).id());
    for (device, hours) in [(before, -15), (within, -14)] {
        good(lost.enrol_as(&stolen, device, (Role::Bench, None), true, &moment(30, hours)));
    }
    tell(lost, owner);
    let replaced = good(owner.replace_owner(&old, Some(moment(30, 0).today), &moment(40, 0)));
    let left_out: Vec<DeviceId> = replaced.left_out.iter().map(|word| word.device).collect();
    assert_eq!(left_out, [within]);
}

#[test]
fn who_joins_by_the_old_number_follows_at_once() {
    let (folder, mut books) = fleet(1);
    let [owner, ..] = books.as_mut_slice() else { unreachable!("three") };
    let old = good(owner.owner()).unwrap_or_else(|| unreachable!("a fleet"));
    for day in [30, 31] {
        let words = good(owner.owner_words());
        good(owner.replace_owner(&words, None, &moment(day, 0)));
    }
    let mut new = open(folder.path(), "store-9", "keys-9", 9);
    tell(owner, &mut new);
    good(new.join_fleet(&old, &moment(32, 0)));
    assert_eq!(good(new.owner()), good(owner.owner()));
    good(new.join_fleet(&old, &moment(33, 0)));
    assert_eq!(standing(&new), standing(owner));
}

#[test]
fn a_fleet_joins_another_with_its_past() {
    let (_folder, mut one) = fleet(1);
    let (_other_folder, mut two) = fleet(11);
    let [owner, boat, _] = one.as_mut_slice() else { unreachable!("three") };
    let [other, shop, lost] = two.as_mut_slice() else { unreachable!("three") };
    let number = |book: &Logbook| good(book.owner()).unwrap_or_else(|| unreachable!("a fleet"));
    let (first, second) = (number(owner), number(other));
    assert_ne!(first, second);
    let (before, in_doubt) = (standing(other), doubts(other));
    let refused = |said: Result<(), LogbookError>| match said {
        Err(LogbookError::Device(why)) => why,
        said => unreachable!("{said:?}"),
    };
    let said = refused(owner.take_fleet_in(&second, &moment(40, 0)).map(drop));
    assert!(said.contains("no word of the owner of fleet"), "{said}");
    tell(owner, other);
    let said = refused(other.follow_fleet(&first, &moment(40, 0)));
    assert!(said.contains("has not taken this one in"), "{said}");
    let said = refused(owner.take_fleet_in(&first, &moment(40, 0)).map(drop));
    assert!(said.contains("this fleet itself"), "{said}");
    let said = refused(boat.take_fleet_in(&second, &moment(40, 0)).map(drop));
    assert!(said.contains("the owner's key is not on this device"), "{said}");

    // The one act of the one owner: at once all that they wrote is believed here.
    tell(other, owner);
    assert!(!doubts(owner).is_empty());
    assert_eq!(good(owner.take_fleet_in(&second, &moment(41, 0))), 3);
    let all = standing(owner);
    assert!(before.iter().all(|stands| all.contains(stands)), "{before:#?} {all:#?}");
    assert!(owner.take_fleet_in(&second, &moment(41, 0)).is_err(), "there is nobody left");

    // The one act of the other: its devices follow as they hear of it.
    tell(owner, other);
    good(other.follow_fleet(&first, &moment(42, 0)));
    assert_eq!(number(other), first);
    for book in [&mut *shop, &mut *owner, &mut *boat, &mut *lost] {
        tell(other, book);
        assert_eq!(number(book), first);
    }
    for book in [&*other, &*shop, &*boat] {
        assert_eq!(standing(book), standing(owner));
        assert_eq!(entries(book).len(), entries(owner).len());
    }
    // Who was dismissed there is so here, and what was doubted there is all that is.
    let role = |book: &mut Logbook, of: DeviceId| {
        let devices = good(book.devices());
        devices.into_iter().find(|device| device.device == of).and_then(|device| device.role)
    };
    let dismissed = id(lost);
    assert_eq!(role(owner, dismissed), Some(Role::Dismissed));
    let doubted = |book: &Logbook| -> u64 { doubts(book).iter().map(|(_, n)| n).sum() };
    assert_eq!(in_doubt.iter().map(|(_, n)| n).sum::<u64>(), doubted(other));
    // The key of the fleet that followed says nothing any more.
    let refused = other.enrol(dismissed, (Role::Owner, None), true, &moment(43, 0));
    assert!(matches!(refused, Err(LogbookError::Device(_))));
}

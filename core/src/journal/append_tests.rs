//! What this store writes itself.

use chrono::Duration;

use super::sample::*;
use super::*;
use crate::event::{EntryId, Event};
use crate::story::{day, label};

const OWN: u8 = 1;

/// So many hours after the beginning of the first day.
fn moment(hours: i64) -> Moment {
    let time = at(0).time() + Duration::hours(hours);
    Moment { today: day("2026-01-01"), time, by: label("Tern") }
}

fn stamp(hours: i64) -> Stamp {
    Stamp(moment(hours).time.timestamp_millis(), 0)
}

/// Writes at an hour, and judges again what it puts in another light.
fn writes(work: &rusqlite::Transaction<'_>, hours: i64, events: Vec<Event>) -> Vec<Entry> {
    let on = moment(hours).today;
    let drafts: Vec<Draft> = events.into_iter().map(|event| Draft { on, event }).collect();
    let entries = good(append(work, &drafts, &key(OWN), &moment(hours)));
    good(judge_after(work, &entries));
    entries
}

fn cleans(work: &rusqlite::Transaction<'_>, hours: i64) -> Entry {
    let [entry] = &writes(work, hours, vec![cleaned()])[..] else { unreachable!("one entry") };
    entry.clone()
}

#[test]
fn a_store_writes_as_one_device_or_none_and_belongs_to_one_fleet_or_none() {
    let mut record = record(false);
    let work = good(record.transaction());
    assert_eq!(good(own_device(&work)), None);
    for device in [Some(key(1).id()), Some(key(2).id()), None] {
        good(become_device(&work, device.as_ref()));
        assert_eq!(good(own_device(&work)), device);
    }
    assert_eq!(good(Members::load(&work)).owner, None);
    good(set_owner(&work, &fleet()));
    assert_eq!(good(Members::load(&work)).owner, Some(fleet()));
}

#[test]
fn entries_are_numbered_and_each_names_the_one_before_it() {
    let mut record = record(false);
    let work = good(record.transaction());
    // Another device's numbers are its own.
    taken(&work, &[Pen::signed(2).writes(1, &cleaned())]);
    let mut all: Vec<Entry> = Vec::new();
    for (together, acts) in [
        (1, vec![None]),
        (2, vec![Some(2); 2]),
        (3, vec![Some(4); 3]),
        (1, vec![None]),
        (0, vec![]),
    ] {
        let written = writes(&work, 0, vec![cleaned(); together]);
        assert_eq!(written.iter().map(Entry::act).collect::<Vec<_>>(), acts);
        all.extend(written);
    }
    assert_eq!(all.iter().map(|entry| entry.seq).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 6, 7]);
    assert!(all.iter().all(|entry| entry.device == key(OWN).id()));
    assert!(all.windows(2).all(|two| two[1].previous == Some(two[0].hash())));
    assert!(all.windows(2).all(|two| two[0].at < two[1].at));
    assert_eq!(all[0].previous, None);
    assert_eq!(good(newest_seq(&work, &key(OWN).id())), 7);
    assert_eq!(whys(&work, &all), ["-"; 7]);
}

/// So that what was written together can be handed on in parts.
#[test]
fn every_256th_entry_and_the_last_is_signed() {
    let mut record = record(false);
    for (together, signed) in [
        (1, vec![1]),
        (255, vec![255]),
        (256, vec![256]),
        (257, vec![256, 257]),
        (600, vec![256, 512, 600]),
    ] {
        let work = good(record.transaction());
        let written = writes(&work, 0, vec![cleaned(); together]);
        let with: Vec<usize> =
            (1..=together).filter(|place| written[place - 1].signature.is_some()).collect();
        assert_eq!(with, signed);
        let (good, forged) =
            proven(written.into_iter().map(Hashed::from).collect(), Signatures::All);
        assert_eq!((good.len(), forged.len()), (together, 0));
    }
}

#[test]
fn a_clock_runs_after_what_it_may_follow() {
    // Hours at which this device and another wrote, at which this one writes now,
    // and the hour and the count that its clock reads then.
    let table = [
        (None, None, 1, (1, 0)),
        (Some(0), None, 1, (1, 0)),
        (Some(1), None, 1, (1, 1)),
        (Some(5), None, 1, (5, 1)),
        // Its own clock is followed however far ahead it was.
        (Some(500), None, 1, (500, 1)),
        (None, Some(5), 1, (5, 1)),
        (None, Some(25), 1, (25, 1)),
        (None, Some(26), 1, (1, 0)),
        (Some(3), Some(26), 1, (3, 1)),
        (Some(3), Some(5), 1, (5, 1)),
    ];
    let mut record = record(false);
    for (own, other, now, (hours, count)) in table {
        let work = good(record.transaction());
        if let Some(other) = other {
            let on = moment(other).today;
            let draft = Draft { on, event: cleaned() };
            good(append(&work, &[draft], &key(2), &moment(other)));
        }
        if let Some(own) = own {
            // Not in the light of the other.
            let mut pen = Pen::signed(OWN);
            let mut entry = pen.writes(0, &cleaned());
            entry.at = stamp(own);
            entry.signature = Some(key(OWN).sign(entry.canonical().as_bytes()));
            taken(&work, &[entry]);
        }
        let written = cleans(&work, now);
        assert_eq!(written.at, Stamp(stamp(hours).0, count), "{own:?}, {other:?}");
    }
}

/// A device whose clock was wrong takes back what it wrote then, and writes on
/// in time.
#[test]
fn what_is_taken_back_drives_no_clock() {
    let mut record = record(false);
    let work = good(record.transaction());
    cleans(&work, 0);
    let early = cleans(&work, 3);
    let wrong = [cleans(&work, 12), cleans(&work, 500)];
    let [first, second] = &wrong;
    let own = writes(&work, 4, vec![withdrawn(&[second])]);
    assert_eq!(own[0].at, Stamp(stamp(12).0, 1), "the other still counts");
    let own = writes(&work, 4, vec![withdrawn(&[first, second, &own[0]])]);
    assert_eq!((own[0].at, why(&work, &own[0]).as_str()), (stamp(4), "-"));
    assert_eq!(cleans(&work, 5).at, stamp(5));
    assert!(early.at < stamp(4));
    // Another's clock is followed anyway.
    let draft = Draft { on: moment(20).today, event: cleaned() };
    good(append(&work, &[draft], &key(2), &moment(20)));
    let own = writes(&work, 6, vec![withdrawn(&[&early])]);
    assert_eq!(own[0].at, Stamp(stamp(20).0, 1));
}

#[test]
fn what_was_written_ahead_of_time_is_listed_until_it_is_taken_back() {
    let mut record = record(false);
    let work = good(record.transaction());
    let ahead = |hours: i64| good(written_ahead(&work, &moment(hours)));
    assert_eq!(ahead(0), Vec::<EntryId>::new());
    // Another's are not this store's to take back.
    let draft = Draft { on: moment(90).today, event: cleaned() };
    good(append(&work, &[draft], &key(2), &moment(90)));
    assert_eq!(ahead(0), Vec::<EntryId>::new());
    good(become_device(&work, Some(&key(OWN).id())));
    cleans(&work, 0);
    let wrong = [cleans(&work, 25), cleans(&work, 30)];
    let [first, second] = &wrong;
    for (hours, listed) in
        [(0, vec![second, first]), (1, vec![second]), (5, vec![second]), (6, vec![])]
    {
        assert_eq!(ahead(hours), ids(&listed), "at hour {hours}");
    }
    writes(&work, 0, vec![withdrawn(&[second])]);
    assert_eq!(ahead(0)[1..], ids(&[first]));
}

/// What this store writes puts in another light what is here.
#[test]
fn withdrawals_and_admissions_of_its_own_count_at_once() {
    let (mut boat, mut before) = (Pen::signed(2), Pen::unsigned(7));
    let entries =
        [boat.writes(90, &cleaned()), boat.writes(2, &cleaned()), before.writes(1, &cleaned())];
    let [ahead, next, old] = &entries;
    let mut record = record(false);
    let work = good(record.transaction());
    taken(&work, &entries);
    assert_eq!(whys(&work, &entries), ["-", "back-dated", "unsigned"]);
    let moment = moment(100);
    let writes = |event: Event| {
        let draft = Draft { on: moment.today, event };
        let entries = good(append(&work, &[draft], &key(OWN), &moment));
        good(judge_after(&work, &entries))
    };
    let (nothing, touched) = (Reach::default(), good_reach());
    assert_eq!(writes(cleaned()), nothing);
    assert_eq!(writes(withdrawn(&[ahead])), touched);
    assert_eq!(whys(&work, &entries), ["-", "-", "unsigned"]);
    assert_eq!(writes(admitted(&[old])), touched);
    assert_eq!(whys(&work, &entries), ["-", "-", "-"]);
    assert_eq!(writes(admitted(&[next])), nothing);
}

fn good_reach() -> Reach {
    Reach { hoses: [crate::story::code(1)].into(), ..Reach::default() }
}

//! What a merge does with each entry, and what it tells of it.

use std::collections::BTreeSet;

use super::sample::*;
use super::*;
use crate::device::{Role, Warrant};
use crate::event::{Event, Touched};
use crate::story::{code, set_id};

/// The counts of a report: new, known, left out, unread, refused.
const fn counts(report: &MergeReport) -> [u64; 5] {
    [report.new, report.known, report.left_out, report.unread, report.refused]
}

#[test]
fn what_is_new_and_what_was_here_is_counted() {
    let mut boat = Pen::signed(2);
    let entries = [
        boat.writes(1, &cleaned()),
        boat.writes(2, &cleaned()),
        boat.writes_unread(3, "polished", 1, "{}"),
        boat.writes_unread(4, "cleaned", 9, "{}"),
    ];
    let mut record = record(false);
    let work = good(record.transaction());
    assert_eq!(counts(&taken(&work, &entries[..2]).0), [2, 0, 0, 0, 0]);
    assert_eq!(good(newest_seq(&work, &boat.device)), 2);
    let twice = [&entries[..], &entries[3..]].concat();
    let report = taken(&work, &twice).0;
    assert_eq!(counts(&report), [2, 3, 0, 2, 0]);
    assert_eq!((report.forked, report.copied, report.fleet), (BTreeSet::new(), false, None));
    assert_eq!(counts(&taken(&work, &twice).0), [0, 5, 0, 0, 0]);
    assert_eq!(good(count(&work)), 4);
}

#[test]
fn a_number_that_stands_for_two_entries_is_noticed_however_they_come() {
    let mut boat = Pen::signed(2);
    let first = boat.writes(1, &cleaned());
    let mut copy = boat;
    let (one, other) = (boat.writes(2, &cleaned()), copy.writes(3, &cleaned()));
    let third = boat.writes(4, &cleaned());
    let here = |entries: &[&Entry]| entries.iter().map(|e| (*e).clone()).collect::<Vec<_>>();
    // What is here, what comes, how much of it is new, and whether there are two.
    let table = [
        (here(&[&first]), here(&[&one]), 1, false),
        (here(&[&first, &one]), here(&[&one]), 0, false),
        (here(&[&first, &one]), here(&[&other]), 1, true),
        (here(&[&first]), here(&[&one, &other]), 2, true),
        (here(&[&first]), here(&[&one, &other, &one, &other]), 2, true),
        (here(&[&first, &third]), here(&[&one]), 1, false),
        (here(&[&first, &third]), here(&[&one, &other]), 2, true),
        (here(&[&third]), here(&[&first, &one, &one]), 2, false),
    ];
    let mut record = record(false);
    for (here, comes, new, two) in table {
        let work = good(record.transaction());
        taken(&work, &here);
        let report = taken(&work, &comes).0;
        let told = (report.new, report.known, report.forked.contains(&boat.device));
        assert_eq!(told, (new, comes.len() as u64 - new, two), "{here:?}, {comes:?}");
        let [tally] = wrote(&work)[..] else { unreachable!("one device") };
        let numbers: BTreeSet<u64> = here.iter().chain(&comes).map(|entry| entry.seq).collect();
        assert_eq!((tally.forked, tally.entries), (two, numbers.len() as u64));
        assert_eq!(Some(&tally.newest_seq), numbers.last());
    }
}

#[test]
fn what_nobody_can_vouch_for_is_refused_and_the_first_are_told() {
    let mut report = MergeReport::default();
    (1..=52).for_each(|n| report.refuse(n.to_string()));
    assert_eq!((report.refused, report.refusals.len()), (52, 50));
    assert_eq!(report.refusals.last().map(String::as_str), Some("50"));

    let mut entry = Pen::signed(2).writes(1, &cleaned());
    entry.signature = None;
    let mut record = record(false);
    let work = good(record.transaction());
    let mut merge = good(Merge::begin(&work));
    merge.report().refuse("no entry".to_owned());
    good(merge.take(vec![entry.clone().into()], Signatures::All));
    let report = good(merge.finish()).0;
    assert_eq!(counts(&report), [0, 0, 0, 0, 2]);
    assert_eq!(report.refusals, ["no entry".to_owned(), not_signed(&entry)]);
}

#[test]
fn what_some_devices_wrote_can_be_left_out() {
    let (mut centre, mut boat) = (Pen::signed(1), Pen::signed(2));
    let word = centre.writes(1, &enrolled(boat.device, Role::Bench, 0, 1));
    let entries = [1, 2, 3].map(|days| boat.writes(days, &cleaned()));
    let mut record = record(true);
    let work = good(record.transaction());
    let mut merge = good(Merge::begin(&work));
    merge.leave_out(&[boat.device].into());
    let [first, second, third] = entries.map(Hashed::from);
    good(merge.take(vec![first, second, word.clone().into()], Signatures::All));
    good(merge.take(vec![third], Signatures::All));
    assert_eq!(counts(&good(merge.finish()).0), [1, 0, 3, 0, 0]);
    assert_eq!(why(&work, &word), "-");
    assert_eq!(good(count(&work)), 1);
}

#[test]
fn a_record_that_meets_what_it_never_wrote_under_its_name_was_copied() {
    let (mut own, mut boat) = (Pen::signed(1), Pen::signed(2));
    let known = own.writes(1, &cleaned());
    let (one, other) = (own.writes(2, &cleaned()), own.writes(3, &cleaned()));
    let others = boat.writes(1, &cleaned());
    let mut record = record(false);
    for (comes, copied) in [
        (vec![known.clone(), others.clone()], false),
        (vec![one.clone()], true),
        (vec![one.clone(), others], true),
        (vec![one, other], true),
    ] {
        let work = good(record.transaction());
        taken(&work, std::slice::from_ref(&known));
        good(become_device(&work, Some(&own.device)));
        assert_eq!(taken(&work, &comes).0.copied, copied, "{comes:?}");
        let device = good(own_device(&work));
        assert_eq!(device, (!copied).then_some(own.device), "{comes:?}");
    }
}

#[test]
fn a_record_of_no_fleet_is_told_whose_owner_spoke() {
    let boat = key(2).id();
    let genuine = word(boat, Role::Bench, 0, 1);
    let forged = Warrant { role: Role::Owner, ..genuine.clone() };
    for (of_fleet, warrant, told) in
        [(false, genuine.clone(), Some(fleet())), (false, forged, None), (true, genuine, None)]
    {
        let entry = Pen::signed(1).writes(1, &Event::Enrolled { warrant });
        let mut record = record(of_fleet);
        let work = good(record.transaction());
        assert_eq!(taken(&work, &[entry]).0.fleet, told, "{of_fleet}");
    }
}

/// The owner's word that is written here counts for what is here already.
#[test]
fn a_device_that_the_owner_spoke_of_is_judged_anew() {
    let mut boat = Pen::signed(2);
    let entries = [1, 2].map(|days| boat.writes(days, &cleaned()));
    let event = enrolled(boat.device, Role::Bench, 0, 1);
    let moment = Moment {
        today: crate::story::day("2026-01-05"),
        time: at(4).time(),
        by: crate::story::label("Tern"),
    };
    let mut record = record(true);
    let work = good(record.transaction());
    let report = taken(&work, &entries).0;
    assert_eq!(report.set_aside, [("stranger", 2)].into());
    let draft = Draft { on: moment.today, event };
    good(append(&work, &[draft], &key(1), &moment));
    let mut merge = good(Merge::begin(&work));
    merge.judge_anew(&boat.device);
    let (report, reach) = good(merge.finish());
    assert_eq!(report, MergeReport::default());
    assert_eq!(reach.hoses, [code(1)].into());
    assert_eq!(whys(&work, &entries), ["-", "-"]);
    let tally = wrote(&work).into_iter().find(|tally| tally.id == boat.device);
    assert_eq!(tally.and_then(|tally| tally.newest).map(|(_, clock)| clock), Some(at(2)));
}

#[test]
fn whom_two_merges_touched_is_whom_either_touched() {
    let touched = |hose: u64, fleet| Touched {
        hoses: vec![code(hose)],
        sets: vec![set_id(&hose.to_string())],
        fleet,
    };
    for (first, second) in [(false, false), (false, true), (true, false), (true, true)] {
        let mut both = Reach::default();
        both.add(touched(1, first));
        both.add(touched(2, second));
        let mut joined = Reach::default();
        joined.add(touched(1, first));
        let mut other = Reach::default();
        other.add(touched(2, second));
        joined.join(other);
        let expected = Reach {
            hoses: [code(1), code(2)].into(),
            sets: [set_id("1"), set_id("2")].into(),
            fleet: first || second,
        };
        assert_eq!((&both, &joined), (&expected, &expected));
    }
}

//! Who is believed is a function of what is here: in whatever order and in
//! whatever parts the same entries come, the same are believed.

use std::collections::BTreeSet;

use super::sample::*;
use super::*;
use crate::device::Role::{Bench, Dismissed, Owner, Read};
use crate::device::Warrant;
use crate::event::Event;
use crate::story::{code, label};

/// Checks why each entry of a fleet's record is not believed.
fn check(rule: &str, entries: &[(&Entry, &str)]) -> Vec<DeviceTally> {
    checked(true, rule, entries)
}

fn checked(of_fleet: bool, rule: &str, entries: &[(&Entry, &str)]) -> Vec<DeviceTally> {
    let all: Vec<Entry> = entries.iter().map(|(entry, _)| (*entry).clone()).collect();
    let expected: Vec<&str> = entries.iter().map(|(_, why)| *why).collect();
    let (whys, tallies) = judged(of_fleet, &all);
    assert_eq!(whys, expected, "{rule}");
    tallies
}

fn tally(tallies: &[DeviceTally], pen: Pen) -> DeviceTally {
    let found = tallies.iter().find(|tally| tally.id == pen.device);
    *found.unwrap_or_else(|| unreachable!("{}", pen.device))
}

#[test]
fn the_owner_says_whose_entries_count() {
    let (mut centre, mut boat) = (Pen::signed(1), Pen::signed(2));
    let (bench, owners) = (boat.writes(1, &cleaned()), boat.writes(2, &recalled()));
    let says = |centre: &mut Pen, role, after, said| {
        centre.writes(said, &enrolled(boat.device, role, after, said))
    };
    check("a stranger", &[(&bench, "stranger"), (&owners, "stranger")]);
    checked(false, "without an owner", &[(&bench, "-"), (&owners, "-")]);
    for (role, whys) in [
        (Read, ["role", "role"]),
        (Bench, ["-", "role"]),
        (Owner, ["-", "-"]),
        (Dismissed, ["dismissed", "dismissed"]),
    ] {
        let word = says(&mut centre.clone(), role, 0, 3);
        let rule = format!("{role:?}");
        let tallies = check(&rule, &[(&word, "-"), (&bench, whys[0]), (&owners, whys[1])]);
        let believed = whys.iter().zip([at(1), at(2)]).filter(|(why, _)| **why == "-");
        let newest = tally(&tallies, boat).newest.map(|(_, clock)| clock);
        assert_eq!(newest, believed.map(|(_, clock)| clock).max(), "{rule}");
    }
    // The newest word counts, for what comes after its number.
    let first = says(&mut centre, Owner, 0, 3);
    let second = says(&mut centre, Bench, 1, 4);
    let entries = [(&first, "-"), (&second, "-"), (&bench, "-"), (&owners, "rights-taken")];
    check("a right that was taken", &entries);
}

#[test]
fn the_owners_word_counts_whoever_carries_it() {
    let mut stranger = Pen::signed(3);
    let boat = Pen::signed(2).device;
    let ours = stranger.writes(1, &enrolled(boat, Bench, 0, 1));
    let others = Warrant::sign(&key(9), (boat, None), Bench, 0, 1);
    let others = stranger.writes(2, &Event::Enrolled { warrant: others });
    let forged = Warrant { role: Owner, ..word(boat, Bench, 0, 1) };
    let forged = stranger.writes(3, &Event::Enrolled { warrant: forged });
    let later = stranger.writes_unread(4, "enrolled", 9, r#"{"x":1}"#);
    let entries = [(&ours, "-"), (&others, "warrant"), (&forged, "warrant"), (&later, "-")];
    check("in a fleet", &entries);
    let entries = [(&ours, "-"), (&others, "-"), (&forged, "warrant"), (&later, "-")];
    checked(false, "without a fleet", &entries);
}

#[test]
fn two_entries_of_one_number_are_doubtful_where_nobody_answers_for_them() {
    let (mut centre, mut boat) = (Pen::signed(1), Pen::signed(2));
    let bench = centre.writes(1, &enrolled(boat.device, Bench, 0, 1));
    let gone = centre.writes(9, &enrolled(boat.device, Dismissed, 2, 9));
    let first = boat.writes(2, &cleaned());
    let mut copy = boat;
    let (one, other) = (boat.writes(3, &cleaned()), copy.writes(4, &cleaned()));
    let both = [(&bench, "-"), (&first, "-"), (&one, "-"), (&other, "-")];
    assert!(tally(&check("while it is answered for", &both), boat).forked);
    let entries =
        [(&bench, "-"), (&gone, "-"), (&first, "-"), (&one, "doubled"), (&other, "doubled")];
    let told = tally(&check("once it is dismissed", &entries), boat);
    assert_eq!((told.forked, told.entries, told.newest_seq), (true, 2, 2));
    let alone = [(&bench, "-"), (&gone, "-"), (&first, "-"), (&one, "-")];
    assert!(!tally(&check("one alone", &alone), boat).forked);
    checked(false, "without an owner", &[(&first, "-"), (&one, "-"), (&other, "-")]);
}

#[test]
fn an_entry_whose_clock_is_not_after_the_one_before_it_is_back_dated() {
    for (days, why) in [(2, "back-dated"), (3, "back-dated"), (4, "-")] {
        let mut boat = Pen::signed(2);
        let entries = [boat.writes(1, &cleaned()), boat.writes(3, &cleaned())];
        let last = boat.writes(days, &cleaned());
        let [first, second] = &entries;
        let rule = format!("on day {days}");
        checked(false, &rule, &[(first, "-"), (second, "-"), (&last, why)]);
        checked(false, "what it follows is not here", &[(first, "-"), (&last, "-")]);
    }
    // Of two entries under one number it is the one that it follows that counts.
    let mut boat = Pen::signed(2);
    let first = boat.writes(1, &cleaned());
    let mut copy = boat;
    let (early, late) = (boat.writes(2, &cleaned()), copy.writes(5, &cleaned()));
    let (after_early, after_late) = (boat.writes(4, &cleaned()), copy.writes(4, &cleaned()));
    let entries = [(&first, "-"), (&early, "-"), (&late, "-"), (&after_early, "-")];
    checked(false, "after the early one", &entries);
    let entries = [(&first, "-"), (&early, "-"), (&late, "-"), (&after_late, "back-dated")];
    checked(false, "after the late one", &entries);
}

/// It follows what comes before all that it takes back itself, a withdrawal too.
#[test]
fn a_withdrawal_that_was_ahead_is_taken_back_in_time() {
    let mut boat = Pen::signed(2);
    let first = boat.writes(1, &cleaned());
    let ahead = boat.writes(90, &withdrawn(&[&first]));
    let back = boat.writes(2, &withdrawn(&[&ahead]));
    let next = boat.writes(3, &cleaned());
    let entries = [(&first, "-"), (&ahead, "-"), (&back, "-"), (&next, "-")];
    let tallies = checked(false, "a withdrawal of a withdrawal", &entries);
    assert_eq!(tally(&tallies, boat).newest.map(|(_, clock)| clock), Some(at(3)));
}

#[test]
fn what_is_taken_back_counts_as_never_written() {
    let (mut boat, mut desk) = (Pen::signed(2), Pen::signed(3));
    let first = boat.writes(1, &cleaned());
    let ahead = boat.writes(90, &cleaned());
    let mut other = boat;
    let next = boat.writes(2, &cleaned());
    let entries = [(&first, "-"), (&ahead, "-"), (&next, "back-dated")];
    let newest = |tallies: &[DeviceTally]| tally(tallies, boat).newest.map(|(_, clock)| clock);
    assert_eq!(newest(&checked(false, "a clock far ahead", &entries)), Some(at(90)));
    let taken_back = desk.writes(3, &withdrawn(&[&ahead]));
    let entries = [(&first, "-"), (&ahead, "-"), (&next, "-"), (&taken_back, "-")];
    assert_eq!(newest(&checked(false, "taken back by another", &entries)), Some(at(2)));
    // The device itself takes it back, and writes on in time.
    let own = other.writes(2, &withdrawn(&[&ahead]));
    let after = other.writes(3, &cleaned());
    let entries = [(&first, "-"), (&ahead, "-"), (&own, "-"), (&after, "-")];
    let all = checked(false, "taken back by itself", &entries);
    assert_eq!(newest(&all), Some(at(3)));
    // What took it back is taken back in turn.
    let again = desk.writes(4, &withdrawn(&[&taken_back]));
    let entries =
        [(&first, "-"), (&ahead, "-"), (&next, "back-dated"), (&taken_back, "-"), (&again, "-")];
    assert_eq!(newest(&checked(false, "and counts again", &entries)), Some(at(90)));
}

/// What lies between is passed over, however much of it there is.
#[test]
fn several_that_are_taken_back_are_passed_over() {
    let (mut boat, mut desk) = (Pen::signed(2), Pen::signed(3));
    let first = boat.writes(5, &cleaned());
    let (one, two) = (boat.writes(90, &cleaned()), boat.writes(91, &cleaned()));
    let mut other = boat;
    let both = desk.writes(3, &withdrawn(&[&one, &two]));
    for (days, why) in [(4, "back-dated"), (6, "-")] {
        let mut boat = boat;
        let last = boat.writes(days, &cleaned());
        let entries = [(&first, "-"), (&one, "-"), (&two, "-"), (&last, why), (&both, "-")];
        checked(false, &format!("both, and then on day {days}"), &entries);
    }
    // What is first here is before all that is taken back.
    let (own, last) = (other.writes(6, &withdrawn(&[&one, &two])), other.writes(7, &cleaned()));
    let entries = [(&first, "-"), (&one, "-"), (&two, "-"), (&own, "-"), (&last, "-")];
    checked(false, "by itself", &entries);
    // Two of one number, both taken back.
    let mut boat = Pen::signed(2);
    let first = boat.writes(1, &cleaned());
    let mut copy = boat;
    let (one, other) = (boat.writes(90, &cleaned()), copy.writes(91, &cleaned()));
    let next = boat.writes(2, &cleaned());
    let both = desk.writes(3, &withdrawn(&[&one, &other]));
    let entries = [(&first, "-"), (&one, "-"), (&other, "-"), (&next, "-"), (&both, "-")];
    checked(false, "two of one number", &entries);
}

/// A withdrawal that is before the clock of another, which it does not take
/// back, cannot count because a third takes that one back.
#[test]
fn a_withdrawal_leaves_out_only_what_it_takes_back_itself() {
    let (mut boat, mut desk) = (Pen::signed(2), Pen::signed(3));
    let first = boat.writes(1, &cleaned());
    let ahead = boat.writes(90, &cleaned());
    let own = boat.writes(2, &withdrawn(&[&first]));
    let taken_back = desk.writes(3, &withdrawn(&[&ahead]));
    let entries = [(&first, "-"), (&ahead, "-"), (&own, "back-dated"), (&taken_back, "-")];
    checked(false, "another takes back what it follows", &entries);
    let mut boat = Pen::signed(2);
    let ahead = boat.writes(90, &cleaned());
    let own = boat.writes(2, &withdrawn(&[&ahead]));
    checked(false, "nothing before what it takes back", &[(&ahead, "-"), (&own, "-")]);
}

#[test]
fn a_withdrawal_counts_where_it_is_believed() {
    let (mut centre, mut boat, mut desk) = (Pen::signed(1), Pen::signed(2), Pen::signed(3));
    let boats = centre.writes(1, &enrolled(boat.device, Bench, 0, 1));
    let (first, ahead) = (boat.writes(1, &cleaned()), boat.writes(90, &cleaned()));
    let next = boat.writes(2, &cleaned());
    let taken_back = desk.writes(3, &withdrawn(&[&ahead]));
    let entries = [(&boats, "-"), (&first, "-"), (&ahead, "-"), (&next, "back-dated")];
    let (first_four, stranger) = (entries, (&taken_back, "stranger"));
    check("a stranger's does not", &[&first_four[..], &[stranger]].concat());
    let desks = centre.writes(4, &enrolled(desk.device, Bench, 0, 4));
    let entries = [
        (&boats, "-"),
        (&first, "-"),
        (&ahead, "-"),
        (&next, "-"),
        (&taken_back, "-"),
        (&desks, "-"),
    ];
    check("that of a device of the fleet does", &entries);
}

#[test]
fn an_unsigned_entry_counts_once_somebody_who_may_admitted_it() {
    let (mut centre, mut before, mut desk) = (Pen::signed(1), Pen::unsigned(7), Pen::signed(3));
    let old = [before.writes(1, &cleaned()), before.writes(2, &cleaned())];
    let [first, second] = &old;
    let entries = [(first, "unsigned"), (second, "unsigned")];
    let tallies = checked(false, "nobody", &entries);
    assert_eq!(tally(&tallies, before).newest, None);
    let one = desk.writes(3, &admitted(&[first]));
    let newest = |tallies: &[DeviceTally]| tally(tallies, before).newest.map(|(_, clock)| clock);
    let entries = [(first, "-"), (second, "unsigned"), (&one, "-")];
    assert_eq!(newest(&checked(false, "the first", &entries)), Some(at(1)));
    let other = desk.writes(4, &admitted(&[second]));
    let entries = [(first, "-"), (second, "-"), (&one, "-"), (&other, "-")];
    assert_eq!(newest(&checked(false, "each by itself", &entries)), Some(at(2)));
    // In a fleet its owner's word gives the right to.
    let entries = [(first, "unsigned"), (second, "unsigned"), (&one, "stranger")];
    check("a stranger admits", &entries);
    let word = centre.writes(5, &enrolled(desk.device, Bench, 0, 5));
    check("a bench admits", &[(first, "unsigned"), (&word, "-"), (&one, "role")]);
    let word = centre.writes(6, &enrolled(desk.device, Owner, 0, 6));
    check("an owner admits", &[(first, "-"), (second, "unsigned"), (&word, "-"), (&one, "-")]);
    let gone = centre.writes(7, &enrolled(desk.device, Dismissed, 0, 7));
    let entries = [(first, "unsigned"), (&word, "-"), (&one, "rights-taken"), (&gone, "-")];
    check("an owner who was dismissed from the start", &entries);
}

#[test]
fn two_unsigned_entries_of_one_number_stay_doubtful() {
    let (mut before, mut desk) = (Pen::unsigned(7), Pen::signed(3));
    let mut copy = before;
    let (one, other) = (before.writes(1, &cleaned()), copy.writes(2, &cleaned()));
    let both = desk.writes(3, &admitted(&[&one, &other]));
    let entries = [(&one, "doubled"), (&other, "doubled"), (&both, "-")];
    let tallies = checked(false, "both admitted", &entries);
    assert_eq!(tally(&tallies, before).newest.map(|(_, clock)| clock), Some(at(2)));
}

#[test]
fn what_was_admitted_takes_back_in_turn() {
    let (mut before, mut boat, mut desk) = (Pen::unsigned(7), Pen::signed(2), Pen::signed(3));
    let (ahead, next) = (boat.writes(90, &cleaned()), boat.writes(91, &cleaned()));
    let late = boat.writes(2, &cleaned());
    let old = before.writes(1, &withdrawn(&[&ahead, &next]));
    let entries = [(&ahead, "-"), (&next, "-"), (&late, "back-dated"), (&old, "unsigned")];
    checked(false, "not admitted", &entries);
    let admits = desk.writes(3, &admitted(&[&old]));
    let entries = [(&ahead, "-"), (&next, "-"), (&late, "-"), (&old, "-"), (&admits, "-")];
    checked(false, "admitted", &entries);
}

/// The record is put right whatever its tables of who is believed say.
#[test]
fn everything_is_judged_as_if_it_had_just_come_in() {
    let (mut centre, mut boat) = (Pen::signed(1), Pen::signed(2));
    // The device that admits comes after those that it admits, by number.
    let mut desk = (3..=100).map(Pen::signed).max_by_key(|pen| pen.device);
    let Some(desk) = desk.as_mut() else { unreachable!("some devices") };
    let mut old = [Pen::unsigned(7), Pen::unsigned(8)];
    let old = old.each_mut().map(|pen| pen.writes(1, &cleaned()));
    let entries = [
        centre.writes(1, &enrolled(boat.device, Bench, 0, 1)),
        centre.writes(2, &enrolled(desk.device, Owner, 0, 2)),
        boat.writes(1, &cleaned()),
        boat.writes(90, &cleaned()),
        boat.writes(3, &cleaned()),
        old[0].clone(),
        old[1].clone(),
    ];
    let taken_back = desk.writes(3, &withdrawn(&[&entries[3]]));
    let one = desk.writes(4, &admitted(&[&old[0]]));
    let other = desk.writes(5, &admitted(&[&old[1]]));
    let entries = [&entries[..], &[taken_back, one, other]].concat();
    let mut record = record(true);
    let aside = |word: &str| {
        format!(
            "INSERT OR REPLACE INTO set_aside SELECT number, '{word}' FROM entry WHERE hash = ?1"
        )
    };
    let plain = str::to_owned;
    // What is spoilt, how, and for which entries.
    let table = [
        ("nothing", String::new(), &[][..]),
        ("one admission is not believed", aside("stranger"), &[8]),
        ("both admissions are not", aside("stranger"), &[8, 9]),
        ("nor what they admit", aside("unsigned"), &[5, 6, 8, 9]),
        ("the withdrawal is not", aside("stranger"), &[7]),
        ("what follows is back-dated", aside("back-dated"), &[4]),
        ("nothing is taken back", plain("DELETE FROM withdrawal WHERE target = ?1"), &[3]),
        ("nothing is admitted", plain("DELETE FROM admission WHERE target = ?1"), &[5, 6]),
        ("no withdrawal counts", plain("UPDATE withdrawal SET counts = 0 WHERE target = ?1"), &[3]),
        ("another is taken back", plain("INSERT INTO withdrawal VALUES (?1, 1, 1)"), &[4]),
        (
            "the newest of its device is another",
            plain(
                "UPDATE device SET newest_on = 1, newest_ms = 5
                 WHERE number = (SELECT device FROM entry WHERE hash = ?1)",
            ),
            &[0, 2, 7],
        ),
    ];
    let all = vec!["-"; entries.len()];
    for (what, sql, spoilt) in table {
        let work = good(record.transaction());
        taken(&work, &entries);
        assert_eq!(whys(&work, &entries), all);
        let told = wrote(&work);
        for place in spoilt {
            good(work.execute(&sql, [entries[*place].hash()]));
        }
        good(judge_anew(&work, &BTreeSet::new()));
        assert_eq!(whys(&work, &entries), all, "{what}");
        assert_eq!(wrote(&work), told, "{what}");
    }
}

#[test]
fn what_was_altered_since_is_not_believed() {
    let mut boat = Pen::signed(2);
    let entries = [1, 2, 3].map(|days| boat.writes(days, &cleaned()));
    let mut record = record(false);
    let work = good(record.transaction());
    taken(&work, &entries);
    // One that nobody is proven to have written, and one whose bytes are others.
    let altered = [entries[0].id()].into();
    let sql = "UPDATE entry SET written_by = 'Gull' WHERE seq = 2";
    assert_eq!(good(work.execute(sql, [])), 1);
    let reach = good(judge_anew(&work, &altered));
    assert_eq!(whys(&work, &entries), ["altered", "altered", "-"]);
    assert_eq!(reach.hoses, [code(1)].into());
    assert_eq!(wrote(&work)[0].newest.map(|(_, clock)| clock), Some(at(3)));
    good(work.execute("UPDATE entry SET written_by = 'Tern' WHERE seq = 2", []));
    good(judge_anew(&work, &BTreeSet::new()));
    assert_eq!(whys(&work, &entries), ["-", "-", "-"]);
    assert_eq!(good(judge_anew(&work, &BTreeSet::new())), Reach::default());
}

/// Whose records are folded again is told: of what came in, and of what is
/// judged otherwise since.
#[test]
fn a_merge_tells_whose_records_it_touched() {
    let (mut centre, mut boat, mut desk) = (Pen::signed(1), Pen::signed(2), Pen::signed(3));
    let retired = Event::Retired { hose: code(2), why: label("worn") };
    let ahead = boat.writes(90, &cleaned());
    let next = boat.writes(2, &retired);
    let word = centre.writes(1, &enrolled(boat.device, Bench, 0, 1));
    let desks = centre.writes(2, &enrolled(desk.device, Bench, 0, 2));
    let taken_back = desk.writes(3, &withdrawn(&[&ahead]));
    let mut record = record(true);
    let work = good(record.transaction());
    let reach = |entry: &Entry| {
        let reach = taken(&work, std::slice::from_ref(entry)).1;
        (reach.hoses.into_iter().collect::<Vec<_>>(), reach.fleet)
    };
    assert_eq!(reach(&ahead), (vec![code(1)], false));
    assert_eq!(reach(&next), (vec![code(2)], false));
    assert_eq!(reach(&word), (vec![code(1), code(2)], true));
    assert_eq!(reach(&desks), (vec![], true));
    assert_eq!(reach(&taken_back), (vec![code(1), code(2)], false));
    assert_eq!(reach(&taken_back), (vec![], false));
}

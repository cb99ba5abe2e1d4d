use super::*;
use crate::event::{About, EntryId, Released, StaffLeft};
use crate::journal::sample::*;
use crate::policy::{Change, Scope};
use crate::staff::PersonId;
use crate::story::{code, label};

/// The owner's words on a device: role, after which number, and when it was said.
fn of_fleet(device: DeviceId, words: &[(Role, u64, i64)]) -> Members {
    let mut members = Members { owner: Some(fleet()), ..Members::default() };
    for (role, after, said) in words {
        assert!(members.hear(word(device, *role, *after, *said)));
    }
    members
}

#[test]
fn only_the_owners_own_words_are_heard_and_each_once() {
    let boat = key(2).id();
    let mut members = of_fleet(boat, &[]);
    let genuine = word(boat, Role::Bench, 0, 1);
    assert!(members.hear(genuine.clone()));
    assert!(!members.hear(genuine.clone()), "heard before");
    assert!(members.hear(word(boat, Role::Read, 0, 1)), "another of the same time");
    let anothers = Warrant::sign(&key(9), (boat, None), Role::Owner, 0, 2);
    assert!(!members.hear(anothers), "another fleet's");
    let forged = Warrant { role: Role::Owner, ..genuine.clone() };
    assert!(!members.hear(forged), "forged");
    assert!(!Members::default().hear(genuine), "there is no owner");
    assert_eq!(members.devices().collect::<Vec<_>>(), [&boat]);
}

#[test]
fn the_newest_word_governs_what_comes_after_its_number() {
    let boat = key(2).id();
    let mut words = [(Role::Owner, 0, 1), (Role::Bench, 2, 2), (Role::Dismissed, 5, 3)];
    for _ in 0..words.len() {
        words.rotate_left(1);
        let members = of_fleet(boat, &words);
        let roles: Vec<_> = (0..8).map(|seq| members.role(&boat, seq)).collect();
        let (owner, bench, gone) = (Some(Role::Owner), Some(Role::Bench), Some(Role::Dismissed));
        assert_eq!(roles, [None, owner, owner, bench, bench, bench, gone, gone]);
        assert_eq!(members.newest(&boat).map(|word| word.said), Some(3));
        assert_eq!(members.devices().collect::<Vec<_>>(), [&boat]);
        let stranger = key(3).id();
        assert_eq!((members.role(&stranger, 1), members.newest(&stranger)), (None, None));
    }
    // One that was said later for all that it wrote counts for all of it.
    let members = of_fleet(boat, &[(Role::Bench, 5, 1), (Role::Read, 0, 2)]);
    assert_eq!(members.role(&boat, 9), Some(Role::Read));
}

#[test]
fn a_record_knows_its_owner_and_the_words_in_it() {
    let (mut centre, boat) = (Pen::signed(1), key(2).id());
    let entries = [
        centre.writes(1, &enrolled(boat, Role::Bench, 0, 1)),
        centre.writes(2, &enrolled(boat, Role::Dismissed, 4, 2)),
    ];
    for (fleets, owner) in [(true, Some(fleet())), (false, None)] {
        let mut record = record(fleets);
        let work = record.transaction().unwrap_or_else(|e| unreachable!("{e}"));
        taken(&work, &entries);
        let members = good(Members::load(&work));
        assert_eq!(members.owner, owner);
        let words = [(Role::Bench, 0, 1), (Role::Dismissed, 4, 2)];
        let expected = if fleets { of_fleet(boat, &words) } else { Members::default() };
        assert_eq!(members, expected);
    }
}

/// What is the owner's alone, written now or read from an entry.
#[test]
fn the_owner_has_what_lifts_doubt_for_all() {
    let (why, hose, entry) = (|| label("why"), Some(code(1)), EntryId::new([1; 32]));
    let released = |incident| {
        Event::Released(Released {
            hose,
            set: None,
            hoses: Vec::new(),
            why: why(),
            incident,
            answers: vec![entry],
        })
    };
    let about = |fleet| About { hoses: vec![code(1)], sets: Vec::new(), fleet };
    let withdrawn =
        |fleet| Event::Withdrawn { about: about(fleet), why: why(), answers: vec![entry] };
    let (device, missing) = (key(2).id(), vec![(1, 2)]);
    let table = [
        (cleaned(), Right::Bench),
        (Event::Retired { hose: code(1), why: why() }, Right::Bench),
        (released(false), Right::Bench),
        (released(true), Right::Owner),
        (withdrawn(false), Right::Bench),
        (withdrawn(true), Right::Owner),
        (recalled(), Right::Owner),
        (Event::RecallEnded { why: why(), answers: [entry] }, Right::Owner),
        (Event::CheckedOff { hose: code(1), why: why(), answers: [entry] }, Right::Owner),
        (Event::GapLost { device, missing, why: why() }, Right::Owner),
        (Event::Admitted { about: about(false), answers: vec![entry] }, Right::Owner),
        (Event::Dismissed { about: about(false), why: why(), answers: vec![entry] }, Right::Owner),
        (Event::Limited { scope: Scope::default(), limits: Change::default() }, Right::Owner),
        (
            Event::StaffLeft(StaffLeft { person: PersonId::new(code(1)), name: label("7") }),
            Right::Owner,
        ),
    ];
    for (event, right) in table {
        assert_eq!(Right::of_event(&event), right, "{event:?}");
        assert_eq!(Right::of(&Pen::signed(2).writes(1, &event)), right, "{event:?}");
    }
    // What cannot be read is what it may be at most, by its kind.
    for (kind, right) in [
        ("released", Right::Owner),
        ("withdrawn", Right::Owner),
        ("limited", Right::Owner),
        ("cleaned", Right::Bench),
        ("polished", Right::Bench),
    ] {
        let unread = Pen::signed(2).writes_unread(1, kind, 9, "{}");
        assert_eq!(Right::of(&unread), right, "{kind}");
    }
}

#[test]
fn a_role_reaches_so_far_and_no_farther() {
    let (boat, stranger) = (key(2).id(), key(3).id());
    for (role, bench, owners) in [
        (Role::Read, Some(Aside::Role), Some(Aside::Role)),
        (Role::Bench, None, Some(Aside::Role)),
        (Role::Owner, None, None),
        (Role::Dismissed, Some(Aside::Dismissed), Some(Aside::Dismissed)),
    ] {
        let members = of_fleet(boat, &[(role, 3, 1)]);
        let forbids = |device, seq, right| members.forbids(device, seq, right);
        assert_eq!(forbids(&boat, 4, Right::Bench), bench, "{role}");
        assert_eq!(forbids(&boat, 4, Right::Owner), owners, "{role}");
        assert_eq!(forbids(&boat, 3, Right::Bench), Some(Aside::Stranger), "before {role}");
        assert_eq!(forbids(&stranger, 4, Right::Bench), Some(Aside::Stranger));
    }
    assert_eq!(Members::default().forbids(&stranger, 1, Right::Owner), None);
}

/// Of what speaks against an entry the reason that weighs most is told.
#[test]
fn an_entry_is_judged_by_its_device_and_what_stands_around_it() {
    let none = Around::default();
    let (doubled, back_dated) =
        (Around { doubled: true, ..none }, Around { back_dated: true, ..none });
    let both = Around { doubled: true, back_dated: true, ..none };
    let (altered, all) = (Around { altered: true, ..none }, Around { altered: true, ..both });
    let boat = key(2).id();
    let bench = &[(Role::Bench, 0, 1)][..];
    let gone = &[(Role::Bench, 0, 1), (Role::Dismissed, 1, 2)][..];
    let taken = &[(Role::Bench, 0, 1), (Role::Dismissed, 0, 2)][..];
    let back = &[(Role::Dismissed, 0, 1), (Role::Bench, 0, 2)][..];
    let from_two = &[(Role::Bench, 1, 1), (Role::Dismissed, 0, 2)][..];
    let never = &[(Role::Read, 0, 1), (Role::Dismissed, 0, 2)][..];
    let table = [
        ("of the fleet", bench, none, None),
        ("of the fleet", bench, doubled, None),
        ("of the fleet", bench, back_dated, Some(Aside::BackDated)),
        ("of the fleet", bench, both, Some(Aside::BackDated)),
        ("of the fleet", bench, altered, Some(Aside::Altered)),
        ("of the fleet", bench, all, Some(Aside::Altered)),
        ("gone since", gone, none, None),
        ("gone since", gone, doubled, Some(Aside::Doubled)),
        ("gone since", gone, both, Some(Aside::Doubled)),
        ("gone since", gone, back_dated, Some(Aside::BackDated)),
        ("its right was taken", taken, none, Some(Aside::RightsTaken)),
        ("its right was taken", taken, both, Some(Aside::RightsTaken)),
        ("back again", back, doubled, None),
        ("its right began later", from_two, none, Some(Aside::Dismissed)),
        ("it never had the right", never, none, Some(Aside::Dismissed)),
        ("a stranger", &[], both, Some(Aside::Stranger)),
        ("a stranger", &[], altered, Some(Aside::Altered)),
    ];
    let entry = Pen::signed(2).writes(1, &cleaned());
    for (whose, words, around, why) in table {
        let members = of_fleet(boat, words);
        assert_eq!(members.judge(&entry, around), why, "{whose}: {around:?}");
    }
    let alone = Members::default();
    for (around, why) in [(none, None), (doubled, None), (back_dated, Some(Aside::BackDated))] {
        assert_eq!(alone.judge(&entry, around), why, "without an owner: {around:?}");
    }
}

#[test]
fn an_unsigned_entry_counts_where_it_was_admitted() {
    let entry = Pen::unsigned(7).writes(1, &cleaned());
    let around = |admitted, doubled| Around { admitted, doubled, ..Around::default() };
    for members in [Members::default(), of_fleet(key(2).id(), &[(Role::Bench, 0, 1)])] {
        let judged = |around| members.judge(&entry, around);
        assert_eq!(judged(around(false, false)), Some(Aside::Unsigned));
        assert_eq!(judged(around(false, true)), Some(Aside::Unsigned));
        assert_eq!(judged(around(true, false)), None);
        assert_eq!(judged(around(true, true)), Some(Aside::Doubled));
        let altered = Around { altered: true, ..around(true, true) };
        assert_eq!(judged(altered), Some(Aside::Altered));
    }
}

/// What only adds must not be lost; what may be invented must not count.
#[test]
fn what_is_not_wholly_believed_adds_at_most() {
    let adds = [Aside::RightsTaken, Aside::Doubled, Aside::BackDated];
    for aside in Aside::ALL {
        let trust = if adds.contains(aside) { Trust::AddsOnly } else { Trust::Disbelieved };
        assert_eq!(aside.trust(), trust, "{aside}");
    }
}

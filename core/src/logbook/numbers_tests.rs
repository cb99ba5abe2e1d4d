//! Own numbers, and looking for a hose.

use crate::event::Registration;
use crate::hose::{Label, Origin};
use crate::index::{Filter, SetFilter, Sort};
use crate::logbook::centre::{Centre, LP, TODAY, moment, specification};
use crate::logbook::{Logbook, LogbookError, NamingError, NewSet, Page, SetEdit};
use crate::policy::Use;
use crate::story::label;
use crate::tag::Code;

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

fn with(change: impl FnOnce(&mut Origin)) -> Registration {
    let mut origin = Origin::default();
    change(&mut origin);
    Registration { specification: specification(LP), origin, tag: None }
}

fn of_number(number: &str) -> Registration {
    with(|origin| origin.own.number = Some(label(number)))
}

/// The own numbers and lots of what is found, best first.
fn found(book: &Logbook, typed: &str) -> Vec<Code> {
    let hits = good(book.look_for(typed, 9, &moment(TODAY)));
    hits.iter().map(|hit| hit.answer.code).collect()
}

#[test]
fn a_number_names_one_hose_of_those_in_use() {
    let mut c = Centre::new();
    let now = moment(TODAY);
    let first = good(c.book.register(of_number("LP-17"), None, &now));
    for same in ["LP-17", "lp 17", "Lp17"] {
        assert!(good(c.book.find_typed(same)).hose == first, "{same}");
        let again = c.book.register(of_number(same), None, &now);
        assert!(
            matches!(again, Err(LogbookError::Naming(NamingError::NumberInUse { holder, .. })) if holder == first),
            "{same}"
        );
    }
    let two = c.book.register_all(vec![of_number("A1"), of_number("a-1")], None, &now);
    assert!(matches!(two, Err(LogbookError::Naming(NamingError::NumberTwice(_)))));
    let other = good(c.book.register(of_number("LP-18"), None, &now));
    let record = good(c.book.record(other));
    let mut origin = record.origin.clone();
    origin.own.number = Some(label("LP17"));
    let specification = specification(LP);
    let taken = c.book.describe(other, (specification.clone(), origin), None, &now);
    assert!(matches!(taken, Err(LogbookError::Naming(NamingError::NumberInUse { .. }))));
    // Out of service it names the hose until another has the number.
    c.retire(first, TODAY);
    assert!(good(c.book.find_typed("LP-17")).hose == first);
    let next = good(c.book.register(of_number("LP-17"), None, &now));
    assert!(good(c.book.find_typed("LP-17")).hose == next);
    assert_eq!(good(c.book.doubled_numbers()), []);
}

#[test]
fn two_branches_have_each_a_hose_of_one_number() {
    let mut c = Centre::new();
    let now = moment(TODAY);
    let of = |branch: Option<&str>| {
        with(|origin| {
            origin.own.number = Some(label("LP-17"));
            origin.own.branch = branch.map(label);
        })
    };
    let harbour = good(c.book.register(of(Some("Harbour")), None, &now));
    let bay = good(c.book.register(of(Some("North Bay")), None, &now));
    let nowhere = good(c.book.register(of(None), None, &now));
    for taken in [Some("harbour"), Some("northbay"), None] {
        let again = c.book.register(of(taken), None, &now);
        assert!(
            matches!(again, Err(LogbookError::Naming(NamingError::NumberInUse { .. }))),
            "{taken:?}"
        );
    }
    assert_eq!(good(c.book.doubled_numbers()), []);
    // The number alone does not say which of them is meant.
    assert!(matches!(
        c.book.find_typed("LP-17"),
        Err(LogbookError::Naming(NamingError::Several { .. }))
    ));
    let listed = |book: &Logbook, branch: &str| -> Vec<Code> {
        let filter = Filter { branch: Some(label(branch)), ..Filter::default() };
        let list = good(book.list(&filter, Sort::Number, &Page::ALL, &now));
        list.rows.iter().map(|answer| answer.code).collect()
    };
    assert_eq!(listed(&c.book, "HARBOUR"), [harbour]);
    // Moving to a branch that has the number is refused; leaving one for none too.
    for (hose, branch) in [(bay, Some("Harbour")), (bay, None), (nowhere, Some("Harbour"))] {
        let mut origin = good(c.book.record(hose)).origin;
        origin.own.branch = branch.map(label);
        let moved = c.book.describe(hose, (specification(LP), origin), None, &now);
        assert!(
            matches!(moved, Err(LogbookError::Naming(NamingError::NumberInUse { .. }))),
            "{branch:?}"
        );
    }
    let mut origin = good(c.book.record(nowhere)).origin;
    origin.own.branch = Some(label("Cove"));
    good(c.book.describe(nowhere, (specification(LP), origin.clone()), None, &now));
    assert_eq!(listed(&c.book, "cove"), [nowhere]);
    origin.own.branch = None;
    good(c.book.describe(nowhere, (specification(LP), origin), None, &now));
    assert_eq!(listed(&c.book, "cove"), []);
}

#[test]
fn a_hose_is_where_its_set_is() {
    let mut c = Centre::new();
    let now = moment(TODAY);
    let hose = good(c.book.register(
        with(|origin| origin.own.branch = Some(label("Harbour"))),
        None,
        &now,
    ));
    let ports = vec![good("LP:3/8-24=4".parse())];
    let new =
        NewSet { branch: Some(label("North Bay")), ..NewSet::new(label("N1"), Use::Rental, ports) };
    let set = good(c.book.assemble_new(new, None, &now));
    good(c.book.fit(hose, &set.into(), good("LP1".parse()), None, &now));
    let count = |book: &Logbook, branch: &str| {
        let filter = Filter { branch: Some(label(branch)), ..Filter::default() };
        good(book.list(&filter, Sort::Set, &Page::ALL, &now)).total
    };
    let sets = |book: &Logbook, branch: &str| {
        let filter = SetFilter { branch: Some(label(branch)), ..SetFilter::default() };
        good(book.list_sets(&filter, &Page::ALL)).total
    };
    assert_eq!((count(&c.book, "northbay"), count(&c.book, "Harbour")), (1, 0));
    assert_eq!((sets(&c.book, "North Bay"), sets(&c.book, "Harbour")), (1, 0));
    let edit = SetEdit { branch: Some(None), ..SetEdit::default() };
    good(c.book.change_set(&set.into(), edit, None, &now));
    assert_eq!((count(&c.book, "northbay"), count(&c.book, "Harbour")), (0, 1));
    assert_eq!(sets(&c.book, "North Bay"), 0);
}

#[test]
fn a_number_that_begins_a_code_opens_neither() {
    let mut c = Centre::new();
    let now = moment(TODAY);
    let one = good(c.book.register(of_number("LP-17"), None, &now));
    let begins: String = one.to_string().chars().filter(|c| *c != '-').take(6).collect();
    let other = good(c.book.register(of_number(&begins), None, &now));
    match c.book.find_typed(&begins) {
        Err(LogbookError::Naming(NamingError::Several { codes, .. })) => {
            assert_eq!(codes, [other, one])
        }
        found => unreachable!("{found:?}"),
    }
    assert_eq!(found(&c.book, &begins), [other, one]);
}

#[test]
fn whatever_is_known_of_a_hose_finds_it() {
    let mut c = Centre::new();
    let now = moment(TODAY);
    let mut hoses = Vec::new();
    for n in 1..=40 {
        let new = with(|origin| {
            origin.own.number = Some(label(&format!("LP-{n}")));
            origin.maker = Some(label(if n % 2 == 0 { "Kelpline" } else { "Reef & Sons" }));
            origin.lot = Some(label(&format!("B{}-7", n * 37 % 211)));
            origin.own.note = (n == 7).then(|| label("The one with the blue sleeve"));
            origin.model = (n == 8).then(|| label("Deep Two"));
        });
        hoses.push(good(c.book.register(new, None, &now)));
    }
    let of = |n: usize| hoses.get(n - 1).copied();
    let mut asked = 0;
    for n in 1..=40 {
        let (hose, lot) = (of(n), n * 37 % 211);
        let code = hose.map(|code| code.to_string().replace('-', "")).unwrap_or_default();
        let maker = if n % 2 == 0 { "kelp line" } else { "REEF & sons" };
        let slipped = swapped(&format!("{maker} b{lot}7"));
        for typed in [
            format!("lp {n}"),
            format!("LP{n}"),
            code.get(..6).unwrap_or("").to_lowercase(),
            code.get(3..10).unwrap_or("").to_owned(),
            format!("{maker} b{lot} 7"),
            format!("B{lot}-7"),
            slipped,
        ] {
            asked += 1;
            let best = found(&c.book, &typed);
            assert_eq!(best.first().copied(), hose, "{typed}: {best:?}");
        }
    }
    assert!(asked >= 200, "{asked}");
    for (typed, n) in
        [("blue sleeve", 7), ("BLUESLEEVE", 7), ("deep-two", 8), ("model two deep", 8)]
    {
        let best = found(&c.book, typed);
        assert_eq!(best.first().copied(), of(n), "{typed}");
    }
    // What nobody has is not found.
    for typed in ["flamingo", "LP-9999", "uu", "B999-7 nobody", "", "  -  "] {
        assert_eq!(found(&c.book, typed), [], "{typed}");
    }
    // A set and its ticket, from their first characters on.
    let first = of(1).unwrap_or_else(|| unreachable!());
    c.fit(first, "Heron", "LP1", TODAY);
    for typed in ["he", "Heron", "her on"] {
        assert_eq!(found(&c.book, typed), [first], "{typed}");
    }
    // Lists go by number, the smaller first.
    let page = Page { from: 0, most: 3 };
    let list = good(c.book.list(&Filter::default(), Sort::Number, &page, &now));
    let numbers = list.rows.iter().filter_map(|row| row.hose.origin.own.number.as_ref());
    let numbers: Vec<&str> = numbers.map(Label::as_str).collect();
    assert_eq!((list.total, numbers), (40, vec!["LP-1", "LP-2", "LP-3"]));
    // A maker and a lot are one however they are spelled.
    let filter = Filter { maker: Some(label("KELP-LINE")), ..Filter::default() };
    assert_eq!(good(c.book.list(&filter, Sort::Age, &page, &now)).total, 20);
}

/// The text with two neighbours swapped, not far from its middle.
fn swapped(text: &str) -> String {
    let mut letters: Vec<char> = text.chars().collect();
    letters.swap(2, 3);
    letters.into_iter().collect()
}

//! What lists, counts and questions about many hoses say is what going through every
//! hose says.

use std::collections::BTreeMap;

use super::{Found, Logbook, Page};
use crate::fleet::Horizon;
use crate::hose::{Label, Service};
use crate::index::{Filter, Location, Sort};
use crate::inspection::Verdict;
use crate::journal::Moment;
use crate::record::folded;

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

/// Holds lists and counts to the answers for every hose, one by one.
pub(super) fn agrees(book: &Logbook, moment: &Moment) {
    let hoses = good(book.hoses());
    let answers: BTreeMap<_, _> = hoses
        .into_iter()
        .map(|hose| (hose, good(book.answer_alone(Found { hose, tag: None }, moment))))
        .collect();
    let mut counts: BTreeMap<Verdict, u64> = Verdict::ALL.iter().map(|v| (*v, 0)).collect();
    for answer in answers.values() {
        *counts.entry(answer.verdict).or_default() += 1;
    }
    let told: BTreeMap<Verdict, u64> = good(book.counts(moment)).into_iter().collect();
    assert_eq!(told, counts, "on {}", moment.today);
    let verdicts =
        Verdict::ALL.iter().map(|verdict| Filter { verdict: Some(*verdict), ..Filter::default() });
    let places = Location::ALL
        .iter()
        .map(|location| Filter { location: Some(*location), ..Filter::default() });
    let services = Service::ALL.iter().map(|service| Filter {
        service: Some(*service),
        verdict: Some(Verdict::Hold),
        ..Filter::default()
    });
    let filters = verdicts.chain(places).chain(services).chain([Filter::default()]);
    let filters = filters.map(|filter| (filter, true));
    let filters = filters.chain(mixed(moment).into_iter().map(|filter| (filter, false)));
    for (sort, (filter, in_parts)) in Sort::ALL.iter().cycle().zip(filters) {
        let mut wanted: Vec<_> = answers
            .iter()
            .filter(|(hose, answer)| {
                let record =
                    good(super::believed::record_on(&book.connection, **hose, moment.today));
                let service = record.specification.as_ref().map(|hose| hose.service());
                let same = |wanted: &Option<Label>, own: Option<&Label>| {
                    wanted.as_ref().is_none_or(|wanted| own.map(folded) == Some(folded(wanted)))
                };
                let seen = record.seen.iter().map(|seen| seen.on).max();
                same(&filter.maker, record.origin.maker.as_ref())
                    && same(&filter.lot, record.origin.lot.as_ref())
                    && filter.looked_before.is_none_or(|day| seen.is_none_or(|seen| seen < day))
                    && filter.verdict.is_none_or(|verdict| verdict == answer.verdict)
                    && filter.location.is_none_or(|place| place == Location::of(&record))
                    && filter.service.is_none_or(|wanted| Some(wanted) == service)
            })
            .map(|(_, answer)| answer.code)
            .collect();
        wanted.sort_unstable();
        let list = good(book.list(&filter, *sort, &Page::ALL, moment));
        let mut listed: Vec<_> = list.rows.iter().map(|answer| answer.code).collect();
        if in_parts {
            let parts = parted(book, &filter, *sort, moment);
            assert_eq!(parts, listed, "{filter:?} by {sort} on {}, in parts", moment.today);
        }
        listed.sort_unstable();
        assert_eq!(listed, wanted, "{filter:?} by {sort} on {}", moment.today);
        assert_eq!(list.total, u64::try_from(wanted.len()).unwrap_or(0));
    }
    due_agrees(book, moment);
}

/// Filters that ask for several things at once, and for those without a verdict.
fn mixed(moment: &Moment) -> Vec<Filter> {
    let mut all = vec![Filter::default()];
    let label = |text: &str| Some(good(Label::new("a text", text)));
    type Change<'a> = &'a dyn Fn(&mut Filter);
    let today = moment.today;
    let changes: [Change<'_>; 6] = [
        &|filter| filter.service = Some(Service::SecondStage),
        &|filter| filter.location = Some(Location::Stock),
        &|filter| filter.maker = label("Kelpline"),
        &|filter| filter.lot = label("l1"),
        &|filter| filter.looked_before = Some(today),
        &|filter| filter.verdict = Some(Verdict::Watch),
    ];
    for change in changes {
        let mut more = all.clone();
        more.iter_mut().for_each(change);
        all.extend(more);
    }
    all
}

/// The same list, two rows at a time.
fn parted(book: &Logbook, filter: &Filter, sort: Sort, moment: &Moment) -> Vec<crate::tag::Code> {
    let mut all = Vec::new();
    loop {
        let from = u64::try_from(all.len()).unwrap_or(0);
        let list = good(book.list(filter, sort, &Page { from, most: 2 }, moment));
        if list.rows.is_empty() {
            return all;
        }
        all.extend(list.rows.iter().map(|answer| answer.code));
    }
}

fn due_agrees(book: &Logbook, moment: &Moment) {
    let maker = Some(good(Label::new("a text", "Kelpline")));
    let location = Some(Location::Set);
    for filter in [
        Filter::default(),
        Filter { maker: maker.clone(), ..Filter::default() },
        Filter { location, ..Filter::default() },
        Filter { maker, location, ..Filter::default() },
    ] {
        due_of_agrees(book, &filter, moment);
    }
}

fn due_of_agrees(book: &Logbook, filter: &Filter, moment: &Moment) {
    let within: Horizon = good("1y".parse());
    let mut wanted = Vec::new();
    good(book.each_asked(
        moment.today,
        |_| Ok(()),
        |(), asked| {
            let (row, verdict) = crate::index::Row::today(asked);
            if !filter.passes(&row, verdict) {
                return;
            }
            let due = crate::index::due_of(asked).into_iter();
            let due = due.filter(|due| due.on <= within.until(moment.today));
            wanted.extend(due.map(|due| (due.on, due.what, asked.record.hose, asked.record.tag())));
        },
    ));
    wanted.sort_unstable();
    let wanted: Vec<_> = wanted.into_iter().map(|(on, what, _, tag)| (on, what, tag)).collect();
    let list = good(book.due_page(within, filter, &Page::ALL, moment));
    let rows: Vec<_> = list.rows.iter().map(|row| (row.on, row.what, row.code)).collect();
    assert_eq!(rows, wanted, "due on {}", moment.today);
    assert_eq!(list.total, u64::try_from(wanted.len()).unwrap_or(0));
    let mut parts = Vec::new();
    while parts.len() < wanted.len() {
        let from = u64::try_from(parts.len()).unwrap_or(0);
        let part = good(book.due_page(within, filter, &Page { from, most: 3 }, moment));
        assert!(!part.rows.is_empty(), "due from {from} on {}", moment.today);
        parts.extend(part.rows.iter().map(|row| (row.on, row.what, row.code)));
    }
    assert_eq!(parts, wanted, "due in parts on {}", moment.today);
}

//! Recalls, limits and lost numbers. Source: common practice, no source.

use super::Meant;
use super::tale_tests::Tale;
use crate::event::{About, EntryId, Event, RecallOf};
use crate::hose::{Label, Origin};
use crate::inspection::LeastPressure;
use crate::journal::Trust;
use crate::measure::PartialDate;
use crate::policy::{Change, Scope};
use crate::story::{day, label};

#[test]
fn a_recall_stands_until_it_is_ended_or_dismissed() {
    let recalled = || Event::Recalled { lot: label("L-7"), maker: None, why: label("bad crimps") };
    let mut tale = Tale::default();
    let one = tale.tell("2026-02-01", recalled());
    let other = tale.told("2026-02-02", Trust::Disbelieved, recalled());
    let recalls = |tale: &Tale| {
        tale.fleet().recalls.iter().map(|r| (r.entry, r.disbelieved)).collect::<Vec<_>>()
    };
    assert_eq!(recalls(&tale), [(one, false), (other, true)]);
    assert_eq!(tale.fleet().newest_on, day("2026-02-01"));
    let about = About { fleet: true, ..About::default() };
    let why = label("nobody knows them");
    let mut dismissed = tale.clone();
    dismissed.tell("2026-02-03", Event::Dismissed { about, why, answers: vec![other] });
    assert_eq!(recalls(&dismissed), [(one, false)]);
    tale.tell("2026-02-03", Event::RecallEnded { why: label("over"), answers: [one] });
    assert_eq!(recalls(&tale), [(other, true)]);
}

#[test]
fn limits_in_doubt_count_where_they_are_stricter() {
    let limited = |(low_bar, high_bar)| {
        let limits = Change::of_leak_tests(LeastPressure { low_bar, high_bar });
        let limits = limits.unwrap_or_else(|e| unreachable!("{e}"));
        Event::Limited { scope: Scope::default(), limits }
    };
    let mut tale = Tale::default();
    let least = |tale: &Tale| {
        let least = tale.fleet().least_pressure();
        (least.low_bar, least.high_bar)
    };
    assert_eq!(least(&tale), (50, 150));
    tale.tell("2026-02-01", limited((40, 160)));
    assert_eq!(least(&tale), (40, 160));
    tale.told("2026-02-02", Trust::AddsOnly, limited((45, 100)));
    assert_eq!(least(&tale), (45, 160));
    tale.told("2026-02-03", Trust::Disbelieved, limited((200, 300)));
    assert_eq!(least(&tale), (45, 160));
}

#[test]
fn numbers_are_lost_where_the_owner_says_so() {
    let mut tale = Tale::default();
    let device = crate::device::DeviceId::Unsigned([3; 16]);
    let lost = |missing| Event::GapLost { device, missing, why: label("it sank") };
    tale.told("2026-02-01", Trust::AddsOnly, lost(vec![(1, 2)]));
    assert_eq!(tale.fleet().lost, []);
    tale.tell("2026-02-01", lost(vec![(4, 6)]));
    let said: Vec<_> = tale.fleet().lost.into_iter().map(|l| (l.device, l.missing)).collect();
    assert_eq!(said, [(device, vec![(4, 6)])]);
    tale.unknown("2026-02-02", Trust::Full, "{}");
    tale.unknown("2026-02-03", Trust::Disbelieved, "{}");
    assert_eq!((tale.fleet().unread, tale.fleet().newest_on), (1, day("2026-02-02")));
}

#[test]
fn a_recall_means_what_is_known_to_be_the_same_and_perhaps_what_is_unknown() {
    let text = |text: &str| (!text.is_empty()).then(|| label(text));
    let of =
        |maker: &str, lot: &str| Origin { maker: text(maker), lot: text(lot), ..Origin::default() };
    let lot: crate::hose::Label = label("L-7");
    let maker = label("Kelpline");
    let recall = |maker: Option<&Label>| super::Recall {
        entry: EntryId::new([1; 32]),
        of: RecallOf::lot(lot.clone(), maker.cloned()),
        why: label("bad crimps"),
        on: day("2026-01-01"),
        disbelieved: false,
    };
    let rows = [
        (of("", "l 7"), None, Meant::Yes),
        (of("", "L-8"), None, Meant::No),
        (of("", ""), None, Meant::Perhaps),
        (of("kelpline", "L7"), Some(&maker), Meant::Yes),
        (of("", "L7"), Some(&maker), Meant::Perhaps),
        (of("Marrow", "L7"), Some(&maker), Meant::No),
        (of("Kelpline", "L8"), Some(&maker), Meant::No),
    ];
    for (origin, maker, expected) in rows {
        let said = super::meant(&recall(maker).of, &origin, &super::Alternatives::default());
        assert_eq!(said, expected, "{origin:?}");
        assert_eq!(said == Meant::Yes, recall(maker).covers(&origin));
        let certain = super::of_lot(&lot, maker, &origin);
        let likely = origin.lot.as_ref().is_some_and(|own: &Label| super::folded(own) == "l7")
            && expected != Meant::No;
        assert_eq!(certain, likely, "{origin:?}");
    }
    let replaced = super::Alternatives {
        replaced_lots: vec![lot.clone()],
        replaced_makers: vec![maker.clone()],
        ..super::Alternatives::default()
    };
    let other = of("Marrow", "L-8");
    assert_eq!(super::meant(&recall(Some(&maker)).of, &other, &replaced), Meant::Yes);
}

/// What a recall names beside a lot. What was replaced counts where it is the same.
#[test]
fn a_recall_by_model_or_made_span_means_what_is_so_and_perhaps_what_is_unknown() {
    use Meant::{No, Perhaps, Yes};
    let of = RecallOf { made: "2022..2023".parse().ok(), ..RecallOf::default() };
    let date = |text: &str| PartialDate::parse(text).ok();
    let rows: [(&str, &[&str], &[&str], Meant); 10] = [
        ("2022-05", &[], &[], Yes),
        ("2024", &[], &[], No),
        ("", &[], &[], Perhaps),
        ("2024", &["2022"], &[], Yes),
        ("2024", &["2025"], &[], No),
        ("2024", &[""], &[], Perhaps),
        ("2024", &[], &["2022"], Yes),
        ("2024", &[], &["2021"], No),
        ("2024", &[], &["2021", "2023"], Yes),
        ("", &[], &["2021"], Perhaps),
    ];
    for (made, others, replaced, expected) in rows {
        let origin = Origin { made: date(made), ..Origin::default() };
        let others = super::Alternatives {
            made: others.iter().map(|made| date(made)).collect(),
            replaced_made: replaced.iter().filter_map(|made| date(made)).collect(),
            ..super::Alternatives::default()
        };
        assert_eq!(super::meant(&of, &origin, &others), expected, "{made} {others:?}");
    }
    let text = |text: &str| (!text.is_empty()).then(|| label(text));
    let of = RecallOf { model: text("K-2"), ..RecallOf::default() };
    for (model, other, replaced, expected) in [
        ("k2", None, "", Yes),
        ("K3", None, "", No),
        ("", None, "", Perhaps),
        ("K3", Some("K2"), "", Yes),
        ("K3", Some(""), "", Perhaps),
        ("K3", None, "K2", Yes),
        ("K3", None, "K4", No),
    ] {
        let origin = Origin { model: text(model), ..Origin::default() };
        let others = super::Alternatives {
            models: other.into_iter().map(text).collect(),
            replaced_models: text(replaced).into_iter().collect(),
            ..super::Alternatives::default()
        };
        assert_eq!(super::meant(&of, &origin, &others), expected, "{model} {others:?}");
    }
}

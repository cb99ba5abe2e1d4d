//! An owner's questions on real files.

use super::*;
use crate::answer::DueKind;
use crate::fleet::Trace;
use crate::hose::Service;
use crate::inspection::InspectionKind;
use crate::logbook::centre::{Centre, LP, TODAY, moment};
use crate::policy::{Change, Scope, Use};
use crate::story::{day, label, port_name};

#[test]
fn what_is_due_lies_within_the_horizon_and_overdue_comes_first() {
    let mut c = Centre::new();
    // In service until 2026-09-13, the ninetieth day; inspected, due 2026-12-01.
    let service = c.hose(LP, "2021-01", None);
    c.fit(service, "Heron", "LP1", "2021-09-13");
    c.full(service, "2026-06-01");
    // From made until 2026-06-14: yesterday. Personal: inspected, due 2027-06-01.
    let made = c.hose(LP, "2016-06-14", None);
    c.fit(made, "Egret", "LP1", "2024-01-01");
    c.full(made, "2026-06-01");
    // Retired by a finding and by someone: nothing is due.
    let condemned = c.hose(LP, "2016-06-14", None);
    c.fit(condemned, "Egret", "LP2", "2024-01-01");
    c.look(condemned, InspectionKind::Quick, "2026-06-01", &["run:cut:deep"]);
    let retired = c.hose(LP, "2016-06-14", None);
    c.retire(retired, TODAY);
    // In stock, never looked at: due today.
    let stock = c.hose(LP, "2026-01", None);

    let list = c.due("90d");
    let rows: Vec<_> =
        list.rows.iter().map(|r| (r.code, r.what, r.on.to_string(), r.days, r.overdue)).collect();
    let text = |s: &str| s.to_owned();
    assert_eq!(
        rows,
        [
            (made, DueKind::ReplaceMade, text("2026-06-14"), -1, true),
            (stock, DueKind::FullInspection, text("2026-06-15"), 0, false),
            (service, DueKind::ReplaceService, text("2026-09-13"), 90, false),
        ]
    );
    assert_eq!(list.condemned, [condemned]);
    assert!(list.left_out().is_some_and(|words| words.contains(&condemned.to_string())));
    assert_eq!(list.rows.first().map(|r| r.place.as_str()), Some("set Egret, port LP1"));
    assert_eq!(list.rows.get(1).map(|r| r.place.as_str()), Some("in stock"));
    assert_eq!(c.due("89d").rows.len(), 2);
    assert_eq!(c.due("0d").rows.len(), 2);
    // Rental hoses are looked over twice as often: 2026-12-01 lies within 6 months.
    let half_year = c.due("6m");
    assert!(half_year.rows.iter().any(|r| (r.code, r.what) == (service, DueKind::FullInspection)));
    assert_eq!(c.due("1y").rows.len(), 5);
}

#[test]
fn a_leak_test_is_due_for_a_fitted_hose_only() {
    let mut c = Centre::new();
    let hose = c.hose(LP, "2026-01", None);
    c.full(hose, "2026-06-01");
    let now = c.at(TODAY);
    let on = Some(day("2026-06-10"));
    assert!(c.book.fit(hose, &label("Egret"), port_name("LP1"), on, &now).is_ok());
    let row = c.due("0d").rows.first().map(|r| (r.what, r.on, r.overdue));
    assert_eq!(row, Some((DueKind::LeakTest, day("2026-06-10"), true)));
    let now = c.at(TODAY);
    assert!(c.book.remove(hose, None, &now).is_ok());
    assert_eq!(c.due("0d").rows, []);
}

#[test]
fn an_order_is_what_has_to_go_less_what_fits_in_stock() {
    let mut c = Centre::new();
    let fitted = |c: &mut Centre, set: &str, port: &str, on: &str| {
        let hose = c.hose(LP, "2021-01", None);
        c.fit(hose, set, port, on);
        c.full(hose, "2026-06-01");
        hose
    };
    let ends_soon = fitted(&mut c, "Heron", "LP1", "2021-08-01");
    let over = fitted(&mut c, "Heron", "LP2", "2021-02-01");
    let dived_out = fitted(&mut c, "Heron", "LP3", "2025-01-01");
    c.dived(dived_out, 501);
    let condemned = fitted(&mut c, "Egret", "LP1", "2025-01-01");
    c.look(condemned, InspectionKind::Quick, "2026-06-02", &["run:cut:deep"]);
    let good = fitted(&mut c, "Egret", "LP2", "2025-01-01");
    let replaced = fitted(&mut c, "Egret", "LP3", "2021-02-01");
    c.retire(replaced, TODAY);
    fitted(&mut c, "Egret", "LP3", "2026-06-15");

    let order = c.order("90d");
    let line = order.lines.first().unwrap_or_else(|| unreachable!("no line"));
    assert_eq!((order.lines.len(), line.need, line.in_stock, order.to_buy), (1, 4, 0, 4));
    let mut needed: Vec<Code> = line.hoses.iter().map(|h| h.code).collect();
    needed.sort_unstable();
    let mut wanted = vec![ends_soon, over, dived_out, condemned];
    wanted.sort_unstable();
    assert_eq!(needed, wanted, "not {good}, not {replaced}");
    let why = |code: Code| line.hoses.iter().find(|h| h.code == code).map(|h| h.why.join(" "));
    assert!(why(dived_out).is_some_and(|w| w.contains("501 dives: over its limit of 500")));
    assert!(why(condemned).is_some_and(|w| w.contains("On the run")));
    assert!(why(over).is_some_and(|w| w.contains("by 2026-02-01")), "{:?}", why(over));
    // A shorter look ahead leaves out the one that ends in August.
    assert_eq!(c.order("30d").to_buy, 3);
}

/// The stock of [`an_order_is_what_has_to_go_less_what_fits_in_stock`], hose by hose.
#[test]
fn only_good_stock_with_the_same_ends_counts() {
    let mut c = Centre::new();
    for port in ["LP1", "LP2"] {
        let hose = c.hose(LP, "2021-01", None);
        c.fit(hose, "Heron", port, "2021-02-01");
    }
    let counted = |c: &Centre| {
        let order = c.order("90d");
        order.lines.iter().map(|l| (l.need, l.in_stock, l.to_buy)).collect::<Vec<_>>()
    };
    let stock = |c: &mut Centre, text: &str, made: &str| {
        let hose = c.hose(text, made, None);
        c.full(hose, "2026-06-01");
        hose
    };
    stock(&mut c, "second-stage, rubber, 75 cm, 1/2-20, 9/16-18", "2026-01");
    stock(&mut c, "inflator, rubber, 75 cm, 3/8-24, quick-disconnect", "2026-01");
    stock(&mut c, "second-stage, rubber, 75 cm, 3/8-24, proprietary:Swivel", "2026-01");
    // Its own limit ends within the horizon.
    stock(&mut c, LP, "2016-08-01");
    let retired = stock(&mut c, LP, "2026-01");
    c.retire(retired, TODAY);
    let condemned = stock(&mut c, LP, "2026-01");
    c.look(condemned, InspectionKind::Quick, TODAY, &["run:kink:set"]);
    // Good for a personal set, over the dive limit of a rental one.
    let dived = stock(&mut c, LP, "2026-01");
    c.dived(dived, 501);
    // Held until it is looked at.
    let unseen = c.hose(LP, "2026-01", None);
    assert_eq!(counted(&c), [(2, 0, 2)]);
    let order = c.order("90d");
    let held: Vec<Code> = order.lines.iter().flat_map(|l| &l.held).map(|h| h.code).collect();
    assert_eq!(held, [unseen]);

    let other = stock(&mut c, "second-stage, braided, 90 cm, 3/8-24, 9/16-18", "2026-01");
    assert_eq!(counted(&c), [(2, 1, 1)]);
    let order = c.order("90d");
    let used = order.lines.iter().flat_map(|l| &l.stock).next();
    assert_eq!(
        used.map(|s| (s.code, s.differences.join("; "))),
        Some((
            other,
            "15.0 cm longer (90 cm, in place of 75 cm); braided, in place of rubber".to_owned()
        ))
    );
    stock(&mut c, LP, "2026-01");
    assert_eq!(counted(&c), [(2, 2, 0)]);
    // More than is needed buys nothing.
    stock(&mut c, LP, "2026-01");
    assert_eq!(counted(&c), [(2, 2, 0)]);
}

#[test]
fn ages_are_whole_years_of_the_oldest_that_a_hose_can_be() {
    let mut c = Centre::new();
    let hose = c.hose(LP, "2023", None);
    c.fit(hose, "Egret", "LP1", "2024-06-15");
    c.hose("gauge, rubber, 80 cm, 7/16-20, 7/16-20", "2025-06-15", None);
    c.hose("gauge, rubber, 80 cm, 7/16-20, 7/16-20", "2025-06-16", None);
    c.hose(LP, "", None);
    let retired = c.hose(LP, "2023", None);
    c.retire(retired, TODAY);
    let ages = c.book.ages(&moment(TODAY)).unwrap_or_default();
    let rows = |profile: &crate::fleet::AgeProfile| {
        profile.years.iter().map(|(y, n)| (*y, n.total)).collect::<Vec<_>>()
    };
    assert_eq!(rows(&ages.from_made), [(0, 1), (1, 1), (3, 1)]);
    assert_eq!((ages.from_made.unknown.total, ages.from_made.total.total), (1, 4));
    assert_eq!(rows(&ages.in_service), [(2, 1)]);
    assert_eq!((ages.in_service.unknown.total, ages.in_service.total.total), (3, 4));
    assert_eq!(ages.from_made.total.of(Service::Gauge), 2);
    assert_eq!(ages.retired, 1);
}

#[test]
fn survival_counts_what_serves_as_long_as_it_has() {
    let mut c = Centre::new();
    let of = |c: &mut Centre, maker: &str, port: &str| {
        let hose = c.hose(LP, "2020", Some((maker, "7")));
        c.fit(hose, "Egret", port, "2026-01-01");
        hose
    };
    let retired = of(&mut c, "Kelpline", "LP1");
    c.retire(retired, "2026-01-11");
    let condemned = of(&mut c, "kelp line", "LP1");
    c.look(condemned, InspectionKind::Quick, "2026-01-21", &["run:cut:deep"]);
    // Seen again later: the first time counts.
    c.look(condemned, InspectionKind::Quick, "2026-03-01", &["run:cut:deep"]);
    of(&mut c, "Northsea", "LP2");
    c.hose(LP, "2020", Some(("Kelpline", "7")));
    let survival = |by| c.book.survival(by, &moment(TODAY)).unwrap_or_else(|e| unreachable!("{e}"));
    let all = survival(None);
    assert_eq!(all.never_in_service, 1);
    let group = all.groups.first().unwrap_or_else(|| unreachable!("no group"));
    assert_eq!((group.hoses, group.retired, group.in_service), (3, 2, 1));
    let steps: Vec<_> =
        group.survival.steps.iter().map(|s| (s.days, s.events, s.censored)).collect();
    assert_eq!(steps, [(10, 1, 0), (20, 1, 0), (165, 0, 1)]);
    assert_eq!(group.survival.median_days, Some(20));
    let names = |by| survival(Some(by)).groups.into_iter().map(|g| (g.group, g.hoses)).collect();
    let makers: Vec<(String, u32)> = names(Group::Maker);
    assert_eq!(makers, [("Kelpline".to_owned(), 2), ("Northsea".to_owned(), 1)]);
    // The same lot text of two makers is two lots.
    let lots: Vec<(String, u32)> = names(Group::Lot);
    assert_eq!(lots, [("Kelpline, lot 7".to_owned(), 2), ("Northsea, lot 7".to_owned(), 1)]);
    let built: Vec<(String, u32)> = names(Group::Construction);
    assert_eq!(built, [("rubber".to_owned(), 3)]);
}

#[test]
fn a_lot_is_looked_up_recalled_and_found() {
    let mut c = Centre::new();
    let mut of = |maker: &str, lot: &str| c.hose(LP, "2026-01", Some((maker, lot)));
    let (fitted, stock) = (of("Kelpline", "B 17"), of("Kelpline", "b17"));
    let (retired, other) = (of("Kelpline", "B17"), of("Northsea", "B17"));
    let (slip, longer) = (of("Kelpline", "B18"), of("Kelpline", "AB179"));
    of("Kelpline", "C44");
    c.fit(fitted, "Heron", "LP1", TODAY);
    c.retire(retired, TODAY);

    let report = c.lot("B17", Some("kelpline"));
    let hoses: Vec<(Code, Trace)> = report.hoses.iter().map(|h| (h.code, h.trace)).collect();
    let mut wanted = vec![(fitted, Trace::ToFind), (stock, Trace::ToFind)];
    wanted.sort_unstable_by_key(|(code, _)| *code);
    wanted.push((retired, Trace::Retired));
    assert_eq!(hoses, wanted);
    let near: Vec<String> = report.near.iter().map(|n| format!("{} {}", n.lot, n.words)).collect();
    assert_eq!(
        near,
        [
            "AB179 one is a part of the other",
            "B17 the same lot of another maker",
            "B18 one character apart"
        ]
    );
    assert!(report.in_words().ends_with("it is under no recall."), "{}", report.in_words());
    // Without a maker the lot of every maker is meant; a part is not guessed at.
    assert_eq!(c.lot("B17", None).hoses.len(), 4);
    assert_eq!(c.lot("B1", None).hoses, []);
    assert_eq!(c.lot("B1", None).near.len(), 4);

    assert!(c.found(fitted, "B17").contains("start one first"));
    assert_eq!(c.recall("B17", Some("Kelpline")), "");
    assert!(c.recall("b 17", Some("KELPLINE")).contains("already recalled"));
    assert!(c.found(slip, "B17").contains("it is of lot B18 of Kelpline"));
    assert!(c.found(other, "B17").contains("it is of lot B17 of Northsea"));
    assert!(c.found(longer, "B17").contains("is not of lot B17"));
    assert_eq!(c.found(fitted, "b17"), "");
    assert!(c.found(fitted, "B17").contains("already on record as found"));
    let report = c.lot("B17", None);
    assert_eq!((report.to_find, report.set_aside, report.retired), (2, 1, 1));
    let recalls = c.book.recalls(&moment(TODAY)).unwrap_or_default();
    let counts: Vec<_> = recalls.iter().map(|r| (r.hoses.len(), r.to_find, r.set_aside)).collect();
    // A recall that names a maker leaves the other's alone.
    assert_eq!(counts, [(3, 1, 1)]);
    // What was set aside is off its port.
    let set = c.book.set(&label("Heron")).map(|set| set.hoses.len());
    assert_eq!(set.ok(), Some(0));
    // Every maker's is a wider recall, and is not refused.
    assert_eq!(c.recall("B17", None), "");
    assert!(c.recall("B17", None).contains("already recalled"));
    assert!(c.recall("B17", Some("Northsea")).contains("already recalled"));
}

/// What the lists say is what each hose's own answer says.
#[test]
fn the_lists_agree_with_the_answers() {
    let mut c = Centre::new();
    let scope = Scope { in_use: Some(Use::Rental), ..Scope::default() };
    let change = Change::new(Some(24), None, None, Some(3)).unwrap_or_default();
    let now = c.at(TODAY);
    assert!(c.book.limit(scope, change, &now, |_, _| ()).is_ok());
    for (number, port) in ["LP1", "LP2", "LP3", "LP4"].iter().enumerate() {
        for set in ["Heron", "Egret"] {
            let hose = c.hose(LP, "2018-02", None);
            c.fit(hose, set, port, &format!("202{}-03-31", number + 1));
            c.full(hose, "2026-01-31");
        }
    }
    let until = Horizon::default().until(day(TODAY));
    let mut wanted = Vec::new();
    for hose in c.book.hoses().unwrap_or_default() {
        let found = crate::Found { hose, tag: None };
        let answer = c.book.answer_found(found, &moment(TODAY));
        let due = answer.map(|a| a.due).unwrap_or_default();
        wanted.extend(due.into_iter().filter(|d| d.on <= until).map(|d| (d.on, d.what, hose)));
    }
    wanted.sort_unstable();
    let rows: Vec<_> = c.due("90d").rows.iter().map(|r| (r.on, r.what, r.code)).collect();
    assert!(rows.len() > 8, "{rows:?}");
    assert_eq!(rows, wanted);
}

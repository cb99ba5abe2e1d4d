//! Ports whose kind is not known, oxygen, recalls by what makers name, and whose a
//! hose is: each reason at its border, and what ends it.

use crate::event::{
    Assembled, CameIn, Changes, DetailChanges, Event, GoneHome, Port, PortName, RecallOf,
    SetChanges, SetDetails,
};
use crate::hose::{
    Construction, Origin, Owner, PortKind, Pressure, Service, Specification, Thread,
};
use crate::inspection::Verdict::{self, Hold, Watch};
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::story::{Story, hose, label, ports, set_id};

const TODAY: &str = "2026-06-15";

fn lp() -> Specification {
    hose(Service::SecondStage, Construction::Rubber)
}

fn unknown(thread: Thread, kind: Option<Pressure>) -> Port {
    Port { kind, ..Port::new(PortName::of(PortKind::Unknown, 1), thread) }
}

/// A set of ports with a hose in one of them, looked over and tested.
fn set_up(of: Specification, ports: Vec<Port>, details: SetDetails, port: &str) -> Story {
    let (set, name, in_use) = (set_id("Heron"), label("Heron"), Use::Personal);
    let details = Box::new(details);
    Story::of(of, "2026-01-10", "2025-12")
        .then("2026-01-10", Event::Assembled(Assembled { set, name, in_use, ports, details }))
        .fitted("2026-01-11", "Heron", port, None)
        .leak_test("2026-01-11", true)
        .full("2026-01-12", &[])
}

fn misfit(story: &Story) -> Option<Verdict> {
    story.reason(TODAY, "misfit")
}

/// The set as it is changed, naming what was said of it.
fn changed(story: Story, changes: SetChanges, why: Option<&str>) -> Story {
    let named = |entry: &&crate::journal::Entry| {
        matches!(entry.event(), Some(Event::Assembled(_) | Event::SetChanged { .. }))
    };
    let answers = story.entries.iter().filter(named).map(|entry| entry.id()).collect();
    let (set, why) = (set_id("Heron"), why.map(label));
    story.then("2026-02-01", Event::SetChanged { set, changes, why, answers })
}

#[test]
fn a_hose_waits_until_its_port_is_known() {
    let gauge = || hose(Service::Gauge, Construction::Rubber);
    let wide = Thread::Unf1_2x20;
    let unf = Thread::Unf3_8x24;
    let wide_hose = Specification::new(
        Service::SecondStage,
        Construction::Rubber,
        lp().length().clone(),
        crate::hose::Fitting::Thread(wide),
        crate::hose::Fitting::Thread(Thread::Unf9_16x18),
        false,
    );
    let wide_hose = wide_hose.unwrap_or_else(|e| unreachable!("{e}"));
    let (low, high) = (Some(Pressure::Low), Some(Pressure::High));
    for (of, thread, kind, wanted) in [
        (lp(), unf, None, Some(Hold)),
        (lp(), unf, low, None),
        (lp(), unf, high, Some(Hold)),
        // The thread says that it gives low pressure.
        (wide_hose.clone(), wide, None, None),
        (wide_hose, wide, high, Some(Hold)),
        // A high-pressure hose goes in a high-pressure port only.
        (gauge(), Thread::Unf7_16x20, None, Some(Hold)),
        (gauge(), Thread::Unf7_16x20, high, None),
        (gauge(), Thread::Unf7_16x20, low, Some(Hold)),
        (gauge(), unf, high, Some(Hold)),
    ] {
        let story = set_up(of.clone(), vec![unknown(thread, kind)], SetDetails::default(), "P1");
        assert_eq!(misfit(&story), wanted, "{of} {thread} {kind:?}");
    }
}

#[test]
fn a_port_becomes_known_with_a_reason_alone() {
    let ports = || vec![unknown(Thread::Unf3_8x24, None)];
    let story = set_up(lp(), ports(), SetDetails::default(), "P1");
    let known = || SetChanges {
        ports: Some(vec![unknown(Thread::Unf3_8x24, Some(Pressure::Low))]),
        ..SetChanges::default()
    };
    let beside = changed(story.clone(), known(), None);
    assert_eq!(misfit(&beside), Some(Hold));
    let known = changed(story, known(), Some("measured"));
    assert_eq!(misfit(&known), None);
    // It leaves something to look at.
    assert_eq!(known.reason(TODAY, "corrected"), Some(Watch));
}

#[test]
fn an_ordinary_hose_does_not_go_on_a_set_for_oxygen() {
    let clean = || lp().cleaned_for_oxygen(true);
    for (of, oxygen, wanted) in [
        (lp(), true, Some(Hold)),
        (clean(), true, None),
        (lp(), false, None),
        (clean(), false, None),
    ] {
        let details = SetDetails { oxygen, ..SetDetails::default() };
        assert_eq!(misfit(&set_up(of, ports(), details, "LP1")), wanted, "{oxygen}");
    }
}

#[test]
fn oxygen_comes_and_goes_as_strictly_as_it_can() {
    let on = || SetDetails { oxygen: true, ..SetDetails::default() };
    let set = |oxygen| SetChanges {
        details: DetailChanges { oxygen: Some(oxygen), ..DetailChanges::default() },
        ..SetChanges::default()
    };
    // Of a set: strictest without a reason, and with one it is corrected.
    let ordinary = set_up(lp(), ports(), on(), "LP1");
    assert_eq!(misfit(&changed(ordinary.clone(), set(false), None)), Some(Hold));
    let no_more = changed(ordinary, set(false), Some("used for air now"));
    assert_eq!(misfit(&no_more), None);
    assert_eq!(no_more.reason(TODAY, "corrected"), Some(Watch));
    let air = set_up(lp(), ports(), SetDetails::default(), "LP1");
    assert_eq!(misfit(&changed(air, set(true), None)), Some(Hold));
    let clean = || set_up(lp().cleaned_for_oxygen(true), ports(), on(), "LP1");
    assert_eq!(clean().reason(TODAY, "corrected"), None);
    // Of a hose: other grease is recorded as a description without a reason.
    let described = |story: Story, oxygen, why: Option<&str>| {
        let specification = Some(lp().cleaned_for_oxygen(oxygen));
        let changes = Box::new(Changes { specification, ..Changes::default() });
        let answers = if why.is_some() { story.record(TODAY).descriptions } else { Vec::new() };
        let (hose, why) = (story.hose, why.map(label));
        story.then("2026-03-01", Event::Described { hose, changes, why, answers })
    };
    let greased = described(clean(), false, None);
    assert_eq!(misfit(&greased), Some(Hold));
    assert_eq!(misfit(&described(greased.clone(), true, None)), Some(Hold));
    let again = described(greased, true, Some("cleaned anew"));
    assert_eq!(misfit(&again), None);
    assert_eq!(again.reason(TODAY, "corrected"), Some(Watch));
}

#[test]
fn a_device_in_a_port_needs_no_reason_and_changes_no_verdict() {
    let story = set_up(lp(), ports(), SetDetails::default(), "LP1");
    let devices = [("LP4".parse().unwrap_or_else(|e| unreachable!("{e}")), label("relief valve"))];
    let details =
        DetailChanges { devices: Some(devices.into_iter().collect()), ..DetailChanges::default() };
    let changes = SetChanges { details, ..SetChanges::default() };
    let before = story.told(TODAY);
    assert_eq!(changed(story, changes, None).told(TODAY), before);
}

#[test]
fn a_recall_means_what_it_names() {
    let text = |text: &str| (!text.is_empty()).then(|| label(text));
    let date = |text: &str| PartialDate::parse(text).ok();
    let of = |maker: &str, lot: &str, model: &str, made: &str| RecallOf {
        maker: text(maker),
        lot: text(lot),
        model: text(model),
        made: made.parse().ok(),
    };
    let model = || of("Kelpline", "", "K2", "");
    let span = || of("Kelpline", "", "", "2025-03..2025-06");
    let all = || of("Kelpline", "B17", "K2", "2025-03..2025-06");
    // What the recall names; maker, lot, model and made date of the hose; the reason.
    for (of, maker, lot, own, made, wanted) in [
        (model(), "Kelpline", "", "K2", "2025", Some("recalled")),
        (model(), "KELP line", "", "k-2", "2025", Some("recalled")),
        (model(), "Kelpline", "", "K3", "2025", None),
        (model(), "Kelpline", "", "", "2025", Some("recall-open")),
        (model(), "", "", "K2", "2025", Some("recall-open")),
        (model(), "Northsea", "", "K2", "2025", None),
        (model(), "Northsea", "", "", "2025", None),
        (span(), "Kelpline", "", "", "2025-03-01", Some("recalled")),
        (span(), "Kelpline", "", "", "2025-06-30", Some("recalled")),
        (span(), "Kelpline", "", "", "2025-06", Some("recalled")),
        (span(), "Kelpline", "", "", "2025-02-28", None),
        (span(), "Kelpline", "", "", "2025-07-01", None),
        (span(), "Kelpline", "", "", "2025", Some("recall-open")),
        (span(), "Kelpline", "", "", "", Some("recall-open")),
        (span(), "", "", "", "2025-04", Some("recall-open")),
        (span(), "", "", "", "2024", None),
        (all(), "Kelpline", "B17", "K2", "2025-04", Some("recalled")),
        (all(), "Kelpline", "B17", "K2", "2025", Some("recall-open")),
        (all(), "Kelpline", "B17", "", "2025-04", Some("recall-open")),
        (all(), "Kelpline", "B18", "", "2025", None),
        (all(), "Kelpline", "B17", "K2", "2024", None),
    ] {
        let said = format!("{of}: {maker} {lot} {own} {made}");
        let origin = Origin {
            maker: text(maker),
            lot: text(lot),
            model: text(own),
            made: date(made),
            ..Origin::default()
        };
        let story = Story::with_origin(lp(), "2025-12-01", origin)
            .then("2026-05-01", Event::RecalledBy { of: Box::new(of), why: label("crimps slip") });
        for code in ["recalled", "recall-open"] {
            let told = story.reason(TODAY, code);
            assert_eq!(told, (wanted == Some(code)).then_some(Hold), "{code}: {said}");
        }
    }
}

#[test]
fn a_description_ends_what_was_open_and_never_what_is_recalled() {
    let origin = Origin { maker: Some(label("Kelpline")), ..Origin::default() };
    let of = RecallOf {
        maker: Some(label("Kelpline")),
        model: Some(label("K2")),
        ..RecallOf::default()
    };
    let recall = Event::RecalledBy { of: Box::new(of), why: label("crimps slip") };
    let story = Story::with_origin(lp(), "2025-12-01", origin).then("2026-05-01", recall);
    let described = |story: Story, model: &str, why: Option<&str>| {
        let origin = Origin { model: Some(label(model)), ..Origin::default() };
        let changes = Box::new(Changes { origin, ..Changes::default() });
        let answers = if why.is_some() { story.record(TODAY).descriptions } else { Vec::new() };
        let (hose, why) = (story.hose, why.map(label));
        story.then("2026-05-02", Event::Described { hose, changes, why, answers })
    };
    assert_eq!(story.reason(TODAY, "recall-open"), Some(Hold));
    assert_eq!(described(story.clone(), "K3", None).reason(TODAY, "recall-open"), Some(Hold));
    let other = described(story.clone(), "K3", Some("read off the hose"));
    assert_eq!(other.reason(TODAY, "recall-open"), None);
    assert_eq!(other.reason(TODAY, "recalled"), None);
    let meant = described(story, "K2", Some("read off the hose"));
    assert_eq!(meant.reason(TODAY, "recalled"), Some(Hold));
    let other = described(meant, "K3", Some("read once more"));
    assert_eq!(other.reason(TODAY, "recalled"), Some(Hold));
}

fn ticket(ticket: &str) -> Option<Owner> {
    (!ticket.is_empty()).then(|| Owner::Ticket(label(ticket)))
}

/// A hose of an owner in a set of an owner; empty is the centre's.
fn owned(hose_of: &str, set_of: &str, in_use: Use) -> Story {
    let mut origin = Origin { made: PartialDate::parse("2025-12").ok(), ..Origin::default() };
    origin.own.owner = ticket(hose_of);
    let details = Box::new(SetDetails { owner: ticket(set_of), ..SetDetails::default() });
    let (set, name, ports) = (set_id("Heron"), label("Heron"), ports());
    Story::with_origin(lp(), "2026-01-10", origin)
        .then("2026-01-10", Event::Assembled(Assembled { set, name, in_use, ports, details }))
        .fitted("2026-01-11", "Heron", "LP1", None)
        .leak_test("2026-01-11", true)
        .full("2026-01-12", &[])
}

#[test]
fn a_customers_hose_belongs_on_a_set_of_its_ticket() {
    use Use::{Personal, Rental};
    for (hose_of, set_of, in_use, wanted) in [
        ("T-1", "T-1", Personal, None),
        ("T-1", "T-1", Rental, Some(Hold)),
        ("T-1", "T-2", Personal, Some(Hold)),
        ("T-1", "", Personal, Some(Hold)),
        ("T-1", "", Rental, Some(Hold)),
        ("", "T-1", Personal, None),
        ("", "", Rental, None),
    ] {
        assert_eq!(misfit(&owned(hose_of, set_of, in_use)), wanted, "{hose_of} {set_of}");
    }
}

#[test]
fn a_hose_and_its_set_go_home_and_come_in_under_a_new_ticket() {
    let story = owned("T-1", "T-1", Use::Personal).quick("2026-01-13", &["run:cut:cover"]);
    let before = story.told(TODAY);
    assert_eq!(before.0, Watch);
    let (hose, set, hoses) = (None, Some(set_id("Heron")), vec![story.hose]);
    let gone = Event::GoneHome(GoneHome { hose, set, hoses: hoses.clone(), ticket: label("T-1") });
    let story = story.then("2026-02-01", gone);
    // Its reasons remain, and its place is at home.
    assert_eq!(story.told(TODAY), before);
    let place = story.answer(TODAY).place;
    let words = "at home with its customer since 2026-02-01; its place is set Heron, port LP1";
    assert_eq!(place.words, words);
    assert_eq!(place.home, Some(crate::story::day("2026-02-01")));
    let home = story.last();
    let mut answers = story.record(TODAY).descriptions;
    answers.push(home);
    let owner = ticket("T-9");
    let details = DetailChanges { owner, ..DetailChanges::default() };
    let story = changed(story, SetChanges { details, ..SetChanges::default() }, None);
    assert_eq!(misfit(&story), Some(Hold));
    let came = Event::CameIn(CameIn { hose, set, hoses, ticket: label("T-9"), answers });
    let story = story.then("2026-02-01", came);
    assert_eq!(story.told(TODAY), before);
    let answer = story.answer(TODAY);
    assert_eq!((answer.place.words.as_str(), answer.place.home), ("set Heron, port LP1", None));
    assert!(answer.hose.words.ends_with(", a customer's, ticket T-9"), "{}", answer.hose.words);
}

#[test]
fn whose_it_is_needs_no_reason_and_ends_no_misfit_without_one() {
    let story = owned("T-1", "T-2", Use::Personal);
    let described = |story: Story, why: Option<&str>| {
        let mut origin = Origin::default();
        origin.own.owner = ticket("T-2");
        origin.own.number = Some(label("LP-17"));
        let changes = Box::new(Changes { origin, ..Changes::default() });
        let answers = if why.is_some() { story.record(TODAY).descriptions } else { Vec::new() };
        let (hose, why) = (story.hose, why.map(label));
        story.then("2026-02-01", Event::Described { hose, changes, why, answers })
    };
    let beside = described(story.clone(), None);
    assert_eq!(misfit(&beside), Some(Hold));
    let answer = beside.answer(TODAY);
    assert!(answer.hose.words.starts_with("LP-17, rubber second-stage hose"));
    let replaced = described(story, Some("the slip was mixed up"));
    assert_eq!(misfit(&replaced), None);
    assert_eq!(replaced.reason(TODAY, "corrected"), None);
}

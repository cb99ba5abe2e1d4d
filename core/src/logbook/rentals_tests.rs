//! A rental desk's days: sets go out and come back.

use chrono::NaiveTime;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::*;
use crate::TakenBack;
use crate::event::Registration;
use crate::hose::{Construction, End, Origin, Service};
use crate::inspection::{Form, InspectionKind, LeakTest, Verdict};
use crate::measure::PartialDate;
use crate::rental::{BroughtBack, StopKind};
use crate::story::{day, hose, keys, label, port_name};
use crate::tag::Code;

pub(in crate::logbook) const TODAY: &str = "2026-06-15";

pub(in crate::logbook) fn moment(today: &str) -> Moment {
    let today = day(today);
    Moment { today, time: today.and_time(NaiveTime::MIN).and_utc(), by: label("Tern") }
}

pub(in crate::logbook) fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

/// Heron: a rental set with a hose in HP1, LP1, LP2 and LP3, all ready. Egret:
/// another with one hose. And a hose in stock.
pub(in crate::logbook) struct Wharf {
    pub(in crate::logbook) folder: TempDir,
    pub(in crate::logbook) book: Logbook,
    pub(in crate::logbook) heron: Vec<Code>,
    pub(in crate::logbook) egret: Code,
    pub(in crate::logbook) stock: Code,
}

pub(in crate::logbook) fn open(folder: &TempDir, name: &str, seed: u64) -> Logbook {
    let random = ChaCha20Rng::seed_from_u64(seed);
    good(Logbook::open(&folder.path().join(name), Box::new(random), keys(folder.path())))
}

pub(in crate::logbook) fn register(book: &mut Logbook, service: Service) -> Code {
    let origin = Origin { made: PartialDate::parse("2026-01").ok(), ..Origin::default() };
    let specification = hose(service, Construction::Rubber);
    let new = Registration { specification, origin, tag: None };
    let code = good(book.register(new, Some(day("2026-02-01")), &moment(TODAY)));
    look(book, code, InspectionKind::Full, &[], "2026-06-01");
    code
}

pub(in crate::logbook) fn look(
    book: &mut Logbook,
    code: Code,
    kind: InspectionKind,
    seen: &[&str],
    on: &str,
) {
    let specification = good(book.specification(code));
    let mut form = Form::new(kind, &specification);
    form.clear_rest();
    for seen in seen {
        good(form.found(good(seen.parse())));
    }
    if kind == InspectionKind::LeakTest {
        form.tested(LeakTest::new(true, crate::measure::TestPressure::parse("200 bar").ok()));
    }
    good(book.inspect(code, good(form.finish()), Some(day(on)), &moment(TODAY)));
}

pub(in crate::logbook) fn fitted(
    book: &mut Logbook,
    service: Service,
    set: &str,
    port: &str,
) -> Code {
    let code = register(book, service);
    let on = Some(day("2026-06-02"));
    good(book.fit(code, &label(set), port_name(port), on, &moment(TODAY)));
    look(book, code, InspectionKind::LeakTest, &[], "2026-06-02");
    code
}

pub(in crate::logbook) fn wharf() -> Wharf {
    let folder = TempDir::new().unwrap_or_else(|e| unreachable!("{e}"));
    let mut book = open(&folder, "store", 7);
    for (name, in_use) in [("Heron", Use::Rental), ("Egret", Use::Rental), ("Own", Use::Personal)] {
        let ports = ["HP:7/16-20=1", "LP:3/8-24=4"].map(|text| good(text.parse()));
        good(book.assemble(label(name), in_use, &ports, Some(day("2026-02-01")), &moment(TODAY)));
    }
    let seats = [
        (Service::Gauge, "HP1"),
        (Service::SecondStage, "LP1"),
        (Service::SecondStage, "LP2"),
        (Service::Inflator, "LP3"),
    ];
    let heron =
        seats.iter().map(|(service, port)| fitted(&mut book, *service, "Heron", port)).collect();
    let egret = fitted(&mut book, Service::SecondStage, "Egret", "LP1");
    let stock = register(&mut book, Service::SecondStage);
    Wharf { folder, book, heron, egret, stock }
}

impl Wharf {
    pub(in crate::logbook) fn scans(&self) -> Vec<String> {
        self.heron.iter().map(ToString::to_string).collect()
    }

    pub(in crate::logbook) fn check(&self, scanned: &[String]) -> HandOutCheck {
        good(self.book.hand_out_check(&label("Heron"), scanned, &moment(TODAY)))
    }

    pub(in crate::logbook) fn out(
        &mut self,
        scanned: &[String],
        why: Option<&str>,
    ) -> Result<HandOutCheck, LogbookError> {
        let (set, ticket) = (label("Heron"), label("T-17"));
        self.book.hand_out(&set, ticket, scanned, why.map(label), None, &moment(TODAY))
    }

    /// Every hose that is out comes back.
    pub(in crate::logbook) fn back(
        &mut self,
        dives: u32,
        seen: &[(Code, &str)],
    ) -> Result<TakenBack, LogbookError> {
        let back = all_back(&self.book, "Heron", Some(dives), seen);
        self.book.take_back(&label("Heron"), &back, None, &moment(TODAY))
    }

    pub(in crate::logbook) fn exported(&self) -> String {
        let mut out = Vec::new();
        good(self.book.export(&mut out, |_, _| ()));
        String::from_utf8(out).unwrap_or_default()
    }

    pub(in crate::logbook) fn reasons(&self, code: Code) -> Vec<String> {
        let answer = good(self.book.answer(&code.to_string(), &moment(TODAY)));
        answer.reasons.into_iter().map(|reason| reason.code).collect()
    }
}

/// What is said of a set of which every hose that is out comes back.
pub(in crate::logbook) fn all_back(
    book: &Logbook,
    set: &str,
    dives: Option<u32>,
    seen: &[(Code, &str)],
) -> BroughtBack {
    let out = good(book.set(&label(set))).out;
    let scanned: Vec<String> =
        out.iter().flat_map(|out| &out.hoses).map(ToString::to_string).collect();
    let clear = scanned.clone();
    let seen = seen.iter().map(|(code, seen)| (code.to_string(), good(seen.parse())));
    BroughtBack { dives, scanned, missing: Vec::new(), clear, seen: seen.collect() }
}

fn kinds(check: &HandOutCheck) -> Vec<StopKind> {
    check.stops.iter().map(|stop| stop.kind).collect()
}

/// A change to the wharf, what is scanned besides the set's own hoses that are
/// named, and what then stops the hand-out.
type Row = (&'static str, fn(&mut Wharf) -> Vec<String>, &'static [StopKind], bool);

#[test]
fn each_thing_that_stops_a_hand_out_is_named() {
    let rows: &[Row] = &[
        ("complete", |w| w.scans(), &[], true),
        ("scanned twice", |w| [w.scans(), w.scans()].concat(), &[], true),
        (
            "a tag's whole text",
            |w| {
                let texts = w.heron.iter().map(|code| good(w.book.payload(*code)).text());
                texts.collect()
            },
            &[],
            true,
        ),
        ("one missing", |w| w.scans().split_off(1), &[StopKind::Missing], true),
        (
            "nothing scanned",
            |_| vec![],
            &[
                StopKind::NoHose,
                StopKind::Missing,
                StopKind::Missing,
                StopKind::Missing,
                StopKind::Missing,
            ],
            false,
        ),
        (
            "of another set",
            |w| [w.scans(), vec![w.egret.to_string()]].concat(),
            &[StopKind::Foreign],
            true,
        ),
        (
            "from stock",
            |w| [w.scans(), vec![w.stock.to_string()]].concat(),
            &[StopKind::Foreign],
            true,
        ),
        (
            "unknown tag",
            |w| {
                let blank = good(w.book.blank_tags(1));
                w.scans().into_iter().chain(blank.iter().map(ToString::to_string)).collect()
            },
            &[StopKind::Unknown],
            false,
        ),
        (
            "no tag at all",
            |w| [w.scans(), vec!["4006381333931".into()]].concat(),
            &[StopKind::Unknown],
            false,
        ),
        (
            "on hold",
            |w| {
                look(
                    &mut w.book,
                    w.heron[1],
                    InspectionKind::Quick,
                    &["seal-a:seal-damaged"],
                    TODAY,
                );
                w.scans()
            },
            &[StopKind::Held],
            false,
        ),
        (
            "an old tag",
            |w| {
                good(w.book.retag(w.heron[1], None, None, &moment(TODAY)));
                w.scans()
            },
            &[StopKind::Held],
            false,
        ),
        (
            "old tag and new",
            |w| {
                let new = good(w.book.retag(w.heron[1], None, None, &moment(TODAY)));
                [w.scans(), vec![new.to_string()]].concat()
            },
            &[StopKind::Held],
            false,
        ),
        (
            "to be retired",
            |w| {
                look(&mut w.book, w.heron[2], InspectionKind::Quick, &["run:bulge"], TODAY);
                w.scans()
            },
            &[StopKind::Retired],
            false,
        ),
        (
            "retired hose brought along",
            |w| {
                good(w.book.retire(w.stock, label("old"), None, &moment(TODAY)));
                [w.scans(), vec![w.stock.to_string()]].concat()
            },
            &[StopKind::Retired, StopKind::Foreign],
            false,
        ),
        (
            "something to watch",
            |w| {
                look(&mut w.book, w.heron[0], InspectionKind::Quick, &["run:cut:cover"], TODAY);
                w.scans()
            },
            &[],
            true,
        ),
        (
            "out already",
            |w| {
                let scans = w.scans();
                good(w.out(&scans, None));
                scans
            },
            &[StopKind::SetOut],
            false,
        ),
        (
            "a hose that is out with another set",
            |w| {
                let egret = [w.egret.to_string()];
                good(w.book.hand_out(
                    &label("Egret"),
                    label("T-1"),
                    &egret,
                    None,
                    None,
                    &moment(TODAY),
                ));
                [w.scans(), egret.to_vec()].concat()
            },
            &[StopKind::HoseOut, StopKind::Foreign],
            false,
        ),
        (
            "all at once",
            |w| {
                look(&mut w.book, w.heron[1], InspectionKind::Quick, &["end-a:bubbles"], TODAY);
                look(&mut w.book, w.heron[2], InspectionKind::Quick, &["run:kink:set"], TODAY);
                [w.scans().split_off(1), vec![w.stock.to_string()]].concat()
            },
            &[StopKind::Retired, StopKind::Missing, StopKind::Foreign, StopKind::Held],
            false,
        ),
    ];
    for (name, change, expected, lifts) in rows {
        let mut wharf = wharf();
        let scanned = change(&mut wharf);
        let check = wharf.check(&scanned);
        assert_eq!(kinds(&check), *expected, "{name}: {check:#?}");
        assert_eq!((check.ready, check.can_be_lifted()), (expected.is_empty(), *lifts), "{name}");
        let mut turned = scanned.clone();
        turned.reverse();
        assert_eq!(wharf.check(&turned), check, "{name}, scanned from the last to the first");
        // What the check says is what the hand-out does, and a refusal writes nothing.
        let before = wharf.exported();
        assert_eq!(wharf.out(&scanned, None).is_ok(), expected.is_empty(), "{name}");
        let refused = !expected.is_empty();
        assert_eq!(wharf.exported() == before, refused, "{name}");
        if refused {
            assert_eq!(wharf.out(&scanned, Some("no other")).is_ok(), *lifts, "{name}");
            assert_eq!(wharf.exported() == before, !lifts, "{name}");
        }
    }
}

#[test]
fn a_hose_stands_in_the_lists_with_its_words_and_reasons() {
    let mut wharf = wharf();
    look(&mut wharf.book, wharf.heron[0], InspectionKind::Quick, &["run:cut:cover"], TODAY);
    look(&mut wharf.book, wharf.heron[1], InspectionKind::Quick, &["seal-a:seal-missing"], TODAY);
    look(&mut wharf.book, wharf.heron[2], InspectionKind::Quick, &["run:bulge"], TODAY);
    let scans = [wharf.scans(), vec![wharf.egret.to_string()]].concat();
    let check = wharf.check(&scans);
    let codes = |list: &[Checked]| list.iter().map(|hose| hose.code).collect::<Vec<_>>();
    assert_eq!(codes(&check.found), wharf.heron);
    assert_eq!(codes(&check.watch), [wharf.heron[0]]);
    assert_eq!(codes(&check.held), [wharf.heron[1]]);
    assert_eq!(codes(&check.retired), [wharf.heron[2]]);
    assert!(check.missing.is_empty() && check.quarantined);
    assert_eq!(check.found[1].port, Some(port_name("LP1")));
    let words: Vec<&str> = check.stops.iter().map(|stop| stop.words.as_str()).collect();
    assert!(words[0].starts_with(&format!("LP2: {} (rubber second-stage", wharf.heron[2])));
    assert!(words[0].contains("retire. On the run: "), "{}", words[0]);
    assert!(words[1].contains("not in set Heron") && words[1].contains("set Egret, port LP1"));
    assert!(words[2].contains("hold. At the first-stage seal"), "{}", words[2]);
    assert!(check.stops.iter().all(|stop| !stop.todo.is_empty()));
    let said = wharf.out(&scans, None).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(
        said.contains("3 things stop it") && said.contains("This can't be overridden"),
        "{said}"
    );
}

#[test]
fn an_override_stays_on_record_and_an_idle_one_does_not() {
    let mut wharf = wharf();
    look(&mut wharf.book, wharf.heron[1], InspectionKind::Quick, &["seal-a:seal-damaged"], TODAY);
    let some: Vec<String> = wharf.scans().split_off(1);
    let along = [some, vec![wharf.stock.to_string()]].concat();
    // Nothing lifts a seal's finding; that a hose is missing a reason lifts.
    assert!(wharf.out(&along, Some("O-ring changed, test at the boat")).is_err());
    let own = wharf.heron[1];
    good(wharf.book.reseal(own, End::A, None, None, &moment(TODAY)));
    look(&mut wharf.book, own, InspectionKind::LeakTest, &[], TODAY);
    good(wharf.out(&along, Some("O-ring changed, test at the boat")));
    let out = good(wharf.book.set(&label("Heron"))).out;
    let out = out.unwrap_or_else(|| unreachable!("it is out"));
    assert_eq!(out.override_why, Some(label("O-ring changed, test at the boat")));
    assert_eq!((out.ticket, out.by), (label("T-17"), label("Tern")));
    // The hose that nobody scanned did not go; the one from stock did.
    assert!(!out.hoses.contains(&wharf.heron[0]) && out.hoses.contains(&wharf.stock));
    let view = good(wharf.book.set_view(&label("Heron"), &moment(TODAY)));
    assert!(view.words.contains("over the objections: O-ring changed"), "{}", view.words);
    let told = good(wharf.book.history(wharf.heron[1]));
    let told = told.last().map(|line| line.words.clone());
    assert!(told.is_some_and(|words| words.contains("over the objections: O-ring changed")));
    let place = good(wharf.book.answer(&wharf.stock.to_string(), &moment(TODAY))).place;
    assert_eq!(place.words, "out on ticket T-17; it is in no set");
    good(wharf.back(1, &[]));
    assert_eq!(good(wharf.book.record(wharf.stock)).dives, 1);
    assert_eq!(good(wharf.book.record(wharf.heron[0])).dives, 0);
    assert!(wharf.reasons(wharf.heron[0]).is_empty());

    let mut wharf = self::wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, Some("just in case")));
    let out = good(wharf.book.set(&label("Heron"))).out;
    assert_eq!(out.and_then(|out| out.override_why), None);
}

#[test]
fn a_personal_set_is_not_handed_out() {
    let mut wharf = wharf();
    let code = fitted(&mut wharf.book, Service::SecondStage, "Own", "LP1").to_string();
    let checked = wharf.book.hand_out_check(&label("Own"), &[&code], &moment(TODAY));
    assert!(matches!(checked, Err(LogbookError::NotForRental(_))));
    let (set, ticket, why) = (label("Own"), label("T-1"), Some(label("asked")));
    let out = wharf.book.hand_out(&set, ticket, &[code], why, None, &moment(TODAY));
    assert!(out.is_err_and(|e| e.to_string().contains("personal use")));
    let none = wharf.book.hand_out_check(&label("Stork"), &[""], &moment(TODAY));
    assert!(matches!(none, Err(LogbookError::NoSuchSet { .. })));
}

#[test]
fn what_is_out_is_looked_at_but_not_worked_on() {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let (own, stock, now) = (wharf.heron[1], wharf.stock, moment(TODAY));
    let set = label("Heron");
    let refused = [
        wharf.book.fit(stock, &set, port_name("LP4"), None, &now),
        wharf.book.fit(own, &set, port_name("LP4"), None, &now),
        wharf.book.remove(own, None, &now),
        wharf.book.retire(own, label("old"), None, &now),
    ];
    for refused in refused {
        assert!(refused.is_err_and(|e| e.to_string().contains("take")), "it was done");
    }
    look(&mut wharf.book, own, InspectionKind::Quick, &["run:salt"], TODAY);
    assert_eq!(wharf.reasons(own), ["finding-salt"]);
    good(wharf.back(2, &[]));
    assert!(wharf.book.fit(own, &set, port_name("LP4"), None, &now).is_ok());
}

#[test]
fn a_return_counts_dives_looks_at_every_hose_and_quarantines() {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let back = good(wharf.back(6, &[(wharf.heron[3], "run:scuff")]));
    assert_eq!((back.quarantined, back.dives, back.ticket), (false, 6, label("T-17")));
    assert_eq!(back.hoses.iter().map(|hose| hose.code).collect::<Vec<_>>(), wharf.heron);
    assert_eq!(good(wharf.book.set(&label("Heron"))).back_on, Some(day(TODAY)));
    for code in &wharf.heron {
        let record = good(wharf.book.record(*code));
        assert_eq!((record.dives, record.out()), (6, None));
        assert!(record.last(InspectionKind::Quick).is_some_and(|seen| seen.on == day(TODAY)));
    }
    assert!(wharf.check(&scans).ready);

    // What holds and what retires keeps it here; the next check says so too.
    for (seen, verdict) in [("seal-b:seal-damaged", Verdict::Hold), ("run:bulge", Verdict::Retire)]
    {
        let mut wharf = self::wharf();
        good(wharf.out(&scans, None));
        let back = good(wharf.back(0, &[(wharf.heron[1], seen), (wharf.heron[0], "run:salt")]));
        assert!(back.quarantined && back.words.contains("quarantine"), "{}", back.words);
        assert_eq!(
            back.stops.iter().map(|s| (s.code, s.verdict)).collect::<Vec<_>>(),
            [(wharf.heron[1], verdict)]
        );
        let view = good(wharf.book.set_view(&label("Heron"), &moment(TODAY)));
        assert!(view.quarantined && view.words.contains("quarantine") && view.out.is_none());
        assert!(wharf.check(&scans).quarantined);
        assert!(wharf.out(&scans, Some("late")).is_err());
        let release = wharf.book.release_set(&label("Heron"), &label("done"), &moment(TODAY));
        assert!(release.is_err(), "while something holds a hose of it");
        assert!(good(wharf.book.check(|_, _| ())).sound());
    }
}

#[test]
fn a_hose_in_quarantine_is_put_right_and_the_set_goes_out_again() {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let own = wharf.heron[1];
    good(wharf.back(3, &[(own, "end-a:bubbles:joint")]));
    assert!(!wharf.check(&scans).ready);
    good(wharf.book.reseal(own, End::A, None, None, &moment(TODAY)));
    look(&mut wharf.book, own, InspectionKind::LeakTest, &[], TODAY);
    assert_eq!(kinds(&wharf.check(&scans)), [StopKind::SetQuarantined]);
    good(wharf.book.release_set(&label("Heron"), &label("resealed"), &moment(TODAY)));
    assert!(wharf.check(&scans).ready);
    assert!(wharf.out(&scans, None).is_ok());
}

#[test]
fn returns_that_cannot_be_change_nothing() {
    let mut wharf = wharf();
    assert!(matches!(wharf.back(1, &[]), Err(LogbookError::NotOut(_))));
    let (scans, own, egret) = (wharf.scans(), wharf.heron[0], wharf.egret);
    let set = label("Heron");
    let early = |wharf: &mut Wharf, on: &str| {
        let ticket = label("T-17");
        wharf.book.hand_out(&set, ticket, &scans, None, Some(day(on)), &moment(TODAY))
    };
    assert!(matches!(
        early(&mut wharf, "2026-06-01"),
        Err(LogbookError::Day(DayError::BeforeLastPlace { .. }))
    ));
    assert!(matches!(
        early(&mut wharf, "2026-06-16"),
        Err(LogbookError::Day(DayError::FutureDay { .. }))
    ));
    assert!(early(&mut wharf, "2026-06-10").is_ok());
    let before = wharf.exported();
    assert!(matches!(wharf.back(201, &[]), Err(LogbookError::TooManyDives { .. })));
    assert!(matches!(wharf.back(1, &[(egret, "run:scuff")]), Err(LogbookError::NotOutWith { .. })));
    let finding =
        |result: Result<TakenBack, LogbookError>| matches!(result, Err(LogbookError::Finding(_)));
    assert!(finding(wharf.back(1, &[(own, "run:strands:2")])));
    assert!(finding(wharf.back(1, &[(own, "run:scuff"), (own, "run:scuff")])));
    let on = |on: &str| Some(day(on));
    let all = all_back(&wharf.book, "Heron", Some(1), &[]);
    let back = wharf.book.take_back(&set, &all, on("2026-06-09"), &moment(TODAY));
    assert!(matches!(back, Err(LogbookError::Day(DayError::BeforeHandOut { .. }))));
    let back = wharf.book.take_back(&set, &all, on("2026-06-16"), &moment(TODAY));
    assert!(matches!(back, Err(LogbookError::Day(DayError::FutureDay { .. }))));
    assert_eq!(wharf.exported(), before);
    let all = BroughtBack { dives: Some(200), ..all };
    assert!(wharf.book.take_back(&set, &all, on("2026-06-12"), &moment(TODAY)).is_ok());
    assert!(matches!(
        early(&mut wharf, "2026-06-11"),
        Err(LogbookError::Day(DayError::BeforeReturn { .. }))
    ));
    assert!(early(&mut wharf, "2026-06-12").is_ok());
}

/// The rental limit of 500 dives: near from 450 up to it, over from 501.
#[test]
fn dives_are_counted_through_returns() {
    for (dives, reasons) in [
        (449, vec![]),
        (450, vec!["dives-near"]),
        (500, vec!["dives-near"]),
        (501, vec!["dives-over"]),
    ] {
        let mut wharf = wharf();
        let scans = wharf.scans();
        for part in [dives / 3, dives / 3, dives - 2 * (dives / 3)] {
            good(wharf.out(&scans, None));
            good(wharf.back(part, &[]));
        }
        assert_eq!(wharf.reasons(wharf.heron[1]), reasons, "{dives}");
        assert_eq!(wharf.check(&scans).ready, dives <= 500, "{dives}");
    }
}

#[test]
fn two_desks_that_hand_out_one_set_agree_when_they_meet() {
    let mut wharf = wharf();
    let mut other = open(&wharf.folder, "other", 8);
    let text = wharf.exported();
    good(other.import_lines(&mut text.as_bytes(), false, |_, _| ()));
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let (set, later) = (label("Heron"), moment("2026-06-16"));
    let (some, why) = (&scans[..2], Some(label("no gauge")));
    good(other.hand_out(&set, label("T-99"), some, why, None, &later));
    let mut theirs = Vec::new();
    good(other.export(&mut theirs, |_, _| ()));
    good(wharf.book.import_lines(&mut theirs.as_slice(), false, |_, _| ()));
    good(other.import_lines(&mut wharf.exported().as_bytes(), false, |_, _| ()));
    assert_eq!(good(wharf.book.set(&set)), good(other.set(&set)));
    let all = all_back(&wharf.book, "Heron", Some(1), &[]);
    good(wharf.book.take_back(&set, &all, None, &later));
    for code in &wharf.heron {
        assert_eq!(good(wharf.book.record(*code)).out(), None, "{code} stays out for ever");
    }
    assert!(good(wharf.book.check(|_, _| ())).sound());
}

#[test]
fn free_ports_are_named_best_first() {
    let mut wharf = wharf();
    let (set, now) = (label("Egret"), moment(TODAY));
    let ports = |book: &Logbook, hose: Code, set: &Label| {
        let free = good(book.suggest_ports(hose, set));
        free.iter().map(PortName::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(ports(&wharf.book, wharf.stock, &set), "LP2 LP3 LP4");
    assert_eq!(ports(&wharf.book, wharf.stock, &label("Heron")), "LP4");
    assert_eq!(ports(&wharf.book, wharf.heron[0], &set), "HP1");
    let said = good(wharf.book.port_needed(wharf.stock, &set)).to_string();
    assert!(said.contains("LP2, LP3, LP4 are free and take it"), "{said}");
    let taken = wharf.book.fit(wharf.stock, &set, port_name("LP1"), None, &now);
    let said = taken.err().map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains("LP2, LP3, LP4 are free and take it"), "{said}");
    // The port that it was in last comes first.
    good(wharf.book.fit(wharf.stock, &set, port_name("LP3"), None, &now));
    good(wharf.book.remove(wharf.stock, None, &now));
    assert_eq!(ports(&wharf.book, wharf.stock, &set), "LP3 LP2 LP4");
}

#[test]
fn a_set_is_seen_port_by_port() {
    let wharf = wharf();
    let view = good(wharf.book.set_view(&label("Heron"), &moment(TODAY)));
    let held: Vec<String> = view
        .ports
        .iter()
        .map(|port| format!("{} {} {}", port.port.name, port.port.thread, port.holds))
        .collect();
    assert!(held[0].starts_with("HP1 7/16-20 rubber gauge hose"), "{held:?}");
    assert_eq!(held[4], "LP4 3/8-24 plug");
    assert_eq!((view.worst, view.quarantined), (Some(Verdict::Ready), false));
    let json = serde_json::to_value(&view).unwrap_or_default();
    assert_eq!(json["ports"][0]["name"], "HP1");
    assert_eq!(json["ports"][0]["hose"]["code"], wharf.heron[0].to_string());
    assert_eq!(json["ports"][4]["hose"], serde_json::Value::Null);
}

#[test]
fn plugs_are_told_of() {
    let set = |port: &str| crate::event::Seat { set: label("Heron"), port: port_name(port) };
    let told = crate::words::sets::fitted(None, port_name("LP2"));
    assert_eq!(told[0], "The plug of LP2 comes out: keep it with the set.");
    assert!(told[1].contains("leak test is due") && told.len() == 2);
    let moved = crate::words::sets::fitted(Some(&set("LP1")), port_name("LP2"));
    assert_eq!(moved[0], "It was moved from LP1 to LP2.");
    assert_eq!(moved[1], "LP1 is left open: put its plug back.");
    assert_eq!(moved.len(), 4);
    // It is there already, so no plug comes out.
    assert_eq!(crate::words::sets::fitted(Some(&set("LP2")), port_name("LP2")).len(), 1);
    assert_eq!(crate::words::sets::removed(&set("LP1")), [moved[1].clone()]);
}

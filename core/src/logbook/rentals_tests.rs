//! A rental desk's days: sets go out and come back.

use chrono::NaiveTime;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::*;
use crate::TakenBack;
use crate::event::Registration;
use crate::hose::{Construction, Origin, Service};
use crate::inspection::{Form, InspectionKind, LeakTest};
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
    BroughtBack {
        dives,
        scanned,
        missing: Vec::new(),
        clear,
        seen: seen.collect(),
        photographs: Vec::new(),
    }
}

pub(super) fn kinds(check: &HandOutCheck) -> Vec<StopKind> {
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

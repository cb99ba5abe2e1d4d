//! A small centre on a real file, for tests of questions about many hoses.

use chrono::NaiveTime;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::Logbook;
use crate::event::Registration;
use crate::fit::replacement::Replacement;
use crate::fleet::{DueList, LotReport, Order};
use crate::hose::{Origin, Specification};
use crate::inspection::{Form, InspectionKind, LeakTest};
use crate::journal::Moment;
use crate::measure::{HoseLength, PartialDate};
use crate::policy::Use;
use crate::story::{day, keys, label, port_name};
use crate::tag::Code;

pub(super) const TODAY: &str = "2026-06-15";

pub(super) fn moment(today: &str) -> Moment {
    let today = day(today);
    Moment { today, time: today.and_time(NaiveTime::MIN).and_utc(), by: label("Tern") }
}

/// A centre with a rental set, Heron, and a personal one, Egret.
pub(super) struct Centre {
    _folder: TempDir,
    pub(super) book: Logbook,
    clock: i64,
}

pub(super) const LP: &str = "second-stage, rubber, 75 cm, 3/8-24, 9/16-18";

pub(super) fn specification(text: &str) -> Specification {
    let words: Vec<&str> = text.split(", ").collect();
    let [service, construction, length, a, b] = words.as_slice() else { unreachable!("{text}") };
    let bad = |e: crate::hose::HoseError| -> ! { unreachable!("{text}: {e}") };
    Specification::new(
        service.parse().unwrap_or_else(|e| bad(e)),
        construction.parse().unwrap_or_else(|e| bad(e)),
        HoseLength::parse(length).unwrap_or_else(|e| unreachable!("{text}: {e}")),
        a.parse().unwrap_or_else(|e| bad(e)),
        b.parse().unwrap_or_else(|e| bad(e)),
        false,
    )
    .unwrap_or_else(|e| bad(e))
}

impl Centre {
    pub(super) fn new() -> Self {
        let folder = TempDir::new().unwrap_or_else(|e| unreachable!("{e}"));
        let random = Box::new(ChaCha20Rng::seed_from_u64(7));
        let book = Logbook::open(&folder.path().join("store"), random, keys(folder.path()));
        let book = book.unwrap_or_else(|e| unreachable!("{e}"));
        let mut centre = Self { _folder: folder, book, clock: 0 };
        for (name, in_use) in [("Heron", Use::Rental), ("Egret", Use::Personal)] {
            let ports = ["HP:7/16-20=1".parse(), "LP:3/8-24=4".parse()];
            let ports = ports.map(|p| p.unwrap_or_else(|e| unreachable!("{e}")));
            let now = centre.at("2016-01-01");
            let made = centre.book.assemble(label(name), in_use, &ports, None, &now);
            made.unwrap_or_else(|e| unreachable!("{e}"));
        }
        centre
    }

    /// Each entry is written a moment after the one before.
    pub(super) fn at(&mut self, on: &str) -> Moment {
        self.clock += 1;
        let now = moment(on);
        Moment { time: now.time + chrono::Duration::seconds(self.clock), ..now }
    }

    pub(super) fn hose(&mut self, text: &str, made: &str, lot: Option<(&str, &str)>) -> Code {
        let (maker, lot) = lot.map(|(maker, lot)| (label(maker), label(lot))).unzip();
        let made = PartialDate::parse(made).ok();
        let origin = Origin { made, maker, lot, ..Origin::default() };
        let new = Registration { specification: specification(text), origin, tag: None };
        let now = self.at(TODAY);
        let on = Some(day("2016-01-01")).filter(|_| made.is_none());
        let hose = self.book.register(new, on.or(Some(day(TODAY))), &now);
        hose.unwrap_or_else(|e| unreachable!("{e}"))
    }

    pub(super) fn fit(&mut self, hose: Code, set: &str, port: &str, on: &str) {
        let now = self.at(TODAY);
        let fitted = self.book.fit(hose, &label(set), port_name(port), Some(day(on)), &now);
        fitted.unwrap_or_else(|e| unreachable!("{e}"));
        self.look(hose, InspectionKind::LeakTest, on, &[]);
    }

    pub(super) fn look(&mut self, hose: Code, kind: InspectionKind, on: &str, seen: &[&str]) {
        let spec = self.book.specification(hose).unwrap_or_else(|e| unreachable!("{e}"));
        let mut form = Form::new(kind, &spec);
        form.clear_rest();
        for seen in seen {
            let seen = seen.parse().unwrap_or_else(|e| unreachable!("{e}"));
            form.found(seen).unwrap_or_else(|e| unreachable!("{e}"));
        }
        if kind == InspectionKind::LeakTest {
            form.tested(LeakTest::new(true, crate::measure::TestPressure::parse("200 bar").ok()));
        }
        let look = form.finish().unwrap_or_else(|e| unreachable!("{e}"));
        let now = self.at(TODAY);
        let done = self.book.inspect(hose, look, Some(day(on)), &now);
        done.unwrap_or_else(|e| unreachable!("{e}"));
    }

    pub(super) fn full(&mut self, hose: Code, on: &str) {
        self.look(hose, InspectionKind::Full, on, &[]);
    }

    pub(super) fn retire(&mut self, hose: Code, on: &str) {
        let now = self.at(TODAY);
        let done = self.book.retire(hose, label("worn"), Some(day(on)), &now);
        done.unwrap_or_else(|e| unreachable!("{e}"));
    }

    pub(super) fn dived(&mut self, hose: Code, dives: u32) {
        let now = self.at(TODAY);
        let done = self.book.dived(&[hose], dives, None, &now);
        done.unwrap_or_else(|e| unreachable!("{e}"));
    }

    pub(super) fn due(&self, within: &str) -> DueList {
        let within = within.parse().unwrap_or_else(|e| unreachable!("{e}"));
        self.book.due(within, &moment(TODAY)).unwrap_or_else(|e| unreachable!("{e}"))
    }

    pub(super) fn order(&self, within: &str) -> Order {
        let within = within.parse().unwrap_or_else(|e| unreachable!("{e}"));
        self.book.order(within, &moment(TODAY)).unwrap_or_else(|e| unreachable!("{e}"))
    }

    pub(super) fn replacement(&self, hose: Code) -> Replacement<Code> {
        self.book.replacement(hose, &moment(TODAY)).unwrap_or_else(|e| unreachable!("{e}"))
    }

    pub(super) fn lot(&self, lot: &str, maker: Option<&str>) -> LotReport {
        let maker = maker.map(label);
        let report = self.book.lot(&label(lot), maker.as_ref(), &moment(TODAY));
        report.unwrap_or_else(|e| unreachable!("{e}"))
    }

    pub(super) fn found(&mut self, hose: Code, lot: &str) -> String {
        let now = self.at(TODAY);
        let done = self.book.found_recalled(hose, (&label(lot), None), None, &now);
        done.err().map(|e| e.to_string()).unwrap_or_default()
    }

    pub(super) fn recall(&mut self, lot: &str, maker: Option<&str>) -> String {
        let now = self.at(TODAY);
        // Lots of nearly the same spelling are asked about elsewhere.
        self.book.set_sure(true);
        let done = self.book.recall(label(lot), maker.map(label), label("ferrules"), None, &now);
        done.err().map(|e| e.to_string()).unwrap_or_default()
    }
}

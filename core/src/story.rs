//! Short histories for tests: what happened to one hose, and the answer.

use chrono::{NaiveDate, NaiveTime};

use crate::answer::{Answer, Asked, Heard, answer};
use crate::device::{DeviceId, FolderKeyring};
use crate::event::{Event, Port, PortName, Seat};
use crate::hose::{Construction, End, Label, Origin, Pressure, Service, Specification, Thread};
use crate::inspection::{Form, InspectionKind, LeakTest, Observation, Verdict};
use crate::journal::{Believed, Entry, Stamp, Trust, canonical_json};
use crate::measure::{HoseLength, PartialDate};
use crate::policy::Use;
use crate::record::{FleetRecord, HoseRecord, fold_hose, fold_set};
use crate::tag::Code;

/// A day, written `2024-02-29`.
pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap_or_else(|_| unreachable!("{text}"))
}

/// The hose of a number.
pub(crate) fn code(number: u64) -> Code {
    (number * 64..).find_map(Code::from_bits).unwrap_or_else(|| unreachable!("{number}"))
}

/// A text that is known to be good.
pub(crate) fn label(text: &str) -> Label {
    Label::new("a test's text", text).unwrap_or_else(|e| unreachable!("{e}"))
}

/// A hose with the usual ends of its service.
pub(crate) fn hose(service: Service, construction: Construction) -> Specification {
    let (a, b) = match service {
        Service::SecondStage => ("3/8-24", "9/16-18"),
        Service::Inflator => ("3/8-24", "quick-disconnect"),
        Service::Gauge => ("7/16-20", "7/16-20"),
    };
    let length = HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
    let end = |text: &str| text.parse().unwrap_or_else(|e| unreachable!("{e}"));
    Specification::new(service, construction, length, end(a), end(b), false)
        .unwrap_or_else(|e| unreachable!("{e}"))
}

/// Keys for a test, beside its store.
pub(crate) fn keys(folder: &std::path::Path) -> Box<FolderKeyring> {
    Box::new(FolderKeyring::new(folder.join("keys")))
}

/// What happened to one hose, in the order in which it was written.
#[derive(Clone)]
pub(crate) struct Story {
    pub(crate) hose: Code,
    pub(crate) specification: Specification,
    pub(crate) entries: Vec<Entry>,
    device: u8,
}

impl Story {
    /// A hose, made and registered.
    pub(crate) fn of(specification: Specification, on: &str, made: &str) -> Self {
        let made = PartialDate::parse(made).ok();
        Self::with_origin(specification, on, Origin { made, ..Origin::default() })
    }

    pub(crate) fn with_origin(specification: Specification, on: &str, origin: Origin) -> Self {
        Self::numbered(1, specification, on, origin)
    }

    /// One of several hoses.
    pub(crate) fn numbered(
        number: u64,
        specification: Specification,
        on: &str,
        origin: Origin,
    ) -> Self {
        let hose = code(number);
        let story = Self { hose, specification: specification.clone(), entries: vec![], device: 1 };
        story.then(on, Event::Registered { hose, specification, origin })
    }

    /// A second-stage hose, made when it was registered.
    pub(crate) fn lp(on: &str) -> Self {
        Self::of(hose(Service::SecondStage, Construction::Rubber), on, on)
    }

    pub(crate) fn then(mut self, on: &str, event: Event) -> Self {
        let (kind, body) = event.to_parts();
        let body = canonical_json(&body).unwrap_or_default();
        self.written(on, &kind, 1, body);
        self
    }

    pub(crate) fn written(&mut self, on: &str, kind: &str, version: u32, body: String) {
        let on = day(on);
        let seq =
            self.entries.iter().filter(|e| e.device.bytes().first() == Some(&self.device)).count()
                as u64
                + 1;
        let count = u32::try_from(self.entries.len()).unwrap_or(0);
        let at = Stamp(on.and_time(NaiveTime::MIN).and_utc().timestamp_millis(), count);
        let (kind, by) = (kind.to_owned(), label("Tern"));
        let device = DeviceId::Unsigned([self.device; 16]);
        self.entries.push(Entry {
            device,
            seq,
            on,
            at,
            by,
            kind,
            version,
            body,
            previous: None,
            signature: None,
        });
    }

    /// From here on another device writes.
    pub(crate) fn on_device(mut self, device: u8) -> Self {
        self.device = device;
        self
    }

    pub(crate) fn look(self, on: &str, kind: InspectionKind, seen: &[&str]) -> Self {
        self.test(on, kind, seen, None)
    }

    pub(crate) fn full(self, on: &str, seen: &[&str]) -> Self {
        self.look(on, InspectionKind::Full, seen)
    }

    pub(crate) fn quick(self, on: &str, seen: &[&str]) -> Self {
        self.look(on, InspectionKind::Quick, seen)
    }

    pub(crate) fn leak_test(self, on: &str, passed: bool) -> Self {
        self.test(on, InspectionKind::LeakTest, &[], Some(passed))
    }

    fn test(self, on: &str, kind: InspectionKind, seen: &[&str], passed: Option<bool>) -> Self {
        let specification = self.specification.clone();
        let mut form = Form::new(kind, &specification);
        form.clear_rest();
        for seen in seen {
            let seen: Observation = seen.parse().unwrap_or_else(|e| unreachable!("{e}"));
            form.found(seen).unwrap_or_else(|e| unreachable!("{e}"));
        }
        if let Some(passed) = passed {
            form.tested(LeakTest { passed, pressure: None });
        }
        let look = form.finish().unwrap_or_else(|e| unreachable!("{e}"));
        let hose = self.hose;
        self.then(on, Event::Inspected { hose, look })
    }

    pub(crate) fn assembled(self, on: &str, set: &str, in_use: Use) -> Self {
        let lp = |n| Port { name: PortName::new(Pressure::Low, n), thread: Thread::Unf3_8x24 };
        let hp = Port { name: PortName::new(Pressure::High, 1), thread: Thread::Unf7_16x20 };
        let ports = vec![hp, lp(1), lp(2), lp(3), lp(4)];
        self.then(on, Event::Assembled { set: label(set), in_use, ports })
    }

    pub(crate) fn fitted(
        self,
        on: &str,
        set: &str,
        port: &str,
        from: Option<(&str, &str)>,
    ) -> Self {
        let hose = self.hose;
        self.fitted_other(hose, on, set, port, from)
    }

    pub(crate) fn fitted_other(
        self,
        hose: Code,
        on: &str,
        set: &str,
        port: &str,
        from: Option<(&str, &str)>,
    ) -> Self {
        let from = from.map(|(set, port)| Seat { set: label(set), port: port_name(port) });
        let (set, port) = (label(set), port_name(port));
        self.then(on, Event::Fitted { hose, set, port, from })
    }

    pub(crate) fn removed(self, on: &str, set: &str, port: &str) -> Self {
        let (hose, set, port) = (self.hose, label(set), port_name(port));
        self.then(on, Event::Removed { hose, set, port })
    }

    pub(crate) fn resealed(self, on: &str, end: End) -> Self {
        let hose = self.hose;
        self.then(on, Event::Resealed { hose, end, seal: None })
    }

    pub(crate) fn cleaned(self, on: &str) -> Self {
        let hose = self.hose;
        self.then(on, Event::Cleaned { hose })
    }

    pub(crate) fn dived(self, on: &str, dives: u32) -> Self {
        let hoses = vec![self.hose];
        self.then(on, Event::Dived { hoses, dives })
    }

    pub(crate) fn retired(self, on: &str, why: &str) -> Self {
        let (hose, why) = (self.hose, label(why));
        self.then(on, Event::Retired { hose, why })
    }

    /// The record, with every entry in the order of the fold.
    pub(crate) fn record(&self, today: &str) -> HoseRecord {
        let today = day(today);
        let mut own: Vec<Entry> = self.entries.clone();
        own.retain(|entry| entry.touched().hoses.contains(&self.hose));
        own.sort_by_key(Entry::order);
        let trust = |e: &Entry| if e.on > today { Trust::AddsOnly } else { Trust::Full };
        let own: Vec<Believed> =
            own.into_iter().map(|entry| Believed { trust: trust(&entry), entry }).collect();
        fold_hose(self.hose, &own).unwrap_or_else(|| unreachable!("no entries"))
    }

    pub(crate) fn answer(&self, today: &str) -> Answer {
        self.scanned(today, None)
    }

    pub(crate) fn scanned(&self, today: &str, scanned: Option<Code>) -> Answer {
        let record = self.record(today);
        let mut sorted = self.entries.clone();
        sorted.sort_by_key(Entry::order);
        let of_set = |name: &Label| {
            let about = |e: &&Entry| e.touched().sets.contains(name);
            fold_set(name, &believed(sorted.iter().filter(about)))
        };
        let set = record.seat.as_ref().and_then(|seat| of_set(&seat.set));
        let fleet = believed(sorted.iter().filter(|e| e.touched().fleet));
        answer(&Asked {
            record: &record,
            set: set.as_ref(),
            fleet: &FleetRecord::fold(&fleet),
            today: day(today),
            scanned,
            tag_only: None,
            heard: Heard {
                newest_on: sorted.iter().map(|e| e.on).max().unwrap_or_default(),
                devices: 1,
                complete: true,
                forked: false,
            },
        })
    }

    /// The verdict and the codes of the reasons, in their order.
    pub(crate) fn told(&self, today: &str) -> (Verdict, Vec<String>) {
        let answer = self.answer(today);
        (answer.verdict, answer.reasons.into_iter().map(|reason| reason.code).collect())
    }

    /// Whether a reason of this code is given, and the verdict of that reason.
    pub(crate) fn reason(&self, today: &str, code: &str) -> Option<Verdict> {
        let reasons = self.answer(today).reasons;
        reasons.iter().find(|reason| reason.code == code).map(|reason| reason.verdict)
    }
}

/// A port that is known to be good.
pub(crate) fn port_name(text: &str) -> PortName {
    text.parse().unwrap_or_else(|e| unreachable!("{e}"))
}

fn believed<'a>(entries: impl Iterator<Item = &'a Entry>) -> Vec<Believed> {
    entries.map(|entry| Believed { entry: entry.clone(), trust: Trust::Full }).collect()
}

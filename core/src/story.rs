//! Short histories for tests: what happened to one hose, and the answer.

use chrono::{NaiveDate, NaiveTime};

use crate::answer::{Answer, Asked, Heard, answer};
use crate::device::{DeviceId, FolderKeyring};
use crate::event::{
    About, Assembled, EntryId, Event, Fitted, Port, PortName, Removed, SetId, Slot,
};
use crate::hose::{Construction, End, Origin, Pressure, Service, Specification, Thread};
use crate::inspection::{Form, InspectionKind, LeakTest, Look, Observation, Verdict};
use crate::journal::{Believed, Entry, Stamp, Trust, canonical_json};
use crate::measure::{HoseLength, PartialDate, TestPressure};
use crate::policy::Use;
use crate::record::{FleetRecord, HoseRecord, SetRecord, fold_hose, fold_set};
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
pub(crate) fn label<T: TryFrom<String, Error: std::fmt::Debug>>(text: &str) -> T {
    T::try_from(text.to_owned()).unwrap_or_else(|e| unreachable!("{text}: {e:?}"))
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
        let (kind, version, body) = event.to_parts();
        let body = canonical_json(&body).unwrap_or_default();
        self.written(on, &kind, version, body);
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

    /// The entry that was written last.
    pub(crate) fn last(&self) -> EntryId {
        self.entries.last().map_or_else(|| unreachable!("no entries"), Entry::id)
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
        self.leak_test_at(on, passed, Some("200 bar"))
    }

    pub(crate) fn leak_test_at(self, on: &str, passed: bool, pressure: Option<&str>) -> Self {
        let pressure = pressure.map(TestPressure::parse);
        let pressure = pressure.transpose().unwrap_or_else(|e| unreachable!("{e}"));
        self.test(on, InspectionKind::LeakTest, &[], Some(LeakTest::new(passed, pressure)))
    }

    /// A full inspection that says which damage is not there, whatever is on
    /// record and whatever it finds.
    pub(crate) fn full_saying(self, on: &str, seen: &[&str], gone: &[&str]) -> Self {
        let parsed = |text: &&str| text.parse().unwrap_or_else(|e| unreachable!("{text}: {e}"));
        let gone = gone.iter().map(|g| g.parse().unwrap_or_else(|e| unreachable!("{g}: {e}")));
        let mut look = Look::of(InspectionKind::Full, seen.iter().map(parsed).collect());
        look.gone = Some(gone.collect());
        let (hose, at) = (self.hose, None);
        let answers = self.known().judged_by(InspectionKind::Full, day(on));
        self.then(on, Event::Inspected { hose, look, at, answers })
    }

    /// What an inspection saw, whatever it names. Damage on record that it does
    /// not find is said to be gone.
    pub(crate) fn seen(&self, kind: InspectionKind, seen: &[&str], test: Option<LeakTest>) -> Look {
        let specification = self.specification.clone();
        let known = self.known().wants_answers(NaiveDate::MAX);
        let mut form = Form::new(kind, &specification).with_known(known.clone());
        form.clear_rest();
        let mut all: Vec<Observation> = Vec::new();
        for seen in seen {
            let seen: Observation = seen.parse().unwrap_or_else(|e| unreachable!("{e}"));
            form.found(seen).unwrap_or_else(|e| unreachable!("{e}"));
            all.push(seen);
        }
        for known in known.iter().filter(|_| kind == InspectionKind::Full) {
            if let Some(damage) = known.damage().filter(|_| !known.is_answered(&all, &[])) {
                form.gone(damage);
                form.why(label("looked again"));
            }
        }
        if let Some(test) = test {
            form.tested(test);
        }
        form.finish().unwrap_or_else(|e| unreachable!("{e}"))
    }

    fn test(self, on: &str, kind: InspectionKind, seen: &[&str], test: Option<LeakTest>) -> Self {
        let look = self.seen(kind, seen, test);
        let (hose, at) = (self.hose, None);
        let answers = self.known().judged_by(kind, day(on));
        self.then(on, Event::Inspected { hose, look, at, answers })
    }

    pub(crate) fn assembled(self, on: &str, set: &str, in_use: Use) -> Self {
        let (ports, details) = (ports(), Box::default());
        let (set, name) = (set_id(set), label(set));
        self.then(on, Event::Assembled(Assembled { set, name, in_use, ports, details }))
    }

    /// Fitted by someone who knew it to be at `from`; nothing is stock.
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
        let from = from.map(|(set, port)| slot(set, port));
        let answers = if hose == self.hose { self.placings(from) } else { Vec::new() };
        let left = from.map(|slot| slot.set).filter(|left| *left != set_id(set));
        let sets = left.into_iter().collect();
        let (set, port) = (set_id(set), port_name(port));
        self.then(on, Event::Fitted(Fitted { hose, set, port, sets, answers }))
    }

    /// The placings that say that it is at a place.
    fn placings(&self, at: Option<Slot>) -> Vec<EntryId> {
        if self.entries.iter().all(|entry| !entry.touched().hoses.contains(&self.hose)) {
            return Vec::new();
        }
        let claims = self.known().claims.into_iter().filter(|claim| claim.slot == at);
        claims.map(|claim| claim.entry).collect()
    }

    pub(crate) fn removed(self, on: &str, set: &str, port: &str) -> Self {
        let answers = self.placings(Some(slot(set, port)));
        let (hose, sets) = (self.hose, vec![set_id(set)]);
        self.then(on, Event::Removed(Removed { hose, sets, answers }))
    }

    pub(crate) fn resealed(self, on: &str, end: End) -> Self {
        let hose = self.hose;
        self.then(on, Event::Resealed { hose, end, seal: None })
    }

    pub(crate) fn recoupled(self, on: &str) -> Self {
        let hose = self.hose;
        self.then(on, Event::Recoupled { hose })
    }

    pub(crate) fn cleaned(self, on: &str) -> Self {
        let (hose, answers) = (self.hose, self.known().cleaned_by(day(on)));
        self.then(on, Event::Cleaned { hose, answers })
    }

    pub(crate) fn dived(self, on: &str, dives: u32) -> Self {
        let hoses = vec![self.hose];
        self.then(on, Event::Dived { hoses, dives, list: None })
    }

    pub(crate) fn retired(self, on: &str, why: &str) -> Self {
        let (hose, why) = (self.hose, label(why));
        self.then(on, Event::Retired { hose, why })
    }

    /// Entries are taken back.
    pub(crate) fn withdrawn(self, on: &str, answers: Vec<EntryId>) -> Self {
        let about = About { hoses: vec![self.hose], ..About::default() };
        self.then(on, Event::Withdrawn { about, why: label("a slip"), answers })
    }

    /// The record as anyone who writes now knows it, whatever the day.
    fn known(&self) -> HoseRecord {
        self.record("9999-12-31")
    }

    /// The entries in the order of the fold, as they count on a day.
    fn believed(&self, today: &str, about: impl Fn(&Entry) -> bool) -> Vec<Believed> {
        let today = day(today);
        let mut own: Vec<Entry> = self.entries.clone();
        own.retain(about);
        own.sort_by_key(Entry::order);
        let trust = |e: &Entry| if e.on > today { Trust::AddsOnly } else { Trust::Full };
        own.into_iter()
            .map(|entry| Believed { id: entry.id(), trust: trust(&entry), entry })
            .collect()
    }

    /// The record, with every entry in the order of the fold.
    pub(crate) fn record(&self, today: &str) -> HoseRecord {
        let own = self.believed(today, |entry| entry.touched().hoses.contains(&self.hose));
        fold_hose(self.hose, &own).unwrap_or_else(|| unreachable!("no entries"))
    }

    pub(crate) fn answer(&self, today: &str) -> Answer {
        self.scanned(today, None)
    }

    pub(crate) fn scanned(&self, today: &str, scanned: Option<Code>) -> Answer {
        self.asked(today, |asked| asked.scanned = scanned)
    }

    /// The answer to a question that is like the usual one but for a change.
    pub(crate) fn asked(&self, today: &str, change: impl FnOnce(&mut Asked<'_>)) -> Answer {
        let record = self.record(today);
        let mut sets: Vec<SetRecord> = Vec::new();
        for stay in &record.stays {
            let about = self.believed(today, |entry| entry.touched().sets.contains(&stay.set));
            sets.extend(fold_set(stay.set, &about));
        }
        let sets: Vec<&SetRecord> = sets.iter().collect();
        let fleet = FleetRecord::fold(&self.believed(today, |entry| entry.touched().fleet));
        let mut asked = Asked {
            record: &record,
            sets: &sets,
            fleet: &fleet,
            today: day(today),
            scanned: None,
            tag_shared: false,
            as_used: None,
            tag_only: None,
            heard: Heard {
                newest_on: self.entries.iter().map(|e| e.on).max().unwrap_or_default(),
                devices: 1,
                complete: true,
                forked: false,
                gap: None,
                met_on: None,
            },
        };
        change(&mut asked);
        answer(&asked)
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

/// The ports of a usual first stage.
pub(crate) fn ports() -> Vec<Port> {
    let lp = |n| Port::new(PortName::new(Pressure::Low, n), Thread::Unf3_8x24);
    let hp = Port::new(PortName::new(Pressure::High, 1), Thread::Unf7_16x20);
    vec![hp, lp(1), lp(2), lp(3), lp(4)]
}

/// The set that a test calls so.
pub(crate) fn set_id(name: &str) -> SetId {
    SetId::of_name(name)
}

/// A port of a set.
pub(crate) fn slot(set: &str, port: &str) -> Slot {
    Slot { set: set_id(set), port: port_name(port) }
}

/// A port that is known to be good.
pub(crate) fn port_name(text: &str) -> PortName {
    text.parse().unwrap_or_else(|e| unreachable!("{e}"))
}

/// A set as it is folded from its making alone.
pub(crate) fn set_record(name: &str, in_use: Use, ports: Vec<Port>, since: &str) -> SetRecord {
    let set = set_id(name);
    let details = Box::default();
    let event = Event::Assembled(Assembled { set, name: label(name), in_use, ports, details });
    let story = Story::lp(since).then(since, event);
    let own = story.believed(since, |entry| entry.touched().sets.contains(&set));
    fold_set(set, &own).unwrap_or_else(|| unreachable!("no set"))
}

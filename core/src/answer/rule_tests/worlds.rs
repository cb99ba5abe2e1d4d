//! What is on record after some deeds, who knows of it, and what is answered then.

use chrono::{Days, NaiveDate, NaiveTime};

use super::deeds::Step;
use super::writing::event;
use crate::answer::{Answer, Asked, AskedOfSet, Heard, InPort, Reason, answer, set_reasons};
use crate::device::DeviceId;
use crate::event::{EntryId, SetId};
use crate::journal::{Believed, Entry, Order, Stamp, Trust, canonical_json};
use crate::record::{FleetRecord, HoseRecord, SetRecord, fold_hose, fold_set};
use crate::story::{day, label};
use crate::tag::Code;

/// The day on which every history begins.
pub(super) const START: &str = "2024-01-10";

/// What was written, with who knows of it.
#[derive(Default)]
pub(super) struct World {
    pub(super) all: Vec<Believed>,
    pub(super) known: [Vec<EntryId>; 3],
    pub(super) at: i64,
}

/// A view of some entries on a day.
pub(super) struct View {
    pub(super) entries: Vec<Believed>,
    pub(super) today: NaiveDate,
}

impl View {
    pub(super) fn of(entries: &[Believed], today: NaiveDate) -> Self {
        let mut entries: Vec<Believed> = entries.to_vec();
        for believed in &mut entries {
            let entry = &believed.entry;
            if entry.on > today || entry.at.time().date_naive() > today + Days::new(1) {
                believed.trust = believed.trust.min(Trust::AddsOnly);
            }
        }
        entries.sort_by_cached_key(|b| -> Order { b.entry.place(*b.id.hash()) });
        Self { entries, today }
    }

    fn about(&self, of: impl Fn(&Entry) -> bool) -> Vec<Believed> {
        self.entries.iter().filter(|b| of(&b.entry)).cloned().collect()
    }

    pub(super) fn hose(&self, hose: Code) -> Option<HoseRecord> {
        fold_hose(hose, &self.about(|e| e.touched().hoses.contains(&hose)))
    }

    pub(super) fn set(&self, set: SetId) -> Option<SetRecord> {
        // The two sets may be one: what is about either counts then.
        let own = fold_set(set, &self.about(|e| e.touched().sets.contains(&set)))?;
        let parts: Vec<SetId> = own.joined.iter().copied().chain([set]).collect();
        let first = parts.iter().min().copied().unwrap_or(set);
        fold_set(first, &self.about(|e| e.touched().sets.iter().any(|s| parts.contains(s))))
    }

    pub(super) fn fleet(&self) -> FleetRecord {
        FleetRecord::fold(&self.about(|e| e.touched().fleet))
    }

    /// What a set's own tag answers: its own reasons, and those of every hose in it.
    pub(super) fn standing(&self, set: SetId) -> Option<(Vec<Reason>, Vec<InPort>)> {
        let record = self.set(set)?;
        let own = set_reasons(&AskedOfSet {
            set: &record,
            fleet: &self.fleet(),
            today: self.today,
            heard: self.heard(),
        });
        let mut hoses: Vec<InPort> = Vec::new();
        for claim in &record.claims {
            let reasons = self.answer(claim.hose)?.reasons;
            hoses.push(InPort { port: claim.port, code: claim.hose, reasons });
        }
        Some((own, hoses))
    }

    fn heard(&self) -> Heard {
        Heard {
            newest_on: self.today,
            devices: 3,
            complete: true,
            forked: false,
            gap: None,
            met_on: None,
        }
    }

    pub(super) fn answer(&self, hose: Code) -> Option<Answer> {
        self.asked(hose, answer)
    }

    /// Asks about a hose.
    pub(super) fn asked<T>(&self, hose: Code, ask: impl FnOnce(&Asked<'_>) -> T) -> Option<T> {
        let record = self.hose(hose)?;
        let mut sets: Vec<SetRecord> = Vec::new();
        for set in record.slots().map(|s| s.set).chain(record.stays.iter().map(|s| s.set)) {
            if !sets.iter().any(|known| known.id == set || known.joined.contains(&set)) {
                sets.extend(self.set(set));
            }
        }
        let sets: Vec<&SetRecord> = sets.iter().collect();
        Some(ask(&Asked {
            record: &record,
            sets: &sets,
            fleet: &self.fleet(),
            today: self.today,
            scanned: None,
            tag_shared: false,
            as_used: None,
            tag_only: None,
            heard: self.heard(),
        }))
    }
}

impl World {
    /// What a device knows now.
    fn known_to(&self, device: u8, today: NaiveDate) -> View {
        let known = &self.known[usize::from(device)];
        let entries: Vec<Believed> =
            self.all.iter().filter(|b| known.contains(&b.id)).cloned().collect();
        View::of(&entries, today)
    }

    pub(super) fn take(&mut self, step: &Step) {
        self.at += step.days;
        let device = usize::from(step.device);
        if step.meets {
            self.known[device] = self.all.iter().map(|b| b.id).collect();
        }
        let on = day(START) + Days::new(u64::try_from(self.at.max(0)).unwrap_or(0));
        let view = self.known_to(step.device, on);
        let Some(event) = event(&view, on, &step.deed) else { return };
        let (kind, version, body) = event.to_parts();
        let count = u32::try_from(self.all.len()).unwrap_or(0);
        let time = on.and_time(NaiveTime::MIN).and_utc().timestamp_millis();
        let entry = Entry {
            device: DeviceId::Unsigned([step.device; 16]),
            seq: u64::from(count) + 1,
            on,
            at: Stamp(time + step.clock_off * 86_400_000, count),
            by: label("Tern"),
            kind,
            version,
            body: canonical_json(&body).unwrap_or_default(),
            previous: None,
            signature: None,
        };
        self.known[device].push(entry.id());
        self.all.push(Believed { id: entry.id(), entry, trust: step.trust });
    }
}

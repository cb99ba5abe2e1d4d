//! What holds for every hose: the owner's limits, the recalls, and what is known
//! to be missing.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::ending::Matter;
use super::ledger::Ledger;
use super::parts::Alternatives;
use super::staff::staff;
use crate::device::DeviceId;
use crate::event::{EntryId, Event, MadeSpan, RecallOf};
use crate::hose::{Label, Origin, Prose, Specification};
use crate::inspection::LeastPressure;
use crate::journal::{Believed, Stamp};
use crate::policy::{Change, Limits, Policy, Scope, Use};
use crate::staff::Person;

/// What was called back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recall {
    /// The entry that says so.
    pub entry: EntryId,
    /// What it names.
    #[serde(flatten)]
    pub of: RecallOf,
    /// Why.
    pub why: Prose,
    /// Since when.
    pub on: NaiveDate,
    /// Nobody who is believed says so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub disbelieved: bool,
}

/// Whether a recall means a hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meant {
    /// Something that it names is known to be another.
    No,
    /// Nothing is known to be another, and something is not known.
    Perhaps,
    /// All that it names is known and the same.
    Yes,
}

impl Recall {
    /// Whether it means a hose of this origin, or of anything else that is said
    /// of it.
    #[must_use]
    pub fn means(&self, origin: &Origin, others: &Alternatives) -> Meant {
        meant(&self.of, origin, others)
    }

    /// Whether a hose of this origin is known to be called back.
    #[must_use]
    pub fn covers(&self, origin: &Origin) -> bool {
        self.means(origin, &Alternatives::default()) == Meant::Yes
    }
}

/// Whether what a recall names means a hose of an origin, or of anything else that
/// is said of it: the worst of them counts. What a description with a reason
/// replaced counts where it is the same, since none ends a recall. Texts are the
/// same but for capitals, spaces and hyphens.
#[must_use]
pub fn meant(of: &RecallOf, origin: &Origin, others: &Alternatives) -> Meant {
    let text =
        |wanted: &Label, shown: &Option<Label>, others: &[Option<Label>], replaced: &[Label]| {
            let same = |own: &Label| folded(own) == folded(wanted);
            let all = std::iter::once(shown).chain(others);
            let meant = all.map(|own| match own {
                Some(own) if same(own) => Meant::Yes,
                Some(_) => Meant::No,
                None => Meant::Perhaps,
            });
            let before = replaced.iter().any(same).then_some(Meant::Yes);
            meant.chain(before).max().unwrap_or(Meant::Perhaps)
        };
    let RecallOf { lot, maker, model, made } = of;
    let lot = lot.as_ref().map(|lot| text(lot, &origin.lot, &others.lots, &others.replaced_lots));
    let maker = maker
        .as_ref()
        .map(|maker| text(maker, &origin.maker, &others.makers, &others.replaced_makers));
    let model = model
        .as_ref()
        .map(|model| text(model, &origin.model, &others.models, &others.replaced_models));
    let made = made.as_ref().map(|span| made_in(span, origin, others));
    let each = [lot, maker, model, made];
    each.into_iter().flatten().min().unwrap_or(Meant::No)
}

/// Whether it was made in a span; a date that is known in part may overlap it.
fn made_in(span: &MadeSpan, origin: &Origin, others: &Alternatives) -> Meant {
    let all = std::iter::once(&origin.made).chain(&others.made);
    let meant = all.map(|made| match made.and_then(|made| span.holds(made)) {
        Some(true) => Meant::Yes,
        Some(false) => Meant::No,
        None => Meant::Perhaps,
    });
    let before = others.replaced_made.iter().any(|made| span.holds(*made) == Some(true));
    meant.chain(before.then_some(Meant::Yes)).max().unwrap_or(Meant::Perhaps)
}

/// Whether a hose of this origin is of a lot: one whose maker is unknown may be.
#[must_use]
pub fn of_lot(lot: &Label, maker: Option<&Label>, origin: &Origin) -> bool {
    let same = |a: &Label, b: &Label| folded(a) == folded(b);
    let made_by = match (maker, &origin.maker) {
        (Some(wanted), Some(own)) => same(wanted, own),
        _ => true,
    };
    made_by && origin.lot.as_ref().is_some_and(|own| same(own, lot))
}

/// A text without capitals, spaces and hyphens: two that are the same so are the
/// same.
#[must_use]
pub fn folded(label: &Label) -> String {
    let letters = label.as_str().chars().filter(|c| !c.is_whitespace() && *c != '-');
    letters.flat_map(char::to_lowercase).collect()
}

/// Limits as they were set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct LimitsSet {
    /// The entry that says so.
    pub entry: EntryId,
    /// On which day.
    pub on: NaiveDate,
    /// For which hoses.
    pub scope: Scope,
    /// What changes.
    pub limits: Change,
    /// It is not wholly believed, or of the future: only what is stricter counts.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub doubtful: bool,
}

/// Numbers of a device that will never come.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LostNumbers {
    /// The device.
    pub device: DeviceId,
    /// The numbers, the last included.
    pub missing: Vec<(u64, u64)>,
}

/// The limits that were set and the lots that were called back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FleetRecord {
    /// Limits in the order in which they were set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<LimitsSet>,
    /// Recalls that are not over.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub recalls: Vec<Recall>,
    /// What was declared lost.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lost: Vec<LostNumbers>,
    /// Who works here, and who did.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub staff: Vec<Person>,
    /// Entries that this program cannot read and that name no hose and no set.
    #[serde(default)]
    pub unread: u32,
    /// The newest day that an entry is about.
    pub newest_on: NaiveDate,
    /// The newest clock reading of an entry.
    pub newest_at: Stamp,
}

impl Default for FleetRecord {
    fn default() -> Self {
        Self {
            limits: Vec::new(),
            recalls: Vec::new(),
            lost: Vec::new(),
            staff: Vec::new(),
            unread: 0,
            newest_on: NaiveDate::MIN,
            newest_at: Stamp::default(),
        }
    }
}

impl FleetRecord {
    /// Folds the entries about the fleet, which must be in the order of the fold.
    #[must_use]
    pub fn fold(entries: &[Believed]) -> Self {
        let ledger = Ledger::read(entries);
        let mut record = Self { staff: staff(&ledger), ..Self::default() };
        for line in &ledger.lines {
            let (entry, on) = (line.id, line.entry.on);
            if line.adds() {
                record.newest_on = record.newest_on.max(on);
                record.newest_at = record.newest_at.max(line.entry.at);
                record.unread += u32::from(line.event.is_none());
            }
            match &line.event {
                Some(Event::Limited { scope, limits }) if line.adds() => {
                    let (scope, limits, doubtful) = (*scope, *limits, !line.counts());
                    record.limits.push(LimitsSet { entry, on, scope, limits, doubtful });
                }
                Some(event @ (Event::Recalled { why, .. } | Event::RecalledBy { why, .. }))
                    if !ledger.is_ended(Matter::Recall, line)
                        && !ledger.is_ended(Matter::Disbelief, line) =>
                {
                    let of = match event {
                        Event::Recalled { lot, maker, .. } => {
                            RecallOf::lot(lot.clone(), maker.clone())
                        }
                        Event::RecalledBy { of, .. } => (**of).clone(),
                        _ => continue,
                    };
                    let (why, disbelieved) = (why.clone(), !line.adds());
                    record.recalls.push(Recall { entry, of, why, on, disbelieved });
                }
                Some(Event::GapLost { device, missing, .. }) if line.counts() => {
                    let (device, missing) = (*device, missing.clone());
                    record.lost.push(LostNumbers { device, missing });
                }
                _ => {}
            }
        }
        record
    }

    /// The owner's limits over the defaults.
    #[must_use]
    pub fn policy(&self) -> Policy {
        let mut policy = Policy::default();
        for set in self.limits.iter().filter(|set| !set.doubtful) {
            policy.set(set.scope, set.limits);
        }
        policy
    }

    /// The pressure under which a leak test counts: the owner's, else the default;
    /// of one that is in doubt the greater.
    #[must_use]
    pub fn least_pressure(&self) -> LeastPressure {
        let mut least = LeastPressure::default();
        for set in self.limits.iter().filter(|set| !set.doubtful) {
            least = set.limits.least_pressure().unwrap_or(least);
        }
        for set in self.limits.iter().filter(|set| set.doubtful) {
            if let Some(other) = set.limits.least_pressure() {
                least.low_bar = least.low_bar.max(other.low_bar);
                least.high_bar = least.high_bar.max(other.high_bar);
            }
        }
        least
    }

    /// The dives a day that a return counts if nobody knows: the owner's number,
    /// else the default; of one that is in doubt the greater.
    #[must_use]
    pub fn dives_a_day(&self) -> u32 {
        let set = |doubtful: bool| {
            let of = self.limits.iter().filter(move |set| set.doubtful == doubtful);
            of.filter_map(|set| set.limits.dives_a_day())
        };
        let sure = set(false).next_back().unwrap_or(crate::policy::DIVES_A_DAY);
        set(true).fold(sure, u32::max)
    }

    /// The limits of a hose that may be one of several kinds and uses: of each
    /// the strictest, and of limits that are in doubt only what is stricter.
    #[must_use]
    pub fn strictest(&self, kinds: &[Option<&Specification>], uses: &[Use]) -> Option<Limits> {
        let policy = self.policy();
        let each = kinds.iter().flat_map(|kind| uses.iter().map(move |in_use| (*kind, *in_use)));
        let limits = each.map(|(kind, in_use)| {
            let mut limits = policy.limits(kind, in_use);
            for set in self.limits.iter().filter(|set| set.doubtful) {
                let mut doubtful = policy.clone();
                doubtful.set(set.scope, set.limits);
                limits = limits.stricter(doubtful.limits(kind, in_use));
            }
            limits
        });
        limits.reduce(Limits::stricter)
    }
}

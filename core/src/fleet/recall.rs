//! The hoses of a lot: where each is, and which have been found.

use std::collections::BTreeMap;

use serde::Serialize;

use super::described;
use super::recall_near::{NearLot, NearMaker, OtherLots, how_near, near, near_maker, questions};
use crate::event::{MadeSpan, RecallOf, Seat};
use crate::hose::{Label, Origin};
use crate::index::sorting;
use crate::record::{Alternatives, FleetRecord, HoseRecord, Meant, Recall, folded, meant, of_lot};
use crate::tag::Code;
use crate::words::{self, counted, due_sheet as sheet};

crate::hose::words!(
    /// What has become of a hose of a recalled lot.
    Trace, "trace of a recalled hose", {
        /// Nobody has found it and set it aside yet.
        ToFind = "to-find",
        /// Found and set aside.
        SetAside = "set-aside",
        /// Out of service for good.
        Retired = "retired",
        /// The owner found that the recall does not mean it.
        CheckedOff = "checked-off",
        /// Nobody can say whether it is meant: something that is named is not known.
        Open = "open",
    }
);

impl Trace {
    fn of(record: &HoseRecord, of: &RecallOf, meant: Meant, recall: Option<&Recall>) -> Self {
        let found = recall.is_some_and(|r| record.set_aside_for.contains(&r.entry));
        let of_lot = of.lot_alone();
        let checked_off = recall.is_some_and(|r| record.checked_off.contains(&r.entry));
        if checked_off {
            Self::CheckedOff
        } else if found
            || of_lot
                .is_some_and(|lot| record.set_aside.iter().any(|own| folded(own) == folded(lot)))
        {
            Self::SetAside
        } else if record.retired.is_some() {
            Self::Retired
        } else if meant == Meant::Perhaps {
            Self::Open
        } else {
            Self::ToFind
        }
    }

    /// The same for people.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::ToFind => "still to be found",
            Self::SetAside => "found and set aside",
            Self::Retired => "out of service",
            Self::CheckedOff => "checked off: the recall does not mean it",
            Self::Open => "not all of it known: it may be one of them",
        }
    }
}

/// A hose of a lot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LotHose {
    /// The tag that it carries.
    pub code: Code,
    /// The shop's own number for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// What it is, in words.
    pub hose: String,
    /// Where it is, in words.
    pub place: String,
    /// The set that it is in.
    #[serde(skip)]
    pub set: Option<Label>,
    /// What has become of it, as far as a recall is concerned.
    pub trace: Trace,
}

/// Every hose of a lot, or of what else a recall names.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LotReport {
    /// The lot, if one was named.
    pub lot: Option<Label>,
    /// The maker, if one was named.
    pub maker: Option<Label>,
    /// The model, if one was named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub model: Option<Label>,
    /// When it was made, if that was named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<MadeSpan>,
    /// The recall that it is under.
    pub recall: Option<Recall>,
    /// Its hoses: those to be found first, then by tag.
    pub hoses: Vec<LotHose>,
    /// How many are found and set aside.
    pub set_aside: u32,
    /// How many are out of service.
    pub retired: u32,
    /// How many are still to be found.
    pub to_find: u32,
    /// Of how many nobody can say whether they are of the lot.
    pub open: u32,
    /// Lots of nearly this spelling, or of this spelling and another maker.
    pub near: Vec<NearLot>,
    /// Makers of nearly this spelling.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub near_makers: Vec<NearMaker>,
}

/// Looks for the hoses of a lot, one hose after the other.
#[derive(Debug)]
pub struct LotSearch {
    report: LotReport,
    others: Option<OtherLots>,
}

impl LotSearch {
    /// Looks for the hoses of a lot, and for lots of nearly the same spelling.
    #[must_use]
    pub fn new(of: RecallOf, fleet: &FleetRecord) -> Self {
        let recall = recall_of(fleet, &of).cloned();
        // What a recall names besides the lot and was not typed counts too.
        let more = recall.as_ref().filter(|recall| recall.of.lot_alone().is_none());
        let mut report = empty(more.map_or(of, |recall| recall.of.clone()));
        report.recall = recall;
        Self { report, others: Some(BTreeMap::new()) }
    }

    /// Looks for the hoses of a recall.
    #[must_use]
    pub fn of_recall(recall: &Recall) -> Self {
        let mut report = empty(recall.of.clone());
        report.recall = Some(recall.clone());
        Self { report, others: None }
    }

    /// Whether it needs the hoses of a lot and a maker, as they are recorded;
    /// nothing is unknown.
    #[must_use]
    pub fn needs(&self, lot: Option<&Label>, maker: Option<&Label>) -> bool {
        let origin = Origin { lot: lot.cloned(), maker: maker.cloned(), ..Origin::default() };
        // Model and made date are not in the index: they are looked at hose by hose.
        let of = RecallOf { model: None, made: None, ..self.report.of() };
        let named = of.lot.is_some() || of.maker.is_some();
        !named || meant(&of, &origin, &Alternatives::default()) > Meant::No
    }

    fn meant(&self, origin: &Origin, others: &Alternatives) -> Meant {
        meant(&self.report.of(), origin, others)
    }

    /// Whether it needs to know how many hoses are of a lot, for its spelling
    /// comes near: [`LotSearch::others`] takes that in.
    #[must_use]
    pub fn comes_near(&self, lot: &Label) -> bool {
        let wanted = self.report.lot.as_ref().filter(|_| self.others.is_some());
        wanted.is_some_and(|wanted| how_near(&folded(lot), &folded(wanted)).is_some())
    }

    /// Takes in how many hoses are of a lot and a maker that come near.
    pub fn others(&mut self, lot: &Label, maker: Option<&Label>, hoses: u32) {
        let report = &self.report;
        let origin = Origin { lot: Some(lot.clone()), maker: maker.cloned(), ..Origin::default() };
        let wanted = report.lot.as_ref();
        if wanted.is_none_or(|wanted| of_lot(wanted, report.maker.as_ref(), &origin)) {
            return;
        }
        if let Some(others) = &mut self.others {
            near(others, wanted, (lot, maker), hoses);
        }
    }

    /// Whether a maker's spelling comes near, of whatever lot; where a lot is named, the lots
    /// say it.
    #[must_use]
    pub fn comes_near_maker(&self, maker: &Label) -> bool {
        let wanted = self.report.maker.as_ref().filter(|_| self.others.is_some());
        let wanted = wanted.filter(|_| self.report.lot.is_none());
        wanted.is_some_and(|wanted| near_maker(wanted, maker))
    }

    /// Takes in how many hoses are of a maker.
    pub fn other_maker(&mut self, maker: &Label, hoses: u32) {
        if self.comes_near_maker(maker) {
            let known = self.report.near_makers.iter_mut().find(|near| near.maker == *maker);
            match known {
                Some(near) => near.hoses += hoses,
                None => self.report.near_makers.push(NearMaker { maker: maker.clone(), hoses }),
            }
        }
    }

    /// Takes in one hose, and where it is in words; one that is known to be of
    /// another lot or maker is passed over.
    pub fn take(&mut self, record: &HoseRecord, seat: Option<&Seat>) {
        let meant = self.meant(&record.origin, &record.alternatives);
        if meant == Meant::No {
            return;
        }
        let report = &mut self.report;
        let trace = Trace::of(record, &report.of(), meant, report.recall.as_ref());
        match trace {
            Trace::ToFind => report.to_find += 1,
            Trace::SetAside => report.set_aside += 1,
            Trace::Retired => report.retired += 1,
            Trace::Open => report.open += 1,
            Trace::CheckedOff => {}
        }
        let (hose, place) = (described(record), words::place_of(record, seat));
        let (number, set) = (record.origin.own.number.clone(), seat.map(|seat| seat.set.clone()));
        report.hoses.push(LotHose { code: record.tag(), number, hose, place, set, trace });
    }

    /// What was found.
    #[must_use]
    pub fn found(self) -> LotReport {
        let mut report = self.report;
        report.hoses.sort_by_key(|hose| (hose.trace, hose.code));
        report.near = self.others.into_iter().flat_map(BTreeMap::into_values).collect();
        report
    }
}

fn empty(of: RecallOf) -> LotReport {
    let RecallOf { lot, maker, model, made } = of;
    LotReport {
        lot,
        maker,
        model,
        made,
        recall: None,
        hoses: Vec::new(),
        set_aside: 0,
        retired: 0,
        to_find: 0,
        open: 0,
        near: Vec::new(),
        near_makers: Vec::new(),
    }
}

/// The recall that is named: the one that names just this, else one that names
/// this and more. If a maker is named, it is of that maker or of any.
#[must_use]
pub fn recall_of<'f>(fleet: &'f FleetRecord, of: &RecallOf) -> Option<&'f Recall> {
    let recalls = || fleet.recalls.iter();
    let just = recalls().find(|recall| {
        let own = &recall.of;
        same(own.lot.as_ref(), of.lot.as_ref())
            && same(own.model.as_ref(), of.model.as_ref())
            && own.made == of.made
            && agrees(own.maker.as_ref(), of.maker.as_ref())
    });
    just.or_else(|| {
        recalls().find(|recall| {
            let own = &recall.of;
            is_named(of.lot.as_ref(), own.lot.as_ref())
                && is_named(of.model.as_ref(), own.model.as_ref())
                && (of.made.is_none() || own.made == of.made)
                && (of.lot.is_some() || of.model.is_some() || of.made.is_some())
                && agrees(own.maker.as_ref(), of.maker.as_ref())
        })
    })
}

/// The recall that already holds every hose that a new one would: it names
/// nothing that the new one does not name too.
#[must_use]
pub fn recalled_already<'f>(fleet: &'f FleetRecord, of: &RecallOf) -> Option<&'f Recall> {
    fleet.recalls.iter().find(|recall| {
        let own = &recall.of;
        is_named(own.lot.as_ref(), of.lot.as_ref())
            && is_named(own.model.as_ref(), of.model.as_ref())
            && is_named(own.maker.as_ref(), of.maker.as_ref())
            && (own.made.is_none() || own.made == of.made)
    })
}

fn same(one: Option<&Label>, other: Option<&Label>) -> bool {
    one.map(folded) == other.map(folded)
}

/// Whether something is the other too, where it is named.
fn is_named(one: Option<&Label>, other: Option<&Label>) -> bool {
    one.is_none() || same(one, other)
}

/// Whether two are the same where both are named.
fn agrees(one: Option<&Label>, other: Option<&Label>) -> bool {
    one.is_none() || other.is_none() || same(one, other)
}

impl LotReport {
    /// What was asked for.
    #[must_use]
    pub fn of(&self) -> RecallOf {
        let (lot, maker) = (self.lot.clone(), self.maker.clone());
        RecallOf { lot, maker, model: self.model.clone(), made: self.made }
    }

    /// What is asked before a recall of this starts: whether another spelling is meant.
    #[must_use]
    pub fn questions(&self) -> Vec<String> {
        let of = (self.lot.as_ref(), self.maker.as_ref());
        questions(of, &self.near, &self.near_makers)
    }

    /// How many hoses were found, of how many that are to be: those that are out of service
    /// or checked off are not looked for.
    #[must_use]
    pub fn progress(&self) -> (usize, usize) {
        let count = |n: u32| usize::try_from(n).unwrap_or(usize::MAX);
        (count(self.set_aside), count(self.set_aside + self.to_find + self.open))
    }

    /// What was not found yet: by set, then by place.
    #[must_use]
    pub fn missing(&self) -> Vec<(String, Vec<&LotHose>)> {
        let mut places: BTreeMap<(bool, String), (String, Vec<&LotHose>)> = BTreeMap::new();
        let missing = |hose: &&LotHose| matches!(hose.trace, Trace::ToFind | Trace::Open);
        for hose in self.hoses.iter().filter(missing) {
            let title = hose.set.as_ref().map_or_else(|| sheet::place(&hose.place), sheet::set);
            let key = (hose.set.is_none(), sorting(&title.to_lowercase()));
            places.entry(key).or_insert_with(|| (title, Vec::new())).1.push(hose);
        }
        let mut all: Vec<(String, Vec<&LotHose>)> = places.into_values().collect();
        all.iter_mut().for_each(|(_, hoses)| hoses.sort_by_key(|hose| sorting(&hose.place)));
        all
    }

    /// The report in one sentence.
    #[must_use]
    pub fn in_words(&self) -> String {
        let lot = self.of();
        let hoses = i64::try_from(self.hoses.len()).unwrap_or(i64::MAX);
        let on_record =
            format!("{} on record of {lot}", counted(hoses, "hose").replace("0 hoses", "no hose"));
        let Some(recall) = &self.recall else {
            return format!("{on_record}; it is under no recall.");
        };
        let open = match self.open {
            0 => String::new(),
            n if lot.lot_alone().is_some() => format!(" Of {n} the lot or maker is not known."),
            n => format!(" Of {n} something that it names is not known."),
        };
        format!(
            "{on_record}, recalled since {}: {}. {} found and set aside, {} out of service, {} \
             still to be found.{open}",
            recall.on, recall.why, self.set_aside, self.retired, self.to_find
        )
    }
}

#[cfg(test)]
#[path = "recall_tests.rs"]
mod tests;

//! The hoses of a lot: where each is, and which have been found.

use std::collections::BTreeMap;

use serde::Serialize;

use super::described;
use crate::hose::words;
use crate::hose::{Label, Origin};
use crate::record::{Alternatives, FleetRecord, HoseRecord, Meant, Recall, folded, meant, of_lot};
use crate::tag::Code;
use crate::words::counted;

words!(
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
        /// Nobody can say whether it is of the lot: its lot or maker is not known.
        Open = "open",
    }
);

impl Trace {
    fn of(record: &HoseRecord, lot: &Label, meant: Meant, recall: Option<&Recall>) -> Self {
        let checked_off = recall.is_some_and(|r| record.checked_off.contains(&r.entry));
        if checked_off {
            Self::CheckedOff
        } else if record.set_aside.iter().any(|aside| folded(aside) == folded(lot)) {
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
            Self::Open => "lot or maker not known: it may be one of them",
        }
    }
}

/// A hose of a lot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LotHose {
    /// The tag that it carries.
    pub code: Code,
    /// What it is, in words.
    pub hose: String,
    /// Where it is, in words.
    pub place: String,
    /// What has become of it, as far as a recall is concerned.
    pub trace: Trace,
}

/// A lot whose spelling comes near the one that was asked for. Whether it is the
/// same is for a person to say.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct NearLot {
    /// The lot as it is written down.
    pub lot: Label,
    /// The maker as written down.
    pub maker: Option<Label>,
    /// How many hoses on record are of it.
    pub hoses: u32,
    /// Why it is named.
    pub words: &'static str,
}

/// Every hose of a lot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LotReport {
    /// The lot.
    pub lot: Label,
    /// The maker, where one was named.
    pub maker: Option<Label>,
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
}

type OtherLots = BTreeMap<(String, String), NearLot>;

/// Looks for the hoses of a lot, one hose after the other.
#[derive(Debug)]
pub struct LotSearch {
    report: LotReport,
    others: Option<OtherLots>,
}

impl LotSearch {
    /// Looks for the hoses of a lot, and for lots of nearly the same spelling.
    #[must_use]
    pub fn new(lot: Label, maker: Option<Label>, fleet: &FleetRecord) -> Self {
        let mut report = empty(lot, maker);
        report.recall = recall_of(fleet, &report.lot, report.maker.as_ref()).cloned();
        Self { report, others: Some(BTreeMap::new()) }
    }

    /// Looks for the hoses of a recall.
    #[must_use]
    pub fn of_recall(recall: &Recall) -> Self {
        let mut report = empty(recall.lot.clone(), recall.maker.clone());
        report.recall = Some(recall.clone());
        Self { report, others: None }
    }

    /// Whether it needs the hoses of a lot and a maker, as they are written down;
    /// nothing is unknown.
    #[must_use]
    pub fn needs(&self, lot: Option<&Label>, maker: Option<&Label>) -> bool {
        let origin = Origin { lot: lot.cloned(), maker: maker.cloned(), ..Origin::default() };
        self.meant(&origin, &Alternatives::default()) > Meant::No
    }

    fn meant(&self, origin: &Origin, others: &Alternatives) -> Meant {
        meant((&self.report.lot, self.report.maker.as_ref()), origin, others)
    }

    /// Whether it needs to know how many hoses are of a lot, for its spelling
    /// comes near: [`LotSearch::others`] takes that in.
    #[must_use]
    pub fn comes_near(&self, lot: &Label) -> bool {
        self.others.is_some() && how_near(&folded(lot), &folded(&self.report.lot)).is_some()
    }

    /// Takes in how many hoses are of a lot and a maker that come near.
    pub fn others(&mut self, lot: &Label, maker: Option<&Label>, hoses: u32) {
        let report = &self.report;
        let origin = Origin { lot: Some(lot.clone()), maker: maker.cloned(), ..Origin::default() };
        if of_lot(&report.lot, report.maker.as_ref(), &origin) {
            return;
        }
        if let Some(others) = &mut self.others {
            near(others, report, (lot, maker), hoses);
        }
    }

    /// Takes in one hose, and where it is in words; one that is known to be of
    /// another lot or maker is passed over.
    pub fn take(&mut self, record: &HoseRecord, place: &str) {
        let meant = self.meant(&record.origin, &record.alternatives);
        if meant == Meant::No {
            return;
        }
        let report = &mut self.report;
        let trace = Trace::of(record, &report.lot, meant, report.recall.as_ref());
        match trace {
            Trace::ToFind => report.to_find += 1,
            Trace::SetAside => report.set_aside += 1,
            Trace::Retired => report.retired += 1,
            Trace::Open => report.open += 1,
            Trace::CheckedOff => {}
        }
        let (hose, place) = (described(record), place.to_owned());
        report.hoses.push(LotHose { code: record.tag(), hose, place, trace });
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

fn empty(lot: Label, maker: Option<Label>) -> LotReport {
    LotReport {
        lot,
        maker,
        recall: None,
        hoses: Vec::new(),
        set_aside: 0,
        retired: 0,
        to_find: 0,
        open: 0,
        near: Vec::new(),
    }
}

/// The recall that a lot is under; where a maker is named, of that maker or of any.
#[must_use]
pub fn recall_of<'f>(
    fleet: &'f FleetRecord,
    lot: &Label,
    maker: Option<&Label>,
) -> Option<&'f Recall> {
    let same_maker = |recall: &Recall| match (&recall.maker, maker) {
        (Some(recalled), Some(wanted)) => folded(recalled) == folded(wanted),
        _ => true,
    };
    fleet.recalls.iter().find(|recall| folded(&recall.lot) == folded(lot) && same_maker(recall))
}

/// The recall that already holds every hose that a new one would: it is of the
/// same lot, and of the same maker or of every maker.
#[must_use]
pub fn recalled_already<'f>(
    fleet: &'f FleetRecord,
    lot: &Label,
    maker: Option<&Label>,
) -> Option<&'f Recall> {
    let holds = |recall: &&Recall| match (&recall.maker, maker) {
        (None, _) => true,
        (Some(recalled), Some(wanted)) => folded(recalled) == folded(wanted),
        (Some(_), None) => false,
    };
    let of_lot = fleet.recalls.iter().filter(|recall| folded(&recall.lot) == folded(lot));
    of_lot.into_iter().find(holds)
}

/// Of several spellings that come to the same, the first that is taken in is shown.
fn near(
    others: &mut OtherLots,
    wanted: &LotReport,
    (lot, maker): (&Label, Option<&Label>),
    hoses: u32,
) {
    let Some(words) = how_near(&folded(lot), &folded(&wanted.lot)) else { return };
    let key = (folded(lot), maker.map(folded).unwrap_or_default());
    let new = || NearLot { lot: lot.clone(), maker: maker.cloned(), hoses: 0, words };
    others.entry(key).or_insert_with(new).hoses += hoses;
}

/// Why one spelling comes near another; nothing where it does not.
fn how_near(one: &str, other: &str) -> Option<&'static str> {
    if one == other {
        return Some("the same lot of another maker");
    }
    if one_edit_apart(one, other) {
        return Some("one character apart");
    }
    let part = one.contains(other) || other.contains(one);
    part.then_some("one is a part of the other")
}

/// Whether one character more, less or other, or two neighbours swapped, turns
/// one text into the other.
fn one_edit_apart(one: &str, other: &str) -> bool {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let (short, long) = if one.len() <= other.len() { (one, other) } else { (other, one) };
    let alike = short.iter().zip(&long).take_while(|(a, b)| a == b).count();
    let rest = |text: &[char], from: usize| text.get(from..).unwrap_or(&[]).to_vec();
    match long.len() - short.len() {
        0 => {
            let (a, b) = (rest(&short, alike), rest(&long, alike));
            let swapped = matches!((a.as_slice(), b.as_slice()), ([p, q, x @ ..], [r, s, y @ ..])
                if p == s && q == r && x == y);
            swapped || (!a.is_empty() && rest(&a, 1) == rest(&b, 1))
        }
        1 => rest(&short, alike) == rest(&long, alike + 1),
        _ => false,
    }
}

impl LotReport {
    /// The report in one sentence.
    #[must_use]
    pub fn in_words(&self) -> String {
        let of = self.maker.as_ref().map(|maker| format!(" of {maker}")).unwrap_or_default();
        let lot = format!("lot {}{of}", self.lot);
        let hoses = i64::try_from(self.hoses.len()).unwrap_or(i64::MAX);
        let on_record =
            format!("{} on record of {lot}", counted(hoses, "hose").replace("0 hoses", "no hose"));
        let Some(recall) = &self.recall else {
            return format!("{on_record}; it is under no recall.");
        };
        let open = match self.open {
            0 => String::new(),
            n => format!(" Of {n} the lot or maker is not known."),
        };
        format!(
            "{on_record}, recalled since {}: {}. {} found and set aside, {} out of service, {} \
             still to be found.{open}",
            recall.on, recall.why, self.set_aside, self.retired, self.to_find
        )
    }
}

#[cfg(test)]
mod tests {
    use super::how_near;

    #[test]
    fn spellings_that_come_near_and_those_that_do_not() {
        let table = [
            ("l12", "l12", Some("the same lot of another maker")),
            ("l12", "l13", Some("one character apart")),
            ("l12", "l1", Some("one character apart")),
            ("l12", "l212", Some("one character apart")),
            ("l12", "l21", Some("one character apart")),
            ("1l2", "l12", Some("one character apart")),
            ("l12", "kl1290", Some("one is a part of the other")),
            ("kl1290", "l12", Some("one is a part of the other")),
            ("l12", "l33", None),
            ("l12", "l231", None),
            ("", "l1", Some("one is a part of the other")),
            ("abcd", "badc", None),
            ("é1", "e1", Some("one character apart")),
        ];
        for (one, other, said) in table {
            assert_eq!(how_near(one, other), said, "{one} {other}");
            assert_eq!(how_near(other, one), said, "{other} {one}");
        }
    }
}

//! What must hold of every order, for fleets drawn at random: what is needed is
//! counted again here from how the fleet was drawn, by the default limits.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, Months, NaiveDate};
use proptest::prelude::*;

use super::*;
use crate::answer::Heard;
use crate::event::{Port, PortName};
use crate::hose::{Origin, Pressure, Thread};
use crate::inspection::InspectionKind;
use crate::measure::HoseLength;
use crate::measure::PartialDate;
use crate::record::{FleetRecord, HoseRecord, SetRecord};
use crate::story::{Story, day, set_record};

const TODAY: &str = "2026-06-15";

/// Hoses of two interfaces, the first in three lines.
const SPECIFICATIONS: [(&str, &str, &str, &str, &str); 4] = [
    ("second-stage", "rubber", "75 cm", "3/8-24", "9/16-18"),
    ("second-stage", "rubber", "90 cm", "3/8-24", "9/16-18"),
    ("second-stage", "braided", "75 cm", "3/8-24", "9/16-18"),
    ("second-stage", "rubber", "75 cm", "1/2-20", "9/16-18"),
];

/// The sets.
const SETS: [(&str, Use); 2] = [("Heron", Use::Rental), ("Egret", Use::Personal)];

/// A hose as it is drawn.
#[derive(Debug, Clone)]
struct Drawn {
    specification: usize,
    /// The set that it is in; none is stock.
    set: Option<usize>,
    /// How many days ago it was made, and how many of them it has been fitted.
    made: u64,
    fitted: u64,
    fate: Fate,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Fate {
    Good,
    /// Never looked at: held, and put right by a look.
    Unseen,
    /// A finding retired it, and it is still where it was.
    Condemned,
    /// Someone retired it.
    Retired,
    /// More dives than a rental hose may have.
    Dived,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let fate = prop_oneof![
        5 => Just(Fate::Good),
        1 => Just(Fate::Unseen),
        1 => Just(Fate::Condemned),
        1 => Just(Fate::Retired),
        2 => Just(Fate::Dived),
    ];
    let set = prop::option::of(0..SETS.len());
    (0..SPECIFICATIONS.len(), set, 0..4_000_u64, 0..2_200_u64, fate).prop_map(
        |(specification, set, made, fitted, fate)| Drawn {
            specification,
            set,
            made,
            fitted: fitted.min(made),
            fate,
        },
    )
}

fn ago(days: u64) -> NaiveDate {
    day(TODAY) - Days::new(days)
}

impl Drawn {
    fn record(&self, number: usize) -> HoseRecord {
        let (service, construction, length, a, b) = SPECIFICATIONS[self.specification];
        let bad = |e: crate::hose::HoseError| -> ! { unreachable!("{e}") };
        let specification = Specification::new(
            service.parse().unwrap_or_else(|e| bad(e)),
            construction.parse().unwrap_or_else(|e| bad(e)),
            HoseLength::parse(length).unwrap_or_else(|e| unreachable!("{e}")),
            a.parse().unwrap_or_else(|e| bad(e)),
            b.parse().unwrap_or_else(|e| bad(e)),
            false,
        );
        let specification = specification.unwrap_or_else(|e| bad(e));
        let origin = Origin { made: Some(PartialDate::Day(ago(self.made))), ..Origin::default() };
        let seed = u64::try_from(number).unwrap_or(0) + 1;
        let made = ago(self.made).to_string();
        let mut story = Story::numbered(seed, specification, &made, origin);
        if let Some((set, _)) = self.set.map(|set| SETS[set]) {
            let fitted = ago(self.fitted).to_string();
            story = story.fitted(&fitted, set, &format!("LP{}", number + 1), None);
            story = story.leak_test(TODAY, true);
        }
        story = match self.fate {
            Fate::Unseen => return story.record(TODAY),
            Fate::Condemned => story.quick(TODAY, &["run:bulge"]),
            Fate::Retired => story.retired(TODAY, "worn"),
            Fate::Dived => story.dived(TODAY, 501),
            Fate::Good => story,
        };
        story.look(TODAY, InspectionKind::Full, seen(self.fate)).record(TODAY)
    }

    /// Whether another hose is needed in its place: 5 years in service, 10 from
    /// made, 500 dives in rental.
    fn is_needed(&self, until: NaiveDate) -> bool {
        let Some((_, in_use)) = self.set.map(|set| SETS[set]) else { return false };
        let over = |days, years: u32| ago(days) + Months::new(12 * years) <= until;
        self.fate != Fate::Retired
            && (self.fate == Fate::Condemned
                || (self.fate == Fate::Dived && in_use == Use::Rental)
                || over(self.fitted, 5)
                || over(self.made, 10))
    }
}

/// A full look sees what a quick one saw.
fn seen(fate: Fate) -> &'static [&'static str] {
    if fate == Fate::Condemned { &["run:bulge"] } else { &[] }
}

fn set(name: &str, in_use: Use) -> SetRecord {
    let port = |n| Port::new(PortName::new(Pressure::Low, n), Thread::Unf3_8x24);
    set_record(name, in_use, (1..=40).map(port).collect(), "2010-01-01")
}

fn ordered(records: &[HoseRecord], days: u32) -> Order {
    let within: Horizon = format!("{days}d").parse().unwrap_or_else(|e| unreachable!("{e}"));
    let sets = SETS.map(|(name, in_use)| set(name, in_use));
    let sets: Vec<&SetRecord> = sets.iter().collect();
    let mut ordering = Ordering::new(within, day(TODAY), true);
    for record in records {
        ordering.take(&Asked {
            record,
            sets: &sets,
            fleet: &FleetRecord::default(),
            today: day(TODAY),
            scanned: None,
            tag_shared: false,
            as_used: None,
            tag_only: None,
            heard: Heard {
                newest_on: day(TODAY),
                devices: 1,
                complete: true,
                forked: false,
                gap: None,
                met_on: None,
            },
        });
    }
    ordering.settled()
}

/// How many are needed of each specification.
fn needs(order: &Order) -> BTreeMap<String, usize> {
    order.lines.iter().map(|line| (line.words.clone(), line.need)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_is_bought_and_what_stock_covers_is_what_is_needed(
        fleet in prop::collection::vec(drawn(), 0..25),
        days in 0..1_000_u32,
        more in 0..1_000_u32,
    ) {
        let records: Vec<HoseRecord> =
            fleet.iter().enumerate().map(|(number, hose)| hose.record(number)).collect();
        let until = day(TODAY) + Days::new(days.into());
        let order = ordered(&records, days);

        let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
        let needed = fleet.iter().zip(&records).filter(|(hose, _)| hose.is_needed(until));
        for (_, record) in needed {
            let words = record.specification.as_ref().map(ToString::to_string);
            *wanted.entry(words.unwrap_or_default()).or_default() += 1;
        }
        prop_assert_eq!(needs(&order), wanted);
        let bought: usize = order.lines.iter().map(|line| line.to_buy).sum();
        prop_assert_eq!(order.to_buy, bought);

        let (mut covering, mut covered) = (BTreeSet::new(), BTreeSet::new());
        for line in &order.lines {
            prop_assert_eq!(line.to_buy + line.in_stock, line.need);
            prop_assert_eq!((line.in_stock, line.need), (line.stock.len(), line.hoses.len()));
            for stock in &line.stock {
                prop_assert!(covering.insert(stock.code), "{} covers two places", stock.code);
                prop_assert!(covered.insert(stock.replaces), "{} is covered twice", stock.replaces);
                prop_assert!(line.hoses.iter().any(|hose| hose.code == stock.replaces));
                let at = records.iter().position(|record| record.tag() == stock.code);
                let (drawn, record) = at.map(|at| (&fleet[at], &records[at])).unzip();
                let own = record.and_then(|record| record.specification.as_ref());
                prop_assert!(own.is_some_and(|own| (own.service(), own.fitting(End::A))
                    == (line.service, &line.end_a) && *own.fitting(End::B) == line.end_b));
                prop_assert!(drawn.is_some_and(|drawn| drawn.set.is_none()
                    && matches!(drawn.fate, Fate::Good | Fate::Dived)));
            }
        }

        let longer = ordered(&records, days + more);
        let of_longer = needs(&longer);
        for (words, need) in needs(&order) {
            prop_assert!(of_longer.get(&words).is_some_and(|longer| *longer >= need), "{}", words);
        }
        prop_assert!(longer.to_buy >= order.to_buy);
    }
}

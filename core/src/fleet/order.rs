//! What to buy, by specification.
//!
//! Needed is a hose for each port whose hose has to be replaced within the
//! horizon: it reaches its limit in service or from made, is over its dive
//! limit, is of a recalled lot, or was retired by a finding and still sits
//! there. A hose that someone has retired has left its port: the port is then
//! empty, or has its replacement already, so it is not counted. Nor is a hose
//! that two devices put in one port, where the port has another.
//!
//! Set against that is what is in stock with the same service and both threads
//! ([`Interface`]), is not held for anything, and reaches no limit of its own
//! within the horizon, judged by the limits of the use that it would go into.
//! The same length and construction is taken first; then the nearest, and the
//! difference is said.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use uom::si::length::micrometer;

use super::ordered::{HeldInStock, Order, OrderLine, StockHose, ToReplace};
use super::{Horizon, place};
use crate::answer::{Asked, Due, DueKind, Reason, due, lines, reasons};
use crate::fit::replacement::{Interface, differences, length_apart};
use crate::hose::{Construction, End, Specification};
use crate::inspection::Verdict;
use crate::policy::Use;
use crate::tag::Code;
use crate::words::order_message::Because;

/// What tells one line from another.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Line {
    interface: Interface,
    oxygen: bool,
    construction: Construction,
    /// Whole micrometres with leading noughts, so that it sorts as a number.
    length: String,
}

impl Line {
    fn of(hose: &Specification) -> Self {
        let length = format!("{:08.0}", hose.length().quantity().get::<micrometer>());
        let (interface, oxygen) = (Interface::of(hose), hose.oxygen());
        Self { interface, oxygen, construction: hose.construction(), length }
    }
}

struct Need {
    hose: Specification,
    in_use: Use,
    to_replace: ToReplace,
    /// Whether the stock gives it.
    served: bool,
}

/// The hoses in stock of one line, by the uses that they are good for.
#[derive(Default)]
struct Shelf {
    hose: Option<Specification>,
    /// Good for either use.
    both: Vec<Code>,
    /// Good for one use only.
    only: BTreeMap<Use, Vec<Code>>,
}

impl Shelf {
    /// Hoses that are good for no other use go first, so that none is left over
    /// that another place could have had.
    fn take(&mut self, in_use: Use) -> Option<Code> {
        self.only.get_mut(&in_use).and_then(Vec::pop).or_else(|| self.both.pop())
    }
}

/// Gathers what has to be replaced and what is in stock.
pub struct Ordering {
    until: NaiveDate,
    rental: bool,
    needs: BTreeMap<Line, Vec<Need>>,
    shelves: BTreeMap<Line, Shelf>,
    held: BTreeMap<Interface, Vec<HeldInStock>>,
    undescribed: Vec<ToReplace>,
}

impl Ordering {
    /// Begins. If there is a `rental` set at all, a hose in stock is judged by
    /// the limits of rental too, as if it went there.
    #[must_use]
    pub fn new(within: Horizon, today: NaiveDate, rental: bool) -> Self {
        Self {
            until: within.until(today),
            rental,
            needs: BTreeMap::new(),
            shelves: BTreeMap::new(),
            held: BTreeMap::new(),
            undescribed: Vec::new(),
        }
    }

    /// One hose of each kind that is needed: what is in stock of other kinds changes
    /// nothing.
    #[must_use]
    pub fn wanted(&self) -> Vec<Specification> {
        let mut kinds: Vec<Interface> = Vec::new();
        let mut all = Vec::new();
        for need in self.needs.values().flatten() {
            let kind = Interface::of(&need.hose);
            if !kinds.contains(&kind) {
                kinds.push(kind);
                all.push(need.hose.clone());
            }
        }
        all
    }

    /// Takes in one hose.
    pub fn take(&mut self, asked: &Asked<'_>) {
        let record = asked.record;
        match &record.seat {
            _ if record.retired.is_some() || record.is_customers() => {}
            Some(_) => self.take_fitted(asked),
            None if record.out().is_none() && record.missing.is_none() => self.take_stock(asked),
            None => {}
        }
    }

    fn take_fitted(&mut self, asked: &Asked<'_>) {
        let record = asked.record;
        let set = asked.own_set();
        let holder = record.seat.zip(set).and_then(|(slot, set)| set.hoses.get(&slot.port));
        if holder.is_some_and(|holder| *holder != record.hose) {
            return;
        }
        let Some((by, why, because)) = has_to_go(asked, self.until) else { return };
        let to_replace = ToReplace {
            code: record.tag(),
            number: record.origin.own.number.clone(),
            place: place(asked),
            why,
            because,
            by,
        };
        let in_use = set.map_or(Use::Personal, |set| set.in_use);
        match record.specification.clone() {
            Some(hose) => {
                // What a place asks for of oxygen is its set's.
                let hose = hose.cleaned_for_oxygen(set.is_some_and(|set| set.oxygen));
                let line = self.needs.entry(Line::of(&hose)).or_default();
                line.push(Need { hose, in_use, to_replace, served: false });
            }
            None => self.undescribed.push(to_replace),
        }
    }

    fn take_stock(&mut self, asked: &Asked<'_>) {
        let record = asked.record;
        let Some(hose) = &record.specification else { return };
        let personal = standing(asked, self.until);
        let rental = self.rental.then(|| {
            let asked = Asked { as_used: Some(Use::Rental), ..*asked };
            standing(&asked, self.until)
        });
        let code = record.tag();
        let good = |s: &Standing| *s == Standing::Good;
        let rental_good = rental.as_ref().is_some_and(good);
        let shelf = || Shelf { hose: Some(hose.clone()), ..Shelf::default() };
        if good(&personal) || rental_good {
            let shelf = self.shelves.entry(Line::of(hose)).or_insert_with(shelf);
            match (good(&personal), rental_good) {
                (true, true) => shelf.both.push(code),
                (true, false) => shelf.only.entry(Use::Personal).or_default().push(code),
                _ => shelf.only.entry(Use::Rental).or_default().push(code),
            }
        } else if let Standing::Held(words) = personal {
            let held = self.held.entry(Interface::of(hose)).or_default();
            held.push(HeldInStock { code, words });
        }
    }

    /// The order.
    #[must_use]
    pub fn settled(mut self) -> Order {
        let mut given: BTreeMap<Line, Vec<StockHose>> = BTreeMap::new();
        for exact in [true, false] {
            for (line, needs) in &mut self.needs {
                let given = given.entry(line.clone()).or_default();
                for need in needs.iter_mut().filter(|need| !need.served) {
                    let stock = serve(&mut self.shelves, line, need, exact);
                    need.served = stock.is_some();
                    given.extend(stock);
                }
            }
        }
        let held = self.held;
        let lines = self.needs.into_iter().filter_map(|(line, needs)| {
            let stock = given.remove(&line).unwrap_or_default();
            let held = held.get(&line.interface).cloned().unwrap_or_default();
            order_line(needs, stock, held)
        });
        let lines: Vec<OrderLine> = lines.collect();
        let to_buy = lines.iter().map(|line| line.to_buy).sum();
        Order { until: self.until, lines, to_buy, undescribed: self.undescribed }
    }
}

/// A hose from the shelf of this very line, or from the nearest other shelf
/// whose hoses fit: the same construction before the same length.
fn serve(
    shelves: &mut BTreeMap<Line, Shelf>,
    line: &Line,
    need: &Need,
    exact: bool,
) -> Option<StockHose> {
    let mut near: Vec<(bool, f64, &mut Shelf)> = shelves
        .iter_mut()
        .filter(|(other, _)| if exact { *other == line } else { other.interface == line.interface })
        .filter(|(other, _)| other.oxygen || !line.oxygen)
        .filter_map(|(other, shelf)| {
            let apart = length_apart(&need.hose, shelf.hose.as_ref()?);
            Some((other.construction != line.construction, apart, shelf))
        })
        .collect();
    near.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    near.into_iter().find_map(|(_, _, shelf)| {
        let code = shelf.take(need.in_use)?;
        let differences = differences(&need.hose, shelf.hose.as_ref()?);
        Some(StockHose { code, replaces: need.to_replace.code, differences })
    })
}

fn order_line(
    needs: Vec<Need>,
    stock: Vec<StockHose>,
    held: Vec<HeldInStock>,
) -> Option<OrderLine> {
    let hose = needs.first()?.hose.clone();
    let mut hoses: Vec<ToReplace> = needs.into_iter().map(|need| need.to_replace).collect();
    hoses.sort_by_key(|hose| (hose.by, hose.code));
    Some(OrderLine {
        service: hose.service(),
        construction: hose.construction(),
        length: hose.length().clone(),
        end_a: hose.fitting(End::A).clone(),
        end_b: hose.fitting(End::B).clone(),
        words: crate::words::hose_to_buy(&hose),
        oxygen: hose.oxygen(),
        need: hoses.len(),
        in_stock: stock.len(),
        to_buy: hoses.len() - stock.len(),
        hoses,
        stock,
        held,
    })
}

/// Reasons for which only another hose helps; those of findings that retire
/// are told by their verdict.
const FOR_GOOD: &[&str] = &["dives-over", "recalled", "age-over", "retired"];

/// Limits of the hose itself that end within the horizon.
fn ending(asked: &Asked<'_>, until: NaiveDate) -> Vec<Due> {
    let replaced = |due: &Due| matches!(due.what, DueKind::ReplaceService | DueKind::ReplaceMade);
    due(asked).into_iter().filter(|due| replaced(due) && due.on <= until).collect()
}

/// When a fitted hose has to be replaced, why, and the same in a word.
type HasToGo = (Option<NaiveDate>, Vec<String>, Because);

/// Why a fitted hose has to be replaced, and the day of it; nothing if it
/// has not.
fn has_to_go(asked: &Asked<'_>, until: NaiveDate) -> Option<HasToGo> {
    let ending = ending(asked, until);
    let limits = ending.iter().map(lines::due);
    let others = reasons(asked).into_iter().filter(|reason| {
        // Its age is told by the limit already, with its day.
        reason.verdict == Verdict::Retire
            || (FOR_GOOD.contains(&reason.code.as_str()) && reason.code != "age-over")
    });
    let others: Vec<Reason> = others.collect();
    let because = others.iter().map(because).min().unwrap_or(Because::Age);
    let why: Vec<String> = limits.chain(others.into_iter().map(|reason| reason.words)).collect();
    let by = ending.iter().map(|due| due.on).chain(asked.record.condemned).min();
    (!why.is_empty()).then_some((by, why, because))
}

/// A reason for which a hose has to go, in a word.
fn because(reason: &Reason) -> Because {
    match reason.code.as_str() {
        "recalled" => Because::Recalled,
        "dives-over" => Because::Dives,
        _ => Because::Damaged,
    }
}

/// The status of a hose in stock.
#[derive(Debug, PartialEq, Eq)]
enum Standing {
    /// It can be fitted.
    Good,
    /// Something has to be put right first.
    Held(String),
    /// It has to be replaced itself.
    Gone,
}

fn standing(asked: &Asked<'_>, until: NaiveDate) -> Standing {
    let reasons: Vec<_> =
        reasons(asked).into_iter().filter(|r| r.verdict >= Verdict::Hold).collect();
    let gone = |r: &Reason| r.verdict == Verdict::Retire || FOR_GOOD.contains(&r.code.as_str());
    if reasons.iter().any(gone) || !ending(asked, until).is_empty() {
        return Standing::Gone;
    }
    if reasons.is_empty() {
        return Standing::Good;
    }
    Standing::Held(reasons.into_iter().map(|r| r.words).collect::<Vec<_>>().join(" "))
}

#[cfg(test)]
#[path = "order_properties.rs"]
mod properties;

//! Which column says what, and the line that the heads are on.

use super::column::Column;
use super::error::SheetError;
use super::heads::spelled;
use super::matched::Matched;
use super::text::{Record, SEPARATORS, fold, records};
use crate::measure::{TestPressure, parse_length};

/// A column that is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Head {
    pub(super) column: Column,
    /// Which cell of a row, from 0.
    pub(super) at: usize,
    /// The head as it is in the file.
    pub(super) name: String,
    /// The unit of bare numbers below it.
    pub(super) unit: Option<String>,
}

/// The line of heads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Heads {
    pub(super) line: usize,
    pub(super) separator: char,
    pub(super) cells: Vec<String>,
    pub(super) found: Vec<Head>,
    pub(super) ignored: Vec<String>,
    /// Of those that are ignored, the ones that nobody understood.
    pub(super) unknown: Vec<String>,
    /// Whether something is above them.
    pub(super) skipped: bool,
}

impl Heads {
    pub(super) fn head(&self, column: Column) -> Option<&Head> {
        self.found.iter().find(|head| head.column == column)
    }

    fn of(record: Record, separator: char, skipped: bool, matched: &[Matched]) -> Self {
        let mut found: Vec<Head> = Vec::new();
        let (mut ignored, mut unknown): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
        for (at, cell) in record.cells.iter().enumerate() {
            let name = one_line(cell);
            let by_hand = matched.iter().find(|matched| matched.is_of(&name));
            let by_hand = by_hand.map(|matched| (matched.column, unit_in(&name, matched.column)));
            let Some((column, unit)) = by_hand.or_else(|| column_of(&name)) else {
                if !name.is_empty() {
                    ignored.push(name.clone());
                    unknown.push(name);
                }
                continue;
            };
            match found.iter().find(|head| head.column == column) {
                Some(first) => ignored.push(said_already(&name, first)),
                None => found.push(Head { column, at, name, unit }),
            }
        }
        let mut heads = Self {
            line: record.line,
            separator,
            cells: record.cells,
            found,
            ignored,
            unknown,
            skipped,
        };
        heads.settle_use();
        heads
    }

    /// `Use` is what a hose does where nothing else says it. Beside that it is
    /// who dives with it, which belongs to the set.
    fn settle_use(&mut self) {
        if self.head(Column::Service).is_none() {
            for head in self.found.iter_mut().filter(|head| head.column == Column::Use) {
                head.column = Column::Service;
            }
        }
        for head in self.found.iter().filter(|head| head.column == Column::Use) {
            self.ignored.push(format!("{} (personal or rental is said of the set)", head.name));
        }
        self.found.retain(|head| head.column != Column::Use);
    }

    /// How many cells say anything.
    fn named(&self) -> usize {
        self.cells.iter().filter(|cell| !cell.trim().is_empty()).count()
    }

    fn names_a_hose(&self) -> bool {
        self.head(Column::Service).is_some() && self.head(Column::Length).is_some()
    }
}

fn said_already(name: &str, first: &Head) -> String {
    format!("{name} ({} is read from {})", first.column.says(), first.name)
}

/// How many lines may stand above the heads: a title, a date, a blank.
const HEADS_WITHIN: usize = 20;

/// Finds the line of heads and what separates its cells: the pair that names
/// the most columns.
pub(super) fn find_heads(text: &str, matched: &[Matched]) -> Result<Heads, SheetError> {
    let (mut best, mut widest): (Option<Heads>, Option<Heads>) = (None, None);
    for separator in SEPARATORS {
        let first = records(text, separator).take(HEADS_WITHIN).filter(|r| !r.is_blank());
        for (at, record) in first.enumerate() {
            let heads = Heads::of(record, separator, at > 0, matched);
            let rank = |heads: &Heads| (heads.names_a_hose(), heads.found.len());
            if widest.as_ref().is_none_or(|widest| heads.named() > widest.named()) {
                widest = Some(heads.clone());
            }
            if best.as_ref().is_none_or(|best| rank(&heads) > rank(best)) {
                best = Some(heads);
            }
        }
    }
    let best = best.ok_or(SheetError::Empty)?;
    if !best.names_a_hose() {
        let known = !best.found.is_empty();
        let likely = if known { best.cells.clone() } else { Vec::new() };
        let to_match = if known { Some(best) } else { widest.filter(|heads| heads.named() > 1) };
        let to_match = to_match.map(|heads| heads.unknown).unwrap_or_default();
        return Err(SheetError::NoHeads { heads: likely, to_match });
    }
    let missing = matched
        .iter()
        .find(|matched| !best.cells.iter().any(|cell| matched.is_of(&one_line(cell))));
    match missing {
        Some(matched) => Err(SheetError::NoSuchHead(matched.head.clone())),
        None => Ok(best),
    }
}

fn one_line(cell: &str) -> String {
    cell.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The column that a head names, and the unit that it gives.
fn column_of(name: &str) -> Option<(Column, Option<String>)> {
    let (plain, _) = without_brackets(name);
    let folded = fold(&plain);
    if let Some(column) = spelled(&folded) {
        return Some((column, unit_in(name, column)));
    }
    let (rest, unit) = folded.rsplit_once(' ')?;
    let rest = rest.strip_suffix(" in").unwrap_or(rest);
    let column = spelled(rest).filter(|column| is_unit_of(*column, unit))?;
    Some((column, Some(unit.to_owned())))
}

/// The unit that a head gives for bare numbers below it: in brackets, or as its last word.
fn unit_in(name: &str, column: Column) -> Option<String> {
    let (plain, bracketed) = without_brackets(name);
    let last = fold(&plain).rsplit_once(' ').map(|(_, word)| word.to_owned());
    bracketed.into_iter().chain(last).find(|unit| is_unit_of(column, unit))
}

fn is_unit_of(column: Column, unit: &str) -> bool {
    match column {
        Column::Length => parse_length(&format!("1 {unit}")).is_ok(),
        Column::LeakPressure => TestPressure::parse(&format!("1 {unit}")).is_ok(),
        _ => false,
    }
}

/// A head without what it says in brackets, and that.
fn without_brackets(name: &str) -> (String, Option<String>) {
    let open = name.find(['(', '[']);
    let close = name.rfind([')', ']']);
    match open.zip(close) {
        Some((open, close)) if open < close => {
            let inside = name.get(open + 1..close).unwrap_or_default().trim().to_owned();
            let (before, after) = (name.get(..open), name.get(close + 1..));
            (format!("{} {}", before.unwrap_or_default(), after.unwrap_or_default()), Some(inside))
        }
        _ => (name.to_owned(), None),
    }
}

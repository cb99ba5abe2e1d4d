//! A shop's own list of hoses, as people keep it in a spreadsheet and save it
//! as CSV: columns in any order and spelling, units in the heads or in the
//! cells, dates of many forms.
//!
//! Reading decides nothing silently. A row that is not understood is refused
//! with its line and the reason, a row that repeats another is said to, what
//! was taken for granted is listed, and so are the columns that were not read.

mod before;
mod cells;
mod column;
mod columns;
mod error;
mod guard;
mod heads;
mod matched;
mod row;
mod template;
mod text;
mod tongues;

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;
use serde::Serialize;

use cells::DayOrder;
use columns::{Heads, find_heads};
use row::{Assumption, Context, Reading};
use text::Record;

pub use before::Before;
pub use column::Column;
pub use error::SheetError;
pub use guard::guarded;
pub use matched::{MatchError, Matched};
pub use row::{Place, Row};
pub use template::template;

/// A sheet that was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sheet {
    /// Hoses to register, in the order of the sheet.
    pub rows: Vec<Row>,
    /// Rows that are not understood.
    pub refused: Vec<Refused>,
    /// Rows that say nothing which an earlier one has not said.
    pub repeated: Vec<Repeated>,
    /// Heads of columns that were not read, some with the reason.
    pub ignored_columns: Vec<String>,
    /// Of these, the heads that are not understood: they can be matched by hand.
    pub to_match: Vec<String>,
    /// What the sheet leaves open and how it was taken.
    pub assumed: Vec<Assumed>,
}

/// A row that is not understood.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// The line of the file on which the row begins, from 1.
    pub line: usize,
    /// Why, in words.
    pub reason: String,
}

/// A row that says nothing which an earlier one has not said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Repeated {
    /// The line of the file on which the row begins, from 1.
    pub line: usize,
    /// The line of the earlier row.
    pub of: usize,
    /// What repeats and what to do, in words.
    pub reason: String,
}

/// Something that a sheet leaves open and how it was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Assumed {
    /// What was taken for granted.
    pub words: String,
    /// The lines where it was.
    pub lines: Vec<usize>,
}

impl Assumed {
    /// The same in words: a list may have it on every line, so the first of them are named.
    #[must_use]
    pub fn in_words(&self) -> String {
        let named: Vec<String> = self.lines.iter().take(NAMED).map(ToString::to_string).collect();
        let what = if self.lines.len() == 1 { "line" } else { "lines" };
        let more = match self.lines.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        format!("{} ({what} {}{more})", self.words, named.join(", "))
    }
}

/// So many lines are named of what is on many.
const NAMED: usize = 10;

/// Reads a list of hoses from the bytes of a CSV file: UTF-8, UTF-16 with a
/// byte-order mark or Windows-1252, with commas, semicolons, tabs or bars.
///
/// # Errors
/// [`SheetError`] if it is not such a file, or no line names its columns.
pub fn read_sheet(bytes: &[u8], today: NaiveDate) -> Result<Sheet, SheetError> {
    read_sheet_as(bytes, &[], today)
}

/// Reads a list of which a person matched some columns by hand.
///
/// # Errors
/// As [`read_sheet`], and if one of these columns is not there.
pub fn read_sheet_as(
    bytes: &[u8],
    matched: &[Matched],
    today: NaiveDate,
) -> Result<Sheet, SheetError> {
    let text = text::decode(bytes)?;
    let heads = find_heads(&text, matched)?;
    let records: Vec<Record> = text::records(&text, heads.separator)
        .filter(|record| record.line > heads.line && !record.is_blank())
        .filter(|record| record.cells != heads.cells)
        .collect();
    let order = cells::day_order(date_cells(&heads, &records));
    let context = Context { heads: &heads, order, today };
    let mut reader = Reader::default();
    for record in &records {
        reader.take(record, &context);
    }
    Ok(reader.finish(heads, order))
}

/// Every cell under a head that promises a date.
fn date_cells<'a>(heads: &'a Heads, records: &'a [Record]) -> impl Iterator<Item = &'a str> {
    records.iter().flat_map(|record| {
        let dates = heads.found.iter().filter(|head| head.column.is_date());
        dates.filter_map(|head| record.cells.get(head.at)).map(String::as_str)
    })
}

/// What has been read so far, and what would repeat it.
#[derive(Default)]
struct Reader {
    sheet: Sheet,
    assumed: BTreeMap<Assumption, Vec<usize>>,
    texts: HashMap<Vec<String>, usize>,
    tags: HashMap<String, usize>,
    numbers: HashMap<String, usize>,
}

impl Reader {
    fn take(&mut self, record: &Record, context: &Context<'_>) {
        if let Some(repeated) = self.repeats(record) {
            self.sheet.repeated.push(repeated);
            return;
        }
        match row::read(record, context) {
            Ok(reading) => self.keep(record.line, reading),
            Err(error) => {
                let reason = error.to_string();
                self.sheet.refused.push(Refused { line: record.line, reason });
            }
        }
    }

    /// A row that is word for word an earlier one. Two hoses may well be
    /// alike, but so is a row that was pasted twice, and nobody can tell.
    fn repeats(&mut self, record: &Record) -> Option<Repeated> {
        let words: Vec<String> = record.cells.iter().map(|cell| cell.trim().to_owned()).collect();
        let of = *self.texts.entry(words).or_insert(record.line);
        let reason = format!(
            "it repeats line {of} word for word; if these are two hoses, tell them apart by a \
             tag, a number or a note, or give one row a quantity"
        );
        (of != record.line).then_some(Repeated { line: record.line, of, reason })
    }

    fn keep(&mut self, line: usize, reading: Reading) {
        if let Some(repeated) = self.named_twice(line, &reading.row) {
            self.sheet.repeated.push(repeated);
            return;
        }
        for what in reading.assumed {
            self.assumed.entry(what).or_default().push(line);
        }
        self.sheet.rows.extend(std::iter::repeat_n(reading.row, reading.count));
    }

    /// A tag or a number names one hose.
    fn named_twice(&mut self, line: usize, row: &Row) -> Option<Repeated> {
        let tag = row.registration.tag.map(|tag| tag.to_string());
        let number = row.number.as_ref().map(ToString::to_string);
        let tag = tag.map(|name| ("tag", *self.tags.entry(name.clone()).or_insert(line), name));
        let number =
            number.map(|name| ("number", *self.numbers.entry(name.clone()).or_insert(line), name));
        let (what, of, name) = tag.into_iter().chain(number).find(|(_, of, _)| *of != line)?;
        let reason =
            format!("the {what} {name} is on line {of} already; each {what} names one hose");
        Some(Repeated { line, of, reason })
    }

    fn finish(mut self, heads: Heads, order: Option<DayOrder>) -> Sheet {
        let words = |(what, lines): (Assumption, Vec<usize>)| {
            let words = what.words(order);
            Assumed { words, lines }
        };
        self.sheet.assumed = self.assumed.into_iter().map(words).collect();
        if heads.skipped {
            let words =
                format!("the headings are on line {}; rows above them were not read", heads.line);
            self.sheet.assumed.insert(0, Assumed { words, lines: vec![heads.line] });
        }
        self.sheet.ignored_columns = heads.ignored;
        self.sheet.to_match = heads.unknown;
        self.sheet
    }
}

#[cfg(test)]
mod properties;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tongues_tests;

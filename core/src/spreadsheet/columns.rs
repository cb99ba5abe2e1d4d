//! Which column says what: the spellings of heads, and the line they are on.

use super::error::SheetError;
use super::text::{Record, SEPARATORS, fold, records};
use crate::measure::parse_length;

/// What a column says of a hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Column {
    Service,
    /// `Use` alone: what the hose does where no other column says it, and else
    /// who dives with it.
    Use,
    Construction,
    Length,
    EndA,
    EndB,
    Made,
    Bought,
    InService,
    Maker,
    Lot,
    Model,
    Protector,
    Oxygen,
    Note,
    Branch,
    Ticket,
    Tag,
    Number,
    Quantity,
    Set,
    Port,
}

impl Column {
    pub(super) const fn is_date(self) -> bool {
        matches!(self, Self::Made | Self::Bought | Self::InService)
    }

    /// What it says, in words.
    const fn says(self) -> &'static str {
        match self {
            Self::Service => "what a hose does",
            Self::Use => "who dives with it",
            Self::Construction => "how it is built",
            Self::Length => "how long it is",
            Self::EndA => "the first-stage end",
            Self::EndB => "the far end",
            Self::Made => "when it was made",
            Self::Bought => "when it was bought",
            Self::InService => "since when it is in service",
            Self::Maker => "the maker",
            Self::Lot => "the lot",
            Self::Model => "the model",
            Self::Oxygen => "whether it is cleaned for oxygen",
            Self::Note => "a note",
            Self::Branch => "the branch",
            Self::Ticket => "the ticket of a customer",
            Self::Protector => "whether it has a protector",
            Self::Tag => "the tag",
            Self::Number => "the number",
            Self::Quantity => "how many there are",
            Self::Set => "the set",
            Self::Port => "the port",
        }
    }
}

/// The spellings of heads, as [`fold`] leaves them: common practice, no source.
const HEADS: &[(Column, &[&str])] = &[
    (
        Column::Service,
        &["service", "type", "hose type", "type of hose", "kind", "function", "purpose"],
    ),
    (Column::Use, &["use", "used for", "usage"]),
    (
        Column::Construction,
        &["construction", "material", "build", "cover", "hose material", "made of"],
    ),
    (Column::Length, &["length", "len", "size", "hose length", "hose size", "lgth"]),
    (
        Column::EndA,
        &[
            "first stage",
            "1st stage",
            "first stage end",
            "1st stage end",
            "first stage thread",
            "1st stage thread",
            "first stage fitting",
            "end a",
            "a end",
            "port thread",
            "thread",
            "thread a",
            "fitting a",
        ],
    ),
    (
        Column::EndB,
        &[
            "second stage",
            "2nd stage",
            "second stage end",
            "2nd stage end",
            "second stage thread",
            "2nd stage thread",
            "second stage fitting",
            "end b",
            "b end",
            "far end",
            "other end",
            "thread b",
            "fitting b",
        ],
    ),
    (
        Column::Made,
        &[
            "made",
            "made on",
            "date made",
            "made date",
            "manufactured",
            "manufactured on",
            "manufacture date",
            "manufacturing date",
            "date of manufacture",
            "date manufactured",
            "dom",
            "mfg",
            "mfg date",
            "mfd",
            "date mfg",
            "date of mfg",
            "mfr date",
            "production date",
            "year made",
            "year of manufacture",
        ],
    ),
    (
        Column::Bought,
        &[
            "bought",
            "bought on",
            "date bought",
            "purchased",
            "purchased on",
            "purchase date",
            "date purchased",
            "date of purchase",
            "acquired",
        ],
    ),
    (
        Column::InService,
        &[
            "in service",
            "in service since",
            "in use since",
            "service since",
            "since",
            "first used",
            "first use",
            "put in service",
            "date in service",
            "in service date",
            "fitted",
            "fitted on",
            "date fitted",
            "installed",
        ],
    ),
    (
        Column::Maker,
        &["maker", "brand", "manufacturer", "make", "mfr", "manufactured by", "made by"],
    ),
    (Column::Lot, &["lot", "lot no", "lot number", "lot nr", "batch", "batch no", "batch number"]),
    (Column::Model, &["model", "model no", "model nr", "model number", "model name"]),
    (
        Column::Oxygen,
        &["oxygen", "o2", "o2 clean", "oxygen clean", "cleaned for oxygen", "oxygen service"],
    ),
    (Column::Note, &["note", "notes", "remark", "remarks", "comment", "comments"]),
    (Column::Branch, &["branch", "shop", "site", "base"]),
    (
        Column::Ticket,
        &["ticket", "ticket no", "ticket nr", "ticket number", "customer ticket", "service ticket"],
    ),
    (Column::Protector, &["protector", "protectors", "hose protector", "sleeve", "sleeves"]),
    (Column::Tag, &["tag", "tag code", "code", "hosewright", "hosewright tag", "hosewright code"]),
    (
        Column::Number,
        &[
            "number",
            "no",
            "nr",
            "id",
            "hose no",
            "hose nr",
            "hose number",
            "hose id",
            "our no",
            "our number",
            "asset",
            "asset no",
            "asset number",
            "inventory no",
            "serial",
            "serial no",
            "serial number",
            "s n",
            "sn",
            "barcode",
        ],
    ),
    (Column::Quantity, &["quantity", "qty", "count", "pcs", "pieces", "how many"]),
    (Column::Set, &["set", "set name", "reg set", "regulator", "regulator set", "reg", "kit"]),
    (Column::Port, &["port", "port no", "ports", "position"]),
];

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
    /// Whether something is above them.
    pub(super) skipped: bool,
}

impl Heads {
    pub(super) fn head(&self, column: Column) -> Option<&Head> {
        self.found.iter().find(|head| head.column == column)
    }

    fn of(record: Record, separator: char, skipped: bool) -> Self {
        let (mut found, mut ignored): (Vec<Head>, Vec<String>) = (Vec::new(), Vec::new());
        for (at, cell) in record.cells.iter().enumerate() {
            let name = cell.split_whitespace().collect::<Vec<_>>().join(" ");
            let Some((column, unit)) = column_of(&name) else {
                ignored.extend((!name.is_empty()).then_some(name));
                continue;
            };
            match found.iter().find(|head| head.column == column) {
                Some(first) => ignored.push(said_already(&name, first)),
                None => found.push(Head { column, at, name, unit }),
            }
        }
        let mut heads =
            Self { line: record.line, separator, cells: record.cells, found, ignored, skipped };
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
pub(super) fn find_heads(text: &str) -> Result<Heads, SheetError> {
    let mut best: Option<Heads> = None;
    for separator in SEPARATORS {
        let first = records(text, separator).take(HEADS_WITHIN).filter(|r| !r.is_blank());
        for (at, record) in first.enumerate() {
            let heads = Heads::of(record, separator, at > 0);
            let rank = |heads: &Heads| (heads.names_a_hose(), heads.found.len());
            if best.as_ref().is_none_or(|best| rank(&heads) > rank(best)) {
                best = Some(heads);
            }
        }
    }
    let best = best.ok_or(SheetError::Empty)?;
    if best.names_a_hose() {
        return Ok(best);
    }
    let likely = if best.found.is_empty() { Vec::new() } else { best.cells };
    Err(SheetError::NoHeads { heads: likely })
}

/// The column that a head names, and the unit that a length's head gives.
fn column_of(name: &str) -> Option<(Column, Option<String>)> {
    let (plain, bracketed) = without_brackets(name);
    let folded = fold(&plain);
    if let Some(column) = spelled(&folded) {
        let unit = bracketed.filter(|unit| column == Column::Length && is_length_unit(unit));
        return Some((column, unit));
    }
    let (rest, unit) = folded.rsplit_once(' ')?;
    let rest = rest.strip_suffix(" in").unwrap_or(rest);
    let length = spelled(rest) == Some(Column::Length) && is_length_unit(unit);
    length.then(|| (Column::Length, Some(unit.to_owned())))
}

fn spelled(folded: &str) -> Option<Column> {
    let row = HEADS.iter().find(|(_, spellings)| spellings.contains(&folded))?;
    Some(row.0)
}

fn is_length_unit(unit: &str) -> bool {
    parse_length(&format!("1 {unit}")).is_ok()
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

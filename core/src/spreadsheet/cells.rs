//! What is in a cell, as shops write it.

use thiserror::Error;

use super::text::fold;
use super::tongues;
use crate::hose::{self, Construction, Fitting, HoseError, Label, Prose, Service, Thread};
use crate::measure::{HoseLength, MeasureError, PartialDate, TestPressure};
use crate::tag::{Code, CodeError};

/// Why a cell is not understood.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(super) enum CellError {
    #[error(transparent)]
    Hose(#[from] HoseError),
    #[error(transparent)]
    Measure(#[from] MeasureError),
    #[error("“{0}” has no unit; write it as 56 cm or 22 in, or name the unit in the column's head")]
    NoUnit(String),
    #[error(
        "“{0}” could be a second-stage or an inflator hose; say which, or name the fitting at its \
         far end"
    )]
    EitherService(String),
    #[error("“{0}” is neither yes nor no")]
    YesNo(String),
    #[error("“{0}” is not a number of hoses; write 1 to 500")]
    Quantity(String),
    #[error("“{0}” is not a number of dives; write 0 to 100000")]
    Dives(String),
    #[error(
        "“{typed}” could be {one} or {other}, and no other date of the sheet shows whether the \
         day or the month comes first; write it as 2022-03-14"
    )]
    DayOrMonth { typed: String, one: String, other: String },
    #[error("“{0}” could be a month or a day; write it as 2022-03 or 2022-03-14")]
    MonthOrDay(String),
    #[error(
        "“{0}” looks like a thread that a spreadsheet has turned into a date; write it as text, \
         such as 3/8-24 UNF"
    )]
    ThreadAsDate(String),
    #[error(transparent)]
    Code(#[from] CodeError),
    #[error(
        "“{0}” is not a Hosewright tag; a shop's own number belongs in a column with the head \
         Number, and a new tag is drawn where this column is empty"
    )]
    NotATag(String),
}

/// What people write where they have nothing to write.
pub(super) fn is_blank(cell: &str) -> bool {
    let blanks =
        ["", "-", "--", "–", "—", "?", "??", "n/a", "na", "n.a.", "none", "unknown", "nil"];
    let cell = cell.trim().to_lowercase();
    blanks.contains(&cell.as_str()) || tongues::BLANK.contains(&cell.as_str())
}

/// Words for services beside those of [`Service`]: common practice, no source.
const SERVICES: &[(Service, &[&str])] = &[
    (
        Service::SecondStage,
        &[
            "second stage",
            "2nd stage",
            "second",
            "2nd",
            "primary",
            "main",
            "octo",
            "octopus",
            "alternate",
            "alternate air source",
            "aas",
            "backup",
            "regulator",
            "reg",
            "lp second stage",
            "lp 2nd stage",
            "lp regulator",
            "lp octo",
            "long",
            "necklace",
        ],
    ),
    (
        Service::Inflator,
        &[
            "inflator",
            "lp inflator",
            "lpi",
            "bcd",
            "bc",
            "bcd inflator",
            "bc inflator",
            "wing",
            "wing inflator",
            "jacket",
            "drysuit",
            "dry suit",
            "drysuit inflator",
            "dry suit inflator",
            "suit",
        ],
    ),
    (
        Service::Gauge,
        &[
            "gauge",
            "hp",
            "hp gauge",
            "spg",
            "pressure gauge",
            "console",
            "transmitter",
            "high pressure",
            "contents gauge",
        ],
    ),
];

/// What a hose does. `LP` alone is either of two, and the far end decides.
pub(super) fn service(cell: &str, far_end: Option<&Fitting>) -> Result<Service, CellError> {
    let folded = fold(cell);
    let folded = folded.trim_end_matches(" hose").trim_end_matches(" hoses");
    if matches!(folded, "lp" | "low pressure") || tongues::LOW_PRESSURE.contains(&folded) {
        return match far_end {
            Some(Fitting::Thread(Thread::Unf9_16x18)) => Ok(Service::SecondStage),
            Some(Fitting::QuickDisconnect) => Ok(Service::Inflator),
            _ => Err(CellError::EitherService(cell.trim().to_owned())),
        };
    }
    let mut all = SERVICES.iter().chain(tongues::SERVICES);
    let known = all.find(|(_, words)| words.contains(&folded));
    known.map_or_else(|| Ok(cell.parse()?), |(service, _)| Ok(*service))
}

/// How a hose is built.
pub(super) fn construction(cell: &str) -> Result<Construction, CellError> {
    let folded = fold(cell);
    let known = tongues::CONSTRUCTIONS.iter().find(|(_, words)| words.contains(&folded.as_str()));
    if let Some((construction, _)) = known {
        return Ok(*construction);
    }
    match folded.as_str() {
        "rubber" | "standard" | "black rubber" | "rubber hose" => Ok(Construction::Rubber),
        "braided" | "braid" | "nylon" | "nylon braid" | "nylon braided" | "braided nylon"
        | "flex" | "textile" => Ok(Construction::Braided),
        _ => Ok(cell.parse()?),
    }
}

/// A length; a bare number has the unit of its column's head.
pub(super) fn length(cell: &str, unit: Option<&str>) -> Result<HoseLength, CellError> {
    match (HoseLength::parse(cell), unit) {
        (Err(MeasureError::NoUnit { .. }), Some(unit)) => {
            Ok(HoseLength::parse(&format!("{} {unit}", cell.trim()))?)
        }
        (Err(MeasureError::NoUnit { typed, .. }), None) => Err(CellError::NoUnit(typed)),
        (length, _) => Ok(length?),
    }
}

/// What is at an end: `3/8-24`, `3/8" UNF`, `9/16-18 female`, `QD` and the like.
/// The four threads differ in size, so the size alone names one.
pub(super) fn fitting(cell: &str) -> Result<Fitting, CellError> {
    if let Ok(fitting) = cell.parse() {
        return Ok(fitting);
    }
    let lower = cell.to_lowercase().replace(['"', '″', '”', '“', '\''], "");
    let spaced = lower.replace(['-', '–', '×', 'x', ',', '(', ')'], " ");
    let noise = ["unf", "male", "female", "m", "f", "in", "inch", "tpi", "swivel", "thread"];
    let words: Vec<&str> = spaced.split_whitespace().filter(|word| !noise.contains(word)).collect();
    let thread = match words.as_slice() {
        ["3/8"] | ["3/8", "24"] => Thread::Unf3_8x24,
        ["1/2"] | ["1/2", "20"] => Thread::Unf1_2x20,
        ["7/16"] | ["7/16", "20"] => Thread::Unf7_16x20,
        ["9/16"] | ["9/16", "18"] => Thread::Unf9_16x18,
        ["qd" | "qr"]
        | ["quick", ..]
        | ["quickdisconnect"]
        | ["bc" | "bcd", "qd" | "quick", ..] => {
            return Ok(Fitting::QuickDisconnect);
        }
        words if words.iter().any(|word| month(word).is_some()) => {
            return Err(CellError::ThreadAsDate(cell.trim().to_owned()));
        }
        _ => return Ok(cell.parse()?),
    };
    Ok(Fitting::Thread(thread))
}

/// Yes or no.
pub(super) fn yes_no(cell: &str) -> Result<bool, CellError> {
    let folded = fold(cell);
    match folded.as_str() {
        known if tongues::YES.contains(&known) => Ok(true),
        known if tongues::NO.contains(&known) => Ok(false),
        "yes" | "y" | "true" | "x" | "1" | "2" | "both" | "one" => Ok(true),
        "no" | "n" | "false" | "0" => Ok(false),
        _ if cell.trim() == "✓" => Ok(true),
        _ => Err(CellError::YesNo(cell.trim().to_owned())),
    }
}

/// How many hoses a row means.
pub(super) fn quantity(cell: &str) -> Result<usize, CellError> {
    let count = cell.trim().parse().ok().filter(|count| (1..=500).contains(count));
    count.ok_or_else(|| CellError::Quantity(cell.trim().to_owned()))
}

/// How many dives a hose has.
pub(super) fn dives(cell: &str) -> Result<u32, CellError> {
    let dives = cell.trim().parse().ok().filter(|dives| *dives <= 100_000);
    dives.ok_or_else(|| CellError::Dives(cell.trim().to_owned()))
}

/// The pressure of a leak test; a bare number has the unit of its column's head.
pub(super) fn pressure(cell: &str, unit: Option<&str>) -> Result<TestPressure, CellError> {
    let bare = cell.trim().chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    match unit.filter(|_| bare) {
        Some(unit) => Ok(TestPressure::parse(&format!("{} {unit}", cell.trim()))?),
        None => Ok(TestPressure::parse(cell)?),
    }
}

/// One of our tags. One with a slip in it is told from what never was one.
pub(super) fn tag(cell: &str) -> Result<Code, CellError> {
    match Code::parse(cell) {
        Err(error @ CodeError::WrongCheck { .. }) => Err(error.into()),
        Err(_) => Err(CellError::NotATag(cell.trim().to_owned())),
        Ok(code) => Ok(code),
    }
}

/// A short text.
pub(super) fn label(what: &'static str, cell: &str) -> Result<Label, CellError> {
    Ok(Label::new(what, cell)?)
}

/// A text as long as a paragraph.
pub(super) fn prose(what: &'static str, cell: &str) -> Result<Prose, CellError> {
    Ok(Prose::new(what, cell)?)
}

/// A customer's ticket.
pub(super) fn ticket(cell: &str) -> Result<Label, CellError> {
    Ok(hose::ticket(cell)?)
}

/// Whether a sheet writes the day or the month first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum DayOrder {
    DayFirst,
    MonthFirst,
}

/// The order that a sheet shows: some date in it can only be read one way, and
/// none only the other way.
pub(super) fn day_order<'a>(dates: impl Iterator<Item = &'a str>) -> Option<DayOrder> {
    let mut shown: Vec<DayOrder> = dates.filter_map(order_of).collect();
    shown.sort_unstable();
    shown.dedup();
    match shown.as_slice() {
        [order] => Some(*order),
        _ => None,
    }
}

fn order_of(cell: &str) -> Option<DayOrder> {
    let parts: Vec<u32> =
        cell.trim().split(['/', '-']).map(|p| p.trim().parse().ok()).collect::<Option<_>>()?;
    match parts.as_slice() {
        [13..=31, 1..=12, 1900..=2999] => Some(DayOrder::DayFirst),
        [1..=12, 13..=31, 1900..=2999] => Some(DayOrder::MonthFirst),
        _ => None,
    }
}

/// A date, and whether the sheet's order of day and month was needed for it.
pub(super) fn date(cell: &str, order: Option<DayOrder>) -> Result<(PartialDate, bool), CellError> {
    let plain = with_month_as_number(cell)?;
    match (PartialDate::parse_loosely(&plain), order) {
        (Err(MeasureError::AmbiguousDate { typed, one, other }), None) => {
            Err(CellError::DayOrMonth { typed, one, other })
        }
        // The first reading takes the first number for the day.
        (Err(MeasureError::AmbiguousDate { one, .. }), Some(DayOrder::DayFirst)) => {
            Ok((PartialDate::parse(&one)?, true))
        }
        (Err(MeasureError::AmbiguousDate { other, .. }), Some(DayOrder::MonthFirst)) => {
            Ok((PartialDate::parse(&other)?, true))
        }
        // As hoses are marked, or with a year of two digits.
        (Err(MeasureError::NotADate { .. }), _) => Ok((PartialDate::parse_typed(&plain)?, false)),
        (date, _) => Ok((date?, false)),
    }
}

/// `14 Mar 2022`, `Mar 14, 2022` and `March 2022` with the month as a number.
fn with_month_as_number(cell: &str) -> Result<String, CellError> {
    let spaced = cell.replace([' ', '-', '/', ',', '.'], " ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let named = words.iter().enumerate().find_map(|(at, word)| Some((at, month(word)?)));
    let Some((at, month)) = named else { return Ok(cell.trim().to_owned()) };
    let rest: Vec<&str> =
        words.iter().enumerate().filter(|(n, _)| *n != at).map(|w| *w.1).collect();
    match rest.as_slice() {
        [year] if year.len() == 4 => Ok(format!("{year}-{month:02}")),
        [day, year] | [year, day] if year.len() == 4 && day.len() <= 2 => {
            Ok(format!("{year}-{month:02}-{day:0>2}"))
        }
        [short] if short.len() <= 2 => Err(CellError::MonthOrDay(cell.trim().to_owned())),
        _ => Ok(cell.trim().to_owned()),
    }
}

/// The number of a month by its English name or its first three letters, or by a name of
/// it in another language.
fn month(word: &str) -> Option<usize> {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let word = fold(word);
    let word = if word == "sept" { "sep" } else { &word };
    let english = MONTHS.iter().position(|name| *name == word || name.get(..3) == Some(word));
    let other = || tongues::MONTHS.iter().position(|names| names.contains(&word));
    Some(english.or_else(other)? + 1)
}

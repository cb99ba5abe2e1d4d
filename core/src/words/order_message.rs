//! The words of an order as a message to a supplier: what to deliver, how many, by when
//! and why so many. Whose hoses they are, and where, is nobody's business there.

use chrono::NaiveDate;

use super::counted;

/// What it is called on a screen.
pub const TITLE: &str = "The order as a message";
/// What it is for.
pub const LEAD: &str = "To copy into a mail or a form of your supplier. It names no hose, set or \
    customer of yours.";
/// What a mail program is opened with.
pub const MAIL: &str = "Write a mail with it";
/// Said where a link can't hold it.
pub const TOO_LONG: &str = "It is too long for a mail link: copy it.";
/// The subject of a mail.
pub const SUBJECT: &str = "Order of regulator hoses";
/// How it begins.
pub const BEGIN: &str = "Please deliver, or quote for, these regulator hoses:";
/// How it ends.
pub const END: &str = "New hoses only, each with its made date and lot marked on it, and none of a \
    lot under a recall. Please tell us before you send another length, construction or fitting.";
/// Said if nothing is to be bought.
pub const NOTHING: &str = "Nothing has to be bought.";

/// Why a hose has to be replaced, for people outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Because {
    /// It is recalled.
    Recalled,
    /// A finding retired it.
    Damaged,
    /// It has made as many dives as it may.
    Dives,
    /// It is as old as it may become.
    Age,
}

impl Because {
    /// Every reason.
    pub const ALL: [Self; 4] = [Self::Recalled, Self::Damaged, Self::Dives, Self::Age];

    const fn in_words(self) -> &'static str {
        match self {
            Self::Recalled => "recalled",
            Self::Damaged => "worn or damaged",
            Self::Dives => "at the limit of dives",
            Self::Age => "at the limit of age",
        }
    }
}

/// What to deliver, and how many.
#[must_use]
pub fn item(count: usize, hose: &str) -> String {
    format!("{count} x {hose}")
}

/// By when.
#[must_use]
pub fn by(first: Option<NaiveDate>, today: NaiveDate) -> String {
    match first.filter(|first| *first > today) {
        Some(first) => format!("needed by {first}"),
        None => "needed now".to_owned(),
    }
}

/// Why so many, and how many of them are in stock.
#[must_use]
pub fn why(reasons: &[(Because, usize)], in_stock: usize) -> String {
    let each: Vec<String> =
        reasons.iter().map(|(why, count)| format!("{count} {}", why.in_words())).collect();
    let stock = if in_stock > 0 { format!(", less {in_stock} in stock") } else { String::new() };
    format!("to replace {}{stock}", each.join(", "))
}

/// How many in all.
#[must_use]
pub fn in_all(count: usize) -> String {
    format!("In all: {}.", counted(i64::try_from(count).unwrap_or(i64::MAX), "hose"))
}

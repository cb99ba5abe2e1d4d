//! Values as they are typed, turned into what the core takes.

use std::ffi::OsStr;
use std::str::FromStr;

use chrono::NaiveDate;
use clap::builder::{PossibleValue, TypedValueParser};
use clap::{Arg, Args, Command};
use hosewright_core::hose::{HoseError, Label, Particulars, Prose};
use hosewright_core::inspection::FindingError;
use hosewright_core::measure::PartialDate;
pub use hosewright_core::view::form::typed::{DiveLimit, Months, day, seal};

use crate::show::written;

/// Something found, or gone, with how it is written if it can't be read.
pub fn finding<T: FromStr<Err = FindingError>>(typed: &str) -> Result<T, String> {
    typed.parse().map_err(|refused: FindingError| match written(&refused) {
        Some(how) => format!("{refused}: {how}"),
        None => refused.to_string(),
    })
}

/// Reads one of a few words as the core does, and names them to a shell's completions.
pub fn word<T>(all: &'static [T], word: fn(T) -> &'static str) -> impl TypedValueParser<Value = T>
where
    T: FromStr<Err: std::error::Error + Send + Sync + 'static> + Copy + Send + Sync + 'static,
{
    Word { all, word }
}

#[derive(Clone)]
struct Word<T: 'static> {
    all: &'static [T],
    word: fn(T) -> &'static str,
}

impl<T> TypedValueParser for Word<T>
where
    T: FromStr<Err: std::error::Error + Send + Sync + 'static> + Copy + Send + Sync + 'static,
{
    type Value = T;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &OsStr,
    ) -> Result<T, clap::Error> {
        let parse = |typed: &str| typed.parse::<T>();
        TypedValueParser::parse_ref(&parse, command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(self.all.iter().map(|one| PossibleValue::new((self.word)(*one)))))
    }
}

/// The day on which something happened.
#[derive(Args)]
pub struct On {
    /// The day on which it happened, if that was not today
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub on: Option<NaiveDate>,
}

macro_rules! labels {
    ($($(#[$meta:meta])* $name:ident = $what:literal),+ $(,)?) => {
        $($(#[$meta])* pub fn $name(typed: &str) -> Result<Label, HoseError> {
            Label::new($what, typed)
        })+
    };
}

labels! {
    /// A person's name.
    name = "a name",
    /// A maker's name.
    maker = "a maker's name",
    /// A lot.
    lot = "a lot",
    /// A model.
    model = "a model",
    /// The name of a set.
    set_name = "the name of a set",
    /// A branch.
    branch = "a branch",
    /// What a maker's barcode says.
    barcode = "the text of a barcode",
}

/// A note.
pub fn note(typed: &str) -> Result<Prose, HoseError> {
    Prose::new("a note", typed)
}

/// A reason.
pub fn why(typed: &str) -> Result<Prose, HoseError> {
    Prose::new("a reason", typed)
}

/// Something that may be put right to be unknown.
#[derive(Debug, Clone)]
pub enum Given<T> {
    /// It is known.
    Known(T),
    /// It is not known after all.
    Unknown,
}

impl<T> Given<T> {
    /// What is known.
    pub fn known(self) -> Option<T> {
        match self {
            Self::Known(value) => Some(value),
            Self::Unknown => None,
        }
    }

    /// Puts it in the place of what was there.
    pub fn put(given: Option<Self>, place: &mut Option<T>) {
        match given {
            Some(Self::Known(value)) => *place = Some(value),
            Some(Self::Unknown) => *place = None,
            None => {}
        }
    }
}

/// A date as far as it is known, or `unknown`.
pub fn date_or_unknown(typed: &str) -> Result<Given<PartialDate>, String> {
    or_unknown(typed, |text| PartialDate::parse_typed(text).map_err(|e| e.to_string()))
}

/// A maker, or `unknown`.
pub fn maker_or_unknown(typed: &str) -> Result<Given<Label>, String> {
    or_unknown(typed, |text| maker(text).map_err(|e| e.to_string()))
}

/// A lot, or `unknown`.
pub fn lot_or_unknown(typed: &str) -> Result<Given<Label>, String> {
    or_unknown(typed, |text| lot(text).map_err(|e| e.to_string()))
}

/// How many dives a return brings, or `unknown`.
pub fn dives(typed: &str) -> Result<Given<u32>, String> {
    let wrong = "write how many were made, 0 or more, or unknown";
    or_unknown(typed, |text| text.parse().map_err(|e| format!("{e}; {wrong}")))
}

/// A model, or `unknown`.
pub fn model_or_unknown(typed: &str) -> Result<Given<Label>, String> {
    or_unknown(typed, |text| model(text).map_err(|e| e.to_string()))
}

/// A shop's own number.
pub fn own_number(typed: &str) -> Result<Label, HoseError> {
    Particulars::own_number(typed)
}

/// A shop's own number, or `none`.
pub fn own_number_or_none(typed: &str) -> Result<Given<Label>, String> {
    or_none(typed, own_number)
}

/// A note, or `none`.
pub fn note_or_none(typed: &str) -> Result<Given<Prose>, String> {
    or_none(typed, note)
}

/// A branch, or `none`.
pub fn branch_or_none(typed: &str) -> Result<Given<Label>, String> {
    or_none(typed, branch)
}

/// The ticket of a hirer or a customer.
pub fn ticket(typed: &str) -> Result<Label, HoseError> {
    hosewright_core::hose::ticket(typed)
}

/// A ticket, or `none`.
pub fn ticket_or_none(typed: &str) -> Result<Given<Label>, String> {
    or_none(typed, ticket)
}

fn or_none<T>(
    typed: &str,
    known: impl FnOnce(&str) -> Result<T, HoseError>,
) -> Result<Given<T>, String> {
    match typed.trim() {
        "none" => Ok(Given::Unknown),
        text => known(text).map(Given::Known).map_err(|e| e.to_string()),
    }
}

fn or_unknown<T>(
    typed: &str,
    known: impl FnOnce(&str) -> Result<T, String>,
) -> Result<Given<T>, String> {
    match typed.trim() {
        "unknown" => Ok(Given::Unknown),
        text => known(text).map(Given::Known),
    }
}

/// `yes` or `no`.
pub fn yes_or_no(typed: &str) -> Result<bool, String> {
    match typed.trim() {
        "yes" => Ok(true),
        "no" => Ok(false),
        other => Err(format!("“{other}” is neither yes nor no")),
    }
}

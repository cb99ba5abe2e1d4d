//! What is typed: the options of every command, and the list of commands.

use std::ffi::OsString;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, CommandFactory, FromArgMatches, Parser};
use hosewright_core::hose::Label;
use hosewright_core::measure::Units;
use hosewright_core::text::visible;
use hosewright_core::words::CAUTION;

use crate::ask::Answers;
use crate::commands::Command;
use crate::desk::Desk;
use crate::failure::Failure;
use crate::moment::moment;
use crate::output::Output;
use crate::values;

const ABOUT: &str = "A tag on each hose, and a record behind it: scan, and get the answer";

const AFTER: &str = "\
Begin:
  hosewright register --service second-stage --construction braided --length 22in \\
      --end-a 3/8-24 --end-b 9/16-18 --made 2023-05
  hosewright tag CODE --out tag.pdf
  hosewright inspect CODE --kind full
  hosewright answer CODE

CODE is the code on the tag, or its first 5 characters if only one hose matches.

Exit codes: 0 done; 1 the answer is no (hold, retire, check failed); 2 bad input or nothing changed.

Environment: HOSEWRIGHT_STORE names the store, HOSEWRIGHT_BY who is asking, HOSEWRIGHT_UNITS the
units that are shown. HOSEWRIGHT_SEED, a number, makes new codes repeatable: for demonstrations only,
never for tags that go on hoses.";

/// Everything that is typed.
#[derive(Parser)]
#[command(name = "hosewright", version, about = ABOUT,
    long_about = format!("{ABOUT}.\n\n{CAUTION}"), after_help = AFTER, max_term_width = 100)]
pub(crate) struct Typed {
    #[command(flatten)]
    everywhere: Everywhere,
    #[command(subcommand)]
    command: Command,
}

/// The options of every command.
#[derive(Args)]
#[command(next_help_heading = "Options of every command")]
struct Everywhere {
    /// The record's file [else HOSEWRIGHT_STORE, else in the account's data folder]
    #[arg(long, global = true, value_name = "FILE")]
    store: Option<PathBuf>,
    /// The day to answer for [else this device's date]
    #[arg(long, global = true, value_name = "YYYY-MM-DD", value_parser = values::day)]
    today: Option<NaiveDate>,
    /// Who is asking or writing [else HOSEWRIGHT_BY, else the account's name]
    #[arg(long, global = true, value_name = "NAME", value_parser = values::name)]
    by: Option<Label>,
    /// Show lengths and pressures as-written, or in metric or us units, with what was written
    /// [else HOSEWRIGHT_UNITS, else as-written]
    #[arg(long, global = true, value_name = "UNITS")]
    units: Option<Units>,
    /// Print the result as JSON, for programs
    #[arg(long, global = true)]
    json: bool,
    /// Save what looks like a slip without asking
    #[arg(long, global = true)]
    yes: bool,
}

/// Reads the command line. Nothing if help was asked for and shown. `answers` are those to what
/// it asked before.
pub fn read(answers: Answers) -> Result<Option<(Command, Desk)>, Failure> {
    read_from(std::env::args_os(), answers)
}

fn read_from(
    typed: impl Iterator<Item = OsString>,
    answers: Answers,
) -> Result<Option<(Command, Desk)>, Failure> {
    let typed: Vec<OsString> = typed.collect();
    let matches = command().try_get_matches_from(&typed);
    let read = matches.and_then(|matches| Typed::from_arg_matches(&matches));
    let typed = match read {
        Ok(typed) => typed,
        Err(error) if !error.use_stderr() => {
            let _ = error.print();
            return Ok(None);
        }
        Err(error) => return Err(below_zero(&error, &typed).unwrap_or_else(|| worded(error))),
    };
    let Everywhere { store, today, by, units, json, yes } = typed.everywhere;
    let by = by.map_or_else(account, Ok)?;
    let Answers { sure, pin, owner_pass } = answers;
    let desk = Desk {
        out: Output::new(),
        json,
        moment: moment(today, by),
        units: units.map_or_else(own_units, Ok)?,
        pretended: today,
        sure: yes || sure,
        pin,
        owner_pass,
        grammar: command,
        store,
    };
    Ok(Some((typed.command, desk)))
}

/// The whole grammar, for help and completions.
fn command() -> clap::Command {
    Typed::command()
}

/// A number below 0 looks like an option, and is told from one here: nothing
/// that is typed is ever below 0.
fn below_zero(error: &clap::Error, typed: &[OsString]) -> Option<Failure> {
    let argument = error.get(ContextKind::InvalidArg)?.to_string();
    let number = argument.strip_prefix('-')?.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let unknown = number && error.kind() == ErrorKind::UnknownArgument;
    let whole = typed.iter().filter_map(|text| text.to_str());
    let whole = whole.into_iter().find(|text| text.starts_with(&argument))?;
    unknown
        .then(|| Failure::refused(format!("“{whole}” is below 0; a measure or a count never is")))
}

/// A value that the core refuses is said in the core's words.
fn worded(error: clap::Error) -> Failure {
    let why = std::error::Error::source(&error).map(ToString::to_string);
    match (error.kind(), error.get(ContextKind::InvalidArg), why) {
        (ErrorKind::ValueValidation, Some(argument), Some(why)) => {
            let name = argument.to_string();
            let name = name.split([' ', '=']).next().unwrap_or_default();
            Failure::refused(format!("{name}: {why}"))
        }
        _ => Failure::Usage(Box::new(seen(error))),
    }
}

/// What was typed is in the parser's own words as it is: here it is made visible.
fn seen(mut error: clap::Error) -> clap::Error {
    let shown = |text: &String| visible(text).into_owned();
    let typed: Vec<(ContextKind, ContextValue)> = error
        .context()
        .filter_map(|(kind, value)| match value {
            ContextValue::String(text) => Some((kind, ContextValue::String(shown(text)))),
            ContextValue::Strings(texts) => {
                Some((kind, ContextValue::Strings(texts.iter().map(shown).collect())))
            }
            _ => None,
        })
        .collect();
    for (kind, value) in typed {
        error.insert(kind, value);
    }
    error
}

/// The units that are shown, if nobody says it.
fn own_units() -> Result<Units, Failure> {
    let named = set("HOSEWRIGHT_UNITS").map(|units| units.parse::<Units>()).transpose();
    Ok(named
        .map_err(|why| Failure::refused(format!("HOSEWRIGHT_UNITS: {why}")))?
        .unwrap_or_default())
}

/// A variable of the environment, if it says something.
fn set(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.trim().is_empty())
}

/// Who is asking, if nobody says it.
fn account() -> Result<Label, Failure> {
    if let Some(name) = set("HOSEWRIGHT_BY") {
        return Ok(Label::new("HOSEWRIGHT_BY", &name)?);
    }
    let name = set("USER").or_else(|| set("LOGNAME")).or_else(|| set("USERNAME"));
    let name = name.and_then(|name| Label::new("a name", &name).ok());
    Ok(name.map_or_else(|| Label::new("a name", "desk"), Ok)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grammar_holds_together() {
        command().debug_assert();
    }

    #[test]
    fn every_command_has_an_example() {
        for sub in command().get_subcommands() {
            let nested: Vec<bool> =
                sub.get_subcommands().map(|s| s.get_after_help().is_some()).collect();
            let own = sub.get_after_help().is_some() || !nested.is_empty();
            let name = sub.get_name();
            assert!(own && nested.iter().all(|has| *has), "{name} has no example in its help");
        }
    }
}

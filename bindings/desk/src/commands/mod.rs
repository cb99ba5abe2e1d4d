//! The commands, a file for each group: what is typed for it and what it does.

mod answering;
mod care;
mod demo;
mod files;
mod hoses;
mod import;
mod inspect;
mod listing;
mod pictures;
mod places;
mod policy;
mod tags;
mod upkeep;

use clap::Subcommand;

use crate::desk::{Desk, Outcome};

/// Names every command once: for the parser and for running it.
macro_rules! commands {
    ($($(#[$meta:meta])* $name:ident($args:ty)),+ $(,)?) => {
        /// Every command.
        #[derive(Subcommand)]
        pub enum Command { $($(#[$meta])* $name($args)),+ }

        impl Command {
            /// Runs it.
            pub fn run(self, desk: &mut Desk) -> Outcome {
                match self { $(Self::$name(args) => args.run(desk)),+ }
            }
        }
    };
}

commands! {
    /// Make an invented centre with five years of history, and read one of its tags
    Demo(demo::Demo),
    /// Put a hose on record and print the code of its tag
    Register(hoses::Register),
    /// Put right what is written down about a hose
    Describe(hoses::Describe),
    /// Give a hose a new tag; the old one is withdrawn
    Retag(hoses::Retag),
    /// Bind a maker's own barcode to a hose as a second tag
    Bind(hoses::Bind),
    /// Print the tags of some hoses, as SVG, PNG or PDF
    Tag(tags::Tag),
    /// Print sheets of tags, or blank ones for hoses to come
    Tags(tags::Tags),
    /// Read the tag in a picture, or take a code, and answer
    Scan(pictures::Scan),
    /// Say what is written on any tag in pictures, ours or not
    Read(pictures::Read),
    /// May this hose be dived?
    Answer(answering::Answer),
    /// Every hose on record, with its verdict
    List(listing::List),
    /// Everything that was written about a hose
    History(listing::History),
    /// Write down that a hose was looked over
    Inspect(inspect::Inspect),
    /// Write down new O-rings at one end
    Reseal(care::Reseal),
    /// Write down that a hose was soaked, cleaned and dried
    Clean(care::Clean),
    /// Take a hose out of service for good
    Retire(care::Retire),
    /// Regulator sets: their ports, and what is in each
    Set(places::Set),
    /// Put a hose in a port of a set
    Fit(places::Fit),
    /// Take a hose off its set, to stock
    Remove(places::Remove),
    /// The limits that hoses are held to
    Limits(policy::Limits),
    /// The rules themselves: findings, reasons and limits
    Rules(policy::Rules),
    /// Is the record sound?
    Check(upkeep::Check),
    /// Take in an export, or a spreadsheet of hoses
    Import(import::Import),
    /// Write the whole record as JSON Lines
    Export(import::Export),
    /// Print completions for a shell
    Completions(upkeep::Completions),
}

/// A code as it is typed, or a tag's text as a hand-held reader types it.
#[derive(clap::Args)]
pub struct Which {
    /// The code on the hose's tag, or its first characters
    #[arg(value_name = "CODE")]
    code: String,
}

impl Which {
    /// The hose that it names.
    fn hose(
        &self,
        logbook: &hosewright_core::Logbook,
    ) -> Result<hosewright_core::tag::Code, crate::failure::Failure> {
        Ok(logbook.find_typed(&self.code)?.hose)
    }
}

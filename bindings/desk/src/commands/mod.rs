//! The commands, a file for each group: what is typed for it and what it does.

mod answering;
mod bench;
mod care;
mod demo;
mod desk;
mod device;
mod doubt;
mod files;
mod home;
mod hoses;
mod import;
mod inspect;
mod listing;
mod meeting;
mod owner;
mod photos;
mod pictures;
mod places;
mod policy;
mod recall;
mod rental;
mod swap;
mod tags;
mod upkeep;
mod which;

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
    /// Serve the counter page: scan, look over, hand out, plan, in any browser
    Desk(desk::CounterPage),
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
    /// The photos that were kept of a hose
    Photos(photos::Photos),
    /// Write down that a hose was looked over
    Inspect(inspect::Inspect),
    /// Write down new O-rings at one end
    Reseal(care::Reseal),
    /// Write down that a hose was soaked, cleaned and dried
    Clean(care::Clean),
    /// Take a hose out of service for good
    Retire(care::Retire),
    /// Put a hose or a set on hold: doubt means hold
    Hold(doubt::Hold),
    /// End a hold, or a set's quarantine
    Release(doubt::Release),
    /// Settle where a hose is
    Place(doubt::Place),
    /// Take back what should not have been written
    Withdraw(doubt::Withdraw),
    /// Regulator sets: their ports, and what is in each
    Set(places::Set),
    /// Put a hose in a port of a set
    Fit(places::Fit),
    /// Take a hose off its set, to stock
    Remove(places::Remove),
    /// Write down that a customer's hose or set went home
    Home(home::Home),
    /// Write down that a customer's hose or set came in again
    ComeIn(home::ComeIn),
    /// Which hose takes another's place?
    Replace(bench::Replace),
    /// Everything that is due, overdue first
    Due(owner::Due),
    /// What to buy for the hoses that have to be replaced
    Order(owner::Order),
    /// How old the fleet is
    Ages(owner::Ages),
    /// How long hoses last in service
    Survival(owner::Survival),
    /// The hoses that a recall means, where each is, and which have been found
    Recall(recall::Recall),
    /// Which thread is it?
    Thread(bench::Thread),
    /// Which spanner takes this nut?
    Spanner(bench::Spanner),
    /// Which hexagon key takes this socket?
    Key(bench::Key),
    /// How tight, in every unit, and what to set the wrench to
    Torque(bench::Torque),
    /// Which O-rings?
    Seals(bench::Seals),
    /// Hand sets out and take them back
    Rental(rental::Rental),
    /// Swap one hose for another, step by step
    Swap(swap::Swap),
    /// The limits that hoses are held to
    Limits(policy::Limits),
    /// The rules themselves: findings, reasons and limits
    Rules(policy::Rules),
    /// Write the record into a file for another device
    Bundle(meeting::Bundle),
    /// Take in the files of other devices
    Merge(meeting::Merge),
    /// Meet other devices in a shared folder or on a stick
    Exchange(meeting::Exchange),
    /// Which devices write in this record, and which are believed
    Device(device::Device),
    /// Is the record sound?
    Check(upkeep::Check),
    /// Take in an export, or a spreadsheet of hoses
    Import(import::Import),
    /// Write the whole record as JSON Lines
    Export(import::Export),
    /// Print completions for a shell
    Completions(upkeep::Completions),
}

//! The commands, a file for each group: what is typed for it and what it does.

mod answering;
mod backup;
mod bench;
mod care;
mod case;
mod demo;
mod desk;
mod device;
mod doubt;
mod due;
mod files;
mod film;
mod home;
mod hoses;
mod import;
mod inspect;
mod listing;
mod meeting;
mod owner;
mod packing;
mod photos;
mod pictures;
mod places;
mod policy;
mod recall;
mod rental;
mod staff;
mod swap;
mod tags;
mod today;
mod upkeep;
mod web;
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
    /// Serve the counter page for any browser
    Desk(desk::CounterPage),
    /// Write the page for phones' browsers, for any host of files
    Web(web::Web),
    /// Register a hose and print the code of its tag
    Register(hoses::Register),
    /// Edit the details of a hose
    Describe(hoses::Describe),
    /// Give a hose a new tag and withdraw the old one
    Retag(hoses::Retag),
    /// Add a maker's barcode to a hose as a second tag
    Bind(hoses::Bind),
    /// Print the tags of some hoses, as SVG, PNG or PDF
    Tag(tags::Tag),
    /// Print sheets of tags, or blank ones
    Tags(tags::Tags),
    /// Read a tag from a picture or a code, and answer
    Scan(pictures::Scan),
    /// Print what any tag in a picture says, a hose's or not
    Read(pictures::Read),
    /// May this hose be dived?
    Answer(answering::Answer),
    /// List every hose with its verdict
    List(listing::List),
    /// Look for a hose by anything known of it
    Find(listing::Find),
    /// Show everything recorded about a hose
    History(listing::History),
    /// Make the case file of a hose or a set: to show, and to be checked by others
    Case(case::Case),
    /// Check the signed entries of a case file
    Verify(case::Verify),
    /// List or save the photos of a hose
    Photos(photos::Photos),
    /// Record an inspection or a leak test
    Inspect(inspect::Inspect),
    /// Record new O-rings, or a new coupling
    Reseal(care::Reseal),
    /// Record that a hose was soaked, cleaned and dried
    Clean(care::Clean),
    /// Record dives made outside a rental, with a hose or a set
    Dived(care::Dived),
    /// Retire a hose for good
    Retire(care::Retire),
    /// Put a hose or a set on hold: doubt means hold
    Hold(doubt::Hold),
    /// Release a hose or a set from a hold or quarantine
    Release(doubt::Release),
    /// Confirm where a hose is
    Place(doubt::Place),
    /// Withdraw an entry that should not be there
    Withdraw(doubt::Withdraw),
    /// Regulator sets: their ports, and what is in each
    Set(places::Set),
    /// Fit a hose in a port of a set
    Fit(places::Fit),
    /// Remove a hose from its set to stock
    Remove(places::Remove),
    /// Send a customer's hose or set home
    Home(home::Home),
    /// Take a customer's hose or set in again
    ComeIn(home::ComeIn),
    /// Find a hose to replace another
    Replace(bench::Replace),
    /// Show what is out, half done, on hold, due and ready to go
    Today(today::Today),
    /// List what is due, overdue first
    Due(due::Due),
    /// List what to buy to replace hoses that are due
    Order(owner::Order),
    /// Show how old the fleet is
    Ages(owner::Ages),
    /// Show how long hoses last in service
    Survival(owner::Survival),
    /// Show a recall: which hoses, where they are, which are found
    Recall(recall::Recall),
    /// Identify a thread
    Thread(bench::Thread),
    /// Find the spanner for a nut
    Spanner(bench::Spanner),
    /// Find the hex key for a socket
    Key(bench::Key),
    /// Convert a torque, and set a wrench with a crowfoot
    Torque(bench::Torque),
    /// Show which O-rings a joint takes
    Seals(bench::Seals),
    /// Hand sets out and take them back
    Rental(rental::Rental),
    /// Swap one hose for another, step by step
    Swap(swap::Swap),
    /// Show or set the limits
    Limits(policy::Limits),
    /// Print the rules: findings, reasons and limits
    Rules(policy::Rules),
    /// Back up the whole record into one file
    Backup(backup::Backup),
    /// Bring a record back from a backup, as a new device of it
    Restore(backup::Restore),
    /// Write the record to a file for another device
    Bundle(meeting::Bundle),
    /// Show the record as a film of symbols, for another device's camera
    Film(film::Film),
    /// Merge the files of other devices
    Merge(meeting::Merge),
    /// Exchange records through a shared folder or a stick
    Exchange(meeting::Exchange),
    /// Show and manage the devices of this record
    Device(device::Device),
    /// People who work here: what each may do, badges and PINs
    Staff(staff::Staff),
    /// Check, rebuild or salvage the record
    Check(upkeep::Check),
    /// Import an export or a spreadsheet of hoses
    Import(import::Import),
    /// Export the whole record as JSON Lines
    Export(import::Export),
    /// Print completions for a shell
    Completions(upkeep::Completions),
}

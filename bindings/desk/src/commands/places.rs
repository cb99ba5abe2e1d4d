//! Where hoses are: `set`, `fit`, `remove`.

use std::io::Write;
use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use hosewright_core::event::PortName;
use hosewright_core::fit::FIT_CAUTIONS;
use hosewright_core::hose::{Label, Owner, Prose};
use hosewright_core::index::SetFilter;
use hosewright_core::policy::Use;
use hosewright_core::set_picture::{narrow, picture};
use hosewright_core::tag::Code;
use hosewright_core::words;
use hosewright_core::{NewSet, PortCount, PortDevice, PortIs, SetEdit};

use super::files;
use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show;
use crate::show::csv::Csv;
use crate::show::part::Part;
use crate::values::{self, Given, On};

/// Regulator sets.
#[derive(Args)]
pub struct Set {
    #[command(subcommand)]
    command: SetCommand,
}

#[derive(Subcommand)]
enum SetCommand {
    /// Register a regulator set, with the ports of its first stage
    New(New),
    /// What is in each port of a set
    Show(Show),
    /// Every set
    List(List),
    /// Change a set's name, use or ports, or dissolve it
    Change(Change),
    /// Say that two sets on record are one
    Join(Join),
    /// Give a set a new tag for its first stage
    Tag(Tag),
}

impl Set {
    /// Runs one of its commands.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        match self.command {
            SetCommand::New(new) => new.run(desk),
            SetCommand::Show(show) => show.run(desk),
            SetCommand::List(list) => list.run(desk),
            SetCommand::Change(change) => change.run(desk),
            SetCommand::Join(join) => join.run(desk),
            SetCommand::Tag(tag) => tag.run(desk),
        }
    }
}

/// A new set.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright set new \"Blue 1\" --use rental --ports HP:7/16-20=1,LP:3/8-24=4\n  \
    hosewright set new Old --use personal --ports unknown:3/8-24=4 --device P4=\"relief valve\"\n\n\
    Kinds are HP, LP, and unknown for a 3/8-24 port of an old first stage: a low-pressure hose\n\
    bursts in one that gives high pressure, so it takes none until it is known to be LP."
)]
struct New {
    /// Its name
    #[arg(value_parser = values::set_name)]
    name: Label,
    /// Who dives with it: personal or rental
    #[arg(long = "use", value_name = "USE", value_parser = values::word(Use::ALL, Use::word), hide_possible_values = true)]
    in_use: Use,
    /// Its ports: kind, thread and how many
    #[arg(long, value_name = "KIND:THREAD=COUNT", value_delimiter = ',', required = true)]
    ports: Vec<PortCount>,
    /// A device in a port instead of a hose
    #[arg(long = "device", value_name = "PORT=DEVICE")]
    devices: Vec<PortDevice>,
    /// It is cleaned for oxygen
    #[arg(long)]
    oxygen: bool,
    /// It is a customer's, in for service under this ticket: a number, never a name
    #[arg(long, value_parser = values::ticket)]
    ticket: Option<Label>,
    /// The branch where it works, if you have several
    #[arg(long, value_name = "NAME", value_parser = values::branch)]
    branch: Option<Label>,
    #[command(flatten)]
    when: On,
}

impl New {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let name = self.name.clone();
        let Self { name: called, in_use, ports, devices, oxygen, ticket, branch, when } = self;
        let owner = Owner::of_ticket(ticket);
        let new = NewSet { devices, oxygen, owner, branch, ..NewSet::new(called, in_use, ports) };
        logbook.assemble_new(new, when.on, &desk.moment)?;
        show::sets::one(desk, &logbook, &name)?;
        Ok(Status::Done)
    }
}

/// A set and what is in it.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright set show \"Blue 1\" --svg blue-1.svg")]
struct Show {
    /// Its name
    #[arg(value_parser = values::set_name)]
    name: Label,
    /// Draw it too, as an SVG picture
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Draw it one port under another, as phones do
    #[arg(long, requires = "svg")]
    narrow: bool,
    /// Overwrite an existing file
    #[arg(long, requires = "svg")]
    force: bool,
}

impl Show {
    fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        if let Some(path) = &self.svg {
            let view = logbook.set_view(&self.name, &desk.moment)?;
            let picture = if self.narrow { narrow(&view) } else { picture(&view) }.svg();
            files::write(path, self.force, |file| {
                file.write_all(picture.as_bytes()).map_err(Failure::io(path))
            })?;
        }
        show::sets::one(desk, &logbook, &self.name)?;
        Ok(Status::Done)
    }
}

/// A change of a set.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright set change R3 --name \"R3 old\"\n  \
    hosewright set change R3 --use personal --why \"sold to its diver\"\n  \
    hosewright set change R3 --ports HP:7/16-20=2,LP:3/8-24=4 --why \"the first stage was measured\"\n  \
    hosewright set change Old --port P1=LP --why \"measured: 9 bar\"\n\n\
    A change that lifts a warning about its hoses needs a reason.")]
struct Change {
    /// Its name, or its code if two have the same name
    #[arg(value_parser = values::set_name)]
    set: Label,
    /// Its new name
    #[arg(long, value_parser = values::set_name)]
    name: Option<Label>,
    /// Who dives with it: personal or rental
    #[arg(long = "use", value_name = "USE", value_parser = values::word(Use::ALL, Use::word), hide_possible_values = true)]
    in_use: Option<Use>,
    /// Its ports, all of them
    #[arg(long, value_name = "KIND:THREAD=COUNT", value_delimiter = ',')]
    ports: Option<Vec<PortCount>>,
    /// The pressure of a port that was named without a kind, as P1=LP
    #[arg(long = "port", value_name = "PORT=KIND")]
    kinds: Vec<PortIs>,
    /// A device in a port instead of a hose, as LP4=transmitter, or LP4=none
    #[arg(long = "device", value_name = "PORT=DEVICE")]
    devices: Vec<PortDevice>,
    /// Whether it is cleaned for oxygen: yes or no
    #[arg(long, value_name = "YES|NO", value_parser = values::yes_or_no)]
    oxygen: Option<bool>,
    /// The customer's ticket, or “none” if it is the centre's own
    #[arg(long, value_parser = values::ticket_or_none)]
    ticket: Option<Given<Label>>,
    /// The branch where it works, or “none”
    #[arg(long, value_name = "NAME", value_parser = values::branch_or_none)]
    branch: Option<Given<Label>>,
    /// It is gone; it must be empty
    #[arg(long)]
    dissolve: bool,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Option<Prose>,
}

impl Change {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let id = logbook.set(&self.set)?.id;
        let Self { name, in_use, ports, dissolve, why, kinds, devices, oxygen, ticket, .. } = self;
        let branch = self.branch.map(|given| match given {
            Given::Known(branch) => Some(branch),
            Given::Unknown => None,
        });
        let owner = ticket.map(|given| match given {
            Given::Known(ticket) => Owner::Ticket(ticket),
            Given::Unknown => Owner::Centre,
        });
        let edit = SetEdit {
            name,
            in_use,
            ports,
            dissolved: dissolve,
            kinds,
            devices,
            oxygen,
            owner,
            branch,
        };
        logbook.change_set(&self.set, edit, why, &desk.moment)?;
        if !dissolve {
            show::sets::one(desk, &logbook, &id.into())?;
        }
        Ok(Status::Done)
    }
}

/// Two sets that are one.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright set join R3 7K2M9ABCDEFGH --why \"registered twice\"\n\n\
    The set has the hoses, holds and hand-outs of both. Its name may then be changed with: set change."
)]
struct Join {
    /// One of them
    #[arg(value_parser = values::set_name)]
    one: Label,
    /// The other
    #[arg(value_parser = values::set_name)]
    other: Label,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
}

impl Join {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let id = logbook.set(&self.one)?.id;
        logbook.join_sets((&self.one, &self.other), self.why, &desk.moment)?;
        show::sets::one(desk, &logbook, &id.into())?;
        Ok(Status::Done)
    }
}

/// A new tag for a set.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright set tag R3\n  hosewright set tag R3 --tag 7K2M9ABCDEFGH\n\n\
    A set has a tag from the day on which it was put on record: print it with: tag --set R3. A new\n\
    one is for a tag that was lost, and for a set that an earlier program put on record."
)]
struct Tag {
    /// The set
    #[arg(value_parser = values::set_name)]
    set: Label,
    /// The code of a tag that was printed blank
    #[arg(long, value_name = "CODE")]
    tag: Option<Code>,
    #[command(flatten)]
    when: On,
}

impl Tag {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let code = logbook.tag_set(&self.set, self.tag, self.when.on, &desk.moment)?;
        if desk.json {
            desk.json(&serde_json::json!({ "code": code }))?;
        } else {
            desk.out.line(code.to_string())?;
        }
        Ok(Status::Done)
    }
}

/// Every set.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright set list\n  hosewright set list --use rental --branch Harbour --csv > sets.csv"
)]
struct List {
    /// Only sets of this branch
    #[arg(long, value_name = "NAME", value_parser = values::branch)]
    branch: Option<Label>,
    /// Only sets of this use: personal or rental
    #[arg(long = "use", value_name = "USE", value_parser = values::word(Use::ALL, Use::word), hide_possible_values = true)]
    in_use: Option<Use>,
    /// Only sets that are with a hirer
    #[arg(long)]
    out: bool,
    /// Only sets whose name begins with this
    #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
    begins: String,
    #[command(flatten)]
    part: Part,
    #[command(flatten)]
    csv: Csv,
}

impl List {
    fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let Self { branch, in_use, out, begins, part, csv } = self;
        let filter = SetFilter { begins, branch, in_use, out };
        show::sets::all(desk, &logbook, &filter, (&part, csv.csv))?;
        Ok(Status::Done)
    }
}

/// Puts a hose in a port.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright fit 7K2M9 --set \"Blue 1\" --port LP2\n\n\
    The hose then needs a leak test: inspect CODE --kind leak-test --passed")]
pub struct Fit {
    #[command(flatten)]
    which: Which,
    /// The set
    #[arg(long, value_name = "NAME", value_parser = values::set_name)]
    set: Label,
    /// The port: HP1, LP1, LP2 … [without it the ports that would take it are named]
    #[arg(long)]
    port: Option<PortName>,
    #[command(flatten)]
    when: On,
}

impl Fit {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        let Some(port) = self.port else {
            return Err(logbook.port_needed(hose, &self.set)?.into());
        };
        let before = logbook.seat(&logbook.record(hose)?)?;
        logbook.fit(hose, &self.set, port, self.when.on, &desk.moment)?;
        let bench = words::sets::fitted(before.as_ref(), port);
        show::brief::after_work(desk, &logbook, hose, &bench, FIT_CAUTIONS)
    }
}

/// Where a hose goes that is taken off.
#[derive(Clone, Copy, ValueEnum)]
enum To {
    /// To stock
    Stock,
}

/// Takes a hose off its set.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright remove 7K2M9 --to stock")]
pub struct Remove {
    #[command(flatten)]
    which: Which,
    /// Where it goes
    #[arg(long, value_enum, default_value_t = To::Stock)]
    to: To,
    #[command(flatten)]
    when: On,
}

impl Remove {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let To::Stock = self.to;
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        let before = logbook.seat(&logbook.record(hose)?)?;
        logbook.remove(hose, self.when.on, &desk.moment)?;
        let bench = before.as_ref().map(words::sets::removed).unwrap_or_default();
        show::brief::after_work(desk, &logbook, hose, &bench, FIT_CAUTIONS)
    }
}

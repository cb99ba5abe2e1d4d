//! People who work here: `staff`.

use std::collections::BTreeSet;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::PathBuf;

use clap::{Args, Subcommand};
use hosewright_core::CarriedDevice;
use hosewright_core::hose::Label;
use hosewright_core::staff::{Deed, Person, Staffing};
use hosewright_core::tag::draw;
use hosewright_core::words::{meeting, sentence, staff as say};
use serde_json::json;

use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;
use crate::values;

/// The people who work here.
#[derive(Args)]
pub struct Staff {
    #[command(subcommand)]
    command: StaffCommand,
}

#[derive(Subcommand)]
enum StaffCommand {
    /// Who works here, and what each may do
    #[command(after_help = "Example:\n  hosewright staff list")]
    List,
    /// Put a person on the list, by a short name or a number
    #[command(after_help = "Example:\n  hosewright staff add 7 --may release,override\n\n\
        The name stays in every entry for good; a number does as well. Who is on no list may do \
        the everyday work; as long as nobody is, everybody may do everything.")]
    Add(Add),
    /// Change a person's name, permissions or devices
    #[command(after_help = "Example:\n  hosewright staff change 7 --may release,retire\n  \
        hosewright staff change 7 --may none --carries 5f2e19")]
    Change(Change),
    /// A person no longer works here
    #[command(after_help = "Example:\n  hosewright staff left 7\n\n\
        What was written under the name stays. Dismiss the devices that they carry with: \
        hosewright device dismiss")]
    Left(One),
    /// Draw a person's badge, to be scanned at the counter page
    #[command(after_help = "Example:\n  hosewright staff badge 7 --out badge.pdf")]
    Badge(Badge),
    /// Choose or remove a person's PIN on this computer
    #[command(after_help = "Example:\n  hosewright --by 7 staff pin 7\n\n\
        Type it on standard input. It is asked for releases, retirements, withdrawals, handing out \
        over objections, limits and the staff list.")]
    Pin(Pin),
}

/// A person.
#[derive(Args)]
struct One {
    /// The person's name, or the code on the badge
    person: String,
}

/// A new person.
#[derive(Args)]
struct Add {
    /// A short name or a number
    #[arg(value_parser = values::name)]
    name: Label,
    #[command(flatten)]
    said: Said,
}

/// What changes of a person.
#[derive(Args)]
struct Change {
    #[command(flatten)]
    one: One,
    /// Another name
    #[arg(long, value_parser = values::name)]
    name: Option<Label>,
    #[command(flatten)]
    said: Said,
}

/// What a person may do, and carries.
#[derive(Args)]
struct Said {
    /// What they may do besides everyday work, or none: release, retire, withdraw, override,
    /// limits, staff
    #[arg(long, value_name = "WORDS", value_delimiter = ',')]
    may: Option<Vec<String>>,
    /// The devices that they carry, by their numbers or how these begin
    #[arg(long, value_name = "DEVICES", value_delimiter = ',')]
    carries: Option<Vec<String>>,
}

/// A badge.
#[derive(Args)]
struct Badge {
    #[command(flatten)]
    one: One,
    /// The file to write: .svg, .png or .pdf
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
}

/// A PIN.
#[derive(Args)]
struct Pin {
    #[command(flatten)]
    one: One,
    /// Remove it
    #[arg(long)]
    remove: bool,
}

impl Staff {
    /// Does it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        match self.command {
            StaffCommand::List => list(desk),
            StaffCommand::Add(add) => add.run(desk),
            StaffCommand::Change(change) => change.run(desk),
            StaffCommand::Left(one) => left(desk, &one),
            StaffCommand::Badge(badge) => badge.run(desk),
            StaffCommand::Pin(pin) => pin.run(desk),
        }
    }
}

fn list(desk: &mut Desk) -> Outcome {
    let logbook = desk.open_to_read()?;
    let staff = logbook.staff()?;
    if desk.json {
        desk.json(&staff)?;
        return Ok(Status::Done);
    }
    if staff.is_empty() {
        desk.out.line(say::NOBODY)?;
        return Ok(Status::Done);
    }
    let mut rows = table::new(
        Screen::of_stdout(),
        [Whole("name"), Text("may", 20), Text("here", 12), Whole("badge")],
    );
    for person in &staff {
        rows.add_row([
            person.name.to_string(),
            say::may(person.may.iter().copied()),
            say::here(person.since, person.left),
            person.person.to_string(),
        ]);
    }
    desk.out.text(rows.drawn())?;
    for (person, wrong) in logbook.wrong_pins()? {
        let words = say::wrong_pins(wrong.tried, wrong.since.date_naive());
        desk.out.line(format!("{}: {words}", person.name))?;
    }
    Ok(Status::Done)
}

impl Said {
    /// With what is not said left as it was.
    fn over(
        self,
        logbook: &hosewright_core::Logbook,
        was: Option<&Person>,
        name: Label,
    ) -> Result<Staffing, Failure> {
        let may = match self.may {
            Some(words) if words == ["none"] => BTreeSet::new(),
            Some(words) => words
                .iter()
                .map(|word| Ok(word.parse::<Deed>()?))
                .collect::<Result<_, Failure>>()?,
            None => was.map(|person| person.may.clone()).unwrap_or_default(),
        };
        let carries = match self.carries {
            Some(typed) if typed == ["none"] => BTreeSet::new(),
            Some(typed) => typed
                .iter()
                .map(|number| Ok(logbook.find_device(number)?))
                .collect::<Result<_, Failure>>()?,
            None => was.map(|person| person.carries.clone()).unwrap_or_default(),
        };
        Ok(Staffing { name, may, carries })
    }
}

impl Add {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let said = self.said.over(&logbook, None, self.name)?;
        let person = logbook.staffed(None, said, &desk.moment)?;
        if desk.json {
            desk.json(&json!({ "person": person }))?;
            return Ok(Status::Done);
        }
        shown(desk, &logbook.person(&person.to_string())?)
    }
}

impl Change {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let was = logbook.person(&self.one.person)?;
        let name = self.name.unwrap_or_else(|| was.name.clone());
        let said = self.said.over(&logbook, Some(&was), name)?;
        let person = logbook.staffed(Some(was.person), said, &desk.moment)?;
        shown(desk, &logbook.person(&person.to_string())?)
    }
}

fn shown(desk: &mut Desk, person: &Person) -> Outcome {
    let may = say::may(person.may.iter().copied());
    desk.out.line(format!("{}: {may}. {} {}", person.name, say::BADGE, person.person))?;
    Ok(Status::Done)
}

fn left(desk: &mut Desk, one: &One) -> Outcome {
    let mut logbook = desk.open()?;
    let person = logbook.person(&one.person)?;
    let devices = logbook.staff_left(person.person, &desk.moment)?;
    desk.out.line(format!("{}: {}", person.name, sentence(say::LEAVES)))?;
    for CarriedDevice { device, carried, others } in &devices {
        let name = meeting::named(&device.device, device.name.as_ref());
        let carried = if *carried { format!("{}; ", say::CARRIED) } else { String::new() };
        desk.out.line(format!("  {name}: {carried}{}", say::written_on(*others)))?;
    }
    if devices.is_empty() {
        desk.out.line(say::LEAVES_NO_DEVICE)?;
    } else {
        desk.out.line("Dismiss one that is theirs: hosewright device dismiss NUMBER")?;
    }
    Ok(Status::Done)
}

impl Badge {
    fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let person = logbook.person(&self.one.person)?;
        let plan = draw::badge(person.person.code())?;
        let ending = self.out.extension().and_then(|e| e.to_str()).map(str::to_lowercase);
        let bytes = match ending.as_deref() {
            Some("svg") => draw::svg(&plan).into_bytes(),
            Some("png") => draw::png(&plan)?,
            Some("pdf") => draw::pdf(&plan)?,
            _ => return Err(Failure::refused("end the file's name in .svg, .png or .pdf")),
        };
        files::write(&self.out, self.force, |file| {
            file.write_all(&bytes).map_err(Failure::io(&self.out))
        })?;
        desk.out.line(format!("{}: {}", person.name, self.out.display()))?;
        Ok(Status::Done)
    }
}

impl Pin {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let person = logbook.person(&self.one.person)?;
        if self.remove {
            logbook.remove_pin(person.person, &desk.moment)?;
            desk.out.line(format!("{}: {}", person.name, say::PIN_REMOVED))?;
            return Ok(Status::Done);
        }
        if io::stdin().is_terminal() {
            aside(&format!(
                "The PIN of {} ({} It is shown as you type):",
                person.name,
                say::PIN_HINT
            ));
        }
        let mut typed = String::new();
        io::stdin().lock().read_line(&mut typed)?;
        logbook.choose_pin(person.person, &typed, &desk.moment)?;
        desk.out.line(format!("{}: {}", person.name, say::PIN_SAVED))?;
        Ok(Status::Done)
    }
}

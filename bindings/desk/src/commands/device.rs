//! The devices of a record and who may write: `device`.

use std::io::Read;

use chrono::NaiveDate;
use clap::{Args, Subcommand};
use hosewright_core::device::{DeviceId, Role};
use hosewright_core::hose::{Label, Prose};
use hosewright_core::words::meeting;
use hosewright_core::{Logbook, Replaced};
use serde_json::json;

use crate::ask;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;
use crate::values;

/// The devices that write in this record.
#[derive(Args)]
pub struct Device {
    #[command(subcommand)]
    command: DeviceCommand,
}

/// The key's replacement.
#[derive(Args)]
struct ReplaceKey {
    /// First day on which somebody else may have had the key: what it granted from then on counts
    /// no more
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = values::day)]
    since: Option<NaiveDate>,
}

#[derive(Subcommand)]
enum DeviceCommand {
    /// This device: its number, its fleet, what it may write
    #[command(after_help = "Example:\n  hosewright device show")]
    Show,
    /// Every device that wrote here
    #[command(after_help = "Example:\n  hosewright device list")]
    List,
    /// Set up a fleet: from here on only devices that its owner admits are believed
    #[command(after_help = "Example:\n  hosewright device found\n\n\
        Prints the owner's key as 24 words. Write them on paper: anyone who has them is the owner.")]
    Found,
    /// Join a fleet
    #[command(after_help = "Example:\n  hosewright device join 3b6a…\n\n\
        The fleet's number is what `device show` prints on its owner's device.")]
    Join(Join),
    /// Let a device write, as the fleet's owner
    #[command(
        after_help = "Example:\n  hosewright device admit 5f2e19 --role bench --name \"boat phone\""
    )]
    Admit(Admit),
    /// Dismiss a device, as the fleet's owner; what it wrote so far stays
    #[command(after_help = "Example:\n  hosewright device dismiss 5f2e19")]
    Dismiss(Dismiss),
    /// List the entries of a device that are not believed
    #[command(after_help = "Example:\n  hosewright device entries 5f2e19")]
    Entries(OneDevice),
    /// Believe the entries that a device wrote before it had a key: list them first
    #[command(after_help = "Example:\n  hosewright device entries 5f2e19\n  \
        hosewright device admit-entries 5f2e19")]
    AdmitEntries(OneDevice),
    /// Put aside the entries of a device that are not believed
    #[command(after_help = "Example:\n  hosewright device entries 5f2e19\n  \
        hosewright device dismiss-entries 5f2e19 --why \"a visitor tried it out\"")]
    DismissEntries(WhyOfDevice),
    /// Declare a device's missing entries gone for good
    #[command(
        after_help = "Example:\n  hosewright device lost 5f2e19 --why \"the phone fell in the sea\""
    )]
    Lost(WhyOfDevice),
    /// Print the owner's key as words again
    #[command(after_help = "Example:\n  hosewright device words")]
    Words,
    /// Put the owner's key on this device under a pass phrase, or another: type it on standard
    /// input, today's first if there is one
    #[command(after_help = "Example:\n  hosewright device seal")]
    Seal,
    /// Replace the owner's key by a new one, after a theft or when someone leaves: all devices
    /// follow it as they hear of it
    #[command(
        after_help = "Example:\n  hosewright device replace-key --since 2026-06-12 < words.txt\n\n\
        Type the words of today's key on standard input. Prints the new key as 24 words. The old one admits nobody any more, wherever it is."
    )]
    ReplaceKey(ReplaceKey),
    /// Take another fleet in, with all that it wrote, as this fleet's owner: its record comes in first
    #[command(after_help = "Example:\n  hosewright merge theirs.hwbundle\n  \
        hosewright device take-in 3b6a…\n  \
        hosewright bundle --out ours.hwbundle\n\n\
        Its owner merges that file and says: hosewright device follow")]
    TakeIn(Join),
    /// Let this fleet follow another that took it in, as its owner: from then on they are one
    #[command(after_help = "Example:\n  hosewright merge ours.hwbundle\n  \
        hosewright device follow 5c0e…")]
    Follow(Join),
    /// Bring the owner's key to this device: type its words on standard input
    #[command(after_help = "Example:\n  hosewright device recover < words.txt")]
    Recover,
}

/// Joins a fleet.
#[derive(Args)]
struct Join {
    /// The fleet's whole number
    fleet: DeviceId,
}

/// Admits a device.
#[derive(Args)]
struct Admit {
    /// The device's number, or its beginning if it is known here
    device: String,
    /// What it may write: read, bench or owner
    #[arg(long, default_value = "bench", value_parser = values::word(Role::ALL, Role::word), hide_possible_values = true)]
    role: Role,
    /// What people call it
    #[arg(long, value_parser = values::name)]
    name: Option<Label>,
    /// Apply this to what it wrote so far, too
    #[arg(long)]
    from_the_start: bool,
}

/// A device.
#[derive(Args)]
struct OneDevice {
    /// The device's number, or its beginning
    device: String,
}

/// A device and a reason.
#[derive(Args)]
struct WhyOfDevice {
    #[command(flatten)]
    of: OneDevice,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
}

/// Dismisses a device.
#[derive(Args)]
struct Dismiss {
    /// The device's number, or its beginning
    device: String,
    /// Believe nothing of what it wrote so far either
    #[arg(long)]
    from_the_start: bool,
}

impl Device {
    /// Shows or changes who writes here.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        match self.command {
            DeviceCommand::Show => show(desk),
            DeviceCommand::List => list(desk),
            DeviceCommand::Found => found(desk),
            DeviceCommand::Join(join) => joined(desk, &join.fleet),
            DeviceCommand::Admit(admit) => {
                enrol(desk, &admit.device, (admit.role, admit.name), admit.from_the_start)
            }
            DeviceCommand::Dismiss(dismiss) => {
                let role = (Role::Dismissed, None);
                enrol(desk, &dismiss.device, role, dismiss.from_the_start)
            }
            DeviceCommand::Entries(of) => entries(desk, &of.device),
            DeviceCommand::AdmitEntries(of) => {
                let mut logbook = desk.open()?;
                let device = logbook.find_device(&of.device)?;
                let count = logbook.admit_unsigned(&device, &desk.moment)?;
                counted(desk, "admitted", count)
            }
            DeviceCommand::DismissEntries(WhyOfDevice { of, why }) => {
                let mut logbook = desk.open()?;
                let device = logbook.find_device(&of.device)?;
                let count = logbook.dismiss_entries(&device, &why, &desk.moment)?;
                counted(desk, "dismissed", count)
            }
            DeviceCommand::Lost(WhyOfDevice { of, why }) => {
                let mut logbook = desk.open()?;
                let device = logbook.find_device(&of.device)?;
                let count = logbook.declare_lost(&device, why, &desk.moment)?;
                counted(desk, "declared lost", usize::try_from(count).unwrap_or(usize::MAX))
            }
            DeviceCommand::Words => words(desk),
            DeviceCommand::Recover => recover(desk),
            DeviceCommand::Seal => seal(desk),
            DeviceCommand::ReplaceKey(of) => replaced(&of, desk),
            DeviceCommand::TakeIn(Join { fleet }) => {
                let taken = desk.open()?.take_fleet_in(&fleet, &desk.moment)?;
                fleets(desk, &fleet, meeting::taken_in(taken, &fleet))
            }
            DeviceCommand::Follow(Join { fleet }) => {
                desk.open()?.follow_fleet(&fleet, &desk.moment)?;
                fleets(desk, &fleet, meeting::follows(&fleet))
            }
        }
    }
}

/// What the entries of a device say that are not believed.
fn entries(desk: &mut Desk, device: &str) -> Outcome {
    let logbook = desk.open()?;
    let device = logbook.find_device(device)?;
    let lines = logbook.disbelieved_lines(&device)?;
    if desk.json {
        let lines: Vec<_> = lines.iter().map(crate::show::line_as_json).collect();
        desk.json(&lines)?;
        return Ok(Status::Done);
    }
    let head = [Whole("Entry"), Whole("On"), Text("By", 6), Text("What", 16)];
    let mut rows = table::new(Screen::of_stdout(), head);
    for line in &lines {
        let (entry, on) = (format!("{:.16}", line.id), line.entry.on.to_string());
        rows.add_row([entry, on, line.entry.by.to_string(), line.words.clone()]);
    }
    desk.out.text(rows.drawn())?;
    Ok(Status::Done)
}

fn counted(desk: &mut Desk, what: &str, count: usize) -> Outcome {
    if desk.json {
        desk.json(&json!({ "entries": count }))?;
    } else {
        desk.out.line(format!("{count} entries {what}"))?;
    }
    Ok(Status::Done)
}

fn show(desk: &mut Desk) -> Outcome {
    // A record that has none yet takes an identity, to be told to others.
    let own = desk.open_or_begin()?.own_device()?;
    if desk.json {
        desk.json(&own)?;
        return Ok(Status::Done);
    }
    for line in own.words() {
        desk.out.line(line)?;
    }
    Ok(Status::Done)
}

fn list(desk: &mut Desk) -> Outcome {
    let logbook = desk.open_to_read()?;
    let fleet = logbook.owner()?;
    let devices = logbook.devices()?;
    if desk.json {
        desk.json(&devices)?;
        return Ok(Status::Done);
    }
    let mut rows = table::new(
        Screen::of_stdout(),
        [Text("Device", 14), Whole("Entries"), Whole("Newest"), Text("Role", 12), Text("Note", 20)],
    );
    for device in &devices {
        let role = if fleet.is_some() { meeting::role(device.role) } else { "believed" };
        rows.add_row([
            meeting::named(&device.device, device.name.as_ref()),
            device.entries.to_string(),
            device.newest_on.map(|on| on.to_string()).unwrap_or_default(),
            role.to_owned(),
            device.note(),
        ]);
    }
    desk.out.text(rows.drawn())?;
    if let Some(sharing) = logbook.sharing(&desk.moment)? {
        desk.out.line("")?;
        for line in sharing.devices.iter().map(|other| &other.words).chain(&sharing.words) {
            desk.out.line(line)?;
        }
    }
    Ok(Status::Done)
}

fn found(desk: &mut Desk) -> Outcome {
    let mut logbook = desk.open()?;
    let words = logbook.found_fleet(&desk.moment)?;
    key_shown(desk, &mut logbook, &words, meeting::ADMIT_THE_OTHERS)
}

fn joined(desk: &mut Desk, fleet: &DeviceId) -> Outcome {
    let mut logbook = desk.open()?;
    logbook.join_fleet(fleet, &desk.moment)?;
    let own = logbook.own_device()?;
    if desk.json {
        desk.json(&own)?;
    } else {
        for line in meeting::joined(fleet, &own.device) {
            desk.out.line(line)?;
        }
    }
    Ok(Status::Done)
}

fn enrol(
    desk: &mut Desk,
    typed: &str,
    word: (Role, Option<Label>),
    from_the_start: bool,
) -> Outcome {
    let mut logbook = desk.open()?;
    let device = logbook.find_device(typed)?;
    let role = word.0;
    logbook.enrol(device, word, from_the_start, &desk.moment)?;
    if desk.json {
        desk.json(&json!({ "device": device, "role": role }))?;
    } else {
        desk.out.line(meeting::enrolled(&device, role))?;
    }
    Ok(Status::Done)
}

fn words(desk: &mut Desk) -> Outcome {
    let words = desk.open_to_read()?.owner_words()?;
    if desk.json {
        desk.json(&json!({ "words": words.as_str() }))?;
    } else {
        desk.out.line(words.as_str())?;
    }
    Ok(Status::Done)
}

fn seal(desk: &mut Desk) -> Outcome {
    let mut logbook = desk.open()?;
    // Today's pass phrase is asked for before the new one.
    logbook.check_owner_key()?;
    let typed = ask::new_owner_pass()?;
    logbook.seal_owner(&typed)?;
    if desk.json {
        desk.json(&json!({ "sealed": true }))?;
    } else {
        desk.out.line(meeting::SEALED_NOW)?;
    }
    Ok(Status::Done)
}

fn replaced(of: &ReplaceKey, desk: &mut Desk) -> Outcome {
    let typed = typed_words()?;
    let mut logbook = desk.open()?;
    let Replaced { words, left_out } = logbook.replace_owner(&typed, of.since, &desk.moment)?;
    key_shown(desk, &mut logbook, &words, meeting::REPLACED_NOW)?;
    if !desk.json {
        for line in of.since.iter().flat_map(|since| meeting::not_granted(&left_out, *since)) {
            desk.out.line(line)?;
        }
    }
    Ok(Status::Done)
}

/// Shows the words of a new owner's key, and what to do then.
fn key_shown(desk: &mut Desk, logbook: &mut Logbook, words: &str, then: &str) -> Outcome {
    let own = logbook.own_device()?;
    if desk.json {
        desk.json(&json!({ "fleet": own.fleet, "words": words }))?;
        return Ok(Status::Done);
    }
    if let Some(fleet) = own.fleet {
        desk.out.line(format!("Fleet {fleet}"))?;
    }
    for line in [meeting::KEEP_THE_WORDS, words, then] {
        desk.out.line(line)?;
    }
    Ok(Status::Done)
}

fn fleets(desk: &mut Desk, fleet: &DeviceId, said: String) -> Outcome {
    if desk.json {
        desk.json(&json!({ "fleet": fleet }))?;
    } else {
        desk.out.line(said)?;
    }
    Ok(Status::Done)
}

fn recover(desk: &mut Desk) -> Outcome {
    let typed = typed_words()?;
    let fleet = desk.open()?.recover_owner(&typed, &desk.moment)?;
    if desk.json {
        desk.json(&json!({ "fleet": fleet }))?;
    } else {
        desk.out.line(meeting::recovered(&fleet))?;
    }
    Ok(Status::Done)
}

/// The words of a key, from standard input.
fn typed_words() -> Result<String, Failure> {
    let mut typed = String::new();
    // 24 words are a few hundred bytes.
    let read = std::io::stdin().take(4096).read_to_string(&mut typed);
    read.map_err(Failure::io("the words".as_ref()))?;
    Ok(typed)
}

//! Doubt and correction: `hold`, `release`, `place` and `withdraw`.

use clap::Args;
use hosewright_core::Logbook;
use hosewright_core::hose::{Label, Prose};
use serde_json::json;

use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show;
use crate::values::{self, On};

/// A hose or a set.
#[derive(Args)]
#[group(required = true, multiple = false)]
pub(super) struct HoseOrSet {
    /// The code on the hose's tag, or its first characters
    #[arg(value_name = "CODE")]
    pub(super) code: Option<String>,
    /// The set, with every hose in it
    #[arg(long, value_name = "NAME", value_parser = values::set_name)]
    pub(super) set: Option<Label>,
}

/// On hold by hand.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright hold 7K2M9 --why \"breathed wet, to be looked at\"\n  \
    hosewright hold --set R3 --why \"diver lost buoyancy\" --incident\n\n\
    Doubt means hold. After an incident nothing is done to the hoses, and the owner alone\n\
    releases them."
)]
pub struct Hold {
    #[command(flatten)]
    which: HoseOrSet,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
    /// After an accident, or the suspicion of one
    #[arg(long)]
    incident: bool,
}

impl Hold {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let HoseOrSet { code, set } = self.which;
        if let Some(set) = set {
            logbook.hold_set(&set, self.why, self.incident, &desk.moment)?;
            return set_shown(desk, &logbook, &set);
        }
        let hose = logbook.find_typed(&code.unwrap_or_default())?.hose;
        logbook.hold(hose, self.why, self.incident, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}

/// The end of a hold or a quarantine.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright release 7K2M9 --why \"second stage serviced\"\n  \
    hosewright release --set R3 --why \"O-ring changed and tested\"")]
pub struct Release {
    #[command(flatten)]
    which: HoseOrSet,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
}

impl Release {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let HoseOrSet { code, set } = self.which;
        if let Some(set) = set {
            logbook.release_set(&set, &self.why, &desk.moment)?;
            return set_shown(desk, &logbook, &set);
        }
        let hose = logbook.find_typed(&code.unwrap_or_default())?.hose;
        logbook.release(hose, &self.why, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}

pub(super) fn set_shown(desk: &mut Desk, logbook: &Logbook, set: &Label) -> Outcome {
    show::sets::one(desk, logbook, set)?;
    Ok(Status::Done)
}

/// Where a hose is, as someone saw who looked.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright place 7K2M9 --confirm\n\n\
    Two devices may have put a hose in different places while apart, or two hoses in one port.\n\
    Look where it is; if the record shows the right place, confirm it, else fit or remove it.")]
pub struct Place {
    #[command(flatten)]
    which: Which,
    /// It is where the record shows it
    #[arg(long, required = true)]
    confirm: bool,
    #[command(flatten)]
    when: On,
}

impl Place {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        if self.confirm {
            logbook.confirm_place(hose, self.when.on, &desk.moment)?;
        }
        show::brief::after(desk, &logbook, hose)
    }
}

/// Entries that should not have been written.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright history 7K2M9 --json\n  \
    hosewright withdraw 5f2e19a0c4d87b31 --why \"wrong hose scanned\"\n\n\
    Nothing is erased: the history shows both. Entries written together are withdrawn together.\n\
    A withdrawal can be withdrawn.")]
pub struct Withdraw {
    /// The entry, as `history CODE --json` names it: 16 digits at least
    #[arg(value_name = "ENTRY", required = true)]
    entries: Vec<String>,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
    /// Only these entries, not those written together with them
    #[arg(long)]
    alone: bool,
}

impl Withdraw {
    /// Takes them back.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let entries: Result<Vec<_>, Failure> =
            self.entries.iter().map(|typed| Ok(logbook.find_entry(typed)?)).collect();
        let taken = logbook.withdraw(&entries?, self.alone, &self.why, &desk.moment)?;
        if desk.json {
            desk.json(&json!({ "withdrawn": taken }))?;
            return Ok(Status::Done);
        }
        for entry in taken {
            desk.out.line(format!("withdrawn: {entry:.16}"))?;
        }
        Ok(Status::Done)
    }
}

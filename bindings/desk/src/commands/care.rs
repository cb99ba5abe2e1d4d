//! What is done to a hose: `reseal`, `clean`, `retire`.

use clap::Args;
use hosewright_core::fit::seal::SEAL_CAUTIONS;
use hosewright_core::hose::{End, Grease, Label, Prose};
use hosewright_core::{LogbookError, words};

use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::show;
use crate::values::{self, On};

/// New O-rings at one end, or a new coupling.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright reseal 7K2M9 --end a --seal 003\n  \
    hosewright reseal 7K2M9 --coupling\n\n\
    A fitted hose then needs a leak test: inspect CODE --kind leak-test --passed")]
pub struct Reseal {
    #[command(flatten)]
    which: Which,
    /// The end: a at the first stage, b the far one
    #[arg(long, required_unless_present = "coupling", value_parser = values::word(End::ALL, End::word), hide_possible_values = true)]
    end: Option<End>,
    /// The O-ring's size, as its dash number
    #[arg(long, value_name = "DASH", value_parser = values::seal)]
    seal: Option<Label>,
    /// The grease on them, which is asked for if the hose is cleaned for oxygen:
    /// oxygen or other. Other grease ends that it is
    #[arg(long)]
    grease: Option<Grease>,
    /// A new valve core or coupling of an inflator hose
    #[arg(long, conflicts_with_all = ["end", "seal", "grease"])]
    coupling: bool,
    #[command(flatten)]
    when: On,
}

impl Reseal {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        match self.end {
            Some(end) => {
                let done = (end, self.seal, self.grease);
                logbook.reseal_with(hose, done, self.when.on, &desk.moment)?
            }
            None => logbook.recouple(hose, self.when.on, &desk.moment)?,
        };
        show::brief::after_work(desk, &logbook, hose, &[], SEAL_CAUTIONS)
    }
}

/// Dives outside a rental.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright dived 7K2M9 --dives 2\n  \
    hosewright dived --set Heron --dives 2 --on 2026-06-14\n\n\
    Dives of a rental are counted when it comes back: rental in.")]
pub struct Dived {
    /// The code on the hose's tag, or its first characters
    #[arg(value_name = "CODE", required_unless_present = "set")]
    code: Option<String>,
    /// Every hose that is in this set
    #[arg(long, value_name = "NAME", value_parser = values::set_name, conflicts_with = "code")]
    set: Option<Label>,
    /// How many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32))]
    dives: u32,
    #[command(flatten)]
    when: On,
}

impl Dived {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        if let Some(code) = self.code {
            let hose = logbook.find_typed(&code)?.hose;
            logbook.dived(&[hose], self.dives, self.when.on, &desk.moment)?;
            return show::brief::after_work(desk, &logbook, hose, &[], &[]);
        }
        let set = self.set.ok_or(LogbookError::Nothing("name a hose or a set"))?;
        let hoses = logbook.set_dived(&set, self.dives, self.when.on, &desk.moment)?;
        if desk.json {
            desk.json(&logbook.set_view(&set, &desk.moment)?)?;
        } else {
            let name = logbook.set(&set)?.name;
            desk.out.line(words::care::set_dived(&name, self.dives, hoses))?;
        }
        Ok(Status::Done)
    }
}

/// Soaked, cleaned and dried.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright clean 7K2M9\n\n\
    Cleaning ends findings of salt, dirty seals and light verdigris.")]
pub struct Clean {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    when: On,
}

impl Clean {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        logbook.clean(hose, self.when.on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}

/// Out of service for good.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright retire 7K2M9ABCDEFGH --why \"sleeve turns\" --yes\n\n\
    It takes the whole code. A hose that is in a port is taken off first."
)]
pub struct Retire {
    #[command(flatten)]
    which: Which,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Prose,
    #[command(flatten)]
    when: On,
}

impl Retire {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.whole(&logbook)?;
        logbook.retire(hose, self.why, self.when.on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}

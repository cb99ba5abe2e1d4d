//! Customers' hoses and sets: `home` and `come-in`.

use clap::Args;
use hosewright_core::hose::Label;

use super::doubt::{HoseOrSet, set_shown};
use crate::desk::{Desk, Outcome};
use crate::show;
use crate::values::{self, On};

/// Home with its customer.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright home 7K2M9\n  hosewright home --set \"T-12\"\n\n\
    A customer's hose or set, in for service under a ticket (register --ticket, set new --ticket).\n\
    Reasons against it remain. Take it in again with: come-in CODE --ticket T-15")]
pub struct Home {
    #[command(flatten)]
    which: HoseOrSet,
    #[command(flatten)]
    when: On,
}

impl Home {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let HoseOrSet { code, set } = self.which;
        if let Some(set) = set {
            logbook.send_set_home(&set, self.when.on, &desk.moment)?;
            return set_shown(desk, &logbook, &set);
        }
        let hose = logbook.find_typed(&code.unwrap_or_default())?.hose;
        logbook.send_home(hose, self.when.on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}

/// In again.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright come-in 7K2M9 --ticket T-15\n  \
    hosewright come-in --set \"Blue\" --ticket T-15")]
pub struct ComeIn {
    #[command(flatten)]
    which: HoseOrSet,
    /// The new ticket: a number, never a name
    #[arg(long, value_parser = values::ticket)]
    ticket: Label,
    #[command(flatten)]
    when: On,
}

impl ComeIn {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let HoseOrSet { code, set } = self.which;
        if let Some(set) = set {
            logbook.set_comes_in(&set, self.ticket, self.when.on, &desk.moment)?;
            return set_shown(desk, &logbook, &set);
        }
        let hose = logbook.find_typed(&code.unwrap_or_default())?.hose;
        logbook.come_in(hose, self.ticket, self.when.on, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}

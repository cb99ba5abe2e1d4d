//! A part of a long list.

use clap::Args;
use hosewright_core::Page;

use crate::desk::Desk;
use crate::failure::Failure;

/// How many rows a table has unless someone says otherwise.
const ROWS: u64 = 50;

/// Which part of a list is shown.
#[derive(Args)]
pub struct Part {
    /// At most this many rows
    #[arg(long, value_name = "ROWS")]
    limit: Option<u64>,
    /// Skip this many rows first
    #[arg(long, value_name = "ROWS", default_value_t = 0, hide_default_value = true)]
    from: u64,
}

impl Part {
    /// The part; `whole` lists are not cut unless someone says so.
    pub fn page(&self, whole: bool) -> Page {
        let usual = if whole { Page::ALL.most } else { ROWS };
        Page { from: self.from, most: self.limit.unwrap_or(usual).min(Page::ALL.most) }
    }

    /// Says under a table that there are more rows, and how to see them.
    pub fn rest(&self, desk: &mut Desk, shown: usize, total: u64) -> Result<(), Failure> {
        let to = self.from + u64::try_from(shown).unwrap_or(0);
        if to >= total && self.from == 0 {
            return Ok(());
        }
        let rows = match shown {
            0 => format!("No row after the first {} of {total}.", self.from),
            _ => format!("Rows {} to {to} of {total}.", self.from + 1),
        };
        let more = if to < total && shown > 0 {
            format!(" For the next: --from {to}")
        } else {
            String::new()
        };
        Ok(desk.out.text(format!("\n{rows}{more}"))?)
    }
}

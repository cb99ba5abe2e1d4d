//! Which hose a command is about.

use clap::Args;
use hosewright_core::Logbook;
use hosewright_core::tag::Code;

use crate::failure::Failure;

/// A code as it is typed, or a tag's text as a hand-held reader types it.
#[derive(Args)]
pub struct Which {
    /// The code on the hose's tag, or its first characters
    #[arg(value_name = "CODE")]
    code: String,
}

impl Which {
    /// The hose that it names.
    pub fn hose(&self, logbook: &Logbook) -> Result<Code, Failure> {
        Ok(logbook.find_typed(&self.code)?.hose)
    }

    /// The hose that it names by its whole code, or by its tag's text.
    pub fn whole(&self, logbook: &Logbook) -> Result<Code, Failure> {
        Ok(logbook.find_whole(&self.code)?.hose)
    }
}

//! Lists for spreadsheets.

use clap::Args;
use hosewright_page::csv;

use crate::desk::Desk;
use crate::failure::Failure;

/// Whether a list is for a spreadsheet.
#[derive(Args)]
pub struct Csv {
    /// Print the list as CSV, for spreadsheets
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
}

/// The same of however many columns.
pub fn rows(
    desk: &mut Desk,
    head: &[&str],
    each: impl IntoIterator<Item = Vec<String>>,
) -> Result<(), Failure> {
    let written = csv::rows(&mut desk.out, head, each.into_iter());
    written.map_err(|e| Failure::refused(format!("the list cannot be written: {e}")))
}

/// Writes a head and rows; no cell of them is taken for a formula.
pub fn write<const N: usize>(
    desk: &mut Desk,
    head: [&str; N],
    each: impl IntoIterator<Item = [String; N]>,
) -> Result<(), Failure> {
    let written = csv::rows(&mut desk.out, &head, each.into_iter().map(Vec::from));
    written.map_err(|e| Failure::refused(format!("the list can't be written: {e}")))
}

//! Lists for spreadsheets.

use std::io::Write;

use clap::Args;
use hosewright_core::spreadsheet::guarded;

use crate::desk::Desk;
use crate::failure::Failure;

/// Whether a list is for a spreadsheet.
#[derive(Args)]
pub struct Csv {
    /// Print the list as CSV, for spreadsheets
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
}

/// Writes a head and rows; no cell of them is taken for a formula.
pub fn write<const N: usize>(
    desk: &mut Desk,
    head: [&str; N],
    each: impl IntoIterator<Item = [String; N]>,
) -> Result<(), Failure> {
    rows(&mut desk.out, &head, each.into_iter().map(Vec::from))
}

/// The same anywhere, with as many columns as the head has.
pub fn rows(
    out: &mut dyn Write,
    head: &[&str],
    rows: impl Iterator<Item = Vec<String>>,
) -> Result<(), Failure> {
    let mut sheet = csv::Writer::from_writer(out);
    let refused = |e: csv::Error| Failure::refused(format!("the list cannot be written: {e}"));
    sheet.write_record(head).map_err(refused)?;
    for row in rows {
        sheet.write_record(row.into_iter().map(guarded)).map_err(refused)?;
    }
    Ok(sheet.flush()?)
}

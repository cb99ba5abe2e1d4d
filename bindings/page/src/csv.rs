//! Lists for spreadsheets.

use std::io::Write;

use hosewright_core::spreadsheet::guarded;

/// Writes a head and rows; no cell of them is taken for a formula.
///
/// # Errors
/// What could not be written.
pub fn rows(
    out: impl Write,
    head: &[&str],
    rows: impl Iterator<Item = Vec<String>>,
) -> Result<(), ::csv::Error> {
    let mut sheet = ::csv::Writer::from_writer(out);
    sheet.write_record(head)?;
    for row in rows {
        sheet.write_record(row.into_iter().map(guarded))?;
    }
    Ok(sheet.flush()?)
}

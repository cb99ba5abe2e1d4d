//! Lists for spreadsheets.

use std::io::Write;

use hosewright_core::spreadsheet::guarded;
use hosewright_core::tag::{Base, TagLabel};

use crate::labels as l;

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

/// Writes the list that goes with printed tags: in their order, what each is for, and
/// what its symbol says, for an engraver.
///
/// # Errors
/// What could not be written.
pub fn pick_list(
    out: impl Write,
    tags: &[TagLabel],
    base: Option<&Base>,
) -> Result<(), ::csv::Error> {
    let head = [l::PICK_ORDER, l::CODE, l::PLAN_NUMBER, l::HOSE, l::WHERE, l::PICK_TEXT];
    let each = tags.iter().zip(1..).map(|(tag, at): (&TagLabel, u32)| {
        let said = |words: &Option<String>| words.clone().unwrap_or_default();
        let text = base.map_or_else(|| tag.text.text(), |base| tag.text.text_with_base(base));
        let code = tag.text.code().to_string();
        vec![at.to_string(), code, said(&tag.number), said(&tag.what), said(&tag.place), text]
    });
    rows(out, &head, each)
}

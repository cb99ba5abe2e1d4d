//! From a file's bytes to its rows of cells.

use encoding_rs::{Encoding, WINDOWS_1252};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::error::SheetError;
use super::guard::unguarded;

/// What is between cells, the commonest first.
pub(super) const SEPARATORS: [char; 4] = [',', ';', '\t', '|'];

/// A row of cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Record {
    /// The line on which it begins, from 1.
    pub(super) line: usize,
    /// The line on which it ends.
    pub(super) last_line: usize,
    pub(super) cells: Vec<String>,
}

impl Record {
    pub(super) fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// The text of a file, with one line feed at the end of each line.
///
/// Bytes that are not UTF-8 are read as Windows-1252, which gives every byte a
/// meaning: it is what older spreadsheet programs write.
pub(super) fn decode(bytes: &[u8]) -> Result<String, SheetError> {
    // The first bytes of zip files and of compound files, which workbooks are.
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xD0\xCF\x11\xE0") {
        return Err(SheetError::Workbook);
    }
    let text = match (Encoding::for_bom(bytes), std::str::from_utf8(bytes)) {
        (Some((encoding, _)), _) => encoding.decode(bytes).0,
        (None, Ok(text)) => text.into(),
        (None, Err(_)) => WINDOWS_1252.decode_without_bom_handling(bytes).0,
    };
    if text.contains('\0') {
        return Err(SheetError::NotText);
    }
    if text.trim().is_empty() {
        return Err(SheetError::Empty);
    }
    Ok(text.replace("\r\n", "\n").replace('\r', "\n"))
}

/// The rows of a text, those without any cell left out.
pub(super) fn records(text: &str, separator: char) -> impl Iterator<Item = Record> {
    let delimiter = u8::try_from(separator).unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let (mut line, mut from) = (1, 0);
    std::iter::from_fn(move || {
        let mut cells = csv::StringRecord::new();
        reader.read_record(&mut cells).ok().filter(|more| *more)?;
        // The reader skips empty lines before a row, so the row's own line is
        // counted here.
        let to = usize::try_from(reader.position().byte()).unwrap_or(text.len());
        let raw = text.get(from..to).unwrap_or_default();
        let lines = |part: &str| part.matches('\n').count();
        let own = raw.trim_start_matches('\n');
        let first = line + lines(raw) - lines(own);
        let last_line = first + lines(own.trim_end_matches('\n'));
        (line, from) = (line + lines(raw), to);
        let cells = cells.iter().map(|cell| unguarded(cell).to_owned()).collect();
        Some(Record { line: first, last_line, cells })
    })
}

/// Lower case without accents, and single spaces where anything but letters and digits
/// stands.
pub(super) fn fold(text: &str) -> String {
    let plain: String = text.nfkd().filter(|c| !is_combining_mark(*c)).collect();
    let lower = plain.to_lowercase().replace('ß', "ss");
    let letters = lower.replace(|c: char| !c.is_alphanumeric(), " ");
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

//! Text and files from outside: shown as they are, taken for what they are, at a cost
//! that their size says.

mod files;
mod fuzzing;
mod spreadsheet_formulas;
mod text;

//! Why a file is no list of hoses.

use thiserror::Error;

/// Why a file cannot be read as a list of hoses at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SheetError {
    /// There is nothing in it.
    #[error("the file is empty; save the list again")]
    Empty,
    /// A workbook as a spreadsheet program keeps it.
    #[error(
        "this is a workbook, not CSV, whatever its name says; save the sheet with the hoses as CSV"
    )]
    Workbook,
    /// Not text of any kind that is read.
    #[error("this is not a text file; save the sheet with the hoses as CSV")]
    NotText,
    /// No line names the columns that a hose cannot do without.
    #[error(
        "no line names the columns; a list of hoses needs one line of heads with at least a \
         service (as Service or Type) and a length (as Length or Length (cm)). {}", seen(.heads)
    )]
    NoHeads {
        /// What the likeliest line says, cell by cell.
        heads: Vec<String>,
        /// What it says that is not understood and can be matched by hand.
        to_match: Vec<String>,
    },
    /// A column was matched by hand that is not there.
    #[error("no column has the heading “{0}”; write it as the list has it")]
    NoSuchHead(String),
}

fn seen(heads: &[String]) -> String {
    if heads.is_empty() {
        return "The file has none that is known".to_owned();
    }
    format!("The likeliest line says {}", heads.join(" | "))
}

//! Why a tag cannot be drawn, and the limits that say so.

use thiserror::Error;

use super::size::{PrinterDpi, SizeError, TagSize};

/// The fewest printer dots a module may take.
pub const LEAST_DOTS: u32 = 4;
/// The smallest module, in millimetres.
pub const LEAST_MODULE_MM: f64 = 0.25;
/// The smallest module that reads in comfort, in millimetres.
pub const EASY_MODULE_MM: f64 = 0.4;

/// Why a tag cannot be drawn as asked.
#[derive(Debug, Error)]
pub enum DrawError {
    /// The size, the printer or the level is none.
    #[error(transparent)]
    Size(#[from] SizeError),
    /// The modules would be too small to read.
    #[error(
        "at {size} and {dpi} dots an inch a module would be {dots} printer dots, {module_mm:.2} mm, \
         and would not read: it needs {LEAST_DOTS} dots and {LEAST_MODULE_MM} mm; print it at \
         least {needed} wide, or choose a lower level or a finer printer"
    )]
    TooSmall {
        /// The size asked for.
        size: TagSize,
        /// The printer's resolution.
        dpi: PrinterDpi,
        /// The whole dots that a module would get.
        dots: u32,
        /// The module's size in millimetres.
        module_mm: f64,
        /// The smallest size that would do.
        needed: TagSize,
    },
    /// More text than any symbol holds, or characters that no tag has.
    #[error("“{text}” cannot be drawn: {why}")]
    NotDrawable {
        /// The text, shortened if very long.
        text: String,
        /// Why not.
        why: String,
    },
    /// The grid does not fit the paper.
    #[error("{asked}: {room}; choose a smaller tag, or fewer of them")]
    NoRoom {
        /// What was asked for.
        asked: String,
        /// What there is room for.
        room: String,
    },
    /// The grid is none.
    #[error("“{typed}” is not a grid; write columns x rows such as 4x7, each 1 to 50")]
    BadGrid {
        /// What was asked for.
        typed: String,
    },
    /// The paper is not known.
    #[error("“{typed}” is not a paper; understood are A4 and Letter")]
    BadPaper {
        /// What was asked for.
        typed: String,
    },
    /// No sheet of labels is known by these dimensions.
    #[error("“{typed}” is not a sheet of labels that is known; known are {known}, in mm")]
    BadLabels {
        /// What was asked for.
        typed: String,
        /// Those that are known.
        known: String,
    },
    /// No label of a roll has these dimensions.
    #[error(
        "“{typed}” is not the label of a roll; write its width x its height, such as 57x32mm, each \
         10 mm to 200 mm"
    )]
    BadRoll {
        /// What was asked for.
        typed: String,
    },
    /// No hose has this diameter.
    #[error("a hose is 4 mm to 40 mm thick; {typed} is not")]
    BadDiameter {
        /// What was asked for.
        typed: String,
    },
    /// There is no tag to draw.
    #[error("there is no tag to draw; name at least one code")]
    NoTags,
    /// The file could not be written.
    #[error("the drawing could not be written: {0}")]
    Write(#[from] std::io::Error),
}

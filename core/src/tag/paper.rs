//! Papers, grids on them, and hoses to wrap.

use std::fmt;
use std::str::FromStr;

use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::code::shown;
use super::draw::{DrawError, SizeError};
use crate::measure::parse_length;

/// The border that office printers leave white, in mm.
pub(super) const MARGIN: f64 = 10.0;
/// What the last line of a page takes, in mm.
pub(super) const FOOT: f64 = 9.0;

/// A paper.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 in × 11 in.
    Letter,
}

impl Paper {
    /// Width and height in mm.
    pub(super) const fn mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    /// The part that is printed on, in mm.
    pub(super) fn room(self) -> (f64, f64) {
        let (width, height) = self.mm();
        (width - 2.0 * MARGIN, height - 2.0 * MARGIN - FOOT)
    }
}

impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        })
    }
}

impl FromStr for Paper {
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        match typed.trim().to_lowercase().as_str() {
            "a4" => Ok(Self::A4),
            "letter" | "us-letter" => Ok(Self::Letter),
            _ => Err(DrawError::BadPaper { typed: shown(typed) }),
        }
    }
}

/// Columns and rows on a page, each 1 to 50.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Grid {
    pub(super) columns: u32,
    pub(super) rows: u32,
}

impl Grid {
    /// A grid.
    ///
    /// # Errors
    /// [`DrawError::BadGrid`] if either is not 1 to 50.
    pub fn new(columns: u32, rows: u32) -> Result<Self, DrawError> {
        let good = (1..=50).contains(&columns) && (1..=50).contains(&rows);
        let bad = || DrawError::BadGrid { typed: format!("{columns}x{rows}") };
        good.then_some(Self { columns, rows }).ok_or_else(bad)
    }

    /// How many tags are on a page.
    #[must_use]
    pub const fn count(self) -> u32 {
        self.columns * self.rows
    }
}

impl fmt::Display for Grid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.columns, self.rows)
    }
}

impl FromStr for Grid {
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        let folded = typed.to_lowercase();
        let parts = folded.split_once(['x', '×', '*']);
        let numbers =
            parts.and_then(|(c, r)| Some((c.trim().parse().ok()?, r.trim().parse().ok()?)));
        let grid = numbers.and_then(|(columns, rows)| Self::new(columns, rows).ok());
        grid.ok_or_else(|| DrawError::BadGrid { typed: shown(typed) })
    }
}

/// How thick a hose is: 4 mm to 40 mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct HoseDiameter(Length);

impl HoseDiameter {
    /// A diameter.
    ///
    /// # Errors
    /// [`DrawError::BadDiameter`] outside of 4 mm to 40 mm.
    pub fn new(diameter: Length) -> Result<Self, DrawError> {
        let mm = diameter.get::<millimeter>();
        let bad = || DrawError::BadDiameter { typed: format!("{mm} mm") };
        (4.0..=40.0).contains(&mm).then_some(Self(diameter)).ok_or_else(bad)
    }

    /// The diameter.
    #[must_use]
    pub const fn diameter(self) -> Length {
        self.0
    }

    pub(super) fn mm(self) -> f64 {
        self.0.get::<millimeter>()
    }
}

impl FromStr for HoseDiameter {
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        Self::new(parse_length(typed).map_err(SizeError::from)?)
            .map_err(|_| DrawError::BadDiameter { typed: typed.trim().to_owned() })
    }
}

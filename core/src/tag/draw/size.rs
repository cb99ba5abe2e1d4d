//! What is chosen before a tag is drawn: its size, the printer, the level.

use std::fmt;
use std::str::FromStr;

use qrcode::EcLevel;
use thiserror::Error;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use super::super::code::shown;
use crate::measure::{MeasureError, parse_length};

/// Why a size, a printer's resolution or a level is none.
#[derive(Debug, Error)]
pub enum SizeError {
    /// The size is no length, or none of a tag.
    #[error("a tag can be 5 mm to 200 mm wide; {typed} is not")]
    BadSize {
        /// What was asked for.
        typed: String,
    },
    /// The size is not a length at all.
    #[error(transparent)]
    NotALength(#[from] MeasureError),
    /// No printer has this resolution.
    #[error("a printer has 72 to 2400 dots an inch; “{typed}” is not such a number")]
    BadDpi {
        /// What was asked for.
        typed: String,
    },
    /// There is no such level.
    #[error("“{typed}” is not an error correction level; understood are L, M, Q and H")]
    BadLevel {
        /// What was asked for.
        typed: String,
    },
}

/// How wide a tag is printed, quiet zone included: 5 mm to 200 mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TagSize(Length);

impl TagSize {
    /// A size.
    ///
    /// # Errors
    /// [`SizeError::BadSize`] outside of 5 mm to 200 mm.
    pub fn new(width: Length) -> Result<Self, SizeError> {
        let mm = width.get::<millimeter>();
        let good = (5.0..=200.0).contains(&mm);
        good.then_some(Self(width)).ok_or_else(|| SizeError::BadSize { typed: format!("{mm} mm") })
    }

    /// The width.
    #[must_use]
    pub const fn width(self) -> Length {
        self.0
    }

    pub(in crate::tag) fn mm(self) -> f64 {
        self.0.get::<millimeter>()
    }
}

impl Default for TagSize {
    /// 20 mm.
    fn default() -> Self {
        Self(Length::new::<millimeter>(20.0))
    }
}

impl fmt::Display for TagSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", (self.mm() * 10.0).round() / 10.0)
    }
}

impl FromStr for TagSize {
    type Err = SizeError;

    fn from_str(typed: &str) -> Result<Self, SizeError> {
        Self::new(parse_length(typed)?)
            .map_err(|_| SizeError::BadSize { typed: typed.trim().to_owned() })
    }
}

/// A printer's resolution: 72 to 2400 dots an inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PrinterDpi(u16);

impl PrinterDpi {
    /// A resolution.
    ///
    /// # Errors
    /// [`SizeError::BadDpi`] outside of 72 to 2400.
    pub fn new(dpi: u16) -> Result<Self, SizeError> {
        let good = (72..=2400).contains(&dpi);
        good.then_some(Self(dpi)).ok_or_else(|| SizeError::BadDpi { typed: dpi.to_string() })
    }

    /// Dots an inch.
    #[must_use]
    pub const fn get(self) -> u16 {
        self.0
    }

    /// How large one dot is.
    #[must_use]
    pub fn dot(self) -> Length {
        Length::new::<inch>(1.0 / f64::from(self.0))
    }
}

impl Default for PrinterDpi {
    /// 300, as most label and office printers have.
    fn default() -> Self {
        Self(300)
    }
}

impl fmt::Display for PrinterDpi {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for PrinterDpi {
    type Err = SizeError;

    fn from_str(typed: &str) -> Result<Self, SizeError> {
        let folded = typed.trim().to_lowercase();
        let number = folded.strip_suffix("dpi").unwrap_or(&folded).trim_end().parse().ok();
        let bad = || SizeError::BadDpi { typed: shown(typed) };
        number.and_then(|n| Self::new(n).ok()).ok_or_else(bad)
    }
}

/// How much of a symbol may be lost and it still reads: about 7, 15, 25 and
/// 30 % of its code words (ISO/IEC 18004).
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// About 7 %.
    L,
    /// About 15 %.
    M,
    /// About 25 %: what a tag on a hose needs.
    #[default]
    Q,
    /// About 30 %.
    H,
}

impl Level {
    /// All four, weakest first.
    pub const ALL: [Self; 4] = [Self::L, Self::M, Self::Q, Self::H];

    pub(super) const fn ec(self) -> EcLevel {
        match self {
            Self::L => EcLevel::L,
            Self::M => EcLevel::M,
            Self::Q => EcLevel::Q,
            Self::H => EcLevel::H,
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self, f)
    }
}

impl FromStr for Level {
    type Err = SizeError;

    fn from_str(typed: &str) -> Result<Self, SizeError> {
        let folded = typed.trim().to_uppercase();
        let found = Self::ALL.into_iter().find(|level| level.to_string() == folded);
        found.ok_or_else(|| SizeError::BadLevel { typed: shown(typed) })
    }
}

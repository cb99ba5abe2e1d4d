//! What is chosen before a tag is drawn: its size, the printer, the level.

use std::fmt;
use std::str::FromStr;

use qrcode::EcLevel;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use super::code::shown;
use super::draw::DrawError;
use crate::measure::parse_length;

/// How wide a tag is printed, quiet zone included: 5 mm to 200 mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TagSize(Length);

impl TagSize {
    /// A size.
    ///
    /// # Errors
    /// [`DrawError::BadSize`] outside of 5 mm to 200 mm.
    pub fn new(width: Length) -> Result<Self, DrawError> {
        let mm = width.get::<millimeter>();
        let good = (5.0..=200.0).contains(&mm);
        good.then_some(Self(width)).ok_or_else(|| DrawError::BadSize { typed: format!("{mm} mm") })
    }

    /// The width.
    #[must_use]
    pub const fn width(self) -> Length {
        self.0
    }

    pub(super) fn mm(self) -> f64 {
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
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        Self::new(parse_length(typed)?)
            .map_err(|_| DrawError::BadSize { typed: typed.trim().to_owned() })
    }
}

/// A printer's resolution: 72 to 2400 dots an inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PrinterDpi(u16);

impl PrinterDpi {
    /// A resolution.
    ///
    /// # Errors
    /// [`DrawError::BadDpi`] outside of 72 to 2400.
    pub fn new(dpi: u16) -> Result<Self, DrawError> {
        let good = (72..=2400).contains(&dpi);
        good.then_some(Self(dpi)).ok_or_else(|| DrawError::BadDpi { typed: dpi.to_string() })
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
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        let folded = typed.trim().to_lowercase();
        let number = folded.strip_suffix("dpi").unwrap_or(&folded).trim_end().parse().ok();
        let bad = || DrawError::BadDpi { typed: shown(typed) };
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
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        let folded = typed.trim().to_uppercase();
        let found = Self::ALL.into_iter().find(|level| level.to_string() == folded);
        found.ok_or_else(|| DrawError::BadLevel { typed: shown(typed) })
    }
}

//! Choosing how to print a tag: as many whole printer dots a module as its size allows.
//!
//! Nothing is drawn that would not read: under 4 printer dots a module the
//! edges blur into each other (the advice of QR's originator), and under
//! 0.25 mm a module a phone held as close as it can focus no longer tells one
//! module from the next (common practice, no source; 0.4 mm is comfortable).

use std::fmt::{self, Write};

use qrcode::bits::Bits;
use qrcode::types::QrError;
use qrcode::{QrCode, Version};
use uom::si::f64::Length;
use uom::si::length::{centimeter, millimeter};

use super::super::code::{Code, shown};
use super::super::payload::{Base, TagText};
use super::error::{DrawError, EASY_MODULE_MM, LEAST_DOTS, LEAST_MODULE_MM};
use super::size::{Level, PrinterDpi, TagSize};

/// The light border that a symbol needs on each side, in modules (ISO/IEC 18004).
pub const QUIET_ZONE: u32 = 4;
/// A QR symbol: a square of dark and light modules without its quiet zone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    modules: u32,
    version: u32,
    dark: Vec<bool>,
}

/// A text as one alphanumeric segment, if it is one and has a letter. Left to
/// itself the library changes the mode for a run of digits, which now and then
/// costs more than it saves and makes a tag a version larger than its likes.
fn alphanumeric(text: &str, level: Level) -> Option<QrCode> {
    let plain = |b: u8| b.is_ascii_digit() || b.is_ascii_uppercase() || b" $%*+-./:".contains(&b);
    if !text.bytes().all(plain) || text.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    (1..=40).find_map(|version| {
        let mut bits = Bits::new(Version::Normal(version));
        bits.push_alphanumeric_data(text.as_bytes()).ok()?;
        bits.push_terminator(level.ec()).ok()?;
        QrCode::with_bits(bits, level.ec()).ok()
    })
}

impl Symbol {
    /// The smallest symbol for a text at a level.
    ///
    /// # Errors
    /// [`DrawError::NotDrawable`] if the text is too long for any.
    pub fn of(text: &str, level: Level) -> Result<Self, DrawError> {
        let code = match alphanumeric(text, level) {
            Some(code) => code,
            None => QrCode::with_error_correction_level(text, level.ec()).map_err(|why| {
                DrawError::NotDrawable { text: shown(text), why: why.to_string() }
            })?,
        };
        Ok(Self::from_code(code))
    }

    fn from_code(code: QrCode) -> Self {
        let version = match code.version() {
            Version::Normal(version) | Version::Micro(version) => version,
        };
        let version = u32::try_from(version).unwrap_or(1);
        let dark = code.into_colors().into_iter().map(|c| c == qrcode::Color::Dark).collect();
        Self { modules: 17 + 4 * version, version, dark }
    }

    /// The smallest symbol for bytes at a level, up to a version.
    ///
    /// # Errors
    /// [`DrawError::NotDrawable`] if they are too many for it.
    pub fn of_bytes(bytes: &[u8], most: u32, level: Level) -> Result<Self, DrawError> {
        let fits = |version: &u32| {
            Self::bytes_held(*version, level).is_some_and(|held| held >= bytes.len())
        };
        let version = (1..=most).find(fits).and_then(|version| i16::try_from(version).ok());
        let drawn = version.ok_or(QrError::DataTooLong).and_then(|version| {
            let mut bits = Bits::new(Version::Normal(version));
            bits.push_byte_data(bytes)?;
            bits.push_terminator(level.ec())?;
            QrCode::with_bits(bits, level.ec())
        });
        drawn.map(Self::from_code).map_err(|why| DrawError::NotDrawable {
            text: format!("{} bytes", bytes.len()),
            why: why.to_string(),
        })
    }

    /// How many bytes a version holds at a level; nothing if there is no such version.
    #[must_use]
    pub fn bytes_held(version: u32, level: Level) -> Option<usize> {
        let version = i16::try_from(version).ok().filter(|version| (1..=40).contains(version))?;
        let bits = Bits::new(Version::Normal(version)).max_len(level.ec()).ok()?;
        // The mode and the count of the bytes (ISO/IEC 18004, tables 2 and 3).
        let before = if version < 10 { 4 + 8 } else { 4 + 16 };
        Some(bits.saturating_sub(before) / 8)
    }

    /// The modules on a side, without the quiet zone: 17 + 4 · version.
    #[must_use]
    pub const fn modules(&self) -> u32 {
        self.modules
    }

    /// The version, 1 to 40.
    #[must_use]
    pub const fn version(&self) -> u32 {
        self.version
    }

    /// The modules on a side with the quiet zone.
    #[must_use]
    pub const fn side(&self) -> u32 {
        self.modules + 2 * QUIET_ZONE
    }

    /// Whether a module is dark; all outside is light.
    #[must_use]
    pub fn is_dark(&self, column: u32, row: u32) -> bool {
        let inside = column < self.modules && row < self.modules;
        let at = usize::try_from(row * self.modules + column).ok().filter(|_| inside);
        at.and_then(|at| self.dark.get(at)).copied().unwrap_or(false)
    }

    /// The dark modules within the quiet zone, as the path of an SVG drawing of [`Self::side`]
    /// units.
    #[must_use]
    pub fn path(&self) -> String {
        let mut path = String::new();
        for (column, row, length) in self.runs() {
            let (x, y) = (column + QUIET_ZONE, row + QUIET_ZONE);
            // Writing to a string cannot fail.
            let _ = write!(path, "M{x} {y}h{length}v1h-{length}z");
        }
        path
    }

    /// The dark modules as rows of (column, row, width), which a drawing fills
    /// at one go so that no seam shows between neighbours.
    #[must_use]
    pub fn runs(&self) -> Vec<(u32, u32, u32)> {
        let mut runs = Vec::new();
        for row in 0..self.modules {
            let mut column = 0;
            while column < self.modules {
                let width = (column..self.modules).take_while(|c| self.is_dark(*c, row)).count();
                let width = u32::try_from(width).unwrap_or(0);
                if width > 0 {
                    runs.push((column, row, width));
                }
                column += width + 1;
            }
        }
        runs
    }
}

/// A tag that will read: its symbol and how large each module is printed.
#[derive(Debug, Clone)]
pub struct Plan {
    code: Code,
    symbol: Symbol,
    dpi: PrinterDpi,
    dots: u32,
}

/// Chooses how to print a tag: as many whole printer dots a module as the
/// size allows.
///
/// # Errors
/// [`DrawError::TooSmall`] if the result would not read.
pub fn plan(
    size: TagSize,
    dpi: PrinterDpi,
    level: Level,
    tag: impl Into<TagText>,
) -> Result<Plan, DrawError> {
    plan_with_base(size, dpi, level, tag, None)
}

/// [`plan`] for a text behind a base.
///
/// # Errors
/// As [`plan`].
pub fn plan_with_base(
    size: TagSize,
    dpi: PrinterDpi,
    level: Level,
    tag: impl Into<TagText>,
    base: Option<&Base>,
) -> Result<Plan, DrawError> {
    let tag = tag.into();
    let text = base.map_or_else(|| tag.text(), |base| tag.text_with_base(base));
    let symbol = Symbol::of(&text, level)?;
    let dot = dpi.dot().get::<millimeter>();
    // A hair more than asked, so that an exact multiple is not lost to rounding.
    let dots = whole((size.mm() + 1e-6) / dot / f64::from(symbol.side()));
    let module_mm = f64::from(dots) * dot;
    if dots < LEAST_DOTS || module_mm < LEAST_MODULE_MM {
        let least = LEAST_DOTS.max(whole((LEAST_MODULE_MM / dot).ceil()));
        let needed = f64::from(least * symbol.side()) * dot;
        let needed = TagSize::new(Length::new::<millimeter>((needed * 10.0).ceil() / 10.0))?;
        return Err(DrawError::TooSmall { size, dpi, dots, module_mm, needed });
    }
    Ok(Plan { code: tag.code(), symbol, dpi, dots })
}

/// A person's badge: 40 mm wide, which is held up to a camera and not tied to a hose.
///
/// # Errors
/// None for a code; [`DrawError`] as [`plan`] has it.
pub fn badge(code: Code) -> Result<Plan, DrawError> {
    let size = TagSize::new(Length::new::<millimeter>(40.0))?;
    plan(size, PrinterDpi::default(), Level::Q, TagText::Badge(code))
}

/// The whole part of a small positive number.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
pub(in crate::tag) fn whole(value: f64) -> u32 {
    value.clamp(0.0, 1e6) as u32
}

impl Plan {
    /// The code printed in words under the symbol.
    #[must_use]
    pub const fn code(&self) -> Code {
        self.code
    }

    /// The symbol.
    #[must_use]
    pub const fn symbol(&self) -> &Symbol {
        &self.symbol
    }

    /// The printer's resolution.
    #[must_use]
    pub const fn dpi(&self) -> PrinterDpi {
        self.dpi
    }

    /// Whole printer dots a module.
    #[must_use]
    pub const fn dots(&self) -> u32 {
        self.dots
    }

    /// How large a module is printed.
    #[must_use]
    pub fn module(&self) -> Length {
        self.dpi.dot() * f64::from(self.dots)
    }

    /// How wide the tag is printed, quiet zone included: the size asked for, or
    /// a little less.
    #[must_use]
    pub fn width(&self) -> Length {
        self.module() * f64::from(self.symbol.side())
    }

    /// How far away it still reads: ten times the width of the symbol without
    /// its quiet zone. Common practice, not in the standard.
    #[must_use]
    pub fn reading_distance(&self) -> Length {
        self.module() * f64::from(self.symbol.modules()) * 10.0
    }

    /// Whether it reads in comfort, at 0.4 mm a module or more (common practice).
    #[must_use]
    pub fn reads_easily(&self) -> bool {
        self.module().get::<millimeter>() >= EASY_MODULE_MM
    }
}

impl fmt::Display for Plan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (modules, dots, dpi) = (self.symbol.modules(), self.dots, self.dpi);
        write!(
            f,
            "{:.1} mm wide; {modules} × {modules} modules of {:.2} mm, {dots} printer dots each at \
             {dpi} dots an inch; reads from up to about {:.0} cm (ten times its width, common \
             practice)",
            self.width().get::<millimeter>(),
            self.module().get::<millimeter>(),
            self.reading_distance().get::<centimeter>(),
        )?;
        if self.reads_easily() {
            return Ok(());
        }
        f.write_str("; its modules are small: print it larger if phones find it hard to read")
    }
}

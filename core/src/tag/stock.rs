//! Labels as they are bought: sheets by their dimensions, and those of a roll.

use std::fmt;
use std::str::FromStr;

use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::code::shown;
use super::draw::DrawError;
use super::paper::{Grid, Paper};
use crate::measure::parse_length;

/// A sheet of labels that are cut already.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelSheet {
    /// The paper.
    pub paper: Paper,
    /// How it is chosen, as `70x37`.
    pub name: &'static str,
    pub(super) columns: u32,
    pub(super) rows: u32,
    /// Width and height of a label, in mm.
    pub(super) label: (f64, f64),
    /// Between the columns, in mm; the rows touch.
    pub(super) between: f64,
}

const fn labels(
    name: &'static str,
    paper: Paper,
    (columns, rows): (u32, u32),
    label: (f64, f64),
    between: f64,
) -> LabelSheet {
    LabelSheet { paper, name, columns, rows, label, between }
}

/// Sheets as they are sold in many places, each in the middle of its paper (common
/// practice, no source).
pub const LABEL_SHEETS: &[LabelSheet] = &[
    labels("70x37", Paper::A4, (3, 8), (70.0, 37.0), 0.0),
    labels("70x36", Paper::A4, (3, 8), (70.0, 36.0), 0.0),
    labels("63.5x38.1", Paper::A4, (3, 7), (63.5, 38.1), 2.5),
    labels("52.5x29.7", Paper::A4, (4, 10), (52.5, 29.7), 0.0),
    labels("48.5x25.4", Paper::A4, (4, 10), (48.5, 25.4), 0.0),
    labels("38.1x21.2", Paper::A4, (5, 13), (38.1, 21.2), 2.5),
    labels("66.7x25.4", Paper::Letter, (3, 10), (66.675, 25.4), 3.175),
    labels("101.6x50.8", Paper::Letter, (2, 5), (101.6, 50.8), 4.7625),
];

impl LabelSheet {
    pub(super) fn grid(self) -> Grid {
        Grid { columns: self.columns, rows: self.rows }
    }

    /// From one label to the next, across and down, in mm.
    pub(super) fn step(self) -> (f64, f64) {
        (self.label.0 + self.between, self.label.1)
    }

    /// What is left at the left and above, in mm.
    pub(super) fn border(self) -> (f64, f64) {
        let (width, height) = self.paper.mm();
        let columns = f64::from(self.columns);
        let across = columns * self.label.0 + (columns - 1.0) * self.between;
        ((width - across) / 2.0, (height - f64::from(self.rows) * self.label.1) / 2.0)
    }
}

impl fmt::Display for LabelSheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { columns, rows, paper, .. } = self;
        let (width, height) = self.name.split_once('x').unwrap_or((self.name, ""));
        write!(f, "{width} × {height} mm, {columns} × {rows} on {paper}")
    }
}

impl FromStr for LabelSheet {
    type Err = DrawError;

    fn from_str(typed: &str) -> Result<Self, DrawError> {
        let folded = typed.to_lowercase().replace('×', "x").replace("mm", "").replace(' ', "");
        let found = LABEL_SHEETS.iter().find(|sheet| sheet.name == folded);
        let known = || LABEL_SHEETS.iter().map(|sheet| sheet.name).collect::<Vec<_>>().join(", ");
        found.copied().ok_or_else(|| DrawError::BadLabels { typed: shown(typed), known: known() })
    }
}

/// The label of a roll: 10 mm to 200 mm wide and high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollLabel {
    width: Length,
    height: Length,
}

impl RollLabel {
    /// Width and height in mm.
    pub(super) fn mm(self) -> (f64, f64) {
        (self.width.get::<millimeter>(), self.height.get::<millimeter>())
    }
}

impl FromStr for RollLabel {
    type Err = DrawError;

    /// Reads `57x32mm` or `2.25in x 1.25in`; a unit behind the height is that of both.
    fn from_str(typed: &str) -> Result<Self, DrawError> {
        let bad = || DrawError::BadRoll { typed: shown(typed) };
        let folded = typed.to_lowercase().replace('×', "x");
        let (width, height) = folded.split_once('x').ok_or_else(bad)?;
        let height_typed = height.trim();
        let unit =
            height_typed.trim_start_matches(|c: char| c.is_ascii_digit() || ".,".contains(c));
        let width = match width.trim().ends_with(|c: char| c.is_ascii_digit()) {
            true => format!("{}{unit}", width.trim()),
            false => width.trim().to_owned(),
        };
        let read = |text: &str| parse_length(text).map_err(|_| bad());
        let label = Self { width: read(&width)?, height: read(height_typed)? };
        let (width, height) = label.mm();
        let good = [width, height].iter().all(|side| (10.0..=200.0).contains(side));
        good.then_some(label).ok_or_else(bad)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn label_sheets_lie_on_their_paper() {
        for sheet in LABEL_SHEETS {
            let (left, top) = sheet.border();
            assert!(left > -0.01 && top > -0.01, "{sheet}: {left} {top}");
            assert_eq!(sheet.name.parse::<LabelSheet>().ok(), Some(*sheet));
            let (columns, rows) = (f64::from(sheet.columns), f64::from(sheet.rows));
            let (width, height) = sheet.paper.mm();
            let across = 2.0 * left + (columns - 1.0) * sheet.step().0 + sheet.label.0;
            let down = 2.0 * top + rows * sheet.step().1;
            assert!((across - width).abs() < 1e-9 && (down - height).abs() < 1e-9, "{sheet}");
        }
        let first = LABEL_SHEETS.first().map(ToString::to_string);
        assert_eq!(first.as_deref(), Some("70 × 37 mm, 3 × 8 on A4"));
        assert_eq!("70 × 37 mm".parse::<LabelSheet>().ok().map(|s| s.name), Some("70x37"));
        assert!("70x38".parse::<LabelSheet>().is_err());
    }

    #[test]
    fn labels_of_a_roll_are_read_with_their_unit() {
        let mm = |typed: &str| typed.parse::<RollLabel>().ok().map(RollLabel::mm);
        assert_eq!(mm("57x32mm"), Some((57.0, 32.0)));
        assert_eq!(mm("62 mm × 29 mm"), Some((62.0, 29.0)));
        assert!(
            mm("2x1in").is_some_and(|(w, h)| (w - 50.8).abs() < 1e-9 && (h - 25.4).abs() < 1e-9)
        );
        for typed in ["", "57", "57x", "x32mm", "5x32mm", "57x320mm", "axb", "57x32"] {
            assert!(typed.parse::<RollLabel>().is_err(), "{typed}");
        }
    }
}

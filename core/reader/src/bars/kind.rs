//! Kinds of barcodes, and the ways to look at a line.

/// Kinds whose bars are read by their widths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Code128,
    Code93,
    Code39,
    Itf,
    Codabar,
}

/// How a line is looked at.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub struct Sense {
    /// Along rows, or along columns.
    pub way: usize,
    /// From its end.
    pub turned: bool,
    /// Light bars on dark.
    pub light: bool,
}

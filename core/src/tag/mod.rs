//! The tag on a hose: its code, what is written on it, how it is drawn, and how
//! it is read back from a picture.
//!
//! A tag carries a [`Code`], which names the record, and a few characters that
//! say what the hose is, so that a phone without a record is not left with
//! nothing. Everything here is a function of its arguments: the random bits of
//! a new code come in, pictures come in as bytes, and drawings go out as bytes.

mod beside;
mod check;
pub mod code;
pub mod draw;
mod glyphs;
pub mod ndef;
mod paper;
mod passport;
pub mod payload;
#[cfg(feature = "photo")]
pub mod photo;
pub mod read;
pub mod sheet;
mod stock;
pub mod strips;

pub use beside::TagLabel;
pub use check::{gf32_checks, mod_37_2};
pub use code::{Code, CodeError, Prefix};
pub use draw::{DrawError, Level, Plan, PrinterDpi, SizeError, Symbol, TagSize};
pub use payload::{Base, Passport, Payload, PayloadError, TagText, read_badge};
pub use read::{
    Found, Frame, FrameError, Glimpse, Obstacle, PictureError, Reader, hint, read_barcodes,
    read_frame, read_picture,
};
pub use sheet::{Grid, HoseDiameter, Paper, SheetOptions};
pub use stock::{LABEL_SHEETS, LabelSheet, RollLabel};

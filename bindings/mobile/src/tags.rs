//! The tag itself: its picture, and what is written on a chip and read there.

use hosewright_core::tag::draw::{pdf, plan, png, svg};
use hosewright_core::tag::ndef::{self, Held, Overwrite};
use hosewright_core::tag::{DrawError, Level, PrinterDpi, TagSize};
use hosewright_core::words::chip;

use crate::{Logbook, Moment, RefusedError, Words, phone};

/// What kind of picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum PictureFormat {
    /// Pixels, a printer's dot each.
    Png,
    /// Lines, of any size.
    Svg,
    /// A page of the tag's own size, which prints as wide as it says.
    Pdf,
}

impl PictureFormat {
    const fn ending(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Svg => "svg",
            Self::Pdf => "pdf",
        }
    }
}

/// A tag as a picture.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct TagPicture {
    /// The file's bytes.
    pub bytes: Vec<u8>,
    /// The code in it.
    pub code: String,
    /// What the file is called.
    pub file: String,
    /// How wide it prints and from how far it reads.
    pub words: Words,
}

/// What a chip holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum ChipHolds {
    /// Nothing.
    Nothing,
    /// One of our tags.
    Tag,
    /// Something else.
    Another,
    /// Nothing that can be understood.
    Unreadable,
}

/// What a chip's message says.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ChipContent {
    /// What it holds.
    pub holds: ChipHolds,
    /// The text of the tag, to be answered as if it had been scanned.
    pub text: Option<String>,
    /// What it holds, in words.
    pub words: Words,
    /// The last inspection that it carries, in words.
    pub look: Option<Words>,
}

/// A message for a chip.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ChipMessage {
    /// The NDEF message's bytes.
    pub bytes: Vec<u8>,
    /// What is said once it is written.
    pub words: Words,
}

#[uniffi::export]
impl Logbook {
    /// The tag of a hose as a picture for a printer: `size` as `20mm`, `dpi`
    /// the printer's dots an inch.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found or it would not read.
    pub fn tag_picture(
        &self,
        typed: String,
        format: PictureFormat,
        size: String,
        dpi: u16,
    ) -> Result<TagPicture, RefusedError> {
        let payload = {
            let core = self.core();
            core.payload(core.find_typed(&typed)?.hose)?
        };
        let size: TagSize = size.parse().map_err(DrawError::from)?;
        let dpi = PrinterDpi::new(dpi).map_err(DrawError::from)?;
        let plan = plan(size, dpi, Level::default(), payload)?;
        let bytes = match format {
            PictureFormat::Png => png(&plan)?,
            PictureFormat::Svg => svg(&plan).into_bytes(),
            PictureFormat::Pdf => pdf(&plan)?,
        };
        let code = payload.code.to_string();
        let file = format!("{code}.{}", format.ending());
        Ok(TagPicture { bytes, code, file, words: plan.to_string().into() })
    }

    /// What is to be written on a chip that has room for `room` bytes and holds
    /// the message `held` now (no bytes if it is empty). What is not this
    /// hose's is overwritten only if the person `agreed`.
    ///
    /// # Errors
    /// [`RefusedError::ChipHoldsAnother`] if nobody agreed;
    /// [`RefusedError::Chip`] if it has no room; others if no hose is
    /// found.
    pub fn chip_message(
        &self,
        typed: String,
        room: u32,
        held: Vec<u8>,
        agreed: bool,
        moment: Moment,
    ) -> Result<ChipMessage, RefusedError> {
        let what = {
            let core = self.core();
            core.chip(core.find_typed(&typed)?.hose, None, &moment.core()?)?
        };
        let overwrite = if agreed { Overwrite::Agreed } else { Overwrite::OwnOnly };
        let room = usize::try_from(room).unwrap_or(usize::MAX);
        let message = ndef::message_onto(&what, (room, &held), overwrite)?;
        let words = phone::chip_written(&message).to_owned();
        Ok(ChipMessage { bytes: message.bytes, words: words.into() })
    }
}

/// What a message that was read from a chip says; no bytes are an empty chip.
#[uniffi::export]
#[must_use]
pub fn chip_content(message: Vec<u8>) -> ChipContent {
    let held = ndef::read(&message);
    let words = phone::chip_holds(&held);
    let of = |holds| ChipContent { holds, text: None, words: words.as_str().into(), look: None };
    match held {
        Held::Nothing => of(ChipHolds::Nothing),
        Held::Another(_) => of(ChipHolds::Another),
        Held::Unreadable(_) => of(ChipHolds::Unreadable),
        Held::Ours(ours) => ChipContent {
            holds: ChipHolds::Tag,
            text: Some(ours.payload.text()),
            look: ours
                .look
                .map(|look| look.map_or_else(|why| why.to_string(), |look| chip::look(&look)))
                .map(Into::into),
            words: words.into(),
        },
    }
}

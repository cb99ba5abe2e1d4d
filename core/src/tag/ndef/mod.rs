//! A tag on an NFC chip: the same text as the printed one in an NDEF message,
//! and beside it the last inspection and the app that opens it.
//!
//! A message has up to three records, in this order:
//!
//! 1. a URI record (NFC Forum, RTD URI 1.0) with the text of the printed tag,
//!    `HW1:…`, or `https://NAME/HW1:…` behind a base;
//! 2. an external record (NFC Forum, RTD 1.0) of the type `hosewright:look`
//!    with the last inspection in CBOR; see [`LastLook`]. A type's name should
//!    begin with a domain of its issuer; this project has none, so its own name
//!    is there;
//! 3. an Android application record, `android.com:pkg`, with [`PACKAGE`].
//!
//! If the chip is too small the application goes first and the inspection
//! next. The tag's text is always there.
//!
//! A phone's own NDEF functions give and take messages: [`read`] and
//! [`message_onto`]. What reads a chip's pages has [`read_area`] and
//! [`area_for`], which know the blocks around the message. Neither overwrites
//! what is not the hose's own unless a person agreed; [`message_for`] makes a
//! message for a chip that is known to be free.

mod chip;
mod error;
mod held;
mod look;
mod record;
mod uri;

pub use chip::{Chip, Container};
pub use error::NdefError;
pub use held::{Held, Ours, Overwrite};
pub use look::{LastLook, LookError};
pub use record::{LOOK, PACKAGE};

use super::payload::{Base, Payload};
use record::{APPLICATION, Naming, Record};

/// What is to be written on a chip.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForChip {
    /// What the printed tag says.
    pub payload: Payload,
    /// The page that answers for it, if there is one.
    pub base: Option<Base>,
    /// The last inspection, if there was one.
    pub look: Option<LastLook>,
}

/// A message for a chip.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Whether the last inspection is in it.
    pub has_look: bool,
    /// Whether the app is in it.
    pub has_application: bool,
}

/// The message for a hose in a room of so many bytes: all of it, or without
/// the app, or without the inspection as well.
///
/// # Errors
/// [`NdefError::TooLong`] if not even the text of the tag fits.
pub fn message_for(what: &ForChip, room: usize) -> Result<Message, NdefError> {
    let look = what.look.as_ref().map(LastLook::to_cbor);
    let whole = message_of(what, look.as_deref(), true);
    let without_application = || message_of(what, look.as_deref(), false);
    let text_alone = || message_of(what, None, false);
    let fits = |message: &Message| message.bytes.len() <= room;
    let fitting = Some(whole)
        .filter(fits)
        .or_else(|| Some(without_application()).filter(fits))
        .unwrap_or_else(text_alone);
    let needed = fitting.bytes.len();
    if fits(&fitting) { Ok(fitting) } else { Err(NdefError::TooLong { needed, room }) }
}

fn message_of(what: &ForChip, look: Option<&[u8]>, has_application: bool) -> Message {
    let text = match &what.base {
        Some(base) => what.payload.text_with_base(base),
        None => what.payload.text(),
    };
    let external = |kind: &'static str, payload| Record {
        naming: Naming::External,
        kind: kind.as_bytes(),
        id: &[],
        payload,
    };
    let text = uri::payload(&text);
    let tag = Record { naming: Naming::WellKnown, kind: b"U", id: &[], payload: &text };
    let look = look.map(|look| external(LOOK, look));
    let application = has_application.then(|| external(APPLICATION, PACKAGE.as_bytes()));
    let records: Vec<Record<'_>> = [Some(tag), look, application].into_iter().flatten().collect();
    Message { bytes: record::message(&records), has_look: look.is_some(), has_application }
}

/// What a message holds, as a phone hands it over; no bytes are no message.
#[must_use]
pub fn read(message: &[u8]) -> Held {
    Held::of(message)
}

/// The message for a hose on a chip that holds another message now, in a room
/// of so many bytes.
///
/// # Errors
/// [`NdefError::TooLong`], and [`NdefError::HoldsAnother`] if nobody agreed
/// to lose what it holds.
pub fn message_onto(
    what: &ForChip,
    (room, held): (usize, &[u8]),
    overwrite: Overwrite,
) -> Result<Message, NdefError> {
    read(held).check_free_for(what.payload.code, overwrite)?;
    message_for(what, room)
}

/// What a chip's data area holds: `area` begins at the fifth page.
#[must_use]
pub fn read_area(container: Container, area: &[u8]) -> Held {
    match chip::blocks(container, area) {
        Ok(blocks) => Held::of_blocks(&blocks),
        Err(error) => Held::Unreadable(error),
    }
}

/// The data area for a hose on a chip that holds `area` now: whole pages from
/// the fifth on. The blocks before the message, which may control the chip,
/// stay as they are.
///
/// # Errors
/// [`NdefError::Locked`] or [`NdefError::Riddled`] if the chip is of no use,
/// [`NdefError::TooLong`], and [`NdefError::HoldsAnother`] if nobody agreed
/// to lose what it holds.
pub fn area_for(
    what: &ForChip,
    (container, area): (Container, &[u8]),
    overwrite: Overwrite,
) -> Result<Vec<u8>, NdefError> {
    if container.is_locked() {
        return Err(NdefError::Locked);
    }
    let blocks = chip::blocks(container, area);
    if let Err(NdefError::Riddled) = blocks {
        return Err(NdefError::Riddled);
    }
    read_area(container, area).check_free_for(what.payload.code, overwrite)?;
    let before = blocks.map_or(&[][..], |blocks| blocks.before);
    let room = chip::room(container.size().saturating_sub(before.len()));
    chip::area(container, before, &message_for(what, room)?.bytes)
}

#[cfg(test)]
#[path = "../ndef_tests.rs"]
mod tests;

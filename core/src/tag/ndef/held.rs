//! What a chip holds, so that nothing of anyone's is overwritten unasked.

use super::chip::Blocks;
use super::error::NdefError;
use super::look::{LastLook, LookError};
use super::record::{APPLICATION, LOOK, Naming, PACKAGE, Record, records};
use super::uri;
use crate::tag::code::{Code, shown};
use crate::tag::payload::{Payload, PayloadError};

/// Whether what a chip holds may be lost.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Overwrite {
    /// Only what is this hose's own.
    #[default]
    OwnOnly,
    /// Whatever it is: a person saw what it holds, and said yes.
    Agreed,
}

/// What a chip holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Held {
    /// Nothing: it is free.
    Nothing,
    /// One of our tags.
    Ours(Ours),
    /// Something else, in words.
    Another(String),
    /// Nothing that this program understands, and why.
    Unreadable(NdefError),
}

/// One of our tags as a chip holds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ours {
    /// What it says, as its printed tag does.
    pub payload: Payload,
    /// The last inspection, if it has one, or why that cannot be read.
    pub look: Option<Result<LastLook, LookError>>,
    /// What else is beside it that is not ours, in words.
    pub besides: Option<String>,
}

impl Held {
    /// What a message holds.
    pub(super) fn of(message: &[u8]) -> Self {
        if message.is_empty() {
            return Self::Nothing;
        }
        match records(message) {
            Ok(found) => Self::of_records(&found),
            Err(error) => Self::Unreadable(error),
        }
    }

    /// What a data area holds.
    pub(super) fn of_blocks(blocks: &Blocks<'_>) -> Self {
        let behind = "data behind the message".to_owned();
        match blocks.message.map_or(Self::Nothing, Self::of) {
            Self::Ours(ours) if blocks.goes_on => {
                let besides =
                    ours.besides.map_or(behind.clone(), |words| format!("{words} and {behind}"));
                Self::Ours(Ours { besides: Some(besides), ..ours })
            }
            Self::Nothing if blocks.goes_on => Self::Another(behind),
            held => held,
        }
    }

    fn of_records(found: &[Record<'_>]) -> Self {
        match found.iter().find_map(Record::payload_of_ours) {
            Some(Ok(payload)) => {
                let look = found.iter().find(|record| record.is_external(LOOK));
                let look = look.map(|record| LastLook::from_cbor(record.payload));
                let others: Vec<&Record<'_>> =
                    found.iter().filter(|record| !record.is_of(&payload)).collect();
                Self::Ours(Ours { payload, look, besides: in_words(&others) })
            }
            Some(Err(error)) => Self::Unreadable(NdefError::Payload(error)),
            None if found.iter().all(|record| record.naming == Naming::Empty) => Self::Nothing,
            None => {
                let all: Vec<&Record<'_>> = found.iter().collect();
                Self::Another(in_words(&all).unwrap_or_default())
            }
        }
    }

    /// Whether a chip that holds this may be written for a hose: a free one
    /// and the hose's own always, any other only after a yes.
    ///
    /// # Errors
    /// [`NdefError::HoldsAnother`] says what would be lost.
    pub fn check_free_for(&self, hose: Code, overwrite: Overwrite) -> Result<(), NdefError> {
        if overwrite == Overwrite::Agreed {
            return Ok(());
        }
        let what = match self {
            Self::Nothing => return Ok(()),
            Self::Ours(Ours { payload, besides: None, .. }) if payload.code == hose => {
                return Ok(());
            }
            Self::Ours(Ours { payload, besides: None, .. }) => format!("the tag {}", payload.code),
            Self::Ours(Ours { payload, besides: Some(besides), .. }) => {
                format!("the tag {} and {besides}", payload.code)
            }
            Self::Another(words) => words.clone(),
            Self::Unreadable(_) => "something that cannot be read".to_owned(),
        };
        Err(NdefError::HoldsAnother { what })
    }
}

impl Record<'_> {
    fn is_external(&self, kind: &str) -> bool {
        // Types of this kind are compared without regard to case (RTD, section 3.3).
        self.naming == Naming::External && self.kind.eq_ignore_ascii_case(kind.as_bytes())
    }

    fn uri(&self) -> Option<String> {
        (self.naming == Naming::WellKnown && self.kind == b"U").then(|| uri::text(self.payload))?
    }

    /// What a record with a tag's text says, or what is wrong with that; none
    /// where it is another's.
    fn payload_of_ours(&self) -> Option<Result<Payload, PayloadError>> {
        match Payload::parse(&self.uri()?) {
            Err(PayloadError::NotOurs { .. }) => None,
            ours => Some(ours),
        }
    }

    /// Whether this program writes it, or an empty one, for a hose's tag. The
    /// tag of another hose is not of it.
    fn is_of(&self, payload: &Payload) -> bool {
        let application = self.is_external(APPLICATION) && self.payload == PACKAGE.as_bytes();
        let tag = self.payload_of_ours().is_some_and(|own| own.as_ref() == Ok(payload));
        tag || application || self.is_external(LOOK) || self.naming == Naming::Empty
    }

    fn in_words(&self) -> String {
        if let Some(address) = self.uri() {
            return format!("the address “{}”", printable(&address));
        }
        let kind = printable(&String::from_utf8_lossy(self.kind));
        let size = match self.payload.len() {
            1 => "1 byte".to_owned(),
            count => format!("{count} bytes"),
        };
        match (self.naming, kind.as_str()) {
            (Naming::Empty, _) => "an empty record".to_owned(),
            (Naming::WellKnown, "T") => match text(self.payload) {
                Some(text) => format!("the text “{}”", printable(&text)),
                None => "a text".to_owned(),
            },
            (Naming::WellKnown, "Sp") => "a smart poster".to_owned(),
            (Naming::External, APPLICATION) => {
                format!("the name of an app, {}", printable(&String::from_utf8_lossy(self.payload)))
            }
            (Naming::Unknown, _) => format!("{size} of no said kind"),
            _ => format!("{size} of the kind “{kind}”"),
        }
    }
}

/// The text of a text record in UTF-8 (NFC Forum, RTD Text 1.0): a byte with
/// the length of the language's name, that name, the text.
fn text(payload: &[u8]) -> Option<String> {
    let (status, rest) = payload.split_first()?;
    let text = rest.get(usize::from(status & 0x3F)..)?;
    let utf_8 = status & 0x80 == 0;
    utf_8.then(|| std::str::from_utf8(text).ok().map(str::to_owned))?
}

/// The first record in words and how many more there are; none if there is
/// none.
fn in_words(records: &[&Record<'_>]) -> Option<String> {
    let (first, more) = records.split_first()?;
    let first = first.in_words();
    Some(match more.len() {
        0 => first,
        1 => format!("{first} and one more record"),
        more => format!("{first} and {more} more records"),
    })
}

/// Another's text as it may be quoted in a sentence.
fn printable(text: &str) -> String {
    shown(&text.replace(char::is_control, " "))
}

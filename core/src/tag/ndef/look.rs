//! The last inspection as a chip carries it: CBOR (RFC 8949) in its
//! deterministic encoding (section 4.2), a map from whole numbers.
//!
//! | key | value |
//! | --- | --- |
//! | 0 | the version, 1 |
//! | 1 | the day, tag 100: days since 1970-01-01 (RFC 8943) |
//! | 2 | the kind of inspection, its word |
//! | 3 | whether a leak test was passed; only of one |
//! | 4 | what is open, each `place:finding` or `place:finding:grade`; only if there is any |

use chrono::{Days, NaiveDate};
use minicbor::data::Tag;
use minicbor::decode::Error as Undecoded;
use minicbor::{Decoder, Encoder};
use thiserror::Error;

use crate::hose::Label;

/// RFC 8943: a number of days since 1 January 1970.
const DAYS: Tag = Tag::new(100);
const VERSION: u64 = 1;

/// The last inspection of a hose, and what was open against it when the chip
/// was written. No names and no notes: anyone can read a chip.
///
/// Words are kept as words, so that those of a later version are not lost;
/// they are the ones of the `inspection` room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastLook {
    /// The day of the inspection.
    pub on: NaiveDate,
    /// The word for how thorough it was.
    pub kind: Label,
    /// Whether it was passed; none if it was no leak test.
    pub passed: Option<bool>,
    /// What is open, as `run:cut:cover`.
    pub open: Vec<Label>,
}

/// Why a chip's inspection cannot be read. The hose is known anyway.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LookError {
    /// It was written by a later version of this program.
    #[error(
        "the chip's inspection is of version {0}, which is later than this program knows; update \
         Hosewright"
    )]
    LaterVersion(u64),
    /// It is not what this version writes.
    #[error(
        "the chip's inspection was read with mistakes; hold the phone closer and read it again"
    )]
    Damaged,
}

impl LastLook {
    /// Its bytes: the same inspection always gives the same.
    #[must_use]
    pub fn to_cbor(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        // Writing to memory cannot fail.
        let written = self.write(&mut Encoder::new(&mut bytes));
        debug_assert!(written.is_ok());
        bytes
    }

    fn write(&self, to: &mut Encoder<&mut Vec<u8>>) -> Result<(), CannotFail> {
        let optional = u64::from(self.passed.is_some()) + u64::from(!self.open.is_empty());
        to.map(3 + optional)?.u8(0)?.u64(VERSION)?;
        to.u8(1)?.tag(DAYS)?.i64((self.on - NaiveDate::default()).num_days())?;
        to.u8(2)?.str(self.kind.as_str())?;
        if let Some(passed) = self.passed {
            to.u8(3)?.bool(passed)?;
        }
        if !self.open.is_empty() {
            to.u8(4)?.array(u64::try_from(self.open.len()).unwrap_or(u64::MAX))?;
        }
        self.open.iter().try_for_each(|seen| to.str(seen.as_str()).map(drop))
    }

    /// Reads its bytes. Keys that this version does not know are passed over.
    ///
    /// # Errors
    /// [`LookError`] if it is of a later version, or damaged.
    pub fn from_cbor(bytes: &[u8]) -> Result<Self, LookError> {
        let mut fields = Fields::default();
        fields.read(&mut Decoder::new(bytes), bytes.len()).map_err(|_| LookError::Damaged)?;
        match fields.version {
            Some(later) if later > VERSION => return Err(LookError::LaterVersion(later)),
            Some(VERSION) => {}
            _ => return Err(LookError::Damaged),
        }
        fields.look().ok_or(LookError::Damaged)
    }
}

type CannotFail = minicbor::encode::Error<std::convert::Infallible>;

/// What was found in the map; none if it was not there or is of no use.
#[derive(Default)]
struct Fields {
    version: Option<u64>,
    on: Option<NaiveDate>,
    kind: Option<Label>,
    passed: Option<bool>,
    open: Vec<Label>,
}

impl Fields {
    fn read(&mut self, from: &mut Decoder<'_>, length: usize) -> Result<(), Undecoded> {
        let odd = || Undecoded::message("not a look");
        let mut last = None;
        for _ in 0..from.map()?.ok_or_else(odd)? {
            let key = from.u64()?;
            // Sorted keys, each once: what is deterministic is also unambiguous.
            if last.is_some_and(|last| key <= last) {
                return Err(odd());
            }
            last = Some(key);
            self.field(key, from)?;
        }
        if from.position() == length { Ok(()) } else { Err(odd()) }
    }

    fn field(&mut self, key: u64, from: &mut Decoder<'_>) -> Result<(), Undecoded> {
        // A later version may mean anything by the keys that follow.
        let known = self.version.is_none_or(|version| version == VERSION);
        match key {
            0 => self.version = Some(from.u64()?),
            1 if known => self.on = day(from)?,
            2 if known => self.kind = label(from)?,
            3 if known => self.passed = Some(from.bool()?),
            4 if known => self.open = labels(from)?,
            _ => from.skip()?,
        }
        Ok(())
    }

    fn look(self) -> Option<LastLook> {
        Some(LastLook { on: self.on?, kind: self.kind?, passed: self.passed, open: self.open })
    }
}

fn day(from: &mut Decoder<'_>) -> Result<Option<NaiveDate>, Undecoded> {
    if from.tag()? != DAYS {
        return Err(Undecoded::message("not a day"));
    }
    let (days, epoch) = (from.i64()?, NaiveDate::default());
    let count = Days::new(days.unsigned_abs());
    Ok(if days < 0 { epoch.checked_sub_days(count) } else { epoch.checked_add_days(count) })
}

fn label(from: &mut Decoder<'_>) -> Result<Option<Label>, Undecoded> {
    Ok(Label::new("a word", from.str()?).ok())
}

fn labels(from: &mut Decoder<'_>) -> Result<Vec<Label>, Undecoded> {
    let odd = || Undecoded::message("not findings");
    let count = from.array()?.ok_or_else(odd)?;
    (0..count).map(|_| label(from)?.ok_or_else(odd)).collect()
}

//! Why a chip cannot be read or written.

use thiserror::Error;

use super::super::payload::PayloadError;

/// Why a chip cannot be read or written.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NdefError {
    /// The chip's container is not one for NDEF.
    #[error("this chip is not prepared for NDEF; format it first, or use another")]
    NotNdef,
    /// The chip follows a later specification.
    #[error("this chip is of version {major}.{minor}, which is later than this program knows")]
    LaterChip {
        /// The major version.
        major: u8,
        /// The minor version.
        minor: u8,
    },
    /// The chip may not be read by everyone.
    #[error("this chip can only be read with a password; use another")]
    Protected,
    /// The chip may not be written.
    #[error("this chip is locked and can only be read; use another")]
    Locked,
    /// The blocks of the data area are not whole.
    #[error("what the chip holds breaks off; hold it closer and read it again")]
    NotBlocks,
    /// Bytes within the data area are not for data.
    #[error(
        "this chip keeps some bytes amid its data for itself, which this program does not follow; \
         use another"
    )]
    Riddled,
    /// The message is not one.
    #[error("what the chip holds is not a message of the NFC Forum's format: {0}")]
    NotAMessage(&'static str),
    /// A record is in pieces.
    #[error("what the chip holds is a record in pieces, which this program does not put together")]
    Chunked,
    /// It has one of our tags that cannot be read.
    #[error(transparent)]
    Payload(PayloadError),
    /// It does not fit.
    #[error("this takes {needed} bytes, and the chip has room for {room}; use a larger one")]
    TooLong {
        /// How many bytes it takes.
        needed: usize,
        /// How many there are.
        room: usize,
    },
    /// The chip holds something that is not this hose's.
    #[error("this chip holds {what}; it is overwritten only if you say so")]
    HoldsAnother {
        /// What it holds, in words.
        what: String,
    },
}

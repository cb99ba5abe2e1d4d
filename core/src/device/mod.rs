//! Who may write in a record: devices, their keys, and what a fleet's owner
//! says of them.

mod greeting;
mod invitation;
mod key;
mod keyring;
mod sealed;
mod succession;
mod warrant;
mod words;

pub use greeting::{Caller, CertificateDigest, Challenge, Greeting};
pub use invitation::{CounterAddress, Invitation, InvitationError, Secret};
pub use key::{DeviceKey, Signature};
pub use keyring::{FolderKeyring, Keyring, KeyringError};
pub use sealed::{SealError, sealed, unsealed};
pub use succession::Succession;
pub use warrant::{Proof, Role, Warrant};
pub use words::WordsError;

use std::fmt;

use serde::{Deserialize, Serialize};

/// A device. A device that signs is known by its public key, so that an entry
/// proves by itself who wrote it; records begun before devices had keys were
/// known by 128 random bits, and sign nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum DeviceId {
    /// Known by random bits; its entries are unsigned.
    Unsigned([u8; 16]),
    /// Known by its Ed25519 public key (RFC 8032); its entries are signed.
    Signed([u8; 32]),
}

impl DeviceId {
    /// Its bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        match self {
            Self::Unsigned(bytes) => bytes,
            Self::Signed(bytes) => bytes,
        }
    }

    /// The device of some bytes; nothing if their number is neither 16 nor 32.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let short = || bytes.try_into().ok().map(Self::Unsigned);
        bytes.try_into().ok().map(Self::Signed).or_else(short)
    }

    /// The beginning of its number, for people: enough to tell a few apart.
    #[must_use]
    pub fn short(&self) -> String {
        self.to_string().chars().take(12).collect()
    }

    /// Whether it signs what it writes.
    #[must_use]
    pub const fn signs(&self) -> bool {
        matches!(self, Self::Signed(_))
    }
}

impl fmt::Display for DeviceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&data_encoding::HEXLOWER.encode(self.bytes()))
    }
}

impl std::str::FromStr for DeviceId {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let bytes = data_encoding::HEXLOWER_PERMISSIVE.decode(text.trim().as_bytes()).ok();
        bytes
            .and_then(|bytes| Self::from_bytes(&bytes))
            .ok_or_else(|| "a device's number has 32 or 64 hexadecimal digits".to_owned())
    }
}

impl From<DeviceId> for String {
    fn from(device: DeviceId) -> Self {
        device.to_string()
    }
}

impl TryFrom<String> for DeviceId {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

#[cfg(test)]
mod tests;

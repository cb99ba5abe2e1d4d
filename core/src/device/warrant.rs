//! What a fleet's owner says of a device: a statement that the owner's key signs.

use serde::{Deserialize, Serialize};
use serde_json::json;

use super::{DeviceId, DeviceKey, Signature};
use crate::hose::{Label, words};

words!(
    /// What a device may write.
    Role, "role", {
        /// Nothing: it reads.
        Read = "read",
        /// Everything about hoses, sets and rentals.
        Bench = "bench",
        /// That, and limits and recalls.
        Owner = "owner",
        /// Nothing more: it was sent away.
        Dismissed = "dismissed",
    }
);

impl Role {
    /// Whether it lets a device write less than another role.
    #[must_use]
    pub fn is_less(self, other: Self) -> bool {
        const RISING: [Role; 4] = [Role::Dismissed, Role::Read, Role::Bench, Role::Owner];
        let rank = |role| RISING.iter().position(|known| *known == role);
        rank(self) < rank(other)
    }
}

/// The owner's word on a device: from which of its entries on it has which role.
/// Of several words on one device each governs the entries after its `after`,
/// and the newest word wins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Warrant {
    /// The fleet: its owner's public key.
    pub fleet: DeviceId,
    /// The device.
    pub device: DeviceId,
    /// What people call it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<Label>,
    /// What it may write from here on.
    pub role: Role,
    /// The newest entry of the device that this does not change.
    pub after: u64,
    /// When the owner said it: milliseconds UTC since 1970, later than any
    /// earlier word on the device.
    pub said: i64,
    /// The owner's signature over all of this but itself.
    pub proof: Proof,
}

/// A signature as text, in hexadecimal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Proof(Signature);

impl Warrant {
    /// The kind of entry that carries one.
    pub const KIND: &'static str = "enrolled";

    /// The owner's word, signed.
    #[must_use]
    pub fn sign(
        owner: &DeviceKey,
        (device, name): (DeviceId, Option<Label>),
        role: Role,
        after: u64,
        said: i64,
    ) -> Self {
        let proof = Proof(Signature([0; 64]));
        let mut warrant = Self { fleet: owner.id(), device, name, role, after, said, proof };
        warrant.proof = Proof(owner.sign(&warrant.bytes()));
        warrant
    }

    /// Whether the fleet's owner did say it.
    #[must_use]
    pub fn is_genuine(&self) -> bool {
        self.proof.0.proves(&self.fleet, &self.bytes())
    }

    /// What is signed: the statement as JSON with sorted keys and without its
    /// proof. No entry looks like it, so neither can stand for the other.
    fn bytes(&self) -> Vec<u8> {
        let Self { fleet, device, name, role, after, said, proof: _ } = self;
        let mut text = json!({
            "after": after, "device": device, "fleet": fleet, "name": name, "role": role,
            "said": said, "warrant": 1,
        });
        text.sort_all_objects();
        text.to_string().into_bytes()
    }
}

impl Proof {
    /// Signs some bytes.
    pub(super) fn of(key: &DeviceKey, bytes: &[u8]) -> Self {
        Self(key.sign(bytes))
    }

    /// Whether a device signed these bytes with it.
    pub(super) fn holds(&self, device: &DeviceId, bytes: &[u8]) -> bool {
        self.0.proves(device, bytes)
    }
}

impl From<Proof> for String {
    fn from(proof: Proof) -> Self {
        data_encoding::HEXLOWER.encode(&proof.0.0)
    }
}

impl TryFrom<String> for Proof {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let bytes = data_encoding::HEXLOWER_PERMISSIVE.decode(text.as_bytes()).ok();
        let bytes = bytes.and_then(|bytes| bytes.try_into().ok());
        bytes.map(|bytes| Self(Signature(bytes))).ok_or_else(|| "it is no signature".to_owned())
    }
}

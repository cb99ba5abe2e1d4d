//! Ed25519 keys and signatures (RFC 8032).

use std::fmt;

use ed25519_dalek::{Signer, SigningKey, VerifyingKey};
use rand_core::Rng;
use zeroize::Zeroizing;

use super::DeviceId;

/// A secret key: of a device, or of a fleet's owner. It is wiped from memory
/// when it is let go.
pub struct DeviceKey(SigningKey);

impl DeviceKey {
    /// Draws a new key.
    #[must_use]
    pub fn draw(random: &mut dyn Rng) -> Self {
        let mut secret = Zeroizing::new([0; 32]);
        random.fill_bytes(&mut *secret);
        Self::from_secret(&secret)
    }

    /// The key of 32 secret bytes.
    #[must_use]
    pub fn from_secret(secret: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(secret))
    }

    /// Its 32 secret bytes.
    #[must_use]
    pub fn secret(&self) -> Zeroizing<[u8; 32]> {
        Zeroizing::new(self.0.to_bytes())
    }

    /// The device that it makes.
    #[must_use]
    pub fn id(&self) -> DeviceId {
        DeviceId::Signed(self.0.verifying_key().to_bytes())
    }

    /// Signs some bytes.
    #[must_use]
    pub fn sign(&self, bytes: &[u8]) -> Signature {
        Signature(self.0.sign(bytes).to_bytes())
    }
}

impl fmt::Debug for DeviceKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "DeviceKey({})", self.id())
    }
}

/// An Ed25519 signature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Signature(pub [u8; 64]);

impl Signature {
    /// Whether a device signed these bytes with it. The strict check of the
    /// library: keys and signatures of small order, and signatures written in a
    /// second form, are refused, so that all devices judge alike.
    #[must_use]
    pub fn proves(&self, device: &DeviceId, bytes: &[u8]) -> bool {
        let DeviceId::Signed(key) = device else { return false };
        let signature = ed25519_dalek::Signature::from_bytes(&self.0);
        VerifyingKey::from_bytes(key).is_ok_and(|key| key.verify_strict(bytes, &signature).is_ok())
    }
}

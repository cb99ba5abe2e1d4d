//! An owner's key under a pass phrase, as it rests on a disk: XChaCha20-Poly1305
//! (draft-irtf-cfrg-xchacha-03, over RFC 8439) by a key that Argon2id (RFC 9106) makes of the pass
//! phrase. Whoever takes the disk has neither the key nor a quick way to try pass phrases.
//!
//! The file is text: a first line with its version, and JSON that says what it was made with.

use argon2::{Algorithm, Argon2, Params, Version};
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{XChaCha20Poly1305, XNonce};
use rand_core::Rng;
use serde::{Deserialize, Serialize};
use thiserror::Error;
use zeroize::Zeroizing;

use super::{DeviceId, DeviceKey};

const HEAD: &str = "Hosewright owner's key ";
const VERSION: &str = "1";
/// What a new one costs: 64 MiB and 3 passes, as the second recommendation of RFC 9106, section 4,
/// with one lane, since a browser's page has one.
const COST: (u32, u32) = (64 * 1024, 3);
/// The most that one may cost: 1 GiB and 16 passes. Who can write the file could else hold up
/// whoever opens it.
const MOST: (u32, u32) = (1024 * 1024, 16);
/// The characters of a pass phrase.
const LENGTH: std::ops::RangeInclusive<usize> = 12..=200;

/// Why a key can't be put under a pass phrase, or taken from under it.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SealError {
    /// It is too short, or too long.
    #[error("a pass phrase has {} to {} characters; four words do well", LENGTH.start(), LENGTH.end())]
    Length,
    /// It is another.
    #[error("that is not the pass phrase of the owner's key; nothing was changed")]
    Wrong,
    /// The file is not ours, or was changed.
    #[error("the owner's key on this device can't be read; bring it back from its words")]
    Unreadable,
    /// There is no memory for it.
    #[error("the pass phrase can't be worked on: {0}")]
    Work(String),
}

/// How one was sealed.
#[derive(Serialize, Deserialize)]
struct Sealed {
    /// Argon2id: KiB, passes and the salt.
    memory: u32,
    passes: u32,
    #[serde(with = "hex")]
    salt: Vec<u8>,
    /// XChaCha20-Poly1305: the nonce, and the secret with its tag; the public key is beside it.
    #[serde(with = "hex")]
    nonce: Vec<u8>,
    #[serde(with = "hex")]
    sealed: Vec<u8>,
}

impl Sealed {
    fn cipher(&self, pass_phrase: &str) -> Result<XChaCha20Poly1305, SealError> {
        let failed = |e: argon2::Error| SealError::Work(e.to_string());
        let cost = Params::new(self.memory, self.passes, 1, Some(32)).map_err(failed)?;
        let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, cost);
        let mut key = Zeroizing::new([0; 32]);
        argon2
            .hash_password_into(pass_phrase.trim().as_bytes(), &self.salt, &mut *key)
            .map_err(failed)?;
        Ok(XChaCha20Poly1305::new((&*key).into()))
    }
}

/// A key under a pass phrase, as the text of a file.
///
/// # Errors
/// [`SealError`] if the pass phrase is too short or too long, or there is no memory.
pub fn sealed(
    key: &DeviceKey,
    pass_phrase: &str,
    random: &mut dyn Rng,
) -> Result<String, SealError> {
    if !LENGTH.contains(&pass_phrase.trim().chars().count()) {
        return Err(SealError::Length);
    }
    let (mut salt, mut nonce) = (vec![0; 16], [0; 24]);
    random.fill_bytes(&mut salt);
    random.fill_bytes(&mut nonce);
    let (memory, passes) = COST;
    let mut sealed = Sealed { memory, passes, salt, nonce: nonce.to_vec(), sealed: Vec::new() };
    let (id, secret) = (key.id(), key.secret());
    let payload = Payload { msg: secret.as_slice(), aad: id.bytes() };
    let under = sealed.cipher(pass_phrase)?.encrypt(&XNonce::from(nonce), payload);
    sealed.sealed = under.map_err(|e| SealError::Work(e.to_string()))?;
    let text = serde_json::to_string(&sealed).map_err(|e| SealError::Work(e.to_string()))?;
    Ok(format!("{HEAD}{VERSION}\n{text}\n"))
}

/// The key of a device from such a text.
///
/// # Errors
/// [`SealError`] if the pass phrase is another, or the text is not one of that device.
pub fn unsealed(text: &str, device: &DeviceId, pass_phrase: &str) -> Result<DeviceKey, SealError> {
    let (version, text) = text
        .strip_prefix(HEAD)
        .and_then(|rest| rest.split_once('\n'))
        .ok_or(SealError::Unreadable)?;
    let sealed: Sealed = serde_json::from_str(text).map_err(|_| SealError::Unreadable)?;
    let costs_too_much = sealed.memory > MOST.0 || sealed.passes > MOST.1;
    let nonce: [u8; 24] = sealed.nonce.as_slice().try_into().map_err(|_| SealError::Unreadable)?;
    if version != VERSION || costs_too_much {
        return Err(SealError::Unreadable);
    }
    let payload = Payload { msg: sealed.sealed.as_slice(), aad: device.bytes() };
    let secret = sealed.cipher(pass_phrase)?.decrypt(&XNonce::from(nonce), payload);
    let secret = Zeroizing::new(secret.map_err(|_| SealError::Wrong)?);
    let secret = <&[u8; 32]>::try_from(secret.as_slice()).map_err(|_| SealError::Unreadable)?;
    let key = DeviceKey::from_secret(secret);
    if key.id() == *device { Ok(key) } else { Err(SealError::Unreadable) }
}

/// Bytes as hexadecimal in JSON.
mod hex {
    use data_encoding::HEXLOWER;
    use serde::de::Error;
    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(bytes: &[u8], to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&HEXLOWER.encode(bytes))
    }

    pub(super) fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Vec<u8>, D::Error> {
        let text = String::deserialize(from)?;
        HEXLOWER.decode(text.as_bytes()).map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use rand_chacha::ChaCha20Rng;
    use rand_core::SeedableRng;

    use super::*;

    const PASS: &str = "sea horse under harbour wall";

    #[test]
    fn a_key_comes_back_by_its_pass_phrase_and_by_no_other() {
        let key = DeviceKey::from_secret(&[7; 32]);
        let mut random = ChaCha20Rng::seed_from_u64(1);
        let text = sealed(&key, PASS, &mut random).unwrap_or_default();
        assert!(text.starts_with("Hosewright owner's key 1\n{\"memory\":65536,\"passes\":3,"));
        let opened = |text: &str, pass: &str| unsealed(text, &key.id(), pass).map(|key| key.id());
        assert_eq!(opened(&text, &format!(" {PASS}\n")), Ok(key.id()));
        assert_eq!(opened(&text, "sea horse under harbour walls"), Err(SealError::Wrong));
        assert!(!text.contains(&data_encoding::HEXLOWER.encode(&[7; 32])));
        let other = DeviceKey::from_secret(&[8; 32]).id();
        assert!(unsealed(&text, &other, PASS).is_err(), "another's");
        for spoilt in [
            text.replace("key 1", "key 2"),
            text.replace("65536", "4000000"),
            text.replace("\"passes\":3", "\"passes\":4"),
            text.chars().take(60).collect(),
            String::new(),
        ] {
            assert!(opened(&spoilt, PASS).is_err(), "{spoilt}");
        }
        for short in ["", "short", &"x".repeat(201)] {
            assert_eq!(sealed(&key, short, &mut random), Err(SealError::Length));
        }
    }
}

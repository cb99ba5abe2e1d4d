//! What the owner of a fleet says to all of its devices: from here on they follow another key. It
//! hands a fleet over to a new key, and lets a fleet join another.

use serde::{Deserialize, Serialize};
use serde_json::json;

use super::{DeviceId, DeviceKey, Proof};

/// The owner's word that another key is the owner's from here on. Who hears it believes what the
/// new key says of devices, and nothing that the old one says any more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Succession {
    /// The fleet until then: its owner's public key, which signs this.
    pub from: DeviceId,
    /// The owner's public key from then on.
    pub to: DeviceId,
    /// When it was said: milliseconds UTC since 1970.
    pub said: i64,
    /// The signature of `from` on all of that.
    pub proof: Proof,
}

impl Succession {
    /// The kind of the entries that carry one.
    pub const KIND: &str = "succeeded";

    /// Signs it.
    #[must_use]
    pub fn sign(owner: &DeviceKey, to: DeviceId, said: i64) -> Self {
        let from = owner.id();
        Self { from, to, said, proof: Proof::of(owner, &bytes(&from, &to, said)) }
    }

    /// Whether the fleet's owner did say it, and of another key that can sign.
    #[must_use]
    pub fn is_genuine(&self) -> bool {
        let Self { from, to, said, proof } = self;
        from != to && to.signs() && proof.holds(from, &bytes(from, to, *said))
    }
}

/// What is signed: the statement as JSON with sorted keys and without its proof. No entry and no
/// warrant looks like it.
fn bytes(from: &DeviceId, to: &DeviceId, said: i64) -> Vec<u8> {
    let mut text = json!({ "from": from, "said": said, "succession": 1, "to": to });
    text.sort_all_objects();
    text.to_string().into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_genuine_as_it_was_signed_and_not_otherwise() {
        let key = |of: u8| DeviceKey::from_secret(&[of; 32]);
        let said = Succession::sign(&key(1), key(2).id(), 7);
        assert!(said.is_genuine());
        let text = serde_json::to_string(&said).unwrap_or_default();
        assert_eq!(serde_json::from_str::<Succession>(&text).ok().as_ref(), Some(&said));
        for altered in [
            Succession { from: key(3).id(), ..said.clone() },
            Succession { to: key(3).id(), ..said.clone() },
            Succession { said: 8, ..said },
            Succession::sign(&key(1), key(1).id(), 7),
            Succession::sign(&key(1), DeviceId::Unsigned([1; 16]), 7),
        ] {
            assert!(!altered.is_genuine(), "{altered:?}");
        }
    }
}

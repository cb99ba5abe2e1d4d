//! What two devices prove to each other on an encrypted connection before either tells anything:
//! that they have the keys by which they are known, and that nobody sits between them.
//!
//! Each signs the certificate that it sees on the connection (its SHA-256, as `tls-server-end-point`
//! of RFC 5929 has it) and what the other drew by chance. Whoever sits between shows a certificate
//! of its own, or has not the key of the other. So a counter may have any certificate, and a new
//! one every day.

use serde::{Deserialize, Serialize};

use super::{DeviceId, DeviceKey, Proof};

/// 256 random bits in hexadecimal, drawn for one connection: what is signed was signed for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Challenge(pub [u8; 32]);

impl From<Challenge> for String {
    fn from(challenge: Challenge) -> Self {
        data_encoding::HEXLOWER.encode(&challenge.0)
    }
}

impl TryFrom<String> for Challenge {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let bytes = data_encoding::HEXLOWER.decode(text.as_bytes()).ok();
        let bytes = bytes.and_then(|bytes| bytes.try_into().ok());
        bytes.map(Self).ok_or_else(|| "it is no challenge".to_owned())
    }
}

/// The SHA-256 of the certificate that a connection shows.
pub type CertificateDigest = [u8; 32];

/// Before what a counter signs, and before what a device that calls it signs: neither is ever
/// taken for the other, or for an entry.
const COUNTER: &[u8] = b"Hosewright, a counter answers: ";
const CALLER: &[u8] = b"Hosewright, a device calls a counter: ";

/// What a counter says of itself to whoever calls, signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Greeting {
    /// The counter.
    pub counter: DeviceId,
    /// The fleet of its record, if it belongs to one.
    pub fleet: Option<DeviceId>,
    /// What the caller is to sign.
    pub challenge: Challenge,
    proof: Proof,
}

impl Greeting {
    /// Signs what a counter says: on a connection with a certificate, to who drew `drawn`.
    #[must_use]
    pub fn sign(
        key: &DeviceKey,
        fleet: Option<DeviceId>,
        challenge: Challenge,
        (certificate, drawn): (&CertificateDigest, &Challenge),
    ) -> Self {
        let counter = key.id();
        let bytes = greeted((&counter, fleet.as_ref(), &challenge), certificate, drawn);
        Self { counter, fleet, challenge, proof: Proof::of(key, &bytes) }
    }

    /// Whether that counter did say it, on this connection, to who drew `drawn`.
    #[must_use]
    pub fn is_genuine(&self, certificate: &CertificateDigest, drawn: &Challenge) -> bool {
        let said = (&self.counter, self.fleet.as_ref(), &self.challenge);
        self.proof.holds(&self.counter, &greeted(said, certificate, drawn))
    }
}

fn greeted(
    (counter, fleet, challenge): (&DeviceId, Option<&DeviceId>, &Challenge),
    certificate: &CertificateDigest,
    drawn: &Challenge,
) -> Vec<u8> {
    // All but the fleet, which comes last, are of one length: nothing can be read otherwise.
    let fleet = fleet.map(DeviceId::bytes).unwrap_or_default();
    [COUNTER, certificate, &drawn.0, &challenge.0, counter.bytes(), fleet].concat()
}

/// What a device says of itself to the counter that it calls, signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Caller {
    /// The device.
    pub device: DeviceId,
    /// The fleet of its record, if it belongs to one.
    pub fleet: Option<DeviceId>,
    proof: Proof,
}

impl Caller {
    /// Signs what a device says to a counter that greeted it, on a connection with a certificate.
    #[must_use]
    pub fn sign(
        key: &DeviceKey,
        fleet: Option<DeviceId>,
        greeting: &Greeting,
        certificate: &CertificateDigest,
    ) -> Self {
        let device = key.id();
        let to = (&greeting.counter, &greeting.challenge);
        let bytes = called((&device, fleet.as_ref()), to, certificate);
        Self { device, fleet, proof: Proof::of(key, &bytes) }
    }

    /// Whether that device did say it, on this connection, to the counter that drew the challenge.
    #[must_use]
    pub fn is_genuine(
        &self,
        counter: &DeviceId,
        challenge: &Challenge,
        certificate: &CertificateDigest,
    ) -> bool {
        let said = (&self.device, self.fleet.as_ref());
        self.proof.holds(&self.device, &called(said, (counter, challenge), certificate))
    }
}

fn called(
    (device, fleet): (&DeviceId, Option<&DeviceId>),
    (counter, challenge): (&DeviceId, &Challenge),
    certificate: &CertificateDigest,
) -> Vec<u8> {
    let fleet = fleet.map(DeviceId::bytes).unwrap_or_default();
    [CALLER, certificate, &challenge.0, counter.bytes(), device.bytes(), fleet].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(of: u8) -> DeviceKey {
        DeviceKey::from_secret(&[of; 32])
    }

    #[test]
    fn what_is_said_holds_on_its_connection_alone() {
        let (counter, fleet) = (key(1), Some(key(2).id()));
        let (mine, theirs, drawn) = ([3; 32], [4; 32], Challenge([5; 32]));
        let said = Greeting::sign(&counter, fleet, Challenge([6; 32]), (&mine, &drawn));
        assert!(said.is_genuine(&mine, &drawn));
        assert!(!said.is_genuine(&theirs, &drawn), "another certificate");
        assert!(!said.is_genuine(&mine, &Challenge([9; 32])), "said to another");
        let altered = [
            Greeting { counter: key(9).id(), ..said.clone() },
            Greeting { fleet: None, ..said.clone() },
            Greeting { fleet: Some(key(9).id()), ..said.clone() },
            Greeting { challenge: Challenge([9; 32]), ..said.clone() },
        ];
        assert!(altered.iter().all(|altered| !altered.is_genuine(&mine, &drawn)));

        let caller = Caller::sign(&key(7), fleet, &said, &mine);
        let of = (&said.counter, &said.challenge);
        assert!(caller.is_genuine(of.0, of.1, &mine));
        assert!(!caller.is_genuine(of.0, of.1, &theirs), "another certificate");
        assert!(!caller.is_genuine(&key(9).id(), of.1, &mine), "said to another counter");
        assert!(!caller.is_genuine(of.0, &Challenge([9; 32]), &mine), "said another time");
        let altered =
            [Caller { device: key(9).id(), ..caller.clone() }, Caller { fleet: None, ..caller }];
        assert!(altered.iter().all(|altered| !altered.is_genuine(of.0, of.1, &mine)));
    }
}

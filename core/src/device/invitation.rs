//! What a counter shows on its screen to let one device in: who it is, where it is reached, and
//! a secret that counts once, for some minutes.
//!
//! Its text has the letters of QR's alphanumeric mode alone: `HWC1:`, the counter's public key
//! and the secret in Base32 (RFC 4648) with a full stop between them, and each address behind a
//! slash.

use std::fmt;
use std::str::FromStr;

use data_encoding::BASE32_NOPAD;
use thiserror::Error;
use zeroize::Zeroize;

use super::DeviceId;

const HEAD: &str = "HWC";
const VERSION: &str = "1";
/// The most addresses of a counter.
const MOST_ADDRESSES: usize = 4;
/// The most characters of an address (RFC 1035 has 255 for a name).
const MOST_CHARACTERS: usize = 100;

/// Why a text is no invitation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum InvitationError {
    /// It is something else.
    #[error("this is not the symbol that a counter shows to let a device in; it begins with HWC1:")]
    NotOurs,
    /// A later version wrote it.
    #[error("a later Hosewright made this symbol; update this program")]
    TooNew,
    /// Part of it is missing or wrong.
    #[error("this symbol was not read whole; read it again, or let the counter show another")]
    Spoilt,
    /// It is no address.
    #[error(
        "an address is a name or four numbers, a colon and a port, as in 192.168.1.20:7464; \
         copy it from the counter's screen"
    )]
    Address,
}

/// A secret that lets one device in: 128 random bits.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret([u8; 16]);

impl Secret {
    /// Its bits.
    #[must_use]
    pub const fn bytes(&self) -> &[u8; 16] {
        &self.0
    }
}

impl From<[u8; 16]> for Secret {
    /// That of bits that were drawn by chance.
    fn from(bits: [u8; 16]) -> Self {
        Self(bits)
    }
}

impl Drop for Secret {
    fn drop(&mut self) {
        self.0.zeroize();
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret")
    }
}

impl fmt::Display for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&BASE32_NOPAD.encode(&self.0))
    }
}

impl FromStr for Secret {
    type Err = InvitationError;

    fn from_str(text: &str) -> Result<Self, InvitationError> {
        let bytes = BASE32_NOPAD.decode(text.as_bytes()).map_err(|_| InvitationError::Spoilt)?;
        bytes.try_into().map(Self).map_err(|_| InvitationError::Spoilt)
    }
}

/// Where a counter is reached: a name or an IPv4 address, and a port. In small letters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CounterAddress {
    host: String,
    port: u16,
}

impl CounterAddress {
    /// The name or the IPv4 address.
    #[must_use]
    pub fn host(&self) -> &str {
        &self.host
    }

    /// The port.
    #[must_use]
    pub const fn port(&self) -> u16 {
        self.port
    }
}

impl fmt::Display for CounterAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.host, self.port)
    }
}

impl FromStr for CounterAddress {
    type Err = InvitationError;

    fn from_str(text: &str) -> Result<Self, InvitationError> {
        let (host, port) = text.rsplit_once(':').ok_or(InvitationError::Address)?;
        let plain = |b: u8| b.is_ascii_alphanumeric() || b"-.".contains(&b);
        let named = (1..=MOST_CHARACTERS).contains(&host.len()) && host.bytes().all(plain);
        let port = port.parse().ok().filter(|port| *port != 0 && named);
        let port = port.ok_or(InvitationError::Address)?;
        Ok(Self { host: host.to_ascii_lowercase(), port })
    }
}

/// What a counter shows to let one device in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// The counter: its public key, with which it proves who answers.
    counter: [u8; 32],
    secret: Secret,
    addresses: Vec<CounterAddress>,
}

impl Invitation {
    /// Whether a text says that it is one, whole or not.
    #[must_use]
    pub fn is_meant(text: &str) -> bool {
        let head = text.trim_start().get(..HEAD.len());
        head.is_some_and(|head| head.eq_ignore_ascii_case(HEAD)) && text.contains(':')
    }

    /// An invitation to a counter that signs; nothing if it has no address, too many, or no key.
    #[must_use]
    pub fn new(counter: DeviceId, secret: Secret, addresses: Vec<CounterAddress>) -> Option<Self> {
        let DeviceId::Signed(counter) = counter else { return None };
        let some = (1..=MOST_ADDRESSES).contains(&addresses.len());
        some.then_some(Self { counter, secret, addresses })
    }

    /// The counter.
    #[must_use]
    pub const fn counter(&self) -> DeviceId {
        DeviceId::Signed(self.counter)
    }

    /// The secret that counts once.
    #[must_use]
    pub const fn secret(&self) -> &Secret {
        &self.secret
    }

    /// Where it is reached: one address at least.
    #[must_use]
    pub fn addresses(&self) -> &[CounterAddress] {
        &self.addresses
    }
}

impl fmt::Display for Invitation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let counter = BASE32_NOPAD.encode(&self.counter);
        write!(f, "{HEAD}{VERSION}:{counter}.{}", self.secret)?;
        self.addresses.iter().try_for_each(|address| {
            f.write_str("/")?;
            f.write_str(&address.to_string().to_ascii_uppercase())
        })
    }
}

impl FromStr for Invitation {
    type Err = InvitationError;

    fn from_str(text: &str) -> Result<Self, InvitationError> {
        let text = text.trim().to_ascii_uppercase();
        let (version, rest) = text
            .strip_prefix(HEAD)
            .and_then(|rest| rest.split_once(':'))
            .ok_or(InvitationError::NotOurs)?;
        if version != VERSION {
            let later = !version.is_empty() && version.bytes().all(|b| b.is_ascii_digit());
            return Err(if later { InvitationError::TooNew } else { InvitationError::NotOurs });
        }
        let mut parts = rest.split('/');
        let (counter, secret) =
            parts.next().and_then(|first| first.split_once('.')).ok_or(InvitationError::Spoilt)?;
        let counter = BASE32_NOPAD.decode(counter.as_bytes()).ok();
        let counter = counter.and_then(|bytes| bytes.try_into().ok().map(DeviceId::Signed));
        let counter = counter.ok_or(InvitationError::Spoilt)?;
        let addresses = parts.map(str::parse).collect::<Result<_, _>>();
        let addresses = addresses.map_err(|_| InvitationError::Spoilt)?;
        Self::new(counter, secret.parse()?, addresses).ok_or(InvitationError::Spoilt)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn shown() -> Invitation {
        let addresses =
            ["192.168.1.20:7464", "counter.example:443"].iter().flat_map(|text| text.parse());
        let made = Invitation::new(DeviceId::Signed([7; 32]), Secret([9; 16]), addresses.collect());
        made.unwrap_or_else(|| unreachable!("an invitation"))
    }

    #[test]
    fn its_text_is_of_qr_letters_and_pinned() {
        let text = shown().to_string();
        assert_eq!(
            text,
            "HWC1:A4DQOBYHA4DQOBYHA4DQOBYHA4DQOBYHA4DQOBYHA4DQOBYHA4DQ.BEEQSCIJBEEQSCIJBEEQSCIJBE\
             /192.168.1.20:7464/COUNTER.EXAMPLE:443"
        );
        let plain =
            |b: u8| b.is_ascii_digit() || b.is_ascii_uppercase() || b" $%*+-./:".contains(&b);
        assert!(text.bytes().all(plain));
        assert_eq!(text.parse(), Ok(shown()));
        assert_eq!(format!(" {}\n", text.to_ascii_lowercase()).parse(), Ok(shown()));
        assert!(
            !format!("{:?}", shown()).contains("BEEQ"),
            "the secret is shown on the screen alone"
        );
    }

    #[test]
    fn what_is_none_is_refused() {
        let whole = shown().to_string();
        let cut = |end: usize| whole.chars().take(end).collect::<String>();
        let table = [
            (String::new(), InvitationError::NotOurs),
            ("HW1:0000-0000-0000-0".to_owned(), InvitationError::NotOurs),
            ("HWCX:A.B/C:1".to_owned(), InvitationError::NotOurs),
            (whole.replace("HWC1", "HWC2"), InvitationError::TooNew),
            (cut(20), InvitationError::Spoilt),
            (cut(60), InvitationError::Spoilt),
            (cut(83), InvitationError::Spoilt),
            (whole.replace(":7464", ":0"), InvitationError::Spoilt),
            (whole.replace("192.168.1.20", ""), InvitationError::Spoilt),
            (format!("{whole}/A:1/B:2/C:3"), InvitationError::Spoilt),
        ];
        for (text, error) in table {
            assert_eq!(text.parse::<Invitation>(), Err(error), "{text}");
        }
        for bad in ["", "a", ":1", "a:0", "a:65536", "a b:1", "a/b:1", "[::1]:1", "a:1:x"] {
            assert_eq!(bad.parse::<CounterAddress>(), Err(InvitationError::Address), "{bad}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
            if let Ok(read) = text.parse::<Invitation>() {
                prop_assert_eq!(read.to_string().parse(), Ok(read));
            }
        }
    }
}

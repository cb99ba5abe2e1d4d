//! What is written on a tag: `HW1:` + the code + `.` + the passport, in the
//! characters of QR's alphanumeric mode.
//!
//! ```text
//! HW1:01H7K2M90101Y.10P1KNJXPZ5     29 characters: level Q in version 2
//! HW1:01H7K2M90101Y.                a tag printed blank
//! HW1:01H7K2M90101Y.C000000002P     a set's tag
//! HW1:01H7K2M90101Y.C10000000..     a person's badge
//! HTTPS://NAME/HW1:…                any of them, behind a base
//! ```

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

use super::check::{crockford, crockford_value, gf32_checks};
use super::code::{Code, shown};
pub use super::passport::{AboutLength, FittingKind, LengthUnit, Passport};
use super::passport::{OF_PERSON, OF_SET};

/// Why a text is not what one of our tags says.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PayloadError {
    /// Something else is written there.
    #[error(
        "“{text}” is not the text of a Hosewright tag; a maker's own barcode can be bound to a hose"
    )]
    NotOurs {
        /// What is written, shortened if very long.
        text: String,
    },
    /// A tag of a version that came after this program.
    #[error(
        "this tag is of version {version}, which is later than this program knows; update \
         Hosewright, or type the code that is printed on the tag"
    )]
    LaterVersion {
        /// The version that the tag names.
        version: String,
    },
    /// A Hosewright tag, but not as it was printed.
    #[error(
        "this tag was read with mistakes ({what}); clean it and scan again, or type the code that \
         is printed on it"
    )]
    Damaged {
        /// What is wrong with it.
        what: &'static str,
    },
    /// The tag of a set, when a hose's is meant.
    #[error(
        "this is the tag of a set ({code}), and not of a hose; for this, scan the tag on the hose \
         itself"
    )]
    OfSet {
        /// The tag's code.
        code: Code,
    },
    /// The badge of a person, when a tag is meant.
    #[error(
        "this is a person's badge, and not the tag of a hose or a set; for this, scan the tag on \
         the hose itself"
    )]
    OfPerson {
        /// The badge's code.
        code: Code,
    },
    /// A base that cannot stand on a tag.
    #[error(
        "“{typed}” can't go before the text of a tag: write it as HTTPS://NAME/, up to 60 of \
         the characters A to Z, 0 to 9, and . - / :"
    )]
    BadBase {
        /// What was typed.
        typed: String,
    },
}

/// What a tag says: which record, and what the hose was when the tag was
/// printed. A tag that was printed blank has no passport.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Payload {
    /// Which record.
    pub code: Code,
    /// What the hose is.
    pub passport: Option<Passport>,
}

impl Payload {
    /// The text of the tag, 18 or 29 characters of QR's alphanumeric mode.
    #[must_use]
    pub fn text(&self) -> String {
        match self.passport {
            Some(passport) => written(self.code, &passport.characters()),
            None => format!("HW1:{}.", self.code.compact()),
        }
    }

    /// The text of the tag behind the name of a page that serves the answer.
    #[must_use]
    pub fn text_with_base(&self, base: &Base) -> String {
        format!("{base}{}", self.text())
    }

    /// Reads the text of a hose's tag, with or without a base, capital or small.
    ///
    /// # Errors
    /// [`PayloadError`] says whether it is another's text, of a later version,
    /// ours and damaged, or a set's. Nothing is guessed.
    pub fn parse(text: &str) -> Result<Self, PayloadError> {
        let folded = text.trim().to_ascii_uppercase();
        let not_ours = || PayloadError::NotOurs { text: shown(text) };
        let body = without_base(&folded).ok_or_else(not_ours)?;
        let (version, rest) = versioned(body).ok_or_else(not_ours)?;
        if version != "1" {
            return Err(PayloadError::LaterVersion { version: version.to_owned() });
        }
        let damaged = |what| PayloadError::Damaged { what };
        let (code, passport) = rest.split_once('.').ok_or(damaged("its middle is missing"))?;
        Ok(Self { code: parse_code(code)?, passport: parse_passport(code, passport)? })
    }
}

/// What a tag is on: a hose, a set's first stage, or a person as a badge. All have codes of
/// one space.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TagText {
    /// A hose's tag, or one that was printed blank.
    Hose(Payload),
    /// A set's tag: its passport says that it is a set, and nothing else. Programs
    /// that do not know sets' tags refuse it.
    Set(Code),
    /// A person's badge: its passport says so, and nothing else.
    Badge(Code),
}

impl TagText {
    /// The code printed in words under the symbol.
    #[must_use]
    pub const fn code(&self) -> Code {
        match self {
            Self::Hose(payload) => payload.code,
            Self::Set(code) | Self::Badge(code) => *code,
        }
    }

    /// The text of the tag.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Hose(payload) => payload.text(),
            Self::Set(code) => written(*code, &OF_SET),
            Self::Badge(code) => written(*code, &OF_PERSON),
        }
    }

    /// The text of the tag behind the name of a page that serves the answer.
    #[must_use]
    pub fn text_with_base(&self, base: &Base) -> String {
        format!("{base}{}", self.text())
    }

    /// Reads the text of a tag of any kind.
    ///
    /// # Errors
    /// As [`Payload::parse`].
    pub fn parse(text: &str) -> Result<Self, PayloadError> {
        match Payload::parse(text) {
            Ok(payload) => Ok(Self::Hose(payload)),
            Err(PayloadError::OfSet { code }) => Ok(Self::Set(code)),
            Err(PayloadError::OfPerson { code }) => Ok(Self::Badge(code)),
            Err(error) => Err(error),
        }
    }
}

impl From<Payload> for TagText {
    fn from(payload: Payload) -> Self {
        Self::Hose(payload)
    }
}

impl From<&Payload> for TagText {
    fn from(payload: &Payload) -> Self {
        Self::Hose(*payload)
    }
}

impl From<&Self> for TagText {
    fn from(tag: &Self) -> Self {
        *tag
    }
}

/// The code of a badge; nothing if the text is something else's.
#[must_use]
pub fn read_badge(text: &str) -> Option<Code> {
    match TagText::parse(text) {
        Ok(TagText::Badge(code)) => Some(code),
        _ => None,
    }
}

/// A code with what its passport says, and the checks over both.
fn written(code: Code, data: &[u8; Passport::LENGTH]) -> String {
    let code = code.compact();
    let checks = gf32_checks(&values(&code).chain(*data).collect::<Vec<u8>>());
    let mut text = format!("HW1:{code}.");
    text.extend(data.iter().copied().chain(checks).map(crockford));
    text
}

impl FromStr for Payload {
    type Err = PayloadError;

    fn from_str(text: &str) -> Result<Self, PayloadError> {
        Self::parse(text)
    }
}

/// The base-32 values of a text; what has none is left out.
fn values(text: &str) -> impl Iterator<Item = u8> + '_ {
    text.chars().filter_map(crockford_value)
}

/// What follows the base, if there is one; `None` if a page's address is
/// not followed by anything of this program's. The name of a page may begin the same way.
fn without_base(text: &str) -> Option<&str> {
    let page = text.strip_prefix("HTTPS://").or_else(|| text.strip_prefix("HTTP://"));
    let Some(page) = page else { return Some(text) };
    page.find("/HW").and_then(|at| page.get(at + 1..))
}

/// Splits `HW12:REST` into `12` and `REST`.
fn versioned(text: &str) -> Option<(&str, &str)> {
    let (version, rest) = text.strip_prefix("HW")?.split_once(':')?;
    let digits = (1..=6).contains(&version.len()) && version.bytes().all(|b| b.is_ascii_digit());
    (digits && !version.starts_with('0')).then_some((version, rest))
}

fn parse_code(text: &str) -> Result<Code, PayloadError> {
    let whole = text.len() == 13 && values(text).count() == 13;
    let code = whole.then(|| Code::parse(text).ok()).flatten();
    code.ok_or(PayloadError::Damaged { what: "its code is not whole" })
}

fn parse_passport(code: &str, text: &str) -> Result<Option<Passport>, PayloadError> {
    if text.is_empty() {
        return Ok(None);
    }
    let damaged = |what| PayloadError::Damaged { what };
    let read: Vec<u8> = values(text).collect();
    let (data, checks) = read.split_at_checked(Passport::LENGTH).unwrap_or((&read, &[]));
    if text.len() != Passport::LENGTH + 2 || checks.len() != 2 {
        return Err(damaged("what it says about the hose is not whole"));
    }
    if gf32_checks(&values(code).chain(data.iter().copied()).collect::<Vec<u8>>()) != *checks {
        return Err(damaged("what it says about the hose does not agree with its check"));
    }
    if data == OF_SET {
        return Err(PayloadError::OfSet { code: parse_code(code)? });
    }
    if data == OF_PERSON {
        return Err(PayloadError::OfPerson { code: parse_code(code)? });
    }
    let passport = Passport::from_characters(data);
    passport.map(Some).ok_or(damaged("it describes an impossible hose"))
}

/// `HTTPS://NAME/`: the name of a page that serves read-only answers, so that
/// any phone's camera opens them. Kept in capitals, which keeps the whole text
/// in QR's alphanumeric mode.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Base(String);

impl Base {
    /// The greatest length, in characters.
    pub const MOST: usize = 60;

    /// Reads a base; a missing last slash is put there.
    ///
    /// # Errors
    /// [`PayloadError::BadBase`] if it is not an `https` address, too long,
    /// or would leave QR's alphanumeric mode.
    pub fn parse(typed: &str) -> Result<Self, PayloadError> {
        let folded = typed.trim().to_ascii_uppercase();
        let text = format!("{}/", folded.strip_suffix('/').unwrap_or(&folded));
        let good = text.len() <= Self::MOST && text.strip_prefix("HTTPS://").is_some_and(is_name);
        good.then_some(Self(text)).ok_or_else(|| PayloadError::BadBase { typed: shown(typed) })
    }
}

/// Whether a text is `HOST/`, `HOST:PORT/` or either with a path. A path that
/// begins like a payload would be taken for one.
fn is_name(text: &str) -> bool {
    let (host, path) = text.split_once('/').unwrap_or((text, ""));
    let (name, port) = host.split_once(':').map_or((host, None), |(n, p)| (n, Some(p)));
    let plain = |t: &str| t.bytes().all(|b| b.is_ascii_alphanumeric() || b".-".contains(&b));
    let port = port.is_none_or(|p| p.parse::<u16>().is_ok_and(|p| p > 0));
    let parts = path.split_terminator('/');
    let path = parts.clone().all(|p| !p.is_empty() && plain(p) && !p.starts_with("HW"));
    !name.is_empty()
        && plain(name)
        && name.bytes().any(|b| b.is_ascii_alphanumeric())
        && port
        && path
}

impl fmt::Display for Base {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for Base {
    type Err = PayloadError;

    fn from_str(typed: &str) -> Result<Self, PayloadError> {
        Self::parse(typed)
    }
}

#[cfg(test)]
#[path = "payload_tests.rs"]
mod tests;

//! The code of a tag: 60 random bits and a check character.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use rand_core::Rng;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::check::{CROCKFORD, crockford, crockford_value, mod_37_2_of};

/// How many characters carry bits.
const BODY: usize = 12;
/// How many characters there are with the check.
const WHOLE: usize = BODY + 1;
const MASK: u64 = (1 << 60) - 1;

/// Why something typed is not a code.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum CodeError {
    /// More or fewer characters than a code has.
    #[error(
        "“{typed}” has {count} characters; a code has 13, printed XXXX-XXXX-XXXX-X: type all of \
         them, or fewer than 12 to search"
    )]
    WrongLength {
        /// What was typed, shortened if very long.
        typed: String,
        /// Its characters without spaces and hyphens.
        count: usize,
    },
    /// A character that no code has.
    #[error(
        "“{character}” can't be in a code, which has digits and the letters A to Z without I, L, \
         O and U; look at the tag again"
    )]
    NotACharacter {
        /// The character.
        character: char,
    },
    /// The check character does not agree with the rest.
    #[error(
        "“{typed}” is not quite a code: the last character does not agree with the others, so at \
         least one of the 13 is wrong; look at the tag again"
    )]
    WrongCheck {
        /// What was typed.
        typed: String,
    },
}

/// The code of a tag: 60 bits whose ISO/IEC 7064 MOD 37-2 check is itself a
/// character of Crockford's base 32. Every single slip and every swap of
/// neighbours in its 13 characters is noticed.
///
/// The restriction on the check costs one draw in seven, and lets reading
/// forgive O for 0 and I or L for 1 in all 13 places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Code(u64);

impl Code {
    /// The code of these bits; `None` if there are more than 60 of them or
    /// their check would not be a Crockford character.
    #[must_use]
    pub fn from_bits(bits: u64) -> Option<Self> {
        (bits <= MASK).then(|| check_of(bits)).flatten().map(|_| Self(bits))
    }

    /// A new code, drawn again until its check is a Crockford character.
    pub fn draw(random: &mut impl Rng) -> Self {
        loop {
            if let Some(code) = Self::from_bits(random.next_u64() & MASK) {
                return code;
            }
        }
    }

    /// The 60 bits, below 2^60: the key in the record.
    #[must_use]
    pub const fn bits(self) -> u64 {
        self.0
    }

    /// The 13 characters without hyphens, as a tag carries them.
    #[must_use]
    pub fn compact(self) -> String {
        body_of(self.0).chain(check_of(self.0)).collect()
    }

    /// Reads a code as people type it: capital or small, with or without spaces
    /// and hyphens, O for 0, I or L for 1.
    ///
    /// # Errors
    /// [`CodeError`] says what is wrong; after [`CodeError::WrongCheck`] see
    /// [`Code::one_slip_away`].
    pub fn parse(typed: &str) -> Result<Self, CodeError> {
        if let Some(bad) = characters(typed).find(|c| crockford_value(*c).is_none()) {
            return Err(CodeError::NotACharacter { character: bad });
        }
        let count = characters(typed).count();
        if count != WHOLE {
            return Err(CodeError::WrongLength { typed: shown(typed), count });
        }
        from_characters(characters(typed))
            .ok_or_else(|| CodeError::WrongCheck { typed: shown(typed) })
    }

    /// The codes that begin with these 1 to 12 characters; `None` if there
    /// are none, more, or one that no code has.
    #[must_use]
    pub fn prefix(typed: &str) -> Option<Prefix> {
        let values: Option<Vec<u8>> = characters(typed).map(crockford_value).collect();
        let values = values.filter(|v| (1..=BODY).contains(&v.len()))?;
        let free = 5 * (BODY - values.len());
        let low = values.iter().fold(0, |bits, v| bits << 5 | u64::from(*v)) << free;
        Some(Prefix { low, high: low | ((1 << free) - 1) })
    }

    /// Every code that is one wrong character or one swap of neighbours away
    /// from a 13-character text, in order. A text that is a code has none. A
    /// single character that no code has (such as U) is taken as the slip.
    #[must_use]
    pub fn one_slip_away(typed: &str) -> Vec<Self> {
        let characters: Vec<char> = characters(typed).collect();
        if characters.len() != WHOLE {
            return Vec::new();
        }
        let mut codes: Vec<Self> = (0..WHOLE)
            .flat_map(|at| CROCKFORD.iter().map(move |b| (at, char::from(*b))))
            .filter_map(|(at, character)| {
                let mut changed = characters.clone();
                *changed.get_mut(at)? = character;
                from_characters(changed.into_iter())
            })
            .chain((1..WHOLE).filter_map(|at| {
                let mut changed = characters.clone();
                changed.swap(at - 1, at);
                from_characters(changed.into_iter())
            }))
            .collect();
        codes.sort_unstable();
        codes.dedup();
        codes.retain(|code| !code.compact().chars().eq(characters.iter().copied()));
        codes
    }
}

/// The codes that begin with the same characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Prefix {
    low: u64,
    high: u64,
}

impl Prefix {
    /// The bits of every such code lie in this range.
    #[must_use]
    pub const fn bits(self) -> RangeInclusive<u64> {
        self.low..=self.high
    }

    /// Whether a code begins so.
    #[must_use]
    pub fn holds(self, code: Code) -> bool {
        self.bits().contains(&code.0)
    }
}

/// What was typed without what is forgiven: the characters that count.
fn characters(typed: &str) -> impl Iterator<Item = char> + '_ {
    typed.chars().filter(|c| !c.is_whitespace() && !is_hyphen(*c)).map(|c| {
        match c.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        }
    })
}

/// The hyphens and dashes that keyboards put in: U+2010 to U+2015 and the minus.
fn is_hyphen(c: char) -> bool {
    matches!(c, '-' | '_' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// The code of 13 characters, the last of which is the check.
fn from_characters(mut characters: impl Iterator<Item = char>) -> Option<Code> {
    let mut bits = 0;
    for character in characters.by_ref().take(BODY) {
        bits = bits << 5 | u64::from(crockford_value(character)?);
    }
    (check_of(bits)? == characters.next()?).then_some(Code(bits))
}

fn body_of(bits: u64) -> impl Iterator<Item = char> {
    (0..BODY).rev().map(move |at| crockford(u8::try_from(bits >> (5 * at) & 31).unwrap_or(0)))
}

fn check_of(bits: u64) -> Option<char> {
    mod_37_2_of(body_of(bits)).filter(|c| crockford_value(*c).is_some())
}

/// A text as an error repeats it: not more than fits on a line.
pub(super) fn shown(typed: &str) -> String {
    let typed = typed.trim();
    let mut text: String = typed.chars().take(40).collect();
    if text.len() < typed.len() {
        text.push('…');
    }
    text
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = self.compact();
        for at in [12, 8, 4] {
            text.insert(at, '-');
        }
        f.pad(&text)
    }
}

impl FromStr for Code {
    type Err = CodeError;

    fn from_str(typed: &str) -> Result<Self, CodeError> {
        Self::parse(typed)
    }
}

impl From<Code> for String {
    fn from(code: Code) -> Self {
        code.to_string()
    }
}

impl TryFrom<String> for Code {
    type Error = CodeError;

    fn try_from(text: String) -> Result<Self, CodeError> {
        Self::parse(&text)
    }
}

#[cfg(test)]
#[path = "code_tests.rs"]
mod tests;

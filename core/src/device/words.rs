//! A key as words on paper: 24 of the 2,048 English words of BIP-39, an open
//! standard word list; the last of them checks the rest.

use bip39::{Language, Mnemonic};
use thiserror::Error;
use zeroize::Zeroizing;

use super::DeviceKey;

/// Why some words are no key.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum WordsError {
    /// There are too few or too many.
    #[error("a key is 24 words, not {0}")]
    Number(usize),
    /// One is not on the list. Which it is, is not said: it is nearly one of a secret.
    #[error("word {0} is not on the list of words; look for a slip in it")]
    Unknown(usize, String),
    /// They do not check.
    #[error("these words do not belong together; look for a wrong or a swapped word")]
    Check,
}

impl DeviceKey {
    /// The key as 24 words.
    #[must_use]
    pub fn to_words(&self) -> Zeroizing<String> {
        let words = Mnemonic::from_entropy_in(Language::English, self.secret().as_slice());
        Zeroizing::new(words.map(|words| words.to_string()).unwrap_or_default())
    }

    /// The key of 24 words, in any case and with any spaces between them.
    ///
    /// # Errors
    /// [`WordsError`] says which word is wrong, if one can be named.
    pub fn from_words(typed: &str) -> Result<Self, WordsError> {
        let words: Vec<String> = typed.split_whitespace().map(str::to_lowercase).collect();
        if words.len() != 24 {
            return Err(WordsError::Number(words.len()));
        }
        let read = Mnemonic::parse_in_normalized(Language::English, &words.join(" "));
        let read = read.map_err(|error| match error {
            bip39::Error::UnknownWord(at) => {
                WordsError::Unknown(at + 1, words.get(at).cloned().unwrap_or_default())
            }
            _ => WordsError::Check,
        })?;
        let entropy = Zeroizing::new(read.to_entropy());
        let secret = <&[u8; 32]>::try_from(entropy.as_slice()).map_err(|_| WordsError::Check)?;
        Ok(Self::from_secret(secret))
    }
}

//! Who may open the page from another device: a pass phrase, kept as an Argon2
//! hash; sessions; and a limit on attempts.

use std::collections::HashMap;
use std::fs;
use std::io::Write;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use argon2::Argon2;
use data_encoding::HEXLOWER;
use hosewright_core::file::{NewFile, Replace};
use sha2::{Digest, Sha256};
use thiserror::Error;

/// The file's first line, with the version of what follows: Argon2id (RFC 9106)
/// with 19 MiB, 2 passes and 1 lane, as a salt and a hash in hexadecimal.
const HEAD: &str = "Hosewright counter page pass phrase 1";
const FILE: &str = "page-pass-phrase";
/// The fewest characters of a pass phrase.
const LEAST: usize = 12;
const MOST: usize = 200;
/// How long a session lasts: a long day at the counter.
const SESSION: Duration = Duration::from_secs(14 * 3600);
const MOST_SESSIONS: usize = 200;
/// Attempts in a minute: from one address, and from all.
const ATTEMPTS: usize = 5;
const ATTEMPTS_OF_ALL: usize = 30;
const MINUTE: Duration = Duration::from_secs(60);

/// Why there is no pass phrase to be had.
#[derive(Debug, Error)]
pub enum PassPhraseError {
    /// None was chosen.
    #[error(
        "with --lan everybody in this network can open the page, so it needs a pass phrase, and \
         none was chosen yet; choose one with: hosewright desk --pass-phrase"
    )]
    None,
    /// Too short or too long.
    #[error("a pass phrase has {LEAST} to {MOST} characters; four words do well")]
    Length,
    /// The file is not ours.
    #[error(
        "{0} is not a pass phrase of this program; choose one anew: hosewright desk --pass-phrase"
    )]
    Unreadable(PathBuf),
    /// The file cannot be read or written.
    #[error("cannot use {path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// It cannot be hashed: no memory.
    #[error("the pass phrase cannot be hashed: {0}")]
    Hash(argon2::Error),
}

/// The hash of a pass phrase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassPhrase {
    salt: [u8; 16],
    hash: [u8; 32],
}

impl PassPhrase {
    /// Hashes a new one.
    pub fn choose(typed: &str, salt: [u8; 16]) -> Result<Self, PassPhraseError> {
        let typed = typed.trim();
        if !(LEAST..=MOST).contains(&typed.chars().count()) {
            return Err(PassPhraseError::Length);
        }
        Ok(Self { salt, hash: hashed(typed, &salt)? })
    }

    /// Whether this is the one that was chosen.
    pub fn is(&self, typed: &str) -> Result<bool, PassPhraseError> {
        let typed = typed.trim();
        if typed.chars().count() > MOST {
            return Ok(false);
        }
        Ok(same(&hashed(typed, &self.salt)?, &self.hash))
    }

    /// Keeps it in the folder of the account's keys.
    pub fn keep(&self, folder: &Path) -> Result<PathBuf, PassPhraseError> {
        let path = folder.join(FILE);
        match self.write(folder, &path) {
            Ok(()) => Ok(path),
            Err(source) => Err(PassPhraseError::Io { path, source }),
        }
    }

    fn write(&self, folder: &Path, path: &Path) -> std::io::Result<()> {
        fs::create_dir_all(folder)?;
        let mut file = NewFile::begin_private(path, Replace::File)?;
        let (salt, hash) = (HEXLOWER.encode(&self.salt), HEXLOWER.encode(&self.hash));
        writeln!(file, "{HEAD}\n{salt} {hash}")?;
        Ok(file.finish()?)
    }

    /// The one that was chosen.
    pub fn find(folder: &Path) -> Result<Self, PassPhraseError> {
        let path = folder.join(FILE);
        let text = match fs::read_to_string(&path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Err(PassPhraseError::None);
            }
            read => read.map_err(|source| PassPhraseError::Io { path: path.clone(), source })?,
        };
        Self::read(&text).ok_or(PassPhraseError::Unreadable(path))
    }

    fn read(text: &str) -> Option<Self> {
        let (salt, hash) = text.strip_prefix(HEAD)?.trim().split_once(' ')?;
        let bytes = |hex: &str| HEXLOWER.decode(hex.as_bytes()).ok();
        Some(Self { salt: bytes(salt)?.try_into().ok()?, hash: bytes(hash)?.try_into().ok()? })
    }
}

fn hashed(typed: &str, salt: &[u8]) -> Result<[u8; 32], PassPhraseError> {
    let mut hash = [0; 32];
    let done = Argon2::default().hash_password_into(typed.as_bytes(), salt, &mut hash);
    done.map_err(PassPhraseError::Hash)?;
    Ok(hash)
}

/// Compares without telling by its time where two differ.
pub fn same(one: &[u8], other: &[u8]) -> bool {
    let differs = one.iter().zip(other).fold(0, |all, (a, b)| all | (a ^ b));
    one.len() == other.len() && differs == 0
}

/// Sessions and attempts.
pub struct Lan {
    /// What opens a session.
    pub pass_phrase: PassPhrase,
    /// The hash of each session's key, and when it ends.
    sessions: Mutex<HashMap<[u8; 32], Duration>>,
    attempts: Mutex<Vec<(IpAddr, Duration)>>,
}

impl Lan {
    /// Nobody is let in yet.
    pub fn new(pass_phrase: PassPhrase) -> Self {
        Self { pass_phrase, sessions: Mutex::default(), attempts: Mutex::default() }
    }

    /// Counts an attempt; `false` where there were too many.
    pub fn may_try(&self, from: IpAddr, now: Duration) -> bool {
        let mut attempts = self.attempts.lock().unwrap_or_else(PoisonError::into_inner);
        attempts.retain(|(_, at)| now.saturating_sub(*at) < MINUTE);
        let own = attempts.iter().filter(|(address, _)| *address == from).count();
        let may = own < ATTEMPTS && attempts.len() < ATTEMPTS_OF_ALL;
        if may {
            attempts.push((from, now));
        }
        may
    }

    /// Begins a session under a key of random bits.
    pub fn begin(&self, key: &str, now: Duration) {
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.retain(|_, ends| *ends > now);
        if sessions.len() >= MOST_SESSIONS
            && let Some(first) = sessions.iter().min_by_key(|(_, ends)| **ends).map(|(k, _)| *k)
        {
            sessions.remove(&first);
        }
        sessions.insert(digest(key), now + SESSION);
    }

    /// Whether a session of this key is open.
    pub fn knows(&self, key: &str, now: Duration) -> bool {
        let sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.get(&digest(key)).is_some_and(|ends| *ends > now)
    }

    /// Ends a session.
    pub fn end(&self, key: &str) {
        self.sessions.lock().unwrap_or_else(PoisonError::into_inner).remove(&digest(key));
    }
}

fn digest(text: &str) -> [u8; 32] {
    Sha256::digest(text).into()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_pass_phrase_is_kept_as_a_hash_and_known_again() {
        let folder = tempfile::tempdir().unwrap();
        assert!(matches!(PassPhrase::find(folder.path()), Err(PassPhraseError::None)));
        let chosen = PassPhrase::choose("four words do well", [7; 16]).unwrap();
        let path = chosen.keep(folder.path()).unwrap();
        let found = PassPhrase::find(folder.path()).unwrap();
        assert_eq!(found, chosen);
        assert!(found.is(" four words do well\n").unwrap());
        assert!(!found.is("four words do wel").unwrap());
        assert!(!found.is(&"x".repeat(5_000_000)).unwrap());
        assert!(!fs::read_to_string(&path).unwrap().contains("four"));
        fs::write(&path, "something else").unwrap();
        assert!(matches!(PassPhrase::find(folder.path()), Err(PassPhraseError::Unreadable(_))));
        assert!(matches!(PassPhrase::choose("short", [7; 16]), Err(PassPhraseError::Length)));
    }

    #[test]
    fn attempts_are_counted_by_address_and_in_all() {
        let lan = Lan::new(PassPhrase { salt: [0; 16], hash: [0; 32] });
        let address = |n: u8| IpAddr::from([192, 168, 0, n]);
        let at = Duration::from_secs;
        assert!((0..5).all(|n| lan.may_try(address(1), at(n))));
        assert!(!lan.may_try(address(1), at(6)));
        assert!(lan.may_try(address(2), at(6)), "another address may still try");
        assert!(!lan.may_try(address(1), at(59)));
        assert!(lan.may_try(address(1), at(61)), "after a minute");
        let many = (3..=60).filter(|n| lan.may_try(address(*n), at(62))).count();
        assert!(many < 30, "all together are limited too: {many}");
    }

    #[test]
    fn a_session_ends() {
        let lan = Lan::new(PassPhrase { salt: [0; 16], hash: [0; 32] });
        let at = Duration::from_secs;
        lan.begin("key", at(10));
        assert!(lan.knows("key", at(11)) && !lan.knows("other", at(11)));
        assert!(!lan.knows("key", at(10) + SESSION));
        lan.end("key");
        assert!(!lan.knows("key", at(11)));
    }
}

//! Who may open the page from another device: a pass phrase, kept as an Argon2
//! hash; sessions; and a limit on attempts.

use std::collections::HashMap;
use std::fs;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use argon2::password_hash::phc::{Output, PasswordHash, Salt};
use argon2::password_hash::{self, PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use data_encoding::HEXLOWER;
use hosewright_core::file;
use sha2::{Digest, Sha256};
use thiserror::Error;

/// The file's first line, with the version of what follows: from 2 on a hash with its
/// parameters as a PHC string, before that a salt and a hash in hexadecimal.
const HEAD: &str = "Hosewright counter page pass phrase ";
const VERSION: &str = "2";
/// What a new hash costs with Argon2id (RFC 9106): 19 MiB, 2 passes and 1 lane, as OWASP
/// advises. A stored hash says what it has cost.
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);
/// What every hash of version 1 has cost.
const COST_1: (u32, u32, u32) = (19 * 1024, 2, 1);
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
        "{0} does not hold a pass phrase of this program; set one: hosewright desk --pass-phrase"
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
    #[error("the pass phrase can't be hashed: {0}")]
    Hash(password_hash::Error),
}

/// The hash of a pass phrase, with what it was made with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassPhrase(PasswordHash);

impl PassPhrase {
    /// Hashes a new one.
    pub fn choose(typed: &str, salt: [u8; 16]) -> Result<Self, PassPhraseError> {
        let typed = typed.trim();
        if !(LEAST..=MOST).contains(&typed.chars().count()) {
            return Err(PassPhraseError::Length);
        }
        let hash = parameters(COST).and_then(|cost| {
            let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, cost);
            argon2.hash_password_with_salt(typed.as_bytes(), &salt)
        });
        hash.map(Self).map_err(PassPhraseError::Hash)
    }

    /// Whether this is the one that was chosen.
    pub fn is(&self, typed: &str) -> Result<bool, PassPhraseError> {
        let typed = typed.trim();
        if typed.chars().count() > MOST {
            return Ok(false);
        }
        // The hash says which parameters hold, and is compared in constant time.
        match Argon2::default().verify_password(typed.as_bytes(), &self.0) {
            Ok(()) => Ok(true),
            Err(password_hash::Error::PasswordInvalid) => Ok(false),
            Err(error) => Err(PassPhraseError::Hash(error)),
        }
    }

    /// Keeps it in the folder of the account's keys.
    pub fn keep(&self, folder: &Path) -> Result<PathBuf, PassPhraseError> {
        let path = folder.join(FILE);
        let text = format!("{HEAD}{VERSION}\n{}\n", self.0);
        match file::write_private(&path, text.as_bytes()) {
            Ok(()) => Ok(path),
            Err(source) => Err(PassPhraseError::Io { path, source }),
        }
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
        let (version, hash) = text.strip_prefix(HEAD)?.split_once('\n')?;
        let hash = match version.trim() {
            "1" => version_1(hash.trim())?,
            VERSION => PasswordHash::new(hash.trim()).ok()?,
            _ => return None,
        };
        Algorithm::try_from(hash.algorithm.as_str()).ok()?;
        Params::try_from(&hash).ok()?;
        (hash.salt.is_some() && hash.hash.is_some()).then_some(Self(hash))
    }
}

fn parameters((memory, passes, lanes): (u32, u32, u32)) -> password_hash::Result<Params> {
    Ok(Params::new(memory, passes, lanes, None)?)
}

/// What earlier programs wrote.
fn version_1(text: &str) -> Option<PasswordHash> {
    let (salt, hash) = text.split_once(' ')?;
    let bytes = |hex: &str| HEXLOWER.decode(hex.as_bytes()).ok();
    Some(PasswordHash {
        algorithm: Algorithm::Argon2id.ident(),
        version: Some(Version::V0x13.into()),
        params: parameters(COST_1).ok()?.try_into().ok()?,
        salt: Some(Salt::new(&bytes(salt)?).ok()?),
        hash: Some(Output::new(&bytes(hash)?).ok()?),
    })
}

/// Sessions and attempts.
pub struct Lan {
    /// What opens a session; without one none opens.
    pub pass_phrase: Option<PassPhrase>,
    /// The hash of each session's key, and when it ends.
    sessions: Mutex<HashMap<[u8; 32], Duration>>,
    attempts: Mutex<Vec<(IpAddr, Duration)>>,
}

impl Lan {
    /// Nobody is let in yet.
    pub fn new(pass_phrase: Option<PassPhrase>) -> Self {
        Self { pass_phrase, sessions: Mutex::default(), attempts: Mutex::default() }
    }

    /// Counts an attempt; `false` if there were too many.
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
        let kept = fs::read_to_string(&path).unwrap();
        assert!(kept.contains("phrase 2\n$argon2id$v=19$m=19456,t=2,p=1$BwcHBwcHBwcHBwcHBwcHBw$"));
        assert!(!kept.contains("four"));
        assert!(matches!(PassPhrase::choose("short", [7; 16]), Err(PassPhraseError::Length)));
    }

    /// The first file is of the program that wrote version 1; the hash of the second is
    /// OpenSSL's, with other parameters than ours.
    #[test]
    fn a_stored_pass_phrase_opens_whatever_it_was_made_with() {
        for text in [
            "Hosewright counter page pass phrase 1\n83478ce7811c8bafc9a6f0315401b24f \
             dc56d7ca20a8402a799de27987e59d403cc88787de3931a381657a9c96145d69\n",
            "Hosewright counter page pass phrase 2\n$argon2id$v=19$m=1024,t=3,p=2$\
             AAECAwQFBgcICQoLDA0ODw$13ziJjuYFnzhN+4U4cmKIHGAFyJvHWuHRfYY4ETODE0\n",
        ] {
            let stored = PassPhrase::read(text).unwrap();
            assert!(stored.is("sea horse under harbour wall").unwrap(), "{text}");
            assert!(!stored.is("sea horse under harbour walls").unwrap(), "{text}");
        }
    }

    #[test]
    fn a_file_that_holds_no_pass_phrase_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        for text in [
            "something else",
            "Hosewright counter page pass phrase 1\n83478ce7 dc56d7ca\n",
            "Hosewright counter page pass phrase 2\nfour words do well\n",
            "Hosewright counter page pass phrase 2\n$argon2id$v=19$m=1024,t=3,p=2\n",
            "Hosewright counter page pass phrase 2\n$argon2id$v=19$m=1,t=0,p=9$\
             AAECAwQFBgcICQoLDA0ODw$13ziJjuYFnzhN+4U4cmKIHGAFyJvHWuHRfYY4ETODE0\n",
            "Hosewright counter page pass phrase 2\n$scrypt$ln=16,r=8,p=1$\
             AAECAwQFBgcICQoLDA0ODw$13ziJjuYFnzhN+4U4cmKIHGAFyJvHWuHRfYY4ETODE0\n",
            "Hosewright counter page pass phrase 3\n$argon2id$v=19$m=1024,t=3,p=2$\
             AAECAwQFBgcICQoLDA0ODw$13ziJjuYFnzhN+4U4cmKIHGAFyJvHWuHRfYY4ETODE0\n",
        ] {
            fs::write(folder.path().join(FILE), text).unwrap();
            let found = PassPhrase::find(folder.path());
            assert!(matches!(found, Err(PassPhraseError::Unreadable(_))), "{text}: {found:?}");
        }
    }

    #[test]
    fn attempts_are_counted_by_address_and_in_all() {
        let lan = Lan::new(PassPhrase::choose("four words do well", [0; 16]).ok());
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
        let lan = Lan::new(PassPhrase::choose("four words do well", [0; 16]).ok());
        let at = Duration::from_secs;
        lan.begin("key", at(10));
        assert!(lan.knows("key", at(11)) && !lan.knows("other", at(11)));
        assert!(!lan.knows("key", at(10) + SESSION));
        lan.end("key");
        assert!(!lan.knows("key", at(11)));
    }
}

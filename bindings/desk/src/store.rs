//! Where the record is, and where its random bits come from.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;
use hosewright_core::Logbook;
use hosewright_core::device::FolderKeyring;
use rand::rngs::{StdRng, SysRng};
use rand::{SeedableRng, TryRng};
use rand_chacha::ChaCha20Rng;

use crate::failure::Failure;

/// The variable that names the store.
pub const STORE: &str = "HOSEWRIGHT_STORE";
/// The variable that names the folder for keys.
pub const KEYS: &str = "HOSEWRIGHT_KEYS";
/// The variable that makes codes repeatable.
pub const SEED: &str = "HOSEWRIGHT_SEED";

type Generator = Box<dyn rand::Rng + Send>;

/// The file that someone named, by option or by the environment.
pub fn named(typed: Option<PathBuf>) -> Option<PathBuf> {
    typed.or_else(|| std::env::var_os(STORE).filter(|v| !v.is_empty()).map(Into::into))
}

/// The file that was named, else the one in the platform's folder for data.
pub fn place(typed: Option<PathBuf>) -> Result<PathBuf, Failure> {
    let own = || {
        let folders = ProjectDirs::from("", "", "hosewright")?;
        Some(folders.data_dir().join("record.hosewright"))
    };
    named(typed).or_else(own).ok_or_else(|| {
        Failure::refused("this account has no folder for data; name the store with --store FILE")
    })
}

/// Opens the record, and begins one if there is none.
pub fn open(path: &Path) -> Result<Logbook, Failure> {
    open_with(path, keyring()?)
}

/// Opens a record to ask it, also if it can only be read; none is begun.
pub fn open_to_read(path: &Path) -> Result<Logbook, Failure> {
    Ok(Logbook::open_to_read(path, generator()?, keyring()?)?)
}

/// A record with nothing in it, for where there is none.
pub fn empty(path: &Path) -> Result<Logbook, Failure> {
    Ok(Logbook::empty(path, generator()?, keyring()?)?)
}

/// Opens a record whose keys are somewhere else.
pub fn open_with(path: &Path, keys: Box<FolderKeyring>) -> Result<Logbook, Failure> {
    Ok(Logbook::open(path, generator()?, keys)?)
}

/// The folder for this account's keys: apart from the record, which may be
/// copied to where its key is not.
pub fn keyring() -> Result<Box<FolderKeyring>, Failure> {
    Ok(Box::new(FolderKeyring::new(keys_folder()?)))
}

/// Where this account keeps what must not travel with its record.
pub fn keys_folder() -> Result<PathBuf, Failure> {
    let named = std::env::var_os(KEYS).filter(|v| !v.is_empty()).map(PathBuf::from);
    let own = || Some(ProjectDirs::from("", "", "hosewright")?.config_dir().join("keys"));
    named.or_else(own).ok_or_else(|| {
        Failure::refused(format!("this account has no folder for keys; name one with {KEYS}"))
    })
}

/// Random bytes from the system.
pub fn random<const N: usize>() -> Result<[u8; N], Failure> {
    let mut bytes = [0; N];
    let filled = SysRng.try_fill_bytes(&mut bytes);
    filled.map_err(|e| Failure::refused(format!("the system gives no random bits: {e}")))?;
    Ok(bytes)
}

fn generator() -> Result<Generator, Failure> {
    let Some(seed) = std::env::var_os(SEED).filter(|seed| !seed.is_empty()) else {
        let random = StdRng::try_from_rng(&mut SysRng);
        return Ok(Box::new(random.map_err(|e| {
            Failure::refused(format!("the system gives no random bits for new codes: {e}"))
        })?));
    };
    let number = seed.to_str().and_then(|text| text.trim().parse().ok());
    let number = number.ok_or_else(|| {
        Failure::refused(format!("{SEED} must be a whole number; unset it for real codes"))
    })?;
    Ok(Box::new(ChaCha20Rng::seed_from_u64(number)))
}

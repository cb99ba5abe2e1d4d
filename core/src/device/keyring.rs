//! Where secret keys are kept: apart from the record, so that a copy of the
//! record alone is noticed.

use std::fs;
use std::io::ErrorKind;
use std::path::PathBuf;

use thiserror::Error;
use zeroize::Zeroizing;

use super::{DeviceId, DeviceKey};
use crate::file;

/// Why a key cannot be kept or read.
#[derive(Debug, Error)]
pub enum KeyringError {
    /// The place for keys cannot be read or written.
    #[error(
        "this device's key cannot be kept in or read from {path}: {source}; \
         make that folder writable. Nothing was changed"
    )]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// This device keeps no PINs.
    #[error("PINs are kept and taken at the counter's own computer alone; nothing was changed")]
    NoPins,
    /// This device keeps no key under a pass phrase.
    #[error(
        "keys are put under a pass phrase on a computer alone; this device guards them itself. Nothing \
         was changed"
    )]
    NoSeals,
    /// A key's file holds something else.
    #[error(
        "{0} does not hold the key that its name promises; move it away, and this device takes a \
         new identity. Nothing was changed"
    )]
    Spoiled(PathBuf),
}

/// Where secret keys are kept. A phone keeps them in its own secure store.
pub trait Keyring {
    /// The key of a device, or of a fleet's owner; nothing if it is not here.
    ///
    /// # Errors
    /// [`KeyringError`] if the keys cannot be read.
    fn find(&self, device: &DeviceId) -> Result<Option<DeviceKey>, KeyringError>;

    /// Keeps a key for good before it is first used.
    ///
    /// # Errors
    /// [`KeyringError`] if it cannot be kept.
    fn keep(&self, key: &DeviceKey) -> Result<(), KeyringError>;

    /// A key that rests under a pass phrase, as text; nothing if there is none.
    ///
    /// # Errors
    /// [`KeyringError`] if it cannot be read.
    fn sealed(&self, _device: &DeviceId) -> Result<Option<String>, KeyringError> {
        Ok(None)
    }

    /// Keeps a key under a pass phrase, and takes away the one that has none.
    ///
    /// # Errors
    /// [`KeyringError`] if it cannot be kept, or this device keeps none so.
    fn keep_sealed(&self, _device: &DeviceId, _text: &str) -> Result<(), KeyringError> {
        Err(KeyringError::NoSeals)
    }

    /// The devices whose keys are here, as far as that can be told.
    fn devices(&self) -> Vec<DeviceId> {
        Vec::new()
    }

    /// The PINs of people on this device, as text: empty if there are none.
    ///
    /// # Errors
    /// [`KeyringError`] if they cannot be read.
    fn pins(&self) -> Result<String, KeyringError> {
        Ok(String::new())
    }

    /// Keeps the PINs of people on this device.
    ///
    /// # Errors
    /// [`KeyringError`] if they cannot be kept.
    fn keep_pins(&self, _text: &str) -> Result<(), KeyringError> {
        Err(KeyringError::NoPins)
    }
}

/// The file of the PINs.
const PINS: &str = "pins";

/// Keys as files in a folder, one a key, readable by their owner alone.
#[derive(Debug, Clone)]
pub struct FolderKeyring {
    folder: PathBuf,
}

impl FolderKeyring {
    /// Keys in `folder`, which is made when the first is kept.
    #[must_use]
    pub fn new(folder: impl Into<PathBuf>) -> Self {
        Self { folder: folder.into() }
    }

    fn sealed_place(&self, device: &DeviceId) -> PathBuf {
        self.folder.join(format!("{device}.sealed"))
    }

    fn place(&self, device: &DeviceId) -> PathBuf {
        self.folder.join(format!("{device}.key"))
    }
}

impl Keyring for FolderKeyring {
    fn find(&self, device: &DeviceId) -> Result<Option<DeviceKey>, KeyringError> {
        let path = self.place(device);
        let bytes = match fs::read(&path) {
            Ok(bytes) => Zeroizing::new(bytes),
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
            Err(source) => return Err(KeyringError::Io { path, source }),
        };
        let secret = <&[u8; 32]>::try_from(bytes.as_slice()).ok();
        let key = secret.map(DeviceKey::from_secret).filter(|key| key.id() == *device);
        key.map(Some).ok_or(KeyringError::Spoiled(path))
    }

    fn keep(&self, key: &DeviceKey) -> Result<(), KeyringError> {
        let path = self.place(&key.id());
        // Whole beside its place and moved there: never half a key.
        let kept = file::write_private(&path, key.secret().as_slice());
        kept.map_err(|source| KeyringError::Io { path, source })
    }

    fn sealed(&self, device: &DeviceId) -> Result<Option<String>, KeyringError> {
        let path = self.sealed_place(device);
        match fs::read_to_string(&path) {
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
            read => read.map(Some).map_err(|source| KeyringError::Io { path, source }),
        }
    }

    fn keep_sealed(&self, device: &DeviceId, text: &str) -> Result<(), KeyringError> {
        let path = self.sealed_place(device);
        let kept = file::write_private(&path, text.as_bytes());
        kept.map_err(|source| KeyringError::Io { path, source })?;
        let bare = self.place(device);
        match fs::remove_file(&bare) {
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(()),
            removed => removed.map_err(|source| KeyringError::Io { path: bare, source }),
        }
    }

    fn devices(&self) -> Vec<DeviceId> {
        let files = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        files.filter_map(|file| file.path().file_stem()?.to_str()?.parse().ok()).collect()
    }

    fn pins(&self) -> Result<String, KeyringError> {
        let path = self.folder.join(PINS);
        match fs::read_to_string(&path) {
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(String::new()),
            read => read.map_err(|source| KeyringError::Io { path, source }),
        }
    }

    fn keep_pins(&self, text: &str) -> Result<(), KeyringError> {
        let path = self.folder.join(PINS);
        let kept = file::write_private(&path, text.as_bytes());
        kept.map_err(|source| KeyringError::Io { path, source })
    }
}

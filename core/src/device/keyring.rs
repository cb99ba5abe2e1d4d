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

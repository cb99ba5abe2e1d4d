//! What stays on this device whatever becomes of the record: its keys, who writes, and
//! whether the demonstration is looked at. A store of its own beside the record's, so that
//! no copy of the record has a key.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use hosewright_core::device::{DeviceId, DeviceKey, Keyring, KeyringError};
use rusqlite::{Connection, OptionalExtension, params};
use zeroize::Zeroizing;

/// The note of who writes.
pub const BY: &str = "by";
/// The note that the demonstration is looked at.
pub const DEMO: &str = "demo";
/// The note of people's PINs.
const PINS: &str = "pins";

/// The tables; keys and notes are written whole or not at all.
const TABLES: &str = "
    PRAGMA synchronous = FULL;
    CREATE TABLE IF NOT EXISTS key (device TEXT PRIMARY KEY, secret BLOB NOT NULL) STRICT;
    CREATE TABLE IF NOT EXISTS note (name TEXT PRIMARY KEY, text TEXT NOT NULL) STRICT;";

/// The drawer; clones look into the same one.
#[derive(Clone)]
pub struct Drawer {
    store: Arc<Mutex<Connection>>,
    name: PathBuf,
}

impl Drawer {
    /// Opens the drawer of a name, and makes it if there is none.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn open(name: &Path) -> rusqlite::Result<Self> {
        let store = Connection::open(name)?;
        store.execute_batch(TABLES)?;
        Ok(Self { store: Arc::new(Mutex::new(store)), name: name.to_owned() })
    }

    /// The note of a name.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn note(&self, name: &str) -> rusqlite::Result<Option<String>> {
        let sql = "SELECT text FROM note WHERE name = ?1";
        self.held().query_row(sql, [name], |row| row.get(0)).optional()
    }

    /// Keeps a note in the place of the one before, or takes it away.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_note(&self, name: &str, text: Option<&str>) -> rusqlite::Result<()> {
        let done = match text {
            Some(text) => self.held().execute(
                "INSERT INTO note (name, text) VALUES (?1, ?2)
                 ON CONFLICT (name) DO UPDATE SET text = excluded.text",
                [name, text],
            ),
            None => self.held().execute("DELETE FROM note WHERE name = ?1", [name]),
        };
        done.map(drop)
    }

    fn held(&self) -> MutexGuard<'_, Connection> {
        self.store.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn failed(&self, error: rusqlite::Error) -> KeyringError {
        KeyringError::Io { path: self.name.clone(), source: io::Error::other(error) }
    }
}

impl Keyring for Drawer {
    fn find(&self, device: &DeviceId) -> Result<Option<DeviceKey>, KeyringError> {
        let sql = "SELECT secret FROM key WHERE device = ?1";
        let found = self.held().query_row(sql, [device.to_string()], |row| row.get(0)).optional();
        let Some(bytes) = found.map_err(|e| self.failed(e))? else { return Ok(None) };
        let bytes: Zeroizing<Vec<u8>> = Zeroizing::new(bytes);
        let secret = <&[u8; 32]>::try_from(bytes.as_slice()).ok();
        let key = secret.map(DeviceKey::from_secret).filter(|key| key.id() == *device);
        key.map(Some).ok_or_else(|| KeyringError::Spoiled(self.name.clone()))
    }

    fn keep(&self, key: &DeviceKey) -> Result<(), KeyringError> {
        let sql = "INSERT OR REPLACE INTO key (device, secret) VALUES (?1, ?2)";
        let kept = self.held().execute(sql, params![key.id().to_string(), *key.secret()]);
        kept.map(drop).map_err(|e| self.failed(e))
    }

    fn devices(&self) -> Vec<DeviceId> {
        let held = self.held();
        let Ok(mut all) = held.prepare("SELECT device FROM key") else { return Vec::new() };
        let Ok(rows) = all.query_map([], |row| row.get::<_, String>(0)) else { return Vec::new() };
        rows.flatten().filter_map(|text| text.parse().ok()).collect()
    }

    fn pins(&self) -> Result<String, KeyringError> {
        Ok(self.note(PINS).map_err(|e| self.failed(e))?.unwrap_or_default())
    }

    fn keep_pins(&self, text: &str) -> Result<(), KeyringError> {
        self.keep_note(PINS, Some(text)).map_err(|e| self.failed(e))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand::rngs::StdRng;

    #[test]
    fn keys_and_notes_are_there_when_it_is_opened_again() {
        let folder = tempfile::tempdir().unwrap();
        let name = folder.path().join("drawer");
        let key = DeviceKey::draw(&mut StdRng::seed_from_u64(1));
        let other = DeviceKey::draw(&mut StdRng::seed_from_u64(2));
        {
            let drawer = Drawer::open(&name).unwrap();
            assert!(drawer.find(&key.id()).unwrap().is_none() && drawer.devices().is_empty());
            drawer.keep(&key).unwrap();
            drawer.keep_note(BY, Some("Ines")).unwrap();
            drawer.keep_note(BY, Some("Tove")).unwrap();
            drawer.keep_pins("pins").unwrap();
        }
        let drawer = Drawer::open(&name).unwrap();
        assert_eq!(drawer.find(&key.id()).unwrap().map(|k| k.id()), Some(key.id()));
        assert!(drawer.find(&other.id()).unwrap().is_none());
        assert_eq!(drawer.devices(), [key.id()]);
        assert_eq!(drawer.note(BY).unwrap().as_deref(), Some("Tove"));
        assert_eq!(drawer.pins().unwrap(), "pins");
        drawer.keep_note(BY, None).unwrap();
        assert_eq!(drawer.note(BY).unwrap(), None);
    }

    #[test]
    fn a_key_under_another_devices_name_is_refused() {
        let drawer = Drawer::open(Path::new(":memory:")).unwrap();
        let key = DeviceKey::draw(&mut StdRng::seed_from_u64(1));
        let other = DeviceKey::draw(&mut StdRng::seed_from_u64(2));
        drawer.keep(&key).unwrap();
        let sql = "UPDATE key SET secret = ?1";
        drawer.held().execute(sql, [other.secret().as_slice()]).unwrap();
        assert!(matches!(drawer.find(&key.id()), Err(KeyringError::Spoiled(_))));
    }
}

//! The secret address of the calendar of what is due: kept with the account's keys, apart
//! from the record, so that it travels with nothing.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use data_encoding::BASE32_NOPAD;
use hosewright_core::file;
use sha2::{Digest, Sha256};

use crate::failure::Failure;
use crate::store;

const HEAD: &str = "Hosewright calendar address 1\n";
const FILE: &str = "page-calendar";
/// The random bytes of an address: 32 characters.
const BYTES: usize = 20;
/// What each address ends with.
const ENDING: &str = ".ics";

/// Where the address is kept. It is read each time: one that another program changed
/// stops at once too.
pub struct CalendarAddress {
    file: PathBuf,
}

impl CalendarAddress {
    /// That of the account's keys in a folder.
    pub fn new(keys: &Path) -> Self {
        Self { file: keys.join(FILE) }
    }

    /// The last part of the address; none if the calendar is off.
    pub fn find(&self) -> Result<Option<String>, Failure> {
        let text = match fs::read_to_string(&self.file) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            read => read?,
        };
        // What is no address opens nothing.
        let name = text.strip_prefix(HEAD).map(str::trim).filter(|name| is_name(name));
        Ok(name.map(|name| format!("{name}{ENDING}")))
    }

    /// Whether this is the address, compared by hash: how long it takes says nothing.
    pub fn is(&self, name: &str) -> Result<bool, Failure> {
        let own = self.find()?;
        Ok(own.is_some_and(|own| Sha256::digest(own) == Sha256::digest(name)))
    }

    /// Makes a new address; the one before stops.
    pub fn renew(&self) -> Result<(), Failure> {
        let name = BASE32_NOPAD.encode(&store::random::<BYTES>()?).to_lowercase();
        Ok(file::write_private(&self.file, format!("{HEAD}{name}\n").as_bytes())?)
    }

    /// Ends it.
    pub fn end(&self) -> Result<(), Failure> {
        match fs::remove_file(&self.file) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(error.into()),
            _ => Ok(()),
        }
    }
}

fn is_name(text: &str) -> bool {
    text.len() == 32 && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_kept_renewed_and_ended() {
        let folder = tempfile::tempdir().unwrap();
        let address = CalendarAddress::new(&folder.path().join("keys"));
        assert_eq!(address.find().unwrap(), None);
        assert!(!address.is("").unwrap() && !address.is(ENDING).unwrap());
        address.end().unwrap();
        address.renew().unwrap();
        let first = address.find().unwrap().unwrap();
        assert!(first.len() == 36 && is_name(first.strip_suffix(ENDING).unwrap()), "{first}");
        assert!(address.is(&first).unwrap());
        // Another program of this account knows it too.
        assert!(CalendarAddress::new(&folder.path().join("keys")).is(&first).unwrap());
        address.renew().unwrap();
        let second = address.find().unwrap().unwrap();
        assert!(first != second && !address.is(&first).unwrap() && address.is(&second).unwrap());
        address.end().unwrap();
        assert!(!address.is(&second).unwrap() && address.find().unwrap().is_none());
    }

    #[test]
    fn a_file_that_holds_no_address_opens_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let address = CalendarAddress::new(folder.path());
        for text in ["", "something", HEAD, "Hosewright calendar address 1\nshort\n"] {
            fs::write(folder.path().join(FILE), text).unwrap();
            assert_eq!(address.find().unwrap(), None, "{text}");
            assert!(!address.is("short.ics").unwrap(), "{text}");
        }
        address.renew().unwrap();
        assert!(address.find().unwrap().is_some());
    }
}

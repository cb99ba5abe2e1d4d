//! What is half filled in, kept beside the store so that a phone that stops in
//! the middle loses nothing. A draft is this phone's own: it is no part of the
//! record, and never leaves it.

use std::fs;
use std::path::{Path, PathBuf};

use hosewright_core::file;
use hosewright_core::hose::Label;
use hosewright_core::measure::Units;
use hosewright_core::photograph::Photograph;
use serde::Serialize;
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};

use crate::{Obstacle, RefusedError};

/// Where the name of who writes is kept, among what is half filled in.
const NAME: &str = "name";
/// Where it is kept that the phone is silent.
const SILENT: &str = "silent";
/// Where it is kept that the phone reminds of what is due.
const REMINDS: &str = "reminds";
/// Where it is kept that the phone meets counters over the network.
const NETWORK: &str = "network";
/// Where the units are kept in which people read.
const UNITS: &str = "units";

/// The folder of drafts.
pub(crate) struct Drafts {
    folder: PathBuf,
}

impl Drafts {
    /// The drafts of a store: in a folder beside it.
    pub(crate) fn of_store(store: &Path) -> Self {
        let mut name = store.file_name().unwrap_or_default().to_owned();
        name.push(".drafts");
        Self { folder: store.with_file_name(name) }
    }

    /// The draft of a name; an empty one where there is none. One that cannot
    /// be understood is of an earlier version, and is started again.
    pub(crate) fn find<T: DeserializeOwned + Default>(&self, name: &str) -> T {
        let bytes = fs::read(self.place(name)).unwrap_or_default();
        serde_json::from_slice(&bytes).unwrap_or_default()
    }

    /// Keeps a draft: whole beside its place, on the disk, then moved there.
    pub(crate) fn keep<T: Serialize>(&self, name: &str, draft: &T) -> Result<(), RefusedError> {
        let bytes = serde_json::to_vec(draft).map_err(std::io::Error::from);
        bytes
            .and_then(|bytes| file::write_private(&self.place(name), &bytes))
            .map_err(|e| not_kept(&e))
    }

    /// Forgets a draft, with its photographs. One that stays behind is offered again, no more.
    pub(crate) fn forget(&self, name: &str) {
        let _ = fs::remove_file(self.place(name));
        self.forget_photographs(name, |_| false);
    }

    /// Keeps a photograph with a draft, and gives the name by which that draft has it.
    pub(crate) fn keep_photograph(
        &self,
        name: &str,
        photograph: &Photograph,
    ) -> Result<String, RefusedError> {
        let called = photograph.name().to_string();
        let place = self.photograph(name, &called);
        file::write_private(&place, photograph.jpeg()).map_err(|e| not_kept(&e))?;
        Ok(called)
    }

    /// Where a draft has a photograph.
    pub(crate) fn photograph(&self, name: &str, called: &str) -> PathBuf {
        self.folder.join(format!("{}-{called}.jpg", hash(name)))
    }

    /// Forgets the photographs of a draft but those that it still has.
    pub(crate) fn forget_photographs(&self, name: &str, has: impl Fn(&str) -> bool) {
        let head = format!("{}-", hash(name));
        for file in fs::read_dir(&self.folder).into_iter().flatten().flatten() {
            let file_name = file.file_name();
            let called =
                file_name.to_str().and_then(|it| it.strip_prefix(&head)?.strip_suffix(".jpg"));
            if called.is_some_and(|called| !has(called)) {
                let _ = fs::remove_file(file.path());
            }
        }
    }

    /// Who writes; empty as long as nobody gave a name.
    pub(crate) fn writer(&self) -> String {
        self.find(NAME)
    }

    /// Keeps the name of who writes from now on.
    pub(crate) fn keep_writer(&self, name: &str) -> Result<(), RefusedError> {
        let name = Label::new("the name of who writes", name)?;
        self.keep(NAME, &name.as_str())
    }

    /// Whether verdicts are told aloud; they are unless somebody said no.
    pub(crate) fn speaks(&self) -> bool {
        !self.find::<bool>(SILENT)
    }

    /// Keeps whether they are.
    pub(crate) fn keep_speaks(&self, speaks: bool) -> Result<(), RefusedError> {
        self.keep(SILENT, &!speaks)
    }

    /// Whether this phone reminds of what is due; it does only if somebody said so.
    pub(crate) fn reminds(&self) -> bool {
        self.find(REMINDS)
    }

    /// Keeps whether it does.
    pub(crate) fn keep_reminds(&self, reminds: bool) -> Result<(), RefusedError> {
        self.keep(REMINDS, &reminds)
    }

    /// Whether this phone meets counters over the network: off until one let it in.
    pub(crate) fn meets_counters(&self) -> bool {
        self.find(NETWORK)
    }

    /// Keeps whether it does.
    pub(crate) fn keep_meets_counters(&self, meets: bool) -> Result<(), RefusedError> {
        self.keep(NETWORK, &meets)
    }

    /// The units in which people read; as written as long as nobody chose any.
    pub(crate) fn units(&self) -> Units {
        self.find::<String>(UNITS).parse().unwrap_or_default()
    }

    /// Keeps them.
    pub(crate) fn keep_units(&self, units: Units) -> Result<(), RefusedError> {
        self.keep(UNITS, &units.word())
    }

    fn place(&self, name: &str) -> PathBuf {
        self.folder.join(format!("{}.json", hash(name)))
    }
}

/// Names have anything in them that a set's name has, so a file is named by a hash.
fn hash(name: &str) -> String {
    Sha256::digest(name).iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}

fn not_kept(error: &std::io::Error) -> RefusedError {
    let obstacle = match error.kind() {
        std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => {
            Obstacle::StorageFull
        }
        _ => Obstacle::StoreReadOnly,
    };
    RefusedError::at(obstacle, error)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test")]
mod tests {
    use super::*;

    #[test]
    fn a_draft_is_there_again_after_a_new_start() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("record.hosewright");
        let kept = vec!["HW1:1".to_owned()];
        Drafts::of_store(&store).keep("hand-out Ä/..", &kept).unwrap();
        let again = Drafts::of_store(&store);
        assert_eq!(again.find::<Vec<String>>("hand-out Ä/.."), kept);
        assert_eq!(again.find::<Vec<String>>("hand-out B"), Vec::<String>::new());
        again.forget("hand-out Ä/..");
        assert_eq!(again.find::<Vec<String>>("hand-out Ä/.."), Vec::<String>::new());
    }

    #[test]
    fn where_nothing_can_be_written_it_is_said() {
        let folder = tempfile::tempdir().unwrap();
        let blocked = folder.path().join("a-file");
        std::fs::write(&blocked, "").unwrap();
        let drafts = Drafts::of_store(&blocked.join("record"));
        let refused = drafts.keep("x", &1);
        assert!(matches!(
            refused,
            Err(RefusedError::Store { obstacle: crate::Obstacle::StoreReadOnly, .. })
        ));
    }
}

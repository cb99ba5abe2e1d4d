//! What the source files of a crate take from each other, as its code says.
//!
//! A crate is read from its root along the `mod` lines, as the compiler does it, but
//! for what is compiled for tests alone. Each path that the code writes (in a `use`, in
//! code, in a macro's call, in an attribute's text) is followed to the file in which
//! its item stands, through re-exports.

#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a harness for tests"
)]

mod paths;
mod resolve;
mod source;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

pub use resolve::Import;
use source::Source;

/// A crate's source, read.
pub struct Imports {
    root: PathBuf,
    source: Source,
    all: BTreeSet<Import>,
}

impl Imports {
    /// Reads a crate from its `lib.rs` or `main.rs`.
    ///
    /// # Panics
    /// If a file is missing or is no Rust.
    #[must_use]
    pub fn read(root: &Path) -> Self {
        let source = Source::read(root);
        let all = resolve::imports(&source);
        Self { root: root.parent().expect("a folder").to_owned(), source, all }
    }

    /// The modules that the root declares.
    #[must_use]
    pub fn rooms(&self) -> Vec<&str> {
        self.source.modules[0].children.keys().map(String::as_str).collect()
    }

    /// What every file takes from others.
    pub fn all(&self) -> impl Iterator<Item = &Import> {
        self.all.iter()
    }

    /// The circles of files: groups in which each file needs each other one, and what it takes,
    /// a line an import.
    #[must_use]
    pub fn circles(&self) -> Vec<Vec<String>> {
        let mut next: BTreeMap<&Path, BTreeSet<&Path>> = BTreeMap::new();
        for import in &self.all {
            next.entry(&import.files.0).or_default().insert(&import.files.1);
        }
        let reached: BTreeMap<&Path, BTreeSet<&Path>> =
            next.keys().map(|file| (*file, reached(&next, file))).collect();
        let needs = |a: &Path, b: &Path| reached.get(a).is_some_and(|all| all.contains(b));
        let groups: BTreeSet<BTreeSet<&Path>> = reached
            .iter()
            .filter(|(file, _)| needs(file, file))
            .map(|(file, all)| all.iter().copied().filter(|other| needs(other, file)).collect())
            .collect();
        groups.iter().map(|group| self.within(group)).collect()
    }

    fn within(&self, group: &BTreeSet<&Path>) -> Vec<String> {
        let mut pairs: BTreeMap<(&Path, &Path), Vec<&str>> = BTreeMap::new();
        for import in &self.all {
            let pair = (import.files.0.as_path(), import.files.1.as_path());
            if group.contains(pair.0) && group.contains(pair.1) {
                pairs.entry(pair).or_default().push(import.item.as_deref().unwrap_or("itself"));
            }
        }
        pairs.iter().map(|(pair, items)| self.line(*pair, items)).collect()
    }

    fn line(&self, (from, to): (&Path, &Path), items: &[&str]) -> String {
        let short =
            |file: &Path| file.strip_prefix(&self.root).unwrap_or(file).display().to_string();
        format!("{} -> {}: {}", short(from), short(to), items.join(", "))
    }
}

/// Every file that one needs, straight or through others.
fn reached<'a>(next: &BTreeMap<&'a Path, BTreeSet<&'a Path>>, file: &Path) -> BTreeSet<&'a Path> {
    let mut all = BTreeSet::new();
    let mut open: Vec<&Path> = next.get(file).into_iter().flatten().copied().collect();
    while let Some(file) = open.pop() {
        if all.insert(file) {
            open.extend(next.get(file).into_iter().flatten());
        }
    }
    all
}

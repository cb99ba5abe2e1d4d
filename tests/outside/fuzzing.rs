//! What the fuzzer has found, and what was written for it, as plain tests: every
//! seed of a corpus keeps its property, and every crasher is an error in words.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use hosewright_tests::fuzzing::{TARGETS, Taken};
use hosewright_tests::peers::root;

fn folder(name: &str) -> PathBuf {
    root().join("core/fuzz").join(name)
}

/// The names in a folder of `core/fuzz`, without what follows a full stop.
fn names(of: &str) -> BTreeSet<String> {
    let entries = fs::read_dir(folder(of)).expect("a folder").flatten();
    entries.filter_map(|entry| entry.path().file_stem()?.to_str().map(str::to_owned)).collect()
}

/// What became of each file of a target, by the file's name.
fn taken(kind: &str, target: &str, check: fn(&[u8]) -> Taken) -> Vec<(PathBuf, Taken)> {
    let files = fs::read_dir(folder(kind).join(target)).expect("a folder").flatten();
    let paths = files.map(|file| file.path());
    paths.map(|path| (path.clone(), check(&fs::read(path).expect("a file")))).collect()
}

#[test]
fn every_target_has_a_fuzzer_a_corpus_and_crashers() {
    let targets: BTreeSet<String> = TARGETS.iter().map(|(name, _)| (*name).to_owned()).collect();
    for folder in ["fuzz_targets", "corpus", "crashers"] {
        assert_eq!(names(folder), targets, "{folder}");
    }
    let manifest = fs::read_to_string(folder("Cargo.toml")).unwrap();
    for target in targets {
        assert!(manifest.contains(&format!("name = \"{target}\"")), "{target}");
    }
}

#[test]
fn every_corpus_keeps_its_property() {
    for (name, check) in TARGETS {
        let taken = taken("corpus", name, *check);
        assert!(taken.iter().any(|(_, taken)| *taken == Taken::Read), "{name} reads nothing");
    }
}

#[test]
fn every_crasher_is_refused() {
    for (name, check) in TARGETS {
        let taken = taken("crashers", name, *check);
        assert!(!taken.is_empty(), "{name}");
        let read = taken.iter().filter(|(_, taken)| *taken == Taken::Read);
        assert_eq!(read.collect::<Vec<_>>(), Vec::<&(PathBuf, Taken)>::new());
    }
}

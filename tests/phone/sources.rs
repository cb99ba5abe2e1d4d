//! What holds of the phones' code and no compiler says: no sentence is written
//! twice, the app carries the name that is on chips, and the manifest names
//! what is there.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

use hosewright_core::tag::ndef;
use hosewright_tests::peers::root;

fn sources(folder: &Path, ending: &str) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.append(&mut sources(&path, ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            let text = fs::read_to_string(&path).expect("a source");
            found.push((path, text));
        }
    }
    found
}

/// Whatever Kotlin and Swift say of a hose comes from the core.
#[test]
fn no_sentence_of_the_core_is_written_again() {
    let core = sources(&root().join("core/src/words"), "rs");
    let shown = ["phone.rs", "form.rs"];
    let shown = core.iter().filter(|(path, _)| shown.iter().any(|name| path.ends_with(name)));
    let texts: Vec<&str> = shown.flat_map(|(_, text)| text.split('"')).collect();
    let sentences: Vec<&&str> =
        texts.iter().filter(|text| text.len() > 30 && text.ends_with('.')).collect();
    assert!(sentences.len() > 20, "{sentences:?}");
    let mut faces = sources(&root().join("android/app"), "kt");
    faces.append(&mut sources(&root().join("android/app"), "xml"));
    faces.append(&mut sources(&root().join("android/companion/src/main"), "kt"));
    faces.append(&mut sources(&root().join("ios/App"), "swift"));
    for (path, text) in faces {
        for sentence in &sentences {
            assert!(!text.contains(**sentence), "{} says {sentence}", path.display());
        }
    }
}

#[test]
fn the_app_has_the_name_that_stands_on_chips() {
    let gradle = fs::read_to_string(root().join("android/app/build.gradle.kts")).expect("gradle");
    assert!(gradle.contains(&format!("applicationId = \"{}\"", ndef::PACKAGE)));
    let manifest = root().join("android/app/src/main/AndroidManifest.xml");
    let manifest = fs::read_to_string(manifest).expect("the manifest");
    assert!(manifest.contains(&format!("android:authorities=\"{}.files\"", ndef::PACKAGE)));
    // The system folds a scheme to small letters before it looks for an app.
    assert!(manifest.contains("android:scheme=\"hw1\""));
    assert!(manifest.contains(&format!("/{}", ndef::LOOK)));
    assert!(!manifest.contains("android.permission.INTERNET"), "the app has no network");
}

/// Every activity that there is can be opened, and every one that is named is there.
#[test]
fn the_manifest_names_what_is_there() {
    let app = root().join("android/app/src/main");
    let manifest = fs::read_to_string(app.join("AndroidManifest.xml")).expect("the manifest");
    let code: String =
        sources(&app.join("kotlin"), "kt").into_iter().map(|(_, text)| text).collect();
    let named: Vec<&str> = manifest
        .split("android:name=\"org.hosewright.app.")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert!(named.len() > 10, "{named:?}");
    for name in &named {
        assert!(
            code.contains(&format!("class {name} ")) || code.contains(&format!("class {name}(")),
            "{name}"
        );
    }
    for rest in code.split("class ").skip(1) {
        let name = rest.split([' ', ':', '(']).next().unwrap_or_default();
        if name.ends_with("Activity") {
            assert!(named.contains(&name), "{name} is in no manifest");
        }
    }
}

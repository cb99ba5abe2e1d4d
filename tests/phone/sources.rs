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

/// Whatever Kotlin and Swift say comes from the core, or from the door to it: no
/// sentence and no label is written again.
#[test]
fn no_words_of_the_core_are_written_again() {
    let mut words = sources(&root().join("core/src/words"), "rs");
    let door = sources(&root().join("bindings/mobile/src"), "rs");
    let of_phones = ["phone.rs", "obstacle.rs", "labels.rs"];
    words
        .extend(door.into_iter().filter(|(path, _)| of_phones.iter().any(|of| path.ends_with(of))));
    let texts = |text: &'static str| text.split('"').skip(1).step_by(2);
    let mut sentences: Vec<&str> = Vec::new();
    let mut labels: Vec<String> = Vec::new();
    for (path, text) in words {
        let text: &'static str = text.leak();
        sentences.extend(texts(text).filter(|text| text.len() > 30 && text.ends_with('.')));
        if path.ends_with("labels.rs") {
            labels.extend(texts(text).map(|label| format!("\"{label}\"")));
        }
    }
    assert!(sentences.len() > 100, "{sentences:?}");
    assert!(labels.len() > 40, "{labels:?}");
    let mut code = sources(&root().join("android/app"), "kt");
    code.append(&mut sources(&root().join("android/companion/src/main"), "kt"));
    code.append(&mut sources(&root().join("ios/App"), "swift"));
    code.append(&mut sources(&root().join("ios/HosewrightKit/Sources/HosewrightKit"), "swift"));
    for (path, text) in &code {
        for label in &labels {
            assert!(!text.contains(label.as_str()), "{} says {label}", path.display());
        }
    }
    code.append(&mut sources(&root().join("android/app"), "xml"));
    for (path, text) in &code {
        for sentence in &sentences {
            assert!(!text.contains(sentence), "{} says {sentence}", path.display());
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

/// What the app is checked with is what it is built with.
#[test]
fn the_app_is_built_with_the_kotlin_that_checks_it() {
    let read = |path: &str| fs::read_to_string(root().join(path)).expect("a file");
    let between = |text: &str, before: &str, after: &str| {
        let rest = text.split_once(before).expect("it says so").1;
        rest.split_once(after).expect("it ends").0.to_owned()
    };
    let checked = between(&read("android/pom.xml"), "<kotlin.version>", "<");
    let built = between(&read("android/build.gradle.kts"), "kotlin-gradle-plugin:", "\"");
    assert_eq!(checked, built);
    let jna = between(&read("android/pom.xml"), "<jna.version>", "<");
    assert_eq!(jna, between(&read("android/app/build.gradle.kts"), "jna:jna:", "@"));
    let wrapped = read("android/gradle/wrapper/gradle-wrapper.properties");
    let wrapped = between(&wrapped, "/gradle-", "-bin.zip");
    assert!(read("README.md").contains(&format!("Gradle {wrapped}")));
}

/// A link with a tag's text opens the app, and nothing of the phone is asked for that
/// the app does without.
#[test]
fn the_manifest_asks_for_no_more_than_is_needed() {
    let manifest = root().join("android/app/src/main/AndroidManifest.xml");
    let manifest = fs::read_to_string(manifest).expect("the manifest");
    let features: Vec<&str> = manifest.split("<uses-feature").skip(1).collect();
    assert!(features.len() >= 4);
    for feature in features {
        let feature = feature.split_once('>').expect("it ends").0;
        assert!(feature.contains("required=\"false\""), "{feature}");
    }
    let mut permissions: Vec<&str> = manifest
        .split("<uses-permission android:name=\"android.permission.")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    permissions.sort_unstable();
    let needed =
        ["CAMERA", "INTERNET", "NFC", "POST_NOTIFICATIONS", "RECEIVE_BOOT_COMPLETED", "VIBRATE"];
    assert_eq!(permissions, needed);
    assert_eq!(manifest.matches("uses-permission").count(), needed.len());
    // Counters are met by the core's own encrypted connection; nothing goes out in the clear.
    assert!(manifest.contains("android:usesCleartextTraffic=\"false\""));
    let viewed = manifest.split("<intent-filter>").any(|filter| {
        filter.contains("action.VIEW") && filter.contains("BROWSABLE") && filter.contains("hw1")
    });
    assert!(viewed, "a link opens nothing");
}

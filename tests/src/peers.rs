//! Programs of other people that check ours. One that is missing fails the
//! test with a sentence that says how to get it.

#![allow(clippy::panic, reason = "a test without its peer has failed")]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A peer's output for these arguments and this input.
///
/// # Panics
/// If the peer is not there, or says that it failed.
pub fn run(program: impl AsRef<Path>, arguments: &[&str], input: &str) -> String {
    let program = program.as_ref();
    let spawned = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    let mut child = spawned.unwrap_or_else(|why| missing(program, &why));
    let typed = input.to_owned();
    let pipe = child.stdin.take();
    let writer = std::thread::spawn(move || pipe.map(|mut pipe| pipe.write_all(typed.as_bytes())));
    let done = child.wait_with_output().unwrap_or_else(|why| missing(program, &why));
    drop(writer.join());
    // zbarimg ends with 4 where it has found nothing, which is an answer.
    if !done.status.success() && done.status.code() != Some(4) {
        panic!("{} failed: {}", program.display(), String::from_utf8_lossy(&done.stderr));
    }
    String::from_utf8_lossy(&done.stdout).into_owned()
}

fn missing(program: &Path, why: &std::io::Error) -> ! {
    panic!(
        "the peer {} cannot be run ({why}); zbarimg is in the Debian package zbar-tools, pdftoppm \
         in poppler-utils, and target/peers is made by: python3 -m venv target/peers && \
         target/peers/bin/pip install -r tests/peers/requirements.txt",
        program.display()
    )
}

/// A script of `tests/peers` for the Python of `target/peers`.
#[must_use]
pub fn python(script: &str, arguments: &[&str], input: &str) -> String {
    let script = root().join("tests/peers").join(script);
    let mut all = vec![script.to_str().unwrap_or_default()];
    all.extend(arguments);
    run(root().join("target/peers/bin/python"), &all, input)
}

/// What a script of `tests/peers` answers to `input`, both as JSON.
///
/// # Errors
/// What is wrong with its answer.
///
/// # Panics
/// If the peer is not there, or says that it failed.
pub fn ask(script: &str, input: &serde_json::Value) -> Result<serde_json::Value, String> {
    let said = python(script, &[], &input.to_string());
    serde_json::from_str(&said).map_err(|e| format!("{script}: {e}"))
}

/// The workspace's folder.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

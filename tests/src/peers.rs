//! Other people's libraries, asked for the same answer.

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What to do where the peers are not installed.
const HOW: &str = "the peers are missing; make them with: python3 -m venv target/peers && \
     target/peers/bin/pip install -r tests/peers/requirements.txt \
     (or name another environment in HOSEWRIGHT_PEERS)";

/// Runs `tests/peers/SCRIPT` with `input` as JSON on its standard input, and
/// reads JSON from its standard output.
///
/// # Errors
/// A sentence that says what is missing or what the script said: a test must
/// fail on it, never pass without its peer.
pub fn ask(script: &str, input: &Value) -> Result<Value, String> {
    let tests = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let home = std::env::var_os("HOSEWRIGHT_PEERS")
        .map_or_else(|| tests.join("../target/peers"), PathBuf::from);
    let mut child = Command::new(home.join("bin/python"))
        .arg(tests.join("peers").join(script))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|e| format!("{HOW}: {e}"))?;
    // A script that lacks its library ends before it reads: what it said on its
    // way out is worth more than the broken pipe.
    let sent = child.stdin.take().map(|mut stdin| stdin.write_all(input.to_string().as_bytes()));
    let output = child.wait_with_output().map_err(|e| format!("{script}: {e}"))?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        return Err(format!("{script} failed ({HOW}): {said}"));
    }
    sent.transpose().map_err(|e| format!("{script}: {e}"))?;
    serde_json::from_slice(&output.stdout).map_err(|e| format!("{script}: {e}"))
}

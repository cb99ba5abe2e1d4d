//! A person at a terminal: the real binary, asked and answered.

use std::collections::BTreeMap;

use serde_json::json;

use crate::desk::Desk;
use crate::peers;

/// Types answers in a terminal, each once its question has come; what stood
/// on the screen in the end, and the exit code or minus the signal.
///
/// # Panics
/// If there is no terminal, or a question never comes.
#[must_use]
#[allow(clippy::expect_used, clippy::panic, reason = "a harness for tests")]
pub fn talk(desk: &Desk, line: &str, answers: &[(&str, &str)]) -> (String, i64) {
    let command = desk.command(line.split_whitespace());
    let text = |of: &std::ffi::OsStr| of.to_str().expect("a text").to_owned();
    let run: Vec<String> =
        std::iter::once(command.get_program()).chain(command.get_args()).map(text).collect();
    let environment: BTreeMap<String, String> = command
        .get_envs()
        .filter_map(|(name, value)| Some((text(name), text(value?))))
        .chain([("TERM".to_owned(), "xterm".to_owned())])
        .collect();
    let folder = command.get_current_dir().expect("a folder");
    let asked =
        json!({ "run": run, "folder": folder, "environment": environment, "talk": answers });
    let said = peers::ask("terminal.py", &asked).unwrap_or_else(|why| panic!("{why}"));
    let shown = said["text"].as_str().unwrap_or_default().replace("\r\n", "\n");
    (shown, said["code"].as_i64().unwrap_or(-1))
}

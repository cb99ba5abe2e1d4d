//! The command line of Hosewright.

mod demo;

use std::path::PathBuf;
use std::process::ExitCode;

use hosewright_core::answer::Answer;

fn main() -> ExitCode {
    let typed: Vec<String> = std::env::args().skip(1).collect();
    let dir = match typed.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["demo"] => PathBuf::from(demo::FOLDER),
        ["demo", dir] => PathBuf::from(dir),
        _ => {
            eprintln!("hosewright: only demo [DIR] is here yet");
            return ExitCode::from(2);
        }
    };
    match demo::run(&dir, plainly, &mut std::io::stdout()) {
        Ok(_) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("hosewright: {error}");
            ExitCode::from(2)
        }
    }
}

/// An answer in plain lines.
fn plainly(answer: &Answer) -> String {
    let mut lines = vec![format!("{}  {}", answer.verdict.word().to_uppercase(), answer.code)];
    lines.push(answer.hose.words.clone());
    for reason in &answer.reasons {
        lines.push(format!("- {} {}", reason.words, reason.todo));
    }
    lines.push(answer.place.words.clone());
    lines.push(answer.caution.to_owned());
    lines.join("\n")
}

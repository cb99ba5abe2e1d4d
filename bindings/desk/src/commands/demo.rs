//! `demo`: an invented dive centre, its tags, and a photo of one that is read.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use crate::demo;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::paint::Painted;
use crate::show;
use crate::store;
use crate::terminal::Screen;

/// Makes an invented dive centre with five years of history.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright demo\n  hosewright demo somewhere/else\n\n\
    It always makes the same, in a folder of its own; --store and --today do not matter to it.")]
pub struct Demo {
    /// The folder to make it in
    #[arg(value_name = "DIR", default_value = demo::FOLDER)]
    dir: PathBuf,
}

impl Demo {
    /// Makes it, reads a photo of one of its tags and says what to try next.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let screen = Screen::of_stdout();
        if desk.json {
            let page = |_: &_| Painted::default();
            let made =
                demo::run(&self.dir, store::keyring()?, page, &mut |_| Ok(())).map_err(failed)?;
            let counted: serde_json::Map<_, _> = made
                .verdicts
                .iter()
                .map(|(verdict, count)| (verdict.to_string(), json!(count)))
                .collect();
            desk.json(
                &json!({ "verdicts": counted, "tags": made.tags, "answer": made.answer.answer }),
            )?;
        } else {
            let page = |answer: &_| show::answer::page(answer, screen);
            let mut tell = |text| desk.out.text(text);
            demo::run(&self.dir, store::keyring()?, page, &mut tell).map_err(failed)?;
        }
        Ok(Status::Done)
    }
}

fn failed(error: demo::DemoError) -> Failure {
    Failure::refused(error.to_string())
}

//! Tags in pictures: `scan` and `read`.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::tag::read_picture;
use serde::Serialize;

use super::answering::shown;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::moment::timed;
use crate::output::aside;
use crate::show;

/// Reads the tag in a picture and answers.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright scan photo.jpg\n  hosewright scan 7K2M9\n\n\
    Exit code 0: ready or watch. 1: hold or retire. 2: no tag, two tags, or no picture.")]
pub struct Scan {
    /// A PNG or JPEG picture of one tag; or a code, or the text of a tag
    #[arg(value_name = "IMAGE|CODE")]
    what: PathBuf,
}

impl Scan {
    /// Answers, and says no by the exit code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_answer()?;
        let answer = if self.what.is_file() {
            logbook.answered_picture(&bytes_of(&self.what)?, &desk.moment)?
        } else {
            logbook.answered(&typed(&self.what)?, &desk.moment)?
        };
        shown(desk, &answer)
    }
}

/// What is no file is a code, unless it can only be meant as a file.
fn typed(what: &Path) -> Result<String, Failure> {
    let text = what.to_string_lossy();
    let pictures = ["png", "jpg", "jpeg"];
    let named = what.extension().and_then(|e| e.to_str()).map(str::to_lowercase);
    if what.is_dir() || named.is_some_and(|e| pictures.contains(&e.as_str())) {
        let words = if what.is_dir() { "is a folder" } else { "is not there" };
        return Err(Failure::refused(format!(
            "{text} {words}; name one PNG or JPEG picture, or type the code on the tag"
        )));
    }
    Ok(text.into_owned())
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, Failure> {
    fs::read(path).map_err(Failure::io(path))
}

/// Says what is written on tags in pictures.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright read photo.jpg\n  hosewright read photos/ --json\n\n\
    With --json: one line a picture, {\"file\",\"texts\",\"ms\"}; ms is how long the reading took."
)]
pub struct Read {
    /// PNG or JPEG pictures, or folders of them
    #[arg(required = true, value_name = "IMAGE|DIR")]
    pictures: Vec<PathBuf>,
}

#[derive(Serialize)]
struct Reading {
    file: String,
    texts: Vec<String>,
    ms: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<String>,
}

impl Read {
    /// Reads each picture; those that can't be read are reported and skipped.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let files = pictures_of(&self.pictures)?;
        let bar = show::progress::bar("pictures", files.len());
        let mut failed = false;
        for file in &files {
            let reading = reading(file);
            if let Some(error) = &reading.error {
                failed = true;
                bar.suspend(|| aside(&format!("hosewright: {}: {error}", reading.file)));
            }
            if desk.json {
                desk.json(&reading)?;
            } else if reading.error.is_none() {
                let texts = reading.texts.join("  ");
                let texts = if texts.is_empty() { "nothing found" } else { &texts };
                desk.out.line(format!("{}: {texts}", reading.file))?;
            }
            bar.inc(1);
        }
        bar.finish_and_clear();
        if failed { Err(Failure::Told) } else { Ok(Status::Done) }
    }
}

fn reading(file: &Path) -> Reading {
    let name = file.to_string_lossy().into_owned();
    let read = |bytes: Vec<u8>| read_picture(&bytes).map_err(|e| e.to_string());
    let (found, ms) = timed(|| fs::read(file).map_err(|e| e.to_string()).and_then(read));
    let ms = (ms * 1000.0).round() / 1000.0;
    match found {
        Ok(found) => {
            let texts = found.into_iter().map(|found| found.text).collect();
            Reading { file: name, texts, ms, error: None }
        }
        Err(error) => Reading { file: name, texts: Vec::new(), ms, error: Some(error) },
    }
}

/// The files that were named, and the pictures in folders that were, by name.
fn pictures_of(named: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let mut files = Vec::new();
    for path in named {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let mut inside = Vec::new();
        for entry in fs::read_dir(path).map_err(Failure::io(path))? {
            let entry = entry.map_err(Failure::io(path))?.path();
            let ending = entry.extension().and_then(|e| e.to_str()).map(str::to_lowercase);
            if entry.is_file()
                && ending.is_some_and(|e| ["png", "jpg", "jpeg"].contains(&e.as_str()))
            {
                inside.push(entry);
            }
        }
        if inside.is_empty() {
            let words = format!("there is no PNG or JPEG picture in {}", path.display());
            return Err(Failure::refused(words));
        }
        inside.sort();
        files.append(&mut inside);
    }
    Ok(files)
}

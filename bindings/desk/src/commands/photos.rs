//! `photos`: what was photographed of a hose.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::ShownPhotograph;
use serde_json::{Value, json};

use super::files;
use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;

/// The photos of a hose.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright photos 7K2M9\n  hosewright photos 7K2M9 --out pictures"
)]
pub struct Photos {
    #[command(flatten)]
    which: Which,
    /// A folder to write them into, as 2026-06-15-run-0123456789abcdef.jpg
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Overwrite existing files
    #[arg(long, requires = "out")]
    force: bool,
}

impl Photos {
    /// Lists them in the order in which they were taken, and writes them.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let photos = logbook.photographs(self.which.hose(&logbook)?)?;
        if let Some(folder) = &self.out {
            write(&photos, folder, self.force)?;
        }
        if desk.json {
            let photos: Vec<Value> = photos.iter().map(as_json).collect();
            desk.json(&photos)?;
            return Ok(Status::Done);
        }
        let head = [Whole("On"), Text("By", 6), Text("What", 12), Whole("Name"), Whole("Bytes")];
        let mut table = table::new(Screen::of_stdout(), head);
        for photo in &photos {
            table.add_row([
                photo.on.to_string(),
                photo.by.to_string(),
                photo.words.clone(),
                photo.name.to_string(),
                photo.photograph.jpeg().len().to_string(),
            ]);
        }
        desk.out.text(table.drawn())?;
        Ok(Status::Done)
    }
}

/// Writes all of them, or names the one that is already there and writes none.
fn write(photos: &[ShownPhotograph], folder: &Path, force: bool) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(Failure::io(folder))?;
    let named = |photo: &ShownPhotograph| {
        folder.join(format!("{}-{}-{}.jpg", photo.on, photo.place, photo.name))
    };
    for photo in photos {
        files::refuse_present(&named(photo), force)?;
    }
    for photo in photos {
        let path = named(photo);
        files::write(&path, true, |file| {
            file.write_all(photo.photograph.jpeg()).map_err(Failure::io(&path))
        })?;
    }
    Ok(())
}

fn as_json(photo: &ShownPhotograph) -> Value {
    json!({
        "name": photo.name,
        "on": photo.on,
        "by": photo.by,
        "place": photo.place,
        "words": photo.words,
        "bytes": photo.photograph.jpeg().len(),
    })
}

//! Meeting by sight: `film`, and films among the files that are merged.

use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::file::Source;
use hosewright_core::journal::{FilmSize, Header, Viewer};
use hosewright_core::tag::Level;
use hosewright_core::words::meeting;
use hosewright_core::{Logbook, LogbookError};
use serde_json::json;

use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::progress;

/// Shows the record as a film of symbols, for another device's camera.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright film --out film.png\n  \
    hosewright film --holds --out have.png\n  \
    hosewright film --out rest.png --since have.png\n  \
    hosewright merge rest.png\n\n\
    The picture moves (APNG): any browser shows it, over and over. Fewer modules are read from \
    further away; more hold more, and a camera has to be nearer. It flickers: turn the screen \
    away from anybody whom flickering light makes ill.")]
pub struct Film {
    /// The picture to write, which ends in .png
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Leave out what the device that made this bundle or picture has
    #[arg(long, value_name = "FILE")]
    since: Option<PathBuf>,
    /// Show what is here in one symbol, so that another device films only the rest
    #[arg(long, conflicts_with_all = ["since", "rate", "frames"])]
    holds: bool,
    /// Frames a second
    #[arg(long, value_name = "N", default_value = "15", value_parser = clap::value_parser!(u16).range(1..=30))]
    rate: u16,
    /// Modules along a side of each symbol: 57, 61, 65 and so on to 177
    #[arg(long, value_name = "N", default_value = "97")]
    modules: u32,
    /// How much of a symbol may be lost: L, M, Q or H (7, 15, 25 or 30 %)
    #[arg(long, default_value = "L")]
    level: Level,
    /// How many frames, before it begins again [half as many again as it takes]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    frames: Option<u32>,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
}

impl Film {
    /// Writes it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let size = FilmSize::new(self.modules, self.level).map_err(LogbookError::from)?;
        let ending = self.out.extension().and_then(|ending| ending.to_str());
        if !ending.is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
            return Err(Failure::refused(format!(
                "{} does not say what to write; end it in .png",
                self.out.display()
            )));
        }
        let logbook = desk.open_to_read()?;
        let today = desk.moment.today;
        let (film, entries) = if self.holds {
            (logbook.film_of_holdings(size, today)?, 0)
        } else {
            let since = self.since.as_deref().map(|file| header(&logbook, file)).transpose()?;
            let bar = progress::bar("entries", progress::UNKNOWN);
            let film = logbook.film(since.as_ref(), size, today, |done| bar.set_position(done))?;
            bar.finish_and_clear();
            film
        };
        let (parts, frames) = (film.parts(), self.frames.unwrap_or(film.round()));
        let bar = progress::bar("frames", usize::try_from(frames).unwrap_or(usize::MAX));
        files::write(&self.out, self.force, |out| {
            let mut out = BufWriter::new(out);
            let wrote = film.write_png(frames, self.rate, &mut out, |done| {
                bar.set_position(done.into());
            });
            wrote.and_then(|()| out.flush()).map_err(Failure::io(&self.out))
        })?;
        bar.finish_and_clear();
        if desk.json {
            desk.json(&json!({
                "entries": entries, "bytes": film.bytes(), "parts": parts, "frames": frames,
            }))?;
        } else {
            let words = meeting::film(entries, &film, (frames, self.rate));
            desk.out.line(format!("{words} {}", self.out.display()))?;
        }
        Ok(Status::Done)
    }
}

/// What the maker of a bundle or a film has.
pub(super) fn header(logbook: &Logbook, file: &Path) -> Result<Header, Failure> {
    Ok(logbook.bundle_header(source(file)?.as_ref())?)
}

/// A bundle as it is in a file, or as a film in a picture has it.
pub(super) fn source(file: &Path) -> Result<Box<dyn Source>, Failure> {
    if !is_picture(file) {
        return Ok(Box::new(file.to_owned()));
    }
    let bytes = std::fs::read(file).map_err(Failure::io(file))?;
    let mut viewer = Viewer::new();
    let seen = viewer.see_picture(&bytes).and_then(|()| viewer.bundle(file));
    let bundle = seen.map_err(|error| Failure::refused(format!("{}: {error}", file.display())))?;
    Ok(Box::new(bundle))
}

/// Whether a file begins as PNG and JPEG pictures do. One that cannot be read is no picture, and
/// is told of by whoever opens it as a bundle.
fn is_picture(file: &Path) -> bool {
    let mut begins = [0; 3];
    let read = File::open(file).and_then(|mut file| file.read_exact(&mut begins));
    read.is_ok() && [*b"\x89PN", [0xFF, 0xD8, 0xFF]].contains(&begins)
}

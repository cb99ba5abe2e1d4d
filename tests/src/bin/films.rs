//! How fast a film is seen: `films SEED FILE [RATE]` watches a film of a file (a bundle of
//! 100 kB or more) at several distances and blurs, and writes a table. `films one SEED FILE
//! RATE MODULES LEVEL PIXELS BLUR LOST` watches it once.

use std::fs;

use hosewright_core::journal::{Film, FilmSize};
use hosewright_core::tag::Level;
use hosewright_tests::sight::{Sight, Watched, watch};

type Outcome = Result<(), Box<dyn std::error::Error>>;

/// The longest that anybody looks.
const MOST: f64 = 40.0;

fn main() -> Outcome {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["one", seed, file, rate, modules, level, module, blur, lost] => {
            let film = film(file, modules.parse()?, level.parse()?)?;
            let sight = Sight {
                rate: rate.parse()?,
                module: module.parse()?,
                blur: blur.parse()?,
                lost: lost.parse()?,
                seed: seed.parse()?,
            };
            println!("{}", told(&film, &watch(&film, &sight, MOST)));
            Ok(())
        }
        [seed, file] => table(seed.parse()?, file, 15.0),
        [seed, file, rate] => table(seed.parse()?, file, rate.parse()?),
        _ => {
            Err("films SEED FILE [RATE] | films one SEED FILE RATE MODULES LEVEL PIXELS BLUR LOST"
                .into())
        }
    }
}

fn film(file: &str, modules: u32, level: Level) -> Result<Film, Box<dyn std::error::Error>> {
    Ok(Film::new(&fs::read(file)?, FilmSize::new(modules, level)?)?)
}

fn told(film: &Film, watched: &Watched) -> String {
    let Watched { seconds, read, taken, wrong, viewer } = watched;
    let viewed = viewer.viewed();
    let whole = viewer.content().is_ok();
    let bytes = f64::from(u32::try_from(film.bytes()).unwrap_or(u32::MAX));
    let rate = if whole { bytes / seconds / 1_000.0 } else { 0.0 };
    format!(
        "{seconds:.1} s, {rate:.1} kB/s, {} of {} parts, {read} of {taken} pictures read, {wrong} wrong",
        viewed.had, viewed.needed
    )
}

/// How long the table's films are seen, in seconds.
const LOOK: f64 = 5.0;
/// How wide a symbol is on the screen with its quiet zone, in millimetres; a camera whose picture
/// is as wide as its distance sees it (53° across).
const WIDE: f64 = 150.0;
/// The picture's width in pixels.
const PICTURE: f64 = 1280.0;

/// Bytes of new parts in a second, for each distance, size and blur.
fn table(seed: u64, file: &str, rate: f64) -> Outcome {
    const SIZES: [u32; 3] = [77, 97, 117];
    const BLURS: [f64; 3] = [0.8, 1.4, 2.0];
    let heads = SIZES.iter().flat_map(|n| BLURS.map(|blur| format!(" {n}, blur {blur:.1} |")));
    println!("| kB a second | {}", heads.collect::<String>().trim_start());
    for distance in [300.0, 400.0, 500.0, 600.0] {
        print!("| {} cm |", distance / 10.0);
        for modules in SIZES {
            let film = film(file, modules, Level::L)?;
            let module = PICTURE * WIDE / distance / f64::from(modules + 8);
            for blur in BLURS {
                let watched = watch(&film, &Sight { rate, module, blur, lost: 0.3, seed }, LOOK);
                if watched.wrong > 0 {
                    return Err(format!("{} wrong frames were accepted", watched.wrong).into());
                }
                let viewed = watched.viewer.viewed();
                let part = f64::from(u32::try_from(film.bytes())?) / f64::from(film.parts());
                print!(" {:.1} |", f64::from(viewed.had) * part / LOOK / 1_000.0);
            }
        }
        println!();
    }
    Ok(())
}

//! A film's symbols against another reader, and its frames against their description.

#![allow(clippy::unwrap_used, reason = "a test without its peer has failed")]

use hosewright_core::journal::{Film, FilmSize};
use hosewright_core::tag::photo::Chance;
use hosewright_core::tag::{Level, Symbol};
use hosewright_tests::peers::ask;
use serde_json::json;

fn rows(symbol: &Symbol) -> Vec<String> {
    let row = |y: u32| (0..symbol.modules()).map(move |x| symbol.is_dark(x, y));
    (0..symbol.modules())
        .map(|y| row(y).map(|dark| if dark { '1' } else { '0' }).collect())
        .collect()
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn another_reader_puts_the_film_together_by_its_description() {
    let mut chance = Chance::new(6330);
    for (modules, level, bytes) in
        [(57, Level::L, 2_000), (97, Level::L, 9_000), (137, Level::M, 9_000), (177, Level::L, 40)]
    {
        let content: Vec<u8> = (0..bytes).map(|_| chance.bits().to_be_bytes()[3]).collect();
        let film = Film::new(&content, FilmSize::new(modules, level).unwrap()).unwrap();
        // The first are the content, the others make up for lost ones.
        let numbers: Vec<u64> = (0..u64::from(film.parts()) + 3).collect();
        let symbols: Vec<Vec<String>> =
            numbers.iter().map(|number| rows(&film.symbol(*number).unwrap())).collect();
        let theirs = ask("films.py", &json!(symbols)).unwrap();
        let own: Vec<String> = numbers.iter().map(|n| hexadecimal(&film.frame(*n))).collect();
        assert_eq!(theirs["frames"], json!(own), "{modules} {level}");
        assert_eq!(theirs["content"], json!(hexadecimal(&content)), "{modules} {level}");
    }
}

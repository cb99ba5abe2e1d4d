//! Tags against programs of other people: check characters, symbols, and
//! whether a reader that is not ours reads what we print.

#![allow(clippy::unwrap_used, reason = "a test that cannot write its files has failed")]

use std::collections::BTreeSet;
use std::fs;

use hosewright_core::tag::draw::{self, Level, PrinterDpi, Symbol};
use hosewright_core::tag::photo::Chance;
use hosewright_core::tag::sheet::{HoseDiameter, SheetOptions, sheet};
use hosewright_core::tag::strips::strips;
use hosewright_core::tag::{Base, Code, Payload, mod_37_2};
use hosewright_tests::peers::{python, run};
use hosewright_tests::pictures::payload;
use proptest::prelude::*;

#[test]
fn check_characters_agree_with_stdnum() {
    let mut chance = Chance::new(37);
    let letters: Vec<char> = ('0'..='9').chain('A'..='Z').collect();
    let mut letter = || letters[usize::try_from(chance.bits() % 36).unwrap_or(0)];
    let texts: Vec<String> =
        (0..5000).map(|n| (0..1 + n % 20).map(|_| letter()).collect()).collect();
    let theirs = python("mod_37_2.py", &[], &texts.join("\n"));
    let ours: Vec<String> = texts.iter().filter_map(|t| mod_37_2(t)).map(String::from).collect();
    assert_eq!(theirs.lines().collect::<Vec<_>>(), ours);
    // Every code is a valid number there too, check included.
    let codes: Vec<String> = (0..200).map(|seed| payload(seed).code.compact()).collect();
    let bodies: Vec<&str> = codes.iter().map(|c| &c[..12]).collect();
    let theirs = python("mod_37_2.py", &[], &bodies.join("\n"));
    assert_eq!(
        theirs.lines().collect::<String>(),
        codes.iter().map(|c| &c[12..]).collect::<String>()
    );
}

#[test]
fn symbols_agree_with_segno_module_for_module() {
    let base = Base::parse("https://hoses.example").unwrap();
    let texts = (0..12).map(|seed| payload(seed).text());
    let texts = texts.chain((0..4).map(|seed| payload(seed).text_with_base(&base)));
    let all: Vec<(Level, String)> =
        texts.flat_map(|t| Level::ALL.map(|level| (level, t.clone()))).collect();
    let symbols: Vec<Symbol> = all.iter().map(|(l, t)| Symbol::of(t, *l).unwrap()).collect();
    let input: Vec<String> = all.iter().map(|(l, t)| format!("{l} {t}")).collect();
    let ours: Vec<String> = symbols.iter().map(rows).collect();
    // There it is drawn with each mask, for which mask is best is a matter of taste.
    let theirs = python("segno_rows.py", &[], &input.join("\n"));
    for ((line, ours), (_, text)) in theirs.lines().zip(&ours).zip(&all) {
        assert!(line.split(' ').any(|masked| masked == ours), "{text}");
    }
    assert_eq!(theirs.lines().count(), all.len());
}

fn rows(symbol: &Symbol) -> String {
    let side = symbol.modules();
    let places = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    places.map(|(x, y)| if symbol.is_dark(x, y) { '1' } else { '0' }).collect()
}

#[test]
fn passports_agree_with_their_description() {
    let (mut input, mut texts) = (Vec::new(), Vec::new());
    for seed in 0..100 {
        let (length, year) = (50 + seed % 160, 2015 + seed % 10);
        let code = payload(seed).code.compact();
        input.push(format!("{code} 0 1 0 {length} 0 3 0 {year} 1 -"));
        texts.push(payload(seed).text());
    }
    let theirs = python("payload.py", &[], &input.join("\n"));
    assert_eq!(theirs.lines().collect::<Vec<_>>(), texts);
}

/// What zbarimg reads in a picture file, in order and without repetition.
fn zbar(file: &std::path::Path) -> BTreeSet<String> {
    let said = run("zbarimg", &["-q", "--raw", file.to_str().unwrap_or_default()], "");
    said.lines().map(str::to_owned).collect()
}

#[test]
fn every_level_and_size_is_read_by_zbar() {
    let folder = tempfile::tempdir().unwrap();
    let base = Base::parse("https://hoses.example").unwrap();
    for (at, level) in Level::ALL.into_iter().enumerate() {
        for (size, dpi, base) in [
            ("20 mm", 300, None),
            ("25 mm", 203, None),
            ("40 mm", 600, None),
            ("12.5 mm", 600, None),
            ("30 mm", 300, Some(&base)),
        ] {
            let tag = payload(u64::try_from(at).unwrap());
            let text = base.map_or_else(|| tag.text(), |b| tag.text_with_base(b));
            let dpi = PrinterDpi::new(dpi).unwrap();
            let plan = draw::plan_with_base(size.parse().unwrap(), dpi, level, tag, base).unwrap();
            let file = folder.path().join("tag.png");
            fs::write(&file, draw::png(&plan).unwrap()).unwrap();
            assert_eq!(zbar(&file), BTreeSet::from([text]), "{level} {size} {dpi:?}");
        }
    }
}

fn rendered(name: &str, pdf: &[u8]) -> BTreeSet<String> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join(name);
    fs::write(&file, pdf).unwrap();
    let stem = folder.path().join("page");
    let [file, stem] = [&file, &stem].map(|p| p.to_str().unwrap());
    run("pdftoppm", &["-r", "300", "-gray", "-png", file, stem], "");
    let pages = fs::read_dir(folder.path()).unwrap().filter_map(Result::ok).map(|e| e.path());
    pages.filter(|p| p.extension().is_some_and(|e| e == "png")).flat_map(|p| zbar(&p)).collect()
}

#[test]
fn every_tag_of_a_sheet_and_a_strip_is_read_by_zbar() {
    let tags: Vec<Payload> = (0..30).map(payload).collect();
    let texts: BTreeSet<String> = tags.iter().map(Payload::text).collect();
    let options = SheetOptions { grid: Some("4x6".parse().unwrap()), ..SheetOptions::default() };
    let mut pdf = Vec::new();
    let printed = sheet(&mut pdf, tags.clone(), &options).unwrap();
    assert_eq!(printed.pages, 2);
    assert_eq!(rendered("sheet.pdf", &pdf), texts);

    let options = SheetOptions { size: "12 mm".parse().unwrap(), ..SheetOptions::default() };
    let diameter: HoseDiameter = "13 mm".parse().unwrap();
    let mut pdf = Vec::new();
    strips(&mut pdf, tags.into_iter().take(5), diameter, &options).unwrap();
    assert_eq!(rendered("strips.pdf", &pdf), texts_of(5));

    let plan = draw::plan(options.size, options.dpi, options.level, payload(3)).unwrap();
    let one = rendered("tag.pdf", &draw::pdf(&plan).unwrap());
    assert_eq!(one, BTreeSet::from([payload(3).text()]));
}

fn texts_of(count: u64) -> BTreeSet<String> {
    (0..count).map(|seed| payload(seed).text()).collect()
}

proptest! {
    #[test]
    fn the_svg_draws_the_symbol(seed: u64) {
        let payload = payload(seed);
        let plan = draw::plan("20 mm".parse().unwrap(), PrinterDpi::default(), Level::Q, payload);
        let plan = plan.unwrap();
        let svg = draw::svg(&plan);
        let path = svg.split("<path d=\"").nth(1).and_then(|s| s.split('"').next()).unwrap_or("");
        let mut drawn = BTreeSet::new();
        for run in path.split('M').filter(|run| !run.is_empty()) {
            let numbers: Vec<u32> =
                run.split([' ', 'h', 'v']).take(3).filter_map(|n| n.parse().ok()).collect();
            drawn.extend((0..numbers[2]).map(|n| (numbers[0] + n - 4, numbers[1] - 4)));
        }
        let side = plan.symbol().modules();
        let dark = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
        let dark: BTreeSet<_> = dark.filter(|(x, y)| plan.symbol().is_dark(*x, *y)).collect();
        prop_assert_eq!(drawn, dark);
        prop_assert!(Code::parse(&payload.code.to_string()).is_ok());
    }
}

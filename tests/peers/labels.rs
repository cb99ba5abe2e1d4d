//! Printed tags with their words: rendered, measured, and read by two readers that are
//! not ours.

#![allow(clippy::unwrap_used, reason = "a test that cannot write its files has failed")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use hosewright_core::tag::sheet::{Printed, SheetOptions, roll, sheet};
use hosewright_core::tag::strips::strips;
use hosewright_core::tag::{DrawError, LABEL_SHEETS, TagLabel};
use hosewright_tests::peers::{python, run};
use hosewright_tests::pictures::payload;

fn labels(count: u64) -> Vec<TagLabel> {
    let label = |seed: u64| TagLabel {
        number: Some(format!("LP-{seed}")),
        what: Some(format!("2nd stage {} cm", 60 + seed)),
        place: Some(format!("R{} LP{}", 1 + seed / 4, 1 + seed % 4)),
        ..payload(seed).into()
    };
    (0..count).map(label).collect()
}

/// A symbol as it is on the paper, in mm.
struct Printout {
    page: u64,
    text: String,
    left: f64,
    top: f64,
    width: f64,
}

/// A word as it is on the paper, in mm: its page, its box, and itself.
struct Word {
    page: usize,
    sides: [f64; 4],
    word: String,
}

/// The symbols, all read by both readers, and the words of a PDF with its pages' sizes.
fn rendered(pdf: &[u8], dpi: u32) -> (Vec<Printout>, Vec<Word>, [f64; 2]) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("tags.pdf");
    fs::write(&file, pdf).unwrap();
    let [file, stem] = [&file, &folder.path().join("page")].map(|p| p.to_str().unwrap().to_owned());
    run("pdftoppm", &["-r", &dpi.to_string(), "-gray", "-png", &file, &stem], "");
    let said = python("symbols.py", &[folder.path().to_str().unwrap(), &dpi.to_string()], "");
    let mut symbols = Vec::new();
    for line in said.lines() {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        assert!(line.get("only").is_none(), "read by one alone: {line}");
        let mm = |name: &str| line[name].as_f64().unwrap();
        let (page, text) =
            (line["page"].as_u64().unwrap(), line["text"].as_str().unwrap().to_owned());
        symbols.push(Printout { page, text, left: mm("left"), top: mm("top"), width: mm("width") });
    }
    let boxes = run("pdftotext", &["-bbox", &file, "-"], "");
    let number = |line: &str, name: &str| -> f64 {
        let value = line.split(&format!("{name}=\"")).nth(1).unwrap();
        value.split('"').next().unwrap().parse::<f64>().unwrap() / 72.0 * 25.4
    };
    let (mut words, mut page, mut size) = (Vec::new(), 0, [0.0, 0.0]);
    for line in boxes.lines().map(str::trim) {
        if line.starts_with("<page ") {
            page += 1;
            size = ["width", "height"].map(|name| number(line, name));
        } else if let Some(word) = line.strip_suffix("</word>") {
            let word = word.rsplit('>').next().unwrap().to_owned();
            let sides = ["xMin", "yMin", "xMax", "yMax"].map(|name| number(line, name));
            words.push(Word { page: page - 1, sides, word });
        }
    }
    (symbols, words, size)
}

type Bought = (&'static str, [u32; 2], [f64; 2], [f64; 2], f64);

/// The dimensions that a sheet of labels is sold by, in mm: across, down, a label's
/// width and height, the border at the left and above, from column to column.
const BOUGHT: &[Bought] = &[
    ("70x37", [3, 8], [70.0, 37.0], [0.0, 0.5], 70.0),
    ("70x36", [3, 8], [70.0, 36.0], [0.0, 4.5], 70.0),
    ("63.5x38.1", [3, 7], [63.5, 38.1], [7.25, 15.15], 66.0),
    ("52.5x29.7", [4, 10], [52.5, 29.7], [0.0, 0.0], 52.5),
    ("48.5x25.4", [4, 10], [48.5, 25.4], [8.0, 21.5], 48.5),
    ("38.1x21.2", [5, 13], [38.1, 21.2], [4.75, 10.7], 40.6),
    ("66.7x25.4", [3, 10], [66.675, 25.4], [4.7625, 12.7], 69.85),
    ("101.6x50.8", [2, 5], [101.6, 50.8], [3.96875, 12.7], 106.3625),
];

#[test]
fn labels_are_where_they_were_bought_and_hold_their_symbol_and_words() {
    assert_eq!(
        BOUGHT.iter().map(|b| b.0).collect::<Vec<_>>(),
        LABEL_SHEETS.iter().map(|l| l.name).collect::<Vec<_>>()
    );
    for (sold, [columns, rows], [width, height], [border, above], step) in BOUGHT {
        let count = columns * rows + 1;
        let all = labels(count.into());
        let options =
            SheetOptions { labels: Some(sold.parse().unwrap()), ..SheetOptions::default() };
        let mut pdf = Vec::new();
        let printed = sheet(&mut pdf, all.clone(), &options).unwrap();
        assert_eq!((printed.tags, printed.pages, printed.advice), (count, 2, None), "{sold}");
        let (symbols, words, _) = rendered(&pdf, 600);
        assert_eq!(symbols.len(), all.len(), "{sold}");
        let place: BTreeMap<&str, &Printout> =
            symbols.iter().map(|symbol| (symbol.text.as_str(), symbol)).collect();
        let mut inside = None;
        for (at, label) in (0_u32..).zip(&all) {
            let symbol = place[label.text.text().as_str()];
            let (page, cell) = (at / (columns * rows), at % (columns * rows));
            assert_eq!(u64::from(page), symbol.page, "{sold}");
            let left = border + f64::from(cell % columns) * step;
            let top = above + f64::from(cell / columns) * height;
            // In every label the symbol is at one place, to 0.1 mm, with its quiet zone in it.
            let own = [symbol.left - left, symbol.top - top, symbol.width];
            let first = *inside.get_or_insert(own);
            for (one, other) in own.iter().zip(first) {
                assert!((one - other).abs() <= 0.1, "{sold}, label {at}: {own:?}, not {first:?}");
            }
            let quiet = 4.0 * symbol.width / 41.0;
            assert!(
                own[0] > 1.4 + quiet && own[0] + own[2] < width - 1.4 - quiet,
                "{sold}: {own:?}"
            );
            // The words of the label, whole, in it and in no other.
            let within = |word: &&Word| {
                let [x0, y0, x1, y1] = word.sides;
                let middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0);
                word.page == page as usize
                    && (left..left + width).contains(&middle.0)
                    && (top..top + height).contains(&middle.1)
            };
            let own: Vec<&Word> = words.iter().filter(within).collect();
            for word in &own {
                let [x0, y0, x1, y1] = word.sides;
                let cut = x0 < left || x1 > left + width || y0 < top || y1 > top + height;
                assert!(!cut, "{sold}, label {at}: “{}” sticks out", word.word);
                let over = x0 < symbol.left + symbol.width
                    && x1 > symbol.left
                    && y0 + 0.5 < symbol.top + symbol.width
                    && y1 - 0.5 > symbol.top;
                assert!(!over, "{sold}, label {at}: “{}” is on the symbol", word.word);
            }
            let own: BTreeSet<&str> = own.iter().map(|word| word.word.as_str()).collect();
            for word in label.words().flat_map(|words| words.split(' ')) {
                assert!(own.contains(word), "{sold}, label {at}: no “{word}” in {own:?}");
            }
        }
    }
}

/// What prints tags, by name.
type Print = fn(&mut Vec<u8>, Vec<TagLabel>, &SheetOptions) -> Result<Printed, DrawError>;

#[test]
fn sheets_rolls_and_strips_hold_every_symbol_and_word() {
    let prints: [(&str, &str, Print); 5] = [
        ("sheet", "20 mm", |out, tags, options| sheet(out, tags, options)),
        ("small sheet", "14 mm", |out, tags, options| sheet(out, tags, options)),
        ("roll", "20 mm", |out, tags, options| roll(out, tags, options)),
        ("labels of a roll", "25 mm", |out, tags, options| {
            roll(out, tags, &SheetOptions { roll: "57x32mm".parse().ok(), ..options.clone() })
        }),
        ("strips", "14 mm", |out, tags, options| strips(out, tags, "13 mm".parse()?, options)),
    ];
    for (name, size, print) in prints {
        let all = labels(9);
        let options = SheetOptions { size: size.parse().unwrap(), ..SheetOptions::default() };
        let mut pdf = Vec::new();
        print(&mut pdf, all.clone(), &options).unwrap();
        let (symbols, words, [width, height]) = rendered(&pdf, 600);
        let read: BTreeSet<&str> = symbols.iter().map(|symbol| symbol.text.as_str()).collect();
        let printed: Vec<String> = all.iter().map(|label| label.text.text()).collect();
        assert_eq!(read, printed.iter().map(String::as_str).collect(), "{name}");
        for word in &words {
            let [x0, y0, x1, y1] = word.sides;
            let cut = x0 < 0.0 || y0 < -0.1 || x1 > width || y1 > height + 0.1;
            assert!(!cut, "{name}: “{}” sticks out: {:?}", word.word, word.sides);
        }
        let shown: BTreeSet<&str> = words.iter().map(|word| word.word.as_str()).collect();
        for word in all.iter().flat_map(TagLabel::words).flat_map(|words| words.split(' ')) {
            assert!(shown.contains(word), "{name}: no “{word}”");
        }
        if name == "labels of a roll" {
            assert!(
                (width - 57.0).abs() < 0.1 && (height - 32.0).abs() < 0.1,
                "{width} × {height}"
            );
        }
    }
}

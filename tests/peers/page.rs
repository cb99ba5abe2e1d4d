//! What the counter page prints, measured on the rendered page: by poppler's
//! renderer and zbar's reader, and with a ruler against the paper's standard.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use hosewright_tests::desk::Desk;
use hosewright_tests::page::Page;
use hosewright_tests::peers::run;
use image::GrayImage;

/// Dots an inch at which pages are rendered.
const DPI: f64 = 600.0;
/// From row to row of tags that are 20 mm wide: with two lines of words they
/// are 1.2984 times as high (our own drawing), and 3 mm are between them.
const DOWN: f64 = 20.0 * 1.2984 + 3.0;
/// How far anything may be off, in mm.
const OFF: f64 = 0.1;

fn dots(mm: f64) -> u32 {
    (mm / 25.4 * DPI).round() as u32
}

fn mm(dots: f64) -> f64 {
    dots * 25.4 / DPI
}

/// The pages of a PDF as pictures, in order.
fn rendered(folder: &Path, pdf: &[u8]) -> Vec<PathBuf> {
    let file = folder.join("tags.pdf");
    fs::write(&file, pdf).unwrap();
    let stem = folder.join("page");
    let [file, stem] = [&file, &stem].map(|path| path.to_str().unwrap());
    run("pdftoppm", &["-r", "600", "-gray", "-png", file, stem], "");
    let all = fs::read_dir(folder).unwrap().filter_map(Result::ok).map(|entry| entry.path());
    let mut pages: Vec<PathBuf> =
        all.filter(|path| path.extension().is_some_and(|e| e == "png")).collect();
    pages.sort();
    pages
}

/// The middle of what is darker than paper along a line of dots, in dots.
fn middle(dark: impl Iterator<Item = (u32, u8)>) -> Option<f64> {
    let dark: Vec<f64> =
        dark.filter(|(_, grey)| *grey < 240).map(|(at, _)| f64::from(at)).collect();
    let (first, last) = (dark.first()?, dark.last()?);
    Some((first + last) / 2.0 + 0.5)
}

#[test]
fn a_sheet_of_a_hundred_tags_reads_and_measures_right() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let folder = tempfile::tempdir().unwrap();
    let reply = page.get("/tags/sheet.pdf?blank=100&form=a4&size=20mm&dpi=300");
    let pages = rendered(folder.path(), &reply.bytes);
    assert_eq!(pages.len(), 2, "72 tags of 20 mm fit on A4");
    // Each tag by itself, as it is scanned once it is cut out.
    let cuts = tempfile::tempdir().unwrap();
    let mut cells = Vec::new();
    for (nth, page) in pages.iter().enumerate() {
        let picture = image::open(page).unwrap().into_luma8();
        for at in 0..if nth == 0 { 72 } else { 28 } {
            let (x, y) = (13.0 + 23.0 * f64::from(at % 8), 10.0 + DOWN * f64::from(at / 8));
            let cut = image::imageops::crop_imm(&picture, dots(x), dots(y), dots(23.0), dots(DOWN));
            let file = cuts.path().join(format!("cut-{nth}-{at}.png"));
            cut.to_image().save(&file).unwrap();
            cells.push(file);
        }
    }
    let mut read = BTreeSet::new();
    let mut words = vec!["-q", "--raw"];
    words.extend(cells.iter().filter_map(|file| file.to_str()));
    read.extend(run("zbarimg", &words, "").lines().map(str::to_owned));
    assert_eq!(read.len(), 100, "zbar reads every tag, and no two are the same");
    assert!(read.iter().all(|text| text.starts_with("HW1:")));

    // A4 is 210 mm by 297 mm (ISO 216).
    let picture = image::open(&pages[0]).unwrap().into_luma8();
    assert!((mm(f64::from(picture.width())) - 210.0).abs() < OFF);
    assert!((mm(f64::from(picture.height())) - 297.0).abs() < OFF);
    // 8 columns of 23 mm in the middle of the page, 9 rows from 10 mm down.
    for row in 0..=9_u32 {
        for column in 0..=8_u32 {
            let (x, y) = (13.0 + 23.0 * f64::from(column), 10.0 + DOWN * f64::from(row));
            cut_mark(&picture, x, y);
        }
    }
    for row in 0..9_u32 {
        for column in 0..8_u32 {
            let cell = (13.0 + 23.0 * f64::from(column), 10.0 + DOWN * f64::from(row));
            symbol(&picture, cell);
        }
    }
}

/// A cross stands where the grid has a corner: its upright, below the middle,
/// and its bar, right of the middle.
fn cut_mark(picture: &GrayImage, x: f64, y: f64) {
    let around = |at: f64| dots(at - 1.0)..=dots(at + 1.0);
    let upright = middle(around(x).map(|at| (at, picture.get_pixel(at, dots(y + 1.0)).0[0])));
    let bar = middle(around(y).map(|at| (at, picture.get_pixel(dots(x + 1.0), at).0[0])));
    for (found, wanted) in [(upright, x), (bar, y)] {
        let found = found.map(mm);
        assert!(found.is_some_and(|found| (found - wanted).abs() < OFF), "{found:?} for {wanted}");
    }
}

/// A symbol of version 2 is 25 modules wide (ISO/IEC 18004), and so are its
/// finders 7. At 20 mm with a quiet zone of 4 modules a side a printer of 300
/// dots an inch has room for 7 whole dots a module.
fn symbol(picture: &GrayImage, (left, top): (f64, f64)) {
    let module = 7.0 * 25.4 / 300.0;
    let width = 33.0 * module;
    let (from, down) = (left + (23.0 - width) / 2.0 + 4.0 * module, top + 1.0);
    // The upper row of the finders: the first dark row of the cell.
    let inside = dots(left + 2.0)..dots(left + 21.0);
    let dark = |x: u32, y: u32| picture.get_pixel(x, y).0[0] < 128;
    let first = (dots(down)..dots(top + 14.0)).find(|y| inside.clone().any(|x| dark(x, *y)));
    let y = first.expect("a symbol") + 8;
    let row: Vec<u32> = inside.filter(|x| dark(*x, y)).collect();
    let start = *row.first().unwrap();
    let end = *row.last().unwrap() + 1;
    let finder = (start..end).find(|x| !dark(*x, y)).unwrap() - start;
    let measured = [
        (mm(f64::from(start)), from),
        (mm(f64::from(finder)), 7.0 * module),
        (mm(f64::from(end - start)), 25.0 * module),
    ];
    for (found, wanted) in measured {
        assert!((found - wanted).abs() < OFF, "{found} for {wanted} at {left}, {top}");
    }
    assert!((mm(f64::from(end - start)) / 25.0 - module).abs() < OFF / 25.0);
}

#[test]
fn labels_of_a_roll_and_strips_are_read_by_zbar() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    for (asked, pages) in [
        ("blank=3&form=roll&size=25mm&dpi=203", 3),
        ("blank=5&form=wrap-a4&size=12mm&diameter=13mm", 1),
        ("blank=5&form=letter&size=15mm&dpi=600&grid=4x7", 1),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let reply = page.get(&format!("/tags/sheet.pdf?{asked}"));
        let all = rendered(folder.path(), &reply.bytes);
        assert_eq!(all.len(), pages, "{asked}");
        let mut read = BTreeSet::new();
        for page in &all {
            let said = run("zbarimg", &["-q", "--raw", page.to_str().unwrap()], "");
            read.extend(said.lines().map(str::to_owned));
        }
        assert_eq!(read.len(), if pages == 3 { 3 } else { 5 }, "{asked}");
    }
}

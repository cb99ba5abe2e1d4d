use super::super::payload::Payload;
use super::*;
use crate::tag::code::Code;
use crate::tag::strips::strips;

fn payloads(count: usize) -> Vec<Payload> {
    let codes = (0..).filter_map(|n: u64| Code::from_bits(n.wrapping_mul(0x0123_4567_89AB)));
    codes.take(count).map(|code| Payload { code, passport: None }).collect()
}

fn printed(count: usize, options: &SheetOptions) -> Result<(Printed, Vec<u8>), DrawError> {
    let mut bytes = Vec::new();
    let printed = sheet(&mut bytes, payloads(count), options)?;
    Ok((printed, bytes))
}

#[test]
fn as_many_as_fit_or_the_grid_that_was_asked_for() {
    let options = SheetOptions::default();
    // A4 leaves 190 mm by 268 mm; a tag of 20 mm is 20 by 26.0 and 3 between:
    // 8 columns of 23 mm and 9 rows of 29 mm.
    let table = [(None, 72), ("4x7".parse().ok(), 28), ("1x1".parse().ok(), 1)];
    for (grid, a_page) in table {
        let options = SheetOptions { grid, ..options.clone() };
        for (tags, pages) in [(1, 1), (a_page, 1), (a_page + 1, 2)] {
            let done = printed(usize::try_from(tags).unwrap_or(0), &options).map(|p| p.0);
            assert_eq!(done.ok().map(|d| (d.tags, d.pages)), Some((tags, pages)), "{grid:?}");
        }
    }
}

#[test]
fn what_has_no_room_says_what_has() {
    let grid = "9x9".parse().ok();
    let said = printed(1, &SheetOptions { grid, ..SheetOptions::default() }).err();
    let said = said.map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains("there is room for 8 x 9"), "{said}");
    let size = "200 mm".parse().unwrap_or_default();
    assert!(printed(1, &SheetOptions { size, ..SheetOptions::default() }).is_err());
    assert!(matches!(printed(0, &SheetOptions::default()), Err(DrawError::NoTags)));
    for typed in ["", "4", "0x3", "51x1", "ax3", "4x7x2"] {
        assert!(typed.parse::<Grid>().is_err(), "{typed}");
    }
}

#[test]
fn the_same_tags_give_the_same_bytes_and_a_sound_table() {
    let one = printed(100, &SheetOptions::default()).map(|p| p.1).unwrap_or_default();
    let other = printed(100, &SheetOptions::default()).map(|p| p.1).unwrap_or_default();
    assert!(!one.is_empty() && one == other);
    // Every object starts where the file's own table says.
    let text = String::from_utf8_lossy(&one);
    let table_at = text.rsplit("startxref\n").next().and_then(|t| t.lines().next());
    let table_at: usize = table_at.and_then(|t| t.parse().ok()).unwrap_or(0);
    let table = String::from_utf8_lossy(one.get(table_at..).unwrap_or_default()).into_owned();
    let starts = table.lines().filter_map(|l| l.strip_suffix(" 00000 n"));
    let mut count = 0;
    for (number, start) in (1..).zip(starts) {
        let start: usize = start.parse().unwrap_or(0);
        let object = one.get(start..).unwrap_or_default();
        assert!(object.starts_with(format!("{number} 0 obj").as_bytes()), "object {number}");
        count += 1;
    }
    assert_eq!(count, 4 + 2 * 2);
}

#[test]
fn a_strip_goes_round_the_hose_and_warns_where_it_bends_too_far() {
    let size = "11.5 mm".parse().unwrap_or_default();
    let options = SheetOptions { size, ..SheetOptions::default() };
    let strip = |diameter: &str| {
        let mut bytes = Vec::new();
        strips(&mut bytes, payloads(3), diameter.parse()?, &options)
    };
    let advice = strip("12 mm").ok().and_then(|p| p.advice).unwrap_or_default();
    assert!(advice.contains("8.5 mm wide on a hose 12.0 mm thick"), "{advice}");
    assert!(strip("20 mm").is_ok_and(|p| p.advice.is_none()));
    assert!(matches!(strip("4 mm"), Err(DrawError::NoRoom { .. })));
    assert!(matches!(strip("50 mm"), Err(DrawError::BadDiameter { .. })));
}

/// A roll has a label a page, as wide as was asked for and as high as a tag is:
/// 20 mm and 1.3 times that, in points of 1/72 in.
#[test]
fn a_roll_has_a_label_a_page() {
    let options = SheetOptions::default();
    let mut bytes = Vec::new();
    let printed = roll(&mut bytes, payloads(3), &options).ok();
    assert_eq!(printed.map(|p| (p.tags, p.pages)), Some((3, 3)));
    let text = String::from_utf8_lossy(&bytes);
    assert_eq!(text.matches("/MediaBox [0 0 56.69").count(), 3);
    assert!(matches!(roll(Vec::new(), payloads(0), &options), Err(DrawError::NoTags)));
    let size = "6 mm".parse().unwrap_or_default();
    let small = SheetOptions { size, ..options };
    assert!(matches!(roll(Vec::new(), payloads(1), &small), Err(DrawError::TooSmall { .. })));
}

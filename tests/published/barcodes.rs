//! Makers' codes as the standards' own worked examples have them. The figures stand here from
//! memory of those texts; that our reader and other programs' writers agree on the same kinds of
//! symbols is tested in `tests/reader/printed.rs`.

use hosewright_core::tag::{Frame, read_barcodes};

/// Pixels of a module, light modules round a symbol, and the height of a bar in modules.
const PIXELS: usize = 3;
const EDGE: usize = 10;
const HEIGHT: usize = 12;

/// What is read of some rows of modules, `#` for the dark ones.
fn read(rows: &[String]) -> Vec<String> {
    let side = rows.iter().map(String::len).max().unwrap_or(0) + 2 * EDGE;
    let light = " ".repeat(side);
    let edge = std::iter::repeat_n(&light, EDGE);
    let padded: Vec<String> =
        rows.iter().map(|row| format!("{0}{row}{0}", " ".repeat(EDGE))).collect();
    let mut luma = Vec::new();
    for row in edge.clone().chain(&padded).chain(edge) {
        let pixels = row.chars().flat_map(|c| [if c == '#' { 0 } else { 255 }; PIXELS]);
        let line: Vec<u8> = pixels.collect();
        (0..PIXELS).for_each(|_| luma.extend_from_slice(&line));
    }
    let [width, height] = [side * PIXELS, (padded.len() + 2 * EDGE) * PIXELS];
    let [width, height] = [width, height].map(|n| u32::try_from(n).unwrap_or(0));
    let frame = Frame::new(&luma, width, height, width);
    let found = frame.map(|frame| read_barcodes(&frame)).unwrap_or_default();
    found.into_iter().map(|found| found.text).collect()
}

/// Bars and spaces by their widths, a bar first.
fn bars(widths: &str) -> Vec<String> {
    let width = |c: char| c.to_digit(10).and_then(|n| usize::try_from(n).ok()).unwrap_or(0);
    let shades = ["#", " "].iter().cycle();
    let row: String = widths.chars().zip(shades).map(|(c, shade)| shade.repeat(width(c))).collect();
    vec![row; HEIGHT]
}

/// ISO/IEC 16022, the worked example of its annex: `123456` is the code words 142 164 186, then
/// 114 25 5 88 102 to correct them, in 10 × 10 modules.
#[test]
fn the_worked_example_of_data_matrix_is_read() {
    let modules = [
        "# # # # # ",
        "##  # ## #",
        "##     #  ",
        "##   ### #",
        "##    #   ",
        "#     ####",
        "### ##    ",
        "#### ##  #",
        "#  ### #  ",
        "##########",
    ];
    assert_eq!(read(&modules.map(str::to_owned)), ["123456"]);
}

/// ISO/IEC 15420: an EAN-13 symbol begins and ends with 101 and has 01010 in its middle; its first
/// digit is said by the number sets of the left half (6: A B B B A A). The number is 629104150021,
/// whose last digit is worked out as 3 in the general specifications of the numbers' keepers.
#[test]
fn the_worked_example_of_an_article_number_is_read_with_its_own_last_digit_alone() {
    // 2 in set A, 9 1 0 in set B, 4 1 in set A; then 5 0 0 2 1 and the last.
    let left = ["0010011", "0010111", "0110011", "0100111", "0100011", "0011001"];
    let right = ["1001110", "1110010", "1110010", "1101100", "1100110"];
    let [three, four] = ["1000010", "1011100"];
    let symbol = |last: &str| {
        let row = format!("101{}01010{}{last}101", left.concat(), right.concat());
        vec![row.replace('1', "#").replace('0', " "); HEIGHT * 2]
    };
    assert_eq!(read(&symbol(three)), ["6291041500213"]);
    assert_eq!(read(&symbol(four)), Vec::<String>::new());
}

/// ISO/IEC 15417: the symbol check character is the start's value and each other's times its
/// place, by 103. `PJJ123C` in set A: 103 + 48 + 2 × 42 + 3 × 42 + 4 × 17 + 5 × 18 + 6 × 19 +
/// 7 × 35 = 878, which leaves 54.
#[test]
fn the_worked_example_of_code_128_is_read_with_its_own_check_alone() {
    let text = ["211412", "313121", "112133", "112133", "123221", "223211", "221132", "131321"];
    let symbol = |check: &str| bars(&format!("{}{check}2331112", text.concat()));
    assert_eq!((103 + 48 + 2 * 42 + 3 * 42 + 4 * 17 + 5 * 18 + 6 * 19 + 7 * 35) % 103, 54);
    assert_eq!(read(&symbol("311123")), ["PJJ123C"]);
    assert_eq!(read(&symbol("311321")), Vec::<String>::new());
}

use hosewright_core::tag::{Found, Frame, read_barcodes};

use super::Taken;

/// The widest bar or space, in modules, and the most of them in a row.
const WIDEST: u8 = 4;
const MOST: usize = 400;
/// The light edge on each side, in modules, and the height in pixels.
const EDGE: usize = 14;
const HEIGHT: usize = 24;
/// Bars and spaces of a whole symbol whose last digit proves the others: EAN-13 and UPC-A, and
/// EAN-8 (ISO/IEC 15420).
const PROVEN: [(usize, usize); 3] = [(59, 13), (59, 12), (43, 8)];

/// A row of bars and spaces: one byte for the pixels of a module, one for each width. What is
/// read is read again alike, and no number of an EAN symbol has another last digit than its own.
pub fn bars(bytes: &[u8]) -> Taken {
    let [pixels, widths @ ..] = bytes else { return Taken::Refused };
    let pixels = usize::from(pixels % 3) + 1;
    let widths = widths.iter().take(MOST).map(|width| usize::from(width % WIDEST) + 1);
    let widths: Vec<usize> = widths.collect();
    let mut row = vec![255; EDGE * pixels];
    for (nth, width) in widths.iter().enumerate() {
        let shade = if nth % 2 == 0 { 0 } else { 255 };
        row.extend(std::iter::repeat_n(shade, width * pixels));
    }
    row.extend(std::iter::repeat_n(255, EDGE * pixels));
    let found = read(&row);
    assert_eq!(found, read(&row));
    for Found { text, .. } in &found {
        let digits: Option<Vec<u32>> = text.chars().map(|c| c.to_digit(10)).collect();
        let proven = PROVEN.contains(&(widths.len(), text.len()));
        if let Some(digits) = digits.filter(|_| proven) {
            // Weights 3 and 1 from the right, the last digit's 1: the sum is whole tens.
            let weighed = digits.iter().rev().zip([1, 3].iter().cycle()).map(|(d, w)| d * w);
            assert_eq!(weighed.sum::<u32>() % 10, 0, "{text}");
        }
    }
    if found.is_empty() { Taken::Refused } else { Taken::Read }
}

fn read(row: &[u8]) -> Vec<Found> {
    let luma = row.repeat(HEIGHT);
    let [width, height] = [row.len(), HEIGHT].map(|n| u32::try_from(n).unwrap_or(0));
    let frame = Frame::new(&luma, width, height, width);
    frame.map(|frame| read_barcodes(&frame)).unwrap_or_default()
}

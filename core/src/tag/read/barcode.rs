//! Makers' own barcodes, read by a general reader along a few lines.

use std::collections::HashSet;

use rxing::common::GlobalHistogramBinarizer;
use rxing::oned::MultiFormatOneDReader;
use rxing::{BarcodeFormat, BinaryBitmap, DecodeHints, Luma8LuminanceSource, RXingResult, Reader};

use super::frame::Found;
use super::view::View;

/// Kinds of barcode that hose makers may print, each with a check of its own or
/// read twice over.
const BARCODES: [BarcodeFormat; 8] = [
    BarcodeFormat::CODE_128,
    BarcodeFormat::CODE_39,
    BarcodeFormat::CODE_93,
    BarcodeFormat::EAN_13,
    BarcodeFormat::EAN_8,
    BarcodeFormat::ITF,
    BarcodeFormat::UPC_A,
    BarcodeFormat::UPC_E,
];

#[allow(clippy::cast_precision_loss, reason = "a small whole number")]
fn narrow(value: u32) -> f32 {
    value as f32
}

/// How many lines are looked at together; as many as the general reader looks
/// at before it gives up.
const LINES: u32 = 15;

/// The barcodes in a view, lying or standing: at most one each way.
pub fn barcodes(view: &View<'_>) -> Vec<Found> {
    [false, true].into_iter().filter_map(|standing| barcode(view, standing)).collect()
}

/// A barcode that crosses one of a few lines spread over the view, and again
/// two of those a good way beside: bars are long, whereas stripes and letters
/// that pass for a short barcode on one line do not on others.
fn barcode(view: &View<'_>, standing: bool) -> Option<Found> {
    let extent = if standing { view.width } else { view.height };
    let extent = u32::try_from(extent).ok()?;
    let step = (extent / LINES).max(1);
    [step / 4, step * 3 / 4].into_iter().find_map(|first| {
        let result = read_lines(view, standing, (first, step, LINES))?;
        let points = result.getPoints();
        let line = points.first().map(|p| whole(p.y))?;
        let at = first + line * step;
        let ends = || points.iter().map(|p| whole(p.x));
        let long = ends().max()?.abs_diff(ends().min()?);
        let away = (long / 16).max(4);
        let beside = [at.checked_sub(2 * away), at.checked_sub(away)];
        let beyond = [Some(at + away), Some(at + 2 * away)];
        let lines = beside.into_iter().chain(beyond).flatten().filter(|line| line + 3 <= extent);
        let same = |line: &u32| {
            let again = read_lines(view, standing, (*line, 1, 3));
            again.is_some_and(|again| again.getText() == result.getText())
        };
        (lines.filter(same).count() >= 2).then(|| {
            let corner = |p: &rxing::Point| {
                let (along, across) = (p.x, narrow(at));
                if standing { (across, along) } else { (along, across) }
            };
            let corners = points.iter().map(corner).collect();
            Found { text: result.getText().to_owned(), corners }
        })
    })
}

/// Reads rows or columns of a view, one above the other: from which on, how far
/// apart, and how many.
fn read_lines(
    view: &View<'_>,
    standing: bool,
    (first, step, lines): (u32, u32, u32),
) -> Option<RXingResult> {
    let [first, step, lines] = [first, step, lines].map(|n| usize::try_from(n).unwrap_or(1));
    let picked: Vec<u8> = if standing {
        let columns = (first..view.width).step_by(step).take(lines);
        let column = |x: usize| (0..view.height).filter_map(move |y| view.row(y).get(x));
        columns.flat_map(column).copied().collect()
    } else {
        let rows = (first..view.height).step_by(step).take(lines);
        rows.flat_map(|y| view.row(y)).copied().collect()
    };
    let long = u32::try_from(if standing { view.height } else { view.width }).ok()?;
    let count = u32::try_from(picked.len()).unwrap_or(0).checked_div(long)?;
    let source = (long >= 32 && count > 0)
        .then(|| Luma8LuminanceSource::new(picked, long, count).ok())??;
    let hints =
        DecodeHints { PossibleFormats: Some(HashSet::from(BARCODES)), ..DecodeHints::default() };
    let mut bitmap = BinaryBitmap::new(GlobalHistogramBinarizer::new(source));
    MultiFormatOneDReader::new(&hints).decode_with_hints(&mut bitmap, &hints).ok()
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
fn whole(value: f32) -> u32 {
    value.clamp(0.0, 100_000.0) as u32
}

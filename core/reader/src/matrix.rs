//! Data Matrix (ISO/IEC 16022, ECC 200), which makers etch on metal, by the
//! general reader.

use std::sync::LazyLock;

use rxing::common::{BitMatrix, DetectorRXingResult, HybridBinarizer};
use rxing::datamatrix::decoder::Decoder;
use rxing::datamatrix::detector::zxing_cpp_detector::detect;
use rxing::{Binarizer, Luma8LuminanceSource};

use super::binary::Blocks;
use super::frame::Found;
use super::view::View;

static DECODER: LazyLock<Decoder> = LazyLock::new(Decoder::new);

/// The longer side above which a view is halved first.
const LARGE: usize = 1000;
/// The smallest symbol has ten modules each way, and light around.
const LEAST: usize = 12;

/// Where a symbol is looked for.
#[derive(Clone, Copy)]
pub enum Lines {
    /// On the two lines through the middle, where a symbol is that is aimed at.
    Middle,
    /// On lines all over the view if there is none, which takes many times as long.
    All,
}

/// The Data Matrix symbol in a view, if there is one: dark on light, or light on
/// dark as on etched metal.
pub fn matrix(view: &View<'_>, lines: Lines) -> Option<Found> {
    if view.width.max(view.height) <= LARGE {
        return read_either(view, lines);
    }
    let mut luma = Vec::new();
    view.halve(&mut luma);
    let half = View::new(&luma, view.width / 2, view.height / 2, view.width / 2)?;
    let mut found = read_either(&half, lines)?;
    found.corners.iter_mut().for_each(|(x, y)| (*x, *y) = (2.0 * *x + 0.5, 2.0 * *y + 0.5));
    Some(found)
}

fn read_either(view: &View<'_>, lines: Lines) -> Option<Found> {
    if view.width.min(view.height) < LEAST {
        return None;
    }
    let blocks = Blocks::of(view);
    let dark = |inverted: bool| match &blocks {
        Some(blocks) => blocks.dark(view, inverted),
        None => dark_of_small(view, inverted),
    };
    let [plain, inverted] = [dark(false)?, dark(true)?];
    let read_both = |all: bool| read(&plain, all).or_else(|| read(&inverted, all));
    match lines {
        Lines::Middle => read_both(false),
        Lines::All => read_both(false).or_else(|| read_both(true)),
    }
}

/// The dark pixels of a view that is too small for blocks.
fn dark_of_small(view: &View<'_>, inverted: bool) -> Option<BitMatrix> {
    let turn = if inverted { u8::MAX } else { 0 };
    let luma = (0..view.height).flat_map(|y| view.row(y)).map(|v| v ^ turn).collect();
    let [width, height] = [view.width, view.height].map(u32::try_from);
    let source = Luma8LuminanceSource::new(luma, width.ok()?, height.ok()?).ok()?;
    HybridBinarizer::new(source).get_black_matrix().ok().cloned()
}

fn read(dark: &BitMatrix, all_lines: bool) -> Option<Found> {
    detect(dark, all_lines, true).ok()?.iter().find_map(|symbol| {
        let read = DECODER.decode(symbol.getBits()).ok()?;
        let corners = symbol.getPoints().iter().map(|p| (p.x, p.y)).collect();
        let text = read.getText().to_owned();
        Some(Found { bytes: text.clone().into_bytes(), text, corners })
    })
}

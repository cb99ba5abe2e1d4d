//! The ladder behind the reader's door: ways to look at a picture, cheapest
//! first, each tried on a general reader.

use std::collections::HashSet;

use rxing::common::{GlobalHistogramBinarizer, HybridBinarizer};
use rxing::multi::MultipleBarcodeReader;
use rxing::oned::MultiFormatOneDReader;
use rxing::qrcode::cpp_port::QrReader;
use rxing::{
    BarcodeFormat, Binarizer, BinaryBitmap, DecodeHints, Luma8LuminanceSource, RXingResult, Reader,
};

use super::picture::Grey;
use super::read::Found;

/// How a look differs from the picture as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Filter {
    Plain,
    /// Each pixel the weighted mean of its 3 × 3, against noise.
    Smooth,
    /// Each pixel against the mean and spread around it, against uneven light
    /// and faded print.
    Level,
}

/// How the picture is split into dark and light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Split {
    /// By the brightness around each block.
    Local,
    /// By the brightness around each block, with small gaps closed.
    Closed,
    /// By one threshold.
    Whole,
}

/// One look: 2 halves the picture and 1 leaves it; light on dark or dark on
/// light.
#[derive(Debug, Clone, Copy)]
struct Look {
    shrink: u32,
    filter: Filter,
    split: Split,
    inverted: bool,
}

const fn look(shrink: u32, filter: Filter, split: Split, inverted: bool) -> Look {
    Look { shrink, filter, split, inverted }
}

/// Every look, in order. The first two are always taken; after that the climb
/// ends with the first look that finds a symbol.
const LADDER: &[Look] = &[
    look(1, Filter::Plain, Split::Local, false),
    look(2, Filter::Plain, Split::Local, false),
    look(1, Filter::Plain, Split::Closed, false),
    look(1, Filter::Smooth, Split::Local, false),
    look(2, Filter::Plain, Split::Closed, false),
    look(2, Filter::Level, Split::Whole, false),
    look(1, Filter::Level, Split::Whole, false),
    look(1, Filter::Plain, Split::Whole, false),
    look(3, Filter::Plain, Split::Local, false),
    look(1, Filter::Plain, Split::Local, true),
    look(2, Filter::Plain, Split::Local, true),
    look(1, Filter::Level, Split::Whole, true),
];
const ALWAYS: usize = 2;

/// The longer side above which a picture is first halved, and halved again: a
/// tag fills a fair part of a photo, so nothing is lost, and time is saved.
const LARGE: u32 = 2000;

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

/// Looks for barcodes, then for symbols until some are found. `take` says of each text
/// whether it counts.
pub(super) fn climb(grey: Grey, mut take: impl FnMut(Found) -> bool) {
    let mut full = View { grey, scale: 1.0 };
    // A picture of a single line cannot be halved.
    while full.grey.width.max(full.grey.height) > LARGE
        && full.grey.width.min(full.grey.height) >= 2
    {
        full = full.shrunk(2);
    }
    for barcode in barcodes(&full) {
        take(barcode);
    }
    // A barcode does not end the climb: our tag may hang beside it.
    let mut hits = 0;
    for (at, look) in LADDER.iter().enumerate() {
        if at >= ALWAYS && hits > 0 {
            return;
        }
        let view = full.shrunk(look.shrink).filtered(look.filter, look.inverted);
        let found = symbols(&view, look.split, at >= ALWAYS);
        hits += found.into_iter().map(&mut take).filter(|counts| *counts).count();
    }
}

/// A picture and how many pixels of the original one of its pixels is wide.
struct View {
    grey: Grey,
    scale: f32,
}

impl View {
    /// The mean of every square of so many pixels.
    fn shrunk(&self, by: u32) -> Self {
        let Grey { width, height, luma } = &self.grey;
        let (small_w, small_h) = (width / by, height / by);
        if by <= 1 || small_w == 0 || small_h == 0 {
            let grey = Grey { width: *width, height: *height, luma: luma.clone() };
            return Self { grey, scale: self.scale };
        }
        let [row, step] = [*width, by].map(|n| usize::try_from(n).unwrap_or(1));
        let wide = usize::try_from(small_w).unwrap_or(1) * step;
        let area = by * by;
        let mut shrunk = Vec::with_capacity(luma.len() / (step * step));
        for band in luma.chunks_exact(row * step) {
            let mut sums = vec![area / 2; wide / step];
            for line in band.chunks_exact(row) {
                let squares = line.chunks_exact(step).take(sums.len());
                for (sum, square) in sums.iter_mut().zip(squares) {
                    *sum += square.iter().copied().map(u32::from).sum::<u32>();
                }
            }
            shrunk.extend(sums.into_iter().map(|sum| u8::try_from(sum / area).unwrap_or(255)));
        }
        let grey = Grey { width: small_w, height: small_h, luma: shrunk };
        Self { grey, scale: self.scale * narrow(by) }
    }

    fn filtered(mut self, filter: Filter, inverted: bool) -> Self {
        match filter {
            Filter::Plain => {}
            Filter::Smooth => super::filters::smooth(&mut self.grey),
            Filter::Level => super::filters::level(&mut self.grey),
        }
        if inverted {
            for pixel in &mut self.grey.luma {
                *pixel = 255 - *pixel;
            }
        }
        self
    }

    fn source(&self) -> Option<Luma8LuminanceSource> {
        let Grey { width, height, luma } = &self.grey;
        // Under 8 pixels there is nothing to read, and some readers divide by
        // an eighth of the size.
        (*width >= 8 && *height >= 8)
            .then(|| Luma8LuminanceSource::new(luma.clone(), *width, *height).ok())?
    }

    fn found(&self, result: &RXingResult) -> Found {
        let scaled = |p: &rxing::Point| (p.x * self.scale, p.y * self.scale);
        Found {
            text: result.getText().to_owned(),
            corners: result.getPoints().iter().map(scaled).collect(),
        }
    }
}

#[allow(clippy::cast_precision_loss, reason = "a small whole number")]
fn narrow(value: u32) -> f32 {
    value as f32
}

/// The QR symbols in a view; `hard` looks at more of its rows.
fn symbols(view: &View, split: Split, hard: bool) -> Vec<Found> {
    let Some(source) = view.source() else { return Vec::new() };
    match split {
        Split::Whole => {
            read_all(view, BinaryBitmap::new(GlobalHistogramBinarizer::new(source)), hard)
        }
        Split::Local => read_all(view, BinaryBitmap::new(HybridBinarizer::new(source)), hard),
        Split::Closed => {
            let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
            if bitmap.close().is_err() {
                return Vec::new();
            }
            read_all(view, bitmap, hard)
        }
    }
}

fn read_all<B: Binarizer>(view: &View, mut bitmap: BinaryBitmap<B>, hard: bool) -> Vec<Found> {
    let hints = DecodeHints {
        TryHarder: Some(hard),
        PossibleFormats: Some(HashSet::from([BarcodeFormat::QR_CODE])),
        ..DecodeHints::default()
    };
    let results = QrReader.decode_multiple_with_hints(&mut bitmap, &hints).unwrap_or_default();
    results.iter().map(|result| view.found(result)).collect()
}

/// How many lines are looked at together; as many as the general reader looks
/// at before it gives up.
const LINES: u32 = 15;

/// The barcodes in a view, lying or standing: at most one each way.
fn barcodes(view: &View) -> Vec<Found> {
    [false, true].into_iter().filter_map(|standing| barcode(view, standing)).collect()
}

/// A barcode that crosses one of a few lines spread over the view, and again
/// one of the lines next to it: stripes in a background pass for a short
/// barcode once, hardly ever twice.
fn barcode(view: &View, standing: bool) -> Option<Found> {
    let extent = if standing { view.grey.width } else { view.grey.height };
    let step = (extent / LINES).max(1);
    [step / 4, step * 3 / 4].into_iter().find_map(|first| {
        let result = read_lines(view, standing, first, step)?;
        let line = result.getPoints().first().map(|p| whole(p.y))?;
        let at = first + line * step;
        let beside = at.saturating_sub(LINES / 2).min(extent.saturating_sub(LINES));
        let again = read_lines(view, standing, beside, 1)?;
        (again.getText() == result.getText()).then(|| {
            let corner = |p: &rxing::Point| {
                let (along, across) = (p.x * view.scale, narrow(at) * view.scale);
                if standing { (across, along) } else { (along, across) }
            };
            let corners = result.getPoints().iter().map(corner).collect();
            Found { text: result.getText().to_owned(), corners }
        })
    })
}

/// Reads rows or columns of a view, so many apart, one above the other.
fn read_lines(view: &View, standing: bool, first: u32, step: u32) -> Option<RXingResult> {
    let Grey { width, height, luma } = &view.grey;
    let [row, first, step] = [*width, first, step].map(|n| usize::try_from(n).unwrap_or(1));
    let lines = usize::try_from(LINES).unwrap_or(1);
    let picked: Vec<u8> = if standing {
        let columns = (first..row).step_by(step).take(lines);
        columns.flat_map(|at| luma.iter().skip(at).step_by(row.max(1))).copied().collect()
    } else {
        luma.chunks_exact(row).skip(first).step_by(step).take(lines).flatten().copied().collect()
    };
    let long = if standing { *height } else { *width };
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

//! The ladder behind the reader's door: ways to look at a picture, cheapest
//! first, each tried on a general reader.

use std::collections::HashSet;

use rxing::common::{GlobalHistogramBinarizer, HybridBinarizer};
use rxing::multi::MultipleBarcodeReader;
use rxing::oned::MultiFormatOneDReader;
use rxing::qrcode::cpp_port::QrReader;
use rxing::{
    BarcodeFormat, Binarizer, BinaryBitmap, DecodeHints, Luma8LuminanceSource, LuminanceSource,
    RXingResult, Reader,
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
/// ends with the first look that finds something.
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

/// Looks at a picture until something is found. `take` says of each text
/// whether it counts.
pub(super) fn climb(grey: Grey, mut take: impl FnMut(Found) -> bool) {
    let mut full = View { grey, scale: 1.0 };
    while full.grey.width.max(full.grey.height) > LARGE {
        full = full.shrunk(2);
    }
    let mut hits = barcodes(&full).into_iter().map(&mut take).filter(|counts| *counts).count();
    for (at, look) in LADDER.iter().enumerate() {
        if at >= ALWAYS && hits > 0 {
            return;
        }
        let view = full.shrunk(look.shrink).filtered(look.filter, look.inverted);
        let found = symbols(&view, look.split);
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

/// The QR symbols in a view.
fn symbols(view: &View, split: Split) -> Vec<Found> {
    let Some(source) = view.source() else { return Vec::new() };
    match split {
        Split::Whole => read_all(view, BinaryBitmap::new(GlobalHistogramBinarizer::new(source))),
        Split::Local => read_all(view, BinaryBitmap::new(HybridBinarizer::new(source))),
        Split::Closed => {
            let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
            if bitmap.close().is_err() {
                return Vec::new();
            }
            read_all(view, bitmap)
        }
    }
}

fn read_all<B: Binarizer>(view: &View, mut bitmap: BinaryBitmap<B>) -> Vec<Found> {
    let hints = DecodeHints {
        TryHarder: Some(true),
        PossibleFormats: Some(HashSet::from([BarcodeFormat::QR_CODE])),
        ..DecodeHints::default()
    };
    let results = QrReader.decode_multiple_with_hints(&mut bitmap, &hints).unwrap_or_default();
    results.iter().map(|result| view.found(result)).collect()
}

/// A barcode in a view, lying or standing.
fn barcodes(view: &View) -> Vec<Found> {
    let Some(source) = view.source() else { return Vec::new() };
    let Some(result) = barcode(source.clone()) else { return Vec::new() };
    confirmed(&source, &result).then(|| view.found(&result)).into_iter().collect()
}

fn barcode(source: Luma8LuminanceSource) -> Option<RXingResult> {
    let hints = DecodeHints {
        TryHarder: Some(true),
        PossibleFormats: Some(HashSet::from(BARCODES)),
        ..DecodeHints::default()
    };
    let mut bitmap = BinaryBitmap::new(GlobalHistogramBinarizer::new(source));
    MultiFormatOneDReader::new(&hints).decode_with_hints(&mut bitmap, &hints).ok()
}

/// Whether a barcode is read again a few lines away: stripes in a background
/// pass for a short barcode once, hardly ever twice.
fn confirmed(source: &Luma8LuminanceSource, result: &RXingResult) -> bool {
    let [Some(one), Some(other)] = [0, 1].map(|at| result.getPoints().get(at)) else {
        return false;
    };
    let lying = (one.x - other.x).abs() >= (one.y - other.y).abs();
    let (width, height) = (source.get_width(), source.get_height());
    let across = if lying { one.y } else { one.x };
    let extent = if lying { height } else { width };
    [4.0, -12.0].into_iter().any(|away| {
        let from = whole(across + away).min(extent.saturating_sub(8));
        let band =
            if lying { source.crop(0, from, width, 8) } else { source.crop(from, 0, 8, height) };
        let again = band.ok().and_then(barcode);
        again.is_some_and(|again| again.getText() == result.getText())
    })
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
fn whole(value: f32) -> usize {
    value.clamp(0.0, 100_000.0) as usize
}

//! Data Matrix (ISO/IEC 16022, ECC 200), which makers etch on metal, by the
//! general reader.

use rxing::common::HybridBinarizer;
use rxing::datamatrix::DataMatrixReader;
use rxing::{BinaryBitmap, DecodeHints, Luma8LuminanceSource, Reader};

use super::frame::Found;
use super::view::View;

/// The longer side above which a view is halved first.
const LARGE: usize = 1000;

/// The Data Matrix symbol in a view, if there is one: dark on light, or light on
/// dark as on etched metal.
pub fn matrix(view: &View<'_>) -> Option<Found> {
    let (mut luma, mut width, mut height) = (Vec::new(), view.width, view.height);
    let large = width.max(height) > LARGE;
    if large {
        view.halve(&mut luma);
        (width, height) = (width / 2, height / 2);
    } else {
        (0..height).for_each(|y| luma.extend_from_slice(view.row(y)));
    }
    let sizes = (u32::try_from(width).ok()?, u32::try_from(height).ok()?);
    let inverted = luma.iter().map(|v| 255 - v).collect();
    let mut found = [luma, inverted].into_iter().find_map(|luma| read(luma, sizes))?;
    if large {
        found.corners.iter_mut().for_each(|(x, y)| (*x, *y) = (2.0 * *x + 0.5, 2.0 * *y + 0.5));
    }
    Some(found)
}

fn read(luma: Vec<u8>, (width, height): (u32, u32)) -> Option<Found> {
    // The smallest symbol has ten modules each way, and light around.
    if width.min(height) < 12 {
        return None;
    }
    let source = Luma8LuminanceSource::new(luma, width, height).ok()?;
    let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
    let read = DataMatrixReader.decode_with_hints(&mut bitmap, &DecodeHints::default()).ok()?;
    let corners = read.getPoints().iter().map(|p| (p.x, p.y)).collect();
    let text = read.getText().to_owned();
    Some(Found { bytes: text.clone().into_bytes(), text, corners })
}

use hosewright_core::tag::{
    Found, Frame, Level, Payload, PayloadError, Reader, Symbol, read_frame,
};

use super::{Taken, said};

/// A grey frame: one byte for the width, one for what fills up each row, then
/// rows. Whatever is read as ours is drawn and read again as the same.
pub fn frame(bytes: &[u8]) -> Taken {
    let [width, gap, luma @ ..] = bytes else { return Taken::Refused };
    let stride = usize::from(*width) + usize::from(*gap);
    let rows = luma.len().checked_div(stride).unwrap_or(0).min(256);
    let whole = luma.get(..rows * stride).unwrap_or_default();
    let sizes = [usize::from(*width), rows, stride].map(|n| u32::try_from(n).unwrap_or(0));
    let [width, height, stride] = sizes;
    let Some(frame) = said(Frame::new(whole, width, height, stride)) else {
        return Taken::Refused;
    };
    let found = read_frame(&frame);
    for text in found.iter().map(|found| &found.text) {
        match Payload::parse(text) {
            Ok(tag) => assert!(reads(&tag.text()), "{text}"),
            Err(PayloadError::Damaged { what }) => unreachable!("{text} is damaged: {what}"),
            Err(_) => {}
        }
    }
    // A film of this frame twice: where it is followed, nothing damaged is read.
    let mut reader = Reader::new();
    for text in (0..2).flat_map(|_| reader.read(&frame).to_vec()).map(|found| found.text) {
        assert!(!matches!(Payload::parse(&text), Err(PayloadError::Damaged { .. })), "{text}");
    }
    if found.is_empty() { Taken::Refused } else { Taken::Read }
}

/// Whether a text that is drawn 4 pixels a module is read.
fn reads(text: &str) -> bool {
    let Ok(symbol) = Symbol::of(text, Level::Q) else { return false };
    let side = (symbol.modules() + 8) * 4;
    let dark = |x: u32, y: u32| {
        let module = |at: u32| (at / 4).checked_sub(4).filter(|m| *m < symbol.modules());
        module(x).zip(module(y)).is_some_and(|(x, y)| symbol.is_dark(x, y))
    };
    let places = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    let luma: Vec<u8> = places.map(|(x, y)| if dark(x, y) { 0 } else { 255 }).collect();
    let found = Frame::new(&luma, side, side, side).map(|frame| read_frame(&frame));
    found.is_ok_and(|found: Vec<Found>| found.iter().any(|found| found.text == text))
}

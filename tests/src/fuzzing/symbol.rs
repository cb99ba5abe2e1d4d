use hosewright_core::tag::{Found, Frame, Payload, PayloadError, read_frame};
use qrcode::bits::Bits;
use qrcode::canvas::Canvas;
use qrcode::ec::construct_codewords;
use qrcode::{Color, EcLevel, QrResult, Version};

use super::Taken;

/// Pixels of a module, and light modules on each side.
const PIXELS: usize = 3;
const EDGE: usize = 4;
const LEVELS: [EcLevel; 4] = [EcLevel::L, EcLevel::M, EcLevel::Q, EcLevel::H];

/// A QR symbol that is drawn right and says anything: one byte for its version, one for its
/// level, the rest are its data codewords, filled up with zeros. Whatever is read of it is read
/// alike when it lies on its side, and nothing damaged is read as a tag of ours.
pub fn symbol(bytes: &[u8]) -> Taken {
    let [version, level, data @ ..] = bytes else { return Taken::Refused };
    let version = Version::Normal(i16::from(version % 40) + 1);
    let level = LEVELS.get(usize::from(level % 4)).copied().unwrap_or(EcLevel::L);
    let Ok(modules) = drawn(version, level, data) else { return Taken::Refused };
    let side = usize::try_from(version.width()).unwrap_or(0);
    let found = read(side, |x, y| modules.get(y * side + x).copied().unwrap_or(false));
    let turned = read(side, |x, y| modules.get(x * side + side - 1 - y).copied().unwrap_or(false));
    assert_eq!(texts(&found), texts(&turned));
    for Found { text, .. } in &found {
        assert!(!matches!(Payload::parse(text), Err(PayloadError::Damaged { .. })), "{text}");
    }
    if found.is_empty() { Taken::Refused } else { Taken::Read }
}

/// The modules of a symbol, row by row: dark ones are true.
fn drawn(version: Version, level: EcLevel, data: &[u8]) -> QrResult<Vec<bool>> {
    let mut codewords = data.to_vec();
    codewords.resize(Bits::new(version).max_len(level)? / 8, 0);
    let (data, correction) = construct_codewords(&codewords, version, level)?;
    let mut canvas = Canvas::new(version, level);
    canvas.draw_all_functional_patterns();
    canvas.draw_data(&data, &correction);
    let colors = canvas.apply_best_mask().into_colors();
    Ok(colors.into_iter().map(|color| color == Color::Dark).collect())
}

fn read(side: usize, dark: impl Fn(usize, usize) -> bool) -> Vec<Found> {
    let width = (side + 2 * EDGE) * PIXELS;
    let module = |at: usize| (at / PIXELS).checked_sub(EDGE).filter(|at| *at < side);
    let is_dark = |x, y| module(x).zip(module(y)).is_some_and(|(x, y)| dark(x, y));
    let places = (0..width).flat_map(|y| (0..width).map(move |x| (x, y)));
    let luma: Vec<u8> = places.map(|(x, y)| if is_dark(x, y) { 0 } else { 255 }).collect();
    let width = u32::try_from(width).unwrap_or(0);
    let frame = Frame::new(&luma, width, width, width);
    frame.map(|frame| read_frame(&frame)).unwrap_or_default()
}

fn texts(found: &[Found]) -> Vec<(&str, &[u8])> {
    found.iter().map(|found| (found.text.as_str(), found.bytes.as_slice())).collect()
}

use proptest::prelude::*;

use super::*;

#[test]
fn sizes_that_do_not_match_the_bytes_are_errors() {
    let bytes = [0; 100];
    let table = [
        (10, 10, 10, true),
        (9, 10, 10, true),
        (1, 10, 11, true),
        (10, 9, 11, false),
        (10, 11, 10, false),
        (11, 10, 10, false),
        (10, 9, 10, false),
        (10, 0, 10, false),
        (0, 10, 10, false),
        (u32::MAX, u32::MAX, u32::MAX, false),
        (1, u32::MAX, u32::MAX, false),
    ];
    for (width, height, stride, good) in table {
        assert_eq!(Frame::new(&bytes, width, height, stride).is_ok(), good, "{width} {height}");
    }
}

#[test]
fn a_stride_is_stepped_over() {
    let bytes = [1, 2, 9, 3, 4, 9, 5, 6];
    let frame = Frame::new(&bytes, 2, 3, 3);
    let view = frame.ok().and_then(|f| f.view());
    let rows = view.map(|v| [0, 1, 2].map(|y| v.row(y).to_vec()));
    assert_eq!(rows, Some([vec![1, 2], vec![3, 4], vec![5, 6]]));
}

#[test]
fn frames_of_a_single_line_are_read_to_the_end() {
    let luma = vec![90; 5000];
    for (width, height) in [(5000, 1), (1, 5000), (2500, 2), (1, 1)] {
        let bytes = luma.get(..5000.min(width * height)).unwrap_or_default();
        let [width, height] = [width, height].map(|n| u32::try_from(n).unwrap_or(0));
        let found = Frame::new(bytes, width, height, width).map(|f| read_frame(&f, ANY));
        assert_eq!(found, Ok(Vec::new()), "{width} {height}");
    }
}

#[test]
fn what_is_no_picture_says_so() {
    let zip = b"PK\x03\x04 and so on, renamed to tag.png";
    let gif = b"GIF89a\x01\x00\x01\x00\x00\x00\x00";
    assert_eq!(read_picture(b"", ANY), Err(PictureError::Empty));
    for bytes in [&zip[..], gif, b"x", b"\xff\xd8"] {
        assert_eq!(read_picture(bytes, ANY), Err(PictureError::NotAPicture), "{bytes:?}");
    }
    for bytes in [&b"\x89PNG\r\n\x1a\n"[..], b"\xff\xd8\xff\xe0"] {
        assert!(matches!(read_picture(bytes, ANY), Err(PictureError::Damaged { .. })), "{bytes:?}");
    }
}

#[test]
fn a_header_that_asks_for_too_much_is_refused_unread() {
    // A PNG header for 100,000 × 100,000 pixels, with a right checksum.
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 100_000, 100_000);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    drop(encoder.write_header());
    // The end is cut off again, and data begins.
    bytes.truncate(bytes.len() - 12);
    bytes.extend(b"\0\0\0\x01IDATx");
    let expected = PictureError::TooLarge { width: 100_000, height: 100_000 };
    assert_eq!(read_picture(&bytes, ANY), Err(expected));
}

/// Whatever counts, what is read must not be empty.
const ANY: Counts = |_| true;

/// ISO/IEC 18004, annex I: its code words of "01234567", at so many pixels a module.
fn standards_symbol(pixels: usize) -> (Vec<u8>, usize) {
    symbol(&galois::EXAMPLE, pixels)
}

/// Code words laid out in version 1-M with mask 010, at so many pixels a module.
fn symbol(words: &[u8; 26], pixels: usize) -> (Vec<u8>, usize) {
    let layout = &layout::LAYOUTS[0];
    let mut dark = vec![false; layout.side * layout.side];
    let mut set = |column: usize, row: usize, value| dark[row * layout.side + column] = value;
    for known in &layout.known {
        let place = (usize::try_from(known.column), usize::try_from(known.row));
        let (Ok(column), Ok(row)) = place else { continue };
        if column.max(row) < layout.side {
            set(column, row, known.dark);
        }
    }
    set(8, 13, true);
    let format = layout::format_bits(0b00_010);
    assert_eq!(format, 0b101_1110_0111_1100);
    for copy in layout::format_places(layout.side) {
        for (at, (column, row)) in copy.into_iter().enumerate() {
            set(column, row, format >> (14 - at) & 1 == 1);
        }
    }
    for (at, (column, row)) in layout.order.iter().enumerate() {
        let bit = words[at / 8] >> (7 - at % 8) & 1 == 1;
        let (column, row) = (usize::from(*column), usize::from(*row));
        set(column, row, bit != layout::masked(0b010, column, row));
    }
    let side = (layout.side + 8) * pixels;
    let module = |at: usize| (at / pixels).checked_sub(4).filter(|at| *at < layout.side);
    let grey = |x: usize, y: usize| {
        let module = module(x).zip(module(y));
        if module.is_some_and(|(x, y)| dark[y * layout.side + x]) { 40 } else { 215 }
    };
    (
        (0..side).flat_map(|y| (0..side).map(move |x| (x, y))).map(|(x, y)| grey(x, y)).collect(),
        side,
    )
}

#[test]
fn the_standards_worked_example_is_read() {
    for pixels in [3, 5, 8] {
        let (luma, side) = standards_symbol(pixels);
        let side = u32::try_from(side).unwrap_or(0);
        let found = Frame::new(&luma, side, side, side).map(|f| read_frame(&f, ANY));
        let texts: Vec<String> =
            found.unwrap_or_default().into_iter().map(|found| found.text).collect();
        assert_eq!(texts, ["01234567"], "{pixels} pixels a module");
    }
}

/// What is read of "AB" in bytes, with `rest` behind it and so many code words spoilt.
fn read_with(rest: &[u8], spoilt: usize) -> Vec<String> {
    let mut words = [0; 26];
    // Four bits of mode, eight of count, two bytes, and four bits of terminator.
    words[..4].copy_from_slice(&[0x40, 0x24, 0x14, 0x20]);
    words[4..16].copy_from_slice(&rest[..12]);
    // Given up, all check words are worked out.
    let checks: Vec<usize> = (16..26).collect();
    assert!(galois::correct(&mut words, 10, &checks).is_some());
    words.iter_mut().take(spoilt).for_each(|word| *word ^= 0xFF);
    let (luma, side) = symbol(&words, 4);
    let side = u32::try_from(side).unwrap_or(0);
    let found = Frame::new(&luma, side, side, side).map(|frame| read_frame(&frame, ANY));
    found.unwrap_or_default().into_iter().map(|found| found.text).collect()
}

#[test]
fn other_writers_padding_is_read_where_little_was_corrected() {
    let standard = [0xEC, 0x11].repeat(6);
    let spare_zero: Vec<u8> = [0].into_iter().chain([0xEC, 0x11].repeat(6)).collect();
    for (rest, spoilt, is_read) in [
        (&standard, 0, true),
        (&standard, 5, true),
        (&vec![0; 12], 0, true),
        (&spare_zero, 0, true),
        (&vec![0xFF; 12], 3, true),
        (&vec![0; 12], 4, false),
        (&spare_zero, 5, false),
    ] {
        let expected: &[&str] = if is_read { &["AB"] } else { &[] };
        assert_eq!(read_with(rest, spoilt), expected, "{rest:?} {spoilt}");
    }
}

#[test]
fn a_text_that_does_not_count_is_not_answered() {
    let (luma, side) = standards_symbol(5);
    let side = u32::try_from(side).unwrap_or(0);
    let Ok(frame) = Frame::new(&luma, side, side, side) else { return assert_ne!(side, side) };
    assert_eq!(read_frame(&frame, |text| text != "01234567"), vec![]);
    assert_eq!(Reader::new(|text| text != "01234567").read(&frame), []);
}

fn any_frame() -> impl Strategy<Value = (Vec<u8>, u32, u32)> {
    (1..160_u32, 1..160_u32, 1..40_u32, any::<u64>(), 0..4_u8).prop_map(
        |(w, h, cell, seed, kind)| {
            // Blocks, stripes or noise, since a reader goes further on what looks
            // like finders.
            let value = |x: u32, y: u32| {
                let module = 1 + cell % 5;
                let (i, j) = (x / module % 9, y / module % 9);
                let away = i.abs_diff(4).max(j.abs_diff(4));
                if kind == 3 {
                    // Finder patterns side by side, every one of them whole.
                    return if away == 2 || away == 4 { 220 } else { 30 };
                }
                let (x, y) = match kind {
                    0 => (x / cell, y / cell),
                    1 => (x / cell, 0),
                    _ => (x, y),
                };
                let mixed = (u64::from(x) << 32 | u64::from(y)).wrapping_add(seed);
                let mixed = mixed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
                mixed.wrapping_mul(mixed >> 29 | 1).to_le_bytes()[6]
            };
            let luma = (0..h).flat_map(|y| (0..w).map(move |x| value(x, y))).collect();
            (luma, w, h)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn no_frame_stops_the_reader((luma, width, height) in any_frame()) {
        let frame = Frame::new(&luma, width, height, width);
        prop_assert!(frame.is_ok_and(|f| read_frame(&f, ANY).iter().all(|f| !f.text.is_empty())));
    }

    #[test]
    fn no_bytes_stop_the_decoder(start in 0..3_usize, rest: Vec<u8>) {
        let starts: [&[u8]; 3] = [b"", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", b"\xff\xd8\xff\xe0"];
        let bytes: Vec<u8> = starts[start].iter().copied().chain(rest).collect();
        prop_assert_eq!(read_picture(&bytes, ANY).unwrap_or_default(), vec![]);
    }
}

/// Half of one column is none: nothing of the frame before may be looked at in its place.
#[test]
fn a_frame_of_one_column_is_read_behind_a_larger_one() {
    let mut reader = Reader::new(ANY);
    for (width, height) in [(200, 40), (1, 2), (200, 40), (1, 90), (90, 1), (3, 3)] {
        let luma: Vec<u8> =
            (0..width * height).map(|at| if at % 7 < 3 { 0 } else { 250 }).collect();
        let frame = Frame::new(&luma, width, height, width);
        assert!(frame.is_ok_and(|frame| reader.read(&frame).is_empty()), "{width} x {height}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn no_film_stops_the_reader(film in proptest::collection::vec(any_frame(), 1..5)) {
        let mut reader = Reader::new(ANY);
        for (luma, width, height) in &film {
            let Ok(frame) = Frame::new(luma, *width, *height, *width) else { continue };
            prop_assert!(reader.read(&frame).iter().all(|f| !f.text.is_empty()));
        }
        // What was seen leaves no trace once it is forgotten.
        let Some((luma, width, height)) = film.first() else { return Ok(()) };
        let Ok(frame) = Frame::new(luma, *width, *height, *width) else { return Ok(()) };
        reader.forget();
        let again = reader.read(&frame).to_vec();
        prop_assert_eq!(again, Reader::new(ANY).read(&frame).to_vec());
    }
}

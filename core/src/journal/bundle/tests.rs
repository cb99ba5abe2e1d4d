//! A bundle's size bounds the work that it is: counted in bytes that are
//! unpacked, never in time.

use super::read::{BundleReader, Part};
use super::write::packed;
use super::{FIRST_LINE, FREE, MOST_FOR_EACH};

const HEADER: &[u8] = b"{\"holds\":{},\"entries\":0}\n";

/// A bundle of blocks as they are in the file.
fn file(blocks: &[Vec<u8>]) -> Vec<u8> {
    [FIRST_LINE.to_vec(), packed(HEADER), blocks.concat()].concat()
}

/// A block that packs as well as it can, whatever its writer ought to do.
fn bomb(text: &[u8]) -> Vec<u8> {
    use sha2::{Digest, Sha256};
    let packed = zstd::bulk::compress(text, 19).unwrap_or_default();
    let length = u32::try_from(packed.len()).unwrap_or_default();
    let check = Sha256::digest(&packed);
    [&length.to_be_bytes(), check.get(..8).unwrap_or_default(), &packed].concat()
}

/// What comes of a bundle, and how many bytes it unpacked to.
fn read(file: &[u8]) -> (Vec<Part>, u64) {
    let mut reader = BundleReader::open(file).unwrap_or_else(|e| unreachable!("{e}"));
    let mut parts = Vec::new();
    while let Ok(Some(part)) = reader.next_or_end() {
        parts.push(part);
    }
    (parts, reader.unpacked)
}

#[test]
fn a_small_bundle_unpacks_to_little() {
    let empty_lines = bomb(&vec![b'\n'; 64 << 20]);
    assert!(empty_lines.len() < 8_000, "{}", empty_lines.len());
    for blocks in [vec![empty_lines.clone()], vec![empty_lines; 20]] {
        let file = file(&blocks);
        let (parts, unpacked) = read(&file);
        let most = FREE + MOST_FOR_EACH * u64::try_from(file.len()).unwrap_or_default();
        assert!(unpacked <= most, "{unpacked} of {most}");
        assert!(matches!(parts.as_slice(), [Part::Spoilt(why)] if why.contains("can hold")));
    }
    // Many small ones have no more in all than one large one.
    let small = bomb(&vec![b' '; 900 << 10]);
    let file = file(&vec![small; 200]);
    let (parts, unpacked) = read(&file);
    assert!(unpacked <= FREE + MOST_FOR_EACH * u64::try_from(file.len()).unwrap_or_default());
    assert!(matches!(parts.last(), Some(Part::Spoilt(why)) if why.contains("can hold")));
    // What a block looks back on is bounded too.
    let long = zstd_of_a_long_window();
    let (parts, _) = read(&[FIRST_LINE.to_vec(), packed(HEADER), long].concat());
    assert!(matches!(parts.first(), Some(Part::Spoilt(_))), "{parts:?}");
}

/// A frame of one empty raw block that asks for a window of 128 MiB (RFC 8878, 3.1.1).
fn zstd_of_a_long_window() -> Vec<u8> {
    use sha2::{Digest, Sha256};
    let frame = [0x28, 0xB5, 0x2F, 0xFD, 0x00, 0x88, 0x01, 0x00, 0x00];
    let length = u32::try_from(frame.len()).unwrap_or_default().to_be_bytes();
    [&length[..], Sha256::digest(frame).get(..8).unwrap_or_default(), &frame].concat()
}

#[test]
fn whatever_is_written_is_read_again() {
    for text in [vec![b'a'; 32 << 20], vec![b'a'; 4_000], b"{}\n".repeat(100_000)] {
        let block = packed(&text);
        let many = file(&vec![block; 5]);
        let (parts, _) = read(&many);
        let lines = parts.iter().filter(|part| matches!(part, Part::Lines(_)));
        assert_eq!(lines.count(), 5);
        assert_eq!(parts.first(), Some(&Part::Lines(String::from_utf8_lossy(&text).into_owned())));
    }
}

use std::io::Cursor;

use hosewright_core::journal::{BundleError, BundleReader, Part, entry_of_line, line_of_entry};

use super::{Taken, said};

/// A bundle: it comes to an end or to what is wrong, and each entry in it is
/// printed and read again as the same. Whatever is cut off is said.
pub fn bundle(bytes: &[u8]) -> Taken {
    let Some(mut bundle) = said(BundleReader::open(Cursor::new(bytes))) else {
        return Taken::Refused;
    };
    let (mut whole, mut spoilt) = (false, false);
    while let Some(part) = said(bundle.next_or_end().map_err(BundleError::from)).flatten() {
        match part {
            Part::Lines(lines) => lines.lines().for_each(entry),
            Part::Spoilt(why) => {
                assert!(!why.is_empty());
                spoilt = true;
            }
            Part::End(digest) => {
                whole = true;
                assert!(bytes.windows(32).any(|end| end == digest), "a digest from nowhere");
            }
        }
    }
    assert!(whole || spoilt, "it neither ends nor is said to be cut off");
    if whole && !spoilt { Taken::Read } else { Taken::Refused }
}

fn entry(line: &str) {
    if let Some(entry) = said(entry_of_line(line)) {
        assert_eq!(said(entry_of_line(&line_of_entry(&entry))), Some(entry));
    }
}

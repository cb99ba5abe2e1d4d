//! The letters that the faces of a print have, and how wide they are.

/// A text in the encoding of the faces; nothing if it has a letter that they lack.
pub(crate) fn win_ansi(text: &str) -> Option<Vec<u8>> {
    text.chars()
        .map(|c| match u8::try_from(u32::from(c)) {
            Ok(byte @ (32..=126 | 160..=255)) => Some(byte),
            _ => HIGH.iter().find(|(letter, _)| *letter == c).map(|(_, byte)| *byte),
        })
        .collect()
}

/// What the encoding has beyond Latin-1 (ISO 32000-1, annex D.2).
const HIGH: [(char, u8); 27] = [
    ('€', 0x80),
    ('‚', 0x82),
    ('ƒ', 0x83),
    ('„', 0x84),
    ('…', 0x85),
    ('†', 0x86),
    ('‡', 0x87),
    ('ˆ', 0x88),
    ('‰', 0x89),
    ('Š', 0x8A),
    ('‹', 0x8B),
    ('Œ', 0x8C),
    ('Ž', 0x8E),
    ('‘', 0x91),
    ('’', 0x92),
    ('“', 0x93),
    ('”', 0x94),
    ('•', 0x95),
    ('–', 0x96),
    ('—', 0x97),
    ('˜', 0x98),
    ('™', 0x99),
    ('š', 0x9A),
    ('›', 0x9B),
    ('œ', 0x9C),
    ('ž', 0x9E),
    ('Ÿ', 0x9F),
];

/// Words in lines that are so wide at most, in units of the type size: broken at their
/// spaces, and inside, if that may be, where a part alone is wider.
pub(crate) fn broken(word: &str, width: f64, inside: bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in word.split(' ') {
        let joined = lines.last().map(|line| format!("{line} {part}"));
        match joined.filter(|line| width_of(line) <= width) {
            Some(line) => {
                lines.pop();
                lines.push(line);
            }
            None => lines.push(part.to_owned()),
        }
        while let Some(last) =
            lines.pop_if(|line| inside && width_of(line) > width && line.len() > 1)
        {
            let mut at = 0;
            let ends = last.char_indices().map(|(at, c)| at + c.len_utf8());
            for end in ends.take_while(|end| width_of(last.get(..*end).unwrap_or(&last)) <= width) {
                at = end;
            }
            if at == 0 {
                // Not one letter has room.
                lines.push(last);
                break;
            }
            let (line, rest) = last.split_at_checked(at).unwrap_or((&last, ""));
            lines.push(line.to_owned());
            lines.push(rest.to_owned());
        }
    }
    lines
}

/// The widths of ` ` to `~` in Helvetica Bold, in thousandths of the type size (the
/// font metrics that Adobe published for the standard PDF fonts). The plain face is
/// no wider.
#[rustfmt::skip]
const WIDTHS: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
    1015, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
    333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
    611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
];
/// No letter of the font is wider.
const WIDEST: u16 = 1015;

/// How wide a text is at most, in units of the type size.
pub(crate) fn width_of(text: &str) -> f64 {
    let of = |c: char| {
        let at = u32::from(c).checked_sub(32).and_then(|at| usize::try_from(at).ok());
        f64::from(at.and_then(|at| WIDTHS.get(at)).copied().unwrap_or(WIDEST)) / 1000.0
    };
    text.chars().map(of).sum()
}

/// A text in the letters that the faces have: another letter is told by its number, as
/// `<U+0416>`, so that nothing is lost without a word.
pub(crate) fn spelled(text: &str) -> String {
    let mut said = String::with_capacity(text.len());
    for letter in text.chars() {
        match win_ansi(letter.encode_utf8(&mut [0; 4])) {
            Some(_) => said.push(letter),
            None => said.push_str(&format!("<U+{:04X}>", u32::from(letter))),
        }
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_letter_that_the_faces_lack_is_told_by_its_number() {
        for (text, said) in [
            ("Größe 7 – “5 €”", "Größe 7 – “5 €”"),
            ("Ж-7", "<U+0416>-7"),
            ("a\u{202e}b\nc", "a<U+202E>b<U+000A>c"),
        ] {
            assert_eq!(spelled(text), said);
            assert!(win_ansi(&spelled(text)).is_some());
        }
    }
}

//! Text that comes from outside, as people's eyes may see it: what would hide,
//! turn round or steer what is beside it is shown as its number.

use std::borrow::Cow;

use unicode_properties::{GeneralCategory, UnicodeGeneralCategory};

/// A text for people's eyes, in one line: characters that cannot be seen (of
/// control, of direction, of no width, of a new line) stand in it by their
/// number, as `<U+202E>`. What is kept, sent or read by programs stays as it is.
#[must_use]
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if is_hidden(c) {
            shown.push_str(&format!("<U+{:04X}>", u32::from(c)));
        } else {
            shown.push(c);
        }
    }
    Cow::Owned(shown)
}

/// The same for words of our own in several lines, whose ends and tabs stay.
#[must_use]
pub fn visible_lines(text: &str) -> Cow<'_, str> {
    let ours = |c| matches!(c, '\n' | '\t');
    if !text.chars().any(|c| is_hidden(c) && !ours(c)) {
        return Cow::Borrowed(text);
    }
    let pieces = text.split_inclusive(ours).map(|piece| {
        let own = piece.trim_end_matches(ours);
        format!("{}{}", visible(own), piece.get(own.len()..).unwrap_or_default())
    });
    Cow::Owned(pieces.collect())
}

/// Whether a character cannot be seen, or changes how its neighbours are seen.
fn is_hidden(c: char) -> bool {
    match c {
        ' '..='~' => false,
        // Without width and of no such category: joiners of letters, fillers of
        // Hangul, selectors of variants (Unicode, Default_Ignorable_Code_Point).
        '\u{34F}'
        | '\u{115F}'
        | '\u{1160}'
        | '\u{17B4}'
        | '\u{17B5}'
        | '\u{180B}'..='\u{180F}'
        | '\u{2065}'
        | '\u{3164}'
        | '\u{FE00}'..='\u{FE0F}'
        | '\u{FFA0}'
        | '\u{FFF0}'..='\u{FFF8}'
        | '\u{E0000}'..='\u{E0FFF}' => true,
        _ => matches!(
            c.general_category(),
            GeneralCategory::Control
                | GeneralCategory::Format
                | GeneralCategory::LineSeparator
                | GeneralCategory::ParagraphSeparator
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_seen_is_shown_by_its_number() {
        for (text, shown) in [
            ("Kelpline B-17 “ü” 鐵 é e\u{301} ⚓", None),
            ("a\u{202E}b", Some("a<U+202E>b")),
            ("\u{1B}[31mred\u{1B}[0m", Some("<U+001B>[31mred<U+001B>[0m")),
            ("\u{9B}2J", Some("<U+009B>2J")),
            ("x\ny\tz\r", Some("x<U+000A>y<U+0009>z<U+000D>")),
            ("\u{FEFF}tag\u{E0041}", Some("<U+FEFF>tag<U+E0041>")),
            ("line\u{2028}break\u{2029}", Some("line<U+2028>break<U+2029>")),
        ] {
            assert_eq!(visible(text), shown.unwrap_or(text));
        }
        let bidi = ('\u{202A}'..='\u{202E}').chain('\u{2066}'..='\u{2069}');
        let marks = "\u{200E}\u{200F}\u{61C}\u{200B}\u{200C}\u{200D}\u{2060}\u{FEFF}\u{AD}\u{180E}";
        let fillers = "\u{34F}\u{115F}\u{1160}\u{3164}\u{FFA0}\u{FE0F}\u{E0100}\u{7F}\u{0}\u{85}";
        for c in bidi.chain(marks.chars()).chain(fillers.chars()) {
            assert_eq!(visible(&c.to_string()), format!("<U+{:04X}>", u32::from(c)));
        }
    }

    #[test]
    fn lines_of_our_own_stay() {
        assert_eq!(visible_lines("a\n\tb\n"), "a\n\tb\n");
        assert_eq!(visible_lines("\na\r\n\n\tb\u{202E}\tc"), "\na<U+000D>\n\n\tb<U+202E>\tc");
    }

    #[test]
    fn it_is_shown_once() {
        let shown = visible("a\u{200B}b").into_owned();
        assert_eq!(visible(&shown), shown);
    }
}

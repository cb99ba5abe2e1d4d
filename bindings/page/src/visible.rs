//! What came from outside is shown as text. This is done to the finished page,
//! so that it holds for every screen and none has to know: texts and what is
//! read aloud are made visible; what the page sends back (the values of fields,
//! addresses) stays as it is. In the same way a date never breaks across lines.

use hosewright_core::text::{visible, visible_lines};

use crate::dates::whole_dates;

/// The attributes that people see or hear.
const SEEN: &[&str] = &["alt", "title", "placeholder", "label", "aria-label", "data-head"];

/// The page as people may see it. It reads what this program draws, in which every
/// `<` and `>` of a text is escaped, and every value is in double quotes.
pub fn visible_page(page: String) -> String {
    let mut shown = String::with_capacity(page.len() + page.len() / 16);
    let (mut rest, mut within) = (page.as_str(), "");
    while let Some(at) = rest.find('<') {
        let (text, tag) = rest.split_at(at);
        let (tag, after) = tag.split_at(end(tag));
        words(&mut shown, text, within);
        attributes(&mut shown, tag);
        within = name(tag);
        rest = after;
    }
    words(&mut shown, rest, "");
    shown
}

/// What a tag begins: nothing where it ends something.
fn name(tag: &str) -> &str {
    let name = tag.strip_prefix('<').unwrap_or(tag);
    name.split(|letter: char| !letter.is_ascii_alphanumeric()).next().unwrap_or_default()
}

/// Where a tag ends: behind the first `>` that is in no value.
fn end(tag: &str) -> usize {
    let mut in_value = false;
    for (at, letter) in tag.char_indices() {
        match letter {
            '"' => in_value = !in_value,
            '>' if !in_value => return at + 1,
            _ => {}
        }
    }
    tag.len()
}

fn attributes(shown: &mut String, tag: &str) {
    let mut seen = false;
    for (number, piece) in tag.split('"').enumerate() {
        if number > 0 {
            shown.push('"');
        }
        if seen && number % 2 == 1 {
            shown.push_str(&visible(piece));
        } else {
            shown.push_str(piece);
        }
        let name = piece.strip_suffix('=').and_then(|before| before.split_whitespace().next_back());
        seen = name.is_some_and(|name| SEEN.contains(&name));
    }
}

/// The elements in which a date is no text that flows, or is kept whole already.
const AS_IT_IS: &[&str] = &["title", "option", "time", "text", "tspan", "script", "style"];

/// In the source of a text `<` and `>` are escaped: what has them now is new.
fn words(shown: &mut String, text: &str, within: &str) {
    if within == "textarea" {
        return shown.push_str(text);
    }
    let text = visible_lines(text).replace('<', "&lt;").replace('>', "&gt;");
    if AS_IT_IS.contains(&within) {
        shown.push_str(&text);
    } else {
        shown.push_str(&whole_dates(&text));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_made_visible_and_what_is_sent_back_stays() {
        let page = "<title>a\u{202E}</title><p title=\"\u{200B}&lt;\" class=\"x\">&lt;b&gt;\u{1B}[1m\n</p>\
             <a href=\"/set/\u{202E}\">\u{202E}&amp;</a><input value=\"\u{202E}\" name=\"n\">\
             <textarea>\u{202E}</textarea><svg><text>\u{2066}x</text></svg>";
        assert_eq!(
            visible_page(page.to_owned()),
            "<title>a&lt;U+202E&gt;</title><p title=\"<U+200B>&lt;\" class=\"x\">&lt;b&gt;\
             &lt;U+001B&gt;[1m\n</p><a href=\"/set/\u{202E}\">&lt;U+202E&gt;&amp;</a>\
             <input value=\"\u{202E}\" name=\"n\"><textarea>\u{202E}</textarea>\
             <svg><text>&lt;U+2066&gt;x</text></svg>"
        );
        let plain = "<p>ü\n\t</p>";
        assert_eq!(visible_page(plain.to_owned()), plain);
    }
}

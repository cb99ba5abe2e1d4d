//! What came from outside is shown as text. This is done to the finished page,
//! so that it holds for every screen and none has to know: texts and what is
//! read aloud are made visible; what the page sends back (the values of fields,
//! addresses) stays as it is.

use std::cell::Cell;
use std::rc::Rc;

use hosewright_core::text::{visible, visible_lines};
use lol_html::html_content::{ContentType, Element, TextChunk};
use lol_html::{HandlerResult, RewriteStrSettings, element, rewrite_str, text};

use crate::labels as l;

/// The attributes that people see or hear.
const SEEN: &[&str] = &["alt", "title", "placeholder", "label", "aria-label", "data-head"];

/// The page as people may see it.
pub fn visible_page(page: String) -> String {
    if visible_lines(&page) == page {
        return page;
    }
    let typed = Rc::new(Cell::new(false));
    let settings = RewriteStrSettings::new()
        .append_element_content_handler(element!("textarea", |el| {
            typed.set(true);
            let typed = typed.clone();
            el.on_end_tag(lol_html::end_tag!(move |_| {
                typed.set(false);
                Ok(())
            }))
        }))
        .append_element_content_handler(element!("*", attributes))
        .append_element_content_handler(text!("*", |text| {
            if !typed.get() {
                words(text);
            }
            Ok(())
        }));
    // A page of ours that cannot be read would be a slip of ours.
    rewrite_str(&page, settings).unwrap_or_else(|_| l::REFUSED_TITLE.to_owned())
}

fn attributes(el: &mut Element<'_, '_>) -> HandlerResult {
    for name in SEEN {
        if let Some(value) = el.get_attribute(name)
            && visible(&value) != value
        {
            el.set_attribute(name, &visible(&value))?;
        }
    }
    Ok(())
}

/// In the source of a text `<` and `>` are escaped: what has them now is new.
fn words(text: &mut TextChunk<'_>) {
    let shown = visible_lines(text.as_str());
    if shown != text.as_str() {
        let shown = shown.replace('<', "&lt;").replace('>', "&gt;");
        text.replace(&shown, ContentType::Html);
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

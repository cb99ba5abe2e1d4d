//! A form that was refused is shown again, with what was typed in it and the
//! refusal above it, and beside the field that it is about. This is done to the
//! finished page, so that it holds for every form and no screen has to know.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::rc::Rc;

use lol_html::html_content::{ContentType, Element};
use lol_html::{HandlerResult, RewriteStrSettings, element, rewrite_str};
use maud::html;

use crate::fields::Fields;
use crate::frame::{sentence, unchanged};
use crate::labels as l;
use crate::refusal::Refusal;

/// A form that was refused.
pub struct Again<'a> {
    /// The address that it was sent to.
    pub action: &'a str,
    /// What was typed.
    pub typed: &'a Fields,
    /// Why it was refused.
    pub refusal: &'a Refusal,
}

/// Where in the page the reading is.
#[derive(Default)]
struct At {
    /// Whether inside the form that was refused.
    ours: Cell<bool>,
    /// Whether something was filled in.
    found: Cell<bool>,
    /// The name of the list that is being read.
    list: RefCell<String>,
    /// How many folds there were, and the one that is being read.
    folds: Cell<usize>,
    fold: Cell<Option<usize>>,
    /// The folds in which something was typed.
    open: RefCell<BTreeSet<usize>>,
    /// Whether the field was found that the refusal is about.
    beside: Cell<bool>,
}

impl Again<'_> {
    /// The page with the refusal above, and the form filled in where it is on it;
    /// `None` where the page cannot be read.
    pub fn filled(&self, page: &str) -> Option<String> {
        let at = Rc::new(At::default());
        let filled = rewrite_str(page, self.fields(&at)).ok()?;
        let folds = Cell::new(0);
        let settings = RewriteStrSettings::new()
            .append_element_content_handler(element!("details", |el| {
                folds.set(folds.get() + 1);
                if at.open.borrow().contains(&folds.get()) {
                    el.set_attribute("open", "")?;
                }
                Ok(())
            }))
            .append_element_content_handler(element!("#scan", |el| {
                if at.beside.get() {
                    el.remove_attribute("autofocus");
                }
                Ok(())
            }))
            .append_element_content_handler(element!("main", |el| {
                el.prepend(&self.above(at.found.get()), ContentType::Html);
                Ok(())
            }));
        rewrite_str(&filled, settings).ok()
    }

    fn above(&self, filled: bool) -> String {
        let said = html! {
            section.refused role="alert" {
                h2 { (l::REFUSED_TITLE) }
                p.refusal { (sentence(&self.refusal.to_string())) }
                (unchanged(self.refusal))
                @if filled { p { (l::REFUSED_STILL_HERE) } }
            }
        };
        said.into_string()
    }

    fn fields<'s>(&'s self, at: &'s Rc<At>) -> RewriteStrSettings<'s, 's> {
        RewriteStrSettings::new()
            .append_element_content_handler(element!("form", |el| {
                let posted = el.get_attribute("method").is_some_and(|how| how == "post");
                let ours = posted
                    && el.get_attribute("action").is_some_and(|to| to == escaped(self.action));
                at.ours.set(ours);
                Ok(())
            }))
            .append_element_content_handler(element!("details", |el| {
                at.folds.set(at.folds.get() + 1);
                at.fold.set(Some(at.folds.get()));
                let at = at.clone();
                el.on_end_tag(lol_html::end_tag!(move |_| {
                    at.fold.set(None);
                    Ok(())
                }))
            }))
            .append_element_content_handler(element!("input", |el| self.input(at, el)))
            .append_element_content_handler(element!("textarea", |el| {
                let name = name(el);
                if at.ours.get() && self.typed.has(&name) {
                    self.typed_in(at);
                    el.set_inner_content(self.typed.get(&name), ContentType::Text);
                    self.beside(at, el, &name)?;
                }
                Ok(())
            }))
            .append_element_content_handler(element!("select", |el| {
                at.list.replace(name(el));
                Ok(())
            }))
            .append_element_content_handler(element!("option", |el| {
                let list = at.list.borrow();
                if at.ours.get() && self.typed.has(&list) && self.choose(el, &list, "selected")? {
                    self.typed_in(at);
                }
                Ok(())
            }))
    }

    fn input(&self, at: &At, el: &mut Element<'_, '_>) -> HandlerResult {
        let name = name(el);
        if !at.ours.get() {
            return Ok(());
        }
        match el.get_attribute("type").as_deref().unwrap_or("text") {
            "hidden" | "password" | "submit" => {}
            // What was chosen is not kept.
            "file" if self.typed.given(&name).is_some() => {
                self.typed_in(at);
                let words = html! { span.hint { (l::REFUSED_FILE) } };
                el.after(&words.into_string(), ContentType::Html);
            }
            "file" => {}
            "checkbox" | "radio" => {
                if self.choose(el, &name, "checked")? {
                    self.typed_in(at);
                }
            }
            _ => {
                if self.typed.has(&name) {
                    el.set_attribute("value", &escaped(self.typed.get(&name)))?;
                }
                if self.typed.given(&name).is_some() {
                    self.typed_in(at);
                }
                self.beside(at, el, &name)?;
            }
        }
        Ok(())
    }

    fn typed_in(&self, at: &At) {
        at.found.set(true);
        if let Some(fold) = at.fold.get() {
            at.open.borrow_mut().insert(fold);
        }
    }

    /// One of several, chosen where it was.
    fn choose(
        &self,
        el: &mut Element<'_, '_>,
        name: &str,
        how: &str,
    ) -> Result<bool, Box<dyn std::error::Error + Send + Sync>> {
        let value = el.get_attribute("value").unwrap_or_default();
        let typed = self.typed.pairs().iter();
        let chosen =
            typed.filter(|(known, _)| known == name).any(|(_, text)| escaped(text) == value);
        if chosen {
            el.set_attribute(how, "")?;
        } else {
            el.remove_attribute(how);
        }
        Ok(chosen)
    }

    /// The refusal at the field that it is about, which is where one goes on.
    fn beside(&self, at: &At, el: &mut Element<'_, '_>, name: &str) -> HandlerResult {
        if self.refusal.field() != Some(name) || at.beside.replace(true) {
            return Ok(());
        }
        let id = format!("refused-{}", escaped(name));
        let told = el.get_attribute("aria-describedby");
        let told = told.map_or_else(|| id.clone(), |known| format!("{id} {known}"));
        el.set_attribute("aria-describedby", &told)?;
        el.set_attribute("aria-invalid", "true")?;
        el.set_attribute("autofocus", "")?;
        let words = html! { span.wrong id=(id) { (sentence(&self.refusal.to_string())) } };
        el.after(&words.into_string(), ContentType::Html);
        Ok(())
    }
}

fn name(el: &Element<'_, '_>) -> String {
    el.get_attribute("name").unwrap_or_default()
}

/// A text as it stands in a page's source.
fn escaped(text: &str) -> String {
    html! { (text) }.into_string()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn again(page: &str, typed: &[(&str, &str)], refusal: &Refusal) -> String {
        let typed = typed.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect();
        let typed = Fields::of(typed);
        Again { action: "/a%20b", typed: &typed, refusal }.filled(page).unwrap()
    }

    #[test]
    fn only_the_form_that_was_sent_is_filled_in() {
        let page = "<main><form method=\"post\" action=\"/other\"><input name=\"a\"></form>\
             <form method=\"get\" action=\"/a%20b\"><input name=\"a\"></form>\
             <form method=\"post\" action=\"/a%20b\"><input name=\"a\"></form></main>";
        let filled = again(page, &[("a", "x")], &Refusal::NoPage);
        assert_eq!(filled.matches("value=\"x\"").count(), 1);
        assert!(filled.ends_with("<input name=\"a\" value=\"x\"></form></main>"), "{filled}");
        assert!(filled.contains(l::REFUSED_STILL_HERE));
        let none = again("<main></main>", &[("a", "x")], &Refusal::NoPage);
        assert!(none.contains(l::REFUSED_TITLE) && !none.contains(l::REFUSED_STILL_HERE));
    }

    #[test]
    fn every_kind_of_field_comes_back_and_what_is_hidden_stays() {
        let form = |inside: &str| {
            format!("<main><form method=\"post\" action=\"/a%20b\">{inside}</form></main>")
        };
        let typed = [("t", "<\"'&"), ("c", "1"), ("c", "3"), ("s", "b"), ("h", "new"), ("e", "")];
        for (before, after) in [
            ("<input type=\"text\" name=\"t\">", "value=\"&lt;&quot;'&amp;\""),
            ("<input type=\"date\" name=\"t\" value=\"old\">", "value=\"&lt;&quot;'&amp;\""),
            ("<input name=\"e\" value=\"was\">", "<input name=\"e\" value=\"\">"),
            ("<input type=\"hidden\" name=\"h\" value=\"old\">", "value=\"old\""),
            ("<input type=\"password\" name=\"h\">", "<input type=\"password\" name=\"h\">"),
            ("<input type=\"file\" name=\"t\">", "<span class=\"hint\">Choose"),
            ("<input type=\"file\" name=\"f\">", "<input type=\"file\" name=\"f\"></form>"),
            ("<textarea name=\"t\"></textarea>", ">&lt;\"'&amp;</textarea>"),
            ("<input type=\"checkbox\" name=\"c\" value=\"1\">", "value=\"1\" checked=\"\""),
            ("<input type=\"radio\" name=\"c\" value=\"2\" checked>", "name=\"c\" value=\"2\">"),
            ("<input type=\"radio\" name=\"e\" value=\"\">", "value=\"\" checked=\"\">"),
            (
                "<select name=\"s\"><option value=\"a\" selected></option><option value=\"b\">",
                "<option value=\"a\"></option><option value=\"b\" selected=\"\">",
            ),
            (
                "<details></details><details><input type=\"checkbox\" name=\"c\" value=\"3\">",
                "<details></details><details open=\"\">",
            ),
        ] {
            let filled = again(&form(before), &typed, &Refusal::NoPage);
            assert!(filled.contains(after), "{before} became {filled}");
        }
    }

    #[test]
    fn a_refusal_stands_at_its_field() {
        let page = "<input id=\"scan\" autofocus><main><form method=\"post\" action=\"/a%20b\">\
             <input name=\"a\" aria-describedby=\"hint\"><input name=\"b\"></form></main>";
        let filled = again(page, &[("a", "x")], &Refusal::at("a", "<no>"));
        assert!(filled.contains("aria-describedby=\"refused-a hint\""), "{filled}");
        assert!(filled.contains("<span class=\"wrong\" id=\"refused-a\">&lt;no&gt;.</span>"));
        assert!(filled.contains("<input id=\"scan\" >") || filled.contains("<input id=\"scan\">"));
        assert_eq!(filled.matches("aria-invalid").count(), 1);
    }
}

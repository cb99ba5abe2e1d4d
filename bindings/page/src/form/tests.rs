#![allow(clippy::unwrap_used)]

use hosewright_core::journal::Moment;
use http::Method;

use super::*;
use crate::request::Person;

fn fields(typed: &[(&str, &str)]) -> Fields {
    Fields::of(typed.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect())
}

fn request() -> Request {
    let today: chrono::NaiveDate = "2026-06-15".parse().unwrap();
    let time = today.and_hms_opt(12, 0, 0).unwrap().and_utc();
    let by = hosewright_core::hose::Label::new("a name", "tester").unwrap();
    let person = Person { token: "t".to_owned(), at_the_desk: true, signs_in: false };
    Request {
        method: Method::GET,
        path: "/".to_owned(),
        query: Fields::default(),
        form: Fields::default(),
        pictures: Vec::new(),
        upload: None,
        person,
        demo: false,
        moment: Moment { today, time, by },
    }
}

#[test]
fn only_the_form_that_was_sent_is_filled_in() {
    let (request, typed) = (request(), fields(&[("a", "x")]));
    let refused = Refused::new("/a%20b", &typed, &Refusal::NoPage);
    let field = Field::text("a", "A").value("was");
    let other = Form::new("/other", &request, Some(&refused));
    assert!(other.field(&field).into_string().contains("value=\"was\""));
    assert!(!refused.is_filled());
    let form = Form::new("/a%20b", &request, Some(&refused));
    assert!(form.field(&field).into_string().contains("value=\"x\""));
    assert!(refused.is_filled());
}

#[test]
fn every_kind_of_field_comes_back() {
    let (request, refusal) = (request(), Refusal::NoPage);
    let typed = [("t", "<\"'&"), ("c", "yes"), ("s", "b"), ("e", ""), ("n", "7"), ("on", "x")];
    let typed = fields(&typed);
    let refused = Refused::new("/a", &typed, &refusal);
    let form = Form::new("/a", &request, Some(&refused));
    let number = |name| form.field(&Field::number(name, "N", 9).value("1")).into_string();
    let tick = |name, ticked| form.tick(name, "T", ticked).into_string();
    let choices = [("a", "A"), ("b", "B")];
    let choice = Field::choice("s", "S", choices).value("a").needed();
    let choice = form.field(&choice).into_string();
    let more = |name: &str| {
        let group = view::Group { fields: vec![Field::tick(name, "T")], ..Default::default() };
        let more = Some(view::More { title: "F".to_owned(), groups: vec![group] });
        form.group(&view::Group { more, ..Default::default() }, None).into_string()
    };
    let many = |label: &str| {
        let kind = Kind::Many(vec![Choice::new("a", "A"), Choice::new("b", "B")]);
        form.field(&Field::new("s", label, kind)).into_string()
    };
    assert!(!many("").contains("legend"), "{}", many(""));
    for (drawn, what) in [
        (many("These leaked"), "<fieldset class=\"choice\"><legend>These leaked</legend>"),
        (many(""), "value=\"b\" checked>"),
        (form.field(&Field::text("t", "T")).into_string(), "value=\"&lt;&quot;'&amp;\""),
        (form.field(&Field::text("e", "E").value("was")).into_string(), "value=\"\""),
        (form.field(&Field::text("no", "O").value("was")).into_string(), "value=\"was\""),
        (form.field(&Field::new("on", "D", Kind::Date)).into_string(), "type=\"date\""),
        (number("n"), "value=\"7\""),
        (tick("c", false), " checked>"),
        (choice.clone(), "value=\"b\" required checked>"),
        (choice, "value=\"a\" required>"),
        (tick("d", true), "value=\"yes\">"),
        (form.field(&Field::new("t", "P", Kind::Photo)).into_string(), "Choose the file again"),
        (more("c"), "<details open>"),
        (more("d"), "<details>"),
    ] {
        assert!(drawn.contains(what), "{what} is not in {drawn}");
    }
    let photo = form.field(&Field::new("d", "P", Kind::Photo)).into_string();
    assert!(!photo.contains("again"), "{photo}");
}

#[test]
fn a_refusal_is_beside_its_field_alone() {
    let (request, typed) = (request(), fields(&[("a", "x")]));
    let refusal = Refusal::at("a", "<no>");
    let refused = Refused::new("/a", &typed, &refusal);
    let form = Form::new("/a", &request, Some(&refused));
    let other = form.field(&Field::text("b", "B")).into_string();
    assert!(!other.contains("refused") && !refused.is_beside());
    let drawn = form.field(&Field::text("a", "A").hint("how")).into_string();
    assert!(drawn.contains("aria-describedby=\"refused-a f-a-a-hint\""), "{drawn}");
    assert!(drawn.contains("aria-invalid=\"true\" autofocus>"), "{drawn}");
    assert!(drawn.contains("<span class=\"wrong\" id=\"refused-a\">&lt;no&gt;.</span>"));
    assert!(refused.is_beside());
    let again = form.field(&Field::text("a", "A")).into_string();
    assert!(!again.contains("refused-a"), "{again}");
}

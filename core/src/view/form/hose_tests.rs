//! The form that describes a hose: what it asks, what it takes, and what it says.

use super::*;
use crate::story::{code, day};
use crate::tag::Passport;

const TODAY: &str = "2026-06-15";

fn filled(fields: &[(HoseField, &str)]) -> Filled {
    let mut form = empty();
    for (field, typed) in fields {
        form.set(field.word(), typed);
    }
    form
}

fn field(form: &Filled, field: HoseField) -> Field {
    let drawn = draw(form, Describes::New, day(TODAY));
    let found = drawn.fields().find(|shown| shown.name == field.word()).cloned();
    found.unwrap_or_else(|| unreachable!("{field}"))
}

fn choices(form: &Filled, of: HoseField) -> Vec<Choice> {
    let Kind::Choice(choices) = field(form, of).kind else { unreachable!("{of}") };
    choices
}

fn whole() -> Filled {
    filled(&[
        (HoseField::Service, "second-stage"),
        (HoseField::Construction, "braided"),
        (HoseField::Length, "22 in"),
    ])
}

#[test]
fn what_is_empty_or_wrong_is_named_in_the_order_of_the_form() {
    use HoseField as F;
    // Each row fills in one more field; the field that is refused then, and a word of why.
    type Row<'a> = (F, &'a str, Option<(F, &'a str)>);
    let rows: &[Row<'_>] = &[
        (F::Maker, "Kelpline", Some((F::Service, "what the hose does"))),
        (F::Service, "second-stage", Some((F::Construction, "how the hose is built"))),
        (F::Construction, "braided", Some((F::Length, "with the unit"))),
        (F::Length, "22", Some((F::Length, "no unit"))),
        (F::Length, "40 m", Some((F::Length, "between 5 cm and 10 m"))),
        (F::Length, "22 in", None),
        (F::EndB, "own", Some((F::OwnFitting, "Name the maker's own"))),
        (F::OwnFitting, "Kelpline swivel", None),
        (F::EndA, "7/16-20", Some((F::EndA, "cannot have 7/16-20"))),
        (F::EndA, "1/2-20", None),
        (F::Made, "soon", Some((F::Made, "not a date"))),
        (F::Made, "2027", Some((F::Made, "is after today"))),
        (F::Made, "2024-05", None),
        (F::Bought, "2023", Some((F::Bought, "is before made"))),
        (F::Bought, "2024-06", None),
        (F::InService, "2024-04", Some((F::InService, "is before made"))),
        (F::InService, "", None),
        (F::Ticket, "Anna", Some((F::Ticket, "a ticket is a number"))),
        (F::Ticket, "T-12", None),
        (F::Lot, "\u{1}", Some((F::Lot, "printable"))),
        (F::Lot, "B17", None),
    ];
    let mut form = empty();
    for (at, typed, expected) in rows {
        form.set(at.word(), typed);
        let refused = read(&form, day(TODAY)).err();
        let found = refused.as_ref().map(|refused| refused.field.as_str());
        assert_eq!(found, expected.map(|(at, _)| at.word()), "{at} {typed}: {refused:?}");
        if let (Some(refused), Some((at, word))) = (&refused, expected) {
            assert!(refused.words.contains(word), "{}", refused.words);
            // It is at the field, but for one that is still empty.
            let said = (!form.get(at.word()).is_empty()).then(|| refused.words.clone());
            assert_eq!(field(&form, *at).wrong, said, "{at} {typed}");
        }
    }
    let (hose, origin) = read(&form, day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(
        hose.to_string(),
        "braided second-stage hose, 22 in, 1/2-20 to proprietary:Kelpline swivel"
    );
    assert_eq!(on_record(Some(&hose), &origin), form, "a form of it is as it was filled in");
}

#[test]
fn everything_that_is_offered_is_taken() {
    for service in Service::ALL {
        for end in [HoseField::EndA, HoseField::EndB] {
            let mut form = whole();
            form.set("service", service.word());
            form.set(HoseField::OwnFitting.word(), "Kelpline swivel");
            let offered = choices(&form, end);
            assert!(offered.iter().any(|choice| form.get(end.word()) == choice.value));
            for choice in offered {
                form.set(end.word(), &choice.value);
                let (hose, _) = read(&form, day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"));
                let usual = choice.value == USUAL;
                assert!(
                    usual
                        || on_record(Some(&hose), &Origin::default()).get(end.word())
                            == choice.value
                );
            }
        }
    }
}

/// A browser draws the whole form once; a phone, again at every tap.
#[test]
fn ends_are_offered_before_the_service_is_known_and_asked_after() {
    let form = filled(&[]);
    let offered: Vec<String> =
        choices(&form, HoseField::EndA).into_iter().map(|choice| choice.label).collect();
    assert_eq!(offered, ["The usual one", "1/2-20 (a few designs)"]);
    assert!(!field(&form, HoseField::EndA).asked);
    let form = whole();
    assert!(field(&form, HoseField::EndA).asked);
    let usual = choices(&form, HoseField::EndA).into_iter().next().map(|choice| choice.label);
    assert_eq!(usual.as_deref(), Some("3/8-24 (the usual one)"));
}

#[test]
fn another_service_takes_back_ends_that_it_cannot_have() {
    let mut form = whole();
    form.set("end_a", "1/2-20");
    form.set("end_b", OWN);
    form.set("service", "inflator");
    settle(&mut form);
    assert_eq!(form.get("end_a"), "1/2-20");
    assert!(field(&form, HoseField::OwnFitting).asked);
    form.set("service", "gauge");
    settle(&mut form);
    assert_eq!(form.get("end_a"), USUAL);
    assert_eq!(form.get("end_b"), OWN);
    form.set("end_b", USUAL);
    assert!(!field(&form, HoseField::OwnFitting).asked);
}

#[test]
fn a_tag_fills_in_what_it_says() {
    let (hose, origin) = {
        let mut form = whole();
        form.set("made", "2024-05-20");
        read(&form, day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"))
    };
    let passport = Passport::of(&hose, origin.born(), true, None);
    let form = of_tag(&Payload { code: code(1), passport: Some(passport) });
    let again = read(&form, day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(again.0, hose);
    assert_eq!(form.get("made"), "2024-05");
    assert_eq!(of_tag(&Payload { code: code(1), passport: None }), empty());
}

#[test]
fn a_tag_is_typed_or_scanned() {
    let payload = Payload { code: code(1), passport: None };
    for typed in [payload.text(), code(1).to_string(), code(1).to_string().to_lowercase()] {
        assert_eq!(tag(&filled(&[(HoseField::Tag, &typed)])), Ok(Some(code(1))), "{typed}");
    }
    for typed in ["7K2M9", "https://example.org", "HW9:01"] {
        let form = filled(&[(HoseField::Tag, typed)]);
        assert!(tag(&form).is_err_and(|refused| refused.field == "tag"), "{typed}");
        assert!(field(&form, HoseField::Tag).wrong.is_some());
    }
}

//! The form that describes a hose: what it asks, what it takes, and what it says.

use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::*;
use crate::story::{code, day, keys, label};
use crate::tag::Passport;

const TODAY: &str = "2026-06-15";

fn moment() -> Moment {
    let today = day(TODAY);
    Moment { today, time: today.and_time(chrono::NaiveTime::MIN).and_utc(), by: label("Tern") }
}

fn filled(fields: &[(HoseField, &str)]) -> HoseForm {
    let mut form = HoseForm::default();
    for (field, typed) in fields {
        form.fill(*field, typed);
    }
    form
}

fn whole() -> HoseForm {
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
        (F::EndB, "proprietary", Some((F::OwnFitting, "Name the maker's own"))),
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
        (F::Lot, "\u{1}", Some((F::Lot, "printable"))),
        (F::Lot, "B17", None),
    ];
    let mut form = HoseForm::default();
    for (field, typed, expected) in rows {
        form.fill(*field, typed);
        let refused = form.described(day(TODAY)).err();
        let found = refused.as_ref().map(|refused| refused.field);
        assert_eq!(found, expected.map(|(field, _)| field), "{field} {typed}: {refused:?}");
        if let (Some(refused), Some((_, word))) = (&refused, expected) {
            assert!(refused.words.contains(word), "{}", refused.words);
            // It is at the field, but for one that is still empty.
            let at = form.wrong(refused.field, day(TODAY));
            let said = (!form.typed(refused.field).is_empty()).then(|| refused.words.clone());
            assert_eq!(at, said, "{field} {typed}");
        }
    }
    let (hose, origin) = form.described(day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(
        hose.to_string(),
        "braided second-stage hose, 22 in, 1/2-20 to proprietary:Kelpline swivel"
    );
    assert_eq!(HoseForm::of(Some(&hose), &origin), form, "a form of it is as it was filled in");
}

#[test]
fn everything_that_is_offered_is_taken() {
    for service in Service::ALL {
        for field in [HoseField::EndA, HoseField::EndB] {
            let mut form = whole();
            form.fill(HoseField::Service, service.word());
            form.fill(HoseField::OwnFitting, "Kelpline swivel");
            let Some(FieldEntry::Choice(choices)) = form.entry(field) else {
                unreachable!("{field}")
            };
            assert_eq!(choices.iter().filter(|choice| choice.chosen).count(), 1);
            for choice in &choices {
                form.fill(field, &choice.value);
                assert!(form.described(day(TODAY)).is_ok(), "{service} {}", choice.value);
                let Some(FieldEntry::Choice(now)) = form.entry(field) else {
                    unreachable!("{field}")
                };
                let chosen: Vec<_> = now.iter().filter(|c| c.chosen).map(|c| &c.value).collect();
                assert_eq!(chosen, [&choice.value]);
            }
        }
    }
}

#[test]
fn another_service_takes_back_ends_that_it_cannot_have() {
    let mut form = whole();
    form.fill(HoseField::EndA, "1/2-20");
    form.fill(HoseField::EndB, "proprietary");
    form.fill(HoseField::Service, "inflator");
    assert_eq!(form.typed(HoseField::EndA), "1/2-20");
    assert_eq!(form.entry(HoseField::OwnFitting), Some(FieldEntry::Text));
    form.fill(HoseField::Service, "gauge");
    assert_eq!(form.typed(HoseField::EndA), "");
    assert_eq!(form.typed(HoseField::EndB), "proprietary");
    form.fill(HoseField::EndB, "");
    assert_eq!(form.entry(HoseField::OwnFitting), None);
    assert_eq!(HoseForm::default().entry(HoseField::EndA), None, "ends wait for the service");
}

#[test]
fn a_tag_fills_in_what_it_says() {
    let (hose, origin) = {
        let mut form = whole();
        form.fill(HoseField::Made, "2024-05-20");
        form.described(day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"))
    };
    let passport = Passport::of(&hose, origin.born(), true, None);
    let form = HoseForm::of_tag(&Payload { code: code(1), passport: Some(passport) });
    let again = form.described(day(TODAY)).unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(again.0, hose);
    assert_eq!(form.typed(HoseField::Made), "2024-05");
    assert_eq!(HoseForm::of_tag(&Payload { code: code(1), passport: None }), HoseForm::default());
}

#[test]
fn a_hose_is_registered_with_its_barcode_or_not_at_all() {
    let folder = TempDir::new().unwrap_or_else(|e| unreachable!("{e}"));
    let random = Box::new(ChaCha20Rng::seed_from_u64(7));
    let mut book = Logbook::open(&folder.path().join("store"), random, keys(folder.path()))
        .unwrap_or_else(|e| unreachable!("{e}"));
    let mut form = whole();
    form.fill(HoseField::Barcode, "4006381333931");
    let written = book.register_form(&form, code(1), &moment());
    assert_eq!(written.ok(), Some(code(1)));
    let found = book.find("4006381333931").unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(found.hose, code(1));
    // The barcode leads to another hose, the tag is in use, the barcode is a tag.
    let tag = Payload { code: code(3), passport: None }.text();
    for (barcode, number, field) in [
        ("4006381333931", 2, HoseField::Barcode),
        ("", 1, HoseField::Tag),
        (tag.as_str(), 2, HoseField::Barcode),
    ] {
        form.fill(HoseField::Barcode, barcode);
        let refused = book.register_form(&form, code(number), &moment());
        assert!(
            matches!(&refused, Err(FormRefused::Field(at)) if at.field == field),
            "{barcode}: {refused:?}"
        );
        assert!(book.record(code(2)).is_err(), "{barcode}: it is half on record");
    }
}

#[test]
fn a_tag_is_typed_or_scanned() {
    let payload = Payload { code: code(1), passport: None };
    for typed in [payload.text(), code(1).to_string(), code(1).to_string().to_lowercase()] {
        assert_eq!(filled(&[(HoseField::Tag, &typed)]).tag(), Ok(Some(code(1))), "{typed}");
    }
    for typed in ["7K2M9", "https://example.org", "HW9:01"] {
        let form = filled(&[(HoseField::Tag, typed)]);
        assert!(form.tag().is_err_and(|refused| refused.field == HoseField::Tag), "{typed}");
        assert!(form.wrong(HoseField::Tag, day(TODAY)).is_some());
    }
}

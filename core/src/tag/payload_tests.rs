use proptest::prelude::*;

use super::*;
use crate::hose::{Construction, End, Service, Specification};
use crate::measure::{HoseLength, PartialDate};

fn specification(service: &str, length: &str, a: &str, b: &str) -> Option<Specification> {
    Specification::new(
        service.parse().ok()?,
        Construction::Rubber,
        HoseLength::parse(length).ok()?,
        a.parse().ok()?,
        b.parse().ok()?,
        false,
    )
    .ok()
}

fn date(text: &str) -> Option<PartialDate> {
    PartialDate::parse(text).ok()
}

fn code() -> Option<Code> {
    Code::parse("01H7-K2M9-0101-Y").ok()
}

/// A payload whose hose is told in a row of words.
fn payload(words: [&str; 6]) -> Option<Payload> {
    let [service, length, a, b, born, fitted] = words;
    let passport =
        Passport::of(&specification(service, length, a, b)?, date(born), true, date(fitted));
    Some(Payload { code: code()?, passport: Some(passport) })
}

const SOME: [&str; 6] = ["second-stage", "22 in", "3/8-24", "9/16-18", "2022-03", "2023"];

#[test]
fn a_whole_text_fits_level_q_of_version_2() {
    let text = payload(SOME).map(|p| p.text()).unwrap_or_default();
    assert_eq!(text.len(), 29);
    assert_eq!(payload(SOME).map(|p| Payload::parse(&text) == Ok(p)), Some(true));
}

#[test]
fn every_form_of_the_text_is_a_promise() {
    // Never regenerated: tags with these texts hang on hoses. Each line is the
    // text, a bar, and what it says.
    let golden = include_str!("golden/payloads.txt");
    for line in golden.lines().filter(|l| !l.starts_with('#')) {
        let (text, says) = line.split_once(" | ").unwrap_or((line, ""));
        let read = Payload::parse(text);
        let said = match &read {
            Ok(Payload { code, passport: Some(passport) }) => format!("{code} {passport}"),
            Ok(Payload { code, passport: None }) => format!("{code} blank"),
            Err(error) => error.to_string(),
        };
        assert_eq!(said, says, "{text}");
        if let (Ok(tag), true) = (TagText::parse(text), text.starts_with("HW1:")) {
            assert_eq!(tag.text(), text);
            assert_eq!(tag.code(), read.map_or_else(|_| tag.code(), |payload| payload.code));
        }
    }
    assert!(golden.lines().count() > 15);
}

/// A set's tag says that it is a set: a hose's it never is.
#[test]
fn a_sets_tag_is_told_from_a_hoses() {
    for code in (0..200_u64).filter_map(|n| Code::from_bits(n.wrapping_mul(0x0123_4567_89AB))) {
        let set = TagText::Set(code);
        assert_eq!(TagText::parse(&set.text()), Ok(set));
        assert_eq!(Payload::parse(&set.text()), Err(PayloadError::OfSet { code }));
        let blank = Payload { code, passport: None };
        assert_eq!(TagText::parse(&blank.text()), Ok(TagText::Hose(blank)));
        // It is as long as a hose's, and draws as one.
        assert_eq!(set.text().len(), 29);
        // A person's badge is neither.
        let badge = TagText::Badge(code);
        assert_eq!(TagText::parse(&badge.text()), Ok(badge));
        assert_eq!(Payload::parse(&badge.text()), Err(PayloadError::OfPerson { code }));
        assert_eq!(read_badge(&badge.text()), Some(code));
        assert_eq!(read_badge(&set.text()).or(read_badge(&blank.text())), None);
    }
}

#[test]
fn what_is_not_ours_is_told_from_what_is_later_or_damaged() {
    let good = payload(SOME).map(|p| p.text()).unwrap_or_default();
    let later = |text: &str| matches!(Payload::parse(text), Err(PayloadError::LaterVersion { .. }));
    let not_ours = |text: &str| matches!(Payload::parse(text), Err(PayloadError::NotOurs { .. }));
    let damaged = |text: &str| matches!(Payload::parse(text), Err(PayloadError::Damaged { .. }));
    for text in ["HW2:", "HW2:01H7K2M90101Y.", "hw10:x", "https://a.example/hw3:x", "HW999999:"] {
        assert!(later(text), "{text}");
    }
    for text in ["", "HW:", "HW01:x", "HW0:x", "4006381333931", "https://a.example/", "HWX1:"] {
        assert!(not_ours(text), "{text}");
    }
    for text in ["HW1:", "HW1:01H7K2M90101Y", "HW1:01H7K2M90101X.", "HW1:O1H7K2M90101Y."] {
        assert!(damaged(text), "{text}");
    }
    for length in 4..good.len() {
        let cut = good.get(..length).unwrap_or_default();
        assert!(damaged(cut) || cut.ends_with('.'), "{cut}");
    }
    assert!(damaged(&format!("{good}0")));
}

#[test]
fn any_one_or_two_wrong_characters_are_noticed() {
    let good: Vec<char> = payload(SOME).map(|p| p.text()).unwrap_or_default().chars().collect();
    for (i, j) in (4..29).flat_map(|i| (4..29).map(move |j| (i, j))) {
        for (one, other) in [('7', 'Q'), ('Z', '0'), ('K', 'K'), ('.', '3')] {
            let mut text = good.clone();
            text[i] = one;
            text[j] = other;
            let swapped: String = text.iter().collect();
            assert!(text == good || Payload::parse(&swapped).is_err(), "{swapped}");
        }
        let mut text = good.clone();
        text.swap(i, j);
        let swapped: String = text.iter().collect();
        assert!(text == good || Payload::parse(&swapped).is_err(), "{swapped}");
    }
}

#[test]
fn a_page_may_have_a_name_that_begins_as_a_tag_does() {
    let code = Code::parse("01H7-K2M9-0101-Y").unwrap_or_else(|e| unreachable!("{e}"));
    let tag = Payload { code, passport: None };
    for name in ["https://hw-dives.example", "https://hw1.example", "https://hw1:8443/t"] {
        let base = Base::parse(name);
        let text = base.as_ref().map(|base| tag.text_with_base(base)).unwrap_or_default();
        assert_eq!(Payload::parse(&text), Ok(tag), "{text}");
    }
    let plain = Payload::parse("https://hw1:8443/");
    assert!(matches!(plain, Err(PayloadError::NotOurs { .. })), "{plain:?}");
}

#[test]
fn bases_are_addresses_in_capitals() {
    let table = [
        ("https://hoses.example", Some("HTTPS://HOSES.EXAMPLE/")),
        ("https://hoses.example/", Some("HTTPS://HOSES.EXAMPLE/")),
        ("https://hoses.example:8443/t/", Some("HTTPS://HOSES.EXAMPLE:8443/T/")),
        ("http://hoses.example/", None),
        ("hoses.example", None),
        ("https://", None),
        ("https://.", None),
        ("https:///x", None),
        ("https://a b.example/", None),
        ("https://hoses.example/?q=", None),
        ("https://hoses.example//", None),
        ("https://hoses.example/hw/", None),
        ("https://hoses.example:0/", None),
        ("https://hosés.example/", None),
    ];
    for (typed, expected) in table {
        let base = Base::parse(typed).ok().map(|b| b.to_string());
        assert_eq!(base.as_deref(), expected, "{typed}");
    }
    let long = format!("https://{}.example/", "x".repeat(60));
    assert!(matches!(Base::parse(&long), Err(PayloadError::BadBase { .. })));
}

#[test]
fn a_date_outside_of_what_a_tag_can_say_is_unknown() {
    let table = [
        ("1949", None),
        ("1950", Some("1950")),
        ("2022-03-14", Some("2022-03")),
        ("2106-12", Some("2106-12")),
        ("2107", None),
    ];
    for (typed, expected) in table {
        let mut words = SOME;
        words[4] = typed;
        let passport = payload(words).and_then(|p| Payload::parse(&p.text()).ok()?.passport);
        let born = passport.and_then(|p| p.born()).map(|d| d.to_string());
        assert_eq!(born.as_deref(), expected, "{typed}");
        assert_eq!(passport.map(|p| p.born_is_made()), Some(expected.is_some()));
    }
}

#[test]
fn lengths_are_rounded_in_their_own_unit() {
    let table = [
        ("56 cm", "about 56 cm"),
        ("564 mm", "about 56 cm"),
        ("22 in", "about 22 in"),
        ("22 1/2\"", "about 23 in"),
        ("2 ft", "about 24 in"),
        ("10 m", "about 1000 cm"),
        ("5 cm", "about 5 cm"),
        ("2 inches", "about 2 in"),
    ];
    for (typed, expected) in table {
        let mut words = SOME;
        words[1] = typed;
        let passport = payload(words).and_then(|p| Payload::parse(&p.text()).ok()?.passport);
        assert_eq!(passport.map(|p| p.length().to_string()).as_deref(), Some(expected), "{typed}");
    }
}

#[test]
fn a_hose_that_cannot_be_is_not_read() {
    // A gauge hose with a quick-disconnect, with a check that agrees.
    let passport =
        payload(["gauge", "60 cm", "7/16-20", "7/16-20", "", ""]).and_then(|p| p.passport);
    let mut data = passport.map(|p| p.characters()).unwrap_or_default();
    let says = |data: &[u8]| Passport::from_characters(data).map(|p| p.fitting(End::B));
    assert!(says(&data).is_some());
    // End B are bits 24 to 26: the top of the fifth value, the foot of the fourth.
    data[3] ^= 0b00011;
    assert_eq!(says(&data), None);
    assert_eq!(Passport::from_characters(&[31; 9]), None);
}

fn any_payload() -> impl Strategy<Value = Payload> {
    let dates = || prop::option::of((1950..2107_i32, 0..13_u32));
    let ends = prop::sample::select(vec![
        ("second-stage", "3/8-24", "9/16-18"),
        ("second-stage", "1/2-20", "proprietary:Otter swivel"),
        ("inflator", "1/2-20", "quick-disconnect"),
        ("gauge", "7/16-20", "7/16-20"),
    ]);
    let length = (5..=1000_u32, 2..=393_u32, any::<bool>());
    (0..1_u64 << 60, ends, length, dates(), dates(), any::<(bool, bool, bool)>()).prop_filter_map(
        "no such code or hose",
        |(bits, ends, length, born, fitted, flags)| {
            let (service, a, b) = ends;
            let (cm, inches, metric) = length;
            let length = if metric { format!("{cm} cm") } else { format!("{inches} in") };
            let date = |(year, month)| match month {
                0 => PartialDate::Year(year),
                month => PartialDate::Month { year, month },
            };
            let specification = Specification::new(
                service.parse::<Service>().ok()?,
                if flags.0 { Construction::Rubber } else { Construction::Braided },
                HoseLength::parse(&length).ok()?,
                a.parse().ok()?,
                b.parse().ok()?,
                flags.1,
            );
            let (born, fitted) = (born.map(date), fitted.map(date));
            let passport = Passport::of(&specification.ok()?, born, flags.2, fitted);
            Some(Payload { code: Code::from_bits(bits)?, passport: Some(passport) })
        },
    )
}

proptest! {
    #[test]
    fn printing_and_parsing_are_inverse(payload in any_payload()) {
        let text = payload.text();
        prop_assert_eq!(text.len(), 29);
        prop_assert_eq!(Payload::parse(&text), Ok(payload));
        prop_assert_eq!(Payload::parse(&text.to_lowercase()), Ok(payload));
        let base = Base::parse("https://hoses.example/t").ok();
        let based = base.map(|b| payload.text_with_base(&b)).unwrap_or_default();
        prop_assert_eq!(Payload::parse(&based), Ok(payload));
        prop_assert_eq!(Payload::parse(&based.replace("HTTPS", "http")), Ok(payload));
    }

    #[test]
    fn any_text_is_answered(text in "(HW1:|hw|https://a/)?\\PC{0,40}") {
        if let Ok(payload) = Payload::parse(&text) {
            prop_assert_eq!(Payload::parse(&payload.text()), Ok(payload));
        }
    }
}

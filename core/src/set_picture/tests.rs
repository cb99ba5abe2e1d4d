//! The picture of a set.
#![allow(clippy::expect_used, clippy::panic)]

use std::collections::BTreeMap;

use super::*;
use crate::event::Port;
use crate::hose::{Construction, Service, Thread};
use crate::inspection::Verdict;
use crate::policy::Use;
use crate::record::HandOut;
use crate::story::{Story, code, day, hose, label, port_name, set_record};

const TODAY: &str = "2026-06-15";

/// A first stage with so many ports, and hoses in some of them.
fn set(name: &str, high: u8, low: u8, hoses: &[(&str, Story)]) -> SetView {
    let named = |kind: Pressure, n: u8, thread| Port::new(PortName::new(kind, n), thread);
    let high = (1..=high).map(|n| named(Pressure::High, n, Thread::Unf7_16x20));
    let low = (1..=low).map(|n| named(Pressure::Low, n, Thread::Unf3_8x24));
    let mut record = set_record(name, Use::Rental, high.chain(low).collect(), "2026-01-01");
    record.hoses = hoses.iter().map(|(port, story)| (port_name(port), story.hose)).collect();
    let answers = hoses.iter().map(|(port, story)| (port_name(port), story.answer(TODAY)));
    SetView::of(&record, &answers.collect::<BTreeMap<_, _>>())
}

/// A hose of a verdict.
fn of(service: Service, construction: Construction, verdict: Verdict, n: u64) -> Story {
    let mut specification = Story::of(hose(service, construction), "2026-01-01", "2025-12");
    specification.hose = code(n * 2_251_799_813_685_249);
    let new = specification.hose;
    let registered = crate::event::Event::Registered {
        hose: new,
        specification: specification.specification.clone(),
        origin: crate::hose::Origin {
            made: crate::measure::PartialDate::parse("2025-12").ok(),
            ..Default::default()
        },
    };
    specification.entries.clear();
    let seen: &[&str] = match verdict {
        Verdict::Ready | Verdict::Hold => &[],
        Verdict::Watch => &["run:cut:cover"],
        Verdict::Retire => &["run:bulge"],
    };
    let story = specification.then("2026-01-02", registered);
    if verdict == Verdict::Hold { story } else { story.full("2026-05-01", seen) }
}

fn five() -> SetView {
    use Construction::{Braided, Rubber};
    use Service::{Gauge, Inflator, SecondStage};
    let hoses = [
        ("HP1", of(Gauge, Rubber, Verdict::Ready, 1)),
        ("LP1", of(SecondStage, Braided, Verdict::Watch, 2)),
        ("LP2", of(SecondStage, Rubber, Verdict::Hold, 3)),
        ("LP4", of(Inflator, Rubber, Verdict::Retire, 4)),
    ];
    set("Heron", 1, 4, &hoses)
}

fn eight() -> SetView {
    use Construction::{Braided, Rubber};
    use Service::{Gauge, Inflator, SecondStage};
    let hoses = [
        ("HP1", of(Gauge, Rubber, Verdict::Ready, 1)),
        ("LP1", of(SecondStage, Braided, Verdict::Ready, 2)),
        ("LP2", of(SecondStage, Rubber, Verdict::Ready, 3)),
        ("LP3", of(Inflator, Rubber, Verdict::Watch, 4)),
        ("LP6", of(Inflator, Braided, Verdict::Ready, 5)),
    ];
    let name = "The <old> blue & grey regulator that stands on the second shelf of \"Wharf\" shed";
    let mut view = set(name, 2, 6, &hoses);
    let out = HandOut {
        ticket: label("2026-0815-A"),
        on: day("2026-06-10"),
        by: label("Tern"),
        hoses: vec![],
        override_why: Some(label("the only regulator left with a long hose; the diver was told")),
        entries: vec![],
        tickets: vec![],
    };
    view.words = crate::words::sets::state(Some(&out), 5, view.worst, false);
    view.out = Some(out);
    view
}

/// If a picture is another on purpose, the new one is looked at and kept instead.
fn golden(name: &str, drawn: &str) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/set_picture/golden");
    let kept = std::fs::read_to_string(folder.join(name)).expect("a golden picture");
    if kept != drawn {
        let now = std::env::temp_dir().join(name);
        std::fs::write(&now, drawn).expect("a picture can be written");
        panic!("{name} is drawn otherwise than it was; now: {}", now.display());
    }
}

#[test]
fn pictures_are_drawn_as_they_were() {
    golden("five.svg", &svg(&five()));
    golden("eight.svg", &svg(&eight()));
    golden("bare.svg", &svg(&set("Bare", 1, 5, &[])));
    golden("five-narrow.svg", &narrow(&five()).svg());
}

#[test]
fn a_verdict_is_shape_word_and_colour() {
    let drawn = svg(&five());
    for verdict in Verdict::ALL {
        assert!(drawn.contains(&format!(">{verdict}</text>")), "{verdict}");
        assert!(drawn.contains(colour(*verdict)), "{verdict}");
    }
    let bare = svg(&set("Bare", 1, 4, &[]));
    assert!(Verdict::ALL.iter().all(|verdict| !bare.contains(colour(*verdict))));
    assert_eq!(bare.matches(">plug</text>").count(), 5);
}

#[test]
fn a_narrow_picture_shows_every_port_and_verdict_and_fits() {
    let drawn = narrow(&five()).svg();
    for said in ["HP1", "LP1", "LP2", "LP3", "LP4", "plug", "ready", "watch", "hold", "retire"] {
        assert!(drawn.contains(&format!(">{said}</text>")), "{said}: {drawn}");
    }
    assert!(Verdict::ALL.iter().all(|verdict| drawn.contains(colour(*verdict))));
    stay_inside(&drawn, 312);
}

/// Letters of 18 pixels and up, none beyond the left edge or this place at the right.
fn stay_inside(drawn: &str, right: i64) {
    let drawn = drawn
        .replace("&quot;", "\"")
        .replace("&lt;", "‹")
        .replace("&gt;", "›")
        .replace("&amp;", "&");
    for text in drawn.split("<text ").skip(1) {
        let of = |name: &str| -> Option<i64> {
            text.split(&format!("{name}=\"")).nth(1)?.split('"').next()?.parse().ok()
        };
        let words = text.split("</text>").next().and_then(|text| text.split_once('>'));
        let (_, words) = words.expect("words");
        let (x, size) = (of("x").expect("a place"), of("font-size").expect("a size"));
        let wide: i64 = words.chars().map(hundredths).sum::<i64>() * size / 100;
        let from = if text.contains("middle") { x - wide / 2 } else { x };
        assert!(size >= 18 && from >= 0 && from + wide <= right, "{words}: {from} and {wide}");
    }
}

#[test]
fn texts_are_escaped_and_told_to_those_who_cannot_see() {
    let drawn = svg(&eight());
    assert!(!drawn.contains("<old>") && drawn.contains("&lt;old&gt;"));
    assert!(drawn.contains("blue &amp; grey"));
    let title = drawn.find("<title>").expect("a title");
    assert!(drawn.get(..title).is_some_and(|head| head.trim_end().ends_with('>')));
    let desc = drawn.split("<desc>").nth(1).and_then(|rest| rest.split("</desc>").next());
    let desc = desc.expect("a description");
    for said in
        ["Out since 2026-06-10", "HP1: rubber gauge hose", "LP3: rubber inflator", "LP4: plug"]
    {
        assert!(desc.contains(said), "{said}: {desc}");
    }
    assert_eq!(drawing::escaped("a\u{FFFE}\u{7}'"), "a\u{FFFD}&lt;U+0007&gt;&#39;");
}

/// The contrast of two colours as WCAG 2.2 defines it.
fn contrast(a: &str, b: &str) -> f64 {
    let channel = |hex: &str, at: usize| {
        let byte = hex.get(at..at + 2).and_then(|two| u8::from_str_radix(two, 16).ok());
        let c = f64::from(byte.expect("a colour")) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    let light =
        |hex: &str| 0.2126 * channel(hex, 1) + 0.7152 * channel(hex, 3) + 0.0722 * channel(hex, 5);
    let (a, b) = (light(a) + 0.05, light(b) + 0.05);
    a.max(b) / a.min(b)
}

#[test]
fn text_stands_out() {
    for ground in ["#FFFFFF", parts::BODY] {
        assert!(contrast(parts::INK, ground) >= 7.0, "{ground}");
    }
    // Published: #777 on white 4.4781, red on white 3.9985.
    assert!((contrast("#777777", "#FFFFFF") - 4.4781).abs() < 0.0001);
    assert!((contrast("#FF0000", "#FFFFFF") - 3.9985).abs() < 0.0001);
    // Every text is in ink.
    let drawn = svg(&eight());
    for text in drawn.split("<text ").skip(1) {
        let tag = text.split('>').next().unwrap_or("");
        assert!(tag.contains(&format!("fill=\"{}\"", parts::INK)), "{tag}");
    }
}

#[test]
fn long_words_stay_in_the_picture() {
    assert_eq!(wrapped("aa bb cc", 100, 350), ["aa bb", "cc"]);
    assert_eq!(wrapped("abcdefgh k", 10, 22), ["abc", "def", "gh", "k"]);
    assert_eq!(wrapped("", 10, 22), Vec::<String>::new());
    assert_eq!(shortened("22 1/2 inches", 10), "22 1/2 in…");
    let most = svg(&set(&"W".repeat(80), 4, 12, &[]));
    assert!(most.contains("HP4") && most.contains("LP12"));
    let margin = i64::from(WIDTH - MARGIN);
    stay_inside(&most, margin);
    stay_inside(&svg(&eight()), margin);
}

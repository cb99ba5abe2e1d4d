use proptest::prelude::*;
use serde_json::Value;

use super::*;
use crate::hose::Label;
use crate::tag::Code;

fn bytes(hex: &str) -> Vec<u8> {
    let digits: Vec<u8> =
        hex.chars().filter_map(|c| c.to_digit(16)).filter_map(|d| u8::try_from(d).ok()).collect();
    digits.chunks(2).map(|pair| pair.iter().fold(0, |n, d| n << 4 | d)).collect()
}

fn label(text: &str) -> Label {
    Label::new("a word", text).unwrap_or_else(|e| unreachable!("{text}: {e}"))
}

fn payload(text: &str) -> Payload {
    Payload::parse(text).unwrap_or_else(|e| unreachable!("{text}: {e}"))
}

fn tag() -> ForChip {
    ForChip { payload: payload("HW1:01H7K2M90101Y.10P1KNJXPZ5"), base: None, look: None }
}

fn other_tag() -> ForChip {
    ForChip { payload: payload("HW1:7K3M9QWXT4RBM."), ..tag() }
}

fn look(open: &[&str]) -> LastLook {
    LastLook {
        on: "2026-06-13".parse().unwrap_or_default(),
        kind: label("full"),
        passed: None,
        open: open.iter().map(|seen| label(seen)).collect(),
    }
}

fn written(what: &ForChip) -> Vec<u8> {
    message_for(what, usize::MAX).map(|message| message.bytes).unwrap_or_default()
}

/// What a message of one address holds, in words.
fn address(rest: &str) -> Vec<u8> {
    let payload: Vec<u8> = std::iter::once(4).chain(rest.bytes()).collect();
    let record = Record { naming: Naming::WellKnown, kind: b"U", id: &[], payload: &payload };
    record::message(&[record])
}

fn golden_look(value: &Value) -> Option<LastLook> {
    let text = |name: &str| value.get(name).and_then(Value::as_str);
    let open = value.get("open").and_then(Value::as_array).into_iter().flatten();
    Some(LastLook {
        on: text("on")?.parse().ok()?,
        kind: label(text("kind")?),
        passed: value.get("passed").and_then(Value::as_bool),
        open: open.filter_map(Value::as_str).map(label).collect(),
    })
}

/// The bytes of `golden/chips.txt` are ndeflib's and cbor2's.
#[test]
fn every_chip_is_written_as_it_always_was() {
    let lines = include_str!("golden/chips.txt").lines().filter(|line| !line.starts_with('#'));
    let mut count = 0;
    for line in lines {
        let [chip, text, look, hex] = line.split(" | ").collect::<Vec<_>>()[..] else {
            unreachable!("{line}")
        };
        let chip = match chip {
            "ntag213" => Chip::Ntag213,
            "ntag215" => Chip::Ntag215,
            _ => Chip::Ntag216,
        };
        let base = text.starts_with("HTTPS").then(|| Base::parse("https://hoses.example").ok());
        let look = serde_json::from_str(look).ok().as_ref().and_then(golden_look);
        let what = ForChip { payload: payload(text), base: base.flatten(), look };
        let area = area_for(&what, (chip.container(), &[]), Overwrite::OwnOnly);
        assert_eq!(area, Ok(bytes(hex)), "{line}");
        let Held::Ours(held) = read_area(chip.container(), &bytes(hex)) else {
            unreachable!("{line}")
        };
        assert_eq!((held.payload, held.besides), (what.payload, None), "{line}");
        assert!(held.look.is_none_or(|look| look.ok() == what.look), "{line}");
        count += 1;
    }
    assert_eq!(count, 45);
}

/// RFC 8949, appendix A, for the parts: maps, text, booleans, arrays; RFC 8943,
/// section 1.1, for the days (1940-10-09 is -10676, 1980-12-08 is 3994).
#[test]
fn an_inspection_is_deterministic_cbor() {
    for (on, days) in [("1940-10-09", "3929b3"), ("1980-12-08", "190f9a"), ("1970-01-01", "00")] {
        let seen = LastLook { on: on.parse().unwrap_or_default(), ..look(&[]) };
        let hex = format!("a3 00 01 01 d864 {days} 02 6466756c6c");
        assert_eq!(seen.to_cbor(), bytes(&hex), "{on}");
        assert_eq!(LastLook::from_cbor(&bytes(&hex)), Ok(seen));
    }
}

#[test]
fn an_inspection_of_later_make_is_read_or_refused_in_words() {
    // A further key of this version is passed over.
    let more = bytes("a4 00 01 01 d864 00 02 6466756c6c 05 82 01 a1 02 f6");
    assert_eq!(LastLook::from_cbor(&more).map(|look| look.kind), Ok(label("full")));
    // Another version may mean anything by its keys.
    let later = bytes("a2 00 02 01 61 78");
    assert_eq!(LastLook::from_cbor(&later), Err(LookError::LaterVersion(2)));
    for damaged in [
        "",
        "a0",
        "80",
        "a3 01 d864 00 02 6466756c6c 00 01",
        "a4 00 01 01 d864 00 02 6466756c6c 02 6466756c6c",
        "a3 00 01 01 d864 00 02 6466756c6c 00",
        "a3 00 01 01 d863 00 02 6466756c6c",
        "a3 00 01 01 d864 1b7fffffffffffffff 02 6466756c6c",
        "a3 00 01 01 d864 00 02 60",
        "a4 00 01 01 d864 00 02 6466756c6c 04 9bffffffffffffffff",
        "a2 00 01 01 d864 00",
        "bf 00 01 ff",
    ] {
        assert_eq!(LastLook::from_cbor(&bytes(damaged)), Err(LookError::Damaged), "{damaged}");
    }
}

#[test]
fn the_application_goes_first_and_the_inspection_next() {
    let what = ForChip { look: Some(look(&["run:cut:cover"])), ..tag() };
    let whole = written(&what).len();
    let parts = |room| message_for(&what, room).map(|m| (m.has_look, m.has_application));
    // 3 bytes of head, 15 of type, 24 of name.
    let (application, text_alone) = (3 + 15 + 24, 34);
    assert_eq!(parts(whole), Ok((true, true)));
    assert_eq!(parts(whole - 1), Ok((true, false)));
    assert_eq!(parts(whole - application), Ok((true, false)));
    assert_eq!(parts(whole - application - 1), Ok((false, false)));
    assert_eq!(parts(text_alone), Ok((false, false)));
    let short = Err(NdefError::TooLong { needed: text_alone, room: text_alone - 1 });
    assert_eq!(parts(text_alone - 1), short);
}

#[test]
fn a_chip_has_the_room_that_its_container_says() {
    let sizes = Chip::ALL.map(|chip| (chip.user_memory(), chip.container().size()));
    assert_eq!(sizes, [(144, 144), (504, 496), (888, 872)]);
    for chip in Chip::ALL {
        let container = chip.container();
        assert_eq!(Container::parse(container.bytes()), Ok(container));
    }
    // A length of up to 254 takes one byte, any other three.
    let rooms = [0, 2, 3, 256, 257, 258, 259, 2040].map(chip::room);
    assert_eq!(rooms, [0, 0, 1, 254, 254, 254, 255, 2036]);
}

#[test]
fn containers_are_checked() {
    let refused = |bytes| Container::parse(bytes).err();
    assert_eq!(refused([0, 0, 0, 0]), Some(NdefError::NotNdef));
    assert_eq!(refused([0xE1, 0x10, 0, 0]), Some(NdefError::NotNdef));
    assert_eq!(refused([0xE1, 0x21, 6, 0]), Some(NdefError::LaterChip { major: 2, minor: 1 }));
    assert_eq!(refused([0xE1, 0x10, 6, 0x80]), Some(NdefError::Protected));
    let locked = Container::parse([0xE1, 0x11, 0x12, 0x0F]);
    assert_eq!(locked.as_ref().map(|container| container.is_locked()), Ok(true));
    let locked = locked.map(|container| area_for(&tag(), (container, &[]), Overwrite::Agreed));
    assert_eq!(locked, Ok(Err(NdefError::Locked)));
}

/// An NTAG213 leaves its factory with a lock control block and an empty message
/// (NXP NTAG21x data sheet, from memory).
#[test]
fn a_chip_from_the_factory_is_free_and_keeps_its_control_block() {
    let container = Chip::Ntag213.container();
    let factory = bytes("01 03 A0 0C 34 03 00 FE");
    assert_eq!(read_area(container, &factory), Held::Nothing);
    let area = area_for(&tag(), (container, &factory), Overwrite::OwnOnly).unwrap_or_default();
    assert_eq!(area.get(..7), Some(&bytes("01 03 A0 0C 34 03 4C")[..]));
    assert!(matches!(read_area(container, &area), Held::Ours(_)));
    // So does another's block before the message, which leaves no room for the app.
    let full = bytes(&format!("FD 50 {} 01 03 A0 0C 34 FE", "00".repeat(80)));
    let area = area_for(&tag(), (container, &full), Overwrite::OwnOnly);
    assert_eq!(area.as_ref().map(Vec::len), Ok(87 + 2 + 34 + 1));
    assert!(area.is_ok_and(|area| area.starts_with(&full[..87])));
}

#[test]
fn blocks_that_cannot_be_followed_are_said_to() {
    let held = |hex: &str| read_area(Chip::Ntag213.container(), &bytes(hex));
    for free in ["", "00 00", "FE", "00 FE 03 05", "03 00 FE", "03 03 D0 00 00 FE", "00 03 00"] {
        assert_eq!(held(free), Held::Nothing, "{free}");
    }
    for broken in ["03", "03 05 D1", "03 FF 01", "FD", "01 02 00 00", "03 FF FF FF"] {
        assert_eq!(held(broken), Held::Unreadable(NdefError::NotBlocks), "{broken}");
    }
    // A memory control block for four bytes in the middle of the data area.
    let riddled = "02 03 80 04 03 03 00 FE";
    assert_eq!(held(riddled), Held::Unreadable(NdefError::Riddled));
    let on = (Chip::Ntag213.container(), &bytes(riddled)[..]);
    assert_eq!(area_for(&tag(), on, Overwrite::Agreed), Err(NdefError::Riddled));
    // The long form of a length is read whatever the length is.
    let message = written(&tag());
    let long = [&[3, 0xFF, 0, u8::try_from(message.len()).unwrap_or(0)][..], &message].concat();
    assert!(matches!(read_area(Chip::Ntag213.container(), &long), Held::Ours(_)));
}

#[test]
fn nothing_of_anyones_is_overwritten_unasked() {
    let container = Chip::Ntag213.container();
    let on = |area: &[u8], overwrite| area_for(&tag(), (container, area), overwrite);
    let area_of = |message: &[u8]| chip::area(container, &[], message).unwrap_or_default();
    let refused = |area: &[u8]| match on(area, Overwrite::OwnOnly) {
        Err(NdefError::HoldsAnother { what }) => what,
        other => format!("{other:?}"),
    };
    let own = area_of(&written(&tag()));
    assert!(on(&own, Overwrite::OwnOnly).is_ok());
    assert_eq!(refused(&area_of(&written(&other_tag()))), "the tag 7K3M-9QWX-T4RB-M");
    assert_eq!(refused(&area_of(&address("example.com/"))), "the address “https://example.com/”");
    assert_eq!(refused(&[3, 9]), "something that cannot be read");
    assert_eq!(refused(&bytes("03 00 FD 01 07 FE")), "data behind the message");
    let behind = [&own[..own.len() - 2], &[0xFD, 1, 7, 0xFE]].concat();
    assert_eq!(refused(&behind), "the tag 01H7-K2M9-0101-Y and data behind the message");
    for area in [area_of(&address("example.com/")), vec![3, 9], behind] {
        assert_eq!(on(&area, Overwrite::Agreed), Ok(own.clone()));
    }
}

#[test]
fn a_phone_overwrites_nothing_unasked_either() {
    let onto = |held: &[u8], overwrite| message_onto(&tag(), (137, held), overwrite);
    let (own, other) = (written(&tag()), written(&other_tag()));
    for free in [&[][..], &own, &bytes("D0 00 00")] {
        assert_eq!(onto(free, Overwrite::OwnOnly).map(|message| message.bytes), Ok(own.clone()));
    }
    let refused = onto(&other, Overwrite::OwnOnly).err().map(|error| error.to_string());
    let said = "this chip holds the tag 7K3M-9QWX-T4RB-M; it is overwritten only if you say so";
    assert_eq!(refused.as_deref(), Some(said));
    assert_eq!(onto(&other, Overwrite::Agreed).map(|message| message.bytes), Ok(own));
}

#[test]
fn a_second_hose_on_one_chip_is_not_lost() {
    let texts = [tag(), other_tag()].map(|what| uri::payload(&what.payload.text()));
    let records = texts.each_ref().map(|payload| Record {
        naming: Naming::WellKnown,
        kind: b"U",
        id: &[],
        payload,
    });
    let Held::Ours(held) = read(&record::message(&records)) else { unreachable!() };
    assert_eq!(held.besides.as_deref(), Some("the address “HW1:7K3M9QWXT4RBM.”"));
}

#[test]
fn what_stands_beside_our_records_is_said() {
    let (text, card) = (uri::payload(&tag().payload.text()), b"BEGIN:VCARD");
    let ours = Record { naming: Naming::WellKnown, kind: b"U", id: &[], payload: &text };
    let card = Record { naming: Naming::Media, kind: b"text/vcard", id: b"1", payload: card };
    let held = read(&record::message(&[card, ours]));
    let Held::Ours(held) = held else { unreachable!("{held:?}") };
    assert_eq!(held.payload, tag().payload);
    assert_eq!(held.besides.as_deref(), Some("11 bytes of the kind “text/vcard”"));
}

#[test]
fn a_tag_of_ours_that_cannot_be_read_is_no_stranger() {
    for text in ["HW2:01H7K2M90101Y.", "HW1:01H7K2M90101Y.10P1KNJXPZ0"] {
        let payload = uri::payload(text);
        let record = Record { naming: Naming::WellKnown, kind: b"U", id: &[], payload: &payload };
        let held = read(&record::message(&[record]));
        assert!(matches!(held, Held::Unreadable(NdefError::Payload(_))), "{held:?}");
    }
    let damaged =
        Record { naming: Naming::External, kind: b"Hosewright:LOOK", id: &[], payload: &[9] };
    let text = uri::payload(&tag().payload.text());
    let ours = Record { naming: Naming::WellKnown, kind: b"U", id: &[], payload: &text };
    let Held::Ours(held) = read(&record::message(&[ours, damaged])) else { unreachable!() };
    assert_eq!((held.look, held.besides), (Some(Err(LookError::Damaged)), None));
}

/// The flags of NDEF 1.0, section 3.2: begin 80, end 40, chunk 20, short 10,
/// with an ID 08, and 7 for what the type names.
#[test]
fn messages_that_are_none_are_refused_in_words() {
    let refused = |hex: &str| match read(&bytes(hex)) {
        Held::Unreadable(error) => error.to_string(),
        other => format!("{other:?}"),
    };
    let is_no_message = "what the chip holds is not a message of the NFC Forum's format: ";
    for (hex, why) in [
        ("50 00 00", "its first record is not marked as the first"),
        ("90 00 00 D0 00 00", "its first record is not marked as the first"),
        ("D0 00 00 00", "it goes on after its last record"),
        ("90 00 00", "it breaks off"),
        ("C1 01 FF FF FF FF 55", "it breaks off"),
        ("D9 01 01", "it breaks off"),
        ("D0 01 00 55", "a record that is said to be empty is not"),
        ("D5 01 00 55", "a record without a type has one"),
    ] {
        assert_eq!(refused(hex), format!("{is_no_message}{why}"), "{hex}");
    }
    for pieces in ["B1 01 01 55 00 56 00 01 31", "D6 00 01 31"] {
        assert!(refused(pieces).contains("in pieces"), "{pieces}");
    }
    // A reserved kind of type is unknown, and another program's text is no sentence of this program.
    assert_eq!(read(&bytes("D7 00 01 55")), Held::Another("1 byte of no said kind".to_owned()));
    let odd = Held::Another("the address “https://a b”".to_owned());
    assert_eq!(read(&address("a\u{7}b")), odd);
}

fn any_tag() -> impl Strategy<Value = ForChip> {
    let words = prop::collection::vec("[a-z]{1,9}(:[a-z0-9-]{1,12}){0,2}", 0..6);
    let look = (-40_000_i64..80_000, "[a-z-]{1,12}", any::<Option<bool>>(), words);
    let look = look.prop_map(|(days, kind, passed, open)| LastLook {
        on: chrono::NaiveDate::default() + chrono::TimeDelta::days(days),
        kind: label(&kind),
        passed,
        open: open.iter().map(|seen| label(seen)).collect(),
    });
    let base = prop::option::of("https://[a-z]{1,20}(/[a-z]{1,9})?");
    let code = (0_u64..1 << 60).prop_filter_map("no code", Code::from_bits);
    (code, base, prop::option::of(look)).prop_map(|(code, base, look)| ForChip {
        payload: Payload { code, passport: None },
        base: base.and_then(|base| Base::parse(&base).ok()),
        look,
    })
}

proptest! {
    #[test]
    fn what_is_written_is_read(what in any_tag(), chip in 0..3_usize) {
        let container = Chip::ALL[chip].container();
        let area = area_for(&what, (container, &[]), Overwrite::OwnOnly);
        let area = area.unwrap_or_default();
        prop_assert!(area.len() <= container.size() && area.len().is_multiple_of(4));
        let Held::Ours(held) = read_area(container, &area) else { unreachable!("{area:?}") };
        prop_assert_eq!(held.payload, what.payload);
        prop_assert!(held.look.is_none_or(|look| look.ok() == what.look));
        // Writing it again is always allowed, and changes nothing.
        prop_assert_eq!(area_for(&what, (container, &area), Overwrite::OwnOnly), Ok(area));
    }

    /// A message with a wrong bit is never taken for another hose's, and one that
    /// is cut short never for any.
    #[test]
    fn damage_is_never_a_panic(what in any_tag(), bit in any::<prop::sample::Index>()) {
        let whole = written(&what);
        let at = bit.index(whole.len() * 8);
        let flip = |mut bytes: Vec<u8>| {
            if let Some(byte) = bytes.get_mut(at / 8) {
                *byte ^= 1 << (at % 8);
            }
            bytes
        };
        let container = Chip::Ntag216.container();
        let area = chip::area(container, &[], &whole).unwrap_or_default();
        for held in [read(&flip(whole.clone())), read_area(container, &flip(area))] {
            prop_assert!(!matches!(held, Held::Ours(ours) if ours.payload != what.payload));
        }
        let cut = read(whole.get(..at / 8).unwrap_or_default());
        prop_assert!(!matches!(cut, Held::Ours(_)), "{:?}", cut);
    }

    #[test]
    fn any_bytes_are_answered(message: Vec<u8>, container: [u8; 4]) {
        for held in [read(&message), Container::parse(container).map_or(Held::Nothing, |c| read_area(c, &message))] {
            if let Held::Unreadable(error) = held {
                prop_assert!(!error.to_string().is_empty());
            }
        }
    }
}

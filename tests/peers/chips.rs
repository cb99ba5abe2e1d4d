//! What is written on chips against programs of other people: ndeflib for NDEF,
//! cbor2 for the inspection in it.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test without its peer has failed")]

use hosewright_core::hose::Label;
use hosewright_core::tag::Base;
use hosewright_core::tag::ndef::{
    ForChip, Held, LOOK, LastLook, Message, NdefError, PACKAGE, message_for, read,
};
use hosewright_tests::peers::ask;
use hosewright_tests::pictures::payload;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn bytes(hex: &str) -> Vec<u8> {
    let at = (0..hex.len()).step_by(2);
    at.map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap()).collect()
}

fn texts(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect()
}

/// Hoses with and without a base, inspections of every make.
fn for_chips() -> Vec<ForChip> {
    let label = |text: String| Label::new("a word", &text).unwrap();
    let open = proptest::collection::vec("[a-z]{1,9}(:[a-z0-9-]{1,20}){0,2}", 0..30);
    let days = -40_000_i64..80_000;
    let looks = (days, "[a-zé-]{1,40}", proptest::option::of(proptest::bool::ANY), open);
    let mut runner = TestRunner::deterministic();
    (0..200_u64)
        .map(|seed| {
            let (days, kind, passed, open) = looks.new_tree(&mut runner).unwrap().current();
            let look = LastLook {
                on: chrono::NaiveDate::default() + chrono::TimeDelta::days(days),
                kind: label(kind),
                passed,
                open: open.into_iter().map(label).collect(),
            };
            ForChip {
                payload: payload(seed),
                base: (seed % 3 == 0).then(|| Base::parse("https://www.hoses.example/t").unwrap()),
                look: (seed % 4 != 0).then_some(look),
            }
        })
        .collect()
}

/// What the peer is asked to write for the same.
fn asked(what: &ForChip, message: &Message) -> Value {
    let text = what.base.as_ref().map(|base| what.payload.text_with_base(base));
    let look = what.look.as_ref().filter(|_| message.has_look).map(|look| {
        let open: Vec<&str> = look.open.iter().map(Label::as_str).collect();
        json!({"on": look.on, "kind": look.kind, "passed": look.passed, "open": open})
    });
    json!({
        "text": text.unwrap_or_else(|| what.payload.text()),
        "look": look,
        "application": message.has_application.then_some(PACKAGE),
    })
}

#[test]
fn every_record_is_written_as_ndeflib_writes_it_and_it_reads_ours() {
    let whats = for_chips();
    let whole = |what| message_for(what, usize::MAX).unwrap();
    let messages: Vec<Message> = whats.iter().map(whole).collect();
    let wanted: Vec<Value> = whats.iter().zip(&messages).map(|(w, m)| asked(w, m)).collect();
    let ours: Vec<String> = messages.iter().map(|message| hex(&message.bytes)).collect();
    let answer = ask("chips.py", &json!({"messages": wanted, "read": ours})).unwrap();
    assert_eq!(texts(&answer["messages"]), ours);
    for ((what, wanted), theirs) in whats.iter().zip(wanted).zip(answer["read"].as_array().unwrap())
    {
        let text = wanted["text"].as_str().unwrap().replace("HTTPS://", "https://");
        assert_eq!(theirs[0], json!(["urn:nfc:wkt:U", text]));
        let look = what
            .look
            .as_ref()
            .map(|look| json!([format!("urn:nfc:ext:{LOOK}"), hex(&look.to_cbor())]));
        let application = json!(["urn:nfc:ext:android.com:pkg", hex(PACKAGE.as_bytes())]);
        let others: Vec<Value> = look.into_iter().chain([application]).collect();
        assert_eq!(theirs.as_array().unwrap()[1..], others);
    }
}

#[test]
fn addresses_begin_as_ndeflib_has_them_begin() {
    let answer = ask("chips.py", &json!({})).unwrap();
    let theirs = texts(&answer["prefixes"]);
    assert_eq!(theirs.len(), 36);
    for (code, address) in (0_u8..).zip(theirs) {
        let message = [0xD1, 1, 2, b'U', code, b'x'];
        assert_eq!(read(&message), Held::Another(format!("the address “{address}”")), "{code}");
    }
}

/// Every message of ndeflib's documentation, and what is said of it.
const EXAMPLES: &[(&str, &str)] = &[
    ("readme", "the text “Hello” and one more record"),
    ("decoder", "3 bytes of the kind “ABC” and one more record"),
    ("encoder", "3 bytes of the kind “ABC” and one more record"),
    ("empty", "nothing"),
    ("unknown", "4 bytes of no said kind"),
    ("media", "4 bytes of the kind “image/jpeg”"),
    ("absolute", "4 bytes of the kind “http://schemas.xmlsoap.org/soap/envelope…”"),
    ("unchanged", "in pieces"),
    ("uri", "the address “http://www.hääyö.com/~user/”"),
    ("uri short", "the address “http://www.example.com”"),
    ("text", "the text “Hello World” and one more record"),
    ("text in UTF-16", "a text"),
    ("smart poster", "a smart poster"),
    ("device", "46 bytes of the kind “Di”"),
    ("handover request", "20 bytes of the kind “Hr” and one more record"),
    ("handover select", "12 bytes of the kind “Hs” and one more record"),
    ("handover mediation", "12 bytes of the kind “Hm” and one more record"),
    ("handover initiate", "12 bytes of the kind “Hi” and one more record"),
    ("handover carrier", "25 bytes of the kind “Hc”"),
    ("wifi", "12 bytes of the kind “application/vnd.wfa.wsc”"),
    ("bluetooth", "22 bytes of the kind “application/vnd.bluetooth.ep.oob”"),
    ("bluetooth low energy", "9 bytes of the kind “application/vnd.bluetooth.le.oob”"),
    ("signature", "the address “https://example.com” and 2 more records"),
    ("private, empty", "0 bytes of the kind “nfcpy.org:x-empty”"),
    ("private, temperature", "6 bytes of the kind “nfcpy.org:x-temp”"),
    ("long", "300 bytes of the kind “application/octet-stream”"),
];

#[test]
fn every_example_of_ndeflib_is_read_or_refused_in_words() {
    let answer = ask("chips.py", &json!({})).unwrap();
    let examples = answer["examples"].as_array().unwrap();
    let said = examples.iter().map(|example| {
        let [name, octets] = texts(example)[..] else { panic!("{example}") };
        let words = match read(&bytes(octets)) {
            Held::Another(words) => words,
            Held::Nothing => "nothing".to_owned(),
            Held::Unreadable(NdefError::Chunked) => "in pieces".to_owned(),
            other => panic!("{name}: {other:?}"),
        };
        (name, words)
    });
    let expected = EXAMPLES.iter().map(|(name, words)| (*name, (*words).to_owned()));
    assert_eq!(said.collect::<Vec<_>>(), expected.collect::<Vec<_>>());
}

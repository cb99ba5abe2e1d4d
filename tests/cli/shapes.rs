//! What programs read is a promise: the fields of every `--json`, with their
//! types, stand in `golden/shapes.txt`. A field that comes is written there by
//! hand; one that goes or changes its type breaks someone's program.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::Path;

use hosewright_tests::desk::Desk;
use hosewright_tests::peers::root;
use serde_json::Value;

/// Commands on a store that holds the exemplar of every kind of entry, in turn.
const COMMANDS: &[&str] = &[
    "answer GMAR2",
    "answer HQ0D2",
    "scan GJJNP",
    "scan 16HN-9B0A-2TYV-0",
    "list",
    "history GMAR2",
    "set list",
    "set show Heron",
    "replace GMAR2",
    "today",
    "due",
    "order",
    "ages",
    "survival --group maker",
    "recall",
    "recall --lot B17 --maker Kelpline",
    "thread --male 9.4mm",
    "spanner 14mm",
    "key 4mm",
    "torque 5N·m --crowfoot 30mm --wrench 200mm",
    "seals HQ0D2",
    "limits",
    "rules",
    "device show",
    "device list",
    "check",
    "check --salvage saved.hosewright",
    "bundle --out out.hwbundle",
    "film --out film.png",
    "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 --end-b 7/16-20",
    "inspect GJJNP --kind full --finding run:scuff",
    "inspect GJJNP --kind quick --finding run:scuff --photo run=scuff.png",
    "photos GJJNP",
    "clean GJJNP",
    "reseal GJJNP --end a",
    "bind GJJNP 4006381333948",
    "describe GJJNP --lot 7-3",
    "fit GJJNP --set Heron --port HP1",
    "inspect GJJNP --kind leak-test --pressure 200bar --passed",
    "inspect HQ0D2 --kind full",
    "recall check-off GJJNP --lot B17 --maker Kelpline --why other",
    "recall end --lot B17 --maker Kelpline --why over",
    "rental check Heron HQ0D2 GJJNP",
    "rental out Heron --ticket 4713 HQ0D2 GJJNP",
    "rental list",
    "rental in Heron --nothing-found --dives 2 HQ0D2 GJJNP",
    "remove GJJNP",
    "register --service second-stage --construction rubber --length 60cm --end-a 3/8-24 \
     --end-b 9/16-18 --tag 2RWB-XCB4-GDEA-7",
    "inspect 2RWBX --kind full",
    "swap HQ0D2 2RWBX",
    "retag GJJN-P5JN-X9EW-J --yes",
    "retire MPKD-H6D1-K2YJ-W --why worn --yes",
    "withdraw f42c27d1182b3113 --why mistaken --yes",
    "hold GMAR2 --why doubt",
    "release GMAR2 --why settled",
    "hold --set Heron --why doubt",
    "release --set Heron --why settled",
    "set change Heron --name Egret",
    "set new Heron --use rental --ports LP:3/8-24=2",
    "set join Egret Heron --why twice",
    "set tag 16HN-9B0A-2TYV-0 --yes",
    "limits set --use rental --dives 200",
    "device found",
    "device words",
    "case GMAR2 --entries case.jsonl",
    "verify case.jsonl",
    "backup --out all.hwbundle",
];

fn describe(path: &str, value: &Value, into: &mut BTreeSet<String>) {
    let kind = match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                describe(&format!("{path}.{name}"), field, into);
            }
            return;
        }
        Value::Array(items) => {
            items.iter().for_each(|item| describe(&format!("{path}[]"), item, into));
            if !items.is_empty() {
                return;
            }
            "list"
        }
        Value::Null => "nothing",
        Value::Bool(_) => "yes or no",
        Value::Number(number) if number.is_f64() => "number",
        Value::Number(_) => "whole number",
        Value::String(_) => "text",
    };
    into.insert(format!("  {path}: {kind}"));
}

#[test]
fn the_fields_that_programs_read_stay() {
    let desk = Desk::new();
    let bundle = root().join("core/src/journal/golden/exemplar-1.hwbundle");
    let merge = format!("merge {}", bundle.display());
    image::GrayImage::new(16, 12).save(desk.path("scuff.png")).unwrap();
    let (mut told, mut answer) = (String::new(), BTreeSet::new());
    let mut tell = |name: &str, line: &str| {
        let said = desk.run(&format!("{line} --json"));
        assert!(said.code < 2, "{line}: {}{}", said.out, said.err);
        let mut shape = BTreeSet::new();
        for value in said.out.lines() {
            describe("", &serde_json::from_str(value).expect(line), &mut shape);
        }
        if name.starts_with("answer ") {
            answer.extend(shape.clone());
        } else if shape.contains("  .record.devices: whole number") {
            // It prints the answer as it is afterwards.
            shape = shape.difference(&answer).cloned().collect();
            shape.insert("  an answer".to_owned());
        }
        writeln!(told, "{name}").unwrap();
        shape.iter().for_each(|line| writeln!(told, "{line}").unwrap());
    };
    tell("merge exemplar --list", &format!("{merge} --list"));
    tell("merge exemplar", &merge);
    COMMANDS.iter().for_each(|line| tell(line, line));
    let now = Path::new(env!("CARGO_TARGET_TMPDIR")).join("shapes.txt");
    std::fs::write(&now, &told).unwrap();
    let promised = include_str!("golden/shapes.txt");
    for (number, (promise, line)) in promised.lines().zip(told.lines()).enumerate() {
        let at = number + 1;
        assert_eq!(promise, line, "line {at} of golden/shapes.txt; now: {}", now.display());
    }
    assert_eq!(promised.lines().count(), told.lines().count(), "now: {}", now.display());
}

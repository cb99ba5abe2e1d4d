//! A table or an index that is gone or altered is found, and rebuilt where it
//! can be.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use rusqlite::Connection;

/// What the tables hold that are folded from the journal.
const FOLDED: [&str; 22] = [
    "hose",
    "tag",
    "barcode",
    "lot",
    "regulator_set",
    "fleet",
    "projection",
    "withdrawal",
    "admission",
    "meeting",
    "hose_row",
    "span",
    "due",
    "total",
    "hose_of_set",
    "set_tag",
    "hose_text",
    "hose_text_config",
    "hose_text_content",
    "hose_text_data",
    "hose_text_docsize",
    "hose_text_idx",
];

fn fleet() -> (Desk, String) {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done("set new Own --use rental --ports LP:3/8-24=2");
    desk.done(&format!("fit {hose} --set Own --port LP1"));
    desk.done(&format!("bind {hose} 4006381333931"));
    desk.done("limits set --use rental --dives 300");
    (desk, hose)
}

fn hurt(desk: &Desk, sql: &str) {
    let store = Connection::open(desk.store()).unwrap();
    store.execute_batch(&format!("PRAGMA foreign_keys = OFF; {sql}")).unwrap();
}

/// The kind and the name of all that has a definition.
fn definitions(desk: &Desk) -> Vec<(String, String)> {
    let store = Connection::open(desk.store()).unwrap();
    let mut all = store
        .prepare("SELECT type, name FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
        .unwrap();
    let rows = all.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    rows.collect::<Result<_, _>>().unwrap()
}

/// All that is asked below, as one text.
fn told(desk: &Desk, hose: &str) -> String {
    let lines = ["list", "set show Own", "limits", "export"].map(str::to_owned);
    let of_hose = [format!("answer {hose}"), format!("history {hose}")];
    let scan = ["scan 4006381333931".to_owned()];
    let lines = lines.into_iter().chain(of_hose).chain(scan);
    lines.map(|line| desk.run(&line).out).collect()
}

/// Found by a check in these words, put right by a rebuild.
fn found_and_mended(desk: &Desk, hose: &str, words: &str, before: &str) {
    let said = desk.run("check");
    assert_eq!(said.code, 1, "{words}: {}{}", said.out, said.err);
    let said: String = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains(words) && said.contains("check --rebuild"), "no “{words}” in {said}");
    let mended = desk.run("check --rebuild");
    assert_eq!(mended.code, 0, "{words}: {}{}", mended.out, mended.err);
    assert_eq!(desk.run("check").code, 0);
    assert_eq!(told(desk, hose), before, "{words}");
}

#[test]
fn every_table_that_is_folded_and_every_index_is_made_anew() {
    let (desk, hose) = fleet();
    let before = told(&desk, &hose);
    let whole = definitions(&desk);
    let mendable: Vec<_> = whole
        .iter()
        .filter(|(kind, name)| kind == "index" || FOLDED.contains(&name.as_str()))
        .collect();
    assert!(mendable.len() > FOLDED.len() + 3, "{mendable:?}");
    for (kind, name) in mendable {
        hurt(&desk, &format!("DROP {kind} {name}"));
        found_and_mended(&desk, &hose, &format!("the {kind} {name} is missing"), &before);
        assert_eq!(definitions(&desk), whole);
    }
    // All of them at once.
    hurt(&desk, &FOLDED.map(|name| format!("DROP TABLE IF EXISTS {name};")).concat());
    found_and_mended(&desk, &hose, "the table hose is missing", &before);
    assert_eq!(definitions(&desk), whole);
}

#[test]
fn what_was_altered_is_made_anew() {
    let (desk, hose) = fleet();
    let before = told(&desk, &hose);
    let whole = definitions(&desk);
    for (sql, words) in [
        ("ALTER TABLE tag ADD COLUMN more TEXT", "the table tag is not as this program makes it"),
        (
            "DROP TABLE barcode; CREATE VIEW barcode AS SELECT 'x' AS text, 1 AS hose",
            "the table barcode is not as this program makes it",
        ),
        (
            "DROP INDEX lot_of_hose; CREATE UNIQUE INDEX lot_of_hose ON hose (record)",
            "the index lot_of_hose is not as this program makes it",
        ),
        (
            "CREATE TRIGGER trap AFTER INSERT ON entry BEGIN DELETE FROM hose; END",
            "the trigger trap does not belong there",
        ),
    ] {
        hurt(&desk, sql);
        found_and_mended(&desk, &hose, words, &before);
        assert_eq!(definitions(&desk), whole, "{words}");
    }
}

#[test]
fn a_table_of_the_journal_that_is_missing_is_damage() {
    let (desk, _) = fleet();
    let whole = std::fs::read(desk.store()).unwrap();
    for (kind, name) in definitions(&desk) {
        if kind != "table" || FOLDED.contains(&name.as_str()) {
            continue;
        }
        std::fs::write(desk.store(), &whole).unwrap();
        hurt(&desk, &format!("DROP TABLE {name}"));
        let said = desk.run("check");
        assert_eq!(said.code, 1, "{name}: {}{}", said.out, said.err);
        let words: String = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(&format!("the table {name} is missing")), "{words}");
        assert!(words.contains("check --salvage"), "{words}");
        let refused = desk.run("check --rebuild");
        assert_eq!(refused.code, 2, "{name}: {}", refused.out);
        assert!(refused.err.contains("damaged") && refused.err.contains("--salvage"), "{name}");
    }
    // What is left of the journal is saved.
    let _ = desk.run("check --salvage saved.hosewright");
    assert_eq!(desk.run("check --store saved.hosewright").code, 0);
}

#[test]
fn a_command_that_meets_a_missing_table_points_to_the_check() {
    let (desk, hose) = fleet();
    hurt(&desk, "DROP TABLE hose");
    for line in ["list".to_owned(), format!("answer {hose}"), format!("clean {hose}")] {
        let said = desk.run(&line);
        assert_eq!(said.code, 2, "{line}: {}", said.out);
        assert!(said.err.contains("no such table: hose"), "{line}: {}", said.err);
        assert!(said.err.contains("hosewright check"), "{line}: {}", said.err);
    }
}

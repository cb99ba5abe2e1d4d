//! No list opens as a formula in a spreadsheet program, and a list that comes
//! back says what it said. Source: OWASP, "CSV Injection".
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::Desk;

#[test]
fn a_cell_that_would_be_a_formula_is_guarded_and_comes_back() {
    let desk = Desk::new();
    for (at, maker) in ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "'=1+1", "-7"].iter().enumerate() {
        let set = format!("=Set{at}");
        let hose = desk.done(&format!(
            "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
             --end-b 9/16-18 --made 2016-01 --maker={maker}"
        ));
        desk.done(&format!("set new {set} --use personal --ports LP:3/8-24=1 --on 2016-02-01"));
        desk.done(&format!("fit {hose} --set {set} --port LP1 --on 2021-01-01"));
    }
    let survival = desk.run("survival --group maker --csv").out;
    let due = desk.run("due --csv").out;
    for list in [&survival, &due] {
        let mut sheet = list.lines().skip(1).flat_map(|row| row.split(','));
        let formula = sheet.find(|cell| {
            let cell = cell.trim_matches('"');
            cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err()
        });
        assert_eq!(formula, None, "{list}");
    }
    assert!(due.contains(",'=Set0,LP1,"), "{due}");
    // Numbers stay numbers.
    assert!(
        due.lines().any(|row| row.split(',').nth(1).is_some_and(|days| days == "-165")),
        "{due}"
    );

    // What was written is read as what it was.
    let mut makers: Vec<&str> =
        survival.lines().skip(1).filter_map(|row| row.split(',').next()).collect();
    makers.dedup();
    assert_eq!(makers.len(), 6, "{survival}");
    let rows = makers.iter().map(|maker| format!("gauge,80 cm,{maker}\n"));
    let rows: String = rows.collect();
    fs::write(desk.path("back.csv"), format!("Service,Length,Maker\n{rows}")).unwrap();
    let other = Desk::new();
    fs::copy(desk.path("back.csv"), other.path("back.csv")).unwrap();
    assert_eq!(other.run("import back.csv").code, 0);
    let export = other.export();
    for maker in ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "'=1+1", "-7"] {
        let written = format!("\"maker\":\"{maker}\"");
        assert_eq!(export.matches(&written).count(), 1, "{maker}: {export}");
    }
}

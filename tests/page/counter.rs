//! The counter's day, and its tags: what is printed, and what is tied on.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_core::tag::LABEL_SHEETS;
use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

const LIST: &str = "No.,Service,Length,Set,Port,Made\nLP-9,octo,75 cm,R1,LP2,2024-03\n\
                    HP-3,gauge,80 cm,R1,HP1,2024\nLP-8,octo,1 m,R1,LP1,2024-03\n,inflator,56 cm,,,2024\n";

fn shop() -> (Desk, Page) {
    let desk = Desk::new();
    desk.done("set new R1 --use rental --ports HP:7/16-20=1,LP:3/8-24=4");
    fs::write(desk.path("hoses.csv"), LIST).unwrap();
    desk.done("import hoses.csv");
    let page = Page::of(&desk, &[]);
    (desk, page)
}

fn code_called(desk: &Desk, number: &str) -> String {
    let found = desk.json(&format!("find {number}"));
    found[0]["code"].as_str().expect(number).to_owned()
}

/// What the rows of a list to pick by say of each tag, but for its code.
fn picked(csv: &str) -> Vec<String> {
    let row = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        [0, 2, 3, 4].map(|at| cells[at]).join("|")
    };
    csv.lines().skip(1).map(row).collect()
}

const IN_ORDER: [&str; 5] = [
    "1|R1|1st stage|",
    "2|HP-3|gauge 80 cm|R1 HP1",
    "3|LP-8|2nd stage 1 m|R1 LP1",
    "4|LP-9|2nd stage 75 cm|R1 LP2",
    "5||inflator 56 cm|",
];

#[test]
fn tags_and_their_list_come_in_the_order_of_sets_and_ports() {
    let (desk, page) = shop();
    assert_eq!(picked(&page.shown("/tags/tags.csv?all=yes")), IN_ORDER);
    desk.done("tags --all --out tags.csv");
    assert_eq!(picked(&fs::read_to_string(desk.path("tags.csv")).unwrap()), IN_ORDER);
    let shown = plain(&page.shown("/tags?all=yes"));
    let mut rest = shown.as_str();
    for words in ["1st stage", "HP-3", "gauge 80 cm", "R1 HP1", "LP-8", "LP-9", "inflator 56 cm"] {
        rest = rest.split_once(words).unwrap_or_else(|| panic!("no {words} there in {shown}")).1;
    }
    assert!(
        shown.contains("never on a sleeve or a bend") && shown.contains("no source"),
        "{shown}"
    );
    for labels in LABEL_SHEETS {
        assert!(shown.contains(&labels.to_string()), "{labels}");
        let pdf = page.get(&format!("/tags/sheet.pdf?all=yes&form={}", labels.name));
        assert!(pdf.bytes.starts_with(b"%PDF-1."), "{labels}");
        desk.done(&format!("tags --all --out sheet.pdf --force --labels {}", labels.name));
        assert_eq!(fs::read(desk.path("sheet.pdf")).unwrap(), pdf.bytes, "{labels}");
    }
    let roll = page.get("/tags/sheet.pdf?all=yes&form=roll&label=57x32mm");
    desk.done("tags --all --out roll.pdf --roll 57x32mm");
    assert_eq!(fs::read(desk.path("roll.pdf")).unwrap(), roll.bytes);
    let svg = page.shown("/tags/tags.svg?all=yes");
    assert_eq!(svg.matches("<title>").count(), 5);
    assert_eq!(page.get("/tags?form=70x38").status, 400);
    assert_eq!(page.get("/tags?form=roll&label=5x5mm").status, 400);
    assert_eq!(desk.run("tags --all --out x.pdf --labels 70x38").code, 2);
    assert_eq!(desk.run("tags --all --out x.pdf --roll 57").code, 2);
    assert_eq!(desk.run("tags --all --out x.png").code, 2);
}

/// However many an import registered, all of them are offered: none is left out of the
/// link.
#[test]
fn every_hose_of_an_import_is_offered_to_print() {
    let (desk, page) = shop();
    let many: String = (0..520).map(|n| format!("N{n},octo,75 cm\n")).collect();
    let csv = format!("No.,Service,Length\n{many}");
    let plan = page.file("/owner/record/list", &[], "file", csv.as_bytes());
    assert_eq!(plan.status, 303, "{}", plain(&plan.text()));
    let list = plan.header("location").split("list=").nth(1).unwrap().to_owned();
    let taken = page.post("/owner/record/list/take", &[("list", &list)]);
    assert_eq!(taken.status, 200, "{}", plain(&taken.text()));
    let link = taken.text();
    let link = link.split("href=\"/tags?").nth(1).and_then(|rest| rest.split('"').next()).unwrap();
    assert_eq!(picked(&page.shown(&format!("/tags/tags.csv?{link}"))).len(), 520);
    let code = link.strip_prefix("with=").unwrap();
    desk.done(&format!("tags --imported-with {code} --out many.csv"));
    let here = fs::read_to_string(desk.path("many.csv")).unwrap();
    assert_eq!(picked(&here).len(), 520);
}

#[test]
fn a_blank_tag_is_tied_on_by_scanning_it_and_choosing_the_hose() {
    let (desk, page) = shop();
    desk.done("tags --blank 1 --out blank.csv");
    let blank = fs::read_to_string(desk.path("blank.csv")).unwrap();
    let row = blank.lines().nth(1).unwrap().to_owned();
    let (tag, text) = (row.split(',').nth(1).unwrap(), row.rsplit(',').next().unwrap());
    let scanned = page.shown(&format!("/scan?text={text}"));
    assert!(scanned.contains(&format!("href=\"/tie/{tag}\"")), "{}", plain(&scanned));
    let hose = code_called(&desk, "LP-9");
    // Found by its number, however it is typed, or by its old tag.
    for typed in ["LP-9", "lp9", hose.as_str()] {
        let shown = page.shown(&format!("/tie/{tag}?text={typed}"));
        let offered = shown.contains(&format!("/hose/{hose}/retag"));
        assert!(offered, "{typed}: {}", plain(&shown));
    }
    assert!(page.shown(&format!("/tie/{tag}?text=nothing-like-it")).contains("No hose found."));
    assert_eq!(page.get("/tie/nothing").status, 400);
    let to = page.sure(&format!("/hose/{hose}/retag"), &[("tag", tag)]);
    assert!(to.contains(tag), "{to}");
    assert_eq!(desk.json(&format!("answer {tag}"))["hose"]["number"], "LP-9");
    // It is on record now, and is offered no longer.
    assert!(!page.shown(&format!("/hose/{tag}")).contains("/tie/"));
}

#[test]
fn the_home_page_is_the_day_as_the_command_line_says_it() {
    let (desk, page) = shop();
    let told = desk.run("today").out;
    let shown = page.shown("/");
    let words = plain(&shown);
    for part in desk.json("today")["parts"].as_array().unwrap() {
        let title = part["title"].as_str().unwrap();
        assert!(words.contains(title) && told.contains(title), "{title}: {words}\n{told}");
        let rows = part["rows"].as_array().unwrap();
        if rows.is_empty() {
            let none = part["none"].as_str().unwrap();
            assert!(words.contains(none) && told.contains(none), "{none}");
        }
        for row in rows {
            let name = row["name"].as_str().unwrap();
            assert!(words.contains(name) && told.contains(name), "{name}");
            let hose = row["about"]["hose"].as_str();
            assert!(hose.is_none_or(|hose| shown.contains(&format!("href=\"/hose/{hose}\""))));
        }
    }
    // Every hose is new: none was ever looked at.
    assert!(words.contains("On hold (4)"), "{words}");
    for hose in ["HP-3", "LP-8", "LP-9"] {
        assert!(told.contains(&format!("{hose}: No full inspection is on record.")), "{told}");
    }
}

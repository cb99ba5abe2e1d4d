//! Bad input is refused in words, with exit code 2, and changes nothing.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::Cursor;

use hosewright_tests::desk::Desk;
use image::{DynamicImage, GrayImage, ImageFormat, Luma};

/// A desk with a fitted hose, a gauge hose and a braided one in stock.
fn fleet() -> (Desk, String, String) {
    let desk = Desk::new();
    let (hose, gauge) = (desk.hose(), desk.gauge_hose());
    desk.done("set new Own --use personal --ports HP:7/16-20=1,LP:3/8-24=2,LP:1/2-20=1");
    desk.done(&format!("fit {hose} --set Own --port LP1"));
    (desk, hose, gauge)
}

/// Runs a line that must be refused in words like these, changing nothing.
fn refused(desk: &Desk, line: &str, words: &[&str]) {
    let before = desk.export();
    let said = desk.run(line);
    assert_eq!(said.code, 2, "{line}\n{}{}", said.out, said.err);
    assert_eq!(said.out, "", "{line}");
    for wanted in words {
        assert!(said.err.contains(wanted), "{line}: no “{wanted}” in “{}”", said.err);
    }
    assert!(said.err.starts_with("hosewright: "), "{line}: {}", said.err);
    assert_eq!(said.err.trim_end().lines().count(), 1, "{line}: {}", said.err);
    assert_eq!(desk.export(), before, "{line}");
}

/// A code with one wrong character in the middle.
fn slipped(code: &str) -> String {
    let mut characters: Vec<char> = code.chars().collect();
    characters[6] = if characters[6] == '7' { '8' } else { '7' };
    characters.into_iter().collect()
}

#[test]
fn codes_that_are_none() {
    let (desk, hose, _) = fleet();
    let unknown = Desk::new().hose();
    refused(&desk, &format!("answer {unknown}"), &[&unknown, "no hose on record"]);
    let near = format!("One slip away on record: {hose}");
    refused(&desk, &format!("answer {}", slipped(&hose)), &["is not quite a code", &near]);
    refused(&desk, &format!("clean {}", slipped(&hose)), &[&near]);
    refused(&desk, "answer 7U!", &["can't be in a code"]);
    refused(&desk, &format!("answer HW2:{}.", hose.replace('-', "")), &["later than this program"]);
    let twice = format!(
        "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 --end-b \
         7/16-20 --tag {hose}"
    );
    refused(&desk, &twice, &["already on record"]);
}

#[test]
fn hoses_that_cannot_be() {
    let (desk, hose, _) = fleet();
    let register = "register --construction rubber --length 22in --end-a 3/8-24 --end-b 9/16-18";
    for (more, words) in [
        ("--service second-stage --made 2027", ["made 2027 is after today"].as_slice()),
        ("--service second-stage --made 2026-06-16", &["made 2026-06-16 is after today"]),
        ("--service second-stage --made 2024 --bought 2023", &["before made"]),
        ("--service gauge", &["cannot have 3/8-24"]),
        ("--service snorkel", &["--service", "second-stage, inflator, gauge"]),
        ("--service second-stage --made 2023-02-30", &["--made", "no day"]),
        ("--service second-stage --on 2026-06-16", &["2026-06-16 is after today"]),
    ] {
        refused(&desk, &format!("{register} {more}"), words);
    }
    refused(
        &desk,
        "register --service gauge --construction rubber --length 80 --end-a 7/16-20 --end-b 7/16-20",
        &["--length", "no unit"],
    );
    refused(&desk, &format!("describe {hose} --end-b quick-disconnect"), &["cannot have"]);
    refused(&desk, &format!("describe {hose} --made 2026-07"), &["after today"]);
}

#[test]
fn findings_that_cannot_be() {
    let (desk, hose, gauge) = fleet();
    for (hose, finding, words) in [
        (&gauge, "run:strands:2", "only a braid has strands"),
        (&hose, "run:strands:-1", "count of 0 or more"),
        (&hose, "run:weep:slight", "only high-pressure rubber hoses have pinpricks"),
        (&hose, "run:bubbles:occasional", "pinpricks"),
        (&hose, "run:sleeve-loose", "is found at"),
        (&hose, "run:cut", "cover or deep"),
        (&hose, "run:hole", "is not a finding"),
        (&hose, "middle:cut:deep", "place on a hose"),
        (&hose, "cut", "PLACE:FINDING"),
    ] {
        refused(&desk, &format!("inspect {hose} --kind full --finding {finding}"), &[words]);
    }
    for (more, words) in [
        ("--kind full --finding run:scuff --finding run:scuff", "twice"),
        ("--kind full --passed", "only a leak test"),
        ("--kind quick --pressure 200bar", "only a leak test"),
        ("--kind leak-test --pressure 200bar", "passed or failed"),
        ("--kind leak-test --passed --finding end-a:bubbles", "has not passed"),
        ("--kind leak-test --passed --pressure 3000", "no unit"),
        ("--kind full --on 2023-01-01", "before the hose was made"),
    ] {
        refused(&desk, &format!("inspect {hose} {more}"), &[words]);
    }
    refused(
        &desk,
        &format!("inspect {gauge} --kind leak-test --passed --pressure 200bar"),
        &["fit it first"],
    );
}

#[test]
fn places_that_cannot_be() {
    let (desk, hose, gauge) = fleet();
    let spare = desk.hose();
    for (line, words) in [
        (format!("fit {spare} --set Own --port LP1"), "already has"),
        (format!("fit {gauge} --set Own --port LP2"), "never mix the two"),
        (format!("fit {spare} --set Own --port HP1"), "never mix the two"),
        (format!("fit {spare} --set Own --port LP3"), "does not screw into a 1/2-20 port"),
        (format!("fit {spare} --set Own --port LP9"), "has no port LP9"),
        (format!("fit {spare} --set Other --port LP1"), "there are Own"),
        (format!("fit {spare} --set Own --port X1"), "is not a port"),
        (format!("fit {spare} --set Own --port LP2 --on 2024-02-29"), "before the hose was made"),
        (format!("fit {hose} --set Own --port LP1"), "is already in"),
        (format!("remove {spare}"), "is in no set"),
        (format!("remove {hose} --on 2026-06-01"), "last fitted or removed"),
        ("set new Own --use personal --ports LP:3/8-24=1".to_owned(), "already a set"),
        ("set new B --use personal --ports HP:1/2-20=1".to_owned(), "no first stage has"),
        ("set new B --use personal --ports LP=1".to_owned(), "does not name ports"),
        ("set new B --use shop --ports LP:3/8-24=1".to_owned(), "personal, rental"),
        ("set show B".to_owned(), "there are Own"),
    ] {
        refused(&desk, &line, &[words]);
    }
    desk.done(&format!("retire {spare} --why old --yes"));
    refused(&desk, &format!("fit {spare} --set Own --port LP2"), &["was retired"]);
    refused(&desk, &format!("retire {spare} --why old --yes"), &["was retired"]);
}

#[test]
fn a_store_that_is_not_ours_is_left_alone() {
    let desk = Desk::new();
    for (name, bytes) in [
        ("notes.txt", b"a list of hoses".repeat(50)),
        ("other.db", sqlite_of_another()),
        ("empty.db", Vec::new()),
    ] {
        fs::write(desk.path(name), &bytes).unwrap();
        for command in ["list", "check", "export"] {
            let said = desk.run(&format!("{command} --store {name}"));
            assert_eq!(said.code, 2, "{name}: {}", said.out);
            let wanted = if bytes.is_empty() { "is empty" } else { "is not a Hosewright store" };
            assert!(said.err.contains(wanted), "{name}: {}", said.err);
        }
        assert_eq!(fs::read(desk.path(name)).unwrap(), bytes, "{name}");
    }
    assert_eq!(desk.run("list --store .").code, 2);
}

fn sqlite_of_another() -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.db");
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute_batch("CREATE TABLE tank (id INTEGER) STRICT").unwrap();
    drop(other);
    fs::read(path).unwrap()
}

/// Runs commands that must be refused for the state of the store, in words
/// like these.
fn store_refused(desk: &Desk, words: &str) {
    for line in [
        "list",
        "check",
        "register --service gauge --construction rubber --length 80cm \
         --end-a 7/16-20 --end-b 7/16-20",
    ] {
        let said = desk.run(line);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
        assert!(said.err.contains(words), "{line}: {}", said.err);
    }
}

#[test]
fn a_store_of_a_later_version_is_left_alone() {
    let (desk, hose, _) = fleet();
    let before = desk.export();
    let set = |version: i64| {
        let store = rusqlite::Connection::open(desk.store()).unwrap();
        store.pragma_update(None, "user_version", version).unwrap();
    };
    let known: i64 = rusqlite::Connection::open(desk.store())
        .unwrap()
        .query_row("PRAGMA user_version", [], |row| row.get(0))
        .unwrap();
    set(known + 1);
    store_refused(&desk, "update this program");
    set(known);
    assert_eq!(desk.export(), before);
    assert_eq!(desk.run(&format!("answer {hose}")).code, 1);
}

#[test]
fn a_store_that_was_cut_off_is_said_to_be_damaged() {
    let (desk, _, _) = fleet();
    let whole = fs::read(desk.store()).unwrap();
    fs::write(desk.store(), &whole[..whole.len() / 2]).unwrap();
    store_refused(&desk, "is damaged");
    assert_eq!(fs::read(desk.store()).unwrap(), whole[..whole.len() / 2]);
    fs::write(desk.store(), &whole).unwrap();
    assert_eq!(desk.run("check").code, 0);
}

#[test]
fn a_record_that_is_not_what_the_journal_says_fails_the_check() {
    let (desk, hose, _) = fleet();
    let store = rusqlite::Connection::open(desk.store()).unwrap();
    let sql = "UPDATE hose SET record = replace(record, 'braided', 'rubber')";
    assert!(store.execute(sql, []).unwrap() > 0);
    drop(store);
    let said = desk.run("check");
    assert_eq!(said.code, 1, "{}", said.out);
    assert!(said.out.contains(&format!("hose {hose}")), "{}", said.out);
    assert_eq!(desk.run("check --rebuild").code, 0);
    assert_eq!(desk.run("check").code, 0);
}

#[test]
fn a_store_that_another_program_holds_is_refused_after_a_while() {
    let (desk, _, gauge) = fleet();
    let before = desk.export();
    let other = rusqlite::Connection::open(desk.store()).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let said = desk.run(&format!("clean {gauge}"));
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(said.err.contains("in use by another program"), "{}", said.err);
    other.execute_batch("ROLLBACK").unwrap();
    drop(other);
    assert_eq!(desk.export(), before);
    desk.done(&format!("clean {gauge}"));
}

/// Pictures side by side on white.
fn beside(one: &GrayImage, other: &GrayImage) -> GrayImage {
    let (width, height) = (one.width() + other.width() + 40, one.height().max(other.height()));
    let mut both = GrayImage::from_pixel(width, height, Luma([255]));
    image::imageops::overlay(&mut both, one, 0, 0);
    image::imageops::overlay(&mut both, other, i64::from(one.width()) + 40, 0);
    both
}

fn png(picture: GrayImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let picture = DynamicImage::ImageLuma8(picture);
    picture.write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png).unwrap();
    bytes
}

/// A QR symbol of any text, a module of eight pixels.
fn qr(text: &str) -> GrayImage {
    let symbol = qrcode::QrCode::new(text).unwrap();
    let side = symbol.width();
    let dark = symbol.to_colors();
    let cells = u32::try_from(side + 8).unwrap();
    GrayImage::from_fn(cells * 8, cells * 8, |x, y| {
        let at = |n: u32| usize::try_from(n / 8).unwrap().wrapping_sub(4);
        let (column, row) = (at(x), at(y));
        let inside = column < side && row < side;
        let is_dark = inside && dark[row * side + column] == qrcode::Color::Dark;
        Luma([if is_dark { 0 } else { 255 }])
    })
}

/// The bytes of an archive with one stored file in it, as far as a reader of
/// pictures looks.
fn zip() -> Vec<u8> {
    let mut bytes = b"PK\x03\x04\x14\x00\x00\x00\x00\x00".to_vec();
    bytes.extend([0; 16]);
    bytes.extend(b"\x05\x00\x00\x00a.txthello");
    bytes
}

#[test]
fn pictures_without_one_tag_of_ours() {
    let (desk, hose, gauge) = fleet();
    for (code, name) in [(&hose, "one.png"), (&gauge, "other.png")] {
        desk.done(&format!("tag {code} --out {name}"));
    }
    let open = |name: &str| image::open(desk.path(name)).unwrap().to_luma8();
    let two = beside(&open("one.png"), &open("other.png"));
    let foreign = qr("https://shop.example/item/12");
    let huge = DynamicImage::new_luma8(10_000, 5_000).to_luma8();
    let whole = png(open("one.png"));
    for (name, bytes, words) in [
        ("none.png", png(GrayImage::from_pixel(640, 480, Luma([180]))), ["no tag was found", ""]),
        ("two.png", png(two), [hose.as_str(), gauge.as_str()]),
        ("foreign.png", png(foreign.clone()), ["shop.example", "not a Hosewright tag"]),
        ("zip.png", zip(), ["not a PNG or JPEG picture", ""]),
        ("huge.png", png(huge), ["10000 × 5000 pixels", "40 million"]),
        ("empty.png", Vec::new(), ["the file is empty", ""]),
        ("cut.png", whole[..whole.len() / 2].to_vec(), ["damaged", ""]),
    ] {
        fs::write(desk.path(name), bytes).unwrap();
        refused(&desk, &format!("scan {name}"), &words);
    }
    refused(&desk, "scan gone.png", &["is not there"]);
    refused(&desk, "scan .", &["is a folder"]);

    // What is bound answers; what is beside one of our tags is passed over.
    desk.done(&format!("bind {gauge} https://shop.example/item/12"));
    assert_eq!(desk.json("scan foreign.png")["code"], *gauge);
    fs::write(desk.path("beside.png"), png(beside(&open("one.png"), &foreign))).unwrap();
    assert_eq!(desk.json("scan beside.png")["code"], *hose);
}

#[test]
fn many_pictures_are_read_and_the_bad_ones_said() {
    let (desk, hose, _) = fleet();
    fs::create_dir(desk.path("photos")).unwrap();
    desk.done(&format!("tag {hose} --out photos/b.png"));
    fs::write(desk.path("photos/a.png"), zip()).unwrap();
    fs::write(desk.path("photos/c.png"), png(qr("4006381333931"))).unwrap();
    fs::write(desk.path("photos/notes.txt"), "not looked at").unwrap();
    let said = desk.run("read photos --json");
    assert_eq!(said.code, 2);
    let lines: Vec<serde_json::Value> =
        said.out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 3);
    assert_eq!(lines[0]["texts"], serde_json::json!([]));
    assert!(lines[0]["error"].is_string() && said.err.contains("a.png"), "{}", said.err);
    let compact = hose.replace('-', "");
    assert!(lines[1]["texts"][0].as_str().unwrap().starts_with(&format!("HW1:{compact}.")));
    assert_eq!(lines[2]["texts"], serde_json::json!(["4006381333931"]));
    assert_eq!(desk.run("read photos/b.png photos/c.png").code, 0);
    assert_eq!(desk.run("read gone.png").code, 2);
}

#[test]
fn a_failed_check_of_what_is_typed_opens_no_store() {
    let desk = Desk::new();
    for line in ["answer", "register --service gauge", "scan", "fit X", "check --fast"] {
        assert_eq!(desk.run(line).code, 2, "{line}");
    }
    assert_eq!(desk.run("list --today tomorrow").code, 2);
    assert!(!desk.store().exists());
}

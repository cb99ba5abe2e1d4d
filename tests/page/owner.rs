//! What an owner does on the counter page beside the questions: limits, lists
//! and entries that come in, the record taken away, and devices.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

const LIST: &str = "No.,Service,Length,Construction,Made,Set,Port\n\
    A-1,octo,22in,braided,2024-03,R1,LP1\n\
    A-2,gauge,80 cm,rubber,2023,,\n\
    A-3,octo,long,braided,2024-03,,\n";

#[test]
fn limits_are_shown_with_where_they_come_from_and_set() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let shown = plain(&page.shown("/owner/limits"));
    assert_eq!(shown.matches("default: common practice, no published source").count(), 8);
    for words in ["500 dives", "6 months", "The maker's instructions and local codes come first"] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let to = page.done(
        "/owner/limits",
        &[
            ("use", "rental"),
            ("service", ""),
            ("construction", ""),
            ("dives", "300"),
            ("from_made", "7y"),
        ],
    );
    assert_eq!(to, "/owner/limits?written=yes");
    page.done("/owner/limits", &[("service", "gauge"), ("in_service", "36m"), ("dives", "none")]);
    let shown = plain(&page.shown("/owner/limits"));
    assert_eq!(shown.matches("default: common practice, no published source").count(), 6);
    assert_eq!(shown.matches("set by the owner for rental hoses").count(), 2, "{shown}");
    assert!(shown.contains("Gauge hoses. 3 years in service, no limit of dives"), "{shown}");
    let limits = desk.json("limits");
    assert_eq!(limits["limits"]["rental"]["dives"], 300);
    assert_eq!(limits["limits"]["rental"]["from_made_months"], 84);
    assert_eq!(limits["rules"].as_array().unwrap().len(), 2);
    let csv = page.get("/owner/limits?as=limits");
    assert_eq!(csv.header("content-type"), "text/csv; charset=utf-8");
    let before = desk.export();
    for (fields, at) in [
        (&[("dives", "many"), ("in_service", "5y")], Some("dives")),
        (&[("dives", "0"), ("in_service", "5y")], Some("dives")),
        (&[("in_service", "long"), ("use", "rental")], Some("in_service")),
        (&[("in_service", "0"), ("use", "rental")], None),
        (&[("use", "rental"), ("service", "gauge")], None),
        (&[("in_service", "5y"), ("use", "club")], Some("use")),
    ] {
        let refused = page.post("/owner/limits", fields);
        let text = refused.text();
        assert_eq!(refused.status, 400, "{fields:?}: {}", plain(&text));
        assert!(text.contains("still below") || at == Some("use"), "{fields:?}");
        if let Some(at) = at.filter(|at| *at != "use") {
            assert!(text.contains(&format!("id=\"refused-{at}\"")), "{fields:?}");
        }
    }
    assert_eq!(desk.export(), before);
}

#[test]
fn a_list_is_shown_before_it_is_taken_in() {
    let desk = Desk::new();
    desk.done("set new R1 --use rental --ports LP:3/8-24=2");
    let page = Page::of(&desk, &[]);
    let before = desk.export();
    let sent = page.file("/owner/record/list", &[], "file", LIST.as_bytes());
    assert_eq!(sent.status, 303, "{}", plain(&sent.text()));
    let to = sent.header("location").to_owned();
    let plan = page.shown(&to);
    let words = plain(&plan);
    assert!(words.contains("2 to register, 1 of them fitted; 1 refused, 0 repeated."), "{words}");
    assert!(words.contains("Nothing is saved yet.") && words.contains("R1, LP1"), "{words}");
    assert!(words.contains("Line 4") && words.contains("leave out the rest"), "{words}");
    assert_eq!(desk.export(), before, "a plan writes nothing");
    let key = to.split("list=").nth(1).unwrap();
    // Whole it cannot be taken in, and the plan is shown again.
    let whole = page.post("/owner/record/list/take", &[("list", key)]);
    assert_eq!(whole.status, 400);
    assert!(plain(&whole.text()).contains("What would be registered"));
    assert_eq!(desk.export(), before);
    let taken = page.post("/owner/record/list/take", &[("list", key), ("partial", "yes")]);
    let words = plain(&taken.text());
    assert_eq!(taken.status, 200, "{words}");
    assert!(words.contains("2 registered, 1 of them fitted; 1 refused, 0 repeated."), "{words}");
    assert_eq!(desk.json("list").as_array().unwrap().len(), 2);
    assert_eq!(page.get("/scan?text=A-1").status, 303);
    // Said yes to twice, it is there once.
    let after = desk.export();
    let twice = page.post("/owner/record/list/take", &[("list", key), ("partial", "yes")]);
    assert_eq!(twice.status, 400);
    assert!(plain(&twice.text()).contains("is not here any more"));
    assert_eq!(desk.export(), after);
}

/// A list that knows what was before and names its sets: its columns are matched by hand, its
/// sets are made, and sent again it says that all of it is here.
#[test]
fn a_list_is_matched_by_hand_makes_its_sets_and_comes_once() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let list = "Slang,Schlauchtyp,Länge,Automat,Abgang,Hergestellt,Vollprüfung,Dichtheitsprüfung,\
                Toets (bar),Tauchgänge\n\
                LP-1,Oktopus,1 m,R1,LP1,2025-03,2026-05-02,2026-05-02,200,40\n\
                HP-1,Finimeter,80 cm,R1,HP1,2025-03,2026-05-02,2026-05-02,200,\n";
    let sent = page.file("/owner/record/list", &[], "file", list.as_bytes());
    assert_eq!(sent.status, 303, "{}", plain(&sent.text()));
    let to = sent.header("location").to_owned();
    let key = to.split("list=").nth(1).unwrap();
    let plan = page.shown(&to);
    for words in
        ["Columns that are not understood", "Slang", "Toets (bar)", "Sets that are not on record"]
    {
        assert!(plain(&plan).contains(words), "{words}: {}", plain(&plan));
    }
    assert!(plan.contains("value=\"Slang=number\""), "{plan}");
    let by_hand = "match=Slang%3Dnumber&match=Toets%20%28bar%29%3Dleak-test-pressure&match=";
    let plan = page.shown(&format!("{to}&{by_hand}"));
    let words = plain(&plan);
    assert!(words.contains("leak test 2026-05-02 at 200 bar, 40 dives"), "{words}");
    assert!(words.contains("R1 HP1 (7/16-20), LP1 (3/8-24)"), "{words}");
    assert_eq!(page.get(&format!("{to}&match=Slang%3Dnothing")).status, 400);
    assert_eq!(page.get(&format!("{to}&match=Schlauch%3Dnote")).status, 400);
    assert!(desk.json("list").as_array().unwrap().is_empty(), "a plan writes nothing");
    let fields = [
        ("list", key),
        ("match", "Slang=number"),
        ("match", "Toets (bar)=leak-test-pressure"),
        ("make_sets", "rental"),
    ];
    let taken = page.post("/owner/record/list/take", &fields);
    let words = plain(&taken.text());
    assert_eq!(taken.status, 200, "{words}");
    assert!(words.contains("2 registered, 2 of them fitted"), "{words}");
    assert!(
        words.contains("From the list: 2 full inspections, 2 leak tests, and the dives of 1 hose."),
        "{words}"
    );
    let shown = plain(&page.shown("/set/R1"));
    assert!(shown.contains("Nothing is known against its 2 hoses."), "{shown}");
    let answer = plain(&page.shown("/hose/LP-1"));
    assert!(answer.contains("from the list of"), "{answer}");
    // Their tags are offered with those of their sets.
    let text = taken.text();
    let link = text.split("href=\"/tags?").nth(1).and_then(|rest| rest.split('"').next()).unwrap();
    let picked = page.shown(&format!("/tags/tags.csv?{link}"));
    assert_eq!(picked.lines().count(), 4, "{picked}");
    let before = desk.export();
    let again = page.file("/owner/record/list", &[], "file", list.as_bytes());
    let plan = page.shown(&format!("{}&{by_hand}", again.header("location")));
    let words = plain(&plan);
    assert!(words.contains("2 already here") && words.contains("Already here (2)"), "{words}");
    assert!(!words.contains("Register them"), "{words}");
    assert_eq!(desk.export(), before);
}

/// A usual set is a link away, a set is filled by scan port by port, and another like it too.
#[test]
fn a_set_begins_with_a_usual_one_and_is_filled_by_scans() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let new = page.shown("/sets/new");
    assert!(plain(&new).contains("Rental: 1 gauge, 2 second stages, 1 inflator"));
    let usual = page.shown("/sets/new?pattern=rental");
    for (name, value) in [("hp", "1"), ("lp", "3")] {
        assert!(usual.contains(&format!("name=\"{name}\" value=\"{value}\"")), "{name}: {usual}");
    }
    page.done("/sets/new", &[("name", "R1"), ("use", "rental"), ("lp", "2")]);
    let (first, second) = (desk.hose(), desk.hose());
    let shown = page.shown("/set/R1");
    assert!(shown.contains("href=\"/set/R1/fill?port=LP2\""), "{shown}");
    let asked = page.shown(&format!("/set/R1/fill?port=LP2&text={second}"));
    assert!(asked.contains(&format!("name=\"hose\" value=\"{second}\"")), "{}", plain(&asked));
    assert!(page.shown("/set/R1/fill?text=nothing-like-it").contains("No hose found."));
    let next = page.done("/set/R1/fill", &[("port", "LP2"), ("hose", &second)]);
    assert_eq!(next, "/set/R1/fill?port=LP1&written=yes");
    let taken = page.post("/set/R1/fill", &[("port", "LP2"), ("hose", &first)]);
    assert_eq!(taken.status, 409, "{}", plain(&taken.text()));
    assert!(
        plain(&taken.text()).contains("Scan a hose for LP1"),
        "the next empty one is asked for"
    );
    let last = page.done("/set/R1/fill", &[("port", "LP1"), ("hose", &first)]);
    assert_eq!(last, "/set/R1?written=yes");
    assert_eq!(page.get("/set/R1/fill").header("location"), "/set/R1");
    let like = page.shown("/sets/new?like=R1");
    assert!(like.contains("name=\"lp\" value=\"2\"") && !like.contains("value=\"R1\""), "{like}");
}

#[test]
fn the_list_to_fill_in_is_a_list() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let template = page.get("/owner/record/template.csv");
    assert!(template.header("content-disposition").contains("hoses.csv"));
    assert_eq!(desk.run("import --template").out, template.text());
    let sent = page.file("/owner/record/list", &[], "file", template.text().as_bytes());
    let words = plain(&page.shown(sent.header("location")));
    assert!(words.contains("1 to register") && words.contains("0 refused"), "{words}");
}

#[test]
fn files_that_are_no_list_are_refused_and_change_nothing() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let before = desk.export();
    let large = vec![b'a'; 5 * 1024 * 1024];
    // Larger than a photo may be, and looked at.
    let no_bundle = vec![b'b'; 20 * 1024 * 1024];
    for (path, file, status, why) in [
        ("list", &b""[..], 400, "the file is empty"),
        ("list", b"PK\x03\x04workbook", 400, "this is a workbook"),
        ("list", b"colour\nred\n", 400, "no line names the columns"),
        ("list", &large, 413, "4 MB of a list"),
        ("entries", b"", 400, "the file is empty"),
        ("entries", LIST.as_bytes(), 400, ""),
        ("entries", &no_bundle, 400, ""),
        ("since", LIST.as_bytes(), 400, ""),
        ("entries", b"Hosewright bundle 9\n", 400, ""),
        ("entries", b"{\"device\":\"0\"}\n", 400, "line 1 of the export"),
    ] {
        let refused = page.file(&format!("/owner/record/{path}"), &[], "file", file);
        let words = plain(&refused.text());
        assert_eq!(refused.status, status, "{path} {why}: {words}");
        assert!(words.to_lowercase().contains(&why.to_lowercase()), "{path} {why}: {words}");
        assert!(words.contains("Nothing was changed.") && !words.contains("/tmp"), "{words}");
        assert!(
            words.contains("Import another device's record"),
            "the form is there again: {words}"
        );
    }
    let none = page.file("/owner/record/list", &[], "other", b"x");
    assert_eq!(none.status, 400);
    assert_eq!(desk.export(), before);
}

#[test]
fn what_other_devices_wrote_comes_in_and_the_record_goes_out() {
    let desk = Desk::new();
    let own = desk.hose();
    let boat = Desk::new();
    let hose = boat.hose();
    boat.done("bundle --out boat.hwbundle");
    let page = Page::of(&desk, &[]);
    let bundle = fs::read(boat.path("boat.hwbundle")).unwrap();
    for wanted in ["1 entry new, 0 known already", "0 entries new, 1 known already"] {
        let came = page.file("/owner/record/entries", &[], "file", &bundle);
        assert_eq!(came.status, 200, "{}", plain(&came.text()));
        assert!(plain(&came.text()).contains(wanted), "{}", plain(&came.text()));
    }
    assert_eq!(page.get(&format!("/hose/{hose}")).status, 200);
    // An export with a line that is none: refused whole, or without that line.
    boat.done(&format!("clean {hose}"));
    let lines = format!("{}{{\"no\":\"entry\"}}\n", boat.export());
    let before = desk.export();
    let refused = page.file("/owner/record/entries", &[], "file", lines.as_bytes());
    assert_eq!(refused.status, 400);
    assert_eq!(desk.export(), before);
    let came = page.file("/owner/record/entries", &[("partial", "yes")], "file", lines.as_bytes());
    let words = plain(&came.text());
    assert!(words.contains("1 entry new, 1 known already") && words.contains("Line 3"), "{words}");
    // What is taken away is the whole of it.
    let export = page.get("/owner/record/export.jsonl");
    assert_eq!(export.text(), desk.export());
    assert!(export.header("content-disposition").starts_with("attachment"));
    let whole = page.get("/owner/record/bundle.hwbundle");
    boat.done("bundle --out boat.hwbundle --force");
    let theirs = fs::read(boat.path("boat.hwbundle")).unwrap();
    let lacking = page.file("/owner/record/since", &[], "file", &theirs);
    assert_eq!(lacking.status, 200, "{}", plain(&lacking.text()));
    fs::write(boat.path("back.hwbundle"), &lacking.bytes).unwrap();
    let came = boat.json("merge back.hwbundle");
    assert_eq!((&came["merge"]["new"], &came["merge"]["known"]), (&1.into(), &0.into()));
    fs::write(boat.path("whole.hwbundle"), &whole.bytes).unwrap();
    assert_eq!(boat.json("merge whole.hwbundle")["merge"]["known"], 3);
    assert_eq!(boat.run(&format!("answer {own}")).code, desk.run(&format!("answer {own}")).code);
    let sorted = |text: String| {
        let mut lines: Vec<String> = text.lines().map(ToOwned::to_owned).collect();
        lines.sort();
        lines
    };
    assert_eq!(sorted(boat.export()), sorted(desk.export()));
}

#[test]
fn a_fleet_is_founded_and_its_devices_admitted_and_dismissed() {
    let desk = Desk::new();
    desk.hose();
    let page = Page::of(&desk, &[]);
    let shown = plain(&page.shown("/owner/devices"));
    assert!(shown.contains("Fleet: none; every device that writes here is believed"), "{shown}");
    let founded = page.post("/owner/devices/found", &[]);
    assert_eq!((founded.status, founded.header("cache-control")), (200, "no-store"));
    let list = founded.text();
    let list = list.split("<ol class=\"words\">").nth(1).unwrap().split("</ol>").next().unwrap();
    let words = plain(list);
    assert_eq!(words.split(' ').count(), 24, "{words}");
    assert_eq!(desk.json("device words")["words"], words.as_str());
    assert_eq!(page.post("/owner/devices/found", &[]).status, 409);
    // A stranger's bundle is shown first; it is kept and not believed, until it is admitted.
    let boat = Desk::new();
    let hose = boat.hose();
    boat.done("bundle --out boat.hwbundle");
    let number = boat.json("device show")["device"].as_str().unwrap().to_owned();
    let bundle = fs::read(boat.path("boat.hwbundle")).unwrap();
    let sent = page.file("/owner/record/entries", &[], "file", &bundle);
    let key = sent.header("location").split("file=").nth(1).unwrap().to_owned();
    let came = page.post("/owner/record/entries/take", &[("file", &key)]);
    let came = plain(&came.text());
    assert!(came.contains("not believed: the owner has not admitted the device"), "{came}");
    let shown = plain(&page.shown(&format!("/hose/{hose}")));
    assert!(shown.contains("Not known here: ask before you dive it."), "{shown}");
    assert!(shown.contains("is not believed"), "{shown}");
    let answer = plain(&page.shown(&format!("/hose/{hose}")));
    assert!(answer.contains("[not believed]") && answer.contains("hold"), "{answer}");
    let form = page.shown(&format!("/owner/devices?device={number}"));
    assert!(form.contains(&format!("value=\"{number}\"")), "{}", plain(&form));
    let word = |role: &str| {
        let device = number.get(..8).unwrap();
        [
            ("device", device.to_owned()),
            ("role", role.to_owned()),
            ("name", "boat phone".to_owned()),
        ]
    };
    let say = |role: &str| {
        let word = word(role);
        page.done("/owner/devices", &word.each_ref().map(|(name, text)| (*name, text.as_str())))
    };
    say("bench");
    let shown = plain(&page.shown(&format!("/hose/{hose}")));
    assert!(!shown.contains("Not known here") && shown.contains("by Kelpline"), "{shown}");
    let shown = plain(&page.shown("/owner/devices"));
    assert!(shown.contains("(boat phone)") && shown.contains("writes about hoses"), "{shown}");
    say("dismissed");
    let devices = desk.json("device list");
    let boats = devices.as_array().unwrap().iter().find(|d| d["device"] == number.as_str());
    assert_eq!(boats.unwrap()["role"], "dismissed");
    // The other one joins, and its page does what the owner's rules let it do.
    let theirs = Page::of(&boat, &[]);
    let fleet = desk.json("device show")["fleet"].as_str().unwrap().to_owned();
    theirs.done("/owner/devices/join", &[("fleet", &fleet)]);
    let before = boat.export();
    assert_eq!(theirs.post("/owner/limits", &[("dives", "9")]).status, 409);
    assert_eq!(
        theirs.post("/owner/devices", &[("device", &number), ("role", "owner")]).status,
        409
    );
    // The words are checked, and never shown again where others stand.
    assert_eq!(
        page.done("/owner/devices/words", &[("words", &words)]),
        "/owner/devices?words=right"
    );
    for wrong in ["", "one two three"] {
        let refused = page.post("/owner/devices/words", &[("words", wrong)]);
        assert_eq!(refused.status, 400, "{wrong}");
        assert!(!refused.text().contains("one two three"), "{wrong}");
    }
    assert_eq!(theirs.post("/owner/devices/recover", &[("words", "one two three")]).status, 400);
    assert_eq!(boat.export(), before);
    theirs.done("/owner/devices/recover", &[("words", &words)]);
    assert_eq!(boat.json("device show")["holds_owner_key"], true);
    for (fields, status) in [
        (&[("device", "ffff"), ("role", "bench")][..], 409),
        (&[("device", number.as_str()), ("role", "captain")], 400),
        (&[("device", number.as_str())], 400),
        (&[("role", "bench")], 400),
    ] {
        let refused = page.post("/owner/devices", fields);
        assert_eq!(refused.status, status, "{fields:?}");
        assert!(plain(&refused.text()).contains("That did not work"), "{fields:?}");
    }
}

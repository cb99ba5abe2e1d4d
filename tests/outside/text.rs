//! What comes from outside: text that would steer a terminal or turn a page
//! round is shown as text, on every face.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_core::text::visible_lines;
use hosewright_mobile::{FormOf, Logbook, Moment, Place};
use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::page::{Page, escaped, plain};
use hosewright_tests::pictures::symbol;

/// A text that clears a screen, paints a verdict, names a window, turns round
/// what is behind it, and begins a line of its own.
const HOSTILE: &str = "\u{1B}[2J\u{1B}[1;38;5;231;48;5;29mready\u{1B}[0m\u{1B}]0;x\u{7}\u{9B}31m\u{202E}dloh\n[#] READY";
/// A name that cannot be told from another by eye.
const NAME: &str = "An\u{200B}a \u{202E}tseb\u{2066}";
const NAME_SHOWN: &str = "An<U+200B>a <U+202E>tseb<U+2066>";
const LOT: &str = "B\u{202E}17";
const SET: &str = "R\u{2067}3";
const SET_SHOWN: &str = "R<U+2067>3";

/// No character of a text steers or hides, but for ends of lines.
fn is_plain(text: &str) {
    assert_eq!(visible_lines(text), text);
}

/// A hose of a maker with such a name, in a set with such a name; its code.
fn registered(desk: &Desk) -> String {
    let typed = "register --service second-stage --construction braided --length 22in \
                 --end-a 3/8-24 --end-b 9/16-18";
    let named = ["--maker", NAME, "--lot", LOT, "--by", NAME];
    let said = desk.run_args(typed.split_whitespace().chain(named));
    assert_eq!(said.code, 0, "{}", said.err);
    let hose = said.out.trim().to_owned();
    let new = ["set", "new", SET, "--use", "rental", "--ports", "LP:3/8-24=2"];
    assert_eq!(desk.run_args(new).code, 0);
    assert_eq!(desk.run_args(["fit", &hose, "--set", SET, "--port", "LP1"]).code, 0);
    hose
}

#[test]
fn a_scanned_text_steers_no_terminal() {
    let desk = Desk::new();
    desk.hose();
    symbol(HOSTILE).save(desk.path("code.png")).unwrap();
    let scanned = desk.run("scan code.png");
    assert_eq!(scanned.code, 2);
    is_plain(&scanned.err);
    assert!(
        scanned.err.contains("“<U+001B>[2J<U+001B>[1;38;5;231;48;5;29mready"),
        "{}",
        scanned.err
    );
    assert!(scanned.err.contains("<U+009B>31m<U+202E>dloh<U+000A>[#] READY”"), "{}", scanned.err);
    assert_eq!(scanned.err.trim_end().lines().count(), 1, "{}", scanned.err);

    let read = desk.run("read code.png");
    is_plain(&read.out);
    assert_eq!(read.out.trim_end().lines().count(), 1, "{}", read.out);
    assert!(read.out.starts_with("code.png: <U+001B>[2J"), "{}", read.out);
    // A program gets the text itself.
    assert_eq!(desk.json("read code.png")["texts"][0], HOSTILE);

    // Typed, or named as an option, it is no better.
    for typed in [
        ["answer", HOSTILE].as_slice(),
        &["list", "--verdict", HOSTILE],
        &["rental", HOSTILE],
        &["list", "--\u{1B}[2J\u{202E}"],
    ] {
        let refused = desk.run_args(typed);
        assert_eq!(refused.code, 2, "{typed:?}");
        is_plain(&refused.err);
        assert!(refused.err.contains("<U+001B>"), "{typed:?}: {}", refused.err);
    }
}

#[test]
fn a_file_name_steers_no_terminal() {
    let desk = Desk::new();
    desk.hose();
    let name = "a\u{1B}[2J\u{202E}\nb.png";
    let shown = "a<U+001B>[2J<U+202E><U+000A>b.png";
    fs::write(desk.path(name), "no picture").unwrap();
    for (typed, code) in [
        (["scan", "\u{1B}[2Jgone.png"].as_slice(), 2),
        (&["read", name], 2),
        (&["merge", name], 2),
        (&["import", name], 2),
        (&["bundle", "--out", name, "--force"], 0),
        (&["merge", name], 0),
        (&["export", "--out", name, "--force"], 0),
        (&["check", "--store", name], 2),
    ] {
        let said = desk.run_args(typed);
        assert_eq!(said.code, code, "{typed:?}: {}{}", said.out, said.err);
        is_plain(&said.out);
        is_plain(&said.err);
    }
    assert!(desk.run_args(["read", name]).err.contains(shown));
    let merged = desk.run_args(["bundle", "--out", name, "--force"]);
    assert_eq!(merged.out, format!("1 entries written to {shown}\n"));
}

#[test]
fn a_name_on_record_is_shown_as_text_and_kept_as_it_is() {
    let desk = Desk::new();
    let hose = registered(&desk);
    desk.done(&format!("inspect {hose} --kind full"));
    for line in ["list", "set list", "due --within 20y", "order --within 20y", "survival"] {
        let said = desk.run(line);
        assert_eq!(said.code, 0, "{line}: {}", said.err);
        is_plain(&said.out);
    }
    let history = desk.run(&format!("history {hose}"));
    is_plain(&history.out);
    assert!(history.out.contains("An<U+200B>a"), "{}", history.out);
    let answer = desk.run(&format!("answer {hose}"));
    is_plain(&answer.out);
    assert!(answer.out.contains(SET_SHOWN), "{}", answer.out);
    let picture = desk.path("set.svg");
    assert_eq!(desk.run_args(["set", "show", SET, "--svg", picture.to_str().unwrap()]).code, 0);
    let picture = fs::read_to_string(picture).unwrap();
    is_plain(&picture);
    assert!(picture.contains("R&lt;U+2067&gt;3"), "{picture}");
    // A name that steers is refused, in words that do not.
    let refused = desk.run_args(["clean", &hose, "--by", HOSTILE]);
    assert_eq!(refused.code, 2);
    is_plain(&refused.err);

    // Programs get what was typed.
    assert_eq!(desk.json(&format!("history {hose}"))[0]["by"], NAME);
    assert_eq!(desk.json(&format!("answer {hose}"))["place"]["set"], SET);
    let export = desk.export();
    for exact in [format!("\"maker\":\"{NAME}\""), format!("\"by\":\"{NAME}\"")] {
        assert!(export.contains(&exact), "{exact}: {export}");
    }
    let csv = desk.run_args(["recall", "--lot", LOT, "--csv"]);
    assert!(csv.out.contains(LOT), "{}{}", csv.out, csv.err);
    desk.done("bundle --out a.hwbundle");
    let other = Desk::new();
    let file = desk.path("a.hwbundle");
    assert_eq!(other.run_args(["merge".as_ref(), file.as_os_str()]).code, 0);
    assert!(other.export().contains(&format!("\"by\":\"{NAME}\"")));
}

#[test]
fn a_phone_shows_it_as_text_and_sends_back_what_it_was() {
    let desk = Desk::new();
    let hose = registered(&desk);
    let path = |name: &str| desk.path(name).to_str().unwrap().to_owned();
    let place = Place { store: desk.store().to_str().unwrap().to_owned(), keys: path("keys") };
    let logbook = Logbook::open(place).unwrap();
    let moment = || Moment { today: TODAY.to_owned(), by: NAME.to_owned() };
    let history = logbook.history(hose.clone()).unwrap();
    assert!(history.iter().any(|line| line.by == NAME_SHOWN), "{history:?}");
    let answer = logbook.answer(hose.clone(), moment()).unwrap();
    is_plain(&format!(
        "{:?} {:?} {}",
        answer.actions.last().map(|set| &set.words),
        answer.place,
        answer.spoken
    ));
    assert!(answer.hose.contains(NAME_SHOWN), "{answer:?}");
    // A set is found again by the name that was shown.
    let sets = logbook.sets(moment()).unwrap();
    assert_eq!(sets[0].name, SET_SHOWN);
    let set = logbook.set(sets[0].name.to_string(), moment()).unwrap();
    assert!(set.ports[0].holds.contains(NAME_SHOWN), "{set:?}");
    let back = FormOf::TakeBack { set: SET_SHOWN.to_owned() };
    let not_out = logbook.form(back, moment()).unwrap_err().to_string();
    assert!(not_out.contains(SET_SHOWN), "{not_out}");
    let refused = logbook.answer(HOSTILE.to_owned(), moment()).unwrap_err().to_string();
    is_plain(&refused);
    assert!(refused.contains("<U+001B>"), "{refused}");
    // A form has the value itself.
    let details = FormOf::Hose { hose: hose.clone(), form: "details".to_owned() };
    let form = logbook.form(details, moment()).unwrap();
    assert!(form.groups[0].fields.iter().any(|field| field.value == NAME), "{form:?}");
}

#[test]
fn the_page_shows_it_as_text_and_sends_back_what_it_was() {
    let desk = Desk::new();
    let hose = registered(&desk);
    let page = Page::of(&desk, &[]);
    let at = format!("/set/{}", escaped(SET));
    for path in [&format!("/hose/{hose}"), "/hoses", "/sets", &at, "/owner/survival?by=maker"] {
        is_plain(&page.shown(path));
    }
    assert!(plain(&page.shown(&format!("/hose/{hose}"))).contains(NAME_SHOWN));
    assert!(page.shown(&at).contains("<title>Set R&lt;U+2067&gt;3"));
    // A scanned text in a refusal.
    let refused = page.get(&format!("/scan?text={}", escaped(HOSTILE)));
    assert_eq!(refused.status, 400);
    is_plain(&refused.text());
    assert!(refused.text().contains("&lt;U+001B&gt;"), "{}", refused.text());
    // A form has what was typed, and what it sends changes nothing of it.
    let form = page.shown(&format!("/hose/{hose}/describe"));
    assert!(form.contains(&format!("value=\"{NAME}\"")), "{form}");
    let typed = page.post("/sets/new", &[("name", HOSTILE), ("use", "club")]);
    assert_eq!(typed.status, 400);
    assert!(typed.text().contains("\u{1B}]0;x"), "what was typed comes back");
    let words = plain(&typed.text());
    is_plain(&words);
    // Files have the text itself.
    let csv = page.get("/owner/survival?as=survival&by=maker").text();
    assert!(csv.contains(NAME), "{csv}");
}

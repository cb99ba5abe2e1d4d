//! Doubt and correction on the counter page: holds, withdrawals, descriptions,
//! places and sets, and what looks like a slip, which is asked about first.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use serde_json::Value;

const SET: &[(&str, &str)] = &[("name", "R1"), ("use", "rental"), ("hp", "1"), ("lp", "4")];

/// A hose in LP1 of R1 that nothing is known against.
pub(super) fn good(desk: &Desk) -> String {
    desk.done("set new R1 --use rental --ports HP:7/16-20=1,LP:3/8-24=4");
    let code = desk.hose();
    desk.done(&format!("fit {code} --set R1 --port LP1"));
    desk.done(&format!("inspect {code} --kind full"));
    desk.done(&format!("inspect {code} --kind leak-test --pressure 200bar --passed"));
    assert_eq!(verdict(desk, &code), "ready");
    code
}

pub(super) fn verdict(desk: &Desk, code: &str) -> String {
    desk.json(&format!("answer {code}"))["verdict"].as_str().unwrap().to_owned()
}

pub(super) fn reasons(desk: &Desk, code: &str) -> Vec<String> {
    let answer = desk.json(&format!("answer {code}"));
    let codes = answer["reasons"].as_array().unwrap().iter();
    codes.map(|reason| reason["code"].as_str().unwrap().to_owned()).collect()
}

/// The newest entry of a hose's history of a kind of words.
pub(super) fn entry(desk: &Desk, code: &str, words: &str) -> String {
    let history = desk.json(&format!("history {code}"));
    let lines: Vec<&Value> = history.as_array().unwrap().iter().collect();
    let said = |line: &&&Value| line.to_string().contains(words);
    let line = lines.iter().rfind(said).unwrap_or_else(|| panic!("no {words} in {history}"));
    line["entry"].as_str().unwrap().to_owned()
}

/// What one desk wrote, brought to another.
pub(super) fn brought(from: &Desk, to: &Desk, name: &str) {
    let file = to.path(name);
    from.done(&format!("bundle --out {}", file.display()));
    assert_eq!(to.run(&format!("merge {}", file.display())).code, 0);
}

#[test]
fn a_hose_is_held_and_released() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    let at = |what: &str| format!("/hose/{code}/{what}");
    assert!(page.shown(&format!("/hose/{code}")).contains(&format!("href=\"{}\"", at("hold"))));
    let none = plain(&page.shown(&at("hold")));
    assert!(none.contains("It is not on hold."), "{none}");
    for path in ["hold", "release"] {
        assert_eq!(page.post(&at(path), &[("why", " ")]).status, 400, "{path}");
    }
    assert_eq!(page.post(&at("release"), &[("why", "no matter")]).status, 409);
    page.done(&at("hold"), &[("why", "breathed wet")]);
    assert_eq!(reasons(&desk, &code), ["held"]);
    let answer = page.shown(&format!("/hose/{code}"));
    assert!(answer.contains(&format!("class=\"button main\" href=\"{}\"", at("hold#release"))));
    let forms = plain(&page.shown(&at("hold")));
    assert!(forms.contains("breathed wet"), "{forms}");
    page.done(&at("release"), &[("why", "second stage serviced")]);
    assert_eq!(verdict(&desk, &code), "ready");
    // After an incident the release is offered, but not as the next thing to do.
    page.done(&at("hold"), &[("why", "a diver was hurt"), ("incident", "yes")]);
    assert_eq!(page.post(&at("clean"), &[]).status, 409);
    let answer = page.shown(&format!("/hose/{code}"));
    assert!(answer.contains(&format!("class=\"button\" href=\"{}\"", at("hold#release"))));
    page.done(&at("release"), &[("why", "cleared by the owner")]);
    assert_eq!(verdict(&desk, &code), "ready");
}

#[test]
fn a_set_is_held_quarantined_and_released() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    assert!(page.shown("/set/R1").contains("href=\"/set/R1/change\""));
    page.done("/set/R1/hold", &[("why", "first stage creeps")]);
    assert_eq!(reasons(&desk, &code), ["held"]);
    let forms = page.shown(&format!("/hose/{code}/hold"));
    assert!(forms.contains("/change#release\"") && plain(&forms).contains("first stage creeps"));
    assert!(plain(&page.shown("/set/R1/change")).contains("first stage creeps"));
    assert_eq!(page.post(&format!("/hose/{code}/release"), &[("why", "x y")]).status, 409);
    assert_eq!(page.done("/set/R1/release", &[("why", "serviced")]), "/set/R1?written=yes");
    assert_eq!(verdict(&desk, &code), "ready");

    desk.done(&format!("rental out R1 --ticket T1 {code}"));
    let (here, seen) = (format!("{code}|at"), format!("{code}|finding"));
    let back = [("dives", "2"), (&*here, "here"), (&*seen, "seal-a:seal-missing")];
    assert_eq!(page.done("/set/R1/in", &back), "/set/R1/returned");
    assert!(reasons(&desk, &code).contains(&"set-quarantined".to_owned()));
    // What was found has to be put right first.
    let early = page.post("/set/R1/release", &[("why", "looks fine")]);
    assert_eq!(early.status, 409, "{}", plain(&early.text()));
    page.done(&format!("/hose/{code}/reseal"), &[("end", "a")]);
    desk.done(&format!("inspect {code} --kind leak-test --pressure 200bar --passed"));
    assert_eq!(reasons(&desk, &code), ["set-quarantined"]);
    let answer = page.shown(&format!("/hose/{code}"));
    assert!(answer.contains("/change#release\">Release the set"), "{}", plain(&answer));
    page.done("/set/R1/release", &[("why", "O-ring changed and tested")]);
    assert_eq!(verdict(&desk, &code), "ready");
}

#[test]
fn what_was_written_is_taken_back_from_the_history() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    let sound = reasons(&desk, &code);
    page.sure(&format!("/hose/{code}/retire"), &[("why", "wrong hose in hand")]);
    assert_eq!(verdict(&desk, &code), "retire");
    let entry = entry(&desk, &code, "wrong hose in hand");
    let at = format!("/take-back/{entry}");
    let history = page.shown(&format!("/hose/{code}"));
    assert!(history.contains(&format!("href=\"{at}\"")), "{}", plain(&history));
    // What was written together is shown and goes together: it was taken off too.
    let shown = plain(&page.shown(&at));
    assert!(shown.contains("wrong hose in hand") && shown.contains("aken off"), "{shown}");
    let before = desk.export();
    assert_eq!(page.post(&at, &[("sure", "1")]).status, 400);
    let asked = page.post(&at, &[("why", "slip")]);
    assert_eq!(asked.status, 409, "{}", plain(&asked.text()));
    assert!(plain(&asked.text()).contains("Taken back, and shown as withdrawn"));
    assert_eq!(desk.export(), before, "asking writes nothing");
    let to = page.done(&at, &[("why", "slip"), ("sure", "1")]);
    assert_eq!(to, format!("/hose/{code}?written=yes"));
    let after = reasons(&desk, &code);
    assert!(after.iter().all(|reason| reason == "corrected"), "{after:?}");
    assert!(!after.is_empty() && sound.is_empty());
    let history = page.shown(&format!("/hose/{code}"));
    assert!(plain(&history).contains("[withdrawn on"), "{}", plain(&history));
    assert!(!history.contains(&format!("href=\"{at}\"")), "taken back already");
    for (wrong, status) in [("0000", 404), ("ffffffffffffffffffffffff", 404), ("%3Cb>", 400)] {
        assert_eq!(page.get(&format!("/take-back/{wrong}")).status, status, "{wrong}");
    }
}

#[test]
fn what_is_about_the_fleet_or_a_set_is_taken_back_too() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    page.done("/owner/recall", &[("lot", "B17"), ("why", "crimps slip")]);
    assert_eq!(reasons(&desk, &code), ["recalled"]);
    let history = page.shown("/owner/history");
    let at = history.split("href=\"/take-back/").nth(1).unwrap().split('"').next().unwrap();
    let to = page.done(&format!("/take-back/{at}"), &[("why", "wrong lot"), ("sure", "1")]);
    assert_eq!(to, "/owner/history?written=yes");
    assert!(!reasons(&desk, &code).contains(&"recalled".to_owned()));
    assert!(page.shown("/set/R1").contains("href=\"/take-back/"));
}

#[test]
fn a_description_replaces_with_a_reason_and_stands_beside_without() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    let at = format!("/hose/{code}/describe");
    assert!(page.shown(&at).contains("name=\"why\""));
    let fields = |made, why| {
        [
            ("service", "second-stage"),
            ("construction", "braided"),
            ("length", "22in"),
            ("end_a", "usual"),
            ("end_b", "usual"),
            ("maker", "Kelpline"),
            ("lot", "B17"),
            ("made", made),
            ("why", why),
        ]
    };
    page.done(&at, &fields("2010-01", ""));
    assert!(reasons(&desk, &code).contains(&"age-over".to_owned()));
    // Without a reason the older date still counts.
    page.done(&at, &fields("2024-03", ""));
    assert!(reasons(&desk, &code).contains(&"age-over".to_owned()));
    page.done(&at, &fields("2024-04", "read off the hose"));
    assert!(!reasons(&desk, &code).contains(&"age-over".to_owned()));
    // A date that was not known needs one.
    let other = desk.done(
        "register --service inflator --construction rubber --length 60cm --end-a 3/8-24 \
         --end-b quick-disconnect",
    );
    let at = format!("/hose/{other}/describe");
    let known = |why| {
        let (service, construction) = (("service", "inflator"), ("construction", "rubber"));
        [service, construction, ("length", "60 cm"), ("end_a", "usual"), ("made", "2024"), why]
    };
    let refused = page.post(&at, &known(("why", "")));
    assert_eq!(refused.status, 400);
    assert!(plain(&refused.text()).contains("Give a reason"), "{}", plain(&refused.text()));
    assert!(refused.text().contains("id=\"refused-why\""), "beside the field");
    page.done(&at, &known(("why", "read off the hose")));
    // A length that hardly any hose has is asked about, and what was typed is kept.
    let mut long = known(("why", "read \"off\" it"));
    long[2] = ("length", "6 m");
    let asked = page.post(&at, &long);
    assert_eq!(asked.status, 409);
    assert!(asked.text().contains("name=\"why\" value=\"read &quot;off&quot; it\""));
    page.sure(&at, &long);
}

#[test]
fn retiring_is_asked_about_and_names_the_whole_tag() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    let before = desk.export();
    let at = format!("/hose/{code}/retire");
    let asked = page.post(&at, &[("why", "worn")]);
    let words = plain(&asked.text());
    assert_eq!(asked.status, 409);
    for said in ["Is that right?", "is retired for good: worn", "Nothing is saved yet."] {
        assert!(words.contains(said), "{said}: {words}");
    }
    assert_eq!(desk.export(), before);
    // Said yes to one form, the next is asked about again.
    page.done(&at, &[("why", "worn"), ("sure", "1")]);
    let other = desk.hose();
    assert_eq!(page.post(&format!("/hose/{other}/retire"), &[("why", "worn")]).status, 409);
    let part: String = other.chars().take(6).collect();
    let refused = page.post(&format!("/hose/{part}/retire"), &[("why", "worn"), ("sure", "1")]);
    assert!(plain(&refused.text()).contains("only a part of a code"));
}

#[test]
fn a_contested_place_is_confirmed() {
    let (one, two) = (Desk::new(), Desk::new());
    for set in ["R1", "R2"] {
        one.done(&format!("set new {set} --use personal --ports LP:3/8-24=4"));
    }
    let code = one.hose();
    brought(&one, &two, "first");
    one.done(&format!("fit {code} --set R1 --port LP1"));
    two.done(&format!("fit {code} --set R2 --port LP1"));
    brought(&two, &one, "second");
    assert!(reasons(&one, &code).contains(&"place-contested".to_owned()));
    let page = Page::of(&one, &[]);
    assert!(page.shown(&format!("/hose/{code}")).contains("/place#confirm"));
    let at = format!("/hose/{code}/confirm-place");
    assert!(page.shown(&format!("/hose/{code}/place")).contains(&at));
    page.done(&at, &[]);
    assert!(!reasons(&one, &code).contains(&"place-contested".to_owned()));
    assert_eq!(page.post(&at, &[]).status, 409);
    assert!(!page.shown(&format!("/hose/{code}/place")).contains(&at));
}

#[test]
fn a_set_is_changed_with_a_reason_joined_and_dissolved() {
    let desk = Desk::new();
    good(&desk);
    let page = Page::of(&desk, &[]);
    let change = |name, in_use, lp, why| {
        [("name", name), ("use", in_use), ("hp", "1"), ("lp", lp), ("wide", "0"), ("why", why)]
    };
    let before = desk.export();
    for fields in [change("R1", "personal", "4", ""), change("R1", "rental", "2", "")] {
        let refused = page.post("/set/R1/change", &fields);
        let words = plain(&refused.text());
        assert_eq!(refused.status, 400, "{words}");
        assert!(words.contains("Give a reason for changing set R1"), "{words}");
        assert!(refused.text().contains("id=\"refused-why\""), "beside the field");
    }
    assert_eq!(page.post("/set/R1/change", &change("R1", "rental", "4", "")).status, 409);
    assert_eq!(page.post("/set/R1/change", &change("R1", "rental", "13", "x")).status, 400);
    assert_eq!(page.post("/set/R1/dissolve", &[("why", "sold")]).status, 409);
    assert_eq!(desk.export(), before);
    page.done("/set/R1/change", &change("Heron", "personal", "2", "sold to a member"));
    assert_eq!(desk.json("set show Heron")["use"], "personal");
    assert_eq!(page.get("/set/R1").status, 404);
    page.done("/sets/new", SET);
    page.done("/set/R1/dissolve", &[("why", "never was one")]);
    assert_eq!(page.get("/set/R1").status, 404);
    page.done("/sets/new", &[("name", "R2"), ("use", "personal"), ("hp", "1"), ("lp", "2")]);
    assert_eq!(page.post("/set/R2/join", &[("other", "R2"), ("why", "one")]).status, 409);
    page.done("/set/R2/join", &[("other", "Heron"), ("why", "it was put on record twice")]);
}

#[test]
fn sets_of_one_name_are_both_shown_and_said_to_be_one() {
    let (one, two) = (Desk::new(), Desk::new());
    one.done("set new R1 --use rental --ports LP:3/8-24=4");
    two.done("set new r1 --use personal --ports LP:3/8-24=4");
    brought(&two, &one, "other");
    let page = Page::of(&one, &[]);
    let list = page.shown("/sets");
    assert_eq!(list.matches("<a href=\"/set/").count(), 2, "{}", plain(&list));
    let both = page.shown("/set/R1");
    assert!(plain(&both).contains("Sets of this name"), "{}", plain(&both));
    let join = both.split("action=\"/set/").nth(1).unwrap().split('"').next().unwrap();
    let other = both.split("name=\"other\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    page.done(&format!("/set/{join}"), &[("other", other), ("why", "the same on the shelf")]);
    assert!(plain(&page.shown("/set/R1")).contains("History"));
}

#[test]
fn one_of_two_hoses_of_a_tag_gets_a_tag_of_its_own() {
    let (one, two) = (Desk::new(), Desk::new());
    let code = one.hose();
    two.done(&format!(
        "register --service inflator --construction rubber --length 60cm --end-a 3/8-24 \
         --end-b quick-disconnect --tag {code}"
    ));
    brought(&two, &one, "other");
    assert!(reasons(&one, &code).contains(&"identity-contested".to_owned()));
    let page = Page::of(&one, &[]);
    let at = format!("/hose/{code}/identify");
    assert!(page.shown(&format!("/hose/{code}")).contains(&at));
    let choose = page.shown(&at);
    let ids: Vec<&str> = choose.split("?registration=").skip(1).collect();
    assert_eq!(ids.len(), 2, "{}", plain(&choose));
    let id = ids[0].split('"').next().unwrap();
    let form = page.shown(&format!("{at}?registration={id}"));
    assert!(form.contains("clear-run"), "{}", plain(&form));
    let short = [("registration", id), ("kind", "full")];
    assert_eq!(page.post(&at, &short).status, 400, "every place needs an answer");
    let clear = ["run", "end-a", "end-b", "seal-a", "seal-b"];
    let clear = clear.map(|place| format!("identified|clear-{place}"));
    let mut fields: Vec<(&str, &str)> = clear.iter().map(|name| (name.as_str(), "yes")).collect();
    fields.extend(short);
    let to = page.done(&at, &fields);
    let new = to.trim_start_matches("/hose/").split('?').next().unwrap();
    assert_ne!(new, code);
    assert!(!reasons(&one, new).contains(&"identity-contested".to_owned()));
}

/// A label leads to the field of its own form.
#[test]
fn no_two_fields_of_a_page_have_one_name() {
    let desk = Desk::new();
    let code = good(&desk);
    desk.done("hold --set R1 --why creeps");
    desk.done(&format!("hold {code} --why wet"));
    desk.done("recall --lot B17 --start --why slips");
    let page = Page::of(&desk, &[]);
    for path in
        [format!("/hose/{code}/hold"), "/set/R1/change".into(), "/owner/recall?lot=B17".into()]
    {
        let shown = page.shown(&path);
        let mut ids: Vec<&str> =
            shown.split(" id=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{path}: {ids:?}");
    }
}

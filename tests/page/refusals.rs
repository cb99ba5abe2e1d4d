//! What the counter page refuses: in words, with nothing changed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

/// Where a form is sent, what is in it, and the status that it meets.
type Row<'a> = (String, &'a [(&'a str, &'a str)], u16);

#[test]
fn bad_input_is_refused_in_words_and_changes_nothing() {
    let desk = Desk::new();
    let code = desk.hose();
    desk.done("set new R1 --use rental --ports HP:7/16-20=1,LP:3/8-24=2");
    desk.done(&format!("fit {code} --set R1 --port LP1"));
    let page = Page::of(&desk, &[]);
    let before = desk.export();
    let hose = |what: &str| format!("/hose/{code}/{what}");
    let long = "x".repeat(81);
    let table: &[Row<'_>] = &[
        ("/register".into(), &[], 400),
        (
            "/register".into(),
            &[("service", "snorkel"), ("construction", "rubber"), ("length", "1 m")],
            400,
        ),
        (
            "/register".into(),
            &[("service", "gauge"), ("construction", "rubber"), ("length", "long")],
            400,
        ),
        (
            "/register".into(),
            &[
                ("service", "gauge"),
                ("construction", "rubber"),
                ("length", "80cm"),
                ("end_a", "1/2-20"),
            ],
            400,
        ),
        (
            "/register".into(),
            &[
                ("service", "gauge"),
                ("construction", "rubber"),
                ("length", "80cm"),
                ("made", "2031"),
            ],
            400,
        ),
        (
            "/register".into(),
            &[
                ("service", "gauge"),
                ("construction", "rubber"),
                ("length", "80cm"),
                ("maker", &long),
            ],
            400,
        ),
        (
            "/register".into(),
            &[
                ("service", "gauge"),
                ("construction", "rubber"),
                ("length", "80cm"),
                ("tag", "2RWB"),
            ],
            400,
        ),
        (hose("inspect"), &[], 400),
        (hose("inspect"), &[("kind", "thorough")], 400),
        (hose("inspect"), &[("kind", "full")], 400),
        (hose("inspect"), &[("kind", "leak-test")], 400),
        (hose("inspect"), &[("kind", "quick"), ("finding", "run:weep:slight")], 400),
        (hose("inspect"), &[("kind", "quick"), ("count:run:strands", "-1")], 400),
        (
            hose("inspect"),
            &[("kind", "leak-test"), ("result", "passed"), ("pressure", "999999 bar")],
            400,
        ),
        (
            hose("inspect"),
            &[("kind", "leak-test"), ("result", "passed"), ("finding", "end-a:bubbles")],
            400,
        ),
        (hose("inspect"), &[("kind", "quick"), ("on", "2026-07-01")], 400),
        (hose("inspect"), &[("kind", "quick"), ("on", "yesterday")], 400),
        (hose("reseal"), &[("end", "c")], 400),
        (hose("reseal"), &[("end", "a"), ("seal", "9999")], 400),
        (hose("retire"), &[("why", "  ")], 400),
        (hose("retag"), &[("tag", &code), ("sure", "1")], 409),
        (hose("fit"), &[("set", "R1"), ("port", "LP1")], 409),
        (hose("fit"), &[("set", "R1"), ("port", "HP1")], 409),
        (hose("fit"), &[("set", "R9"), ("port", "LP1")], 404),
        (hose("fit"), &[("set", "R1"), ("port", "door")], 400),
        ("/hose/2RWB-XCB4-GDEA-7/clean".into(), &[], 404),
        (format!("/swap/{code}/{code}"), &[("step", "depressurised"), ("answer", "done")], 409),
        ("/sets/new".into(), &[("name", "R1"), ("use", "rental"), ("hp", "1"), ("lp", "4")], 409),
        ("/sets/new".into(), &[("name", "R2"), ("use", "rental"), ("hp", "0"), ("lp", "0")], 400),
        ("/sets/new".into(), &[("name", "R2"), ("use", "rental"), ("hp", "200")], 400),
        ("/sets/new".into(), &[("name", ""), ("use", "rental"), ("lp", "4")], 400),
        ("/set/R1/out".into(), &[("ticket", "")], 400),
        ("/set/R1/out".into(), &[("ticket", "1"), ("scanned", &code)], 409),
        ("/set/R1/in".into(), &[("dives", "4")], 409),
        ("/set/R1/in".into(), &[("dives", "four")], 400),
        ("/owner/recall".into(), &[("lot", "")], 400),
        ("/owner/recall".into(), &[("lot", "B17")], 400),
        ("/owner/recall/found".into(), &[("lot", "B17"), ("code", &code)], 409),
        ("/who".into(), &[("by", "\u{7}")], 400),
    ];
    for (path, fields, status) in table {
        let reply = page.post(path, fields);
        let words = plain(&reply.text());
        assert_eq!(reply.status, *status, "{path} {fields:?}: {words}");
        assert!(
            words.contains("That did not work") || words.contains("Why it can't go out"),
            "{words}"
        );
        assert_eq!(desk.export(), before, "{path} {fields:?} changed something");
    }
    let flood: Vec<(&str, &str)> = (0..2500).map(|_| ("finding", "run:salt")).collect();
    assert_eq!(page.post(&hose("inspect"), &flood).status, 400);
    assert_eq!(desk.export(), before);
}

#[test]
fn a_refused_form_comes_back_with_what_was_typed() {
    let desk = Desk::new();
    let code = desk.hose();
    desk.done("set new R1 --use rental --ports HP:7/16-20=1,LP:3/8-24=2");
    desk.done(&format!("fit {code} --set R1 --port LP1"));
    desk.done(&format!("inspect {code} --kind full"));
    desk.done(&format!("inspect {code} --kind leak-test --pressure 200bar --passed"));
    desk.done("limits set --use rental --from-made 1y");
    let page = Page::of(&desk, &[]);
    let hose = |what: &str| format!("/hose/{code}/{what}");
    let seen = ("finding", "run:cut:cover");
    // What is sent, the status, and what then is on the page.
    type Comes<'a> = (String, Vec<(&'a str, &'a str)>, u16, Vec<String>);
    let table: Vec<Comes<'_>> = vec![
        (
            "/register".into(),
            vec![
                ("service", "gauge"),
                ("construction", "rubber"),
                ("length", "long"),
                ("maker", "\"Kelp\" & Line"),
                ("protector", "yes"),
            ],
            400,
            vec![
                "value=\"gauge\" required checked".into(),
                "name=\"length\" value=\"long\"".into(),
                "value=\"&quot;Kelp&quot; &amp; Line\"".into(),
                "name=\"protector\" value=\"yes\" checked".into(),
                "<span class=\"wrong\" id=\"refused-length\">".into(),
            ],
        ),
        (
            hose("describe"),
            vec![
                ("service", "gauge"),
                ("construction", "rubber"),
                ("length", "1 m"),
                ("made", "2031"),
            ],
            400,
            vec!["name=\"made\" value=\"2031\"".into(), "value=\"gauge\" required checked".into()],
        ),
        (
            hose("inspect"),
            vec![("kind", "full"), ("clear-seal-a", "yes"), seen, ("note", "seen in sunlight")],
            400,
            vec![
                "name=\"clear-seal-a\" value=\"yes\" checked".into(),
                "value=\"run:cut:cover\" checked".into(),
                ">seen in sunlight</textarea>".into(),
                "<details open".into(),
            ],
        ),
        (
            hose("reseal"),
            vec![("end", "b"), ("seal", "9999"), ("on", "2026-06-01")],
            400,
            vec!["value=\"b\" required checked".into(), "name=\"seal\" value=\"9999\"".into()],
        ),
        (
            "/set/R1/out".into(),
            vec![("ticket", "4711"), ("scanned", &code), ("why", "pool session")],
            400,
            vec![
                "value=\"4711\"".into(),
                ">pool session</textarea>".into(),
                "id=\"refused-name\"".into(),
                format!("name=\"scanned\" value=\"{code}\""),
            ],
        ),
        (
            "/set/R1/out".into(),
            vec![("ticket", "4711"), ("scanned", &code)],
            409,
            vec!["value=\"4711\"".into(), "class=\"checks\"".into()],
        ),
        (
            "/sets/new".into(),
            vec![("name", "R1"), ("use", "personal"), ("lp", "3")],
            409,
            vec!["value=\"R1\"".into(), "value=\"personal\" required checked".into()],
        ),
    ];
    let before = desk.export();
    for (path, fields, status, wanted) in table {
        let reply = page.post(&path, &fields);
        let text = reply.text();
        assert_eq!(reply.status, status, "{path}: {}", plain(&text));
        assert!(text.contains("class=\"refusal\"") && text.contains("still below"), "{path}");
        for words in wanted {
            assert!(text.contains(&words), "{path} lacks {words}: {text}");
        }
        assert_eq!(text.matches("<html").count(), 1, "{path}");
    }
    assert_eq!(desk.export(), before);
}

#[test]
fn markup_in_any_text_is_shown_as_text() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let evil = "<script>alert(1)</script><img src=x onerror=alert(2)>\"'&";
    let made = page.done(
        "/register",
        &[
            ("service", "second-stage"),
            ("construction", "rubber"),
            ("length", "75 cm"),
            ("end_b", "own"),
            ("own", evil),
            ("maker", evil),
            ("lot", evil),
        ],
    );
    let code = made.trim_start_matches("/hose/").split('?').next().unwrap().to_owned();
    page.done("/sets/new", &[("name", evil), ("use", "rental"), ("lp", "2")]);
    page.done(&format!("/hose/{code}/fit"), &[("set", evil), ("port", "LP1")]);
    page.done(&format!("/hose/{code}/inspect"), &[("kind", "quick"), ("note", evil)]);
    let who = page.post("/who", &[("by", evil)]);
    let cookie = format!("Cookie: {}", who.header("set-cookie").split(';').next().unwrap());
    page.done("/owner/recall", &[("lot", evil), ("why", evil)]);
    let quoted = evil.replace('"', "\"\"");
    let list = format!(
        "No.,Service,Length,Lot,{quoted}\n\"{quoted}\",octo,22in,\"{quoted}\",x\n\
         \"{quoted}\",\"{quoted}\",\"{quoted}\",,\n"
    );
    let plan = page.file("/owner/record/list", &[], "file", list.as_bytes());
    assert_eq!(plan.status, 303, "{}", plain(&plan.text()));
    assert_eq!(page.post("/owner/devices/found", &[]).status, 200);
    let number = desk.json("device show")["device"].as_str().unwrap().to_owned();
    let word = [("device", number.as_str()), ("role", "owner"), ("name", evil)];
    page.done("/owner/devices", &word);
    // What was typed into a refused form, and the words of the refusal.
    for (path, fields) in [
        ("/register", &[("service", evil), ("length", evil), ("maker", evil)][..]),
        ("/owner/limits", &[("dives", evil), ("use", evil)]),
        ("/owner/limits", &[("dives", evil)]),
        ("/owner/devices", &[("device", evil), ("role", "bench"), ("name", evil)]),
        ("/sets/new", &[("name", evil), ("use", "rental"), ("lp", "2")]),
    ] {
        let text = page.post(path, fields).text();
        assert!(text.contains("class=\"refusal\""), "{path}");
        assert!(!text.contains("<script>alert") && !text.contains("<img src=x"), "{path}: {text}");
    }
    let set = hosewright_tests::page::escaped(evil);
    for path in [
        "/".to_owned(),
        format!("/hose/{code}"),
        format!("/hose/{code}/inspect?kind=full"),
        format!("/hose/{code}/place"),
        format!("/hose/{code}/swap"),
        "/hoses".to_owned(),
        format!("/hoses?begins={set}"),
        "/sets".to_owned(),
        format!("/set/{set}"),
        format!("/set/{set}/out?scanned={set}"),
        "/owner/due".to_owned(),
        "/owner/order?within=50y".to_owned(),
        "/owner/survival?by=maker".to_owned(),
        "/owner/survival?by=lot".to_owned(),
        "/owner/recall".to_owned(),
        format!("/owner/recall?lot={set}"),
        "/owner/limits".to_owned(),
        "/owner/devices".to_owned(),
        plan.header("location").to_owned(),
        format!("/tags?set={set}"),
        format!("/scan?text={set}"),
        format!("/set/{set}{set}"),
        "/register?tag=%22%3E%3Cscript%3E".to_owned(),
    ] {
        let reply = page.ask("GET", &path, &[&cookie], &[]);
        let text = reply.text();
        assert!(!text.contains("<script>"), "{path}");
        assert!(!text.contains("<img src=x"), "{path}");
        // What is looked for and found leads to the hose.
        let leads = path.starts_with("/scan") && reply.status == 303;
        assert!(leads || text.contains("</html>"), "{path}");
    }
}

#[test]
fn cells_that_would_start_a_formula_are_harmless() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let formula = "=HYPERLINK(1)";
    page.done(
        "/register",
        &[
            ("service", "second-stage"),
            ("construction", "rubber"),
            ("length", "75 cm"),
            ("maker", formula),
            ("lot", formula),
        ],
    );
    page.done("/owner/recall", &[("lot", formula), ("why", "+1+1")]);
    desk.done("set new @R1 --use rental --ports LP:3/8-24=2");
    let code = desk.hose();
    desk.done(&format!("fit {code} --set @R1 --port LP1"));
    let list = format!("No.,Service,Length,Lot\n+1+1,octo,22in,{formula}\n");
    let plan = page.file("/owner/record/list", &[], "file", list.as_bytes());
    let plan = format!("{}&as=plan", plan.header("location"));
    let mut guarded = 0;
    for path in [
        plan.as_str(),
        "/owner/limits?as=limits",
        "/owner/devices?as=devices",
        "/hoses?as=hoses",
        "/owner/due?within=50y&as=due",
        "/owner/order?within=50y&as=order",
        "/owner/ages?as=ages",
        "/owner/survival?by=maker&as=survival",
        "/owner/survival?by=lot&as=survival-steps",
        "/owner/recall?as=recalls",
        "/owner/recall?lot=%3DHYPERLINK%281%29&as=recall",
    ] {
        let reply = page.get(path);
        assert_eq!(reply.header("content-type"), "text/csv; charset=utf-8", "{path}");
        let text = reply.text();
        for line in text.lines() {
            let starts = line
                .split(',')
                .any(|cell| cell.trim_start_matches('"').starts_with(['=', '+', '-', '@']));
            assert!(!starts, "{path}: {line}");
        }
        guarded += text.matches("'=HYPERLINK").count() + text.matches("'+1+1").count();
    }
    assert!(guarded >= 2, "the cells are there, and guarded: {guarded}");
}

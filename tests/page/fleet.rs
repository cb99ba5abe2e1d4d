//! The owner's questions, lists and tags on the counter page are the command line's.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::like_commands::{good_set, register};
use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

#[test]
fn the_owners_questions_are_the_same_as_on_the_command_line() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    let due = desk.json("due --within 1y");
    let shown = plain(&page.shown("/owner/due?within=1y"));
    for row in due["rows"].as_array().unwrap() {
        assert!(shown.contains(row["words"].as_str().unwrap()), "{row}: {shown}");
        assert!(shown.contains(row["on"].as_str().unwrap()), "{row}: {shown}");
    }
    for path in ["/owner", "/owner/order?within=50y", "/owner/ages", "/owner/survival?by=lot"] {
        let text = page.shown(path);
        assert!(!text.contains("NaN"), "{path}");
    }
    let survival = page.shown("/owner/survival");
    assert!(plain(&survival).contains("Too few to tell: 1 hose of the 20"), "{}", plain(&survival));
    assert!(!survival.contains("class=\"chart\""), "no curve of one hose");
    // What was found out holds until something is written, here or elsewhere.
    let rows = |page: &Page| page.shown("/owner/due?within=1y").matches("<tr>").count();
    let before = rows(&page);
    assert_eq!(rows(&page), before);
    desk.hose();
    assert!(rows(&page) > before);
    let start = [("lot", "B17"), ("why", "crimps slip")];
    assert_eq!(page.done("/owner/recall", &start), "/owner/recall?lot=B17");
    assert_eq!(desk.json(&format!("answer {code}"))["verdict"], "hold");
    let found = [("lot", "B17"), ("code", code.as_str())];
    page.done("/owner/recall/found", &found);
    let report = desk.json("recall --lot B17");
    assert_eq!((&report["set_aside"], &report["to_find"]), (&1.into(), &1.into()));
}

#[test]
fn tags_come_as_pdf_in_every_form() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    for form in ["a4", "letter", "roll", "wrap-a4", "wrap-letter"] {
        let size = if form.starts_with("wrap") { "14mm" } else { "20mm" };
        let asked = format!("set=R1&form={form}&size={size}&diameter=12mm");
        assert!(page.shown(&format!("/tags?{asked}")).contains(&code), "{form}");
        for file in ["sheet", "ruler"] {
            let reply = page.get(&format!("/tags/{file}.pdf?{asked}"));
            assert_eq!(reply.header("content-type"), "application/pdf", "{form}");
            assert!(reply.bytes.starts_with(b"%PDF-1."), "{form}");
        }
    }
    // The hose's, and the set's own.
    assert!(page.shown("/tags?all=yes").contains("2 tags, 1 page."));
    let own = desk.json("set show R1")["tag"].as_str().unwrap().to_owned();
    assert!(page.shown(&format!("/tags/{own}/tag.svg")).starts_with("<svg"));
    let blank = page.get("/tags/sheet.pdf?blank=50");
    assert!(blank.bytes.starts_with(b"%PDF-1."));
    assert!(page.shown(&format!("/tags/{code}/tag.svg")).starts_with("<svg"));
}

#[test]
fn a_long_list_comes_page_by_page() {
    let desk = Desk::new();
    let mut codes: Vec<String> = (0..40).map(|_| desk.hose()).collect();
    codes.sort();
    let page = Page::of(&desk, &[]);
    let first = page.shown("/hoses");
    let on =
        |text: &str| codes.iter().filter(|code| text.contains(&format!("/hose/{code}\""))).count();
    assert_eq!(on(&first), 30);
    let next = first.split("rel=\"next\" href=\"").nth(1).unwrap().split('"').next().unwrap();
    let second = page.shown(&next.replace("&amp;", "&"));
    assert_eq!(on(&second), 10);
    let wanted = codes.get(17).unwrap();
    for name in ["Blue 1", "Blue 2", "Blue%", "Red 1"] {
        page.done("/sets/new", &[("name", name), ("use", "rental"), ("lp", "2")]);
    }
    for (typed, found) in [("blue", 3), ("BLUE 1", 1), ("blue%25", 1), ("%25", 0), ("re", 1)] {
        let sets = page.shown(&format!("/sets?begins={}", typed.replace(' ', "+")));
        assert_eq!(sets.matches("href=\"/set/").count(), 2 * found, "{typed}");
    }
    let narrowed = page.shown(&format!("/hoses?begins={}", wanted.get(..6).unwrap()));
    assert!(narrowed.contains(&format!("/hose/{wanted}\"")) && on(&narrowed) < 5);
}

/// Names and values of an address.
fn address(pairs: &[(&str, &str)]) -> String {
    let pairs: Vec<String> = pairs.iter().map(|(name, value)| format!("{name}={value}")).collect();
    format!("/hoses?{}", pairs.join("&"))
}

#[test]
fn a_list_of_hoses_is_filtered_sorted_and_downloaded_as_on_the_command_line() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let ready = good_set(&desk, &page, "R3");
    let stock = register(&page);
    for (pairs, line, there, not) in [
        (&[("verdict", "ready")][..], "--verdict ready", &ready, &stock),
        (&[("where", "stock")], "--where stock", &stock, &ready),
        (&[("set", "R3"), ("sort", "age")], "--set R3 --sort age", &ready, &stock),
        (&[("looked-before", "2026-06-15")], "--looked-before 2026-06-15", &stock, &ready),
    ] {
        let shown = plain(&page.shown(&address(pairs)));
        assert!(shown.contains(there.as_str()) && !shown.contains(not.as_str()), "{line}: {shown}");
        let file = page.get(&address(&[pairs, &[("as", "hoses")]].concat()));
        assert_eq!(file.text(), desk.run(&format!("list {line} --csv")).out, "{line}");
    }
    for wrong in [[("due", "soon")], [("verdict", "good")], [("set", "R9")]] {
        let reply = page.get(&address(&wrong));
        assert!((400..500).contains(&reply.status), "{wrong:?}: {}", reply.status);
    }
}

#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;

fn pocket(folder: &tempfile::TempDir) -> Pocket {
    Pocket::open(&folder.path().join(RECORD), &folder.path().join(DRAWER)).unwrap()
}

/// 15 June 2026, at noon.
fn now() -> Now {
    Now::of(1_781_524_800_000.0, 0.0).unwrap()
}

fn text(reply: &Reply) -> String {
    String::from_utf8(reply.body.clone()).unwrap()
}

fn shown(pocket: &Pocket, address: &str) -> String {
    let reply = pocket.answer(Asked::get(address), now());
    assert_eq!(reply.status, 200, "{address}: {}", text(&reply));
    text(&reply)
}

/// Sends a form of a page, and gives the address to which that leads.
fn sent(pocket: &Pocket, address: &str, fields: &[(&str, &str)]) -> String {
    let reply = form(pocket, address, fields);
    assert_eq!(reply.status, 303, "{address}: {}", text(&reply));
    reply.header("location").unwrap().to_owned()
}

fn form(pocket: &Pocket, address: &str, fields: &[(&str, &str)]) -> Reply {
    let token = [("token".to_owned(), Sent::Text(pocket.token.clone()))];
    let typed =
        fields.iter().map(|(name, text)| ((*name).to_owned(), Sent::Text((*text).to_owned())));
    pocket.answer(Asked::post(address, token.into_iter().chain(typed).collect()), now())
}

const HOSE: &[(&str, &str)] = &[
    ("service", "second-stage"),
    ("construction", "braided"),
    ("length", "56 cm"),
    ("end-a", "3/8-24"),
    ("end-b", "9/16-18"),
    ("made", "2024-03"),
];

#[test]
fn who_writes_is_asked_before_anything_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    let reply = pocket.answer(Asked::get("/register"), now());
    assert_eq!((reply.status, reply.header("location")), (303, Some("/who?back=%2Fregister")));
    let who = shown(&pocket, "/who?back=%2Fregister");
    assert!(who.contains("value=\"/register\"") && !who.contains("value=\"nobody"), "{who}");
    let refused = form(&pocket, "/register", HOSE);
    assert_eq!(refused.status, 400, "{}", text(&refused));
    assert_eq!(sent(&pocket, "/who", &[("by", "Ines"), ("back", "/register")]), "/register");
    let hose = sent(&pocket, "/register", HOSE);
    assert!(hose.starts_with("/hose/"), "{hose}");
    assert!(shown(&pocket, &hose).contains("Ines"));
}

#[test]
fn the_record_and_the_name_are_there_when_it_is_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let first = pocket(&folder);
    sent(&first, "/who", &[("by", "Ines")]);
    let hose = sent(&first, "/register", HOSE);
    let hose = hose.split('?').next().unwrap().to_owned();
    drop(first);
    let again = pocket(&folder);
    assert!(shown(&again, &hose).contains("Ines"));
    assert!(shown(&again, "/hoses").contains(hose.trim_start_matches("/hose/")));
}

#[test]
fn a_tags_address_answers_as_a_scan_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    sent(&pocket, "/who", &[("by", "Ines")]);
    let hose = sent(&pocket, "/register", HOSE);
    let code: String =
        hose.trim_start_matches("/hose/").split('?').next().unwrap().replace('-', "");
    for address in
        [format!("/HW1:{code}."), format!("/hw1:{code}."), format!("/HW1%3A{code}.?utm=1")]
    {
        let reply = pocket.answer(Asked::get(&address), now());
        let to = reply.header("location").unwrap_or_default().replace('-', "");
        assert_eq!((reply.status, to), (303, format!("/hose/{code}")), "{address}");
    }
    assert_eq!(pocket.answer(Asked::get("/HW2:X"), now()).status, 404);
}

#[test]
fn what_a_tag_says_is_no_verdict_where_nothing_is_on_record() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    let reply = pocket.answer(Asked::get("/HW1:2RWBXCB4GDEA7."), now());
    let page = text(&reply);
    assert_eq!(reply.status, 200, "{page}");
    assert!(page.contains("Ask the desk, or open Hosewright and scan there"), "{page}");
    for verdict in ["ready", "watch", "hold", "retire"] {
        assert!(!page.contains(&format!(">{verdict}<")), "{verdict}: {page}");
    }
}

#[test]
fn a_form_that_is_refused_is_shown_again_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    sent(&pocket, "/who", &[("by", "Ines")]);
    let wrong: Vec<_> =
        HOSE.iter().map(|(n, t)| (*n, if *n == "length" { "long" } else { t })).collect();
    let reply = form(&pocket, "/register", &wrong);
    assert_eq!(reply.status, 400);
    assert!(text(&reply).contains("value=\"long\""), "{}", text(&reply));
    // A form of another page than ours has no token.
    let foreign = pocket.answer(Asked::post("/register", Vec::new()), now());
    assert_eq!(foreign.status, 403);
}

#[test]
fn a_bundle_of_one_is_taken_in_by_another() {
    let folders = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    let [first, second] = [pocket(&folders[0]), pocket(&folders[1])];
    sent(&first, "/who", &[("by", "Ines")]);
    sent(&second, "/who", &[("by", "Tove")]);
    let hose = sent(&first, "/register", HOSE);
    let bundle = first.answer(Asked::get("/owner/record/bundle.hwbundle"), now());
    assert!(bundle.header("content-disposition").unwrap().starts_with("attachment"));
    let token = Sent::Text(second.token.clone());
    let file = Sent::File { name: "record.hwbundle".to_owned(), bytes: bundle.body };
    let fields = vec![("token".to_owned(), token), ("file".to_owned(), file)];
    let came = second.answer(Asked::post("/owner/record/entries", fields), now());
    assert_eq!(came.status, 200, "{}", text(&came));
    assert!(shown(&second, hose.split('?').next().unwrap()).contains("Ines"));
}

#[test]
fn the_demonstration_plays_on_its_own_day_and_leaves_the_record_alone() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    assert_eq!(sent(&pocket, "/demo", &[]), "/");
    let page = shown(&pocket, "/");
    assert!(page.contains(hosewright_demo::TODAY), "{page}");
    sent(&pocket, "/demo/leave", &[]);
    assert_eq!(pocket.answer(Asked::get("/hoses"), now()).status, 303, "who writes is asked");
    sent(&pocket, "/who", &[("by", "Ines")]);
    assert!(!shown(&pocket, "/hoses").contains("/hose/"));
}

/// What the page does only where others reach it by an address is not offered here.
#[test]
fn what_a_desk_alone_does_is_not_offered() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    sent(&pocket, "/who", &[("by", "Ines")]);
    form(&pocket, "/owner/devices/found", &[]);
    let devices = shown(&pocket, "/owner/devices");
    assert!(devices.contains("/owner/devices/words"), "the owner's key is here: {devices}");
    assert!(!devices.contains("/owner/devices/seal"), "{devices}");
    let ways = shown(&pocket, "/owner/meet");
    assert!(!ways.contains("/owner/meet/call") && !ways.contains("/owner/meet/folder"), "{ways}");
    for (path, fields) in [("call", [("place", "")]), ("folder", [("folder", "/tmp")])] {
        assert_eq!(form(&pocket, &format!("/owner/meet/{path}"), &fields).status, 404, "{path}");
    }
    assert_eq!(pocket.answer(Asked::get("/owner/meet/under-way"), now()).status, 404);
}

#[test]
fn two_tags_are_both_named() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    sent(&pocket, "/who", &[("by", "Ines")]);
    let mut hoses = Vec::new();
    for number in ["LP-1", "LP-2"] {
        let fields: Vec<_> = HOSE.iter().copied().chain([("number", number)]).collect();
        let hose = sent(&pocket, "/register", &fields);
        hoses.push(hose.trim_start_matches("/hose/").split('?').next().unwrap().to_owned());
    }
    let texts: Vec<String> =
        hoses.iter().map(|code| format!("HW1:{}.", code.replace('-', ""))).collect();
    let poster = "https://elsewhere.example".to_owned();
    let named = pocket.named([texts.clone(), vec![poster]].concat());
    let numbers: Vec<_> = named.iter().map(|(_, name)| name.as_str()).collect();
    assert_eq!(numbers, ["LP-1", "LP-2"]);
    assert!(named.iter().map(|(text, _)| text).eq(&texts));
}

#[test]
fn a_chips_message_fits_the_smallest_and_names_the_hose() {
    let folder = tempfile::tempdir().unwrap();
    let pocket = pocket(&folder);
    sent(&pocket, "/who", &[("by", "Ines")]);
    let hose = sent(&pocket, "/register", HOSE);
    let code = hose.trim_start_matches("/hose/").split('?').next().unwrap();
    let message = pocket.chip(code, now()).unwrap();
    assert!(message.len() <= 141, "{}", message.len());
    let text = String::from_utf8_lossy(&message).into_owned();
    assert!(text.contains(&format!("HW1:{}", code.replace('-', ""))), "{text}");
    assert!(pocket.chip("2RWB-XCB4-GDEA-7", now()).is_err());
}

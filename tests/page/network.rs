//! The counter page and other devices: none unless it is asked for, and then
//! for the pass phrase alone.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::Write;
use std::net::TcpStream;
use std::process::Stdio;

use hosewright_tests::desk::{Desk, said};
use hosewright_tests::page::Page;

#[test]
fn only_this_computer_is_answered_unless_it_is_asked_for() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let port = page.host.rsplit(':').next().unwrap().to_owned();
    assert!(page.host.starts_with("127.0.0.1:"));
    // All of 127.0.0.0/8 is this computer (RFC 1122): a page for the network
    // would answer under each.
    if cfg!(target_os = "linux") {
        assert!(TcpStream::connect(format!("127.0.0.2:{port}")).is_err());
    }
}

#[test]
fn the_network_needs_a_pass_phrase() {
    let desk = Desk::new();
    let refused = desk.run("desk --lan --port 0");
    assert_eq!(refused.code, 2, "{}{}", refused.out, refused.err);
    assert!(
        refused.err.contains("choose one with: hosewright desk --pass-phrase"),
        "{}",
        refused.err
    );
    let choose = |phrase: &str| {
        let mut child = desk
            .command(["desk", "--pass-phrase"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(format!("{phrase}\n").as_bytes()).unwrap();
        said(child.wait_with_output())
    };
    assert_eq!(choose("short").code, 2);
    assert_eq!(desk.run("desk --lan --port 0").code, 2, "a refused pass phrase is none");
    assert_eq!(choose("sea horse under harbour wall").code, 0);
    let mut page = Page::of(&desk, &["--lan"]);
    let shut = page.get("/hoses");
    assert_eq!((shut.status, shut.header("location")), (303, "/login"));
    let login = page.get("/login").text();
    let token = login
        .split("name=\"token\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .to_owned();
    let origin = format!("Origin: http://{}", page.host);
    let kind = "Content-Type: application/x-www-form-urlencoded";
    let sign_in = |page: &Page, phrase: &str| {
        let body = format!("token={token}&pass={phrase}");
        page.ask("POST", "/login", &[&origin, kind], body.as_bytes())
    };
    assert_eq!(sign_in(&page, "wrong").status, 403);
    let opened = sign_in(&page, "sea+horse+under+harbour+wall");
    assert_eq!(opened.status, 303);
    let cookie = opened.header("set-cookie").split(';').next().unwrap().to_owned();
    page.headers.push(format!("Cookie: {cookie}"));
    assert_eq!(page.get("/hoses").status, 200);
    page.done("/logout", &[]);
    assert_eq!(page.get("/hoses").status, 303);
}

//! What is too large for the counter page is refused before it is kept.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use std::io::Write;
use std::net::TcpStream;

/// Sends so many bytes of a body that is said to be longer, and waits. What is too
/// large is refused with its first byte too many, when all of it was read: a sender
/// that goes on may find the connection closed before it has read why.
fn begun(page: &Page, path: &str, lines: &[&str], body: &[u8]) -> u16 {
    let lines: String = lines.iter().map(|line| format!("{line}\r\n")).collect();
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nContent-Length: {1}\r\n\
         Connection: close\r\n{lines}\r\n",
        page.host,
        body.len() + 1000
    );
    page.raw(&[head.as_bytes(), body].concat()).status
}

#[test]
fn too_large_is_refused_before_it_is_kept() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let token = page.token();
    let padded = |mut body: Vec<u8>, most: usize| {
        body.resize(most + 1, b'x');
        body
    };
    let form = "Content-Type: application/x-www-form-urlencoded";
    let typed = padded(format!("token={token}&by=").into_bytes(), 256 * 1024);
    assert_eq!(begun(&page, "/who", &[form], &typed), 413);
    let kind = "Content-Type: multipart/form-data; boundary=b";
    let part = "--b\r\nContent-Disposition: form-data; name=";
    let head = format!(
        "{part}\"token\"\r\n\r\n{token}\r\n{part}\"photo\"; filename=\"a\"\r\n\
         Content-Type: image/png\r\n\r\n"
    );
    let photo = padded(head.into_bytes(), 16 * 1024 * 1024);
    assert_eq!(begun(&page, "/photo", &[kind], &photo), 413);
    let token = format!("X-Hosewright-Token: {token}");
    let grey = padded(Vec::new(), 2 * 1024 * 1024);
    assert_eq!(begun(&page, "/frame?width=2000&height=2000", &[&token], &grey), 413);
    // One byte less is looked at: the name is too long, and there are too few pixels.
    let ask = |path: &str, lines: &[&str], body: &[u8]| {
        let origin = format!("Origin: http://{}", page.host);
        page.ask("POST", path, &[&[origin.as_str()], lines].concat(), body).status
    };
    assert_eq!(ask("/who", &[form], &typed[..typed.len() - 1]), 400);
    let frame =
        |size: &str, bytes: usize| ask(&format!("/frame?{size}"), &[&token], &vec![0; bytes]);
    assert_eq!(frame("width=2000&height=2000", 2 * 1024 * 1024), 400);
    assert_eq!(frame("width=64&height=64", 64 * 64), 200);
    assert_eq!(frame("width=64&height=64", 64 * 64 - 1), 400);
    assert_eq!(frame("width=0&height=0", 0), 400);
    assert_eq!(frame("width=4294967295&height=4294967295", 100), 400);
    assert_eq!(frame("width=-1&height=64", 100), 400);
    assert_eq!(page.get("/").status, 200, "it still answers");
}

/// A PNG file that says it is so wide and high, with next to nothing in it.
fn png_of(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut head = b"IHDR".to_vec();
    head.extend(width.to_be_bytes());
    head.extend(height.to_be_bytes());
    head.extend([8, 6, 0, 0, 0]);
    for chunk in [head, b"IDAT\x78\x9c\x63\x00\x00\x00\x01\x00\x01".to_vec(), b"IEND".to_vec()] {
        bytes.extend(u32::try_from(chunk.len() - 4).unwrap().to_be_bytes());
        bytes.extend(&chunk);
        bytes.extend(checksum(&chunk).to_be_bytes());
    }
    bytes
}

/// CRC-32 as PNG has it (ISO/IEC 15948, annex D).
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            if crc & 1 == 1 { 0xEDB8_8320 ^ (crc >> 1) } else { crc >> 1 }
        })
    })
}

#[test]
fn pictures_that_would_fill_the_memory_are_refused() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let to = [("to", "/scan"), ("field", "text")];
    for (file, why) in [
        (png_of(60_000, 60_000), "pixels"),
        (png_of(u32::MAX >> 1, 1), ""),
        (png_of(4000, 4000), ""),
        (b"GIF89a".to_vec(), ""),
        (b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>".to_vec(), ""),
        (Vec::new(), ""),
    ] {
        let reply = page.photo(&to, &file);
        let words = plain(&reply.text());
        assert_eq!(reply.status, 400, "{words}");
        assert!(words.contains(why), "{words}");
    }
    for to in ["https://elsewhere.example/", "//elsewhere.example", "/scan?x=", "/nowhere"] {
        let reply = page.photo(&[("to", to), ("field", "text")], &png_of(8, 8));
        assert_eq!((reply.status, reply.header("location")), (400, ""), "{to}");
    }
}

#[test]
fn what_no_browser_sends_is_refused_and_the_page_goes_on() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let host = &page.host;
    let ask = |first: &str, more: &str| {
        format!("{first} HTTP/1.1\r\nHost: {host}\r\n{more}Connection: close\r\n\r\n")
    };
    for (bytes, status) in [
        // Anyone who writes a whole address asks for the host in it, and for no other (RFC 9112).
        (ask("GET http://elsewhere.example/", ""), 421),
        (ask(&format!("GET http://{host}/"), ""), 200),
        (ask("GET /../../etc/passwd", ""), 404),
        (ask("GET //etc/passwd", ""), 404),
        (ask("GET /set/%2e%2e%2f%2e%2e/out", ""), 404),
        ("GET / HTTP/1.1\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n".to_owned(), 421),
        ("GET / HTTP/1.0\r\n\r\n".to_owned(), 421),
        (ask("DELETE /hoses", &format!("Origin: http://{host}\r\n")), 405),
        (ask("TRACE /", ""), 405),
        ("\u{0}\u{1}\u{2}\r\n\r\n".to_owned(), 400),
    ] {
        let reply = page.raw(bytes.as_bytes());
        assert_eq!(reply.status, status, "{bytes}");
        assert!(!reply.text().contains("root:"), "{bytes}");
    }
    // A sender that never finishes holds up nobody.
    let mut slow: Vec<TcpStream> = (0..50).filter_map(|_| TcpStream::connect(host).ok()).collect();
    for stream in &mut slow {
        let _ = stream.write_all(b"POST /who HTTP/1.1\r\nHost: ");
    }
    assert_eq!(page.get("/").status, 200);
}

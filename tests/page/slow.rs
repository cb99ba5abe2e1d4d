//! Who is slow at the counter page, and who keeps it waiting: a phone at the
//! edge of the network succeeds, who sends next to nothing is let go, and others
//! are answered in the meantime.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, escaped};

/// Sends pieces again and again until the page closes the connection, and
/// returns what it said. A page that never does fails the test.
fn trickled(page: &Page, head: &str, piece: &str) -> String {
    let mut stream = TcpStream::connect(&page.host).unwrap();
    stream.write_all(head.as_bytes()).unwrap();
    stream.set_read_timeout(Some(Duration::from_millis(50))).unwrap();
    let mut said = Vec::new();
    for _ in 0..2400 {
        let mut bytes = [0; 4096];
        match stream.read(&mut bytes) {
            Ok(0) => return String::from_utf8_lossy(&said).into_owned(),
            Ok(n) => said.extend(bytes.get(..n).unwrap()),
            Err(error) if error.kind() == std::io::ErrorKind::ConnectionReset => {
                return String::from_utf8_lossy(&said).into_owned();
            }
            Err(_) => {}
        }
        let _ = stream.write_all(piece.as_bytes());
    }
    panic!("the page never let go of “{head}”");
}

/// The same where the page has something to say. On a busy machine this test itself may
/// be too slow with the head, which ends without a word; then it begins again.
fn told(page: &Page, head: &str, piece: &str) -> String {
    let said = (0..100).map(|_| trickled(page, head, piece)).find(|said| !said.is_empty());
    said.expect("the page says something")
}

fn form(page: &Page) -> String {
    format!(
        "POST /who HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nContent-Length: 200000\r\n\
         Content-Type: application/x-www-form-urlencoded\r\n\r\n",
        page.host
    )
}

#[test]
fn who_sends_next_to_nothing_is_let_go() {
    let desk = Desk::new();
    let page = Page::of(&desk, &["--patience", "0.3"]);
    let before = desk.export();
    // A head that goes on for ever, a body that does, one that stops, and a photo.
    trickled(&page, &format!("GET / HTTP/1.1\r\nHost: {}\r\nX-A: ", page.host), "a");
    let body = told(&page, &form(&page), "b");
    assert!(body.starts_with("HTTP/1.1 408"), "{body}");
    assert!(body.contains("stopped on the way, or came too slowly"), "{body}");
    let stopped = told(&page, &form(&page), "");
    assert!(stopped.starts_with("HTTP/1.1 408"), "{stopped}");
    let photo = format!(
        "POST /photo HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nContent-Length: 200000\r\n\
         Content-Type: multipart/form-data; boundary=b\r\n\r\n--b\r\n\
         Content-Disposition: form-data; name=\"photo\"; filename=\"a\"\r\n\r\n",
        page.host
    );
    let photo = told(&page, &photo, "c");
    assert!(photo.starts_with("HTTP/1.1 408"), "{photo}");
    // A connection on which nothing more is asked ends too.
    let idle = format!("GET /style.css HTTP/1.1\r\nHost: {}\r\n\r\n", page.host);
    assert!(told(&page, &idle, "").starts_with("HTTP/1.1 200"));
    answered(&page);
    assert_eq!(desk.export(), before);
}

/// Others are answered. On a busy machine even this test may be too slow for a page
/// that has so little patience; then it asks again.
fn answered(page: &Page) {
    let asked = (0..100).map(|_| page.get("/").status).find(|status| *status != 0);
    assert_eq!(asked, Some(200));
}

/// Held by a test with so many connections that two of them would have more than the
/// 1,024 files that systems commonly let a program open.
static CROWD: Mutex<()> = Mutex::new(());

#[test]
fn five_hundred_idle_connections_hold_up_nobody() {
    let _alone = CROWD.lock().unwrap_or_else(PoisonError::into_inner);
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let idle: Vec<TcpStream> = (0..500).map(|_| TcpStream::connect(&page.host).unwrap()).collect();
    assert_eq!(page.get("/").status, 200);
    page.done("/sets/new", &[("name", "R1"), ("use", "rental"), ("lp", "4")]);
    assert_eq!(idle.len(), 500);
}

#[test]
fn more_connections_than_are_taken_wait_and_are_answered() {
    let _alone = CROWD.lock().unwrap_or_else(PoisonError::into_inner);
    let desk = Desk::new();
    let page = Page::of(&desk, &["--patience", "1"]);
    let idle: Vec<TcpStream> = (0..700).map(|_| TcpStream::connect(&page.host).unwrap()).collect();
    answered(&page);
    assert_eq!(idle.len(), 700);
}

#[cfg(unix)]
#[test]
fn the_desk_closes_whoever_keeps_a_connection() {
    let desk = Desk::new();
    let page = Page::of(&desk, &["--patience", "3600"]);
    let mut idle = TcpStream::connect(&page.host).unwrap();
    idle.write_all(b"GET / HT").unwrap();
    assert_eq!(page.get("/").status, 200);
    assert!(page.interrupted());
    assert_eq!(desk.run("check").code, 0);
}

#[test]
fn a_slow_phone_sends_a_photo_of_8_megabytes() {
    let desk = Desk::new();
    let code = desk.hose();
    desk.done(&format!("tag {code} --out tag.png"));
    let mut file = fs::read(desk.path("tag.png")).unwrap();
    // What is behind the end of a picture is not part of it.
    file.resize(8 * 1024 * 1024, 0);
    let mut patience = Duration::from_secs(2);
    // A busy machine may hold up this sender for longer than the page waits: only
    // where it kept its own pace does the test say anything, else the pace is slower.
    let said = loop {
        let sent = slowly(&desk, &file, patience);
        if sent.said.starts_with("HTTP/1.1 303") || sent.longest < patience / 2 {
            break sent.said;
        }
        patience *= 2;
        assert!(patience < Duration::from_secs(600), "this sender never keeps its pace");
    };
    assert!(said.starts_with("HTTP/1.1 303"), "{said}");
    assert!(said.contains(&format!("location: /scan?text={}", escaped("HW1:"))), "{said}");
}

/// What came of a file that was sent slowly.
struct Sent {
    said: String,
    /// The longest time from one piece to the next.
    longest: Duration,
}

/// Sends a photo so that it takes longer in all than a sender may pause, and never
/// pauses so long at once.
fn slowly(desk: &Desk, file: &[u8], patience: Duration) -> Sent {
    let page = Page::of(desk, &["--patience", &patience.as_secs().to_string()]);
    let token = (0..100).map(|_| page.token()).find(|token| !token.is_empty()).expect("a token");
    let part = |name: &str, text: &str| {
        format!("--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
    };
    let fields = [("token", token.as_str()), ("to", "/scan"), ("field", "text")];
    let mut body = fields.map(|(name, text)| part(name, text)).concat().into_bytes();
    body.extend(
        b"--b\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"a\"\r\n\
          Content-Type: image/png\r\n\r\n",
    );
    body.extend(file);
    body.extend(b"\r\n--b--\r\n");
    let mut stream = TcpStream::connect(&page.host).unwrap();
    let mut last = Instant::now();
    let mut longest = Duration::ZERO;
    let head = format!(
        "POST /photo HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\n\
         Content-Type: multipart/form-data; boundary=b\r\nContent-Length: {1}\r\n\r\n",
        page.host,
        body.len()
    );
    for piece in std::iter::once(head.as_bytes()).chain(body.chunks(body.len() / 60)) {
        // The page may have let go of who was too slow.
        if stream.write_all(piece).is_err() {
            break;
        }
        longest = longest.max(last.elapsed());
        last = Instant::now();
        std::thread::sleep(patience / 40);
    }
    let mut said = Vec::new();
    let _ = stream.read_to_end(&mut said);
    Sent { said: String::from_utf8_lossy(&said).into_owned(), longest }
}

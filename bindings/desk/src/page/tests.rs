//! Every row of the table of routes, asked as nobody should be let ask it; and
//! what a browser can be made to send by other sites.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::header::{CONTENT_TYPE, COOKIE, HOST, LOCATION, ORIGIN, SET_COOKIE};
use axum::http::request::Builder;
use axum::http::{Request, StatusCode};
use axum::response::Response;
use hosewright_core::hose::Label;
use hosewright_core::staff::Staffing;
use hosewright_page::{How, ROUTES, Route};
use tempfile::TempDir;
use tower::ServiceExt;

use super::answering::router;
use super::calendar::CalendarAddress;
use super::connections::{Patience, Shows};
use super::door::Door;
use super::lan::{Lan, PassPhrase};
use super::records::Record;
use super::shared::Shared;

const OURS: &str = "127.0.0.1:7462";
const PASS: &str = "four words do well";
const FORM: &str = "application/x-www-form-urlencoded";

/// What takes a file.
const FILES: &[&str] = &[
    "/restore",
    "/photo",
    "/set/{name}/in",
    "/hose/{code}/inspect",
    "/owner/record/entries",
    "/owner/record/since",
    "/owner/record/list",
];

struct Page {
    _folder: TempDir,
    shared: Arc<Shared>,
    router: Router,
}

impl Page {
    fn new(lan: bool) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let keys = Some(folder.path().join("keys"));
        let record = Record::open(&folder.path().join("store"), keys).unwrap();
        let by = Label::new("a name", "tester").unwrap();
        let day = "2026-06-15".parse().ok();
        let calendar = CalendarAddress::new(&folder.path().join("keys"));
        let patience = Patience::default();
        let shared = Arc::new(Shared::new(record, (day, by), 7462, patience, calendar).unwrap());
        if lan {
            let lan = Lan::new(PassPhrase::choose(PASS, [3; 16]).ok());
            shared.set_door(Some(Arc::new(Door::new(lan, 7464, true, [5; 32]))));
        }
        Self { _folder: folder, router: router(shared.clone()), shared }
    }

    /// Asks from this computer, unless the request says from where.
    async fn ask(&self, mut request: Request<Body>) -> Response {
        let here = ConnectInfo(SocketAddr::from((Ipv4Addr::LOCALHOST, 40123)));
        request.extensions_mut().get_or_insert(here);
        self.router.clone().oneshot(request).await.unwrap()
    }

    async fn status(&self, request: Request<Body>) -> StatusCode {
        self.ask(request).await.status()
    }
}

fn get(path: &str) -> Builder {
    Request::get(path).header(HOST, OURS)
}

fn post(path: &str) -> Builder {
    let origin = format!("http://{OURS}");
    Request::post(path).header(HOST, OURS).header(ORIGIN, origin).header(CONTENT_TYPE, FORM)
}

fn bare(request: Builder) -> Request<Body> {
    request.body(Body::empty()).unwrap()
}

fn form(request: Builder, body: String) -> Request<Body> {
    request.body(Body::from(body)).unwrap()
}

/// A row of the table as an address.
fn address(route: &Route) -> String {
    route
        .path
        .split('/')
        .map(|step| if step.starts_with('{') { "X" } else { step })
        .collect::<Vec<_>>()
        .join("/")
}

/// The same as it comes from the network: encrypted, and from a page there.
fn from_afar(mut request: Request<Body>) -> Request<Body> {
    let peer = ConnectInfo(SocketAddr::from((Ipv4Addr::new(192, 168, 0, 9), 40123)));
    request.extensions_mut().insert(peer);
    request.extensions_mut().insert(Shows([5; 32]));
    if request.headers().contains_key(ORIGIN) {
        let ours = format!("https://{OURS}").parse().unwrap();
        request.headers_mut().insert(ORIGIN, ours);
    }
    request
}

async fn text(response: Response) -> String {
    let bytes = to_bytes(response.into_body(), 1 << 22).await.unwrap();
    String::from_utf8_lossy(&bytes).into_owned()
}

#[tokio::test]
async fn without_a_session_the_network_gets_nothing() {
    let page = Page::new(true);
    for route in ROUTES {
        let request = match route.how {
            How::Get => bare(get(&address(route))),
            How::Post => form(post(&address(route)), format!("token={}", page.shared.token(""))),
        };
        let response = page.ask(request).await;
        let (status, to) = (response.status(), response.headers().get(LOCATION).cloned());
        match (route.open, route.how) {
            (true, _) => assert_ne!(status, StatusCode::UNAUTHORIZED, "{}", route.path),
            (false, How::Get) => {
                assert_eq!(status, StatusCode::SEE_OTHER, "{}", route.path);
                assert!(to.is_some_and(|to| to == "/login"), "{}", route.path);
            }
            (false, How::Post) => assert_eq!(status, StatusCode::UNAUTHORIZED, "{}", route.path),
        }
    }
    // What is in no row is no way in either.
    assert_eq!(page.status(bare(get("/elsewhere"))).await, StatusCode::SEE_OTHER);
    let open: Vec<&str> = ROUTES.iter().filter(|route| route.open).map(|r| r.path).collect();
    assert_eq!(
        open,
        [
            "/style.css",
            "/page.js",
            "/lens.js",
            "/sight.js",
            "/meeting.js",
            "/icon.svg",
            "/calendar/{address}",
            "/login",
            "/login",
        ]
    );
}

#[tokio::test]
async fn the_pass_phrase_opens_a_session_and_attempts_are_counted() {
    let page = Page::new(true);
    let token = page.shared.token("");
    let try_one = |phrase: &str| {
        let body = format!("token={token}&pass={}", phrase.replace(' ', "+"));
        page.ask(form(post("/login"), body))
    };
    assert_eq!(try_one("wrong").await.status(), StatusCode::FORBIDDEN);
    let opened = try_one(PASS).await;
    assert_eq!(opened.status(), StatusCode::SEE_OTHER);
    let cookie = opened.headers().get(SET_COOKIE).unwrap().to_str().unwrap().to_owned();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
    let cookie = cookie.split(';').next().unwrap().to_owned();
    let signed_in = || get("/").header(COOKIE, &cookie);
    assert_eq!(page.status(bare(signed_in())).await, StatusCode::OK);
    assert_eq!(
        page.status(bare(get("/").header(COOKIE, "hosewright_session=00"))).await,
        StatusCode::SEE_OTHER
    );
    // A token of the time before the session no longer counts in it.
    let stale = form(post("/demo/leave").header(COOKIE, &cookie), format!("token={token}"));
    assert_eq!(page.status(stale).await, StatusCode::FORBIDDEN);
    for _ in 0..3 {
        assert_eq!(try_one("wrong").await.status(), StatusCode::FORBIDDEN);
    }
    assert_eq!(try_one(PASS).await.status(), StatusCode::TOO_MANY_REQUESTS);
    let key = cookie.split_once('=').unwrap().1;
    let out =
        form(post("/logout").header(COOKIE, &cookie), format!("token={}", page.shared.token(key)));
    assert_eq!(page.status(out).await, StatusCode::SEE_OTHER);
    assert_eq!(page.status(bare(signed_in())).await, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn what_changes_something_comes_from_a_page_of_ours() {
    let page = Page::new(false);
    let token = page.shared.token("");
    let ours = format!("http://{OURS}");
    for route in ROUTES.iter().filter(|route| route.how == How::Post) {
        let path = address(route);
        let send = |origin: Option<&str>, token: &str| {
            let mut request = Request::post(&path).header(HOST, OURS);
            if let Some(origin) = origin {
                request = request.header(ORIGIN, origin);
            }
            let request = request.header("x-hosewright-token", token);
            let multipart = FILES.contains(&route.path);
            let (kind, body) = if multipart {
                let part = |name: &str, text: &str| {
                    format!(
                        "--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n"
                    )
                };
                ("multipart/form-data; boundary=b", format!("{}--b--\r\n", part("token", token)))
            } else {
                (FORM, format!("token={token}"))
            };
            form(request.header(CONTENT_TYPE, kind), body)
        };
        for (origin, token) in [
            (Some("http://elsewhere.example"), token.as_str()),
            (Some("null"), token.as_str()),
            (Some("https://127.0.0.1:7462"), token.as_str()),
            (Some("http://127.0.0.1:7463"), token.as_str()),
            (Some(ours.as_str()), ""),
            (Some(ours.as_str()), "0000"),
            (None, ""),
        ] {
            let status = page.status(send(origin, token)).await;
            assert_eq!(status, StatusCode::FORBIDDEN, "{path} from {origin:?} with “{token}”");
        }
        let status = page.status(send(Some(&ours), &token)).await;
        assert_ne!(status, StatusCode::FORBIDDEN, "{path} from us");
    }
    // What a browser says of a form that another site sends without an origin.
    let crossed = post("/demo/leave");
    let crossed = crossed.header("sec-fetch-site", "cross-site");
    let mut crossed = form(crossed, format!("token={token}"));
    crossed.headers_mut().remove(ORIGIN);
    assert_eq!(page.status(crossed).await, StatusCode::FORBIDDEN);
    // JSON or plain text can be sent across sites without asking first.
    let mut plain = form(post("/demo/leave"), format!("token={token}"));
    plain.headers_mut().insert(CONTENT_TYPE, "text/plain".parse().unwrap());
    assert_eq!(page.status(plain).await, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn the_owners_key_is_used_at_the_desk_alone() {
    let page = Page::new(true);
    let door = page.shared.door();
    door.as_ref().unwrap().lan.begin("a key", crate::moment::since_start());
    let cookie = "hosewright_session=a key";
    let mut owners = 0;
    for route in ROUTES.iter().filter(|route| route.how == How::Post) {
        let [owners_key, network, call, under_way] = [
            "/owner/devices",
            "/owner/meet/network/",
            "/owner/meet/call",
            "/owner/meet/under-way/",
        ];
        if ![owners_key, network, call, under_way].iter().any(|path| route.path.starts_with(path)) {
            continue;
        }
        owners += 1;
        // One of them closes it.
        page.shared.set_door(door.clone());
        let token = page.shared.token("a key");
        let sent = || form(post(route.path).header(COOKIE, cookie), format!("token={token}"));
        let far = from_afar(sent());
        let refused = page.ask(far).await;
        assert_eq!(refused.status(), StatusCode::FORBIDDEN, "{}", route.path);
        assert!(text(refused).await.contains("computer alone"), "{}", route.path);
        assert_ne!(page.status(sent()).await, StatusCode::FORBIDDEN, "{}", route.path);
    }
    assert_eq!(owners, 19);
    page.shared.set_door(door);
    let looked = from_afar(bare(get("/owner/devices").header(COOKIE, cookie)));
    let shown = text(page.ask(looked).await).await;
    assert!(shown.contains("computer alone") && !shown.contains("/owner/devices/words"), "{shown}");
}

#[tokio::test]
async fn the_page_answers_under_its_own_names_alone() {
    for lan in [false, true] {
        let page = Page::new(lan);
        let always = [
            ("127.0.0.1:7462", true),
            ("localhost:7462", true),
            ("LOCALHOST:7462", true),
            ("[::1]:7462", true),
            ("elsewhere.example:7462", false),
            ("elsewhere.example", false),
            ("127.0.0.1", false),
            ("127.0.0.1:80", false),
            ("127.0.0.1.elsewhere.example:7462", false),
            ("localhost.elsewhere.example:7462", false),
            ("", false),
            ("192.168.0.7:7462", false),
            ("[2001:db8::1]:7462", false),
        ];
        for (host, good) in always {
            let status = page.status(bare(Request::get("/style.css").header(HOST, host))).await;
            let wanted = if good { StatusCode::OK } else { StatusCode::MISDIRECTED_REQUEST };
            assert_eq!(status, wanted, "{host} lan={lan}");
        }
        // On an encrypted connection the browser has compared the name with the certificate.
        let afar = Request::get("/style.css").header(HOST, "counter.example:7464");
        assert_eq!(page.status(from_afar(bare(afar))).await, StatusCode::OK);
        let nameless = Request::get("/style.css").body(Body::empty()).unwrap();
        assert_eq!(page.status(nameless).await, StatusCode::MISDIRECTED_REQUEST);
    }
}

#[tokio::test]
async fn every_response_carries_the_headers_and_every_refusal_words() {
    let page = Page::new(false);
    for (path, status) in [
        ("/", StatusCode::OK),
        ("/style.css", StatusCode::OK),
        ("/nothing", StatusCode::NOT_FOUND),
        ("/hose/!!", StatusCode::BAD_REQUEST),
        ("/hose/%FF", StatusCode::BAD_REQUEST),
        ("/hose/2RWB-XCB4-GDEA-7", StatusCode::NOT_FOUND),
        ("/hose/..%2F..%2Fetc%2Fpasswd", StatusCode::BAD_REQUEST),
        ("/set/nobody", StatusCode::NOT_FOUND),
        ("/set/%00/out", StatusCode::BAD_REQUEST),
        ("/tags/..%2fsheet.pdf/tag.svg", StatusCode::BAD_REQUEST),
        ("/../../etc/passwd", StatusCode::NOT_FOUND),
        ("/style.css/../../Cargo.toml", StatusCode::NOT_FOUND),
        ("/owner/due?within=soon", StatusCode::BAD_REQUEST),
        ("/owner/survival?by=colour", StatusCode::BAD_REQUEST),
        ("/tags?size=1mm&blank=3", StatusCode::BAD_REQUEST),
        ("/tags/sheet.pdf?blank=60000", StatusCode::BAD_REQUEST),
        ("/tags/sheet.pdf", StatusCode::BAD_REQUEST),
        ("/owner/record/list?list=0000", StatusCode::BAD_REQUEST),
        ("/demo", StatusCode::METHOD_NOT_ALLOWED),
        ("/scan?text=%3Cscript%3E", StatusCode::BAD_REQUEST),
    ] {
        let response = page.ask(bare(get(path))).await;
        assert_eq!(response.status(), status, "{path}");
        for header in ["content-security-policy", "x-content-type-options", "referrer-policy"] {
            assert!(response.headers().contains_key(header), "{path} lacks {header}");
        }
        if status.is_client_error() {
            let said = text(response).await;
            assert!(said.contains("Nothing was changed."), "{path}: {said}");
        }
    }
}

/// The way from other devices is encrypted, so a PIN is taken there as here.
#[tokio::test]
async fn a_pin_is_taken_from_another_device() {
    let page = Page::new(true);
    page.shared.door().unwrap().lan.begin("key", crate::moment::since_start());
    let send = |body: &str| {
        let request = post("/owner/staff").header(COOKIE, "hosewright_session=key");
        let body = format!("token={}&{body}", page.shared.token("key"));
        page.ask(from_afar(form(request, body)))
    };
    assert_eq!(send("name=7&pin=4821").await.status(), StatusCode::SEE_OTHER);
    let plain = post("/owner/staff").header(COOKIE, "hosewright_session=key");
    let plain = form(plain, format!("token={}&name=8", page.shared.token("key")));
    let mut foreign = from_afar(plain);
    foreign.headers_mut().insert(ORIGIN, format!("http://{OURS}").parse().unwrap());
    assert_eq!(page.status(foreign).await, StatusCode::FORBIDDEN, "from a page that is not ours");
}

/// A door that was opened at the desk asks nothing of the desk's own browser.
#[tokio::test]
async fn a_door_opened_at_the_desk_asks_others_alone() {
    let page = Page::new(false);
    assert_eq!(page.status(from_afar(bare(get("/")))).await, StatusCode::SEE_OTHER, "no door");
    page.shared.set_door(Some(Arc::new(Door::new(Lan::new(None), 7464, false, [5; 32]))));
    assert_eq!(page.status(bare(get("/"))).await, StatusCode::OK);
    assert_eq!(page.status(from_afar(bare(get("/")))).await, StatusCode::SEE_OTHER);
    let token = page.shared.token("");
    let login = || from_afar(form(post("/login"), format!("token={token}&pass=")));
    assert_eq!(page.status(login()).await, StatusCode::FORBIDDEN, "no pass phrase was chosen");
    // Somebody who works here comes in by their PIN, and is tried as often as anybody.
    let moment = crate::moment::moment(page.shared.pretended, page.shared.by.clone());
    let name = Label::new("a name", "Mo").unwrap();
    page.shared.record.write(|logbook| {
        let moment = hosewright_core::journal::Moment { by: name.clone(), ..moment.clone() };
        let said =
            Staffing { name: name.clone(), may: Default::default(), carries: Default::default() };
        let person = logbook.staffed(None, said, &moment).unwrap();
        logbook.choose_pin(person, "4821", &moment).unwrap();
    });
    let by_pin = |name: &str, pin: &str| {
        let body = format!("token={token}&name={name}&pin={pin}");
        page.status(from_afar(form(post("/login"), body)))
    };
    for (name, pin) in [("Mo", "4822"), ("Jo", "4821"), ("Mo", "x")] {
        assert_eq!(by_pin(name, pin).await, StatusCode::FORBIDDEN, "{name} {pin}");
    }
    assert_eq!(by_pin("Mo", "4821").await, StatusCode::SEE_OTHER);
    assert_eq!(by_pin("Mo", "4821").await, StatusCode::TOO_MANY_REQUESTS);
}

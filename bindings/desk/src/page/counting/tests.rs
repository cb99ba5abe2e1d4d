#![allow(clippy::unwrap_used, clippy::panic)]

use std::net::Ipv4Addr;
use std::sync::mpsc;

use std::sync::Mutex;

use axum::http::Request;
use hosewright_core::Logbook;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use hosewright_core::policy::Use;

use super::*;
use crate::page::connections::Patience;
use crate::page::lock::held;
use crate::page::records::Record;
use crate::page::shared::Shared;

struct Shop {
    _folder: tempfile::TempDir,
    shared: Arc<Shared>,
}

impl Shop {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let keys = Some(folder.path().join("keys"));
        let record = Record::open(&folder.path().join("store"), keys).unwrap();
        let who = ("2026-06-15".parse().ok(), Label::new("a name", "tester").unwrap());
        let shared = Shared::new(record, who, 7462, None, Patience::default()).unwrap();
        Self { _folder: folder, shared: Arc::new(shared) }
    }

    fn ask(&self, at: &str) -> Arc<Visit> {
        let (mut parts, ()) = Request::get(at).body(()).unwrap().into_parts();
        let here = std::net::SocketAddr::from((Ipv4Addr::LOCALHOST, 40123));
        parts.extensions.insert(axum::extract::ConnectInfo(here));
        Arc::new(Visit::of(&self.shared, &parts).unwrap())
    }

    /// Something is written.
    fn change(&self, name: &str) {
        let name = Label::new("a set", name).unwrap();
        let ports = ["LP:3/8-24=1".parse().unwrap()];
        let visit = self.ask("/");
        let moment = &visit.request.moment;
        let write = |logbook: &mut Logbook| {
            logbook.assemble(name, Use::Rental, &ports, None, moment).unwrap();
        };
        visit.record.write(write);
    }
}

/// Asks as a page does: waits for the count, then takes what is known.
async fn counted<T: Send + Sync + 'static>(
    visit: Arc<Visit>,
    work: impl Fn(&Logbook, &Moment) -> Result<T, Refusal> + Send + Sync + 'static,
) -> Result<Counted<T>, Refusal> {
    let of = ("sets".to_owned(), visit.request.moment.today);
    let count: Count = Arc::new(move |logbook, moment| {
        let answer: Arc<Anything> = Arc::new(work(logbook, moment)?);
        Ok(answer)
    });
    waited(&visit, of.clone(), count).await?;
    let known = known(&visit, &of)?.ok_or(Refusal::Counting)?;
    Ok(known.downcast().unwrap())
}

fn sets(logbook: &Logbook, _: &Moment) -> Result<usize, Refusal> {
    Ok(logbook.set_page("", "", 100)?.len())
}

/// Counts that each read the record, say so, and end when they are let go on.
struct Slow {
    read: tokio::sync::mpsc::UnboundedReceiver<()>,
    say_read: tokio::sync::mpsc::UnboundedSender<()>,
    go_on: mpsc::Sender<()>,
    wait: Arc<Mutex<mpsc::Receiver<()>>>,
}

impl Slow {
    fn new() -> Self {
        let ((say_read, read), (go_on, wait)) =
            (tokio::sync::mpsc::unbounded_channel(), mpsc::channel());
        Self { read, say_read, go_on, wait: Arc::new(Mutex::new(wait)) }
    }

    async fn ask(&self, ask: Arc<Visit>) -> Result<(usize, bool), Refusal> {
        self.counted(ask).await.map(|counted| (*counted, counted.newest))
    }

    async fn counted(&self, ask: Arc<Visit>) -> Result<Counted<usize>, Refusal> {
        let (wait, say) = (self.wait.clone(), self.say_read.clone());
        let counted = counted(ask, move |logbook, moment| {
            let before = sets(logbook, moment)?;
            say.send(()).unwrap();
            held(&wait).recv().unwrap();
            Ok(before)
        });
        counted.await
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_waited_for_is_the_newest() {
    let shop = Shop::new();
    let file = || shop.ask("/owner/ages?as=ages");
    for count in 0..3 {
        for _ in 0..2 {
            let counted = counted(file(), sets).await.unwrap();
            assert_eq!((*counted, counted.newest), (count, true));
            assert!(counted.note(&file().request.once_more()).into_string().is_empty());
        }
        shop.change(&format!("R{count}"));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_slow_count_is_said_and_the_last_answer_is_shown_meanwhile() {
    let shop = Shop::new();
    let mut slow = Slow::new();
    let page = || shop.ask("/owner/ages");
    // Nothing is known yet; however often it is asked, one count is under way.
    for _ in 0..3 {
        assert!(matches!(slow.ask(page()).await, Err(Refusal::Counting)));
    }
    slow.read.recv().await.unwrap();
    slow.go_on.send(()).unwrap();
    while !matches!(slow.ask(page()).await, Ok((0, true))) {}
    shop.change("R1");
    assert_eq!(slow.ask(page()).await.unwrap(), (0, false));
    slow.read.recv().await.unwrap();
    let shown = slow.counted(page()).await.unwrap();
    assert!(shown.note(&page().request.once_more()).into_string().contains("/owner/ages?from="));
    // What is written while it is counted is not in it, and it does not say so.
    shop.change("R2");
    slow.go_on.send(()).unwrap();
    while slow.ask(page()).await.unwrap() != (1, false) {}
    slow.go_on.send(()).unwrap();
    while slow.ask(page()).await.unwrap() != (2, true) {}
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_waits_for_all_that_was_written_before() {
    let shop = Shop::new();
    let mut slow = Slow::new();
    assert!(matches!(slow.ask(shop.ask("/owner/ages")).await, Err(Refusal::Counting)));
    slow.read.recv().await.unwrap();
    shop.change("R1");
    // Once for the count from before the change, once for its own.
    slow.go_on.send(()).unwrap();
    slow.go_on.send(()).unwrap();
    assert_eq!(slow.ask(shop.ask("/owner/ages?as=ages")).await.unwrap(), (1, true));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_count_that_fails_says_so_and_is_begun_anew() {
    let shop = Shop::new();
    let page = || shop.ask("/owner/ages?as=ages");
    let broken = |_: &Logbook, _: &Moment| Err::<usize, _>(Refusal::bad("a bad day"));
    let said = counted(page(), broken).await.err().unwrap().to_string();
    assert_eq!(said, "a bad day");
    let panics = |_: &Logbook, _: &Moment| -> Result<usize, Refusal> { panic!("on purpose") };
    let said = counted(page(), panics).await.err().unwrap().to_string();
    assert!(said.contains("this page failed"), "{said}");
    assert_eq!(*counted(page(), sets).await.unwrap(), 0);
}

#[test]
fn a_page_that_waits_says_so_and_comes_again() {
    let shop = Shop::new();
    let page =
        hosewright_page::refused(&shop.ask("/owner/ages?from=50").request, &Refusal::Counting);
    assert_eq!(page.status, axum::http::StatusCode::ACCEPTED);
    let refresh = page.headers.iter().find(|(name, _)| name == "refresh");
    assert!(refresh.is_some_and(|(_, after)| after == "1"));
    let hosewright_page::Body::Bytes(body) = page.body else { panic!("a file") };
    let shown = String::from_utf8(body).unwrap();
    assert!(shown.contains("Every hose is being looked at for this") && !shown.contains("did not"));
    assert!(shown.contains("href=\"/owner/ages?from=50\""), "{shown}");
}

#![allow(clippy::unwrap_used, clippy::panic)]

use std::net::Ipv4Addr;
use std::sync::mpsc;

use axum::http::Request;
use hosewright_core::hose::Label;
use hosewright_core::policy::Use;

use super::*;
use crate::page::connections::Patience;
use crate::page::shared::Shared;

struct Shop {
    _folder: tempfile::TempDir,
    house: crate::page::shared::House,
}

impl Shop {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let keys = Some(folder.path().join("keys"));
        let record = Record::open(&folder.path().join("store"), keys).unwrap();
        let who = ("2026-06-15".parse().ok(), Label::new("a name", "tester").unwrap());
        let house = Shared::new(record, who, 7462, None, Patience::default()).unwrap();
        Self { _folder: folder, house: Arc::new(house) }
    }

    fn ask(&self, at: &str) -> Ask {
        let (mut parts, ()) = Request::get(at).body(()).unwrap().into_parts();
        let here = std::net::SocketAddr::from((Ipv4Addr::LOCALHOST, 40123));
        parts.extensions.insert(axum::extract::ConnectInfo(here));
        Ask::of(&self.house, &parts).unwrap()
    }

    /// Something is written.
    async fn change(&self, name: &str) {
        let name = Label::new("a set", name).unwrap();
        let ports = ["LP:3/8-24=1".parse().unwrap()];
        let ask = self.ask("/");
        let written = ask.write(move |logbook, moment| {
            Ok(logbook.assemble(name, Use::Rental, &ports, None, moment)?)
        });
        written.await.unwrap();
    }
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

    async fn ask(&self, ask: Ask) -> Result<(usize, bool), Refusal> {
        self.counted(ask).await.map(|counted| (*counted, counted.newest))
    }

    async fn counted(&self, ask: Ask) -> Result<Counted<usize>, Refusal> {
        let (wait, say) = (self.wait.clone(), self.say_read.clone());
        let counted = ask.counted("sets".to_owned(), move |logbook, moment| {
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
            let counted = file().counted("sets".to_owned(), sets).await.unwrap();
            assert_eq!((*counted, counted.newest), (count, true));
            assert!(counted.note(&file()).into_string().is_empty());
        }
        shop.change(&format!("R{count}")).await;
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
    shop.change("R1").await;
    assert_eq!(slow.ask(page()).await.unwrap(), (0, false));
    slow.read.recv().await.unwrap();
    let shown = slow.counted(page()).await.unwrap();
    assert!(shown.note(&page()).into_string().contains("/owner/ages?from="));
    // What is written while it is counted is not in it, and it does not say so.
    shop.change("R2").await;
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
    shop.change("R1").await;
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
    let said = page().counted("sets".to_owned(), broken).await.err().unwrap().to_string();
    assert_eq!(said, "a bad day");
    let panics = |_: &Logbook, _: &Moment| -> Result<usize, Refusal> { panic!("on purpose") };
    let said = page().counted("sets".to_owned(), panics).await.err().unwrap().to_string();
    assert!(said.contains("this page failed"), "{said}");
    assert_eq!(*page().counted("sets".to_owned(), sets).await.unwrap(), 0);
}

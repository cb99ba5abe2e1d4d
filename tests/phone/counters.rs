//! Phones that meet a counter in the shop's network: their own library at one end, the real
//! program at the other, over TLS on this computer.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::net::TcpListener;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, mpsc};
use std::thread;

use hosewright_core::device::{DeviceKey, Invitation, Secret};
use hosewright_mobile::{
    Follows, FormOf, Goes, Page, PageOf, PhoneRecord, Place, ProgressListener, Reply, Shown, Touch,
    Wanted, Words,
};
use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::network::{Line, at, counter, symbol};
use tempfile::TempDir;

/// A phone with a record of its own.
struct Phone {
    _folder: TempDir,
    record: Arc<PhoneRecord>,
}

/// What was told on the way.
#[derive(Default)]
struct Heard(Mutex<Vec<String>>);

impl ProgressListener for Heard {
    fn told(&self, _: u64, _: u64, words: String) {
        self.0.lock().unwrap().push(words);
    }
}

impl Phone {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
        let record = PhoneRecord::new(Place { store: path("record"), keys: path("keys") });
        Self { _folder: folder, record }
    }

    fn page(&self, of: PageOf) -> Arc<Page> {
        Page::new(self.record.clone(), of, None)
    }

    fn counters(&self, symbol: Option<&str>) -> Arc<Page> {
        let symbol = symbol.map(ToOwned::to_owned);
        self.page(PageOf::Form { of: FormOf::Counters { symbol } })
    }

    /// What the page of counters says.
    fn said(&self) -> String {
        lines(&go(&self.counters(None), Touch::Look).shown.form.unwrap().lead)
    }

    /// Scans a symbol, follows where it leads, and says yes to what is asked there.
    fn let_in(&self, symbol: &str) -> Reply {
        let page = self.page(PageOf::Scan { wanted: Wanted::Answer });
        let follows = go(&page, Touch::Seen { texts: vec![symbol.to_owned()] }).follows;
        let Some(Follows::Form { of }) = follows else { panic!("{follows:?}") };
        let page = self.page(PageOf::Form { of });
        let asked = go(&page, Touch::Look).shown.form.unwrap();
        assert_eq!(&*asked.submit, "Meet it");
        go(&page, save())
    }

    fn by_itself(&self) -> bool {
        self.record.meet_by_itself(TODAY.to_owned())
    }

    fn knows(&self, hose: &str) -> bool {
        let page = self.page(PageOf::Hose { text: hose.to_owned() });
        go(&page, Touch::Look).shown.hose.is_some_and(|hose| hose.answer.on_record)
    }

    /// Switches the network off or on in the settings.
    fn network(&self, yes: bool) {
        let page = self.page(PageOf::Form { of: FormOf::Settings });
        go(&page, Touch::Look);
        go(&page, Touch::Write { field: "name".to_owned(), text: "Tern".to_owned() });
        go(&page, Touch::Tick { field: "network".to_owned(), yes });
        assert!(go(&page, save()).shown.done.is_some());
    }

    fn hose(&self) -> String {
        let page = self.page(PageOf::Form { of: FormOf::Register { tag: None } });
        let choose = |field: &str, value: &str| Touch::Choose {
            field: field.to_owned(),
            value: value.to_owned(),
            yes: true,
        };
        go(&page, choose("service", "gauge"));
        go(&page, choose("construction", "rubber"));
        go(&page, Touch::Write { field: "length".to_owned(), text: "80 cm".to_owned() });
        let asked = go(&page, save());
        let done = match asked.shown.question {
            Some(_) => go(&page, Touch::Yes { text: "Tern".to_owned() }),
            None => asked,
        };
        done.shown.done.unwrap().answer.unwrap().code
    }
}

fn go(page: &Page, touch: Touch) -> Reply {
    page.touch(touch, TODAY.to_owned())
}

fn save() -> Touch {
    Touch::Save { typed: Vec::new(), answer: None }
}

fn lines(words: &[Words]) -> String {
    words.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// What came of a meeting, or why it did not come to one.
fn came(shown: &Shown) -> String {
    match (&shown.done, &shown.trouble) {
        (Some(done), None) => lines(&done.notes),
        (None, Some(trouble)) => trouble.words.to_string(),
        both => panic!("{both:?}"),
    }
}

/// A place that takes connections and says nothing, and how many came.
fn silent() -> (String, Arc<AtomicUsize>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = listener.local_addr().unwrap().to_string();
    let came = Arc::new(AtomicUsize::new(0));
    let count = came.clone();
    thread::spawn(move || {
        let mut kept = Vec::new();
        for stream in listener.incoming() {
            count.fetch_add(1, Ordering::SeqCst);
            kept.push(stream);
        }
    });
    (address, came)
}

/// The symbol of a counter that is somewhere.
fn symbol_of(address: &str) -> String {
    let counter = DeviceKey::from_secret(&[7; 32]).id();
    let address = address.parse().unwrap();
    Invitation::new(counter, Secret::from([9; 16]), vec![address]).unwrap().to_string()
}

#[test]
fn a_phone_is_let_in_by_a_scan_and_meets_by_itself_from_then_on() {
    let (shop, phone) = (Desk::new(), Phone::new());
    shop.done("device found");
    let (on_shop, on_phone) = (shop.hose(), phone.hose());
    assert!(phone.said().contains("uses no network"), "{}", phone.said());
    let (page, door) = counter(&shop);
    let text = at(&symbol(&page), &door);
    let said = came(&phone.let_in(&text).shown);
    assert!(said.contains("This record belongs to the fleet"), "{said}");
    assert!(said.contains("1 entry sent, 1 of them new there."), "{said}");
    assert!(phone.knows(&on_shop));
    assert!(shop.run(&format!("answer {on_phone}")).out.contains(&on_phone));
    // Nobody goes there again while it has just been met.
    let later = shop.hose();
    assert!(!phone.by_itself() && !phone.knows(&later));
    // The app was started again.
    let again = Phone { record: PhoneRecord::new(place(&phone)), ..phone };
    assert!(again.by_itself() && again.knows(&later));
    let said = again.said();
    assert!(said.contains("last met 15 June."), "{said}");
    assert!(said.contains("by itself:") && said.contains("1 entry new"), "{said}");
    // What a person asks for is done at once.
    let third = shop.hose();
    let done = came(&go(&again.counters(None), save()).shown);
    assert!(done.contains("1 entry new") && again.knows(&third), "{done}");
    // Switched off, nothing goes anywhere.
    again.network(false);
    let fourth = shop.hose();
    let restarted = Phone { record: PhoneRecord::new(place(&again)), ..again };
    assert!(!restarted.by_itself() && !restarted.knows(&fourth));
    let off = go(&restarted.counters(None), Touch::Look).shown.form.unwrap();
    assert!(lines(&off.lead).contains("switched off in Settings"), "{:?}", off.lead);
    assert!(off.submit.is_empty());
    assert!(matches!(off.other.unwrap().goes, Goes::Scan));
}

fn place(phone: &Phone) -> Place {
    let path = |name: &str| phone._folder.path().join(name).to_string_lossy().into_owned();
    Place { store: path("record"), keys: path("keys") }
}

#[test]
fn a_phone_that_no_counter_let_in_uses_no_network() {
    let (address, came) = silent();
    let phone = Phone::new();
    phone.hose();
    assert!(!phone.by_itself());
    // Also where somebody looks at a symbol and leaves it.
    let page = phone.counters(Some(&symbol_of(&address)));
    let asked = go(&page, Touch::Look).shown.form.unwrap();
    assert!(lines(&asked.lead).contains(&address), "{:?}", asked.lead);
    assert!(!phone.by_itself());
    phone.network(true);
    assert!(!phone.by_itself());
    assert_eq!(came.load(Ordering::SeqCst), 0);
}

#[test]
fn a_symbol_that_is_spoilt_is_said_where_it_is_scanned() {
    let phone = Phone::new();
    let page = phone.page(PageOf::Scan { wanted: Wanted::Answer });
    let right = symbol_of("192.168.1.20:7464");
    let short = right.split('/').next().unwrap();
    for (text, words) in
        [(&short[..short.len() - 1], "not read whole"), ("HWC2:ABC/192.168.1.20:7464", "later")]
    {
        let reply = go(&page, Touch::Seen { texts: vec![text.to_owned()] });
        let said = reply.shown.trouble.expect(text).words;
        assert!(said.contains(words) && reply.follows.is_none(), "{said}");
    }
}

#[test]
fn a_meeting_says_how_far_it_is_and_is_stopped() {
    let (address, reached) = silent();
    let phone = Phone::new();
    let heard = Arc::new(Heard::default());
    let of = FormOf::Counters { symbol: Some(symbol_of(&address)) };
    let told = Some(heard.clone() as Arc<dyn ProgressListener>);
    let page = Page::new(phone.record.clone(), PageOf::Form { of }, told);
    let (send, done) = mpsc::channel();
    let under_way = page.clone();
    thread::spawn(move || send.send(go(&under_way, save())).unwrap());
    while reached.load(Ordering::SeqCst) == 0 {
        thread::yield_now();
    }
    // The record answers meanwhile.
    phone.hose();
    page.stop();
    let reply = done.recv().unwrap();
    let said = came(&reply.shown);
    assert!(said.contains("Stopped, as asked. Nothing is half done"), "{said}");
    assert_eq!(
        heard.0.lock().unwrap().first().map(String::as_str),
        Some("Waiting for the other side.")
    );
    // It was not let in, so it stays off.
    assert!(phone.said().contains("uses no network"));
}

#[test]
fn a_line_that_breaks_is_said_and_gone_on_with() {
    let (shop, phone) = (Desk::new(), Phone::new());
    shop.done("device found");
    let (page, door) = counter(&shop);
    let line = Line::to(&door);
    let text = at(&symbol(&page), &line.host);
    let hose = shop.hose();
    line.cut_after(3_000);
    let said = came(&phone.let_in(&text).shown);
    assert!(said.contains("broke off") || said.contains("can't be reached"), "{said}");
    line.cut_after(u64::MAX);
    let said = came(&phone.let_in(&at(&symbol(&page), &line.host)).shown);
    assert!(said.contains("Met the counter"), "{said}");
    assert!(phone.knows(&hose));
}

//! Pages as people touch them: quickly, twice, on a phone that is full, and on one that
//! nobody gave a name.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

use std::fs;

use super::*;
use crate::{ChoiceShown, FieldShown, FormOf, Obstacle, Place, Verdict, WayOn};

mod counted;
mod films;
mod flows;
mod kept;
mod met;
mod sets;

const TODAY: &str = "2026-06-15";

/// A phone with a record of its own.
struct Phone {
    folder: tempfile::TempDir,
    record: std::sync::Arc<PhoneRecord>,
}

/// What is written in a field.
fn write(field: &str, text: &str) -> Touch {
    Touch::Write { field: field.into(), text: text.into() }
}

fn tick(field: &str) -> Touch {
    Touch::Tick { field: field.into(), yes: true }
}

fn choose(field: &str, value: &str) -> Touch {
    Touch::Choose { field: field.into(), value: value.into(), yes: true }
}

fn save() -> Touch {
    Touch::Save { typed: Vec::new(), answer: None }
}

impl Phone {
    fn nameless() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
        let record = PhoneRecord::new(Place { store: path("record"), keys: path("keys") });
        Self { folder, record }
    }

    fn new() -> Self {
        let phone = Self::nameless();
        phone.record.rename("phone").unwrap();
        phone
    }

    fn path(&self, name: &str) -> String {
        self.folder.path().join(name).to_string_lossy().into_owned()
    }

    fn page(&self, of: PageOf) -> std::sync::Arc<Page> {
        Page::new(std::sync::Arc::clone(&self.record), of, None)
    }

    fn form(&self, of: FormOf) -> std::sync::Arc<Page> {
        self.page(PageOf::Form { of })
    }

    fn of_hose(&self, hose: &str, form: &str) -> std::sync::Arc<Page> {
        self.form(FormOf::Hose { hose: hose.into(), form: form.into() })
    }

    fn hose(&self) -> String {
        let page = self.form(FormOf::Register { tag: None });
        for touch in
            [choose("service", "gauge"), choose("construction", "rubber"), write("length", "80 cm")]
        {
            page.go(touch);
        }
        page.go(save()).shown.done.unwrap().answer.unwrap().code
    }

    fn history(&self, hose: &str) -> Vec<String> {
        let hose = self.page(PageOf::Hose { text: hose.into() }).go(Touch::Look).shown.hose;
        hose.unwrap().history.into_iter().map(|line| line.words.to_string()).collect()
    }

    /// Nothing that is half filled in can be kept, or it can again.
    fn drafts_blocked(&self, blocked: bool) {
        let (folder, away) = (self.path("record.drafts"), self.path("drafts-away"));
        if blocked {
            fs::rename(&folder, &away).unwrap();
            fs::write(&folder, "").unwrap();
        } else {
            fs::remove_file(&folder).unwrap();
            fs::rename(&away, &folder).unwrap();
        }
    }
}

impl Page {
    fn go(&self, touch: Touch) -> Reply {
        self.touch(touch, TODAY.to_owned())
    }
}

impl Shown {
    fn field(&self, name: &str) -> &FieldShown {
        let form = self.form.as_ref().unwrap();
        let all = form.groups.iter().flat_map(|group| {
            group.fields.iter().chain(group.fold.iter().flat_map(|fold| &fold.fields))
        });
        all.into_iter().find(|field| field.name == name).unwrap()
    }

    fn chosen(&self, name: &str) -> Vec<&str> {
        let chosen = |choice: &&ChoiceShown| choice.chosen;
        self.field(name).choices.iter().filter(chosen).map(|choice| &*choice.value).collect()
    }

    fn words(&self) -> String {
        self.trouble.as_ref().map(|trouble| trouble.words.to_string()).unwrap_or_default()
    }
}

/// A touch that comes before the page is drawn again means what it says: it takes
/// nothing back.
#[test]
fn touched_twice_is_touched() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "full-inspection");
    for touch in [tick("clear-end-a"), tick("clear-end-a"), choose("finding", "run:scuff")] {
        page.go(touch);
    }
    let shown = page.go(choose("finding", "run:scuff")).shown;
    assert_eq!(shown.field("clear-end-a").value, "yes");
    assert_eq!(shown.chosen("finding"), ["run:scuff"]);
    let back = Touch::Choose { field: "finding".into(), value: "run:scuff".into(), yes: false };
    page.go(back.clone());
    assert!(page.go(back).shown.chosen("finding").is_empty());
}

/// Each result of a leak test and each finding stands, however quickly they come.
#[test]
fn a_second_touch_takes_nothing_back() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "leak-test");
    page.go(Touch::Look);
    page.go(choose("result", "passed"));
    page.go(choose("result", "failed"));
    let shown = page.go(write("note", "bubbles")).shown;
    assert_eq!((shown.chosen("result"), &*shown.field("note").value), (vec!["failed"], "bubbles"));
    let page = phone.of_hose(&hose, "quick-look");
    page.go(choose("finding", "run:scuff"));
    let shown = page.go(choose("finding", "run:cut:cover")).shown;
    assert_eq!(shown.chosen("finding").len(), 2);
}

/// What the form refuses of a field is not left out of what is saved: it stands in the
/// field, with why, until it is put right.
#[test]
fn a_refused_note_is_not_dropped() {
    let phone = Phone::new();
    let hose = phone.hose();
    let before = phone.history(&hose).len();
    let page = phone.of_hose(&hose, "quick-look");
    let long = "x".repeat(5000);
    let typed = vec![Written { field: "note".into(), text: long.clone() }];
    let shown = page.go(Touch::Save { typed, answer: None }).shown;
    assert!(shown.words().contains("a note"), "{}", shown.words());
    assert_eq!(shown.field("note").value, long);
    assert!(shown.done.is_none());
    // A field that the form has not any more: that is said before anything is saved.
    let odd = vec![Written { field: "no-such".into(), text: "mine".into() }];
    assert!(page.go(Touch::Save { typed: odd, answer: None }).shown.done.is_none());
    assert_eq!(phone.history(&hose).len(), before);
    let page = phone.of_hose(&hose, "quick-look");
    let typed = vec![Written { field: "note".into(), text: "short".into() }];
    assert!(page.go(Touch::Save { typed, answer: None }).shown.done.is_some());
    assert!(phone.history(&hose)[0].contains("short"));
}

#[test]
fn a_button_that_is_touched_twice_saves_once() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "clean");
    page.go(save());
    let after = phone.history(&hose).len();
    let again = page.go(save());
    assert!(again.shown.done.is_some() && again.follows.is_none());
    assert_eq!(phone.history(&hose).len(), after);
}

/// Without a name everything can be looked at; before the first entry it is asked for,
/// and the entry is made with it.
#[test]
fn the_name_is_asked_before_the_first_entry() {
    let phone = Phone::nameless();
    assert!(phone.page(PageOf::Due).go(Touch::Look).shown.trouble.is_none());
    let page = phone.form(FormOf::Register { tag: None });
    for touch in
        [choose("service", "gauge"), choose("construction", "rubber"), write("length", "80 cm")]
    {
        page.go(touch);
    }
    let asked = page.go(save()).shown;
    assert!(asked.question.unwrap().field.is_some() && asked.done.is_none());
    // The button below is touched again: it is asked again.
    assert!(page.go(save()).shown.question.is_some());
    let none = page.go(Touch::Yes { text: "  ".into() }).shown;
    assert!(none.trouble.is_some() && none.question.is_some());
    let done = page.go(Touch::Yes { text: "Mo".into() }).shown;
    assert!(done.question.is_none() && done.trouble.is_none());
    let hose = done.done.unwrap().answer.unwrap().code;
    assert_eq!(phone.record.name(), "Mo");
    let shown = phone.page(PageOf::Hose { text: hose }).go(Touch::Look).shown.hose.unwrap();
    assert_eq!(&*shown.history[0].by, "Mo");
    // Said no, nothing is written, and the form is as it was.
    let other = Phone::nameless();
    let page = other.form(FormOf::Register { tag: None });
    page.go(choose("service", "gauge"));
    page.go(save());
    let shown = page.go(Touch::Dismiss).shown;
    assert!(shown.question.is_none() && shown.done.is_none());
    assert_eq!(shown.chosen("service"), ["gauge"]);
}

/// Of two changes that found no room, both are made when there is some, in their order.
#[test]
fn what_was_refused_is_tried_again_all_of_it() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "quick-look");
    page.go(write("note", "first"));
    phone.drafts_blocked(true);
    let refused = page.go(write("note", "second")).shown.trouble.unwrap();
    assert_eq!(refused.obstacle, Some(Obstacle::StoreReadOnly));
    let again = page.go(choose("finding", "run:scuff")).shown.trouble.unwrap();
    assert!(again.number > refused.number, "it is said again");
    assert!(again.ways_on.iter().any(|way| way.way == WayOn::TryAgain));
    phone.drafts_blocked(false);
    let shown = page.go(Touch::TryAgain).shown;
    assert!(shown.trouble.is_none());
    assert_eq!(
        (&*shown.field("note").value, shown.chosen("finding")),
        ("second", vec!["run:scuff"])
    );
    assert!(page.go(save()).shown.done.is_some());
    assert!(phone.history(&hose)[0].contains("second"));
}

/// What was typed before a chip or the camera was lost is not asked again in its place.
#[test]
fn a_lost_chip_and_a_lost_camera_are_begun_again() {
    let phone = Phone::new();
    let page = phone.page(PageOf::Scan { wanted: Wanted::Answer });
    let typed = page.go(Touch::Typed { text: "ZZZZZZ".into() });
    assert!(typed.shown.trouble.is_some());
    for (obstacle, follows) in
        [(Obstacle::ChipLost, Follows::Chip), (Obstacle::CameraBusy, Follows::Camera)]
    {
        let lost = page.go(Touch::Hindered { obstacle, detail: None });
        assert_eq!(lost.shown.trouble.unwrap().obstacle, Some(obstacle));
        let again = page.go(Touch::TryAgain);
        assert_eq!((again.follows, again.shown.trouble), (Some(follows), None));
    }
}

/// A page that asked for a hose gets one of the record, and nothing else ends its scan.
#[test]
fn a_scan_for_a_hose_passes_over_what_is_none() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.page(PageOf::Scan { wanted: Wanted::Hose });
    page.go(Touch::Look);
    for foreign in ["https://example.org", "HW1:7K2M9QXWZR4ND."] {
        let texts = vec![foreign.to_owned()];
        assert!(page.frame(texts.clone()), "{foreign}");
        let reply = page.go(Touch::Seen { texts: texts.clone() });
        assert_eq!(reply.follows, None, "{foreign}");
        assert!(reply.shown.trouble.is_some(), "{foreign}");
        assert!(!page.frame(texts), "it is said once");
    }
    let texts = vec![format!("HW1:{}.", hose.replace('-', ""))];
    assert!(page.frame(texts.clone()));
    let found = page.go(Touch::Seen { texts });
    assert_eq!(found.follows, Some(Follows::Found { text: hose.clone() }));
    // Whatever comes before the page is gone, it has its answer.
    assert!(!page.frame(vec!["another".to_owned()]));
}

/// Two tags in view: neither is taken, and both are there to choose from.
#[test]
fn of_two_tags_in_view_the_person_chooses() {
    let phone = Phone::new();
    let two = [phone.hose(), phone.hose()];
    let page = phone.page(PageOf::Scan { wanted: Wanted::Hose });
    let texts = two.iter().map(|hose| format!("HW1:{}.", hose.replace('-', ""))).collect();
    let reply = page.go(Touch::Seen { texts });
    assert_eq!(reply.follows, None);
    let near = reply.shown.trouble.unwrap().near;
    let mut codes: Vec<&str> = near.iter().map(|near| &*near.code).collect();
    codes.sort_unstable();
    let mut wanted: Vec<&str> = two.iter().map(|hose| &**hose).collect();
    wanted.sort_unstable();
    assert_eq!(codes, wanted);
    let chosen = page.go(Touch::Typed { text: two[1].clone() });
    assert_eq!(chosen.follows, Some(Follows::Found { text: two[1].clone() }));
}

/// A file says whose it is before anything of it is taken in.
#[test]
fn a_bundle_is_asked_about_first() {
    let other = Phone::new();
    let hose = other.hose();
    let file = other.path("other.hwbundle");
    let bundled = other.page(PageOf::Meeting).go(Touch::Bundle { path: file.clone() });
    assert_eq!(bundled.follows, Some(Follows::Share { path: file.clone() }));
    let phone = Phone::new();
    let look = || phone.page(PageOf::Hose { text: hose.clone() }).go(Touch::Look).shown.hose;
    let page = phone.page(PageOf::Meeting);
    let asked = page.go(Touch::TakeIn { path: file.clone() }).shown.question.unwrap();
    assert!(asked.words[0].contains("1 entry"), "{:?}", asked.words);
    assert!(asked.words[1].starts_with("Device "), "who wrote in it: {:?}", asked.words);
    assert!(look().is_none());
    assert!(page.go(Touch::Dismiss).shown.question.is_none());
    assert!(look().is_none() && fs::exists(&file).unwrap());
    page.go(Touch::TakeIn { path: file.clone() });
    let said = page.go(Touch::Yes { text: String::new() }).shown.said;
    assert!(said[0].contains("1 entry new"), "{said:?}");
    assert_eq!(look().unwrap().answer.verdict, Verdict::Hold);
    assert!(!fs::exists(&file).unwrap(), "the copy is of no more use");
}

/// What is asked and can be chosen is in words: no place and no finding is called as the
/// record calls it.
#[test]
fn no_code_of_the_record_is_shown() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "quick-look");
    page.go(choose("finding", "run:cut:cover"));
    page.go(save());
    let mut words = Vec::new();
    for form in ["full-inspection", "quick-look", "leak-test", "reseal", "details"] {
        let page = phone.of_hose(&hose, form);
        page.go(Touch::Look);
        let Some(form) = page.go(save()).shown.form else { continue };
        for group in &form.groups {
            words.extend(group.notes.iter().chain([&group.title]).map(ToString::to_string));
            for field in group.fields.iter().chain(group.fold.iter().flat_map(|fold| &fold.fields))
            {
                words.extend(field.choices.iter().map(|choice| choice.label.to_string()));
                words.extend(field.wrong.iter().chain([&field.label]).map(ToString::to_string));
            }
        }
    }
    let codes = ["run:", "end-a", "end-b", "seal-a", "seal-b", "cut:"];
    let coded: Vec<&String> =
        words.iter().filter(|words| codes.iter().any(|code| words.contains(code))).collect();
    assert!(words.len() > 60 && coded.is_empty(), "{coded:#?}");
}

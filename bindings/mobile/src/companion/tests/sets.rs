//! A set made, looked at by its tag, held and released, dived with and edited on a phone.

use super::*;
use crate::{Goes, SetShown};

impl Phone {
    fn shown_set(&self, name: &str) -> SetShown {
        self.page(PageOf::Set { name: name.into() }).go(Touch::Look).shown.set.unwrap()
    }

    fn of_set(&self, shown: &SetShown, words: &str) -> std::sync::Arc<Page> {
        let action = shown.actions.iter().find(|can| can.words == words);
        let Some(Goes::Form { of }) = action.map(|can| can.goes.clone()) else {
            panic!("{words}: {:?}", shown.actions)
        };
        let page = self.form(of);
        page.go(Touch::Look);
        page
    }
}

#[test]
fn a_set_is_made_held_released_and_edited() {
    let phone = Phone::new();
    let page = phone.form(FormOf::NewSet);
    assert_eq!(page.go(Touch::Look).shown.field("lp").value, "4", "as most are");
    assert!(page.go(save()).shown.trouble.is_some(), "it has no name");
    page.go(write("name", "Heron"));
    page.go(choose("use", "personal"));
    page.go(write("hp", "0"));
    page.go(write("lp", "3"));
    assert!(page.go(save()).shown.done.is_some());
    let shown = phone.shown_set("Heron");
    assert_eq!((shown.ports.len(), shown.answer.reasons.len()), (3, 0));
    let hold = phone.of_set(&shown, "Put the set on hold");
    assert_eq!(hold.go(Touch::Look).shown.form.unwrap().named.unwrap(), "Set Heron");
    assert!(hold.go(save()).shown.done.is_none(), "why?");
    hold.go(write("why", "free flow"));
    assert!(hold.go(save()).shown.done.is_some());
    let held = phone.shown_set("Heron");
    assert_eq!(held.answer.verdict, Verdict::Hold);
    assert!(held.answer.reasons[0].words.contains("free flow"), "{:?}", held.answer.reasons);
    let release = phone.of_set(&held, "Release the set");
    release.go(write("why", "serviced"));
    assert!(release.go(save()).shown.done.is_some());
    let free = phone.shown_set("Heron");
    assert!(free.answer.reasons.is_empty());
    let edit = phone.of_set(&free, "Edit the set");
    edit.go(write("name", "Tern"));
    assert!(edit.go(save()).shown.done.is_some());
    assert_eq!(phone.shown_set("Tern").title, "Set Tern");
}

/// A set's own tag leads to the set, and says what the tag alone says where it is not on
/// record.
#[test]
fn a_sets_tag_leads_to_the_set() {
    let phone = Phone::new();
    let page = phone.form(FormOf::NewSet);
    for touch in [write("name", "Heron"), choose("use", "personal"), write("lp", "2")] {
        page.go(touch);
    }
    page.go(save());
    let code = phone.shown_set("Heron").answer.code;
    let text = hosewright_core::tag::TagText::Set(code.parse().unwrap()).text();
    let scan = |phone: &Phone| {
        let page = phone.page(PageOf::Scan { wanted: Wanted::Answer });
        page.go(Touch::Look);
        let Some(Follows::Set { name }) = page.go(Touch::Typed { text: text.clone() }).follows
        else {
            panic!("it leads to the set")
        };
        phone.page(PageOf::Set { name }).go(Touch::Look).shown
    };
    assert_eq!(scan(&phone).set.unwrap().title, "Set Heron");
    let stranger = scan(&Phone::new());
    assert!(stranger.set.is_none() && stranger.trouble.is_none());
    let tag = stranger.set_tag.unwrap();
    assert!(!tag.on_record && tag.verdict >= Verdict::Watch, "it is never ready");
}

/// The best port is chosen as the set is; another can be.
#[test]
fn a_port_is_chosen_with_its_set() {
    let phone = Phone::new();
    let page = phone.form(FormOf::NewSet);
    for touch in [write("name", "Heron"), choose("use", "personal"), write("hp", "1")] {
        page.go(touch);
    }
    page.go(save());
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "place");
    let set = page.go(Touch::Look).shown.field("set").choices[0].value.clone();
    let shown = page.go(choose("set", &set)).shown;
    assert_eq!(shown.chosen("port"), ["HP1"]);
    let fit = shown.form.unwrap().answers[0].value.clone();
    assert!(page.go(Touch::Save { typed: Vec::new(), answer: Some(fit) }).shown.done.is_some());
}

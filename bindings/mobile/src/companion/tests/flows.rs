//! Hoses found and listed, placed, held and retired; entries withdrawn; what is set.

use super::*;
use crate::{Goes, HosesShown};

impl Phone {
    /// A hose with a number of its own.
    fn numbered(&self, number: &str) -> String {
        let page = self.form(FormOf::Register { tag: None });
        for touch in [
            choose("service", "second-stage"),
            choose("construction", "rubber"),
            write("length", "56 cm"),
            write("number", number),
        ] {
            page.go(touch);
        }
        page.go(save()).shown.done.unwrap().answer.unwrap().code
    }

    fn verdict(&self, hose: &str) -> Verdict {
        let page = self.page(PageOf::Hose { text: hose.into() });
        page.go(Touch::Look).shown.hose.unwrap().answer.verdict
    }

    /// A set with free ports, as the counter registers it.
    fn set(&self, name: &str, ports: &str) -> String {
        use hosewright_core::hose::Label;
        let book = self.record.book().unwrap();
        let name = Label::new("a name", name).unwrap();
        let ports = vec![ports.parse().unwrap()];
        let new = hosewright_core::NewSet::new(name, hosewright_core::policy::Use::Personal, ports);
        let now = self.record.moment(TODAY).core().unwrap();
        let set = book.core().assemble_new(new, None, &now).unwrap();
        set.to_string()
    }
}

impl Page {
    fn hoses(&self, touch: Touch) -> HosesShown {
        self.go(touch).shown.hoses.unwrap()
    }
}

impl HosesShown {
    fn codes(&self) -> Vec<&str> {
        self.hoses.iter().map(|hose| &*hose.code).collect()
    }

    fn chosen(&self) -> Vec<Option<Verdict>> {
        self.verdicts.iter().filter(|way| way.chosen).map(|way| way.verdict).collect()
    }
}

#[test]
fn hoses_are_listed_by_verdict_and_found_by_what_is_known_of_them() {
    let phone = Phone::new();
    let page = phone.page(PageOf::Hoses);
    let none = page.hoses(Touch::Look);
    assert_eq!((none.hoses.len(), none.more), (0, false));
    assert_eq!(none.words, "No such hose is on record.");
    let (one, two) = (phone.numbered("LP-17"), phone.numbered("LP-18"));
    let retire = phone.of_hose(&two, "retire");
    retire.go(write("why", "cut in half"));
    retire.go(save());
    retire.go(Touch::Yes { text: String::new() });
    let all = page.hoses(Touch::Look);
    assert_eq!((all.codes(), &*all.words), (vec![&*one, &*two], "2 hoses"));
    assert_eq!(all.chosen(), [None]);
    let ways: Vec<String> = all.verdicts.iter().map(|way| way.words.to_string()).collect();
    assert_eq!(ways, ["all 2", "ready 0", "watch 0", "hold 1", "retire 1"]);
    assert_eq!(&*all.hoses[0].name, "LP-17, second-stage, 56 cm");
    assert!(all.hoses[0].facts.ends_with(&format!(", in stock, {one}")), "{}", all.hoses[0].facts);
    // Where it is is said once.
    assert_eq!(all.hoses[1].facts.matches("out of service").count(), 1, "{}", all.hoses[1].facts);
    let held = page.hoses(Touch::OfVerdict { verdict: Some(Verdict::Hold) });
    assert_eq!((held.codes(), held.chosen()), (vec![&*one], vec![Some(Verdict::Hold)]));
    // It stays so when the page is looked at again, after one of them.
    assert_eq!(page.hoses(Touch::Look), held);
    let found = page.hoses(Touch::Find { text: " lp-18 ".into() });
    assert_eq!((found.codes()[0], &*found.typed), (&*two, "lp-18"));
    assert!(found.chosen().is_empty(), "what is typed is looked for among all");
    assert!(page.hoses(Touch::Find { text: "no such thing".into() }).hoses.is_empty());
    assert_eq!(page.hoses(Touch::Find { text: "  ".into() }).codes(), [&*one, &*two]);
}

#[test]
fn a_long_list_comes_in_parts() {
    let phone = Phone::new();
    for number in 0..31 {
        phone.numbered(&format!("S{number:02}"));
    }
    let page = phone.page(PageOf::Hoses);
    let first = page.hoses(Touch::Look);
    assert_eq!((first.hoses.len(), first.more, &*first.words), (30, true, "30 of 31 hoses"));
    for _ in 0..2 {
        // Touched twice, it is no more than that.
        let all = page.hoses(Touch::More { shown: 30 });
        assert_eq!((all.hoses.len(), all.more, &*all.words), (31, false, "31 hoses"));
    }
    let near = page.hoses(Touch::Find { text: "rubber".into() });
    assert_eq!((near.hoses.len(), near.more), (30, true));
    assert_eq!(page.hoses(Touch::More { shown: 30 }).hoses.len(), 31);
}

#[test]
fn a_hose_is_held_and_released_with_reasons() {
    let phone = Phone::new();
    let hose = phone.numbered("LP-17");
    let hold = phone.of_hose(&hose, "hold");
    assert!(hold.go(save()).shown.done.is_none(), "why?");
    hold.go(write("why", "the nut was loose"));
    assert!(hold.go(save()).shown.done.is_some());
    assert!(phone.history(&hose)[0].contains("the nut was loose"));
    let release = phone.of_hose(&hose, "release");
    let form = release.go(Touch::Look).shown.form.unwrap();
    assert!(form.lead[0].contains("the nut was loose"), "{:?}", form.lead);
    release.go(write("why", "tightened and tested"));
    assert!(release.go(save()).shown.done.is_some());
    let form = phone.of_hose(&hose, "release").go(Touch::Look).shown.form.unwrap();
    assert_eq!((form.lead.len(), &*form.submit), (1, ""), "it is not on hold");
}

/// For good: the hose is named once more, by its own number, before it is done.
#[test]
fn a_hose_is_retired_only_after_a_second_yes() {
    let phone = Phone::new();
    let hose = phone.numbered("LP-17");
    let page = phone.of_hose(&hose, "retire");
    page.go(write("why", "cut in half"));
    let asked = page.go(save()).shown;
    let question = asked.question.unwrap();
    assert!(asked.done.is_none() && question.field.is_none());
    assert!(question.words[0].starts_with("LP-17, "), "{:?}", question.words);
    assert!(question.words[1].contains(&hose) && question.words[1].contains("for good"));
    assert!(page.go(Touch::Dismiss).shown.question.is_none());
    assert_ne!(phone.verdict(&hose), Verdict::Retire);
    // The yes is to this saving, and not to the next.
    page.go(save());
    page.go(write("why", "another reason"));
    assert!(page.go(Touch::Yes { text: String::new() }).shown.done.is_none());
    assert!(page.go(save()).shown.question.is_some());
    let done = page.go(Touch::Yes { text: String::new() }).shown;
    assert!(done.done.is_some() && done.question.is_none());
    assert_eq!(phone.verdict(&hose), Verdict::Retire);
    // Neither a number nor the beginning of a code is enough.
    let other = phone.numbered("LP-18");
    for short in ["LP-18", &other[..9]] {
        let page = phone.of_hose(short, "retire");
        page.go(write("why", "worn"));
        let refused = page.go(save()).shown;
        assert!(refused.question.is_none() && refused.trouble.is_some(), "{short}");
    }
    assert_ne!(phone.verdict(&other), Verdict::Retire);
}

#[test]
fn dives_of_ones_own_are_recorded_and_very_many_are_asked_about() {
    let phone = Phone::new();
    let hose = phone.numbered("LP-17");
    let dives = |dives: &str| {
        let page = phone.of_hose(&hose, "dives");
        page.go(write("dives", dives));
        page.go(save());
        page
    };
    assert!(dives("3").go(Touch::Look).shown.done.is_some());
    let many = dives("400");
    assert!(many.go(Touch::Look).shown.done.is_none());
    let done = many.go(Touch::Yes { text: String::new() }).shown.done.unwrap();
    assert!(done.answer.unwrap().dives.contains("403"));
}

#[test]
fn a_hose_is_fitted_in_a_port_and_removed_to_stock() {
    let phone = Phone::new();
    let hose = phone.numbered("LP-17");
    let set = phone.set("Heron", "LP:3/8-24=2");
    let page = phone.of_hose(&hose, "place");
    let shown = page.go(Touch::Look).shown;
    assert_eq!(&*shown.field("set").choices[0].label, "Heron");
    assert!(shown.form.unwrap().answers.is_empty(), "no set yet");
    page.go(choose("set", &set));
    let shown = page.go(choose("port", "LP2")).shown;
    let fit = shown.form.unwrap().answers[0].clone();
    assert_eq!(&*fit.label, "Fit");
    let done = page.go(Touch::Save { typed: Vec::new(), answer: Some(fit.value) }).shown.done;
    let answer = done.unwrap().answer.unwrap();
    assert!(answer.place.contains("LP2"), "{}", answer.place);
    // From there it goes to stock, or is swapped.
    let leads = |goes: &Goes| answer.actions.iter().any(|can| can.goes == *goes);
    let place = FormOf::Hose { hose: hose.clone(), form: "place".into() };
    assert!(leads(&Goes::Replacement) && leads(&Goes::Form { of: place }));
    let page = phone.of_hose(&hose, "place");
    let answers = page.go(Touch::Look).shown.form.unwrap().answers;
    let stock = answers.last().unwrap();
    assert_eq!(&*stock.label, "Remove to stock");
    let answer = Some(stock.value.clone());
    let done = page.go(Touch::Save { typed: Vec::new(), answer }).shown.done.unwrap();
    assert_eq!(done.answer.unwrap().place, "in stock");
}

/// What is in stock and fits is there to choose from, the most alike first.
#[test]
fn a_swap_offers_what_is_in_stock() {
    let phone = Phone::new();
    let set = phone.set("Heron", "LP:3/8-24=2");
    let old = phone.numbered("LP-17");
    let page = phone.of_hose(&old, "place");
    page.go(Touch::Look);
    let fit = page.go(choose("set", &set)).shown.form.unwrap().answers[0].value.clone();
    page.go(Touch::Save { typed: Vec::new(), answer: Some(fit) }).shown.done.unwrap();
    let stock = |phone: &Phone| {
        let page = phone.page(PageOf::Stock { old: old.clone() });
        page.go(Touch::Look).shown.stock.unwrap()
    };
    let none = stock(&phone);
    assert!(none.hoses.is_empty() && !none.words.is_empty(), "{}", none.words);
    assert_eq!(none.named, &*format!("LP-17, {old}"));
    let spare = phone.numbered("LP-18");
    let full = phone.of_hose(&spare, "full-inspection");
    for place in ["run", "end-a", "end-b", "seal-a", "seal-b"] {
        full.go(tick(&format!("clear-{place}")));
    }
    full.go(save()).shown.done.unwrap();
    let some = stock(&phone);
    assert_eq!(some.hoses.iter().map(|hose| &*hose.code).collect::<Vec<_>>(), [&*spare]);
    assert!(some.hoses[0].name.starts_with("LP-18, ") && some.words.is_empty());
    assert!(!some.cautions.is_empty());
}

/// A tag prints as wide as it says: as a page of its own size.
#[test]
fn a_tag_is_drawn_as_a_page_to_print() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.page(PageOf::Hose { text: hose.clone() });
    page.go(Touch::Look);
    let format = crate::PictureFormat::Pdf;
    let drawn =
        page.go(Touch::DrawTag { format, size: "20mm".into(), dpi: 300 }).shown.tag.unwrap();
    assert!(drawn.bytes.starts_with(b"%PDF-"));
    assert_eq!(drawn.file, format!("{hose}.pdf"));
    // 20 mm are 56.7 points (an inch is 25.4 mm and 72 points: ISO 32000-1, 8.3.2.3); a
    // module is a whole number of the printer's dots, so it may be a little less.
    let text = String::from_utf8_lossy(&drawn.bytes).into_owned();
    let page = text.split_once("/MediaBox").unwrap().1.split(['[', ']']).nth(1).unwrap();
    let wide: f64 = page.split_whitespace().nth(2).unwrap().parse().unwrap();
    assert!((48.0..56.8).contains(&wide), "{wide}");
}

#[test]
fn what_was_written_is_withdrawn_with_a_reason() {
    let phone = Phone::new();
    let hose = phone.hose();
    phone.of_hose(&hose, "clean").go(save());
    let lines = || {
        let page = phone.page(PageOf::Hose { text: hose.clone() });
        page.go(Touch::Look).shown.hose.unwrap().history
    };
    let Goes::Form { of } = lines()[0].withdraw.clone().unwrap().goes else { panic!("a form") };
    let page = phone.form(of.clone());
    let form = page.go(Touch::Look).shown.form.unwrap();
    assert!(form.lead.iter().any(|line| line.contains("soaked, cleaned")), "{:?}", form.lead);
    assert_eq!(form.code.as_deref(), Some(&*hose));
    assert_eq!(page.go(save()).shown.trouble.unwrap().field.as_deref(), Some("why"));
    page.go(write("why", "it was another hose"));
    let done = page.go(save()).shown;
    assert!(done.question.is_none() && done.done.unwrap().words.contains("Withdrawn"));
    // Both stand in the history, and neither is withdrawn that way again.
    let lines = lines();
    let cleaned = lines.iter().find(|line| line.words.contains("soaked")).unwrap();
    assert!(cleaned.withdraw.is_none() && cleaned.words.contains("it was another hose"));
    let again = phone.form(of);
    again.go(write("why", "again"));
    again.go(save());
    // The registration itself: the hose is known no more by this record.
    let Goes::Form { of } = lines.last().unwrap().withdraw.clone().unwrap().goes else {
        panic!("a form")
    };
    let page = phone.form(of);
    page.go(write("why", "registered twice"));
    assert!(page.go(save()).shown.done.is_some());
}

#[test]
fn the_name_and_the_voice_are_set() {
    let phone = Phone::nameless();
    let hose = {
        let other = Phone::new();
        other.hose()
    };
    let aloud = || {
        let page = phone.page(PageOf::Hose { text: format!("HW1:{}.", hose.replace('-', "")) });
        page.go(Touch::Look).shown.hose.unwrap().aloud
    };
    assert!(aloud());
    let page = phone.form(FormOf::Settings);
    let shown = page.go(Touch::Look).shown;
    assert_eq!((&*shown.field("name").value, &*shown.field("aloud").value), ("", "yes"));
    // Nobody is asked who writes: that is what is set here.
    assert_eq!(page.go(save()).shown.trouble.unwrap().field.as_deref(), Some("name"));
    page.go(write("name", "Mo"));
    page.go(Touch::Tick { field: "aloud".into(), yes: false });
    assert_eq!(phone.record.name(), "", "nothing is set before it is saved");
    assert!(page.go(save()).shown.done.is_some());
    assert_eq!((phone.record.name().as_str(), aloud()), ("Mo", false));
    let again = phone.form(FormOf::Settings).go(Touch::Look).shown;
    assert_eq!((&*again.field("name").value, &*again.field("aloud").value), ("Mo", ""));
}

/// It needs no record and no network, and says every verdict and every finding.
#[test]
fn help_says_what_verdicts_mean_and_what_findings_lead_to_them() {
    let phone = Phone::nameless();
    let about = phone.form(FormOf::Settings).go(Touch::Look).shown.form.unwrap();
    assert!(about.cautions.is_empty(), "the settings are about no hose");
    let page = phone.form(FormOf::Help);
    let form = page.go(Touch::Look).shown.form.unwrap();
    let words: Vec<String> =
        form.groups.iter().flat_map(|group| &group.notes).map(ToString::to_string).collect();
    for row in hosewright_core::inspection::FINDINGS {
        let seen = hosewright_core::words::sentence(row.seen);
        let seen = seen.trim_end_matches('.');
        assert!(words.iter().any(|line| line.starts_with(seen)), "{seen}");
    }
    for verdict in crate::verdict_signs() {
        assert!(form.groups.iter().any(|group| group.title.contains(&*verdict.meaning)));
    }
    assert!(words.iter().any(|line| line == "Go nearer."));
    assert_eq!((&*form.submit, form.answers.len()), ("", 0));
    assert!(page.go(save()).shown.done.is_none());
}

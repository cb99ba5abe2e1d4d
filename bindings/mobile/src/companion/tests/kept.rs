//! Photos of what was found, what nobody else has yet, what is due, and tags to print.

use super::*;
use crate::{Goes, PictureFormat, PlaceAnswer, ReminderShown, SharingShown};

const RUN: &str = "photo-run";

/// What a person sees at a place of an inspection.
fn place(shown: &Shown) -> crate::PlaceShown {
    shown.form.as_ref().and_then(|form| form.place.clone()).unwrap()
}

fn photo(field: &str, path: &str) -> Touch {
    Touch::Photograph { field: field.into(), path: Some(path.into()) }
}

impl Phone {
    /// A picture in a file of the app's own, as a camera leaves it there.
    fn picture(&self, hose: &str, name: &str) -> String {
        let page = self.page(PageOf::Hose { text: hose.into() });
        let drawn = Touch::DrawTag { format: PictureFormat::Png, size: "20mm".into(), dpi: 300 };
        let path = self.path(name);
        fs::write(&path, page.go(drawn).shown.tag.unwrap().bytes).unwrap();
        path
    }

    /// How many photos lie beside what is half filled in.
    fn kept_photos(&self) -> usize {
        let files = fs::read_dir(self.path("record.drafts")).unwrap().map(|file| file.unwrap());
        files.filter(|file| file.path().extension().is_some_and(|it| it == "jpg")).count()
    }

    fn photographs(&self, hose: &str) -> Vec<crate::Photograph> {
        let page = self.page(PageOf::Hose { text: hose.into() });
        page.go(Touch::Look).shown.hose.unwrap().photographs
    }

    fn first_page(&self, today: &str) -> Shown {
        self.page(PageOf::Scan { wanted: Wanted::Answer }).touch(Touch::Look, today.into()).shown
    }

    fn reminder(&self, today: &str) -> Option<ReminderShown> {
        self.first_page(today).reminding.unwrap().next
    }

    fn meeting(&self) -> SharingShown {
        self.page(PageOf::Meeting).go(Touch::Look).shown.sharing.unwrap()
    }

    /// Hands the whole record over to another phone.
    fn hands_over(&self, to: &Self) {
        let file = self.path("record.hwbundle");
        self.page(PageOf::Meeting).go(Touch::Bundle { path: file.clone() });
        let page = to.page(PageOf::Meeting);
        page.go(Touch::TakeIn { path: file });
        let shown = page.go(Touch::Yes { text: String::new() }).shown;
        assert!(shown.trouble.is_none(), "{}", shown.words());
    }
}

/// It is kept as the record keeps it, outlives the phone, and goes with what was found.
#[test]
fn a_photo_of_a_finding_goes_into_the_record() {
    let phone = Phone::new();
    let hose = phone.hose();
    let taken = phone.picture(&hose, "taken.png");
    let page = phone.of_hose(&hose, "quick-look");
    // It is asked for where something was found, and nowhere else.
    let photos = |shown: &Shown| {
        let fields = shown.form.as_ref().unwrap().fields();
        let photos = fields.filter(|field| field.kind == crate::FieldKind::Photo);
        photos.map(|field| field.name.clone()).collect::<Vec<_>>()
    };
    assert!(photos(&page.go(Touch::Look).shown).is_empty());
    assert_eq!(photos(&page.go(choose("finding", "run:cut:cover")).shown), [RUN]);
    let shown = page.go(photo(RUN, &taken)).shown;
    assert!(shown.trouble.is_none(), "{}", shown.words());
    assert!(!fs::exists(&taken).unwrap(), "the copy is of no more use");
    let there = shown.field(RUN).value.clone();
    assert!(fs::read(&there).unwrap().starts_with(&[0xFF, 0xD8]), "as the record keeps it");
    // The phone stops, and goes on.
    let page = phone.of_hose(&hose, "quick-look");
    assert_eq!(page.go(Touch::Look).shown.field(RUN).value, there);
    assert!(page.go(save()).shown.done.is_some());
    let kept = phone.photographs(&hose);
    assert_eq!((kept.len(), &*kept[0].by), (1, "phone"));
    assert!(kept[0].jpeg.starts_with(&[0xFF, 0xD8]) && kept[0].jpeg.len() <= 64 * 1024);
    assert_eq!(phone.kept_photos(), 0, "the record has it now");
}

#[test]
fn a_photo_is_taken_again_and_left_out() {
    let phone = Phone::new();
    let (one, two) = (phone.hose(), phone.hose());
    let page = phone.of_hose(&one, "quick-look");
    page.go(choose("finding", "run:scuff"));
    let first = page.go(photo(RUN, &phone.picture(&one, "1.png"))).shown.field(RUN).value.clone();
    let second = page.go(photo(RUN, &phone.picture(&two, "2.png"))).shown.field(RUN).value.clone();
    assert_ne!(first, second);
    assert_eq!(phone.kept_photos(), 1);
    // That of another hose's form stays.
    phone.of_hose(&two, "quick-look").go(photo(RUN, &phone.picture(&two, "3.png")));
    let out = Touch::Photograph { field: RUN.into(), path: None };
    assert_eq!(page.go(out).shown.field(RUN).value, "");
    assert_eq!(phone.kept_photos(), 1);
    page.go(photo(RUN, &phone.picture(&one, "4.png")));
    page.go(Touch::StartAgain);
    assert_eq!(phone.kept_photos(), 1);
    page.go(choose("finding", "run:scuff"));
    assert_eq!(page.go(Touch::Look).shown.field(RUN).value, "");
    page.go(save());
    assert!(phone.photographs(&one).is_empty());
}

/// What is no picture is said at its field, a field that takes none takes none, and a phone
/// that is full keeps the picture for another try.
#[test]
fn a_photo_that_cannot_be_kept_is_said_where_it_was_taken() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "quick-look");
    page.go(write("note", "first"));
    page.go(choose("finding", "run:scuff"));
    let note = phone.path("note.txt");
    fs::write(&note, "no picture").unwrap();
    let shown = page.go(photo(RUN, &note)).shown;
    assert_eq!(shown.trouble.as_ref().unwrap().field.as_deref(), Some(RUN));
    assert_eq!(shown.field(RUN).value, "");
    assert!(page.go(photo(RUN, &phone.path("gone.png"))).shown.trouble.is_some());
    let elsewhere = page.go(photo("note", &phone.picture(&hose, "1.png"))).shown;
    assert!(elsewhere.trouble.is_some());
    assert_eq!(page.go(Touch::Look).shown.field("note").value, "first");
    page.go(Touch::Dismiss);
    let taken = phone.picture(&hose, "2.png");
    phone.drafts_blocked(true);
    let full = page.go(photo(RUN, &taken)).shown.trouble.unwrap();
    assert_eq!(full.obstacle, Some(Obstacle::StoreReadOnly));
    phone.drafts_blocked(false);
    let again = page.go(Touch::TryAgain).shown;
    assert!(again.trouble.is_none() && !again.field(RUN).value.is_empty(), "{}", again.words());
}

/// At its place of a full inspection it is shown, and where the places are listed it is said.
#[test]
fn a_photo_stands_at_its_place() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "full-inspection");
    let first = place(&page.go(Touch::Look).shown);
    let something = Touch::Place { place: first.place, answer: PlaceAnswer::Something };
    let open = place(&page.go(something).shown);
    let mut fields = open.groups.iter().flat_map(|group| &group.fields);
    let found = fields.find(|field| field.name == "finding").unwrap().choices[0].value.clone();
    let open = place(&page.go(choose("finding", &found)).shown);
    let mut fields = open.groups.iter().flat_map(|group| &group.fields);
    let field = fields.find(|field| field.kind == crate::FieldKind::Photo).unwrap().name.clone();
    page.go(photo(&field, &phone.picture(&hose, "1.png")));
    // What was found is taken back: the photo stays, and answers nothing by itself.
    page.go(Touch::Choose { field: "finding".into(), value: found, yes: false });
    let still = place(&page.go(Touch::Look).shown);
    assert_eq!(still.words, first.words);
    let has = |shown: &crate::PlaceShown| {
        let mut fields = shown.groups.iter().flat_map(|group| &group.fields);
        fields.any(|known| known.name == field && !known.value.is_empty())
    };
    assert!(has(&still));
    let mut shown = page.go(Touch::Look).shown;
    while shown.form.as_ref().unwrap().place.is_some() {
        let answer = PlaceAnswer::Nothing;
        shown = page.go(Touch::Place { place: place(&shown).place, answer }).shown;
    }
    let places = &shown.form.as_ref().unwrap().places;
    assert_eq!(&*places[0].words, "Nothing found, with a photo");
    assert!(places[1..].iter().all(|place| place.words == "Nothing found"), "{places:?}");
    assert!(page.go(save()).shown.done.is_some());
    assert_eq!(phone.photographs(&hose).len(), 1);
}

/// A return has a photo of each place of each hose, and it goes to that hose.
#[test]
fn a_return_takes_photos_of_what_was_found() {
    let super::counted::Rental { phone, set, hoses } = Phone::rental();
    let out = phone.form(FormOf::HandOut { set: set.clone() });
    for hose in &hoses {
        out.go(Touch::Scanned { field: "scanned".into(), text: hose.clone() });
    }
    out.go(write("ticket", "4711"));
    assert!(out.go(save()).shown.done.is_some());
    let back = phone.form(FormOf::TakeBack { set });
    let field = format!("{}|photo-run", hoses[1]);
    back.go(choose(&format!("{}|finding", hoses[1]), "run:scuff"));
    let shown = back.go(photo(&field, &phone.picture(&hoses[1], "1.png"))).shown;
    assert!(!shown.field(&field).value.is_empty(), "{}", shown.words());
    for hose in &hoses {
        back.go(choose(&format!("{hose}|at"), "here"));
    }
    back.go(write("dives", "2"));
    let form = back.go(Touch::Look).shown.form.unwrap();
    let answer = form.answers.first().map(|answer| answer.value.clone());
    let done = back.go(Touch::Save { typed: Vec::new(), answer }).shown;
    assert!(done.done.is_some(), "{}", done.words());
    assert_eq!(phone.photographs(&hoses[1]).len(), 1);
    assert!(phone.photographs(&hoses[2]).is_empty());
}

/// A phone that was heard of by nobody can't know; one that was says how much is here alone,
/// and warns once a day was closed over it.
#[test]
fn what_nobody_else_has_yet_is_said() {
    let (here, other) = (Phone::new(), Phone::new());
    other.hose();
    here.hose();
    assert_eq!(here.first_page(TODAY).sharing, None);
    assert!(here.meeting().words[0].contains("No other device was heard of"));
    other.hands_over(&here);
    let closing = here.first_page(TODAY).sharing.unwrap();
    assert_eq!((closing.alone, closing.warn, &*closing.title), (1, false, "Before you close"));
    assert!(closing.words[0].contains("1 entry is on this device alone"), "{:?}", closing.words);
    let next = here.first_page("2026-06-16").sharing.unwrap();
    assert!(next.warn && next.words[1].contains("A day was closed since"), "{:?}", next.words);
    assert_eq!(here.meeting().others.len(), 1);
    // Once the other has it and says so, nothing is left to be said.
    here.hands_over(&other);
    other.hands_over(&here);
    assert_eq!(here.first_page("2026-06-16").sharing, None);
    assert!(here.meeting().words[0].contains("on another device too"), "{:?}", here.meeting());
    // Where the record is damaged, the page to save it still opens.
    here.record.let_go();
    fs::write(here.path("record"), "no record at all ".repeat(400)).unwrap();
    let page = here.page(PageOf::Meeting).go(Touch::Look).shown;
    assert!(page.trouble.is_none() && page.sharing.is_none());
}

/// Off until somebody switches it on; then the first page says what is to be set, and nothing
/// where nothing is.
#[test]
fn what_is_due_is_reminded_of_only_where_somebody_asked() {
    let super::counted::Rental { phone, hoses, .. } = Phone::rental();
    assert_eq!(phone.reminder(TODAY), None);
    let page = phone.form(FormOf::Settings);
    assert_eq!(page.go(Touch::Look).shown.field("reminds").value, "");
    assert_eq!(page.go(tick("reminds")).follows, Some(Follows::AskToRemind));
    let refused = Touch::Hindered { obstacle: Obstacle::RemindersRefused, detail: None };
    let refused = page.go(refused).shown;
    assert_eq!(refused.trouble.as_ref().unwrap().obstacle, Some(Obstacle::RemindersRefused));
    assert_eq!(refused.field("reminds").value, "", "it is not on where it can't be");
    page.go(tick("reminds"));
    assert!(page.go(save()).shown.done.is_some());
    let due = phone.page(PageOf::Due);
    let rows = due.go(Touch::Within { time: Some("1y".into()) }).shown.due.unwrap().rows;
    let first = rows.iter().find(|row| row.on.as_str() > TODAY).unwrap();
    let ReminderShown { on, hour, words, .. } = phone.reminder(TODAY).unwrap();
    assert!(on.as_str() > TODAY && on <= first.on && hour < 12, "{on} {}", first.on);
    let number = hoses.iter().position(|hose| *hose == first.code).unwrap();
    assert!(words.starts_with(&format!("N-{number}: ")), "{words}");
    // On that day it was said; the next is another.
    let after = phone.reminder(&on).unwrap();
    assert!(after.on > on, "{after:?}");
    page.go(Touch::Look);
    let off = phone.form(FormOf::Settings);
    assert_eq!(off.go(Touch::Tick { field: "reminds".into(), yes: false }).follows, None);
    off.go(save());
    assert_eq!(phone.reminder(TODAY), None);
}

/// Tags come as a file, whose size is put right where it does not fit; nothing is written,
/// and nobody is asked who writes.
#[test]
fn tags_are_made_to_print() {
    let super::counted::Rental { phone, set, hoses } = Phone::rental();
    let written = phone.history(&hoses[0]).len();
    fs::remove_dir_all(phone.path("record.drafts")).unwrap();
    let page = phone.form(FormOf::Tags { set: Some(set.clone()) });
    let shown = page.go(Touch::Look).shown;
    assert_eq!(
        (&*shown.form.as_ref().unwrap().lead[0], shown.chosen("form")),
        ("Set R3", vec!["a4"])
    );
    page.go(write("size", "1 mm"));
    assert_eq!(page.go(save()).shown.trouble.unwrap().field.as_deref(), Some("size"));
    page.go(write("size", "20 mm"));
    page.go(choose("form", "70x37"));
    let done = page.go(save()).shown.done.unwrap();
    // The set's own, and five hoses.
    assert!(done.words.starts_with("6 tags, 1 page."), "{}", done.words);
    let made = done.made.unwrap();
    assert!(made.bytes.starts_with(b"%PDF-") && made.file == "tags.pdf");
    let all = phone.form(FormOf::Tags { set: None });
    assert!(all.go(save()).shown.done.unwrap().words.starts_with("6 tags"));
    let none = Phone::new().form(FormOf::Tags { set: None }).go(save()).shown;
    assert!(none.done.is_none() && !none.words().is_empty());
    assert_eq!(phone.history(&hoses[0]).len(), written);
}

/// A set's tag is lost: it gets another, after a yes; the one before leads there no more.
#[test]
fn a_set_gets_a_new_tag() {
    let super::counted::Rental { phone, set, .. } = Phone::rental();
    let look = || phone.page(PageOf::Set { name: set.clone() }).go(Touch::Look).shown.set.unwrap();
    let before = look();
    let of = before.actions.iter().find_map(|can| match &can.goes {
        Goes::Form { of: of @ FormOf::Set { form, .. } } if form == "new-tag" => Some(of.clone()),
        _ => None,
    });
    let page = phone.form(of.unwrap());
    let form = page.go(Touch::Look).shown.form.unwrap();
    assert!(form.lead[0].contains(&before.answer.code), "{:?}", form.lead);
    assert!(page.go(save()).shown.question.is_some(), "whoever scans the old one is told hold");
    let done = page.go(Touch::Yes { text: String::new() }).shown.done.unwrap();
    let after = look().answer.code;
    assert_ne!(after, before.answer.code);
    assert!(done.words.contains(&after), "{}", done.words);
    // One that was printed blank is scanned.
    let code = "1CSH-FY3A-172R-3".parse().unwrap();
    let blank = hosewright_core::tag::Payload { code, passport: None };
    let page = phone.form(FormOf::Set { set: set.clone(), form: "new-tag".into() });
    page.go(Touch::Scanned { field: "tag".into(), text: blank.text() });
    page.go(save());
    assert!(page.go(Touch::Yes { text: String::new() }).shown.done.is_some());
    assert_eq!(look().answer.code, blank.code.to_string());
}

/// A swap asks one step at a time, and says in a line what is done.
#[test]
fn a_swap_asks_only_what_is_next() {
    let super::counted::Rental { phone, hoses, .. } = Phone::rental();
    let new = phone.fitted_nowhere();
    let page = phone.form(FormOf::Swap { old: hoses[1].clone(), new });
    let form = page.go(Touch::Look).shown.form.unwrap();
    assert!(form.lead[0].starts_with("Step 1 of ") && form.lines.is_empty(), "{:?}", form.lead);
    assert!(form.lead.iter().all(|line| !line.contains("done")), "{:?}", form.lead);
    let todo = form.groups[0].title.trim_end_matches('.').to_owned();
    let answer = Some(form.answers[0].value.clone());
    let form = page.go(Touch::Save { typed: Vec::new(), answer }).shown.form.unwrap();
    assert!(form.lead[0].starts_with("Step 2 of ") && form.lines.is_empty());
    assert!(
        form.lead[1].starts_with("1 step is done.") && form.lead[1].contains(&todo),
        "{:?}",
        form.lead
    );
}

/// Whatever was drawn when the second was touched, both findings of a return stand.
#[test]
fn a_second_finding_of_a_return_keeps_the_first() {
    let super::counted::Rental { phone, set, hoses } = Phone::rental();
    let out = phone.form(FormOf::HandOut { set: set.clone() });
    for hose in &hoses {
        out.go(Touch::Scanned { field: "scanned".into(), text: hose.clone() });
    }
    out.go(write("ticket", "4711"));
    out.go(save()).shown.done.unwrap();
    let back = phone.form(FormOf::TakeBack { set });
    back.go(Touch::Look);
    let field = format!("{}|finding", hoses[0]);
    for found in ["run:scuff", "run:cut:cover"] {
        back.go(choose(&field, found));
    }
    let shown = back.go(Touch::Look).shown;
    let fields = shown.form.as_ref().unwrap().fields().filter(|known| known.name == field);
    let chosen = fields.flat_map(|known| &known.choices).filter(|choice| choice.chosen);
    let mut chosen: Vec<&str> = chosen.map(|choice| &*choice.value).collect();
    chosen.sort_unstable();
    assert_eq!(chosen, ["run:cut:cover", "run:scuff"]);
}

/// An emptied name is refused, and the one before stays: nothing stops answering.
#[test]
fn an_emptied_name_stops_no_question() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.form(FormOf::Settings);
    page.go(write("name", "   "));
    assert_eq!(page.go(save()).shown.trouble.unwrap().field.as_deref(), Some("name"));
    assert_eq!(phone.record.name(), "phone");
    for of in [PageOf::Hose { text: hose }, PageOf::Hoses, PageOf::Due, PageOf::Sets] {
        assert!(phone.page(of.clone()).go(Touch::Look).shown.trouble.is_none(), "{of:?}");
    }
}

#[test]
fn the_units_that_were_chosen_are_shown_with_what_was_written() {
    let phone = Phone::new();
    let hose = phone.hose();
    let words = || {
        let shown = phone.page(PageOf::Hose { text: hose.clone() }).go(Touch::Look).shown;
        shown.hose.unwrap().answer.hose.to_string()
    };
    assert!(words().contains(", 80 cm,"), "{}", words());
    let settings = phone.form(FormOf::Settings);
    assert_eq!(settings.go(Touch::Look).shown.chosen("units"), ["as-written"]);
    settings.go(choose("units", "us"));
    assert!(settings.go(save()).shown.done.is_some());
    assert!(words().contains(", 31.5 in (80 cm as written),"), "{}", words());
    let hoses = phone.page(PageOf::Hoses).go(Touch::Look).shown.hoses.unwrap();
    assert!(hoses.hoses[0].name.contains("31.5 in (80 cm as written)"), "{:?}", hoses.hoses);
    // What is edited is what was written; and the choice outlives the phone.
    phone.record.let_go();
    assert_eq!(
        phone.of_hose(&hose, "details").go(Touch::Look).shown.field("length").value,
        "80 cm"
    );
    assert!(words().contains("31.5 in"), "{}", words());
    let settings = phone.form(FormOf::Settings);
    settings.go(choose("units", "as-written"));
    settings.go(save());
    assert!(words().contains(", 80 cm,"), "{}", words());
}

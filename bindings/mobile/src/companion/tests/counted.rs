//! What a crew does most, with its touches counted.

use super::*;
use crate::{PlaceAnswer, PlaceShown, TicksShown, WayIn};

/// A set of five hoses that nothing is known against, with a number each.
pub(super) struct Rental {
    pub(super) phone: Phone,
    pub(super) set: String,
    pub(super) hoses: Vec<String>,
}

impl Phone {
    pub(super) fn rental() -> Rental {
        use hosewright_core::hose::Label;
        use hosewright_core::policy::Use;
        let phone = Self::new();
        let ports = ["HP:7/16-20=1", "LP:3/8-24=4"].map(|port| port.parse().unwrap()).into();
        let new =
            hosewright_core::NewSet::new(Label::new("a name", "R3").unwrap(), Use::Rental, ports);
        let now = phone.record.moment(TODAY).core().unwrap();
        let set = phone.record.book().unwrap().core().assemble_new(new, None, &now).unwrap();
        let set = set.to_string();
        let port = |at: u32| if at == 0 { "HP1".to_owned() } else { format!("LP{at}") };
        let hoses = (0..5).map(|at| phone.fitted(&set, &port(at), at)).collect();
        Rental { phone, set, hoses }
    }

    fn fitted(&self, set: &str, port: &str, at: u32) -> String {
        let page = self.form(FormOf::Register { tag: None });
        let service = if at == 0 { "gauge" } else { "second-stage" };
        for touch in [
            choose("service", service),
            choose("construction", "rubber"),
            write("length", "56 cm"),
            write("made", "2025-01"),
            write("number", &format!("N-{at}")),
        ] {
            page.go(touch);
        }
        let code = page.go(save()).shown.done.unwrap().answer.unwrap().code;
        self.inspected(&code);
        let page = self.of_hose(&code, "place");
        page.go(Touch::Look);
        page.go(choose("set", set));
        let fit = page.go(choose("port", port)).shown.form.unwrap().answers[0].value.clone();
        page.go(Touch::Save { typed: Vec::new(), answer: Some(fit) }).shown.done.unwrap();
        let page = self.of_hose(&code, "leak-test");
        page.go(choose("result", "passed"));
        page.go(write("pressure", "200 bar"));
        page.go(save()).shown.done.unwrap();
        code
    }

    /// A full inspection without findings; how many touches it took after it opened.
    fn inspected(&self, hose: &str) -> usize {
        let page = self.of_hose(hose, "full-inspection");
        let mut shown = page.go(Touch::Look).shown;
        let mut touches = 0;
        while let Some(place) = shown.place() {
            shown = page.go(place.press(PlaceAnswer::Nothing)).shown;
            touches += 1;
        }
        let form = shown.form.clone().unwrap();
        assert_eq!(&*form.submit, "Save");
        assert!(form.named.unwrap().contains(hose), "it is named once more");
        assert!(
            form.places.iter().all(|place| place.words == "Nothing found"),
            "{:?}",
            form.places
        );
        page.go(save()).shown.done.unwrap();
        touches + 1
    }
}

impl Shown {
    fn place(&self) -> Option<PlaceShown> {
        self.form.as_ref().and_then(|form| form.place.clone())
    }

    fn ticking(&self) -> &TicksShown {
        self.ticks.as_ref().unwrap()
    }
}

impl PlaceShown {
    /// The button with this answer is pressed; it is there.
    fn press(&self, answer: PlaceAnswer) -> Touch {
        assert!(self.has(answer), "{:?}", self.buttons);
        Touch::Place { place: self.place, answer }
    }

    fn has(&self, answer: PlaceAnswer) -> bool {
        self.buttons.iter().any(|button| button.answer == answer)
    }
}

fn tag(code: &str) -> Vec<String> {
    vec![format!("HW1:{}.", code.replace('-', ""))]
}

/// The answer comes with the scan: nothing is touched.
#[test]
fn a_scan_is_answered_without_a_touch() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.page(PageOf::Scan { wanted: Wanted::Answer });
    page.go(Touch::Look);
    assert!(page.frame(tag(&hose)));
    let follows = page.go(Touch::Seen { texts: tag(&hose) }).follows;
    assert!(matches!(follows, Some(Follows::Hose { .. })), "{follows:?}");
}

/// One touch a place, and the saving: six at most, whatever the hose has.
#[test]
fn a_full_inspection_without_findings_takes_six_touches() {
    let phone = Phone::new();
    for protector in [false, true] {
        let page = phone.form(FormOf::Register { tag: None });
        for touch in [
            choose("service", "inflator"),
            choose("construction", "braided"),
            write("length", "60 cm"),
            Touch::Tick { field: "protector".into(), yes: protector },
        ] {
            page.go(touch);
        }
        let code = page.go(save()).shown.done.unwrap().answer.unwrap().code;
        let touches = phone.inspected(&code);
        assert!(touches <= 6, "{touches}");
    }
}

/// What a place can have is shown when it is asked for; a second touch on a button that is
/// gone answers no other place; and a place is gone back to.
#[test]
fn a_place_is_answered_by_what_was_found_there() {
    let phone = Phone::new();
    let hose = phone.hose();
    let page = phone.of_hose(&hose, "full-inspection");
    let first = page.go(Touch::Look).shown.place().unwrap();
    assert_eq!(&*first.words, "Place 1 of 5");
    assert!(first.groups.iter().all(|group| group.fields.is_empty()), "{:?}", first.groups);
    assert!(!first.has(PlaceAnswer::Before) && !first.has(PlaceAnswer::Next));
    let nothing = first.press(PlaceAnswer::Nothing);
    page.go(nothing.clone());
    let second = page.go(nothing).shown.place().unwrap();
    assert_eq!(&*second.words, "Place 2 of 5", "touched twice, it is one place");
    let open = page.go(second.press(PlaceAnswer::Something)).shown.place().unwrap();
    assert!(open.groups[0].fields.iter().any(|field| field.name == "finding"));
    assert!(!open.has(PlaceAnswer::Next) && open.has(PlaceAnswer::Nothing));
    let found = page.go(choose("finding", "end-a:salt")).shown.place().unwrap();
    assert!(found.has(PlaceAnswer::Next) && !found.has(PlaceAnswer::Nothing));
    let third = page.go(found.press(PlaceAnswer::Next)).shown.place().unwrap();
    assert_eq!(&*third.words, "Place 3 of 5");
    // A phone that stops goes on where it was, at the first place without an answer.
    let page = phone.of_hose(&hose, "full-inspection");
    let again = page.go(Touch::Look).shown.place().unwrap();
    assert_eq!(again.words, third.words);
    let back = page.go(again.press(PlaceAnswer::Before)).shown.place().unwrap();
    assert_eq!((&*back.words, back.has(PlaceAnswer::Next)), ("Place 2 of 5", true));
    // Saved too soon, it goes to what is open.
    let refused = page.go(save()).shown;
    assert!(refused.trouble.is_some() && refused.place().unwrap().words == third.words);
    let mut shown = refused;
    while let Some(place) = shown.place() {
        shown = page.go(place.press(PlaceAnswer::Nothing)).shown;
    }
    let places = shown.form.as_ref().unwrap().places.clone();
    assert_ne!(&*places[1].words, "Nothing found");
    let place = page.go(Touch::ToPlace { place: places[1].place }).shown.place().unwrap();
    assert_eq!(&*place.words, "Place 2 of 5");
    page.go(place.press(PlaceAnswer::Next));
    assert_eq!(page.go(save()).shown.done.unwrap().answer.unwrap().verdict, Verdict::Watch);
}

/// Damage on record is asked about before anything else at its place.
#[test]
fn known_damage_is_answered_at_its_place() {
    let phone = Phone::new();
    let hose = phone.hose();
    let look = phone.of_hose(&hose, "quick-look");
    look.go(choose("finding", "run:cut:cover"));
    look.go(save());
    let page = phone.of_hose(&hose, "full-inspection");
    let place = page.go(Touch::Look).shown.place().unwrap();
    assert!(place.buttons.is_empty(), "how is it now? {:?}", place.buttons);
    let same = page.go(choose("open:run:cut", "same")).shown.place().unwrap();
    assert!(same.has(PlaceAnswer::Next) || same.has(PlaceAnswer::Nothing));
    let gone = page.go(choose("open:run:cut", "gone")).shown.place().unwrap();
    let mut shown = page.go(gone.press(PlaceAnswer::Nothing)).shown;
    while let Some(place) = shown.place() {
        shown = page.go(place.press(PlaceAnswer::Nothing)).shown;
    }
    assert_eq!(page.go(save()).shown.trouble.unwrap().field.as_deref(), Some("gone-why"));
    page.go(write("gone-why", "it was tape"));
    assert!(page.go(save()).shown.done.is_some());
}

/// The camera is open before anything is touched, and closes with the last hose: five
/// scans, the ticket and the button.
#[test]
fn a_set_of_five_is_handed_out_with_five_scans_and_two_touches() {
    let Rental { phone, set, hoses } = Phone::rental();
    let of = FormOf::HandOut { set: set.clone() };
    let form = phone.form(of.clone());
    assert_eq!(form.go(Touch::Look).follows, Some(Follows::Ticks { of: of.clone() }));
    let camera = phone.page(PageOf::Ticks { of: of.clone() });
    let first = camera.go(Touch::Look).shown;
    assert_eq!(&*first.ticking().words, "5 hoses to scan.");
    assert_eq!(first.ticking().lists[0].hoses.len(), 5);
    for (at, hose) in hoses.iter().enumerate() {
        assert!(camera.frame(tag(hose)), "the camera stays open");
        let reply = camera.go(Touch::Seen { texts: tag(hose) });
        let Some(Follows::Ticked { words, well, all }) = reply.follows else {
            panic!("it buzzes: {:?}", reply.shown.trouble)
        };
        assert!(words.starts_with(&format!("N-{at} is here.")), "{words}");
        assert_eq!((well, all), (true, at == 4));
        assert!(!camera.frame(tag(hose)), "it is ticked off");
    }
    // Back at the form, the camera does not begin again.
    assert_eq!(form.go(Touch::Look).follows, None);
    form.go(write("ticket", "4711"));
    let done = form.go(save()).shown.done.unwrap();
    assert!(done.words.contains("ticket 4711, with 5 hoses"), "{}", done.words);

    let of = FormOf::TakeBack { set };
    let form = phone.form(of.clone());
    assert_eq!(form.go(Touch::Look).follows, Some(Follows::Ticks { of: of.clone() }));
    let camera = phone.page(PageOf::Ticks { of });
    camera.go(Touch::Look);
    // Two of them at once are both there.
    let two: Vec<String> = hoses[..2].iter().flat_map(|hose| tag(hose)).collect();
    let both = camera.go(Touch::Seen { texts: two });
    assert_eq!(&*both.shown.ticking().words, "3 hoses still to scan.");
    for hose in &hoses[2..] {
        camera.go(Touch::Seen { texts: tag(hose) });
    }
    let shown = form.go(Touch::Look).shown;
    assert_eq!(shown.field(&format!("{}|at", hoses[4])).value, "here");
}

/// What is none of the set is said with another buzz, and nothing ends the scanning.
#[test]
fn what_is_not_of_the_set_does_not_end_the_scanning() {
    let Rental { phone, set, hoses } = Phone::rental();
    let stranger = phone.hose();
    let camera = phone.page(PageOf::Ticks { of: FormOf::HandOut { set: set.clone() } });
    camera.go(Touch::Look);
    let foreign = vec!["https://example.org".to_owned()];
    let refused = camera.go(Touch::Seen { texts: foreign.clone() });
    assert!(refused.shown.trouble.is_some() && refused.follows.is_none());
    // Beside a tag it is passed over.
    let beside = [foreign, tag(&hoses[0])].concat();
    let reply = camera.go(Touch::Seen { texts: beside });
    assert!(matches!(reply.follows, Some(Follows::Ticked { well: true, .. })));
    let reply = camera.go(Touch::Typed { text: stranger.clone() });
    let Some(Follows::Ticked { words, well: false, all: false }) = reply.follows else {
        panic!("{:?}", reply.follows)
    };
    assert!(words.contains(&stranger) && words.contains("not of this set"), "{words}");
    let again = camera.go(Touch::Typed { text: hoses[0].clone() }).follows;
    let Some(Follows::Ticked { words, .. }) = again else { panic!("{again:?}") };
    assert!(words.contains("scanned before"), "{words}");
    // What is foreign is there as well, and its form says so.
    let form = phone.form(FormOf::HandOut { set }).go(Touch::Look);
    assert_eq!(form.follows, None, "something was scanned already");
    assert_eq!(form.shown.chosen("foreign"), [&*stranger]);
}

/// The hose is named by its own number beside the button that saves.
#[test]
fn what_is_saved_names_its_hose_once_more() {
    let Rental { phone, hoses, .. } = Phone::rental();
    for form in ["full-inspection", "quick-look", "leak-test", "retire", "hold"] {
        let named = phone.of_hose(&hoses[1], form).go(Touch::Look).shown.form.unwrap().named;
        assert_eq!(named.as_deref(), Some(&*format!("N-1, {}", hoses[1])), "{form}");
    }
    let (old, new) = (hoses[1].clone(), phone.fitted_nowhere());
    let swap = phone.form(FormOf::Swap { old, new }).go(Touch::Look).shown;
    let named = swap.form.unwrap().named.unwrap();
    assert!(named.contains("N-1") && named.contains(" off, "), "{named}");
    // Where nothing is recorded of a hose, none is named.
    assert!(phone.form(FormOf::Settings).go(Touch::Look).shown.form.unwrap().named.is_none());
    let ways = Phone::new().page(PageOf::Scan { wanted: Wanted::Answer }).go(Touch::Look);
    assert_eq!(ways.shown.welcome.unwrap().ways[0].way, WayIn::Register);
}

impl Phone {
    pub(super) fn fitted_nowhere(&self) -> String {
        let page = self.form(FormOf::Register { tag: None });
        for touch in [
            choose("service", "second-stage"),
            choose("construction", "rubber"),
            write("length", "56 cm"),
        ] {
            page.go(touch);
        }
        let code = page.go(save()).shown.done.unwrap().answer.unwrap().code;
        self.inspected(&code);
        code
    }
}

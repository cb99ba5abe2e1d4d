//! The form of a return, and what it comes to.

use super::*;
use crate::logbook::rentals::tests::{TODAY, Wharf, good, moment, wharf};
use crate::story::label;
use crate::view::form::ANSWER;

/// The form of the set, with its hoses scanned and more filled in.
fn filled(wharf: &Wharf, hoses: &[Code], more: &[(&str, &str)]) -> Filled {
    let mut filled = Filled::default();
    let texts: Vec<String> = hoses.iter().map(ToString::to_string).collect();
    let strange =
        good(wharf.book.scan_return(&label("Heron"), &mut filled, texts.iter().map(|t| &**t)));
    assert!(strange.is_empty(), "{strange:?}");
    for (name, value) in more {
        filled.add(name, value);
    }
    filled
}

fn out() -> Wharf {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    wharf
}

/// The answers of the form: what they say, and with what they submit it.
fn answers(wharf: &Wharf, filled: &Filled) -> Vec<(String, String)> {
    let form = good(wharf.book.return_form(&label("Heron"), filled, &moment(TODAY)));
    form.answers.into_iter().map(|choice| (choice.label, choice.value)).collect()
}

fn submit(wharf: &mut Wharf, filled: &Filled) -> Result<TakenBack, FormRefused> {
    wharf.book.submit_return(&label("Heron"), filled, &moment(TODAY))
}

#[test]
fn nothing_counts_as_looked_at_that_nobody_ticked() {
    let mut wharf = out();
    let all = wharf.heron.clone();
    let before = wharf.exported();
    assert!(answers(&wharf, &filled(&wharf, &[], &[])).is_empty());
    let said = answers(&wharf, &filled(&wharf, &all[..1], &[]));
    assert!(said[0].0.starts_with("Nothing found on this one, HP1"), "{said:?}");
    let four = answers(&wharf, &filled(&wharf, &all, &[]));
    assert!(four[0].0.starts_with("Nothing found on these four, HP1, LP1, LP2, LP3:"), "{four:?}");
    let (seen, clear) = (format!("{}|finding", all[0]), format!("{}|clear", all[1]));
    let some = filled(&wharf, &all, &[("dives", "2"), (&seen, "run:scuff"), (&clear, "yes")]);
    let others = answers(&wharf, &some);
    assert!(others[0].0.starts_with("Nothing found on the other two, LP2, LP3:"), "{others:?}");
    // Neither nothing said, nor what is said of other hoses, is a look at these.
    let one = answers(&wharf, &filled(&wharf, &all[..1], &[])).swap_remove(0).1;
    for answer in ["", "ticked", "clear", &one, "clear  "] {
        let mut filled = some.clone();
        filled.set(ANSWER, answer);
        let refused = submit(&mut wharf, &filled).err().map(|e| e.to_string()).unwrap_or_default();
        assert!(refused.contains("nothing is said of how LP2"), "{answer}: {refused}");
    }
    assert_eq!(wharf.exported(), before);
    let mut told = some;
    told.set(ANSWER, &others[0].1);
    let back = good(submit(&mut wharf, &told));
    assert!(back.words.contains("for 4 hoses, with nothing found on 3 of them"), "{}", back.words);
}

#[test]
fn a_return_that_is_sent_twice_is_written_once() {
    let mut wharf = out();
    let all = wharf.heron.clone();
    let (gone, seen) = (format!("{}|at", all[3]), format!("{}|finding", all[0]));
    let said = [("dives", "2"), (&*gone, "missing"), (&*seen, "run:cut:cover")];
    let mut sent = filled(&wharf, &all[..3], &said);
    sent.set(ANSWER, &answers(&wharf, &sent)[0].1);
    let first = good(submit(&mut wharf, &sent));
    assert!(first.differences[0].contains("LP3 is left open"), "{:?}", first.differences);
    let written = wharf.exported();
    assert_eq!(good(submit(&mut wharf, &sent)), first);
    assert_eq!(good(wharf.book.last_return(&label("Heron"), &moment(TODAY))), Some(first));
    // What says anything else is not the same form.
    type Change<'c> = (&'c str, &'c str);
    let others: [Change<'_>; 6] = [
        ("dives", "3"),
        ("dives_unknown", "yes"),
        ("on", "2026-06-14"),
        (&gone, "here"),
        (&seen, "run:scuff"),
        (ANSWER, "ticked"),
    ];
    for (name, value) in others {
        let mut other = sent.clone();
        other.set(name, value);
        let refused = submit(&mut wharf, &other);
        let not_out = matches!(refused, Err(FormRefused::Logbook(LogbookError::NotOut(_))));
        assert!(not_out, "{name}: {refused:?}");
    }
    assert_eq!(wharf.exported(), written);
}

#[test]
fn hoses_come_back_in_any_order_and_each_to_its_set() {
    let mut wharf = out();
    let egret = label("Egret");
    let other = [wharf.egret.to_string()];
    good(wharf.book.hand_out(&egret, label("T-18"), &other, None, None, &moment(TODAY)));
    let texts = [
        wharf.heron[2].to_string(),
        other[0].clone(),
        wharf.stock.to_string(),
        wharf.heron[0].to_string(),
        "nonsense".to_owned(),
    ];
    let id = |name: &str| good(wharf.book.set(&label(name))).id;
    let coming = good(wharf.book.coming_back(None, &texts, &moment(TODAY)));
    let own = vec![texts[0].clone(), texts[3].clone()];
    assert_eq!(coming.sets, [(id("Heron"), own.clone()), (id("Egret"), vec![texts[1].clone()])]);
    let first = good(wharf.book.coming_back(Some(&egret), &texts, &moment(TODAY)));
    assert_eq!(first.sets, [(id("Egret"), vec![texts[1].clone()]), (id("Heron"), own)]);
    let [(Some(stock), words), (None, unknown)] = coming.strange.as_slice() else {
        unreachable!("{:?}", coming.strange)
    };
    assert_eq!(*stock, wharf.stock);
    assert!(words.contains("is not out. On record: in stock"), "{words}");
    assert!(unknown.contains("nonsense"), "{unknown}");
    // A set is in when its last hose is.
    let early = filled(&wharf, &[wharf.heron[0], wharf.heron[2]], &[("dives", "1")]);
    let refused = submit(&mut wharf, &early).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(refused.contains("neither scanned nor named missing"), "{refused}");
}

/// Where one types next: at the dives, once of every hose it is said where it is.
#[test]
fn the_dives_are_asked_for_once_every_hose_is_accounted_for() {
    let wharf = out();
    let goes_on = |filled: &Filled| {
        let form = good(wharf.book.return_form(&label("Heron"), filled, &moment(TODAY)));
        form.fields().find(|field| field.name == "dives").map(|field| field.goes_on)
    };
    assert_eq!(goes_on(&filled(&wharf, &wharf.heron[..3], &[])), Some(false));
    let gone = format!("{}|at", wharf.heron[3]);
    assert_eq!(goes_on(&filled(&wharf, &wharf.heron[..3], &[(&gone, "missing")])), Some(true));
    assert_eq!(goes_on(&filled(&wharf, &wharf.heron, &[])), Some(true));
}

/// A photo of what was found comes with the return, and belongs to its look.
#[test]
fn a_photo_comes_with_what_was_found() {
    let mut wharf = out();
    let all = wharf.heron.clone();
    let of = |hose: Code, what: &str| format!("{hose}|{what}");
    let form = good(wharf.book.return_form_with_photographs(
        &label("Heron"),
        &filled(&wharf, &all, &[]),
        &moment(TODAY),
    ));
    let photos: Vec<&str> = form
        .fields()
        .map(|field| field.name.as_str())
        .filter(|name| rental::photo_of(name).is_some())
        .collect();
    assert!(photos.contains(&of(all[1], "photo-run").as_str()), "{photos:?}");
    assert_eq!(rental::photo_of(&of(all[1], "photo-run")), Some((all[1], Place::Run)));
    for name in ["photo-run", "x|photo-run", &of(all[1], "photo-leg"), &of(all[1], "finding")] {
        assert_eq!(rental::photo_of(name), None, "{name}");
    }
    let mut grey = std::io::Cursor::new(Vec::new());
    good(image::DynamicImage::new_luma8(48, 32).write_to(&mut grey, image::ImageFormat::Png));
    let photograph = good(Photograph::make(grey.get_ref()));
    let seen = of(all[1], "finding");
    let mut said = filled(&wharf, &all, &[("dives", "2"), (&seen, "run:scuff")]);
    for hose in [all[0], all[2], all[3]] {
        said.tick(&of(hose, "clear"), true);
    }
    let before = wharf.exported();
    // Of a hose that was not out, and two of one place: nothing is written.
    for wrong in [
        vec![(wharf.stock, Place::Run, photograph.clone())],
        vec![(all[1], Place::Run, photograph.clone()), (all[1], Place::Run, photograph.clone())],
    ] {
        let refused = wharf.book.submit_return_with(&label("Heron"), &said, wrong, &moment(TODAY));
        assert!(refused.is_err(), "{refused:?}");
    }
    assert_eq!(wharf.exported(), before);
    let sent = vec![(all[1], Place::Run, photograph.clone())];
    good(wharf.book.submit_return_with(&label("Heron"), &said, sent, &moment(TODAY)));
    let kept = good(wharf.book.photographs(all[1]));
    assert_eq!(
        kept.iter().map(|shown| (shown.place, &shown.photograph)).collect::<Vec<_>>(),
        [(Place::Run, &photograph)]
    );
    assert!(good(wharf.book.photographs(all[0])).is_empty());
}

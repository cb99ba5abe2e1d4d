//! Entries come in that nobody waited for, while a page is looked at.

use super::*;

/// What is shown is asked again, and nothing that somebody reads or fills in is taken away.
#[test]
fn what_comes_in_is_shown_where_it_disturbs_nobody() {
    let phone = Phone::new();
    let hose = phone.hose();
    let shown = phone.page(PageOf::Hose { text: hose.clone() });
    let before = shown.go(Touch::Look).shown.hose.unwrap().history.len();
    let due = phone.page(PageOf::Due);
    let year = due.go(Touch::Within { time: Some("1y".into()) }).shown.due.unwrap();
    let usual = phone.page(PageOf::Due).go(Touch::Look).shown.due.unwrap();
    assert_ne!(usual.words, year.words);
    let refused = phone.page(PageOf::Scan { wanted: Wanted::Answer });
    let trouble = refused.go(Touch::Typed { text: "nonsense".into() }).shown.trouble;
    let form = phone.of_hose(&hose, "quick-look");
    form.go(Touch::Look);
    let long = "x".repeat(5000);
    let typed = vec![Written { field: "note".into(), text: long.clone() }];
    let half = form.go(Touch::Save { typed, answer: None }).shown;
    let watch = phone.page(PageOf::Watch);

    assert!(phone.of_hose(&hose, "clean").go(save()).shown.done.is_some());
    let now = shown.go(Touch::CameIn);
    assert_eq!(now.shown.hose.unwrap().history.len(), before + 1);
    assert_eq!(now.follows, None);
    assert_eq!(due.go(Touch::CameIn).shown.due.unwrap().words, year.words);
    assert!(trouble.is_some());
    assert_eq!(refused.go(Touch::CameIn).shown.trouble, trouble);
    assert_eq!(form.go(Touch::CameIn).shown, half);
    assert_eq!(half.field("note").value, long);
    let unseen = watch.go(Touch::CameIn);
    assert_eq!((unseen.shown.watching, unseen.follows), (None, None));
}

/// A question that is open is not asked a second time because something came in.
#[test]
fn what_comes_in_opens_no_eye() {
    let phone = Phone::new();
    let scan = phone.page(PageOf::Scan { wanted: Wanted::Answer });
    assert!(scan.frame(vec!["a".into()]));
    scan.go(Touch::CameIn);
    assert!(!scan.frame(vec!["b".into()]));
    scan.go(Touch::Look);
    assert!(scan.frame(vec!["b".into()]));
}

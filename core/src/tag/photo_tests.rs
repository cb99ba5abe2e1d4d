use super::*;
use crate::tag::draw::{Level, PrinterDpi, TagSize, plan};
use crate::tag::payload::Payload;
use crate::tag::read::{Frame, read_frame};

const TEXT: &str = "HW1:01H7K2M90101Y.";

fn planned() -> Option<Plan> {
    let payload = Payload::parse(TEXT).ok()?;
    plan(TagSize::default(), PrinterDpi::default(), Level::Q, payload).ok()
}

fn texts(photo: &image::GrayImage) -> Vec<String> {
    let frame = Frame::new(photo.as_raw(), photo.width(), photo.height(), photo.width());
    frame.map(|f| read_frame(&f).into_iter().map(|f| f.text).collect()).unwrap_or_default()
}

#[test]
fn an_easy_photo_is_read_and_its_empty_scene_is_not() {
    let conditions = Conditions::default();
    let photo = planned().map(|plan| photograph(&plan, &conditions));
    assert_eq!(photo.map(|p| texts(&p)), Some(vec![TEXT.to_owned()]));
    assert_eq!(texts(&empty_scene(&conditions)), Vec::<String>::new());
}

#[test]
fn the_same_seed_gives_the_same_photo() {
    let conditions = Conditions { width: 320, height: 180, module: 3.0, ..Conditions::default() };
    let other = Conditions { seed: 2, ..conditions };
    let Some(plan) = planned() else { return assert!(planned().is_some()) };
    assert_eq!(photograph(&plan, &conditions), photograph(&plan, &conditions));
    assert_ne!(photograph(&plan, &conditions), photograph(&plan, &other));
}

//! A small picture of a hose with one place marked: where to look. The same
//! place of the same kind of hose is drawn the same, byte for byte.

use crate::hose::{Construction, Service, Specification};
use crate::inspection::{Checkpoint, Place};
use crate::set_picture::{Anchor, At, Mark, Part, Picture, Step, Stroke};
use crate::words::pictures as say;

/// Everything is in units of about a CSS pixel.
const SIZE: (i32, i32) = (320, 96);
/// The middle of the hose.
const LINE: i32 = 40;
/// The base line of the words below.
const WORDS: i32 = 86;
/// Where the run begins and ends.
const RUN: (i32, i32) = (88, 232);

const INK: &str = "#1F2933";
const PALE: &str = "#E4E7EB";
const METAL: &str = "#9AA5B1";
/// Dark enough beside white and the hose's black; never a verdict's colour.
const MARKED: &str = "#7B2CBF";

/// Draws a hose with the place of a checkpoint marked.
#[must_use]
pub fn picture(hose: &Specification, checkpoint: Checkpoint) -> Picture {
    let mut marks =
        vec![Mark::Rect { at: (0, 0), size: SIZE, round: 0, fill: "#FFFFFF", stroke: None }];
    marks.extend(run(hose));
    marks.extend(near_end());
    marks.extend(far_end(hose));
    if hose.protector() {
        marks.extend(sleeves());
    }
    let (title, words) = say::place(hose, checkpoint);
    let at = marked(hose, checkpoint);
    marks.extend(at.iter().map(|(at, size)| ring(*at, *size)));
    marks.push(label((4, WORDS), Anchor::Start, say::FIRST_STAGE));
    marks.push(label((SIZE.0 - 4, WORDS), Anchor::End, say::far_end(hose)));
    let part = Part { words: None, marks };
    Picture { width: SIZE.0, height: SIZE.1, title: title.to_owned(), words, parts: vec![part] }
}

/// Draws it as SVG.
#[must_use]
pub fn svg(hose: &Specification, checkpoint: Checkpoint) -> String {
    picture(hose, checkpoint).svg()
}

/// The corner and the size of what is marked.
fn marked(hose: &Specification, checkpoint: Checkpoint) -> Vec<(At, (i32, i32))> {
    let of = |place: Place| match place {
        Place::Run => ((RUN.0 + 4, 18), (RUN.1 - RUN.0 - 8, 44)),
        Place::EndA => ((38, 12), (54, 56)),
        // The coupling is looked at with the end.
        Place::EndB if hose.service() == Service::Inflator => ((228, 12), (86, 56)),
        Place::EndB => ((228, 12), (54, 56)),
        Place::SealA => ((10, 16), (26, 48)),
        Place::SealB => ((284, 16), (26, 48)),
    };
    match checkpoint.place() {
        Some(place) => vec![of(place)],
        None => vec![of(Place::EndA), of(Place::EndB)],
    }
}

fn ring(at: At, size: (i32, i32)) -> Mark {
    let (x, y, right, down) = (at.0, at.1, at.0 + size.0, at.1 + size.1);
    let steps = vec![
        Step::From((x, y)),
        Step::To((right, y)),
        Step::To((right, down)),
        Step::To((x, down)),
        Step::Close,
    ];
    let dashes = Some((6, 4));
    let stroke = Some(Stroke { colour: MARKED, width: 4, dashes, round: true });
    Mark::Path { steps, fill: None, stroke }
}

fn run(hose: &Specification) -> Vec<Mark> {
    let (from, to) = RUN;
    let tube = Mark::Rect {
        at: (from - 4, LINE - 8),
        size: (to - from + 8, 16),
        round: 0,
        fill: INK,
        stroke: None,
    };
    let mut marks = vec![tube];
    if hose.construction() == Construction::Braided {
        let thread = Stroke { colour: PALE, width: 1, dashes: None, round: false };
        let cross = |x: i32| {
            let steps = vec![
                Step::From((x, LINE - 7)),
                Step::To((x + 12, LINE + 7)),
                Step::From((x + 12, LINE - 7)),
                Step::To((x, LINE + 7)),
            ];
            Mark::Path { steps, fill: None, stroke: Some(thread) }
        };
        marks.extend((0..12).map(|n| cross(from + n * 12)));
    }
    marks
}

/// Thread, nut and crimped sleeve at the first stage, with the O-ring before
/// the nut.
fn near_end() -> Vec<Mark> {
    vec![
        metal((14, LINE - 8), (22, 16)),
        o_ring(30),
        metal((40, LINE - 16), (18, 32)),
        metal((60, LINE - 12), (28, 24)),
    ]
}

/// Crimped sleeve, nut and O-ring at the far end, by what the hose ends in.
fn far_end(hose: &Specification) -> Vec<Mark> {
    let mut marks =
        vec![metal((RUN.1, LINE - 12), (28, 24)), metal((RUN.1 + 30, LINE - 16), (18, 32))];
    match hose.service() {
        // The collar of a quick-disconnect, and the valve inside it.
        Service::Inflator => {
            marks.push(metal((RUN.1 + 52, LINE - 19), (24, 38)));
            marks.push(Mark::Circle { at: (RUN.1 + 64, LINE), radius: 5, fill: INK, stroke: None });
        }
        // The swivel pin with its two O-rings.
        Service::Gauge => {
            marks.push(metal((RUN.1 + 52, LINE - 6), (24, 12)));
            marks.extend([o_ring(RUN.1 + 58), o_ring(RUN.1 + 68)]);
        }
        Service::SecondStage => {
            marks.push(metal((RUN.1 + 52, LINE - 12), (22, 24)));
            marks.push(o_ring(RUN.1 + 60));
        }
    }
    marks
}

fn sleeves() -> Vec<Mark> {
    let sleeve = |x: i32| {
        let stroke = Some(Stroke { colour: INK, width: 2, dashes: Some((3, 3)), round: false });
        let (at, size) = ((x, LINE - 14), (44, 28));
        Mark::Rect { at, size, round: 6, fill: PALE, stroke }
    };
    vec![sleeve(66), sleeve(210)]
}

fn metal(at: At, size: (i32, i32)) -> Mark {
    let stroke = Some(Stroke { colour: INK, width: 2, dashes: None, round: false });
    Mark::Rect { at, size, round: 2, fill: METAL, stroke }
}

fn o_ring(x: i32) -> Mark {
    let (at, size) = ((x, LINE - 11), (4, 22));
    Mark::Rect { at, size, round: 2, fill: INK, stroke: None }
}

fn label(at: At, anchor: Anchor, words: &str) -> Mark {
    Mark::Text { at, size: 13, bold: false, anchor, fill: INK, words: words.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::story::hose;

    /// Every place of every kind of hose has a picture of its own, whole and
    /// within its frame, and words for those who cannot see it.
    #[test]
    fn every_place_has_a_picture_and_words() {
        let mut seen = std::collections::BTreeSet::new();
        for service in Service::ALL {
            for construction in Construction::ALL {
                let hose = hose(*service, *construction);
                for checkpoint in Checkpoint::ALL {
                    let drawn = picture(&hose, *checkpoint);
                    assert!(!drawn.title.is_empty() && drawn.words.ends_with('.'), "{checkpoint}");
                    for (at, size) in marked(&hose, *checkpoint) {
                        let end = (at.0 + size.0, at.1 + size.1);
                        assert!(end.0 <= SIZE.0 && end.1 < WORDS - 12, "{checkpoint}");
                    }
                    let svg = drawn.svg();
                    assert!(svg.contains(MARKED) && svg.contains("<title>"), "{svg}");
                    assert!(!svg.contains("style="), "nothing inline");
                    assert!(seen.insert(svg), "{service} {construction} {checkpoint} twice");
                }
            }
        }
        assert_eq!(seen.len(), 3 * 2 * 6);
    }

    #[test]
    fn what_is_marked_follows_the_place() {
        let hose = hose(Service::Gauge, Construction::Rubber);
        let spans: Vec<(i32, i32)> =
            [Checkpoint::SealA, Checkpoint::EndA, Checkpoint::Run, Checkpoint::EndB]
                .into_iter()
                .chain([Checkpoint::SealB])
                .flat_map(|checkpoint| marked(&hose, checkpoint))
                .map(|(at, size)| (at.0, at.0 + size.0))
                .collect();
        assert!(spans.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1));
        assert_eq!(marked(&hose, Checkpoint::Protector).len(), 2);
    }
}

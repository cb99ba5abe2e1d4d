//! The parts of the picture: body, hoses, plugs, cards and signs.

use super::drawing::{Anchor, At, Colour, Mark, Step, Stroke};
use crate::inspection::Verdict;

/// Dark text, as RAL 9004 of ISO 3864-4: 14:1 on white, 11:1 on the body.
pub(super) const INK: &str = "#2B2B2C";
pub(super) const BODY: &str = "#E4E7EA";
const METAL: &str = "#AEB6BD";
const WHITE: &str = "#FFFFFF";

/// Where a port is on the first stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
    End,
}

impl Side {
    /// One step outwards, to the right and down.
    const fn out(self) -> (i32, i32) {
        match self {
            Self::Left => (-1, 0),
            Self::Right => (1, 0),
            Self::End => (0, 1),
        }
    }
}

/// The colour of a verdict: the safety colours of ISO 3864-1 in the shades of
/// RAL 6032 (safe condition), 1003 (warning), 5005 (mandatory action) and 3001
/// (prohibition), as ISO 3864-4 names them.
#[must_use]
pub const fn colour(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Ready => "#237F52",
        Verdict::Watch => "#F9A900",
        Verdict::Hold => "#005387",
        Verdict::Retire => "#9B2423",
    }
}

pub(super) fn text(at: At, size: i32, bold: bool, words: &str) -> Mark {
    anchored(at, size, bold, Anchor::Start, words)
}

pub(super) fn anchored(at: At, size: i32, bold: bool, anchor: Anchor, words: &str) -> Mark {
    Mark::Text { at, size, bold, anchor, fill: INK, words: words.to_owned() }
}

const fn line(colour: Colour, width: i32) -> Option<Stroke> {
    Some(Stroke { colour, width, dashes: None, round: false })
}

const fn rect(at: At, size: (i32, i32), round: i32, fill: Colour, width: i32) -> Mark {
    Mark::Rect { at, size, round, fill, stroke: line(INK, width) }
}

const fn circle(at: At, radius: i32, fill: Colour) -> Mark {
    Mark::Circle { at, radius, fill, stroke: None }
}

/// The first stage: its clamp with a hand wheel above, then the body.
pub(super) fn body(middle: i32, top: i32, half: i32, height: i32) -> Vec<Mark> {
    let mut drawn = vec![
        // Hand wheel and spindle.
        rect((middle - 40, top - 104), (80, 24), 10, METAL, 3),
        rect((middle - 9, top - 80), (18, 26), 2, METAL, 3),
        // The clamp, open in the middle where the cylinder's valve goes.
        rect((middle - 52, top - 60), (104, 70), 18, METAL, 3),
        rect((middle - 30, top - 44), (60, 44), 8, WHITE, 3),
        rect((middle - half, top), (2 * half, height), 30, BODY, 4),
    ];
    for y in [top + 26, top + height - 42] {
        let steps = vec![Step::From((middle - half + 4, y)), Step::To((middle + half - 4, y))];
        drawn.push(Mark::Path { steps, fill: None, stroke: line(METAL, 4) });
    }
    drawn
}

/// The body alone.
pub(super) const fn plain_body(corner: At, size: (i32, i32)) -> Mark {
    rect(corner, size, 22, BODY, 4)
}

/// What leads to the cylinder, cut short: the body begins so far below.
pub(super) const fn neck(middle: i32, high: i32) -> [Mark; 2] {
    let half = high / 2;
    [
        rect((middle - 24, 2), (48, half), 6, METAL, 3),
        rect((middle - 12, half), (24, half + 6), 2, METAL, 3),
    ]
}

/// A piece that sits on a port and reaches outwards: from `from` to `to` away
/// from the body, `wide` across.
const fn piece((x, y): At, side: Side, from: i32, to: i32, wide: i32) -> Mark {
    let (corner, size) = match side {
        Side::Left => ((x - to, y - wide / 2), (to - from, wide)),
        Side::Right => ((x + from, y - wide / 2), (to - from, wide)),
        Side::End => ((x - wide / 2, y + from), (wide, to - from)),
    };
    rect(corner, size, 3, METAL, 3)
}

/// A plug, or a device that has its place: a thin collar and the head of a screw with its hexagon socket, and
/// the word beside it.
pub(super) fn plug(at: At, side: Side, word: &str) -> Vec<Mark> {
    let (right, down) = side.out();
    let word = match side {
        Side::Left => anchored((at.0 - 32, at.1 + 6), 18, false, Anchor::End, word),
        Side::Right => text((at.0 + 32, at.1 + 6), 18, false, word),
        Side::End => anchored((at.0, at.1 + 44), 18, false, Anchor::Middle, word),
    };
    let socket = (at.0 + 13 * right, at.1 + 13 * down);
    vec![piece(at, side, 0, 6, 40), piece(at, side, 6, 20, 30), circle(socket, 4, INK), word]
}

/// A hose from its port to its card, with the nut that holds it in the port.
pub(super) fn hose(
    at: At,
    corner: At,
    (wide, high): (i32, i32),
    side: Side,
    braided: bool,
) -> Vec<Mark> {
    let (x, y) = at;
    let steps = match side {
        // Its end is behind the card.
        Side::Left => curve(x - 30, corner.0 + wide - 20, y),
        Side::Right => curve(x + 30, corner.0 + 20, y),
        Side::End => vec![Step::From((x, y + 30)), Step::To((x, corner.1 + high / 2))],
    };
    let over = if braided {
        Stroke { colour: "#D5DADE", width: 11, dashes: Some((5, 4)), round: false }
    } else {
        Stroke { colour: "#6C7278", width: 3, dashes: None, round: false }
    };
    vec![
        Mark::Path { steps: steps.clone(), fill: None, stroke: line(INK, 16) },
        Mark::Path { steps, fill: None, stroke: Some(over) },
        piece(at, side, 0, 20, 34),
        piece(at, side, 20, 34, 24),
    ]
}

/// A hose hangs a little between its ends.
fn curve(from: i32, to: i32, y: i32) -> Vec<Step> {
    let (third, sag) = ((to - from) / 3, 14);
    let (first, second) = ((from + third, y + sag), (to - third, y + sag));
    vec![Step::From((from, y)), Step::Curve(first, second, (to, y))]
}

/// A hose in words: which verdict, and lines about it.
pub(super) struct Card {
    pub(super) corner: At,
    pub(super) size: (i32, i32),
    pub(super) verdict: Verdict,
    pub(super) lines: [String; 2],
}

pub(super) fn card(card: &Card) -> Vec<Mark> {
    let (x, y) = card.corner;
    let mut drawn = vec![rect(card.corner, card.size, 12, WHITE, 3)];
    drawn.extend(sign((x + 46, y + card.size.1 / 2), card.verdict));
    let [first, second] = &card.lines;
    drawn.push(text((x + 90, y + 30), 20, true, first));
    drawn.push(text((x + 90, y + 56), 18, false, second));
    drawn.push(text((x + 90, y + 82), 20, true, card.verdict.word()));
    drawn
}

/// The same in less room.
pub(super) fn small_card(card: &Card) -> Vec<Mark> {
    let (x, y) = card.corner;
    let mut drawn = vec![rect(card.corner, card.size, 12, WHITE, 3)];
    drawn.extend(sign((x + 36, y + card.size.1 / 2), card.verdict));
    let [first, second] = &card.lines;
    drawn.push(text((x + 71, y + 26), 18, true, first));
    drawn.push(text((x + 71, y + 51), 18, false, second));
    drawn.push(text((x + 71, y + 76), 18, true, card.verdict.word()));
    drawn
}

/// The sign of a verdict around a point, 60 across: the geometric shapes of
/// ISO 3864-1.
pub(super) fn sign((x, y): At, verdict: Verdict) -> Vec<Mark> {
    let fill = colour(verdict);
    match verdict {
        Verdict::Ready => vec![
            Mark::Rect { at: (x - 30, y - 30), size: (60, 60), round: 5, fill, stroke: None },
            Mark::Path {
                steps: vec![
                    Step::From((x - 17, y + 2)),
                    Step::To((x - 5, y + 15)),
                    Step::To((x + 17, y - 13)),
                ],
                fill: None,
                stroke: line(WHITE, 8),
            },
        ],
        Verdict::Watch => {
            let triangle = vec![
                Step::From((x, y - 27)),
                Step::To((x + 31, y + 27)),
                Step::To((x - 31, y + 27)),
                Step::Close,
            ];
            let rim = Stroke { colour: INK, width: 5, dashes: None, round: true };
            let triangle = Mark::Path { steps: triangle, fill: Some(fill), stroke: Some(rim) };
            [triangle].into_iter().chain(exclamation((x, y + 6), 24, INK)).collect()
        }
        Verdict::Hold => {
            [circle((x, y), 31, fill)].into_iter().chain(exclamation((x, y), 36, WHITE)).collect()
        }
        Verdict::Retire => vec![
            Mark::Circle { at: (x, y), radius: 27, fill: WHITE, stroke: line(fill, 8) },
            Mark::Path {
                steps: vec![Step::From((x - 19, y - 19)), Step::To((x + 19, y + 19))],
                fill: None,
                stroke: line(fill, 8),
            },
        ],
    }
}

/// An exclamation mark around a point.
fn exclamation((x, y): At, high: i32, fill: Colour) -> [Mark; 2] {
    let (foot, dot) = (y - high / 2 + high * 2 / 3, high / 8);
    let (left, slant) = (x - high / 8, high / 16);
    let steps = vec![
        Step::From((left, y - high / 2)),
        Step::To((left + high / 4, y - high / 2)),
        Step::To((left + high / 4 - slant, foot)),
        Step::To((left + high / 4 - slant - (high / 4 - high / 8), foot)),
        Step::Close,
    ];
    let stroke = Mark::Path { steps, fill: Some(fill), stroke: None };
    [stroke, circle((x, y + high / 2 - dot), dot, fill)]
}

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
    for y in [top + 20, top + height - 20] {
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

/// A plug at the lower side of the body, in the room that a port has.
pub(super) const fn small_plug((x, y): At, step: i32) -> Mark {
    rect((x - step / 2 + 2, y), (step - 4, 8), 2, METAL, 2)
}

/// A hose from the lower side of the body, led down and then to the right to its end.
/// `step` is the room that it has beside others.
pub(super) fn led_down((x, y): At, step: i32, end: At, braided: bool) -> Vec<Mark> {
    let wide = (step - 4).clamp(3, 12);
    let bend = 14.min(end.0 - x);
    let steps = vec![
        Step::From((x, y + 8)),
        Step::To((x, end.1 - bend)),
        Step::Curve((x, end.1), (x, end.1), (x + bend, end.1)),
        Step::To(end),
    ];
    let over = if braided {
        Stroke { colour: "#D5DADE", width: wide - 4, dashes: Some((4, 3)), round: false }
    } else {
        Stroke { colour: "#6C7278", width: 2, dashes: None, round: false }
    };
    let over = Mark::Path { steps: steps.clone(), fill: None, stroke: Some(over) };
    let mut drawn = vec![Mark::Path { steps, fill: None, stroke: line(INK, wide) }];
    drawn.extend((wide > 5).then_some(over));
    drawn.push(rect((x - step / 2 + 1, y), (step - 2, 16), 2, METAL, 2));
    drawn
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

/// A plug, or a device that has its place: a thin collar and the head of a screw with its
/// hexagon socket. The word for it is in its row, with a thin line to it.
pub(super) fn plug(at: At, side: Side, row: (At, (i32, i32)), word: &str) -> Vec<Mark> {
    let (right, down) = side.out();
    let (corner, (wide, high)) = row;
    let y = corner.1 + high / 2;
    let socket = (at.0 + 13 * right, at.1 + 13 * down);
    let (line_to, word) = match side {
        Side::Left => (
            (corner.0 + wide, y),
            anchored((corner.0 + wide - 8, y + 6), 18, false, Anchor::End, word),
        ),
        Side::Right => ((corner.0, y), text((corner.0 + 8, y + 6), 18, false, word)),
        Side::End => {
            ((at.0, at.1 + 26), anchored((at.0, at.1 + 46), 18, false, Anchor::Middle, word))
        }
    };
    let steps = hanging((at.0 + 20 * right, at.1 + 20 * down), line_to, side);
    vec![
        Mark::Path { steps, fill: None, stroke: line(METAL, 3) },
        piece(at, side, 0, 6, 40),
        piece(at, side, 6, 20, 30),
        circle(socket, 4, INK),
        word,
    ]
}

/// A hose from its port to its card, with the nut that holds it in the port.
pub(super) fn hose(
    at: At,
    corner: At,
    (wide, high): (i32, i32),
    side: Side,
    braided: bool,
) -> Vec<Mark> {
    let (right, down) = side.out();
    // Its end is behind the card.
    let end = match side {
        Side::Left => (corner.0 + wide - 20, corner.1 + high / 2),
        Side::Right => (corner.0 + 20, corner.1 + high / 2),
        Side::End => (at.0, corner.1 + high / 2),
    };
    let steps = hanging((at.0 + 30 * right, at.1 + 30 * down), end, side);
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

/// From a port to a row: out of the port and into the row straight, and hanging a little
/// between.
fn hanging(from: At, to: At, side: Side) -> Vec<Step> {
    if side == Side::End {
        return vec![Step::From(from), Step::To(to)];
    }
    let half = (to.0 - from.0) / 2;
    let sag = if from.1 == to.1 { 14 } else { 0 };
    let (first, second) = ((from.0 + half, from.1 + sag), (to.0 - half, to.1 + sag));
    vec![Step::From(from), Step::Curve(first, second, to)]
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

/// The same in less room: the port's name beside the verdict.
pub(super) fn small_card(card: &Card, port: &str) -> Vec<Mark> {
    let (x, y) = card.corner;
    let mut drawn = vec![rect(card.corner, card.size, 12, WHITE, 3)];
    drawn.extend(sign((x + 36, y + card.size.1 / 2), card.verdict));
    let [first, second] = &card.lines;
    drawn.push(text((x + 71, y + 26), 18, true, port));
    drawn.push(text((x + 129, y + 26), 18, true, card.verdict.word()));
    drawn.push(text((x + 71, y + 51), 18, false, first));
    drawn.push(text((x + 71, y + 76), 18, false, second));
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

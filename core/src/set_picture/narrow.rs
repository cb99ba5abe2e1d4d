//! The same set for a narrow screen: its ports one under another, each with its
//! card beside it, in letters as large as on the page. What a set is called and
//! its status is left to the page, and the length of a hose to its table.

use super::drawing::{Anchor, Mark, Part, Picture};
use super::parts::{self, Card, Side};
use super::{described, in_words, shortened};
use crate::hose::Construction;
use crate::set_view::{PortView, SetView};
use crate::words;

const WIDTH: i32 = 320;
/// The body: its left edge, its middle, and half of its width.
const BODY: (i32, i32, i32) = (8, 38, 30);
const NECK: i32 = 26;
const CARD: (i32, i32) = (218, 88);
const HOSE_ROW: i32 = 98;
const PLUG_ROW: i32 = 52;
const PAD: i32 = 14;
const FOOT: i32 = 8;

/// Draws a set as shapes, for a screen of about 320 pixels.
#[must_use]
pub fn narrow(set: &SetView) -> Picture {
    let rows: i32 = set.ports.iter().map(row).sum();
    let body = 2 * PAD + rows.max(HOSE_ROW);
    let size = (WIDTH, NECK + body + FOOT);
    let told: Vec<String> = set.ports.iter().map(in_words).collect();
    let (left, middle, half) = BODY;
    let mut marks = vec![Mark::Rect { at: (0, 0), size, round: 0, fill: "#FFFFFF", stroke: None }];
    marks.extend(parts::neck(middle, NECK));
    marks.push(parts::plain_body((left, NECK), (2 * half, body)));
    let mut parts = vec![Part { words: None, marks }];
    let mut y = NECK + PAD;
    for view in &set.ports {
        parts.push(port(view, (middle + half, y + row(view) / 2)));
        y += row(view);
    }
    Picture {
        width: size.0,
        height: size.1,
        title: words::sets::picture_title(&set.name, set.in_use),
        words: format!("{} {}", set.words, told.join(" ")),
        parts,
    }
}

fn row(view: &PortView) -> i32 {
    if view.hose.is_some() { HOSE_ROW } else { PLUG_ROW }
}

fn port(view: &PortView, at: (i32, i32)) -> Part {
    let name = view.port.name;
    let label = (BODY.1, at.1 + 7);
    let mut marks = vec![parts::anchored(label, 18, true, Anchor::Middle, &name.to_string())];
    marks.extend(match &view.hose {
        None => parts::plug(at, Side::Right, &shortened(&view.holds, 16)),
        Some(answer) => {
            let specification = answer.hose.specification.as_ref();
            let braided = specification.is_some_and(|s| s.construction() == Construction::Braided);
            let corner = (WIDTH - 8 - CARD.0, at.1 - CARD.1 / 2);
            let what = specification
                .map_or_else(|| described(name, None).0, |hose| hose.service().to_string());
            let code: String = answer.code.to_string().chars().take(9).collect();
            let card = Card { corner, size: CARD, verdict: answer.verdict, lines: [what, code] };
            let mut hose = parts::hose(at, corner, CARD, Side::Right, braided);
            hose.extend(parts::small_card(&card));
            hose
        }
    });
    Part { words: Some(in_words(view)), marks }
}

//! The same set for a narrow screen: the first stage above, its hoses led down to their
//! cards one under another, in letters as large as on the page. What a set is called and
//! its status is left to the page, and the length of a hose to its table.

use super::drawing::{At, Mark, Part, Picture};
use super::parts::{self, Card};
use super::{called, count, described, in_words, shortened};
use crate::answer::Answer;
use crate::event::PortName;
use crate::hose::Construction;
use crate::set_view::{PortView, SetView};
use crate::words;

const WIDTH: i32 = 320;
/// The body: its upper left corner and its size.
const BODY: (At, (i32, i32)) = ((8, 40), (104, 76));
/// Where the ports are on the lower side of the body: the first, and the room for all.
const PORTS: (i32, i32) = (16, 70);
const CARD: (i32, i32) = (218, 88);
const HOSE_ROW: i32 = 98;
const PLUG_ROW: i32 = 40;
/// From the body to the first row, and below the last.
const PAD: i32 = 34;
const FOOT: i32 = 8;

/// Draws a set as shapes, for a screen of about 320 pixels.
#[must_use]
pub fn narrow(set: &SetView) -> Picture {
    let views: Vec<&PortView> = set.ports.iter().collect();
    let rows: i32 = views.iter().map(|view| row(view)).sum();
    let (corner, (wide, high)) = BODY;
    let bottom = corner.1 + high;
    let size = (WIDTH, bottom + PAD + rows + FOOT);
    let mut marks = vec![Mark::Rect { at: (0, 0), size, round: 0, fill: "#FFFFFF", stroke: None }];
    marks.extend(parts::neck(corner.0 + wide / 2, corner.1));
    marks.push(parts::plain_body(corner, (wide, high)));
    let mut parts = vec![Part { words: None, marks }];
    // The first row takes the port at the right, so that no hose crosses another.
    let step = (PORTS.1 / count(&views).max(1)).min(18);
    let mut x = PORTS.0 + step * count(&views) - step / 2;
    let mut y = bottom + PAD;
    for view in views {
        parts.push(port(view, (x, bottom), step, y + row(view) / 2));
        y += row(view);
        x -= step;
    }
    let told: Vec<String> = set.ports.iter().map(in_words).collect();
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

/// A port on the body and what is in it, in its row.
fn port(view: &PortView, at: At, step: i32, y: i32) -> Part {
    let name = view.port.name;
    let left = WIDTH - 8 - CARD.0;
    let marks = match &view.hose {
        None => vec![
            parts::small_plug(at, step),
            parts::text((left + 14, y + 6), 18, true, &name.to_string()),
            parts::text((left + 71, y + 6), 18, false, &shortened(&view.holds, 14)),
        ],
        Some(answer) => hose_and_card(name, answer, at, step, (left, y - CARD.1 / 2)),
    };
    Part { words: Some(in_words(view)), marks }
}

fn hose_and_card(name: PortName, answer: &Answer, at: At, step: i32, corner: At) -> Vec<Mark> {
    let specification = answer.hose.specification.as_ref();
    let braided = specification.is_some_and(|s| s.construction() == Construction::Braided);
    let what =
        specification.map_or_else(|| described(name, None).0, |hose| hose.service().to_string());
    let lines = [what, called(answer)];
    let card = Card { corner, size: CARD, verdict: answer.verdict, lines };
    let mut drawn = parts::led_down(at, step, (corner.0 + 12, corner.1 + CARD.1 / 2), braided);
    drawn.extend(parts::small_card(&card, &name.to_string()));
    drawn
}

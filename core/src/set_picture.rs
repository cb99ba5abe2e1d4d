//! A set drawn as it sits: the first stage, short and squat, its ports around it, and in
//! each port its hose with a verdict, or its plug.
//!
//! High-pressure ports are on the left, low-pressure ports on the right, and
//! of five low-pressure ports or more the last is at the end. A verdict is a
//! shape, a word and a colour together. The picture is the same for the same
//! set, byte for byte.

mod drawing;
mod narrow;
mod parts;

use crate::answer::Answer;
use crate::event::PortName;
use crate::hose::{Construction, Pressure, Specification};
use crate::set_view::{PortView, SetView};
use crate::words;

pub use drawing::{Anchor, At, Colour, Mark, Part, Picture, Step, Stroke};
pub use narrow::narrow;
pub use parts::colour;
use parts::{Card, Side, anchored, body, card, plug, text};

/// Everything is in units of about a CSS pixel.
const WIDTH: i32 = 1200;
const MARGIN: i32 = 32;
const MIDDLE: i32 = WIDTH / 2;
const HALF_BODY: i32 = 104;
const CARD: (i32, i32) = (328, 96);
/// The height that a hose or a plug takes in its column.
const HOSE_ROW: i32 = 116;
const PLUG_ROW: i32 = 64;
/// What the connection to the cylinder takes above the body.
const NECK: i32 = 112;
/// The room between the body's end and the card of the hose at its end.
const DROP: i32 = 84;
/// From port to port on the body, and what the body has above its first and below its
/// last. A first stage is about as wide as it is high.
const PORT: i32 = 46;
const PAD: i32 = 36;
/// The room that the set's own sign takes at the right of its title.
const SIGN: i32 = 100;

/// Draws a set as SVG.
#[must_use]
pub fn svg(set: &SetView) -> String {
    picture(set).svg()
}

/// Draws a set as shapes.
#[must_use]
pub fn picture(set: &SetView) -> Picture {
    let layout = Layout::of(set);
    let mut marks = head(set, &layout);
    marks.extend(body(MIDDLE, layout.top, HALF_BODY, layout.height));
    let mut parts = vec![Part { words: None, marks }];
    parts.extend(layout.left.iter().map(|placed| port(placed, Side::Left)));
    parts.extend(layout.right.iter().map(|placed| port(placed, Side::Right)));
    let at_end = |view| {
        let y = layout.top + layout.height;
        port(&Placed { view, port: y, row: y + DROP + CARD.1 / 2 }, Side::End)
    };
    parts.extend(layout.end.map(at_end));
    let ports: Vec<String> = set.ports.iter().map(in_words).collect();
    Picture {
        width: WIDTH,
        height: layout.whole,
        title: words::sets::picture_title(&set.name, set.in_use),
        words: format!("{} {}", set.words, ports.join(" ")),
        parts,
    }
}

/// A port: its height on the body, and that of its row beside the body.
struct Placed<'a> {
    view: &'a PortView,
    port: i32,
    row: i32,
}

/// Where everything is.
struct Layout<'a> {
    title: Vec<String>,
    state: Vec<String>,
    left: Vec<Placed<'a>>,
    right: Vec<Placed<'a>>,
    end: Option<&'a PortView>,
    /// The top of the body, and how high it is.
    top: i32,
    height: i32,
    whole: i32,
}

impl<'a> Layout<'a> {
    fn of(set: &'a SetView) -> Self {
        // One that is not known to give high pressure is drawn on the right.
        let (high, mut low): (Vec<&PortView>, Vec<&PortView>) =
            set.ports.iter().partition(|view| view.port.pressure() == Some(Pressure::High));
        let end = if low.len() >= 5 { low.pop() } else { None };
        let title = words::sets::picture_title(&set.name, set.in_use);
        let wide = WIDTH - 2 * MARGIN - SIGN;
        let (title, state) = (wrapped(&title, 30, wide), wrapped(&set.words, 18, wide));
        let above = MARGIN + lines(&title, 38) + lines(&state, 26) + 24;
        let height = 2 * PAD + PORT * count(&high).max(count(&low)).max(3);
        let room = rows(&high).max(rows(&low)).max(height);
        let top = above + NECK.max((room - height) / 2);
        let room = (top + (height - room) / 2, room);
        let below = match end {
            Some(view) if view.hose.is_some() => DROP + CARD.1,
            Some(_) => DROP,
            None => 0,
        };
        let placed = |views: &[&'a PortView]| placed(views, (top, height), room);
        Self {
            left: placed(&high),
            right: placed(&low),
            whole: (room.0 + room.1).max(top + height + below) + MARGIN,
            end,
            title,
            state,
            top,
            height,
        }
    }
}

fn count(views: &[&PortView]) -> i32 {
    i32::try_from(views.len()).unwrap_or(0)
}

fn lines(texts: &[String], each: i32) -> i32 {
    i32::try_from(texts.len()).unwrap_or(0) * each
}

fn row(view: &PortView) -> i32 {
    if view.hose.is_some() { HOSE_ROW } else { PLUG_ROW }
}

fn rows(views: &[&PortView]) -> i32 {
    views.iter().map(|view| row(view)).sum()
}

/// The ports of one side: on the body close together, and their rows beside it spread
/// over all the room. `body` and `room` are a top and a height.
fn placed<'a>(views: &[&'a PortView], body: (i32, i32), room: (i32, i32)) -> Vec<Placed<'a>> {
    let gap = (room.1 - rows(views)) / (count(views) + 1);
    let mut port = body.0 + (body.1 - PORT * count(views)) / 2;
    let mut y = room.0;
    let mut all = Vec::with_capacity(views.len());
    for view in views {
        y += gap;
        all.push(Placed { view, port: port + PORT / 2, row: y + row(view) / 2 });
        y += row(view);
        port += PORT;
    }
    all
}

/// The ground, the title, and its set's status.
fn head(set: &SetView, layout: &Layout<'_>) -> Vec<Mark> {
    let size = (WIDTH, layout.whole);
    let mut head = vec![Mark::Rect { at: (0, 0), size, round: 0, fill: "#FFFFFF", stroke: None }];
    let mut y = MARGIN;
    for line in &layout.title {
        y += 38;
        head.push(text((MARGIN, y - 10), 30, true, line));
    }
    for line in &layout.state {
        y += 26;
        head.push(text((MARGIN, y - 6), 18, false, line));
    }
    if let Some(worst) = set.worst {
        let x = WIDTH - MARGIN - SIGN / 2 + 16;
        head.extend(parts::sign((x, MARGIN + 34), worst));
        head.push(anchored((x, MARGIN + 88), 18, true, Anchor::Middle, worst.word()));
    }
    head
}

/// What is in a port, for those who cannot see the picture.
fn in_words(view: &PortView) -> String {
    let hose = view.hose.as_ref().map(|answer| {
        let why = answer.reasons.first().map_or("", |reason| reason.words.as_str());
        (answer.hose.words.as_str(), answer.code, answer.verdict, why)
    });
    words::sets::in_port(view.port.name, hose, &view.holds)
}

fn port(placed: &Placed<'_>, side: Side) -> Part {
    let (view, y) = (placed.view, placed.port);
    let at = match side {
        Side::Left => (MIDDLE - HALF_BODY, y),
        Side::Right => (MIDDLE + HALF_BODY, y),
        Side::End => (MIDDLE, y),
    };
    let (label, anchor) = match side {
        Side::Left => ((at.0 + 12, y + 7), Anchor::Start),
        Side::Right => ((at.0 - 12, y + 7), Anchor::End),
        Side::End => ((at.0, y - 27), Anchor::Middle),
    };
    let mut marks = vec![anchored(label, 18, true, anchor, &view.port.name.to_string())];
    let corner = match side {
        Side::Left => (MARGIN, placed.row - CARD.1 / 2),
        Side::Right => (WIDTH - MARGIN - CARD.0, placed.row - CARD.1 / 2),
        Side::End => (MIDDLE - CARD.0 / 2, placed.row - CARD.1 / 2),
    };
    marks.extend(match &view.hose {
        None => plug(at, side, (corner, CARD), &shortened(&view.holds, 16)),
        Some(answer) => hose_and_card(view.port.name, answer, side, at, corner),
    });
    Part { words: Some(in_words(view)), marks }
}

fn hose_and_card(name: PortName, answer: &Answer, side: Side, at: At, corner: At) -> Vec<Mark> {
    let specification = answer.hose.specification.as_ref();
    let braided = specification.is_some_and(|s| s.construction() == Construction::Braided);
    let (what, length) = described(name, specification);
    let lines = [what, format!("{length}{}", called(answer))];
    let mut drawn = parts::hose(at, corner, CARD, side, braided);
    drawn.extend(card(&Card { corner, size: CARD, verdict: answer.verdict, lines }));
    drawn
}

/// A hose in the few words that a card has room for.
fn described(port: PortName, hose: Option<&Specification>) -> (String, String) {
    hose.map_or_else(
        || (format!("{port} {}", words::UNKNOWN_BRIEFLY), String::new()),
        |hose| {
            let length = shortened(&hose.length().briefly(), 10);
            (format!("{port} {}", hose.service()), format!("{length} · "))
        },
    )
}

/// What people call a hose, as far as a card has room: the beginning of its code tells
/// hoses of a set apart.
fn called(answer: &Answer) -> String {
    match &answer.hose.origin.own.number {
        Some(number) => shortened(number.as_str(), 9),
        None => answer.code.to_string().chars().take(9).collect(),
    }
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(std::iter::once('…')).collect()
}

/// Breaks a text into lines of a width at its spaces; a word that is longer is
/// cut. How wide letters are is guessed on the safe side: the picture is drawn
/// with a font that the viewer has.
fn wrapped(text: &str, size: i32, wide: i32) -> Vec<String> {
    let most = i64::from(wide) * 100 / i64::from(size);
    let mut lines: Vec<(String, i64)> = Vec::new();
    for word in text.split_whitespace() {
        let before = lines.last().map_or(most, |(_, used)| *used);
        let whole: i64 = word.chars().map(hundredths).sum();
        if before + hundredths(' ') + whole <= most {
            if let Some((line, used)) = lines.last_mut() {
                line.push(' ');
                line.push_str(word);
                *used += hundredths(' ') + whole;
            }
            continue;
        }
        lines.push((String::new(), 0));
        for letter in word.chars() {
            if lines.last().is_some_and(|(_, used)| used + hundredths(letter) > most) {
                lines.push((String::new(), 0));
            }
            if let Some((line, used)) = lines.last_mut() {
                line.push(letter);
                *used += hundredths(letter);
            }
        }
    }
    lines.into_iter().map(|(line, _)| line).collect()
}

/// The width of a letter of a bold, wide font, in hundredths of its size.
const fn hundredths(letter: char) -> i64 {
    match letter {
        ' ' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | 'i' | 'j' | 'l' | 'I' => 40,
        'f' | 'r' | 't' | '-' | '(' | ')' => 50,
        'M' | 'W' | 'm' | 'w' | '@' | '%' => 112,
        '0'..='9' | 'a'..='z' => 71,
        'A'..='Z' => 82,
        _ => 105,
    }
}

#[cfg(test)]
mod tests;

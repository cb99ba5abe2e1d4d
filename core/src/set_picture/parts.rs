//! The parts of the picture: body, hoses, plugs, cards and signs.

use crate::inspection::Verdict;

/// Dark text, as RAL 9004 of ISO 3864-4: 14:1 on white, 11:1 on the body.
pub(super) const INK: &str = "#2B2B2C";
pub(super) const BODY: &str = "#E4E7EA";
const METAL: &str = "#AEB6BD";

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

/// Text made safe for XML: its five special characters, and nothing that XML
/// cannot hold.
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{FFFE}' | '\u{FFFF}' => safe.push('\u{FFFD}'),
            c if c.is_control() => safe.push('\u{FFFD}'),
            c => safe.push(c),
        }
    }
    safe
}

pub(super) fn text(x: i32, y: i32, size: i32, bold: bool, words: &str) -> String {
    anchored(x, y, size, bold, "start", words)
}

pub(super) fn anchored(x: i32, y: i32, size: i32, bold: bool, anchor: &str, words: &str) -> String {
    let weight = if bold { " font-weight=\"bold\"" } else { "" };
    let anchor = match anchor {
        "start" => String::new(),
        other => format!(" text-anchor=\"{other}\""),
    };
    let words = escaped(words);
    format!(
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{weight}{anchor} fill=\"{INK}\">{words}</text>\n"
    )
}

fn rect((x, y): (i32, i32), (w, h): (i32, i32), round: i32, fill: &str, line: i32) -> String {
    format!(
        "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" rx=\"{round}\" fill=\"{fill}\" \
         stroke=\"{INK}\" stroke-width=\"{line}\"/>\n"
    )
}

/// The first stage: its clamp with a hand wheel above, then the body.
pub(super) fn body(middle: i32, top: i32, half: i32, height: i32) -> String {
    let mut drawn = String::new();
    // Hand wheel and spindle.
    drawn.push_str(&rect((middle - 40, top - 104), (80, 24), 10, METAL, 3));
    drawn.push_str(&rect((middle - 9, top - 80), (18, 26), 2, METAL, 3));
    // The clamp, open in the middle where the cylinder's valve goes.
    drawn.push_str(&rect((middle - 52, top - 60), (104, 70), 18, METAL, 3));
    drawn.push_str(&rect((middle - 30, top - 44), (60, 44), 8, "#FFFFFF", 3));
    drawn.push_str(&rect((middle - half, top), (2 * half, height), 30, BODY, 4));
    for y in [top + 26, top + height - 42] {
        drawn.push_str(&format!(
            "<path d=\"M{} {y}h{}\" stroke=\"{METAL}\" stroke-width=\"4\"/>\n",
            middle - half + 4,
            2 * half - 8
        ));
    }
    drawn
}

/// The body alone.
pub(super) fn plain_body(corner: (i32, i32), size: (i32, i32)) -> String {
    rect(corner, size, 22, BODY, 4)
}

/// What leads to the cylinder, cut short: the body begins so far below.
pub(super) fn neck(middle: i32, high: i32) -> String {
    rect((middle - 24, 2), (48, high / 2), 6, METAL, 3)
        + &rect((middle - 12, high / 2), (24, high / 2 + 6), 2, METAL, 3)
}

/// A piece that sits on a port and reaches outwards: from `from` to `to` away
/// from the body, `wide` across.
fn piece((x, y): (i32, i32), side: Side, from: i32, to: i32, wide: i32, fill: &str) -> String {
    let (corner, size) = match side {
        Side::Left => ((x - to, y - wide / 2), (to - from, wide)),
        Side::Right => ((x + from, y - wide / 2), (to - from, wide)),
        Side::End => ((x - wide / 2, y + from), (wide, to - from)),
    };
    rect(corner, size, 3, fill, 3)
}

/// A plug: a thin collar and the head of a screw with its hexagon socket, and
/// the word beside it.
pub(super) fn plug(at: (i32, i32), side: Side) -> String {
    let (right, down) = side.out();
    let (x, y) = (at.0 + 13 * right, at.1 + 13 * down);
    let mut drawn = piece(at, side, 0, 6, 40, METAL) + &piece(at, side, 6, 20, 30, METAL);
    drawn.push_str(&format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"4\" fill=\"{INK}\"/>\n"));
    let word = crate::words::sets::PLUG;
    drawn.push_str(&match side {
        Side::Left => anchored(at.0 - 32, at.1 + 6, 18, false, "end", word),
        Side::Right => text(at.0 + 32, at.1 + 6, 18, false, word),
        Side::End => anchored(at.0, at.1 + 44, 18, false, "middle", word),
    });
    drawn
}

/// A hose from its port to its card, with the nut that holds it in the port.
pub(super) fn hose(
    at: (i32, i32),
    corner: (i32, i32),
    (wide, high): (i32, i32),
    side: Side,
    braided: bool,
) -> String {
    let (x, y) = at;
    let path = match side {
        // Its end is behind the card.
        Side::Left => curve(x - 30, corner.0 + wide - 20, y),
        Side::Right => curve(x + 30, corner.0 + 20, y),
        Side::End => format!("M{x} {}V{}", y + 30, corner.1 + high / 2),
    };
    let line = |colour: &str, width: i32, dashes: &str| {
        format!(
            "<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\"{dashes}/>\n"
        )
    };
    let mut drawn = line(INK, 16, "");
    if braided {
        drawn.push_str(&line("#D5DADE", 11, " stroke-dasharray=\"5 4\""));
    } else {
        drawn.push_str(&line("#6C7278", 3, ""));
    }
    drawn + &piece(at, side, 0, 20, 34, METAL) + &piece(at, side, 20, 34, 24, METAL)
}

/// A hose hangs a little between its ends.
fn curve(from: i32, to: i32, y: i32) -> String {
    let (third, sag) = ((to - from) / 3, 14);
    format!("M{from} {y}C{} {} {} {} {to} {y}", from + third, y + sag, to - third, y + sag)
}

/// A hose in words: which verdict, and lines about it.
pub(super) struct Card {
    pub(super) corner: (i32, i32),
    pub(super) size: (i32, i32),
    pub(super) verdict: Verdict,
    pub(super) lines: [String; 2],
}

pub(super) fn card(card: &Card) -> String {
    let (x, y) = card.corner;
    let mut drawn = rect(card.corner, card.size, 12, "#FFFFFF", 3);
    drawn.push_str(&sign((x + 46, y + card.size.1 / 2), card.verdict));
    let [first, second] = &card.lines;
    drawn.push_str(&text(x + 90, y + 30, 20, true, first));
    drawn.push_str(&text(x + 90, y + 56, 18, false, second));
    drawn.push_str(&text(x + 90, y + 82, 20, true, card.verdict.word()));
    drawn
}

/// The same in less room: its sign is smaller.
pub(super) fn small_card(card: &Card) -> String {
    let (x, y) = card.corner;
    let mut drawn = rect(card.corner, card.size, 12, "#FFFFFF", 3);
    let (left, middle) = (x + 31, y + card.size.1 / 2);
    drawn.push_str(&format!("<g transform=\"translate({left} {middle}) scale(0.7)\">\n"));
    drawn.push_str(&sign((0, 0), card.verdict));
    drawn.push_str("</g>\n");
    let [first, second] = &card.lines;
    drawn.push_str(&text(x + 60, y + 26, 18, true, first));
    drawn.push_str(&text(x + 60, y + 51, 18, false, second));
    drawn.push_str(&text(x + 60, y + 76, 18, true, card.verdict.word()));
    drawn
}

/// The sign of a verdict around a point, 60 across: the geometric shapes of
/// ISO 3864-1.
pub(super) fn sign((x, y): (i32, i32), verdict: Verdict) -> String {
    let fill = colour(verdict);
    match verdict {
        Verdict::Ready => format!(
            "<rect x=\"{}\" y=\"{}\" width=\"60\" height=\"60\" rx=\"5\" fill=\"{fill}\"/>\n\
             <path d=\"M{} {}l12 13l22 -28\" fill=\"none\" stroke=\"#FFFFFF\" stroke-width=\"8\"/>\n",
            x - 30,
            y - 30,
            x - 17,
            y + 2
        ),
        Verdict::Watch => format!(
            "<path d=\"M{x} {}L{} {}H{}Z\" fill=\"{fill}\" stroke=\"{INK}\" stroke-width=\"5\" \
             stroke-linejoin=\"round\"/>\n{}",
            y - 27,
            x + 31,
            y + 27,
            x - 31,
            exclamation(x, y + 6, 24, INK)
        ),
        Verdict::Hold => format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"31\" fill=\"{fill}\"/>\n{}",
            exclamation(x, y, 36, "#FFFFFF")
        ),
        Verdict::Retire => format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"27\" fill=\"#FFFFFF\" stroke=\"{fill}\" \
             stroke-width=\"8\"/>\n<path d=\"M{} {}l38 38\" stroke=\"{fill}\" stroke-width=\"8\"/>\n",
            x - 19,
            y - 19
        ),
    }
}

/// An exclamation mark around a point.
fn exclamation(x: i32, y: i32, high: i32, fill: &str) -> String {
    let (stroke, dot) = (high * 2 / 3, high / 8);
    format!(
        "<path d=\"M{} {}h{}l{} {stroke}h{}z\" fill=\"{fill}\"/>\n\
         <circle cx=\"{x}\" cy=\"{}\" r=\"{dot}\" fill=\"{fill}\"/>\n",
        x - high / 8,
        y - high / 2,
        high / 4,
        -(high / 16),
        -(high / 4 - high / 8),
        y + high / 2 - dot
    )
}

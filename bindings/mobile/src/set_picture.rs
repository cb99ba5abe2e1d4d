//! A set drawn as it sits: the core's picture as shapes, which a screen draws
//! at any size, and its words for those who cannot see it.

use hosewright_core::set_picture as core;

use crate::logbook::set_name;
use crate::sign::rgb;
use crate::{Logbook, Moment, RefusedError, Words};

/// A point: to the right, and down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Record)]
pub struct At {
    /// To the right.
    pub x: i32,
    /// Down.
    pub y: i32,
}

/// A line along a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Record)]
pub struct Stroke {
    /// Its colour, as 0xRRGGBB.
    pub colour: u32,
    /// How thick it is.
    pub width: i32,
    /// How long a dash is; 0 if the line is whole.
    pub dash: i32,
    /// How long the gap between dashes is.
    pub gap: i32,
    /// Whether its corners are round.
    pub round: bool,
}

/// A step of a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Step {
    /// Begins at a point.
    From {
        /// The point.
        at: At,
    },
    /// A straight line to a point.
    To {
        /// The point.
        at: At,
    },
    /// A Bézier curve past two points to a third.
    Curve {
        /// The first point.
        first: At,
        /// The second point.
        second: At,
        /// Where it ends.
        to: At,
    },
    /// A straight line back to the beginning.
    Close,
}

/// Where a text is beside its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum TextAnchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A shape.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum Mark {
    /// A rectangle.
    Rect {
        /// Its upper left corner.
        at: At,
        /// How wide it is.
        width: i32,
        /// How high it is.
        height: i32,
        /// The radius of its corners.
        round: i32,
        /// What fills it, as 0xRRGGBB.
        fill: u32,
        /// The line round it.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        at: At,
        /// Its radius.
        radius: i32,
        /// What fills it, as 0xRRGGBB.
        fill: u32,
        /// The line round it.
        stroke: Option<Stroke>,
    },
    /// Lines.
    Path {
        /// Where they go.
        steps: Vec<Step>,
        /// What fills what they enclose, as 0xRRGGBB.
        fill: Option<u32>,
        /// How they are drawn.
        stroke: Option<Stroke>,
    },
    /// A text in one line.
    Text {
        /// Where it stands, on its base line.
        at: At,
        /// The size of its letters.
        size: i32,
        /// Whether it is bold.
        bold: bool,
        /// Where it is beside `at`.
        anchor: TextAnchor,
        /// Its colour, as 0xRRGGBB.
        fill: u32,
        /// What it says.
        words: Words,
    },
}

/// A picture: shapes that are drawn one after the other, the later over the
/// earlier, in units of about a CSS pixel from the upper left. Letters are of a
/// font without serifs.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Picture {
    /// How wide it is.
    pub width: i32,
    /// How high it is.
    pub height: i32,
    /// The whole of it in words, for those who cannot see it.
    pub words: Words,
    /// Its shapes.
    pub marks: Vec<Mark>,
}

impl Logbook {
    /// A set drawn as it sits, one port under another.
    ///
    /// # Errors
    /// [`RefusedError`] if there is no such set or the store cannot be read.
    pub fn set_picture(&self, name: String, moment: Moment) -> Result<Picture, RefusedError> {
        let core = self.core();
        let view = core.set_view(&set_name(&core, &name)?, &moment.core()?)?;
        let picture = core::narrow(&view);
        let marks = picture.parts.into_iter().flat_map(|part| part.marks);
        Ok(Picture {
            width: picture.width,
            height: picture.height,
            words: format!("{}. {}", picture.title, picture.words).into(),
            marks: marks.map(mark).collect(),
        })
    }
}

fn mark(mark: core::Mark) -> Mark {
    match mark {
        core::Mark::Rect { at: corner, size: (width, height), round, fill, stroke } => Mark::Rect {
            at: at(corner),
            width,
            height,
            round,
            fill: rgb(fill),
            stroke: stroke.map(line),
        },
        core::Mark::Circle { at: middle, radius, fill, stroke } => {
            Mark::Circle { at: at(middle), radius, fill: rgb(fill), stroke: stroke.map(line) }
        }
        core::Mark::Path { steps, fill, stroke } => Mark::Path {
            steps: steps.into_iter().map(step).collect(),
            fill: fill.map(rgb),
            stroke: stroke.map(line),
        },
        core::Mark::Text { at: point, size, bold, anchor, fill, words } => Mark::Text {
            at: at(point),
            size,
            bold,
            anchor: match anchor {
                core::Anchor::Start => TextAnchor::Start,
                core::Anchor::Middle => TextAnchor::Middle,
                core::Anchor::End => TextAnchor::End,
            },
            fill: rgb(fill),
            words: words.into(),
        },
    }
}

fn step(step: core::Step) -> Step {
    match step {
        core::Step::From(point) => Step::From { at: at(point) },
        core::Step::To(point) => Step::To { at: at(point) },
        core::Step::Curve(first, second, to) => {
            Step::Curve { first: at(first), second: at(second), to: at(to) }
        }
        core::Step::Close => Step::Close,
    }
}

fn line(stroke: core::Stroke) -> Stroke {
    let (dash, gap) = stroke.dashes.unwrap_or((0, 0));
    let core::Stroke { colour, width, round, .. } = stroke;
    Stroke { colour: rgb(colour), width, dash, gap, round }
}

const fn at((x, y): core::At) -> At {
    At { x, y }
}

//! A picture as data: shapes that any face can draw, and the same as SVG.

use crate::text::visible;

/// A set's picture: parts that are drawn one after the other, the later over
/// the earlier. Everything is in units of about a CSS pixel, from the upper
/// left; letters are of a font without serifs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// How wide it is.
    pub width: i32,
    /// How high it is.
    pub height: i32,
    /// What it shows.
    pub title: String,
    /// The whole of it in words, for those who cannot see it.
    pub words: String,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// A part of a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What the part is in words: a port with what is in it.
    pub words: Option<String>,
    /// Its shapes.
    pub marks: Vec<Mark>,
}

/// A colour, as `#RRGGBB`.
pub type Colour = &'static str;

/// A point: to the right, and down.
pub type At = (i32, i32);

/// A line along a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stroke {
    /// Its colour.
    pub colour: Colour,
    /// How thick it is.
    pub width: i32,
    /// How long its dashes and the gaps between them are; none if it has none.
    pub dashes: Option<(i32, i32)>,
    /// Whether its corners are round.
    pub round: bool,
}

/// A step of a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Begins at a point.
    From(At),
    /// A straight line to a point.
    To(At),
    /// A Bézier curve past two points to a third.
    Curve(At, At, At),
    /// A straight line back to the beginning.
    Close,
}

/// Where a text is beside its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A shape.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mark {
    /// A rectangle.
    Rect {
        /// Its upper left corner.
        at: At,
        /// How wide and how high it is.
        size: (i32, i32),
        /// The radius of its corners.
        round: i32,
        /// What fills it.
        fill: Colour,
        /// The line round it.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        at: At,
        /// Its radius.
        radius: i32,
        /// What fills it.
        fill: Colour,
        /// The line round it.
        stroke: Option<Stroke>,
    },
    /// Lines.
    Path {
        /// Where they go.
        steps: Vec<Step>,
        /// What fills what they enclose.
        fill: Option<Colour>,
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
        anchor: Anchor,
        /// Its colour.
        fill: Colour,
        /// What it says.
        words: String,
    },
}

impl Picture {
    /// The picture as SVG; byte for byte the same for the same picture.
    #[must_use]
    pub fn svg(&self) -> String {
        let Self { width, height, .. } = self;
        let mut drawn = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
             width=\"{width}\" height=\"{height}\" role=\"img\" font-family=\"sans-serif\">\n\
             <title>{}</title>\n<desc>{}</desc>\n",
            escaped(&self.title),
            escaped(&self.words),
        );
        for part in &self.parts {
            let marks: String = part.marks.iter().map(Mark::svg).collect();
            drawn.push_str(&match &part.words {
                Some(words) => format!("<g><title>{}</title>\n{marks}</g>\n", escaped(words)),
                None => marks,
            });
        }
        drawn.push_str("</svg>\n");
        drawn
    }
}

impl Mark {
    fn svg(&self) -> String {
        match self {
            Self::Rect { at: (x, y), size: (w, h), round, fill, stroke } => {
                let round = if *round == 0 { String::new() } else { format!(" rx=\"{round}\"") };
                format!(
                    "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{round} \
                     fill=\"{fill}\"{}/>\n",
                    stroked(*stroke)
                )
            }
            Self::Circle { at: (x, y), radius, fill, stroke } => format!(
                "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"{fill}\"{}/>\n",
                stroked(*stroke)
            ),
            Self::Path { steps, fill, stroke } => {
                let steps: String = steps.iter().map(Step::svg).collect();
                let fill = fill.unwrap_or("none");
                format!("<path d=\"{steps}\" fill=\"{fill}\"{}/>\n", stroked(*stroke))
            }
            Self::Text { at: (x, y), size, bold, anchor, fill, words } => {
                let weight = if *bold { " font-weight=\"bold\"" } else { "" };
                let anchor = match anchor {
                    Anchor::Start => "",
                    Anchor::Middle => " text-anchor=\"middle\"",
                    Anchor::End => " text-anchor=\"end\"",
                };
                format!(
                    "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{weight}{anchor} \
                     fill=\"{fill}\">{}</text>\n",
                    escaped(words)
                )
            }
        }
    }
}

impl Step {
    fn svg(&self) -> String {
        match self {
            Self::From((x, y)) => format!("M{x} {y}"),
            Self::To((x, y)) => format!("L{x} {y}"),
            Self::Curve(a, b, to) => {
                format!("C{} {} {} {} {} {}", a.0, a.1, b.0, b.1, to.0, to.1)
            }
            Self::Close => "Z".to_owned(),
        }
    }
}

fn stroked(stroke: Option<Stroke>) -> String {
    stroke.map_or_else(String::new, |Stroke { colour, width, dashes, round }| {
        let dashes = dashes.map(|(on, off)| format!(" stroke-dasharray=\"{on} {off}\""));
        let round = if round { " stroke-linejoin=\"round\"" } else { "" };
        let dashes = dashes.unwrap_or_default();
        format!(" stroke=\"{colour}\" stroke-width=\"{width}\"{dashes}{round}")
    })
}

/// Text made safe for XML: its five special characters, and nothing that XML
/// cannot hold or an eye cannot see.
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in visible(text).chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{FFFE}' | '\u{FFFF}' => safe.push('\u{FFFD}'),
            c => safe.push(c),
        }
    }
    safe
}

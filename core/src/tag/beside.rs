//! What stands beside a symbol, so that a person ties the tag on the right hose:
//! few words, as large as their room allows, and none of them cut off.

use pdf_writer::Content;

use super::payload::{Payload, TagText};
use crate::pdf::{POINTS_A_MM, Place, broken, text, width_of, win_ansi};

/// A tag to print, with what tells the hose or set that it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct TagLabel {
    /// What the symbol says.
    pub text: TagText,
    /// What the shop calls it: the hose's own number, or the set's name.
    pub number: Option<String>,
    /// What it is, in few words: `2nd stage 75 cm`.
    pub what: Option<String>,
    /// Where it belongs: `R3 LP1`.
    pub place: Option<String>,
}

impl TagLabel {
    /// Its words in the order in which they matter.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        [&self.number, &self.what, &self.place].into_iter().flatten().map(String::as_str)
    }

    /// Whether the symbol stands alone.
    #[must_use]
    pub fn is_bare(&self) -> bool {
        self.words().next().is_none()
    }
}

impl From<TagText> for TagLabel {
    fn from(text: TagText) -> Self {
        Self { text, number: None, what: None, place: None }
    }
}

impl From<Payload> for TagLabel {
    fn from(payload: Payload) -> Self {
        TagText::from(payload).into()
    }
}

/// The largest and the smallest type, in points. Under 5 points print is hard to
/// read at arm's length (common practice, no source).
const LARGEST: f64 = 12.0;
const SMALLEST: f64 = 5.0;
/// From line to line, as a share of the type size.
const LEADING: f64 = 1.15;
/// What letters reach above their baseline, as a share of the type size.
const ASCENT: f64 = 0.75;

/// Words set in lines: the type size in points, and the lines.
#[derive(Debug, PartialEq)]
pub(super) struct Set {
    size: f64,
    /// Each with whether it stands out.
    lines: Vec<(String, bool)>,
    /// Whether some words had no room, or letters that the print lacks.
    pub(super) left_out: bool,
}

impl Set {
    /// Sets the words of a tag in a room, in mm: as many as fit, as large as fits.
    pub(super) fn of(label: &TagLabel, width: f64, height: f64) -> Self {
        let all: Vec<&str> = label.words().collect();
        let printable = all.iter().copied().filter(|word| win_ansi(word).is_some());
        let mut words: Vec<&str> = printable.collect();
        let room = (width * POINTS_A_MM, height * POINTS_A_MM);
        while !words.is_empty() {
            if let Some((size, lines)) = fitted(&words, room) {
                let bold = |at: usize| at == 0 && label.number.as_deref() == words.first().copied();
                let lines = lines.into_iter().map(|(line, word)| (line, bold(word))).collect();
                return Self { size, lines, left_out: words.len() < all.len() };
            }
            words.pop();
        }
        Self { size: SMALLEST, lines: Vec::new(), left_out: !all.is_empty() }
    }

    /// How high they stand, in mm.
    pub(super) fn height(&self) -> f64 {
        let lines = u32::try_from(self.lines.len()).unwrap_or(0);
        self.size * LEADING * f64::from(lines) / POINTS_A_MM
    }

    /// Draws them; `place` is the upper left corner.
    pub(super) fn draw(&self, content: &mut Content, place: Place) {
        let mut top = place.top - self.size * ASCENT / POINTS_A_MM;
        for (line, bold) in &self.lines {
            let face: &[u8] = if *bold { b"B" } else { b"F" };
            text(content, face, self.size, Place { left: place.left, top }, line);
            top -= self.size * LEADING / POINTS_A_MM;
        }
    }
}

/// Lines, each with the number of the word that it is of.
type Lines = Vec<(String, usize)>;

/// The largest type in which words fit a room, in points: each on a line of its own
/// where that can be read, else broken between their parts.
fn fitted(words: &[&str], (width, height): (f64, f64)) -> Option<(f64, Lines)> {
    let sizes = || (0..=14).map(|step| LARGEST - 0.5 * f64::from(step)).filter(|s| *s >= SMALLEST);
    let fits = |size: f64, lines: &Lines| {
        let count = u32::try_from(lines.len()).unwrap_or(u32::MAX);
        let wide = lines.iter().all(|(line, _)| width_of(line) * size <= width);
        wide && f64::from(count) * LEADING * size <= height
    };
    // A larger type is no reason to break a word.
    let ways: [fn(&str, f64) -> Vec<String>; 3] = [
        |word, _| vec![word.to_owned()],
        |word, width| broken(word, width, false),
        |word, width| broken(word, width, true),
    ];
    ways.into_iter().find_map(|lines_of| {
        sizes().find_map(|size| {
            let lines: Lines = words
                .iter()
                .enumerate()
                .flat_map(|(at, word)| {
                    lines_of(word, width / size).into_iter().map(move |line| (line, at))
                })
                .collect();
            fits(size, &lines).then_some((size, lines))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tag::code::Code;

    fn label(words: [&str; 3]) -> TagLabel {
        let code = (0..).find_map(Code::from_bits).unwrap_or_else(|| unreachable!("a code"));
        let some = |word: &str| Some(word.to_owned()).filter(|word| !word.is_empty());
        let [number, what, place] = words.map(some);
        TagLabel { number, what, place, ..Payload { code, passport: None }.into() }
    }

    fn lines(words: [&str; 3], width: f64, height: f64) -> (f64, Vec<String>, bool) {
        let set = Set::of(&label(words), width, height);
        (set.size, set.lines.into_iter().map(|(line, _)| line).collect(), set.left_out)
    }

    #[test]
    fn words_are_as_large_as_their_room_and_never_wider() {
        let hose = ["LP-17", "2nd stage 75 cm", "R3 LP1"];
        let large = lines(hose, 45.0, 30.0);
        assert_eq!((large.0, large.1.len(), large.2), (12.0, 3, false));
        let narrow = lines(hose, 20.0, 9.0);
        assert!(narrow.0 < 8.0 && narrow.1 == hose && !narrow.2, "{narrow:?}");
        // Too narrow for a line each.
        let thin = lines(hose, 8.0, 30.0);
        assert!(thin.1.len() > 3 && !thin.2, "{thin:?}");
        assert_eq!(thin.1.join(" "), hose.join(" "));
        // Too low for all: the first stay.
        let low = lines(hose, 20.0, 4.5);
        assert_eq!((low.1, low.2), (vec!["LP-17".to_owned(), "2nd stage 75 cm".to_owned()], true));
        assert_eq!(lines(hose, 20.0, 1.0).1, Vec::<String>::new());
        for width in 3..40 {
            let set = lines(
                ["Nr. 123456789012", "second-stage hose of the pool", "Ä"],
                f64::from(width),
                20.0,
            );
            for line in &set.1 {
                assert!(
                    width_of(line) * set.0 <= f64::from(width) * POINTS_A_MM,
                    "{width}: {set:?}"
                );
            }
        }
    }

    #[test]
    fn what_the_font_lacks_is_left_out_whole() {
        assert_eq!(lines(["Ж-7", "2nd stage", ""], 40.0, 20.0).1, ["2nd stage"]);
        assert!(lines(["Ж-7", "2nd stage", ""], 40.0, 20.0).2);
        assert_eq!(
            lines(["Größe 7", "", ""], 40.0, 20.0),
            (12.0, vec!["Größe 7".to_owned()], false)
        );
        assert!(lines(["", "", ""], 40.0, 20.0).1.is_empty());
    }
}

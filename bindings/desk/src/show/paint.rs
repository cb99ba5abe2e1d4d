//! Verdicts in the colours of ISO 3864-1, for terminals that show 256 of them.
//! A colour never stands alone: shape and word are always beside it.

use hosewright_core::inspection::Verdict;
use hosewright_core::words;

use super::Screen;

/// The nearest of a terminal's 256 colours to RAL 6032, 1003, 5005 and 3001,
/// and the contrast colour that the standard gives for letters on each.
const fn colours(verdict: Verdict) -> (u8, u8) {
    const BLACK: u8 = 16;
    const WHITE: u8 = 231;
    match verdict {
        Verdict::Ready => (29, WHITE),
        Verdict::Watch => (214, BLACK),
        Verdict::Hold => (24, WHITE),
        Verdict::Retire => (88, WHITE),
    }
}

/// Puts a text on the verdict's colour, where colours are wanted.
pub fn on_colour(screen: Screen, verdict: Verdict, text: &str) -> String {
    if !screen.colour {
        return text.to_owned();
    }
    let (ground, letters) = colours(verdict);
    format!("\x1b[1;38;5;{letters};48;5;{ground}m{text}\x1b[0m")
}

/// A verdict's shape and word: `/!\ watch`.
pub fn verdict(screen: Screen, verdict: Verdict) -> String {
    on_colour(screen, verdict, &format!("{} {verdict}", words::shape(verdict)))
}

/// A heading.
pub fn bold(screen: Screen, text: &str) -> String {
    if screen.colour { format!("\x1b[1m{text}\x1b[0m") } else { text.to_owned() }
}

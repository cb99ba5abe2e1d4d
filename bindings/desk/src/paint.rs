//! Verdicts in the colours of ISO 3864-1, for terminals that show 256 of them.
//! A colour never is alone: shape and word are always beside it.

use std::borrow::Cow;
use std::ops::Add;

use hosewright_core::inspection::Verdict;
use hosewright_core::text::visible_lines;
use hosewright_core::words;

use crate::terminal::Screen;

/// A text for a terminal. The marks that steer it (colours, bold) were put there
/// by this module alone: what a text brings along is made visible.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Painted(String);

impl Painted {
    /// The text with its marks.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Texts below each other.
    pub fn lines(texts: impl IntoIterator<Item = Self>) -> Self {
        let texts: Vec<String> = texts.into_iter().map(|text| text.0).collect();
        Self(texts.join("\n"))
    }

    /// Without spaces at the end.
    #[must_use]
    pub fn trimmed(mut self) -> Self {
        self.0.truncate(self.0.trim_end().len());
        self
    }

    fn between(before: &str, text: &str, after: &str) -> Self {
        Self(format!("{before}{}{after}", visible_lines(text)))
    }
}

impl From<&str> for Painted {
    fn from(text: &str) -> Self {
        Self(visible_lines(text).into_owned())
    }
}

impl From<String> for Painted {
    fn from(text: String) -> Self {
        match visible_lines(&text) {
            Cow::Borrowed(_) => Self(text),
            Cow::Owned(shown) => Self(shown),
        }
    }
}

impl From<&String> for Painted {
    fn from(text: &String) -> Self {
        Self::from(text.as_str())
    }
}

impl<T: Into<Self>> Add<T> for Painted {
    type Output = Self;

    fn add(mut self, text: T) -> Self {
        let text: Self = text.into();
        self.0.push_str(&text.0);
        self
    }
}

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

/// Puts a text on the verdict's colour, if colours are wanted.
pub fn on_colour(screen: Screen, verdict: Verdict, text: &str) -> Painted {
    if !screen.colour {
        return text.into();
    }
    let (ground, letters) = colours(verdict);
    Painted::between(&format!("\x1b[1;38;5;{letters};48;5;{ground}m"), text, "\x1b[0m")
}

/// A verdict's shape and word: `/!\ watch`.
pub fn verdict(screen: Screen, verdict: Verdict) -> Painted {
    on_colour(screen, verdict, &format!("{} {verdict}", words::shape(verdict)))
}

/// A heading.
pub fn bold(screen: Screen, text: &str) -> Painted {
    if screen.colour { Painted::between("\x1b[1m", text, "\x1b[0m") } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_brings_marks_of_its_own() {
        let screen = Screen { width: 80, colour: true };
        let forged = "\x1b[1;38;5;231;48;5;29mready\x1b[0m\n\u{202E}x";
        let shown = "<U+001B>[1;38;5;231;48;5;29mready<U+001B>[0m\n<U+202E>x";
        assert_eq!(Painted::from(forged).as_str(), shown);
        assert_eq!(bold(screen, forged).as_str(), format!("\x1b[1m{shown}\x1b[0m"));
        let both = verdict(screen, Verdict::Hold) + " " + forged;
        assert_eq!(both.as_str(), format!("\x1b[1;38;5;231;48;5;24m(!) hold\x1b[0m {shown}"));
    }
}

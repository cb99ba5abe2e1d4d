//! The terminal: whether there is one, how wide it is, and whether it has colours.

use std::io::{self, IsTerminal};

/// Where something is shown: how wide it is, and whether it has colours.
#[derive(Debug, Clone, Copy)]
pub struct Screen {
    /// Columns.
    pub width: usize,
    /// Whether colours are wanted.
    pub colour: bool,
}

/// Breaks a text into lines as wide as standard output.
pub fn filled(text: &str) -> String {
    let options = textwrap::Options::new(Screen::of_stdout().width);
    textwrap::fill(text, options.break_words(false))
}

impl Screen {
    /// Standard output, in the width that there is. A pipe is as wide as `COLUMNS` says,
    /// else 80 columns, so that what is kept of it is the same everywhere.
    pub fn of_stdout() -> Self {
        let terminal = is_terminal();
        let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let named = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
        let width = if terminal { textwrap::termwidth() } else { named.unwrap_or(80) };
        let width = width.clamp(40, 240);
        Self { width, colour: terminal && !plain }
    }
}

/// Whether a person looks at standard output.
pub fn is_terminal() -> bool {
    io::stdout().is_terminal()
}

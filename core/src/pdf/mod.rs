//! What is printed: a PDF file page by page, its letters, and blocks of text and
//! pictures that flow from page to page.

mod document;
mod flow;
mod letters;

pub(crate) use document::{Document, POINTS_A_MM, Place, line, points, rectangle, text};
pub(crate) use flow::{Block, Style, flowed, sides};
pub(crate) use letters::{broken, width_of, win_ansi};

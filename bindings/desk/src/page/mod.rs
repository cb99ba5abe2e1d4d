//! The counter page: the same core behind a web page, for the counter's own
//! computer and, where it is asked for, any phone's browser in the shop.
//!
//! ```text
//! server    binds, says where it is, serves until Ctrl-C
//! connections  how many there are, and how long a sender may take
//! routes    the one table of what can be asked
//! guard     who may ask: host, origin, session; headers of every response
//! shared    what all requests share: records, secrets, the shop's name for today
//! records   one writing connection, some reading ones, the demonstration, and what
//!           was found out about the whole fleet, as long as it holds
//! ask       a request with what its screen needs; a posted form that is ours
//! fields    what was typed, by name
//! files     files that are sent
//! upload    files that come in, and lists that wait for a yes
//! again     a refused form, shown again with what was typed
//! second_step  what looks like a slip, asked about before it is written
//! refusal   why not, as a page with a status
//! lan       pass phrase, sessions, attempts
//! labels    the page's own words: buttons and headings
//! frame     what stands round every screen, the scan box above all
//! visible   what came from outside, shown as text in every page
//! parts     verdicts, tables and fields as they are drawn
//! sheet     a table, as HTML and as CSV
//! charts    pictures of numbers
//! screens/  a file a screen: what is asked of the core, and how it is shown
//! ```
//!
//! A screen asks the logbook and shows what it says; it decides nothing about a
//! hose and words nothing about one.

mod again;
mod ask;
mod charts;
mod connections;
mod counting;
mod fields;
mod files;
mod frame;
mod guard;
mod labels;
mod lan;
mod parts;
mod pictured;
mod records;
mod refusal;
mod routes;
mod screens;
mod second_step;
mod server;
mod shared;
mod sheet;
#[cfg(test)]
mod tests;
mod upload;
mod visible;

pub use connections::Patience;
pub use lan::{PassPhrase, PassPhraseError};
pub use server::{Serving, serve};
pub use shared::random;

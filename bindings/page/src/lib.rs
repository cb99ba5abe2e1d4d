//! The counter page: the core's record behind screens for a browser. A request
//! comes in and a page goes out, both plain values: this crate has no sockets,
//! no files, no clock and no threads of its own. What it needs of anyone who serves
//! it is one trait, [`Host`].
//!
//! ```text
//! labels    the page's own words: buttons and headings
//! refusal   why something was not done, and its status
//! fields    what was typed, by name; typed reads values that need more than a parser
//! csv       lists for spreadsheets
//! visible   text from outside made visible in a finished page
//! response  what goes out
//! watching  a film that a camera sees, frame by frame
//! meeting   a meeting that goes on while its page is looked at
//! host      what the page needs of its host
//! request   what was asked, and by whom
//! parts     verdicts and hoses as every screen draws them
//! form      a form: what was typed into it, and what is wrong with that
//! state     a request with what its screen needs
//! charts    pictures of numbers
//! sheet     a table, on a screen and as CSV
//! frame     what is around every screen, the scan box above all
//! second_step  what looks like a slip, asked about before it is written
//! screens/  a file a screen: what is asked of the core, and how it is shown
//! route     one thing that can be asked: how, where, and what goes along
//! routes    the one table of them all
//! answering finds the row, asks its screen, draws a refusal
//! ```
//!
//! Imports run down this list, never up. A screen asks the logbook and shows what
//! it says; it decides nothing about a hose and words nothing about one.

#![deny(missing_docs)]

mod answering;
mod charts;
pub mod csv;
mod dates;
mod fields;
mod form;
mod frame;
mod host;
mod labels;
mod meeting;
mod parts;
mod refusal;
mod request;
mod response;
mod route;
mod routes;
mod screens;
mod second_step;
mod sheet;
mod state;
mod visible;
mod watching;

pub use answering::answer;
pub use fields::{Fields, percent_encode};
pub use frame::{bare, refused};
pub use host::{Host, Invited, Network, Upload, Waiting};
pub use labels::NOBODY;
pub use meeting::{Meeting, Met, Said, Work};
pub use refusal::Refusal;
pub use request::{Person, Request};
pub use response::{Body, Made, Remember, Response, redirect};
pub use route::{Cost, How, Route, Takes};
pub use routes::{Found, ROUTES, allowed, find};
pub use screens::scan::seen;
pub use screens::watch::watched;
pub use watching::Watching;

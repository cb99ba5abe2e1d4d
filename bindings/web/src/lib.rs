//! The record in any phone's browser: the core and the counter page's own screens in
//! WebAssembly, behind a thin shell of JavaScript. What the shell asks comes in as plain
//! values and a page goes out, by the same table as on the counter.
//!
//! ```text
//! drawer    what travels with nothing: the device's keys, who writes, what is pretended
//! asked     what the shell asks, and what goes back
//! host      what the page needs of whoever serves it: one record, in this memory
//! pocket    from what was asked to a page
//! browser   the door to JavaScript: storage, clock, chance, frames of the camera
//! ```
//!
//! Imports run up this list. All but `browser` runs anywhere, and is tested where the rest
//! of the core is.

#![deny(missing_docs)]

pub mod asked;
#[cfg(target_family = "wasm")]
mod browser;
pub mod drawer;
mod host;
pub mod pocket;

//! A form as values: what it asks, what was typed so far, and what is wrong with
//! that. A page's fields and a phone's taps fill in the same form.

pub mod care;
mod drawn;
mod field;
mod filled;
pub mod filter;
pub mod hose;
pub mod identify;
pub mod inspection;
pub mod limits;
pub mod network;
pub mod owner;
pub mod rental;
pub mod set;
pub mod set_inspection;
pub mod staff;
pub mod typed;

pub use drawn::{ANSWER, About, Form, Group, More, PhotographShown};
pub use field::{Choice, Field, Kind};
pub use filled::{FieldRefused, Filled};

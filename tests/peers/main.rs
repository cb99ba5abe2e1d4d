//! What is made here against programs of other people; one that is missing fails its test.

mod calendar;
mod case;
mod chips;
mod films;
mod labels;
mod page;
mod reading;
mod tags;

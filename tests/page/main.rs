//! The counter page over HTTP, served by the real binary.

mod bench;
mod calendar;
mod counter;
mod doubt;
mod fleet;
mod folder;
mod judging;
mod like_commands;
mod lost;
mod network;
mod owner;
mod planning;
mod prose;
mod refusals;
mod rental;
mod sight;
mod slow;
mod staff;
mod too_large;

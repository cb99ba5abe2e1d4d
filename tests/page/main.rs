//! The counter page over HTTP, served by the real binary.

mod bench;
mod counter;
mod doubt;
mod fleet;
mod judging;
mod like_commands;
mod lost;
mod network;
mod owner;
mod refusals;
mod rental;
mod slow;
mod too_large;

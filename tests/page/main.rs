//! The counter page over HTTP, served by the real binary.

mod counter;
mod doubt;
mod like_commands;
mod network;
mod owner;
mod refusals;
mod slow;

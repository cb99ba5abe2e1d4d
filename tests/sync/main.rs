//! Records of several devices that meet.

#[cfg(target_os = "linux")]
mod branches;
mod calls;
mod counters;
mod desks;
mod keys;
mod meeting;

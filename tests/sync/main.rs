//! Records of several devices that meet.

#[cfg(target_os = "linux")]
mod branches;
mod counters;
mod meeting;

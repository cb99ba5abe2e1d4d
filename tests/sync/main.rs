//! Records of several devices that meet.

mod meeting;

//! What the whole-system tests share.

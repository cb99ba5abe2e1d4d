//! A bar for what takes long, on standard error and in a terminal only.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// How many there are is only told on the way.
pub const UNKNOWN: usize = usize::MAX;

/// A bar of so many things; hidden where there are few, or nobody looks.
pub fn bar(what: &'static str, all: usize) -> ProgressBar {
    const MANY: usize = 8;
    let length = u64::try_from(all).unwrap_or(u64::MAX);
    let bar = ProgressBar::with_draw_target(Some(length), ProgressDrawTarget::stderr());
    if all < MANY {
        bar.set_draw_target(ProgressDrawTarget::hidden());
    }
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len} {msg}");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar())).with_message(what)
}

/// Tells a bar how many of how many are done, as the core says it.
pub fn told(bar: &ProgressBar) -> impl FnMut(usize, usize) + '_ {
    |done, all| {
        bar.set_length(u64::try_from(all).unwrap_or(u64::MAX));
        bar.set_position(u64::try_from(done).unwrap_or(u64::MAX));
    }
}

/// Says in words how far a meeting over a network is.
pub fn far() -> ProgressBar {
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
    let style = ProgressStyle::with_template("{spinner} {msg}");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_spinner()))
}

//! For tests that kill this program, in debug builds alone: it says which points
//! of a store's work it reaches, and waits at one of them.

use std::io;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

use hosewright_core::journal;

use crate::failure::Failure;
use crate::output::aside;

/// The variable that asks for it: `N` waits at the Nth point, `NAME:N` at the Nth
/// of those whose name begins so, and with 0 all are said and none is waited at.
const STOP_AT: &str = "HOSEWRIGHT_STOP_AT";

static STOP: OnceLock<(String, usize)> = OnceLock::new();
static REACHED: AtomicUsize = AtomicUsize::new(0);

/// Announces points where the environment asks for it.
pub fn begin() -> Result<(), Failure> {
    let Some(asked) = std::env::var_os(STOP_AT) else { return Ok(()) };
    let asked = asked.to_string_lossy();
    let (name, number) = asked.rsplit_once(':').unwrap_or(("", &asked));
    let number = number.parse().map_err(|_| {
        Failure::refused(format!(
            "{STOP_AT} is a number, or a name, a colon and a number; unset it"
        ))
    })?;
    if STOP.set((name.to_owned(), number)).is_ok() {
        journal::announce(reached);
    }
    Ok(())
}

/// Waits until standard input ends, so that nobody waits for ever who was left alone.
fn reached(point: &str) {
    let Some((_, number)) = STOP.get().filter(|(name, _)| point.starts_with(name)) else {
        return;
    };
    let nth = REACHED.fetch_add(1, Ordering::SeqCst) + 1;
    if *number == 0 || nth == *number {
        aside(&format!("at {point}"));
    }
    if nth == *number {
        let _ = io::copy(&mut io::stdin(), &mut io::sink());
    }
}

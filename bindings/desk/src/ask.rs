//! Asking about what looks like a slip, for a PIN, and for the pass phrase of the owner's key.

use std::io::{self, BufRead, IsTerminal, Write};

use hosewright_core::words::owner::{KEY_PASS, SEAL_PASS};
use hosewright_core::words::sentence;
use hosewright_core::words::slips::ALL_THE_SAME;
use hosewright_core::{LogbookError, StaffError};
use zeroize::Zeroizing;

use crate::failure::Failure;

/// What was answered to what a command asks.
#[derive(Debug, Clone, Default)]
pub struct Answers {
    /// What looks like a slip is written anyway.
    pub sure: bool,
    /// The PIN of whoever writes.
    pub pin: Option<String>,
    /// The pass phrase of the owner's key.
    pub owner_pass: Option<Zeroizing<String>>,
}

/// Asks in a terminal; elsewhere nobody can answer, and the answer is no.
pub fn all_the_same(questions: &[String]) -> bool {
    if !io::stdin().is_terminal() {
        return false;
    }
    let mut to = io::stderr();
    let _ = write!(to, "{}\n{ALL_THE_SAME} [y/N] ", questions.join("\n"));
    let _ = to.flush();
    let mut typed = String::new();
    let read = io::stdin().lock().read_line(&mut typed).is_ok();
    read && matches!(typed.trim().to_lowercase().as_str(), "y" | "yes")
}

/// Asks for a PIN: in a terminal it is shown as it is typed.
pub fn pin(needed: StaffError) -> Result<String, Failure> {
    if io::stdin().is_terminal() {
        let mut to = io::stderr();
        let _ = write!(to, "{} (it is shown as you type): ", sentence(&needed.to_string()));
        let _ = to.flush();
    }
    let mut typed = String::new();
    let read = io::stdin().lock().read_line(&mut typed).is_ok() && !typed.trim().is_empty();
    if read { Ok(typed.trim().to_owned()) } else { Err(LogbookError::Staff(needed).into()) }
}

/// Asks for the pass phrase of the owner's key, as for a PIN.
pub fn owner_pass() -> Result<Zeroizing<String>, Failure> {
    if io::stdin().is_terminal() {
        let mut to = io::stderr();
        let _ = write!(to, "{KEY_PASS} (it is shown as you type): ");
        let _ = to.flush();
    }
    let mut typed = Zeroizing::new(String::new());
    let read = io::stdin().lock().read_line(&mut typed).is_ok() && !typed.trim().is_empty();
    if read { Ok(typed) } else { Err(LogbookError::OwnerSealed.into()) }
}

/// Asks for a new pass phrase for the owner's key.
pub fn new_owner_pass() -> Result<Zeroizing<String>, Failure> {
    if io::stdin().is_terminal() {
        let mut to = io::stderr();
        let _ = write!(to, "{SEAL_PASS} (it is shown as you type): ");
        let _ = to.flush();
    }
    let mut typed = Zeroizing::new(String::new());
    io::stdin().lock().read_line(&mut typed)?;
    Ok(typed)
}

/// The refusal where nobody said yes.
pub fn refused(questions: &[String]) -> Failure {
    let asked = LogbookError::AskFirst(questions.to_vec());
    Failure::refused(format!("{asked}. Add --yes if that is right"))
}

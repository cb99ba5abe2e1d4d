//! Why something is not written under a name, or by a device.

use chrono::NaiveDate;
use thiserror::Error;

use crate::device::DeviceId;
use crate::hose::Label;
use crate::journal::Aside;
use crate::staff::{Deed, PinError};
use crate::words::staff as say;

/// Why something is not written under a name.
#[derive(Debug, Error)]
pub enum StaffError {
    /// It is for others to do.
    #[error("{}", say::not_yours(.name, *.deed, .who))]
    NotYours {
        /// Under which name.
        name: Label,
        /// What was to be done.
        deed: Deed,
        /// Who may do it.
        who: Vec<Label>,
    },
    /// Whoever has that name left.
    #[error("{}", say::has_left(.name, *.on))]
    Left {
        /// The name.
        name: Label,
        /// When.
        on: NaiveDate,
    },
    /// It wants the person's PIN.
    #[error("{}", say::pin_wanted(.name, *.deed))]
    PinNeeded {
        /// Whose.
        name: Label,
        /// For what.
        deed: Deed,
    },
    /// The PIN is not taken.
    #[error(transparent)]
    Pin(#[from] PinError),
    /// Somebody here has that name.
    #[error(
        "“{0}” works here already; choose another name or number, so that entries can be told apart"
    )]
    NameTaken(Label),
    /// Nobody here is called so.
    #[error("nobody called “{0}” works here")]
    Nobody(String),
}

/// Why a device may not write something.
pub(super) fn not_allowed(device: &DeviceId, why: Aside) -> String {
    let (words, ask) = match why {
        Aside::Dismissed => ("the fleet's owner dismissed this device", "admit it again"),
        Aside::Role => ("this device's role doesn't let it record that", "give it another role"),
        _ => ("the fleet's owner has not admitted this device yet", "admit it"),
    };
    format!(
        "{words}; ask the owner to {ask}, then import the owner's record. Its number begins with {}",
        device.short()
    )
}

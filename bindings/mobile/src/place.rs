//! Where a phone keeps its record.

/// Where a phone keeps its record.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Place {
    /// The store's file; it is begun where it is not there. Its folder must be.
    pub store: String,
    /// The folder for this device's key: apart from the store, and left out of
    /// the phone's backups, so that a restored store is known to be a copy.
    pub keys: String,
}

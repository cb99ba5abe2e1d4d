//! How far something long is.

/// Is told how far something long is. It is called from the thread that asked
/// for the work, which waits in the meantime.
#[uniffi::export(with_foreign)]
pub trait ProgressListener: Send + Sync {
    /// So many of so many are done; the same in words.
    fn told(&self, done: u64, all: u64, words: String);
}

//! Memory that is used again for every frame.

/// Makes room for so many in all.
pub fn reserve<T>(rooms: &mut Vec<T>, most: usize) {
    rooms.reserve(most.saturating_sub(rooms.len()));
}

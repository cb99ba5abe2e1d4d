//! Where a symbol lies.

/// A symbol's corners in the frame: upper left and on with the clock.
pub type Corners = [(f64, f64); 4];

/// Whether a place lies within four corners that go round with the clock.
pub fn corners_within(quad: &Corners, (x, y): (f64, f64)) -> bool {
    quad.iter()
        .zip(quad.iter().cycle().skip(1))
        .all(|(a, b)| (b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0) >= 0.0)
}

//! A large symbol's plane: any view of it in perspective. Three finders say little of a symbol
//! far larger than they are, so the plane is drawn on to what is seen further from them.

use super::fit::Anchor;
use super::solve::Sums;

const UNKNOWNS: usize = 8;

/// From places in halves of the symbol to pixels: (a u + b v + c) / (g u + h v + 1) and
/// (d u + e v + f) / (g u + h v + 1).
#[derive(Clone, Copy)]
pub struct Plane {
    by: [f64; UNKNOWNS],
    half: f64,
}

/// A line of the picture that a place of the symbol lies on: its direction across, over the
/// expected error, and how far along that it is.
#[derive(Clone, Copy)]
pub struct Line {
    pub symbol: (f64, f64),
    pub across: (f64, f64),
    pub far: f64,
}

/// How strong the perspective may well be, over a half of the symbol.
const NEAR: f64 = 0.2;
/// From where on what lies far off counts less.
const BEND: f64 = 2.0;

impl Plane {
    /// The plane of a symbol of so many modules to each side whose places are seen at anchors.
    pub fn of(anchors: &[Anchor], half: f64) -> Option<Self> {
        let mut plane = Self { by: [0.0; UNKNOWNS], half };
        for _ in 0..6 {
            let mut sums = Sums::<UNKNOWNS>::default();
            for anchor in anchors {
                let ((x, y), slopes) = plane.slopes(anchor.symbol);
                let away = [x - anchor.seen.0, y - anchor.seen.1];
                for (away, slopes) in away.into_iter().zip(slopes) {
                    sums.add(away * anchor.weight, &slopes.map(|v| v * anchor.weight), f64::MAX);
                }
            }
            plane.step(sums)?;
        }
        Some(plane)
    }

    /// Draws it to lines.
    pub fn draw(&mut self, lines: impl Iterator<Item = Line> + Clone) {
        for _ in 0..2 {
            let mut sums = Sums::<UNKNOWNS>::default();
            for line in lines.clone() {
                let ((x, y), slopes) = self.slopes(line.symbol);
                let (across, along) = line.across;
                let slopes = std::array::from_fn(|n| slopes[0][n] * across + slopes[1][n] * along);
                sums.add(x * across + y * along - line.far, &slopes, BEND);
            }
            if self.step(sums).is_none() {
                return;
            }
        }
    }

    fn step(&mut self, mut sums: Sums<UNKNOWNS>) -> Option<()> {
        for unknown in [6, 7] {
            sums.expect(unknown, self.by[unknown], NEAR);
        }
        let step = sums.step(&[true; UNKNOWNS], 0.0)?;
        self.by.iter_mut().zip(step).for_each(|(v, step)| *v += step);
        // Where the symbol would be seen from behind.
        (self.by[6].abs() + self.by[7].abs() < 0.95).then_some(())
    }

    /// Where a place of the symbol is seen, in pixels.
    pub fn project(&self, u: f64, v: f64) -> (f64, f64) {
        let [a, b, c, d, e, f, g, h] = self.by;
        let (u, v) = (u / self.half, v / self.half);
        let depth = (g * u + h * v + 1.0).max(0.02);
        ((a * u + b * v + c) / depth, (d * u + e * v + f) / depth)
    }

    /// The same, and how it changes with each unknown.
    fn slopes(&self, (u, v): (f64, f64)) -> ((f64, f64), [[f64; UNKNOWNS]; 2]) {
        let (x, y) = self.project(u, v);
        let (u, v) = (u / self.half, v / self.half);
        let depth = (self.by[6] * u + self.by[7] * v + 1.0).max(0.02);
        let (p, q, one) = (u / depth, v / depth, 1.0 / depth);
        let along_x = [p, q, one, 0.0, 0.0, 0.0, -x * p, -x * q];
        let along_y = [0.0, 0.0, 0.0, p, q, one, -y * p, -y * q];
        ((x, y), [along_x, along_y])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_is_found_again_from_places_on_it() {
        let by = [300.0, 40.0, 640.0, -30.0, 280.0, 360.0, 0.12, -0.07];
        let known = Plane { by, half: 50.0 };
        let at =
            |u: f64, v: f64| Anchor { symbol: (u, v), seen: known.project(u, v), weight: 10.0 };
        let corners = [(-50.0, -50.0), (50.0, -50.0), (-50.0, 50.0), (50.0, 50.0), (10.0, -20.0)];
        let found = Plane::of(&corners.map(|(u, v)| at(u, v)), 50.0);
        let off = |(u, v): (f64, f64)| {
            let (a, b) = (found.map(|f| f.project(u, v)).unwrap_or_default(), known.project(u, v));
            (a.0 - b.0).hypot(a.1 - b.1)
        };
        assert!(corners.into_iter().map(off).fold(0.0, f64::max) < 0.05);
    }
}

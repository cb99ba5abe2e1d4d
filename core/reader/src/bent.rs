//! A pose with what no pose explains: a bent hose, a lens, rows read one after
//! the other.

use super::plane::Plane;
use super::pose::Laid;

/// The terms of a shift: 1, u, v and their products up to the third power, of
/// places counted in halves of the symbol.
pub const TERMS: usize = 10;

/// What a symbol lies on.
#[derive(Clone, Copy)]
pub enum Surface {
    Pose(Laid),
    /// A large symbol's.
    Plane(Plane),
}

impl Surface {
    fn project(&self, u: f64, v: f64) -> (f64, f64) {
        match self {
            Self::Pose(pose) => pose.project(u, v),
            Self::Plane(plane) => plane.project(u, v),
        }
    }
}

/// A surface and a shift of its places along u and v, in modules.
#[derive(Clone, Copy)]
pub struct Bent {
    pub surface: Surface,
    pub shift: [[f64; TERMS]; 2],
    pub half: f64,
}

pub fn terms(u: f64, v: f64) -> [f64; TERMS] {
    [1.0, u, v, u * u, u * v, v * v, u * u * u, u * u * v, u * v * v, v * v * v]
}

impl Bent {
    /// A surface without a shift.
    pub const fn new(surface: Surface, half: f64) -> Self {
        Self { surface, shift: [[0.0; TERMS]; 2], half }
    }

    pub fn project(&self, u: f64, v: f64) -> (f64, f64) {
        if self.shift == [[0.0; TERMS]; 2] {
            return self.surface.project(u, v);
        }
        let terms = terms(u / self.half, v / self.half);
        let by = |shift: &[f64; TERMS]| shift.iter().zip(&terms).map(|(c, t)| c * t).sum::<f64>();
        self.surface.project(u + by(&self.shift[0]), v + by(&self.shift[1]))
    }
}

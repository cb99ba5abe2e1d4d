//! How a symbol is before the camera: a plane, or a cylinder that it is
//! wrapped round. The plane is the cylinder of radius infinity.
//!
//! Modules (u to the right, v down) are counted from the symbol's middle. The
//! girth runs along ψ: a = u cos ψ + v sin ψ, and b runs along the axis. On the
//! cylinder of curvature κ (1 / radius in modules), a becomes X = sin(κa)/κ
//! across and Z = (1 − cos κa)/κ away from the camera. The surface is turned by
//! R, scaled to pixels and seen in perspective, whose strength q is 1 / distance
//! in modules.

/// How many unknowns a pose has.
pub const UNKNOWNS: usize = 9;
/// The places of the unknowns: three turns, the middle's two coordinates, the
/// logarithm of the scale, κ, q and ψ.
pub const CURVE: usize = 6;
pub const NEAR: usize = 7;
pub const LIE: usize = 8;

/// The derivatives of a projected place by the nine unknowns.
pub type Slopes = [[f64; UNKNOWNS]; 2];

pub type Matrix = [[f64; 3]; 3];

/// A pose.
#[derive(Clone, Copy, Debug)]
pub struct Pose {
    pub turn: Matrix,
    /// Where the symbol's middle is seen.
    pub at: (f64, f64),
    /// Pixels a module, at the middle.
    pub scale: f64,
    /// κ, 0 to 0.2.
    pub curve: f64,
    /// q, 0 to 0.03.
    pub near: f64,
    /// ψ, in radians.
    pub lie: f64,
    /// The frame's middle, about which perspective works.
    pub middle: (f64, f64),
}

/// A pose with the sine and the cosine of ψ, for many places.
#[derive(Clone, Copy)]
pub struct Laid {
    pose: Pose,
    lie: (f64, f64),
}

impl Laid {
    pub fn new(pose: Pose) -> Self {
        Self { pose, lie: pose.lie.sin_cos() }
    }

    /// Where a place of the symbol is seen, in pixels.
    pub fn project(&self, u: f64, v: f64) -> (f64, f64) {
        let (s, c) = self.lie;
        let (a, b) = (u * c + v * s, v * c - u * s);
        let (x, z) = rolled(self.pose.curve, a);
        self.pose.seen(turned(&self.pose.turn, [x * c - b * s, x * s + b * c, z]))
    }
}

/// A place on the surface before it is turned, and what it depends on.
struct Surface {
    place: [f64; 3],
    by_curve: [f64; 3],
    by_lie: [f64; 3],
}

impl Pose {
    /// Where a place of the symbol is seen, in pixels.
    pub fn project(&self, u: f64, v: f64) -> (f64, f64) {
        Laid::new(*self).project(u, v)
    }

    /// Where places along a row are seen, one module after the other from `u` on:
    /// the same as [`Self::project`], with sines carried on from place to place.
    pub fn project_row(&self, u: f64, v: f64) -> impl Iterator<Item = (f64, f64)> {
        let (s, c) = self.lie.sin_cos();
        let (mut a, mut b) = (u * c + v * s, v * c - u * s);
        let (mut sin, mut cos) = (self.curve * a).sin_cos();
        let (sin_by, cos_by) = (self.curve * c).sin_cos();
        let radius = 1.0 / self.curve;
        std::iter::repeat_with(move || {
            let angle = self.curve * a;
            let (x, z) = if angle.abs() < 1e-3 {
                (a, a * angle / 2.0)
            } else {
                (sin * radius, (1.0 - cos) * radius)
            };
            let seen = self.seen(turned(&self.turn, [x * c - b * s, x * s + b * c, z]));
            (a, b) = (a + c, b - s);
            (sin, cos) = (sin * cos_by + cos * sin_by, cos * cos_by - sin * sin_by);
            seen
        })
    }

    fn seen(&self, p: [f64; 3]) -> (f64, f64) {
        let nearer = 1.0 / (1.0 + self.near * p[2]).max(0.05);
        let (mx, my) = self.middle;
        (
            mx + (self.at.0 - mx + self.scale * p[0]) * nearer,
            my + (self.at.1 - my + self.scale * p[1]) * nearer,
        )
    }

    fn surface(&self, (s, c): (f64, f64), u: f64, v: f64) -> Surface {
        let (a, b) = (u * c + v * s, v * c - u * s);
        let angle = self.curve * a;
        // Of a plane neither is worth working out.
        let (sin, cos) = if angle == 0.0 { (0.0, 1.0) } else { angle.sin_cos() };
        let (x, z, x_by, z_by) = if angle.abs() < 1e-3 {
            (a, a * angle / 2.0, -a * a * angle / 3.0, a * a / 2.0)
        } else {
            let square = self.curve * self.curve;
            let by = ((angle * cos - sin) / square, (angle * sin - 1.0 + cos) / square);
            (sin / self.curve, (1.0 - cos) / self.curve, by.0, by.1)
        };
        // a' = b and b' = −a by ψ.
        let (across, along) = (cos * b - b, -a + x);
        Surface {
            place: [x * c - b * s, x * s + b * c, z],
            by_curve: [x_by * c, x_by * s, z_by],
            by_lie: [across * c - along * s, across * s + along * c, sin * b],
        }
    }

    /// Where places are seen, and how that changes with each unknown.
    pub fn slopes(&self) -> impl Fn(f64, f64) -> ((f64, f64), Slopes) {
        let lie = self.lie.sin_cos();
        move |u, v| self.slopes_of(&self.surface(lie, u, v))
    }

    fn slopes_of(&self, surface: &Surface) -> ((f64, f64), Slopes) {
        let p = turned(&self.turn, surface.place);
        let depth = (1.0 + self.near * p[2]).max(0.05);
        let seen = self.seen(p);
        let off = [seen.0 - self.middle.0, seen.1 - self.middle.1];
        let mut slopes = [[0.0; UNKNOWNS]; 2];
        let by = |d: [f64; 3], axis: usize| {
            (self.scale * d[axis] - off[axis] * self.near * d[2]) / depth
        };
        let turns = [[0.0, -p[2], p[1]], [p[2], 0.0, -p[0]], [-p[1], p[0], 0.0]];
        let (by_curve, by_lie) =
            (turned(&self.turn, surface.by_curve), turned(&self.turn, surface.by_lie));
        for axis in 0..2 {
            for (slot, d) in turns.iter().enumerate() {
                slopes[axis][slot] = by(*d, axis);
            }
            slopes[axis][3 + axis] = 1.0 / depth;
            slopes[axis][5] = self.scale * p[axis] / depth;
            slopes[axis][CURVE] = by(by_curve, axis);
            slopes[axis][NEAR] = -off[axis] * p[2] / depth;
            slopes[axis][LIE] = by(by_lie, axis);
        }
        (seen, slopes)
    }

    /// Whether another pose is turned or rolled otherwise, and not just a little.
    pub fn lies_otherwise(&self, other: &Self) -> bool {
        let turns = self.turn.iter().flatten().zip(other.turn.iter().flatten());
        turns.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max) > 0.05
            || (self.curve - other.curve).abs() > 0.01
    }

    /// The pose after a step of the unknowns, kept within their ranges.
    pub fn moved(&self, step: &[f64; UNKNOWNS]) -> Self {
        Self {
            turn: product(&small_turn([step[0], step[1], step[2]]), &self.turn),
            at: (self.at.0 + step[3], self.at.1 + step[4]),
            scale: self.scale * step[5].clamp(-1.0, 1.0).exp(),
            curve: (self.curve + step[CURVE]).clamp(0.0, 0.2),
            near: (self.near + step[NEAR]).clamp(0.0, 0.03),
            lie: self.lie + step[LIE],
            middle: self.middle,
        }
    }
}

/// X and Z of a place along the girth.
fn rolled(curve: f64, a: f64) -> (f64, f64) {
    let angle = curve * a;
    if angle.abs() < 1e-3 {
        return (a, a * angle / 2.0);
    }
    let (sin, cos) = angle.sin_cos();
    (sin / curve, (1.0 - cos) / curve)
}

pub fn turned(m: &Matrix, p: [f64; 3]) -> [f64; 3] {
    m.map(|row| row[0] * p[0] + row[1] * p[1] + row[2] * p[2])
}

pub fn product(a: &Matrix, b: &Matrix) -> Matrix {
    a.map(|row| [0, 1, 2].map(|j: usize| row[0] * b[0][j] + row[1] * b[1][j] + row[2] * b[2][j]))
}

/// The turn about a vector by its length (Rodrigues).
fn small_turn(w: [f64; 3]) -> Matrix {
    let angle = w.iter().map(|v| v * v).sum::<f64>().sqrt();
    if angle < 1e-12 {
        return [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    }
    let [x, y, z] = w.map(|v| v / angle);
    let (s, c) = angle.sin_cos();
    let k = 1.0 - c;
    [
        [c + x * x * k, x * y * k - z * s, x * z * k + y * s],
        [y * x * k + z * s, c + y * y * k, y * z * k - x * s],
        [z * x * k - y * s, z * y * k + x * s, c + z * z * k],
    ]
}

/// The turn by so much about the viewer's axis (2), or about the others.
pub fn turn_about(axis: usize, angle: f64) -> Matrix {
    let mut w = [0.0; 3];
    if let Some(slot) = w.get_mut(axis) {
        *slot = angle;
    }
    small_turn(w)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some() -> Pose {
        Pose {
            turn: product(&turn_about(0, 0.4), &turn_about(2, 1.1)),
            at: (300.0, 200.0),
            scale: 6.0,
            curve: 0.06,
            near: 0.005,
            lie: 0.3,
            middle: (640.0, 360.0),
        }
    }

    #[test]
    fn the_slopes_are_the_differences_of_small_steps() {
        for curve in [0.0, 0.06] {
            let pose = Pose { curve, ..some() };
            for (u, v) in [(0.0, 0.0), (12.0, -9.0), (-5.0, 14.0)] {
                let (_, slopes) = pose.slopes()(u, v);
                for unknown in 0..UNKNOWNS {
                    let mut step = [0.0; UNKNOWNS];
                    step[unknown] = 1e-6;
                    let forth = pose.moved(&step).project(u, v);
                    let before = pose.project(u, v);
                    let by = [(forth.0 - before.0) / 1e-6, (forth.1 - before.1) / 1e-6];
                    for axis in 0..2 {
                        let close = (by[axis] - slopes[axis][unknown]).abs();
                        assert!(close < 0.02 + 0.001 * by[axis].abs(), "{unknown} {axis} {by:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_wrapped_place_lies_on_its_cylinder() {
        let radius = 10.0;
        for a in [-12.0, -1.0, 0.0, 0.001, 5.0, 14.0] {
            let (x, z) = rolled(1.0 / radius, a);
            assert!((x.hypot(z - radius) - radius).abs() < 1e-3, "{a} {x} {z}");
        }
        assert_eq!(rolled(0.0, 7.0), (7.0, 0.0));
    }
}

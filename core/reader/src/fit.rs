//! The geometry: three finders to poses.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use super::finder::{Finder, times};
use super::numbers::real;
use super::pose::{CURVE, LIE, Matrix, NEAR, Pose, UNKNOWNS, product, turn_about};
use super::solve::{Sums, descend};

/// Three finders in their places: upper left, upper right and lower left.
#[derive(Clone, Copy)]
pub struct Triple {
    pub corners: [Finder; 3],
    /// Lower is better.
    pub rank: f64,
    /// About how many modules lie between the middles of two.
    pub arm: f64,
}

/// A place of the symbol that is seen at a place of the picture.
#[derive(Clone, Copy, Default)]
pub struct Anchor {
    pub symbol: (f64, f64),
    pub seen: (f64, f64),
    /// One over the expected error in pixels.
    pub weight: f64,
}

/// The anchors of up to three finders.
pub struct Anchors {
    all: [Anchor; 15],
    count: usize,
}

/// How far off a finder's middle and its corners may be, in modules.
const MIDDLE: f64 = 0.2;
const CORNER: f64 = 0.5;

impl Anchors {
    pub const fn new() -> Self {
        let none = Anchor { symbol: (0.0, 0.0), seen: (0.0, 0.0), weight: 0.0 };
        Self { all: [none; 15], count: 0 }
    }

    fn push(&mut self, anchor: Anchor) {
        if let Some(slot) = self.all.get_mut(self.count) {
            *slot = anchor;
            self.count += 1;
        }
    }

    /// The five anchors of a finder whose middle is at `symbol`, where its
    /// frame's sides run along `sides` (the symbol's u and v).
    pub fn add(&mut self, finder: &Finder, symbol: (f64, f64), sides: &[[f64; 2]; 2], scale: f64) {
        let middle = (finder.x, finder.y);
        self.push(Anchor { symbol, seen: middle, weight: 1.0 / (MIDDLE * scale) });
        for (u, v) in [(-3.5, -3.5), (3.5, -3.5), (3.5, 3.5), (-3.5, 3.5)] {
            let (dx, dy) = times(sides, u, v);
            self.push(Anchor {
                symbol: (symbol.0 + u, symbol.1 + v),
                seen: (middle.0 + dx, middle.1 + dy),
                weight: 1.0 / (CORNER * scale),
            });
        }
    }

    pub fn as_slice(&self) -> &[Anchor] {
        self.all.get(..self.count).unwrap_or_default()
    }
}

/// A finder's sides as the symbol's u and v: of its frame's two axes, turned
/// either way, those nearest to a direction along u.
pub fn sides(finder: &Finder, along_u: (f64, f64)) -> [[f64; 2]; 2] {
    let (a, b) = finder.modules(along_u.0, along_u.1);
    let [[ax, bx], [ay, by]] = finder.to_pixels;
    let (u, v) = if a.abs() >= b.abs() {
        ((ax * a.signum(), ay * a.signum()), (bx, by))
    } else {
        ((bx * b.signum(), by * b.signum()), (ax, ay))
    };
    // v is a quarter turn on from u, as the picture's y is from x.
    let hand = (u.0 * v.1 - u.1 * v.0).signum();
    [[u.0, v.0 * hand], [u.1, v.1 * hand]]
}

/// How the unknowns are held.
#[derive(Clone, Copy)]
pub struct Hold {
    pub free: [bool; UNKNOWNS],
    /// What ψ is held to, with a spread of [`ASKEW`].
    pub lie: f64,
}

/// Labels are put on by hand: about so far askew, in radians.
const ASKEW: f64 = 0.08;

impl Hold {
    pub fn flat() -> Self {
        let mut free = [true; UNKNOWNS];
        (free[CURVE], free[LIE]) = (false, false);
        Self { free, lie: 0.0 }
    }

    pub fn round(lie: f64) -> Self {
        Self { free: [true; UNKNOWNS], lie }
    }
}

/// Fits a pose to anchors.
pub fn fit(start: &Pose, anchors: &[Anchor], hold: &Hold, steps: usize) -> (Pose, f64) {
    descend(start, &hold.free, steps, |pose| {
        let mut sums = Sums::default();
        let slopes = pose.slopes();
        for anchor in anchors {
            let (seen, slopes) = slopes(anchor.symbol.0, anchor.symbol.1);
            let away = [seen.0 - anchor.seen.0, seen.1 - anchor.seen.1];
            for (away, slopes) in away.iter().zip(slopes) {
                sums.add(away * anchor.weight, &slopes.map(|v| v * anchor.weight), 2.0);
            }
        }
        held(&mut sums, pose, hold);
        sums
    })
}

/// What is expected of a phone held over a hose: perspective as from 80 to 1000
/// modules, and the label along or across the hose.
fn held(sums: &mut Sums, pose: &Pose, hold: &Hold) {
    sums.expect(NEAR, pose.near - 0.004, 0.003);
    if hold.free[LIE] {
        sums.expect(LIE, pose.lie - hold.lie, ASKEW);
    }
}

/// The same for a label that lies about so.
pub fn held_as(sums: &mut Sums, pose: &Pose, lie: f64) {
    held(sums, pose, &Hold::round(lie));
}

/// A pose that was fitted, with what it costs.
#[derive(Clone, Copy)]
pub struct Fitted {
    pub pose: Pose,
    pub cost: f64,
}

/// How a symbol was seen to lie, so that it need not be found out again.
#[derive(Clone, Copy)]
pub struct Lay {
    /// Modules a side.
    pub side: usize,
    /// Of the radian to each side that the symbol covers.
    half: f64,
    /// ψ, to the nearest quarter.
    lie: f64,
}

impl Lay {
    /// On a plate.
    pub const fn flat(side: usize) -> Self {
        Self { side, half: 0.0, lie: 0.0 }
    }

    pub fn of(pose: &Pose, side: usize) -> Self {
        let lie = if pose.lie.cos().abs() > FRAC_PI_4.cos() { 0.0 } else { FRAC_PI_2 };
        Self { side, half: pose.curve * real(side) / 2.0, lie }
    }

    /// Below this a symbol is as good as flat.
    const FLAT: f64 = 0.05;
}

/// The best poses of a triple for a symbol of `n` modules a side: one flat, and
/// two of each way round a hose, or only such as `lay` expects.
pub fn poses(
    triple: &Triple,
    n: usize,
    middle: (f64, f64),
    lay: Option<Lay>,
) -> [Option<Fitted>; 5] {
    let anchors = anchors(triple, n);
    let mut best = [None; 5];
    let kinds = [(Hold::flat(), 0, 1), (Hold::round(0.0), 1, 2), (Hold::round(FRAC_PI_2), 3, 2)];
    for (hold, first, keep) in kinds {
        let round = hold.free[CURVE];
        let other = |lay: Lay| round != (lay.half > Lay::FLAT) || round && hold.lie != lay.lie;
        if lay.is_some_and(other) {
            continue;
        }
        let mut tried = [None; 4];
        let halves = match lay {
            _ if !round => [Some(0.0), None],
            Some(lay) => [Some(lay.half), None],
            None => [Some(0.5), Some(1.0)],
        };
        for (at, half) in halves.into_iter().flatten().enumerate() {
            let starts = starts(triple, n, 2.0 * half / real(n), hold.lie, middle);
            for (mirror, start) in starts.into_iter().flatten().enumerate() {
                let (pose, cost) = fit(&start, anchors.as_slice(), &hold, 8);
                if let Some(slot) = tried.get_mut(2 * at + mirror) {
                    *slot = Some(Fitted { pose, cost });
                }
            }
        }
        let two = best_two(&mut tried);
        for (slot, fitted) in best.iter_mut().skip(first).zip(two.into_iter().take(keep)) {
            *slot = fitted.map(|f| {
                let (pose, cost) = fit(&f.pose, anchors.as_slice(), &hold, 10);
                Fitted { pose, cost }
            });
        }
    }
    best
}

/// The best of some poses and, since the tilt's sign is not sure, the best that lies otherwise.
pub fn best_two(tried: &mut [Option<Fitted>; 4]) -> [Option<Fitted>; 2] {
    tried.sort_unstable_by(|a, b| cost(a).total_cmp(&cost(b)));
    let top = tried[0];
    let other = |f: &Fitted| top.is_some_and(|top| f.pose.lies_otherwise(&top.pose));
    [top, tried.iter().flatten().copied().find(other)]
}

fn cost(fitted: &Option<Fitted>) -> f64 {
    fitted.map_or(f64::MAX, |f| f.cost)
}

/// The anchors of three finders of a symbol of `n` modules a side.
pub fn anchors(triple: &Triple, n: usize) -> Anchors {
    let half = real(n - 7) / 2.0;
    let [a, b, c] = &triple.corners;
    let along = (b.x - a.x, b.y - a.y);
    let scale = along.0.hypot(along.1).max((c.x - a.x).hypot(c.y - a.y)) / (2.0 * half);
    let mut anchors = Anchors::new();
    // The lower left finder is found by the way down, a quarter turn back.
    let down = sides(c, (c.x - a.x, c.y - a.y));
    let [[ux, vx], [uy, vy]] = down;
    anchors.add(a, (-half, -half), &sides(a, along), scale);
    anchors.add(b, (half, -half), &sides(b, along), scale);
    anchors.add(c, (-half, half), &[[-vx, ux], [-vy, uy]], scale);
    anchors
}

/// Two poses that put the three middles where they are seen, as from afar: the
/// tilt's sign cannot be told.
fn starts(
    triple: &Triple,
    n: usize,
    curve: f64,
    lie: f64,
    middle: (f64, f64),
) -> [Option<Pose>; 2] {
    let [a, b, c] = &triple.corners;
    let side = real(n - 7);
    let half = side / 2.0;
    let chord = if curve > 0.0 { (curve * half).sin() / (curve * half) } else { 1.0 };
    let round_u = lie < 0.5;
    let (by_u, by_v) = if round_u { (side * chord, side) } else { (side, side * chord) };
    let m = [[(b.x - a.x) / by_u, (c.x - a.x) / by_v], [(b.y - a.y) / by_u, (c.y - a.y) / by_v]];
    let Some((left, scale, ratio, right)) = decomposed(&m) else { return [None; 2] };
    let tilt = ratio.clamp(0.0, 1.0).acos();
    let sag = if curve > 0.0 { (1.0 - (curve * half).cos()) / curve } else { 0.0 };
    [tilt, -tilt].map(|tilt| {
        let tilted = product(&turn_about(2, left), &turn_about(0, tilt));
        let turn: Matrix = product(&tilted, &turn_about(2, right));
        let at = (
            f64::midpoint(b.x, c.x) - scale * turn[0][2] * sag,
            f64::midpoint(b.y, c.y) - scale * turn[1][2] * sag,
        );
        let lie = if curve > 0.0 { lie } else { 0.0 };
        Some(Pose { turn, at, scale, curve, near: 0.004, lie, middle })
    })
}

/// A matrix of positive determinant as turn · (s, s·ratio) · turn.
pub fn decomposed(m: &[[f64; 2]; 2]) -> Option<(f64, f64, f64, f64)> {
    let [[a, b], [c, d]] = *m;
    let (e, f, g, h) = ((a + d) / 2.0, (a - d) / 2.0, (c + b) / 2.0, (c - b) / 2.0);
    let (q, r) = (e.hypot(h), f.hypot(g));
    let (sum, difference) = (h.atan2(e), g.atan2(f));
    let (most, least) = (q + r, q - r);
    (most > 1e-6 && least > 0.0)
        .then(|| (f64::midpoint(sum, difference), most, least / most, (sum - difference) / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_is_put_together_again_from_its_parts() {
        let m = [[3.0, 1.0], [-0.5, 2.0]];
        let parts = decomposed(&m);
        assert!(parts.is_some());
        let (left, scale, ratio, right) = parts.unwrap_or_default();
        let middle = [[scale, 0.0, 0.0], [0.0, scale * ratio, 0.0], [0.0; 3]];
        let all = product(&product(&turn_about(2, left), &middle), &turn_about(2, right));
        for (i, j) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            assert!((all[i][j] - m[i][j]).abs() < 1e-9, "{all:?}");
        }
    }
}

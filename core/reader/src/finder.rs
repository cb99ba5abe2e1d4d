//! A finder pattern seen from its middle: rays to its edges, and the affine
//! frame that they lie in.

use std::f64::consts::{FRAC_PI_2, TAU};
use std::sync::LazyLock;

use super::level::{Fixed, Levelled};
use super::numbers::{fixed, index, real, whole};

/// A finder pattern, in pixels of the frame.
#[derive(Clone, Copy, Debug)]
pub struct Finder {
    pub x: f64,
    pub y: f64,
    /// From pixels about the middle to modules.
    pub to_modules: [[f64; 2]; 2],
    /// From modules to pixels: the columns are the sides of a module.
    pub to_pixels: [[f64; 2]; 2],
    /// Light on dark.
    pub inverted: bool,
    /// How well its modules agree with the pattern, up to 1.
    pub likeness: f64,
    /// The share of the seen edges that lie where the frame has them.
    pub inliers: f64,
}

impl Finder {
    /// A direction in pixels as modules.
    pub fn modules(&self, dx: f64, dy: f64) -> (f64, f64) {
        times(&self.to_modules, dx, dy)
    }

    /// The area of a module in pixels.
    pub fn area(&self) -> f64 {
        determinant(&self.to_pixels).abs()
    }

    pub fn rank(&self) -> f64 {
        self.likeness + 0.3 * self.inliers
    }
}

pub fn times(m: &[[f64; 2]; 2], x: f64, y: f64) -> (f64, f64) {
    (m[0][0] * x + m[0][1] * y, m[1][0] * x + m[1][1] * y)
}

pub fn determinant(m: &[[f64; 2]; 2]) -> f64 {
    m[0][0] * m[1][1] - m[0][1] * m[1][0]
}

pub fn inverse(m: &[[f64; 2]; 2]) -> Option<[[f64; 2]; 2]> {
    let d = determinant(m);
    (d.abs() > 1e-12).then(|| [[m[1][1] / d, -m[0][1] / d], [-m[1][0] / d, m[0][0] / d]])
}

const RAYS: usize = 32;

/// An edge point: where it is from the middle, and how many modules off the
/// middle that edge lies.
#[derive(Clone, Copy, Default)]
struct Edge {
    x: f64,
    y: f64,
    off: f64,
}

/// The edges that the rays have met.
struct Edges {
    all: [Edge; 3 * RAYS],
    count: usize,
}

impl Edges {
    fn iter(&self) -> impl Iterator<Item = &Edge> {
        self.all.iter().take(self.count)
    }
}

/// Whether 8 of 16 rays meet a light ring and a dark one where any affine view
/// of a finder pattern has them: at 1.5 : 2 : 3 of the core's end.
pub fn plausible(level: &Levelled, x: f64, y: f64, module: f64, inverted: bool) -> bool {
    let start = (fixed(x), fixed(y));
    let most = i32::try_from(index((5.0 * module + 2.0) / STEP)).unwrap_or(i32::MAX);
    let mut good = 0;
    for (n, ray) in SIXTEEN.iter().enumerate() {
        good += usize::from(is_ringed(level, start, *ray, most, inverted));
        if good + 15 - n < 8 {
            return false;
        }
    }
    good >= 8
}

/// How far apart the pixels of a ray are looked at.
const STEP: f64 = 0.7;

/// Up to so many steps it matters where between two the core ends.
const SHORT: i32 = 4;

/// How many thousandths of a step back from a place a ray went through the
/// mean around.
fn crossed_part(level: &Levelled, at: Fixed, ray: Fixed) -> i64 {
    let value = |x: i32, y: i32| level.away(f64::from(x) / 65_536.0, f64::from(y) / 65_536.0);
    let before = value(at.0.saturating_sub(ray.0), at.1.saturating_sub(ray.1)).unwrap_or(0.0);
    let here = value(at.0, at.1).unwrap_or(0.0);
    if before * here < 0.0 { whole(1000.0 * here / (here - before)) } else { 500 }
}

/// Whether a ray meets both rings, light at 1.36 of the core's end and dark at
/// 2.
fn is_ringed(level: &Levelled, start: Fixed, ray: Fixed, most: i32, inverted: bool) -> bool {
    let mut at = start;
    let mut steps = 0;
    loop {
        at = (at.0.wrapping_add(ray.0), at.1.wrapping_add(ray.1));
        steps += 1;
        match level.is_dark_at(at) {
            Some(dark) if dark == inverted => break,
            Some(_) if steps < most => {}
            _ => return false,
        }
    }
    // The core ended between the last two places: about half way, or where a
    // short ray went through the mean.
    let part = if steps > SHORT { 500 } else { crossed_part(level, at, ray) };
    let far = i64::from(steps) * 1000 - part;
    let beyond = |hundredths: i64| {
        let along = |start: i32, step: i32| {
            let far = i64::from(step) * far * hundredths / 100_000;
            i32::try_from(far).map_or(i32::MAX, |far| start.saturating_add(far))
        };
        level.is_dark_at((along(start.0, ray.0), along(start.1, ray.1)))
    };
    beyond(136) == Some(inverted) && beyond(200) == Some(!inverted)
}

/// Steps along sixteen rays, every other one first, so that most places are
/// given up soon.
static SIXTEEN: LazyLock<[Fixed; 16]> = LazyLock::new(|| {
    let order = [0, 8, 4, 12, 2, 10, 6, 14, 1, 9, 5, 13, 3, 11, 7, 15];
    order.map(|n| {
        let (sin, cos) = (TAU * f64::from(n) / 16.0).sin_cos();
        (fixed(STEP * sin), fixed(STEP * cos))
    })
});

/// The share of edges that must lie near a frame before it is improved.
const HALFWAY: f64 = 0.4;

/// The finder pattern about a place in a levelled picture.
pub fn finder(level: &Levelled, x: f64, y: f64, module: f64, inverted: bool) -> Option<Finder> {
    let edges = edges(level, x, y, module, if inverted { 1.0 } else { -1.0 })?;
    let mut frame = started(&edges)?;
    let inliers = |frame: &Affine, reach: f64| {
        let near = edges.iter().filter(|e| frame.miss(e).abs() < reach).count();
        real(near) / real(edges.count.max(1))
    };
    for (round, cut) in [1.2, 1.2, 1.2, 0.7, 0.7, 0.7].into_iter().enumerate() {
        if round % 3 == 0 && inliers(&frame, 0.6) < HALFWAY {
            return None;
        }
        frame = improved(&frame, &edges, cut)?;
    }
    let inliers = inliers(&frame, 0.4);
    let pixels = inverse(&frame.matrix)?;
    let (ox, oy) = times(&pixels, -frame.offset[0], -frame.offset[1]);
    let likeness = likeness(level, (x + ox, y + oy), &pixels) * if inverted { -1.0 } else { 1.0 };
    if inliers < 0.42 || likeness < 0.55 {
        return None;
    }
    let scale = real(level.scale);
    let half = (scale - 1.0) / 2.0;
    Some(Finder {
        x: (x + ox) * scale + half,
        y: (y + oy) * scale + half,
        to_modules: frame.matrix.map(|row| row.map(|v| v / scale)),
        to_pixels: pixels.map(|row| row.map(|v| v * scale)),
        inverted,
        likeness,
        inliers,
    })
}

fn edges(level: &Levelled, x: f64, y: f64, module: f64, sign: f64) -> Option<Edges> {
    let mut edges = Edges { all: [Edge::default(); 3 * RAYS], count: 0 };
    let (mut two, mut three) = (0, 0);
    for (done, ray) in THIRTY_TWO.iter().enumerate() {
        let met = crossings(level, (x, y), *ray, sign < 0.0, 9.0 * module + 3.0);
        for (t, off) in met.iter().zip([1.5, 2.5, 3.5]) {
            let Some(t) = t else { break };
            let slot = edges.all.get_mut(edges.count)?;
            *slot = Edge { x: t * ray.0, y: t * ray.1, off };
            edges.count += 1;
        }
        two += usize::from(met[1].is_some());
        three += usize::from(met[2].is_some());
        let left = RAYS - 1 - done;
        if two + left < 20 || three + left < 10 {
            return None;
        }
    }
    Some(edges)
}

static THIRTY_TWO: LazyLock<[(f64, f64); RAYS]> = LazyLock::new(|| {
    // Spread first: a place with no pattern is given up soon.
    std::array::from_fn(|n| {
        let (sin, cos) = (TAU * real(n * 13 % RAYS) / real(RAYS)).sin_cos();
        (cos, sin)
    })
});

/// Where a ray crosses from core to ring, ring to ring and out.
fn crossings(
    level: &Levelled,
    at: (f64, f64),
    ray: (f64, f64),
    dark: bool,
    far: f64,
) -> [Option<f64>; 3] {
    let mut met = [None; 3];
    let mut count = 0;
    let mut inside = dark;
    // Rays end after 9 modules and 3 pixels.
    let step = ((far - 3.0) / 54.0).clamp(0.5, 1.0);
    let stride = (fixed(step * ray.0), fixed(step * ray.1));
    let mut place = (fixed(at.0), fixed(at.1));
    let mut t = 0.0;
    while t < far {
        t += step;
        place = (place.0.wrapping_add(stride.0), place.1.wrapping_add(stride.1));
        let Some(dark) = level.is_dark_at(place) else { break };
        if dark != inside {
            let Some(slot) = met.get_mut(count) else { break };
            let value = |t: f64| level.away(at.0 + t * ray.0, at.1 + t * ray.1).unwrap_or(0.0);
            let (before, here) = (value(t - step), value(t));
            let part = if before * here < 0.0 { here / (here - before) } else { 0.5 };
            *slot = Some(t - step * part);
            count += 1;
            inside = dark;
        }
    }
    met
}

/// From pixels about a middle to modules: matrix · p + offset.
struct Affine {
    matrix: [[f64; 2]; 2],
    offset: [f64; 2],
}

impl Affine {
    fn place(&self, edge: &Edge) -> [f64; 2] {
        let (u, v) = times(&self.matrix, edge.x, edge.y);
        [u + self.offset[0], v + self.offset[1]]
    }

    /// How far an edge lies outside of its square, in modules.
    fn miss(&self, edge: &Edge) -> f64 {
        let [u, v] = self.place(edge);
        u.abs().max(v.abs()) - edge.off
    }
}

/// A first frame: the spread of the edges is made that of a square's, 0.637 of
/// its half side squared for rays at even turns, and turned to fit best.
fn started(edges: &Edges) -> Option<Affine> {
    let count = real(edges.count.max(1));
    let sum = |of: &dyn Fn(f64, f64) -> f64| {
        edges.iter().map(|e| of(e.x / e.off, e.y / e.off)).sum::<f64>() / count
    };
    let (xx, xy, yy) = (sum(&|x, _| x * x), sum(&|x, y| x * y), sum(&|_, y| y * y));
    // The inverse square root of a symmetric matrix, by its own formula.
    let root = (xx * yy - xy * xy).max(0.0).sqrt();
    let trace = (xx + yy + 2.0 * root).sqrt();
    let square_root = [[(xx + root) / trace, xy / trace], [xy / trace, (yy + root) / trace]];
    let white = inverse(&square_root)?.map(|row| row.map(|v| v * 0.637_f64.sqrt()));
    let turned = |turn: f64| {
        let (s, c) = turn.sin_cos();
        let [[a, b], [d, e]] = white;
        Affine {
            matrix: [[c * a - s * d, c * b - s * e], [s * a + c * d, s * b + c * e]],
            offset: [0.0; 2],
        }
    };
    // The edges between the rings are enough to tell the turn.
    let middle = || edges.iter().filter(|e| (e.off - 2.5).abs() < 0.1);
    let cost = |frame: &Affine| middle().map(|e| frame.miss(e).abs().min(1.0)).sum::<f64>();
    let frames = (0..12).map(|n| turned(FRAC_PI_2 * f64::from(n) / 12.0));
    frames.map(|f| (cost(&f), f)).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, f)| f)
}

/// One round: each edge is given to the side it lies at, and each pair of
/// sides is fitted by least squares; what lies past `cut` does not count.
fn improved(frame: &Affine, edges: &Edges, cut: f64) -> Option<Affine> {
    let mut sums = [[[0.0; 4]; 3]; 2];
    for edge in edges.iter() {
        let place = frame.place(edge);
        let side = usize::from(place[1].abs() > place[0].abs());
        let miss = (place[side].abs() - edge.off) / cut;
        if miss.abs() < 1.0 {
            let weight = (1.0 - miss * miss).powi(2);
            let row = [edge.x, edge.y, 1.0, edge.off * place[side].signum()];
            for i in 0..3 {
                for j in 0..4 {
                    sums[side][i][j] += weight * row[i] * row[j];
                }
            }
        }
    }
    let [a, b] = [solved(&sums[0])?, solved(&sums[1])?];
    Some(Affine { matrix: [[a[0], a[1]], [b[0], b[1]]], offset: [a[2], b[2]] })
}

/// Three equations in three unknowns, by Cramer's rule.
fn solved(m: &[[f64; 4]; 3]) -> Option<[f64; 3]> {
    let det = |a: usize, b: usize, c: usize| {
        m[0][a] * (m[1][b] * m[2][c] - m[1][c] * m[2][b])
            - m[0][b] * (m[1][a] * m[2][c] - m[1][c] * m[2][a])
            + m[0][c] * (m[1][a] * m[2][b] - m[1][b] * m[2][a])
    };
    let all = det(0, 1, 2);
    (all.abs() > 1e-9).then(|| [det(3, 1, 2) / all, det(0, 3, 2) / all, det(0, 1, 3) / all])
}

/// The correlation of the 7 × 7 modules with a dark finder pattern.
fn likeness(level: &Levelled, at: (f64, f64), pixels: &[[f64; 2]; 2]) -> f64 {
    let Some(view) = level.view() else { return 0.0 };
    let (mut sum, mut square, mut mixed) = (0.0, 0.0, 0.0);
    for (u, v) in (-3..=3_i32).flat_map(|v| (-3..=3_i32).map(move |u| (u, v))) {
        let (dx, dy) = times(pixels, f64::from(u), f64::from(v));
        let grey = f64::from(view.grey(at.0 + dx, at.1 + dy));
        let dark = u.abs().max(v.abs()) != 2;
        // 33 of the 49 modules are dark.
        let target = if dark { 1.0 - 33.0 / 49.0 } else { -33.0 / 49.0 };
        sum += grey;
        square += grey * grey;
        mixed -= grey * target;
    }
    let spread = (square - sum * sum / 49.0).max(1.0).sqrt();
    mixed / (spread * (33.0_f64 * 16.0 / 49.0).sqrt())
}

//! Two finders of a symbol whose third is lost: at the hose's edge, under a
//! drop of water, or worn away. How strongly the label is rolled cannot be told
//! from two, so it is tried.

use std::f64::consts::FRAC_PI_2;

use super::finder::Finder;
use super::fit::{Anchors, Fitted, Hold, best_two, decomposed, fit, sides};
use super::numbers::real;
use super::pose::{CURVE, LIE, Pose, product, turn_about};

/// Two finders and whose corners they could be.
#[derive(Clone, Copy)]
pub struct Pair {
    pub finders: [Finder; 2],
    corners: [Corner; 2],
    /// Lower is better.
    pub rank: f64,
    /// About how many modules lie between the middles of two along a side.
    pub arm: f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Corner {
    UpperLeft,
    UpperRight,
    LowerLeft,
}

/// The pairs of corners that finders may have, in one order.
const ROLES: [[Corner; 2]; 3] = [
    [Corner::UpperLeft, Corner::UpperRight],
    [Corner::UpperLeft, Corner::LowerLeft],
    [Corner::UpperRight, Corner::LowerLeft],
];

/// How many of the best finders are combined.
const BEST: usize = 8;
/// How many pairs these have.
pub const MOST: usize = BEST * (BEST - 1) * ROLES.len();

/// Fills `pairs`, best first, from finders that come best first. Finders that
/// `used` names are left out.
pub fn pairs(finders: &[Finder], used: &[bool], pairs: &mut Vec<Pair>) {
    pairs.clear();
    let free = || finders.iter().zip(used).filter(|(_, used)| !**used).map(|(f, _)| f).take(BEST);
    for (at, a) in free().enumerate() {
        for b in free().enumerate().filter(|(other, _)| *other != at).map(|(_, b)| b) {
            pairs.extend(ROLES.iter().filter_map(|corners| pair(a, b, *corners)));
        }
    }
    pairs.sort_unstable_by(|a, b| a.rank.total_cmp(&b.rank));
}

impl Corner {
    /// The middle of its finder in a symbol whose finders are so far from the
    /// symbol's middle.
    const fn place(self, half: f64) -> (f64, f64) {
        match self {
            Self::UpperLeft => (-half, -half),
            Self::UpperRight => (half, -half),
            Self::LowerLeft => (-half, half),
        }
    }
}

/// How far off the way between two corners is that between two finders, as a
/// tangent, and how many modules a side has by it.
fn way(from: &Finder, to: &Finder, corners: [Corner; 2]) -> (f64, f64) {
    let (u, v) = from.modules(to.x - from.x, to.y - from.y);
    let (least, most) = (u.abs().min(v.abs()), u.abs().max(v.abs()).max(1e-9));
    let diagonal = corners == ROLES[2];
    if diagonal { ((most - least) / most, (least + most) / 2.0) } else { (least / most, most) }
}

fn pair(a: &Finder, b: &Finder, corners: [Corner; 2]) -> Option<Pair> {
    let ratio = (a.area() / b.area().max(1e-9)).ln().abs();
    let (there, back) = (way(a, b, corners), way(b, a, corners));
    let skew = there.0 + back.0;
    let arm = (there.1 + back.1) / 2.0;
    let rank = skew + 0.3 * ratio - a.likeness - b.likeness;
    let good = a.inverted == b.inverted
        && ratio < 9.0_f64.ln()
        && skew < 0.8
        && (10.0..=45.0).contains(&arm);
    good.then_some(Pair { finders: [*a, *b], corners, rank, arm })
}

/// The angles to each side that a label is tried at.
const HALVES: [f64; 5] = [0.45, 0.7, 0.9, 1.1, 1.3];

/// Says to `take` each pose that two finders have in a symbol of `n` modules a
/// side.
pub fn poses(pair: &Pair, n: usize, middle: (f64, f64), mut take: impl FnMut(Fitted)) {
    let half = real(n - 7) / 2.0;
    let places = pair.corners.map(|corner| corner.place(half));
    let [a, b] = &pair.finders;
    let seen = (b.x - a.x, b.y - a.y);
    let way = (places[1].0 - places[0].0, places[1].1 - places[0].1);
    // A direction along u is the way between the two, turned back.
    let long = way.0.hypot(way.1);
    let scale = seen.0.hypot(seen.1) / long;
    let mut anchors = Anchors::new();
    let frames = [a, b].map(|finder| turned_sides(finder, seen, way));
    for ((finder, place), frame) in pair.finders.iter().zip(places).zip(&frames) {
        anchors.add(finder, place, frame, scale);
    }
    let better = usize::from(b.likeness > a.likeness);
    let (finder, place, frame) = (&pair.finders[better], places[better], &frames[better]);
    let kinds = [None, Some(0.0), Some(FRAC_PI_2)];
    for lie in kinds {
        let halves: &[f64] = if lie.is_some() { &HALVES } else { &[0.0] };
        for angle in halves {
            let curve = 2.0 * angle / real(n);
            let mut hold = lie.map_or_else(Hold::flat, Hold::round);
            hold.free[CURVE] = false;
            hold.free[LIE] = lie.is_some();
            let starts = starts(finder, place, frame, (curve, lie.unwrap_or(0.0)), middle);
            let mut tried = [None; 4];
            for (slot, start) in tried.iter_mut().zip(starts) {
                let (pose, cost) = fit(&start, anchors.as_slice(), &hold, 8);
                *slot = Some(Fitted { pose, cost });
            }
            best_two(&mut tried).into_iter().flatten().for_each(&mut take);
        }
    }
}

/// A finder's sides as the symbol's u and v where `seen` in the picture is `way`
/// in the symbol.
fn turned_sides(finder: &Finder, seen: (f64, f64), way: (f64, f64)) -> [[f64; 2]; 2] {
    // In the finder's own modules the way is turned back to u.
    let (a, b) = finder.modules(seen.0, seen.1);
    let hand = {
        let [[ax, bx], [ay, by]] = finder.to_pixels;
        (ax * by - bx * ay).signum()
    };
    let angle = way.1.atan2(way.0) * hand;
    let (sin, cos) = angle.sin_cos();
    let (u, v) = (a * cos + b * sin, b * cos - a * sin);
    let [[ax, bx], [ay, by]] = finder.to_pixels;
    sides(finder, (ax * u + bx * v, ay * u + by * v))
}

/// Two poses that put a finder where it is seen as it is seen: the tilt's sign
/// cannot be told.
fn starts(
    finder: &Finder,
    place: (f64, f64),
    frame: &[[f64; 2]; 2],
    (curve, lie): (f64, f64),
    middle: (f64, f64),
) -> impl Iterator<Item = Pose> {
    let parts = decomposed(frame);
    let around_u = lie < 0.5;
    // From the finder's tangent plane back to that of the symbol's middle.
    let back =
        if around_u { turn_about(1, curve * place.0) } else { turn_about(0, -curve * place.1) };
    let (x, y) = (finder.x, finder.y);
    parts.into_iter().flat_map(move |(left, scale, ratio, right)| {
        let tilt = ratio.clamp(0.0, 1.0).acos();
        [tilt, -tilt].map(|tilt| {
            let tilted = product(&turn_about(2, left), &turn_about(0, tilt));
            let turn = product(&product(&tilted, &turn_about(2, right)), &back);
            let pose = Pose { turn, at: (x, y), scale, curve, near: 0.004, lie, middle };
            let seen = pose.project(place.0, place.1);
            Pose { at: (2.0 * x - seen.0, 2.0 * y - seen.1), ..pose }
        })
    })
}

//! Which three finders could belong to one symbol.

use super::finder::Finder;
use super::fit::Triple;

/// How many of the best finders are combined.
const BEST: usize = 20;
/// How many triples these have.
pub const MOST: usize = BEST * (BEST - 1) * (BEST - 2);

/// A symbol with more modules between two finders is a large one.
const LARGE: f64 = 70.0;

/// Three finders by their numbers, and how little they look like a symbol's.
#[derive(Clone, Copy)]
pub struct Ranked {
    pub finders: [usize; 3],
    /// Lower is better.
    pub rank: f64,
}

/// Fills `triples`, best first, from finders that come best first. Finders
/// that `used` names are left out.
pub fn triples(finders: &[Finder], used: &[bool], triples: &mut Vec<Ranked>) {
    triples.clear();
    let free = || {
        let all = finders.iter().zip(used).enumerate();
        all.filter(|(_, (_, used))| !**used).map(|(at, (f, _))| (at, f)).take(BEST)
    };
    for (at, a) in free() {
        for (one, b) in free() {
            if one == at || !paired(a, b) {
                continue;
            }
            for (other, c) in free().filter(|(other, _)| *other != at && *other != one) {
                let rank = triple(a, b, c).map(|t| t.rank);
                triples.extend(rank.map(|rank| Ranked { finders: [at, one, other], rank }));
            }
        }
    }
    triples.sort_unstable_by(|a, b| a.rank.total_cmp(&b.rank));
}

fn paired(a: &Finder, b: &Finder) -> bool {
    let ratio = a.area() / b.area().max(1e-9);
    a.inverted == b.inverted && (1.0 / 9.0..=9.0).contains(&ratio)
}

/// A direction as a frame's axis (0 or 1), how far off it (a tangent), and its
/// length in modules along it.
fn axis(finder: &Finder, to: &Finder) -> (usize, f64, f64) {
    let (u, v) = finder.modules(to.x - finder.x, to.y - finder.y);
    let (u, v) = (u.abs(), v.abs());
    if u >= v { (0, v / u.max(1e-9), u) } else { (1, u / v, v) }
}

/// Upper left, upper right, lower left: right-handed, in line with their frames.
pub fn triple(a: &Finder, b: &Finder, c: &Finder) -> Option<Triple> {
    let cross = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    if cross <= 0.0 || !paired(a, c) || !paired(b, c) {
        return None;
    }
    let (ab, ac) = (axis(a, b), axis(a, c));
    if ab.0 == ac.0 {
        return None;
    }
    let (ba, ca) = (axis(b, a), axis(c, a));
    let skew = ab.1 + ac.1 + ba.1 + ca.1;
    let arms = [(ab.2 + ba.2) / 2.0, (ac.2 + ca.2) / 2.0];
    let arm = arms[0].min(arms[1]);
    let areas = [a, b, c].map(|f| f.area());
    let (least, most) = areas.iter().fold((f64::MAX, 0.0_f64), |(l, m), v| (l.min(*v), m.max(*v)));
    let likeness = a.likeness + b.likeness + c.likeness;
    // Finders of a large symbol are far apart, but so are those of several small ones.
    let far = if arm > LARGE { 0.5 + 0.3 * (arm / LARGE).ln() } else { 0.0 };
    let rank =
        skew + 0.3 * (most / least).ln() - likeness + 0.3 * (arms[1] / arms[0]).ln().abs() + far;
    // What is seen of a large symbol is seen from the front, or else it is too small.
    let straight = arm <= LARGE || (skew <= 0.8 && most <= 3.0 * least);
    let good = skew <= 1.8 && (10.0..=190.0).contains(&arm) && most <= 9.0 * least && straight;
    good.then_some(Triple { corners: [*a, *b, *c], rank, arm })
}

//! EAN and UPC (ISO/IEC 15420) on a line: where a symbol may lie, and how much
//! each place of it looks like each digit. Blurred bars run together, so that
//! their widths say little; whole digits still look like themselves.

use super::line::Line;
use super::shapes::{LOOKS, Look, PLAIN, SHAPES, Shape, likeness, normalise, place};
use crate::numbers::real;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A UPC-A is an EAN-13 that begins with 0.
    Ean13,
    Ean8,
    UpcE,
}

/// How a kind is laid out, in modules and edges.
pub struct Plan {
    pub kind: Kind,
    pub digits: usize,
    /// How many of them lie before the middle.
    pub left: usize,
    modules: usize,
    edges: usize,
    /// Edges from a middle guard's begin to its end, and its modules.
    middle: usize,
    /// Modules from the last digit to the end.
    end: usize,
}

pub const PLANS: [Plan; 3] = [
    Plan { kind: Kind::Ean13, digits: 12, left: 6, modules: 95, edges: 60, middle: 5, end: 3 },
    Plan { kind: Kind::Ean8, digits: 8, left: 4, modules: 67, edges: 44, middle: 5, end: 3 },
    Plan { kind: Kind::UpcE, digits: 6, left: 6, modules: 51, edges: 34, middle: 0, end: 6 },
];

/// How much each place looks like each digit of sets A and B (of C, if it lies
/// behind the middle); logarithms of likelihoods, summed over lines.
pub type Table = [[f32; SHAPES]; 12];

/// How the places of digits are known.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// By all edges, of a line that bends evenly.
    Even,
    /// By all edges, of a line with folds.
    Folded,
    /// By the guards alone.
    Guards,
}

pub struct Sighting {
    pub kind: Kind,
    pub start: f64,
    pub end: f64,
    pub fit: Fit,
    pub shapes: Shapes,
}

/// What each digit looks like, those behind the middle times -1.
pub type Shapes = [Shape; 12];

/// A guard's bars may differ so much from their mean.
const GUARD: std::ops::Range<f64> = 0.45..1.75;
/// The quiet zone, in modules: the standard has 7 to 11, labels have less.
const QUIET: f64 = 3.0;

/// As many places of a line may be looked at closely.
const MOST: usize = 6;

/// What may be an EAN or UPC symbol on a line.
pub fn sightings(line: &Line, mut take: impl FnMut(Sighting)) {
    let edges = &line.edges;
    let first = usize::from(!line.begins_dark);
    let mut left = MOST;
    for start in (first..edges.len()).step_by(2) {
        let Some(module) = guard(line, start, false) else { continue };
        for plan in &PLANS {
            // Of a blurred symbol some edges may be lost, or flaws have added some.
            let spare = if plan.kind == Kind::Ean13 { 8 } else { 0 };
            let end = start + plan.edges - 1;
            for end in (end - 2 * spare..=end + spare / 2).step_by(2) {
                let Some(last) = guard(line, end, true) else { continue };
                let width = (edges.get(end).unwrap_or(&0.0) - edges[start]) / real(plan.modules);
                let like = |m: f64| (0.6..1.6).contains(&(m / width));
                if width < 0.7 || !like(module) || !like(last) {
                    continue;
                }
                if left == 0 || sight(line, plan, (start, end), &mut take).is_none() {
                    continue;
                }
                left -= 1;
            }
        }
    }
}

/// The module of a guard, bar, space and bar from an edge on or up to it, with
/// quiet beyond.
fn guard(line: &Line, at: usize, ends: bool) -> Option<f64> {
    let edge = |n: isize| {
        let n = if ends { -n } else { n };
        at.checked_add_signed(n).and_then(|at| line.edges.get(at)).copied()
    };
    let far = |n: isize, m: isize| Some((edge(n)? - edge(m)?).abs());
    let widths = [far(1, 0)?, far(2, 1)?, far(3, 2)?];
    let module = (widths[0] + widths[1] + widths[2]) / 3.0;
    let even = widths.iter().all(|w| GUARD.contains(&(w / module)));
    let beyond = if ends { real(line.length()) - edge(0)? } else { edge(0)? };
    let quiet = far(0, -1).unwrap_or(beyond.max(QUIET * module));
    (even && quiet >= QUIET * module).then_some(module)
}

/// A cubic through the places of a line, by modules from -1 to 1.
#[derive(Clone, Copy)]
struct Scale {
    terms: [f64; 4],
    half: f64,
}

impl Scale {
    fn at(&self, module: f64) -> f64 {
        let u = module / self.half - 1.0;
        self.terms.iter().rev().fold(0.0, |sum, term| sum * u + term)
    }

    /// The best cubic (or a lower power) for pairs of module and place.
    fn fit(pairs: &[(f64, f64)], half: f64, powers: usize) -> Option<Self> {
        let mut sums = [[0.0; 5]; 4];
        for (module, at) in pairs {
            let u = module / half - 1.0;
            let powers_of = [1.0, u, u * u, u * u * u];
            for row in 0..powers {
                for column in 0..powers {
                    sums[row][column] += powers_of[row] * powers_of[column];
                }
                sums[row][4] += powers_of[row] * at;
            }
        }
        let mut terms = [0.0; 4];
        for pivot in 0..powers {
            let by = sums[pivot][pivot];
            if by.abs() < 1e-9 {
                return None;
            }
            for row in 0..powers {
                if row != pivot {
                    let share = sums[row][pivot] / by;
                    let other = sums[pivot];
                    sums[row].iter_mut().zip(other).for_each(|(sum, other)| *sum -= share * other);
                }
            }
        }
        for (at, term) in terms.iter_mut().enumerate().take(powers) {
            *term = sums[at][4] / sums[at][at];
        }
        Some(Self { terms, half })
    }
}

impl Plan {
    /// The module where a digit begins.
    fn begin(&self, digit: usize) -> usize {
        3 + 7 * digit + if digit >= self.left { self.middle } else { 0 }
    }

    /// How many shapes a place may have: behind the middle there is set C alone.
    fn shapes(&self, digit: usize) -> usize {
        if digit >= self.left { SHAPES / 2 } else { SHAPES }
    }

    /// Edges whose modules are known if none is lost: guards' and digits' ends.
    fn known(&self, edges: &[f64]) -> Vec<(f64, f64)> {
        let mut known = Vec::with_capacity(32);
        let mut pair = |at: usize, module: usize| {
            known.extend(edges.get(at).map(|edge| (real(module), *edge)));
        };
        (0..3).for_each(|at| pair(at, at));
        for digit in 0..self.digits {
            let behind = digit >= self.left;
            let at = 3 + 4 * digit + if behind { self.middle } else { 0 };
            pair(at, self.begin(digit));
        }
        let middle = self.begin(self.left - 1) + 7;
        if self.middle > 0 {
            let at = 3 + 4 * self.left;
            (0..self.middle).for_each(|n| pair(at + n, middle + n));
        }
        (0..=self.end).for_each(|n| pair(self.edges - 1 - n, self.modules - n));
        known
    }
}

fn sight(
    line: &Line,
    plan: &Plan,
    (start, end): (usize, usize),
    take: &mut impl FnMut(Sighting),
) -> Option<()> {
    let edges = line.edges.get(start..=end)?;
    let (start, end) = (*edges.first()?, *edges.last()?);
    let mut give = |scale: &Scale, fit, off: &Off| {
        let shapes = std::array::from_fn(|digit| shape(line, plan, scale, digit, off));
        take(Sighting { kind: plan.kind, start, end, fit, shapes });
    };
    let whole = (edges.len() == plan.edges).then(|| whole_scale(plan, edges)).flatten();
    if let Some((scale, off)) = whole {
        give(&scale, Fit::Even, &off.map(|ends| ends.map(|by| EVEN * by)));
        give(&scale, Fit::Folded, &off.map(|ends| ends.map(|by| FOLDED * by)));
    } else {
        give(&guess(line, plan, edges)?, Fit::Guards, &Off::default());
    }
    Some(())
}

/// How far the edges at digits' begins and ends are from a scale.
type Off = [[f64; 2]; 12];

/// The share of that which counts: folds move whole digits, noise single edges.
const EVEN: f64 = 0.3;
const FOLDED: f64 = 0.9;

/// The scale by all known edges, unless one is a module off.
fn whole_scale(plan: &Plan, edges: &[f64]) -> Option<(Scale, Off)> {
    let known = plan.known(edges);
    let scale = Scale::fit(&known, real(plan.modules) / 2.0, 4)?;
    let module = (edges.last()? - edges.first()?) / real(plan.modules);
    let most = known.iter().map(|(m, at)| (scale.at(*m) - at).abs()).fold(0.0, f64::max);
    let off = std::array::from_fn(|digit| {
        let digit = digit.min(plan.digits - 1);
        let first = 3 + 4 * digit + if digit >= plan.left { plan.middle } else { 0 };
        let begin = plan.begin(digit);
        [(first, begin), (first + 4, begin + 7)]
            .map(|(at, module)| edges.get(at).map_or(0.0, |edge| edge - scale.at(real(module))))
    });
    (most < module).then_some((scale, off))
}

/// A scale from the guards alone, the middle one looked for.
fn guess(line: &Line, plan: &Plan, edges: &[f64]) -> Option<Scale> {
    let (first, last) = (*edges.first()?, *edges.last()?);
    let modules = real(plan.modules);
    let module = (last - first) / modules;
    let count = edges.len();
    let ends = |at: usize| Some([*edges.get(at)?, *edges.get(count - 1 - at)?]);
    let mut pairs = Vec::with_capacity(9);
    for at in 0..3 {
        let [a, b] = ends(at)?;
        pairs.push((real(at), a));
        pairs.push((modules - real(at), b));
    }
    let middle = f64::midpoint(first, last);
    // Light, dark, light, dark, light.
    let score = |at: f64| {
        let sum = |by: &[f64]| by.iter().map(|by| line.grey(at + by * module)).sum::<f32>();
        sum(&[-2.0, 0.0, 2.0]) / 3.0 - sum(&[-1.0, 1.0]) / 2.0
    };
    let places = (-12..=12).map(|n| middle + f64::from(n) * 0.25 * module);
    let best = places.max_by(|a, b| score(*a).total_cmp(&score(*b)))?;
    pairs.push((modules / 2.0, best));
    Scale::fit(&pairs, modules / 2.0, 3)
}

/// A digit's samples, turned so that sets A and B fit it.
fn shape(line: &Line, plan: &Plan, scale: &Scale, digit: usize, off: &Off) -> Shape {
    let begin = real(plan.begin(digit.min(plan.digits - 1)));
    let [first, last] = off.get(digit).copied().unwrap_or_default();
    let mut shape = std::array::from_fn(|sample| {
        let module = place(sample);
        line.grey(scale.at(begin + module) + first + (last - first) * module / 7.0)
    });
    normalise(&mut shape);
    if digit >= plan.left {
        shape.iter_mut().for_each(|v| *v = -*v);
    }
    shape
}

/// How much each place looks like each digit, by the blur and the ink by which
/// they look best. The shapes may be sums of some lines' shapes.
pub fn table(kind: Kind, shapes: &Shapes) -> Table {
    let Some(plan) = PLANS.iter().find(|plan| plan.kind == kind) else { return NOTHING };
    let mut shapes = *shapes;
    shapes.iter_mut().for_each(normalise);
    // What looks like no digits at all is not looked at closely.
    let plain = LOOKS.get(PLAIN).map_or(0.0, |look| best_sum(plan, &likes(plan, look, &shapes)));
    if f64::from(plain) < 0.6 * real(plan.digits) {
        return NOTHING;
    }
    let looks = LOOKS.iter().map(|look| likes(plan, look, &shapes));
    let sums = looks.map(|likes| (best_sum(plan, &likes), likes));
    let best = sums.max_by(|a, b| a.0.total_cmp(&b.0));
    best.map_or(NOTHING, |(_, likes)| scores(plan, &likes))
}

const NOTHING: Table = [[0.0; SHAPES]; 12];

/// How much each place looks like each digit in a look, 0 to 1.
fn likes(plan: &Plan, look: &Look, shapes: &Shapes) -> Table {
    let mut table = NOTHING;
    let places = table.iter_mut().zip(shapes).take(plan.digits);
    for (digit, (likes, shape)) in places.enumerate() {
        let known = if digit >= plan.left { &look.right } else { &look.left };
        for (like, known) in likes.iter_mut().zip(known).take(plan.shapes(digit)) {
            *like = likeness(shape, known).max(0.0);
        }
    }
    table
}

/// The logarithm of a likelihood.
fn score(like: f32) -> f32 {
    -(1.02 - like * like).ln()
}

/// The sum of the scores of what each place looks like most.
fn best_sum(plan: &Plan, likes: &Table) -> f32 {
    let best = |row: &[f32; SHAPES]| score(row.iter().copied().fold(0.0, f32::max)).max(0.0);
    likes.iter().take(plan.digits).map(best).sum()
}

fn scores(plan: &Plan, likes: &Table) -> Table {
    let mut table = *likes;
    for (digit, scores) in table.iter_mut().enumerate().take(plan.digits) {
        scores.iter_mut().take(plan.shapes(digit)).for_each(|v| *v = score(*v));
    }
    table
}

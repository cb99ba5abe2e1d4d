//! Rows in search of finder patterns: five runs, 1 : 1 : 3 : 1 : 1, or what a
//! slanted or rolled view makes of them.

use super::finder::{Finder, finder, plausible};
use super::level::Levelled;
use super::numbers::real;

/// The most finders that are kept of a frame.
const MOST: usize = 120;

/// Adds what every `step`th row shows to the finders so far.
pub fn scan(level: &Levelled, step: usize, finders: &mut Vec<Finder>) {
    for y in (step / 2..level.height).step_by(step.max(1)) {
        scan_row(level, y, finders);
        if finders.len() >= MOST {
            return;
        }
    }
}

fn scan_row(level: &Levelled, y: usize, finders: &mut Vec<Finder>) {
    let row = level.aways(y);
    let mut ends = [0_usize; 6];
    let mut dark = row.first().is_some_and(|v| *v < 0);
    for (x, value) in row.iter().enumerate() {
        if (*value < 0) == dark {
            continue;
        }
        ends.rotate_left(1);
        ends[5] = x;
        // The five runs before x end with one of the colour that ends here.
        if five_runs(&ends) && is_deep(row, &ends) {
            let middle = real(ends[2] + ends[3] - 1) / 2.0;
            let module = real(ends[5] - ends[0]) / 7.0;
            consider(level, (middle, y), module, !dark, finders);
        }
        dark = !dark;
    }
}

/// Whether the core and a ring beside it are at least 5 grey levels apart:
/// noise on an even ground makes runs as well.
fn is_deep(row: &[i16], ends: &[usize; 6]) -> bool {
    let middle = |at: usize| row.get((ends[at] + ends[at + 1]) / 2).copied().unwrap_or(0);
    let core = middle(2);
    core.abs_diff(middle(1)).max(core.abs_diff(middle(3))) >= 5
}

/// Whether five runs between six ends could be a finder pattern's.
fn five_runs(ends: &[usize; 6]) -> bool {
    let total = ends[5] - ends[0];
    let run = |at: usize| ends[at + 1] - ends[at];
    // In parts of 28 modules: 7 w = total.
    let core = run(2) * 70;
    total >= 6
        && core >= 15 * total
        && core <= 48 * total
        && [0, 1, 3, 4].iter().all(|at| {
            let side = run(*at) * 700;
            side >= 25 * total && side <= 230 * total
        })
        && (run(0) + run(1)) * 700 >= 75 * total
        && (run(3) + run(4)) * 700 >= 75 * total
}

fn consider(
    level: &Levelled,
    (x, y): (f64, usize),
    row_module: f64,
    inverted: bool,
    finders: &mut Vec<Finder>,
) {
    let far = FAR * row_module + 6.0;
    let scale = real(level.scale);
    let known = |x: f64, y: f64, finders: &[Finder]| {
        finders.iter().any(|f| {
            let (u, v) = f.modules(x * scale - f.x, y * scale - f.y);
            f.inverted == inverted && u.abs().max(v.abs()) < 2.0
        })
    };
    if known(x, real(y), finders) {
        return;
    }
    let Some((y, down)) = crossed(level, (x, real(y)), (0.0, 1.0), far, inverted) else { return };
    let Some((x, across)) = crossed(level, (x, y), (1.0, 0.0), far, inverted) else { return };
    let module = across.max(down) / 7.0;
    if known(x, y, finders) || !strong(level, x, y, module, inverted) {
        return;
    }
    if plausible(level, x, y, module, inverted) {
        let found = finder(level, x, y, module, inverted);
        let found = found.filter(|f| !known(f.x / scale, f.y / scale, finders));
        finders.extend(found);
    }
}

/// Whether core and ring are at least 5 grey levels apart.
fn strong(level: &Levelled, x: f64, y: f64, module: f64, inverted: bool) -> bool {
    let sign = if inverted { 1.0 } else { -1.0 };
    let core = level.away(x, y).unwrap_or(0.0) * sign;
    let ring = [(2.0, 0.0), (-2.0, 0.0), (0.0, 2.0), (0.0, -2.0)]
        .map(|(u, v)| -sign * level.away(x + u * module, y + v * module).unwrap_or(0.0));
    core + ring.iter().copied().fold(f64::MIN, f64::max) >= 5.0
}

/// Walks both ways from a core along a row or a column: the middle of the core
/// along that line, and the length of the five runs.
fn crossed(
    level: &Levelled,
    (x, y): (f64, f64),
    way: (f64, f64),
    far: f64,
    inverted: bool,
) -> Option<(f64, f64)> {
    let ends = |sign: f64| walk(level, (x, y), (way.0 * sign, way.1 * sign), far, inverted);
    let (back, forth) = (ends(-1.0)?, ends(1.0)?);
    let core = back[0] + forth[0];
    let total = back[2] + forth[2];
    let module = total / 7.0;
    let fits = |part: f64| part >= 0.25 * module && part <= 2.3 * module;
    let sides = [back, forth].iter().all(|e| fits(e[1] - e[0]) && fits(e[2] - e[1]));
    let place = if way.0 > 0.0 { x } else { y };
    (sides && core >= 1.5 * module && core <= 4.8 * module)
        .then_some((place + (forth[0] - back[0]) / 2.0, total))
}

/// How many of the row's modules a walk goes at most.
const FAR: f64 = 16.0;

/// Where the core, the light ring and the dark ring end along a way, in steps
/// of a pixel.
fn walk(
    level: &Levelled,
    at: (f64, f64),
    way: (f64, f64),
    far: f64,
    inverted: bool,
) -> Option<[f64; 3]> {
    let mut ends = [0.0; 3];
    let mut count = 0;
    let (mut t, mut dark) = (0.0, !inverted);
    while t < far {
        if level.is_dark(at.0 + t * way.0, at.1 + t * way.1)? != dark {
            // A place that is not of the core's colour is no middle.
            if t < 0.5 {
                return None;
            }
            *ends.get_mut(count)? = t - 0.5;
            count += 1;
            dark = !dark;
            if count == 3 {
                return Some(ends);
            }
        }
        t += 1.0;
    }
    None
}

//! Rows in search of finder patterns: five runs, 1 : 1 : 3 : 1 : 1, or what a
//! slanted or rolled view makes of them.

use super::dark::Run;
use super::finder::{Finder, finder, plausible};
use super::level::Levelled;
use super::numbers::{index, real};

/// The most finders that are kept of a frame.
pub const MOST: usize = 120;

/// Places that looked like a finder pattern and were none: the rows that follow
/// lead to them again.
const REACH: f64 = 1.0;
struct Refused {
    places: [(f64, f64); 32],
    next: usize,
}

impl Refused {
    fn add(&mut self, place: (f64, f64)) {
        if let Some(slot) = self.places.get_mut(self.next) {
            *slot = place;
        }
        self.next = (self.next + 1) % self.places.len();
    }

    fn has(&self, (x, y): (f64, f64), reach: f64) -> bool {
        self.places.iter().any(|p| (p.0 - x).abs().max((p.1 - y).abs()) <= reach)
    }
}

/// Adds what every `step`th row shows to the finders so far.
pub fn scan(level: &Levelled, step: usize, finders: &mut Vec<Finder>) {
    let mut refused = Refused { places: [(-1e9, -1e9); 32], next: 0 };
    for y in (step / 2..level.height).step_by(step.max(1)) {
        scan_row(level, y, finders, &mut refused);
        if finders.len() >= MOST {
            return;
        }
    }
}

fn scan_row(level: &Levelled, y: usize, finders: &mut Vec<Finder>, refused: &mut Refused) {
    let (row, words) = (level.aways(y), level.dark.row(y));
    let mut ends = [0_usize; 6];
    let mut before = words.first().is_some_and(|word| word & 1 == 1);
    for (at, dark) in words.iter().copied().enumerate() {
        // Pixels unlike the one before.
        let mut turns = dark ^ (dark << 1 | u64::from(before));
        let left = level.width - 64 * at;
        if left < 64 {
            turns &= (1 << left) - 1;
        }
        before = dark >> 63 == 1;
        while turns != 0 {
            let bit = usize::try_from(turns.trailing_zeros()).unwrap_or(0);
            turns &= turns - 1;
            let x = 64 * at + bit;
            ends = [ends[1], ends[2], ends[3], ends[4], ends[5], x];
            // The five runs before x end with one of the colour that ends here.
            if five_runs(&ends) && is_deep(row, &ends, level.noise) {
                let middle = (ends[2] + ends[3]) / 2;
                let far = FAR * (ends[5] - ends[0]) / 7 + 6;
                consider(level, (middle, y), far, dark >> bit & 1 == 1, finders, refused);
            }
        }
    }
}

/// Whether the core and the rings beside it are farther apart than noise, which makes runs on an
/// even ground as well.
fn is_deep(row: &[i16], ends: &[usize; 6], noise: u16) -> bool {
    let middle = |at: usize| row.get((ends[at] + ends[at + 1]) / 2).copied().unwrap_or(0);
    let core = middle(2);
    core.abs_diff(middle(1)).min(core.abs_diff(middle(3))) >= noise
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

/// Looks closer at a pixel that could lie in a core, walking at most so `far`.
fn consider(
    level: &Levelled,
    (x, y): (usize, usize),
    far: usize,
    inverted: bool,
    finders: &mut Vec<Finder>,
    refused: &mut Refused,
) {
    let known = |x: f64, y: f64, finders: &[Finder]| {
        let scale = real(level.scale);
        finders.iter().any(|f| {
            let (u, v) = f.modules(x * scale - f.x, y * scale - f.y);
            f.inverted == inverted && u.abs().max(v.abs()) < 2.0
        })
    };
    let Some(down) = crossed(level.dark.down(x), y, far, inverted) else { return };
    let y = real(y) + down.off;
    let row = level.dark.along(index(y + 0.5));
    let Some(across) = crossed(row, x, far, inverted) else { return };
    let x = real(x) + across.off;
    let module = real(across.total.max(down.total)) / 7.0;
    if known(x, y, finders) || !strong(level, x, y, module, inverted) {
        return;
    }
    if refused.has((x, y), REACH) {
        return;
    }
    if plausible(level, x, y, module, inverted) {
        let found = finder(level, x, y, module, inverted);
        let scale = real(level.scale);
        let found = found.filter(|f| !known(f.x / scale, f.y / scale, finders));
        match found {
            Some(found) if finders.len() < MOST => finders.push(found),
            Some(_) => {}
            None => refused.add((x, y)),
        }
    }
}

/// Whether core and ring are farther apart than noise.
fn strong(level: &Levelled, x: f64, y: f64, module: f64, inverted: bool) -> bool {
    let sign = if inverted { 1.0 } else { -1.0 };
    let core = level.away(x, y).unwrap_or(0.0) * sign;
    let ring = [(2.0, 0.0), (-2.0, 0.0), (0.0, 2.0), (0.0, -2.0)]
        .map(|(u, v)| -sign * level.away(x + u * module, y + v * module).unwrap_or(0.0));
    core + ring.iter().copied().fold(f64::MIN, f64::max) >= f64::from(level.noise)
}

/// Five runs about a pixel: where the middle of the core is from it, and how
/// many pixels they have together.
struct Crossed {
    off: f64,
    total: usize,
}

/// Walks both ways from a pixel of a core along a row or a column.
fn crossed(run: Run<'_>, start: usize, far: usize, inverted: bool) -> Option<Crossed> {
    let walk = |forth| Walk { run, start, forth, gone: 0, left: far, dark: !inverted };
    let (mut back, mut forth) = (walk(false), walk(true));
    let (core_back, core_forth) = (back.next()?, forth.next()?);
    // The pixel itself is counted both ways.
    let core = (core_back + core_forth).checked_sub(1).filter(|core| *core > 0)?;
    // A ring that is too wide for the core is none: seventy cores are at least fifteen totals.
    let most = core * 70 / 15 + 1;
    back.left = back.left.min(most);
    forth.left = forth.left.min(most);
    let (back_light, forth_light) = (back.next()?, forth.next()?);
    let (back, forth) =
        ([core_back, back_light, back.next()?], [core_forth, forth_light, forth.next()?]);
    let total = back[2] + forth[2] - 1;
    let fits = |part: usize| part * 700 >= 25 * total && part * 700 <= 230 * total;
    let sides = [back, forth].iter().all(|e| fits(e[1] - e[0]) && fits(e[2] - e[1]));
    (sides && core * 70 >= 15 * total && core * 70 <= 48 * total)
        .then(|| Crossed { off: (real(forth[0]) - real(back[0])) / 2.0, total })
}

/// How many of the row's modules a walk goes at most.
const FAR: usize = 16;

/// A walk from a pixel of the core, on to where the colour turns again and again.
struct Walk<'a> {
    run: Run<'a>,
    start: usize,
    /// Whether it goes forth or back.
    forth: bool,
    gone: usize,
    left: usize,
    dark: bool,
}

impl Walk<'_> {
    /// How many pixels from its begin the next colour begins; none if that is too far, or if the
    /// first pixel is not of the core's colour and so no middle.
    fn next(&mut self) -> Option<usize> {
        self.gone = if self.forth {
            let end = self.start + self.left;
            self.run.next(self.start + self.gone, end, !self.dark)? - self.start
        } else {
            let least = (self.start + 1).saturating_sub(self.left);
            self.start - self.run.previous(self.start - self.gone, least, !self.dark)?
        };
        self.dark = !self.dark;
        (self.gone > 0).then_some(self.gone)
    }
}

//! A second look at a pose that was not read: the borders between modules are
//! sought near where it has them, and the pose is drawn to where they are; what
//! no pose explains (a bent hose, a lens, rows read one after the other) is
//! taken up by a smooth shift of places.

use super::bent::{Bent, Surface, TERMS, terms};
use super::fit::held_as;
use super::layout::{Border, Layout};
use super::memory::reserve;
use super::numbers::real;
use super::plane::{Line, Plane};
use super::pose::{Laid, Pose, UNKNOWNS};
use super::sample::Sheet;
use super::solve::{Sums, descend};
use super::view::View;

/// A border that was seen. Only how far off it is across itself is known.
#[derive(Clone, Copy)]
struct Seen {
    border: Border,
    /// How many modules further on it is than expected.
    off: f64,
    /// The direction across it in the picture, over its expected error.
    across: (f64, f64),
    /// How far along that direction it was seen.
    far: f64,
}

/// Rooms for borders.
#[derive(Default)]
pub struct Rooms {
    borders: Vec<Border>,
    seen: Vec<Seen>,
}

impl Rooms {
    /// Makes room for so many borders.
    pub fn reserve(&mut self, most: usize) {
        reserve(&mut self.borders, most);
        reserve(&mut self.seen, most);
    }
}

/// How far a border is sought to each side, in modules, and in what steps.
const REACH: i32 = 4;
const STEP: f64 = 0.2;

/// How far off a border may seem to be, in modules, and from where on it counts
/// less.
const SPREAD: f64 = 0.15;
const BEND: f64 = 2.0;

/// How often the borders are sought: those that every symbol has, for the pose
/// and for a plain shift, then all, for the pose or a shift.
const KNOWN: usize = 3;
const PLAIN: usize = 2;
const ALL: usize = 4;

/// Below this agreement after the first rounds a pose is given up: of some that were read the
/// least was 0.64.
const AGREED: f32 = 0.5;

/// Draws a pose to the borders that are seen; `None` if it does not come to
/// agree with the symbol.
pub fn register(
    view: &View<'_>,
    start: &Pose,
    layout: &Layout,
    inverted: bool,
    (sheet, soft, rooms): (&mut Sheet, &mut Vec<f32>, &mut Rooms),
) -> Option<(Bent, Pose)> {
    let mut pose = *start;
    let mut bent = Bent::new(Surface::Pose(Laid::new(pose)), real(layout.side) / 2.0);
    for round in 0..KNOWN + PLAIN + ALL {
        if round <= KNOWN {
            sheet.glance(view, &pose, layout.side);
        } else {
            sheet.glance_bent(view, &bent, layout.side);
        }
        if round == KNOWN && sheet.agreement(layout, inverted) < AGREED {
            return None;
        }
        sheet.soft_by_mean(inverted, soft);
        choose(layout, soft, round, &mut rooms.borders);
        seek(view, &bent, inverted, sheet, rooms);
        if round < KNOWN {
            pose = drawn(&pose, start.lie, &rooms.seen);
            bent.surface = Surface::Pose(Laid::new(pose));
        } else {
            shift(&mut bent, &rooms.seen, if round < KNOWN + PLAIN { 6 } else { TERMS });
        }
    }
    Some((bent, pose))
}

/// The borders that are sought in a round: the known ones first, in the last rounds those
/// between modules of which one is sure.
fn choose(layout: &Layout, soft: &[f32], round: usize, borders: &mut Vec<Border>) {
    borders.clear();
    if round < KNOWN + PLAIN {
        borders.extend_from_slice(&layout.borders);
    } else {
        sure_borders(soft, layout.side, borders);
    }
}

/// The same of a large symbol on a plane. Its known borders near the finders come first, since
/// far from them the plane may be several modules off at the beginning.
pub fn register_large(
    view: &View<'_>,
    start: &Plane,
    layout: &Layout,
    inverted: bool,
    (sheet, soft, rooms): (&mut Sheet, &mut Vec<f32>, &mut Rooms),
) -> Option<Bent> {
    let side = real(layout.side);
    let middle = side / 2.0 - 3.5;
    let far = |(u, v): (f64, f64)| {
        let finders = [(-middle, -middle), (middle, -middle), (-middle, middle)];
        finders.iter().map(|(x, y)| (u - x).hypot(v - y)).fold(f64::MAX, f64::min)
    };
    let mut plane = *start;
    for round in 0..GROWING {
        let reach = side * (0.1 + 1.1 * real(round + 1) / real(GROWING));
        let bent = Bent::new(Surface::Plane(plane), side / 2.0);
        sheet.glance_bent(view, &bent, layout.side);
        sheet.sum_up();
        rooms.borders.clear();
        rooms.borders.extend(layout.borders.iter().filter(|border| far(border.place) < reach));
        seek(view, &bent, inverted, sheet, rooms);
        let lines = rooms.seen.iter().map(|seen| Line {
            symbol: seen.border.place,
            across: seen.across,
            far: seen.far,
        });
        plane.draw(lines);
    }
    let mut bent = Bent::new(Surface::Plane(plane), side / 2.0);
    for round in KNOWN..KNOWN + PLAIN + ALL {
        sheet.glance_bent(view, &bent, layout.side);
        if round == KNOWN && sheet.agreement(layout, inverted) < AGREED {
            return None;
        }
        sheet.soft_by_mean(inverted, soft);
        choose(layout, soft, round, &mut rooms.borders);
        seek(view, &bent, inverted, sheet, rooms);
        shift(&mut bent, &rooms.seen, if round < KNOWN + PLAIN { 6 } else { TERMS });
    }
    Some(bent)
}

/// How often a large symbol's known borders are sought, further from its finders each time.
const GROWING: usize = 9;

/// The borders between modules of which one is surely dark and one light; of a
/// large symbol, some.
fn sure_borders(soft: &[f32], side: usize, borders: &mut Vec<Border>) {
    const SURE: f32 = 0.4;
    let half = real(side) / 2.0;
    // All of version 10, and not many more.
    let every = (side * side / 3250).max(1);
    let at = |column: usize, row: usize| soft.get(row * side + column).copied().unwrap_or(0.0);
    for (column, row) in (0..side).flat_map(|row| (0..side).map(move |column| (column, row))) {
        if (column + 3 * row) % every != 0 {
            continue;
        }
        let here = at(column, row);
        for down in [false, true] {
            let next = if down { (column, row + 1) } else { (column + 1, row) };
            if next.0.max(next.1) >= side || here.abs() < SURE {
                continue;
            }
            let there = at(next.0, next.1);
            if there.abs() >= SURE && (here > 0.0) != (there > 0.0) {
                let (u, v) = if down { (0.5, 1.0) } else { (1.0, 0.5) };
                let place = (real(column) + u - half, real(row) + v - half);
                borders.push(Border { place, down, dark_first: here > 0.0 });
            }
        }
    }
}

/// Seeks each border along the line across it: where the grey goes through the
/// mean around, nearest to where it is expected.
fn seek(view: &View<'_>, bent: &Bent, inverted: bool, sheet: &Sheet, rooms: &mut Rooms) {
    rooms.seen.clear();
    for border in &rooms.borders {
        let (u, v) = border.place;
        let mean = f64::from(sheet.mean_near(u, v));
        // Rising from dark to light where nothing is inverted.
        let sign = if border.dark_first == inverted { -1.0 } else { 1.0 };
        // Places across the border, by the parabola through three of them.
        let side = |far: f64| {
            if border.down { bent.project(u, v + far) } else { bent.project(u + far, v) }
        };
        let reach = f64::from(REACH) * STEP;
        let (back, here, forth) = (side(-reach), bent.project(u, v), side(reach));
        let slope = ((forth.0 - back.0) / 2.0, (forth.1 - back.1) / 2.0);
        let bow =
            (f64::midpoint(forth.0, back.0) - here.0, f64::midpoint(forth.1, back.1) - here.1);
        let value = |n: i32| {
            let t = f64::from(n) / f64::from(REACH);
            let x = here.0 + t * (slope.0 + t * bow.0);
            let y = here.1 + t * (slope.1 + t * bow.1);
            sign * (f64::from(view.grey(x, y)) - mean)
        };
        let mut best: Option<f64> = None;
        let mut before = value(-REACH);
        for n in 1 - REACH..=REACH {
            let here = value(n);
            if before < 0.0 && here >= 0.0 {
                let off = (f64::from(n) - here / (here - before)) * STEP;
                if best.is_none_or(|best| off.abs() < best.abs()) {
                    best = Some(off);
                }
            }
            before = here;
        }
        let Some(off) = best else { continue };
        let beside = |far: f64| {
            if border.down { bent.project(u + far, v) } else { bent.project(u, v + far) }
        };
        let (left, right) = (beside(-0.3), beside(0.3));
        let along = (right.0 - left.0, right.1 - left.1);
        let length = along.0.hypot(along.1).max(1e-9);
        let normal = (along.1 / length, -along.0 / length);
        // The width of a module across the border, in pixels.
        let wide = (normal.0 * slope.0 + normal.1 * slope.1) / reach;
        let weight = 1.0 / (SPREAD * wide.abs().max(0.5));
        let across = (normal.0 * weight, normal.1 * weight);
        let far = here.0 * across.0 + here.1 * across.1 + off * wide * weight;
        rooms.seen.push(Seen { border: *border, off, across, far });
    }
}

/// The pose nearest to where borders were seen.
fn drawn(pose: &Pose, lie: f64, seen: &[Seen]) -> Pose {
    let sums = |pose: &Pose| {
        let mut sums = Sums::default();
        let slopes = pose.slopes();
        for seen in seen {
            let ((x, y), slopes) = slopes(seen.border.place.0, seen.border.place.1);
            let (across, along) = seen.across;
            let slopes: [f64; UNKNOWNS] =
                std::array::from_fn(|n| slopes[0][n] * across + slopes[1][n] * along);
            sums.add(x * across + y * along - seen.far, &slopes, BEND);
        }
        held_as(&mut sums, pose, lie);
        sums
    };
    descend(pose, &[true; UNKNOWNS], 3, sums).0
}

/// Adds to the first so many terms of the shift what is left over.
fn shift(bent: &mut Bent, seen: &[Seen], count: usize) {
    let free = std::array::from_fn(|term| term < count);
    for axis in 0..2 {
        let mut sums = Sums::<TERMS>::default();
        for seen in seen.iter().filter(|seen| seen.border.down == (axis == 1)) {
            let (u, v) = seen.border.place;
            let slopes = terms(u / bent.half, v / bent.half).map(|t| t / SPREAD);
            sums.add(-seen.off / SPREAD, &slopes, BEND);
        }
        for unknown in 0..TERMS {
            sums.expect(unknown, bent.shift[axis][unknown], 0.5);
        }
        if let Some(step) = sums.step(&free, 0.0) {
            bent.shift[axis].iter_mut().zip(step).for_each(|(c, s)| *c += s);
        }
    }
}

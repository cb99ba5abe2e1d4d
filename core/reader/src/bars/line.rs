//! A line across a picture, and the edges of bars on it to parts of a pixel.

use crate::numbers::{index, real, short};
use crate::view::View;

/// A straight line of places a pixel apart.
#[derive(Clone, Copy)]
pub struct Ray {
    pub from: (f64, f64),
    pub along: (f64, f64),
    pub length: usize,
}

impl Ray {
    /// The place so far along.
    pub fn at(&self, far: f64) -> (f64, f64) {
        (self.from.0 + self.along.0 * far, self.from.1 + self.along.1 * far)
    }
}

/// Grey values along a ray and the places where they turn dark or light.
#[derive(Default)]
pub struct Line {
    grey: Vec<f32>,
    /// By turns to dark and to light.
    pub edges: Vec<f64>,
    /// Whether the first edge turns dark.
    pub begins_dark: bool,
    steps: Vec<Step>,
    kept: Vec<Step>,
}

/// A rise or a fall from one turning point to the next.
#[derive(Clone, Copy)]
struct Step {
    from: usize,
    to: usize,
    /// Below zero: it turns dark.
    height: f32,
    start: f32,
}

impl Step {
    fn low(&self) -> f32 {
        self.start + self.height.min(0.0)
    }

    fn high(&self) -> f32 {
        self.start + self.height.max(0.0)
    }
}

/// Fewer grey levels are noise; and in a line of much contrast, this share of it,
/// as far as so many levels.
const NOISE: f32 = 5.0;
const NOISY: f32 = 12.0;
const NOISE_SHARE: f32 = 0.06;
/// A step lower than this share of the highest near it is a flaw in a bar.
const FLAW: f32 = 0.1;
/// How many steps to each side are near.
const NEAR: usize = 8;

impl Line {
    /// Looks along a ray: each value is the mean of three side by side.
    pub fn fill(&mut self, view: &View<'_>, ray: &Ray) {
        self.grey.clear();
        if ray.along == (1.0, 0.0) {
            let y = index(ray.from.1);
            let rows = [view.row(y.saturating_sub(1)), view.row(y), view.row(y + 1)];
            let sums = rows[0].iter().zip(rows[1]).zip(rows[2]);
            let mean = |((a, b), c): ((&u8, &u8), &u8)| {
                f32::from(u16::from(*a) + u16::from(*b) + u16::from(*c)) / 3.0
            };
            self.grey.extend(sums.skip(index(ray.from.0)).take(ray.length).map(mean));
        } else if ray.along == (0.0, 1.0) {
            let x = index(ray.from.0);
            let start = index(ray.from.1);
            let (left, right) = (x.saturating_sub(1), (x + 2).min(view.width));
            let mean = |y: usize| {
                let part = view.row(y).get(left..right).unwrap_or_default();
                let sum: u16 = part.iter().map(|v| u16::from(*v)).sum();
                f32::from(sum) / short(real(part.len().max(1)))
            };
            self.grey.extend((start..view.height).take(ray.length).map(mean));
        } else {
            let aside = (-ray.along.1, ray.along.0);
            let grey = |far: usize| {
                let (x, y) = ray.at(real(far));
                let beside = |by: f64| view.grey(x + by * aside.0, y + by * aside.1);
                (beside(-1.0) + beside(0.0) + beside(1.0)) / 3.0
            };
            self.grey.extend((0..ray.length).map(grey));
        }
        self.find_edges();
    }

    /// The same line, walked from its end.
    pub fn turn(&mut self) {
        self.grey.reverse();
        let end = real(self.grey.len().saturating_sub(1));
        self.edges.reverse();
        self.edges.iter_mut().for_each(|edge| *edge = end - *edge);
        // The last edge is the first, and what turned light turns dark.
        self.begins_dark ^= !self.edges.len().is_multiple_of(2);
    }

    /// Dark for light.
    pub fn invert(&mut self) {
        self.grey.iter_mut().for_each(|v| *v = 255.0 - *v);
        self.begins_dark = !self.begins_dark;
    }

    /// The length in pixels.
    pub fn length(&self) -> usize {
        self.grey.len()
    }

    /// The grey between two pixels; beyond an end, the end's.
    pub fn grey(&self, at: f64) -> f32 {
        let last = self.grey.len().saturating_sub(1);
        let at = at.clamp(0.0, real(last));
        let i = index(at);
        let part = short(at - real(i));
        let value = |i: usize| self.grey.get(i.min(last)).copied().unwrap_or(0.0);
        value(i) + part * (value(i + 1) - value(i))
    }

    /// Finds the edges that a plain threshold would: sharp pictures have rims
    /// along their bars that look like faint bars. Whether they are other ones.
    pub fn find_plain_edges(&mut self) -> bool {
        let before = self.kept.len();
        self.keep_crossings();
        let other = self.kept.len() != before;
        self.place_edges();
        other
    }

    /// Only steps that cross the middle grey of what is near.
    fn keep_crossings(&mut self) {
        self.kept.clear();
        for (at, step) in self.steps.iter().enumerate() {
            let near = at.saturating_sub(NEAR)..(at + NEAR + 1).min(self.steps.len());
            let near = self.steps.get(near).unwrap_or_default();
            let low = near.iter().map(|s| s.low()).fold(f32::MAX, f32::min);
            let high = near.iter().map(|s| s.high()).fold(f32::MIN, f32::max);
            let (middle, room) = (f32::midpoint(low, high), 0.05 * (high - low));
            let crosses = step.low() < middle - room && step.high() > middle + room;
            match self.kept.last_mut().filter(|_| crosses) {
                Some(last) if (last.height < 0.0) == (step.height < 0.0) => {
                    *last = if step.height.abs() > last.height.abs() { *step } else { *last };
                }
                Some(_) => self.kept.push(*step),
                None if crosses => self.kept.push(*step),
                None => {}
            }
        }
    }

    fn find_edges(&mut self) {
        self.find_steps();
        self.drop_flaws();
        self.place_edges();
    }

    fn place_edges(&mut self) {
        self.edges.clear();
        self.begins_dark = self.kept.first().is_some_and(|step| step.height < 0.0);
        let grey = &self.grey;
        // A bar that the picture cuts off ends with the picture.
        if self.kept.first().is_some_and(|step| step.height > 0.0) {
            self.edges.push(-0.5);
            self.begins_dark = true;
        }
        self.edges.extend(self.kept.iter().map(|step| middle_of(grey, step)));
        if self.kept.last().is_some_and(|step| step.height < 0.0) {
            self.edges.push(real(grey.len()) - 0.5);
        }
    }

    /// Steps between turning points that are farther apart than noise.
    fn find_steps(&mut self) {
        self.steps.clear();
        let Some(first) = self.grey.first().copied() else { return };
        let range = |(low, high): (f32, f32), v: &f32| (low.min(*v), high.max(*v));
        let (low, high) = self.grey.iter().fold((first, first), range);
        let noise = (NOISE_SHARE * (high - low)).clamp(NOISE, NOISY);
        // The last turning point, and the farthest since.
        let (mut turn, mut low, mut high) = ((0, first), (0, first), (0, first));
        let mut rising = None;
        for (at, value) in self.grey.iter().copied().enumerate() {
            if value < low.1 {
                low = (at, value);
            }
            if value > high.1 {
                high = (at, value);
            }
            let falls = rising != Some(false) && high.1 - value > noise;
            let rises = rising != Some(true) && value - low.1 > noise;
            if falls || rises {
                let end = if falls { high } else { low };
                if rising.is_some() {
                    self.steps.push(Step {
                        from: turn.0,
                        to: end.0,
                        height: end.1 - turn.1,
                        start: turn.1,
                    });
                }
                turn = end;
                rising = Some(rises);
                (low, high) = ((at, value), (at, value));
            }
        }
        if let Some(up) = rising {
            let end = if up { high } else { low };
            self.steps.push(Step {
                from: turn.0,
                to: end.0,
                height: end.1 - turn.1,
                start: turn.1,
            });
        }
    }

    /// Joins what a step that is too low has parted.
    fn drop_flaws(&mut self) {
        self.kept.clear();
        let mut at = 0;
        while let Some(step) = self.steps.get(at).copied() {
            let near = at.saturating_sub(NEAR)..(at + NEAR + 1).min(self.steps.len());
            let near = self.steps.get(near).unwrap_or_default();
            let highest = near.iter().map(|s| s.height.abs()).fold(0.0, f32::max);
            let flaw = step.height.abs() < FLAW * highest;
            match (flaw, self.kept.last_mut(), self.steps.get(at + 1)) {
                (true, Some(before), Some(behind)) => {
                    before.to = behind.to;
                    before.height += step.height + behind.height;
                    at += 2;
                }
                (true, ..) => at += 1,
                (false, ..) => {
                    self.kept.push(step);
                    at += 1;
                }
            }
        }
    }
}

/// Where a step lies: the middle of its slopes, weighed by their squares, so
/// that neither noise on its landings nor a neighbour's blur counts for much.
fn middle_of(grey: &[f32], step: &Step) -> f64 {
    let part = grey.get(step.from..=step.to).unwrap_or_default();
    let (mut sum, mut weighed) = (0.0_f64, 0.0_f64);
    let way = if step.height < 0.0 { -1.0 } else { 1.0 };
    let mut place = 0.5;
    for pair in part.windows(2) {
        // What goes the other way counts for nothing.
        let slope = f64::from(((pair[1] - pair[0]) * way).max(0.0));
        sum += slope * slope;
        weighed += slope * slope * place;
        place += 1.0;
    }
    real(step.from) + if sum > 0.0 { weighed / sum } else { 0.0 }
}

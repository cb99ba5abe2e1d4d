//! Sampling the modules where a pose has them, and how well the known ones
//! agree with it.

use super::bent::Bent;
use super::layout::{Known, Layout};
use super::memory::reserve;
use super::numbers::{index, real, short};
use super::pose::Pose;
use super::view::View;

/// Grey values of a symbol's modules with one ring around them.
#[derive(Default)]
pub struct Sheet {
    /// Modules a side, without the ring.
    pub side: usize,
    grey: Vec<f32>,
    spare: Vec<f32>,
    blown: Vec<bool>,
    sums: Vec<(f32, f32)>,
    ranges: Vec<(f32, f32)>,
}

/// From this grey level on a place is blown out and says nothing.
const BLOWN: f32 = 243.0;

/// How many modules to each side a range is taken of.
const RANGE: usize = 7;

const POINTS: [(f64, f64); 5] = [(0.0, 0.0), (-0.2, -0.2), (0.2, -0.2), (-0.2, 0.2), (0.2, 0.2)];

impl Sheet {
    /// Makes room for symbols of so many modules a side.
    pub fn reserve(&mut self, side: usize) {
        let all = (side + 2) * (side + 2);
        reserve(&mut self.grey, all);
        reserve(&mut self.spare, all);
        reserve(&mut self.blown, all);
        reserve(&mut self.sums, (side + 3) * (side + 3));
        reserve(&mut self.ranges, all);
    }

    /// Samples a point a module, for choosing.
    pub fn glance(&mut self, view: &View<'_>, pose: &Pose, side: usize) {
        self.take(view, side, &[(0.0, 0.0)], |u, v| pose.project_row(u, v));
    }

    /// Samples five points a module, for reading.
    pub fn look(&mut self, view: &View<'_>, pose: &Pose, side: usize) {
        self.take(view, side, &POINTS, |u, v| pose.project_row(u, v));
    }

    /// [`Self::glance`] if a pose does not say all.
    pub fn glance_bent(&mut self, view: &View<'_>, bent: &Bent, side: usize) {
        let row = |u: f64, v: f64| (0..).map(move |n| bent.project(u + f64::from(n), v));
        self.take(view, side, &[(0.0, 0.0)], row);
    }

    /// [`Self::look`] if a pose does not say all.
    pub fn look_bent(&mut self, view: &View<'_>, bent: &Bent, side: usize) {
        let row = |u: f64, v: f64| (0..).map(move |n| bent.project(u + f64::from(n), v));
        self.take(view, side, &POINTS, row);
    }

    /// Samples the mean of points about the middle of each module; `row` says
    /// where the places of a row are seen.
    fn take<Row: Iterator<Item = (f64, f64)>>(
        &mut self,
        view: &View<'_>,
        side: usize,
        points: &[(f64, f64)],
        row: impl Fn(f64, f64) -> Row,
    ) {
        self.side = side;
        self.grey.clear();
        self.grey.resize((side + 2) * (side + 2), 0.0);
        let off = real(side + 1) / 2.0;
        let share = 1.0 / short(real(points.len()));
        for (at, line) in self.grey.chunks_exact_mut(side + 2).enumerate() {
            for (du, dv) in points {
                let seen = row(du - off, real(at) - off + dv);
                for (sum, (x, y)) in line.iter_mut().zip(seen) {
                    *sum += share * view.grey(x, y);
                }
            }
        }
        self.blown.clear();
        self.blown.extend(self.grey.iter().map(|v| *v >= BLOWN));
    }

    /// Takes from each module what its neighbours have spilt over it: a blur of
    /// about the width of a module is undone to some part.
    pub fn sharpen(&mut self) {
        const SPILT: f32 = 0.15;
        let wide = self.side + 2;
        self.spare.clone_from(&self.grey);
        for at in wide + 1..self.grey.len().saturating_sub(wide + 1) {
            let around = [at - wide, at - 1, at + 1, at + wide];
            let sum: f32 = around.iter().filter_map(|at| self.spare.get(*at)).sum();
            if let Some(grey) = self.grey.get_mut(at) {
                *grey += SPILT * (4.0 * *grey - sum);
            }
        }
    }

    /// A place counted with the ring.
    fn at(&self, column: usize, row: usize) -> f32 {
        self.grey.get(row * (self.side + 2) + column).copied().unwrap_or(0.0)
    }

    pub fn is_blown(&self, column: usize, row: usize) -> bool {
        self.blown.get((row + 1) * (self.side + 2) + column + 1).copied().unwrap_or(false)
    }

    /// Sums and sums of squares over all that lies above and to the left.
    pub fn sum_up(&mut self) {
        let wide = self.side + 2;
        self.sums.clear();
        self.sums.resize((wide + 1) * (wide + 1), (0.0, 0.0));
        for row in 0..wide {
            let (mut sum, mut square) = (0.0, 0.0);
            for column in 0..wide {
                let grey = self.at(column, row);
                sum += grey;
                square += grey * grey;
                let above = self.sum(column + 1, row);
                if let Some(slot) = self.sums.get_mut((row + 1) * (wide + 1) + column + 1) {
                    *slot = (above.0 + sum, above.1 + square);
                }
            }
        }
    }

    fn sum(&self, column: usize, row: usize) -> (f32, f32) {
        self.sums.get(row * (self.side + 3) + column).copied().unwrap_or_default()
    }

    /// Mean and spread of the square of so many modules to each side, cut off
    /// at the ring.
    fn around(&self, column: usize, row: usize, reach: usize) -> (f32, f32) {
        let wide = self.side + 2;
        let (left, right) = (column.saturating_sub(reach), (column + reach + 1).min(wide));
        let (top, low) = (row.saturating_sub(reach), (row + reach + 1).min(wide));
        let corners =
            [self.sum(right, low), self.sum(left, low), self.sum(right, top), self.sum(left, top)];
        let [a, b, c, d] = corners;
        let area = short(real((right - left) * (low - top)));
        let mean = (a.0 - b.0 - c.0 + d.0) / area;
        let square = (a.1 - b.1 - c.1 + d.1) / area;
        (mean, (square - mean * mean).max(1.0).sqrt())
    }

    /// The mean around a place, in modules from the symbol's middle.
    pub fn mean_near(&self, u: f64, v: f64) -> f32 {
        let off = real(self.side) / 2.0 + 1.0;
        let place = |at: f64| index(at + off).min(self.side + 1);
        self.around(place(u), place(v), 3).0
    }

    /// How well the known modules agree with what is sampled, −1 to 1.
    pub fn agreement(&mut self, layout: &Layout, inverted: bool) -> f32 {
        self.agreement_of(&layout.known, inverted)
    }

    /// The same of those near the finders, if the symbol is a large one: a pose that is right
    /// there may be wrong far from them.
    pub fn agreement_near(&mut self, layout: &Layout, inverted: bool) -> f32 {
        self.agreement_of(layout.known.get(..layout.near).unwrap_or_default(), inverted)
    }

    fn agreement_of(&mut self, known: &[Known], inverted: bool) -> f32 {
        self.sum_up();
        let (mut agreed, mut weights) = (0.0, 0.0);
        for known in known {
            let place = (usize::try_from(known.column + 1), usize::try_from(known.row + 1));
            let (Ok(column), Ok(row)) = place else { continue };
            let (mean, spread) = self.around(column, row, 4);
            let light = ((self.at(column, row) - mean) / spread).clamp(-1.0, 1.0);
            agreed += if known.dark == inverted { light } else { -light } * known.weight;
            weights += known.weight;
        }
        agreed / weights.max(1.0)
    }

    /// How dark each module is, −1 to 1 or a little beyond, row by row: against
    /// the mean of 7 × 7 modules.
    pub fn soft_by_mean(&mut self, inverted: bool, soft: &mut Vec<f32>) {
        self.sum_up();
        soft.clear();
        for (column, row) in places(self.side) {
            let (mean, spread) = self.around(column, row, 3);
            let light = (self.at(column, row) - mean) / spread;
            soft.push(if inverted { light } else { -light });
        }
    }

    /// The same against the lowest of 15 × 15 modules and a share of their
    /// range: lost ink and glare only ever add light.
    pub fn soft_by_range(&mut self, inverted: bool, share: f32, soft: &mut Vec<f32>) {
        soft.clear();
        self.range_rows();
        let share = if inverted { 1.0 - share } else { share };
        for (column, row) in places(self.side) {
            let (least, most) = self.range(column, row);
            let light = (self.at(column, row) - least - share * (most - least)) * 2.0
                / (most - least).max(4.0);
            soft.push(if inverted { light } else { -light });
        }
    }

    /// The range of up to 15 modules of a row about each.
    fn range_rows(&mut self) {
        let wide = self.side + 2;
        self.ranges.clear();
        for line in self.grey.chunks_exact(wide) {
            let near = |column: usize| {
                line.get(column.saturating_sub(RANGE)..(column + RANGE + 1).min(wide))
            };
            let range = |(least, most): (f32, f32), v: &f32| (least.min(*v), most.max(*v));
            let ranges = (0..wide).map(|column| near(column).unwrap_or_default());
            self.ranges.extend(ranges.map(|near| near.iter().fold((f32::MAX, f32::MIN), range)));
        }
    }

    /// The range of 15 × 15 modules about one, of those of its column's rows.
    fn range(&self, column: usize, row: usize) -> (f32, f32) {
        let wide = self.side + 2;
        let first = row.saturating_sub(RANGE);
        let ranges = self.ranges.iter().skip(first * wide + column).step_by(wide);
        ranges
            .take((row + RANGE + 1).min(wide) - first)
            .fold((f32::MAX, f32::MIN), |(least, most), v| (least.min(v.0), most.max(v.1)))
    }
}

/// A symbol's modules, row by row, counted with the ring.
fn places(side: usize) -> impl Iterator<Item = (usize, usize)> {
    (1..=side).flat_map(move |row| (1..=side).map(move |column| (column, row)))
}

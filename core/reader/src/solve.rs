//! Damped least squares, mostly over the nine unknowns of a pose.

use super::pose::{Pose, UNKNOWNS};

/// The sums of a least squares step: JᵀJ and Jᵀr, and the cost so far.
#[derive(Clone, Copy)]
pub struct Sums<const N: usize = UNKNOWNS> {
    square: [[f64; N]; N],
    right: [f64; N],
    pub cost: f64,
}

impl<const N: usize> Default for Sums<N> {
    fn default() -> Self {
        Self { square: [[0.0; N]; N], right: [0.0; N], cost: 0.0 }
    }
}

impl<const N: usize> Sums<N> {
    /// Adds a residual with its slopes; past `bend` (in the residual's units)
    /// it weighs less and less (Huber).
    pub fn add(&mut self, residual: f64, slopes: &[f64; N], bend: f64) {
        let size = residual.abs();
        let weight = if size > bend { bend / size } else { 1.0 };
        self.cost += if size > bend { bend * (2.0 * size - bend) } else { size * size };
        for (i, a) in slopes.iter().enumerate() {
            let weighed = weight * a;
            self.right[i] -= weighed * residual;
            for (slot, b) in self.square[i].iter_mut().zip(slopes).take(i + 1) {
                *slot += weighed * b;
            }
        }
    }

    /// Pulls an unknown towards a value it is expected to have.
    pub fn expect(&mut self, unknown: usize, away: f64, spread: f64) {
        let mut slopes = [0.0; N];
        slopes[unknown] = 1.0 / spread;
        self.add(away / spread, &slopes, f64::MAX);
    }

    /// The step for a damping, by Cholesky's decomposition; unknowns that are
    /// not free stay.
    pub fn step(&self, free: &[bool; N], damping: f64) -> Option<[f64; N]> {
        let mut l = self.square;
        let mut x = self.right;
        for i in 0..N {
            l[i][i] = l[i][i] * (1.0 + damping) + 1e-9;
            if !free[i] {
                x[i] = 0.0;
                l[i] = [0.0; N];
                l[i][i] = 1.0;
                for row in l.iter_mut().skip(i + 1) {
                    row[i] = 0.0;
                }
            }
        }
        for i in 0..N {
            for j in 0..=i {
                let dot: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
                let rest = l[i][j] - dot;
                if i == j {
                    l[i][i] = (rest > 0.0).then(|| rest.sqrt())?;
                } else {
                    l[i][j] = rest / l[j][j];
                }
            }
        }
        for i in 0..N {
            let dot: f64 = (0..i).map(|k| l[i][k] * x[k]).sum();
            x[i] = (x[i] - dot) / l[i][i];
        }
        for i in (0..N).rev() {
            let dot: f64 = (i + 1..N).map(|k| l[k][i] * x[k]).sum();
            x[i] = (x[i] - dot) / l[i][i];
        }
        x.iter().all(|v| v.is_finite()).then_some(x)
    }
}

/// Levenberg and Marquardt's descent: `sums` says how a pose fits.
pub fn descend(
    start: &Pose,
    free: &[bool; UNKNOWNS],
    steps: usize,
    sums: impl Fn(&Pose) -> Sums,
) -> (Pose, f64) {
    let (mut pose, mut here) = (*start, sums(start));
    let mut damping = 0.01;
    for _ in 0..steps {
        let Some(step) = here.step(free, damping) else { break };
        let next = pose.moved(&step);
        let there = sums(&next);
        if there.cost < here.cost {
            let gain = here.cost - there.cost;
            (pose, here) = (next, there);
            damping *= 0.2;
            if gain < 1e-4 * here.cost {
                break;
            }
        } else {
            damping *= 8.0;
        }
    }
    (pose, here.cost)
}

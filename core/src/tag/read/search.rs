//! The strategy: cheap looks first, dearer ones by what was seen, and a budget
//! of tries, never of time, so that a frame always reads alike.

use super::decode::{Bits, Erase, Rooms};
use super::finder::Finder;
use super::fit::{Fitted, Triple, poses};
use super::layout::{LAYOUTS, Layout};
use super::level::Levelled;
use super::numbers::real;
use super::pose::Pose;
use super::sample::Sheet;
use super::scan::scan;
use super::triple::triples;
use super::view::View;

/// What is spent on a frame at most.
#[derive(Clone, Copy)]
pub struct Budget {
    /// Triples of finders that are fitted in one pass.
    pub triples: usize,
}

/// A symbol that was read: its text, and its corners in pixels.
pub struct Symbol {
    pub text: String,
    pub corners: [(f64, f64); 4],
}

/// Rooms for one frame after the other.
#[derive(Default)]
pub struct Search {
    level: Levelled,
    finders: Vec<Finder>,
    /// Which finders lie in a symbol that was read.
    used: Vec<bool>,
    /// The corners of the symbols that were read.
    quads: Vec<[(f64, f64); 4]>,
    triples: Vec<Triple>,
    sheet: Sheet,
    soft: Vec<f32>,
    rooms: Rooms,
}

/// A pose that agrees with what is seen.
#[derive(Clone, Copy)]
struct Choice {
    layout: &'static Layout,
    fitted: Fitted,
    score: f32,
}

/// Looks at a frame: halved or not, smoothed or not, the square of the
/// threshold, and how many rows lie between two that are scanned.
const PASSES: [(bool, bool, usize, usize); 3] =
    [(true, true, 12, 2), (false, true, 20, 4), (false, false, 20, 4)];

/// Below this agreement a triple is dropped.
const LEAST: f32 = 0.22;
/// A finder that surely is one.
const SURE: f64 = 0.8;
/// How many poses of a triple are read.
const POSES: usize = 4;

impl Search {
    /// Reads every symbol. `take` says of each text whether it counts.
    pub fn read(&mut self, view: &View<'_>, budget: Budget, mut take: impl FnMut(&Symbol) -> bool) {
        self.finders.clear();
        self.quads.clear();
        for (halved, smooth, radius, step) in PASSES {
            if !smooth && !self.finders.iter().any(|f| f.likeness > 0.65) {
                return;
            }
            self.level.fill(view, halved, smooth, radius);
            scan(&self.level, step, &mut self.finders);
            self.finders.sort_by(|a, b| b.rank().total_cmp(&a.rank()));
            self.read_triples(view, budget, &mut take);
            if self.is_done() {
                return;
            }
        }
    }

    /// Whether a symbol was read and no sure finder is left over.
    fn is_done(&self) -> bool {
        let sure = self.finders.iter().filter(|f| f.likeness > SURE);
        !self.quads.is_empty() && sure.filter(|f| !self.is_used(f)).count() == 0
    }

    fn is_used(&self, finder: &Finder) -> bool {
        self.quads.iter().any(|quad| within(quad, (finder.x, finder.y)))
    }

    fn read_triples(
        &mut self,
        view: &View<'_>,
        budget: Budget,
        take: &mut impl FnMut(&Symbol) -> bool,
    ) {
        let mut tries = 0;
        let used = self.finders.iter().map(|f| self.is_used(f));
        let used = used.collect();
        self.used = used;
        triples(&self.finders, &self.used, &mut self.triples);
        let ranked = std::mem::take(&mut self.triples);
        for triple in &ranked {
            if tries >= budget.triples {
                break;
            }
            if triple.corners.iter().any(|f| self.is_used(f)) {
                continue;
            }
            tries += 1;
            if let Some((text, choice)) = self.read_triple(view, triple) {
                let symbol = Symbol { text, corners: corners(&choice) };
                if take(&symbol) {
                    // Whoever has read one may look for as many again.
                    tries = 0;
                    self.quads.push(symbol.corners);
                }
            }
        }
        self.triples = ranked;
    }

    fn read_triple(&mut self, view: &View<'_>, triple: &Triple) -> Option<(String, Choice)> {
        let choices = self.choose(view, triple);
        let best = choices[0]?.score;
        let near = choices.iter().flatten().filter(|c| c.score > best - 0.2);
        let inverted = triple.corners[0].inverted;
        for choice in near {
            if let Some(text) = self.read_pose(view, &choice.fitted.pose, choice.layout, inverted) {
                return Some((text, *choice));
            }
        }
        None
    }

    fn choose(&mut self, view: &View<'_>, triple: &Triple) -> [Option<Choice>; POSES] {
        let mut best = [None; POSES];
        let middle = (real(view.width) / 2.0, real(view.height) / 2.0);
        let room = 5.5_f64.max(0.2 * triple.arm);
        for layout in LAYOUTS.iter() {
            if (real(layout.side - 7) - triple.arm).abs() > room {
                continue;
            }
            for fitted in poses(triple, layout.side, middle).into_iter().flatten() {
                self.sheet.glance(view, &fitted.pose, layout.side);
                let agreement = self.sheet.agreement(layout, triple.corners[0].inverted);
                let score = agreement - 0.0015 * super::numbers::short(fitted.cost);
                if score >= LEAST {
                    insert(&mut best, Choice { layout, fitted, score });
                }
            }
        }
        best
    }

    fn read_pose(
        &mut self,
        view: &View<'_>,
        pose: &Pose,
        layout: &Layout,
        inverted: bool,
    ) -> Option<String> {
        self.sheet.look(view, pose, layout.side);
        for way in 0..2 {
            if way == 0 {
                self.sheet.soft_by_mean(inverted, &mut self.soft);
            } else {
                self.sheet.soft_by_range(inverted, 0.7, &mut self.soft);
            }
            let text = [false, true].into_iter().find_map(|mirrored| {
                let sheet = &self.sheet;
                let blown = |column, row| sheet.is_blown(column, row);
                let bits = Bits { layout, soft: &self.soft, blown: &blown, mirrored };
                let ways = [
                    Erase::None,
                    Erase::Blown,
                    Erase::Unsure(3),
                    Erase::Unsure(6),
                    Erase::Unsure(8),
                ];
                bits.formats().into_iter().find_map(|f| bits.text(f, &ways, &mut self.rooms))
            });
            if text.is_some() {
                return text;
            }
        }
        None
    }
}

fn insert(best: &mut [Option<Choice>; POSES], choice: Choice) {
    let score = |c: &Option<Choice>| c.map_or(f32::MIN, |c| c.score);
    if let Some(last) = best.last_mut().filter(|last| score(last) < choice.score) {
        *last = Some(choice);
        best.sort_by(|a, b| score(b).total_cmp(&score(a)));
    }
}

/// A symbol's corners: upper left and on with the clock.
fn corners(choice: &Choice) -> [(f64, f64); 4] {
    let half = real(choice.layout.side) / 2.0;
    let places = [(-half, -half), (half, -half), (half, half), (-half, half)];
    places.map(|(u, v)| choice.fitted.pose.project(u, v))
}

/// Whether a place lies within four corners that go round with the clock.
fn within(quad: &[(f64, f64); 4], (x, y): (f64, f64)) -> bool {
    quad.iter()
        .zip(quad.iter().cycle().skip(1))
        .all(|(a, b)| (b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0) >= 0.0)
}

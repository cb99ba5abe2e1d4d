//! The strategy: cheap looks first, dearer ones by what was seen, and a budget
//! of tries, never of time, so that a frame always reads alike.

use super::decode::{Bits, Erase, Rooms};
use super::finder::Finder;
use super::fit::{Fitted, Lay, Triple, poses};
use super::layout::{LAYOUTS, Layout};
use super::level::Levelled;
use super::numbers::{index, real, short};
use super::pair::{self, Pair, pairs};
use super::pose::Pose;
use super::register::{self, register};
use super::sample::Sheet;
use super::scan::{self, scan};
use super::triple::{self, Ranked, triple, triples};
use super::view::View;

/// What is spent on a frame at most.
#[derive(Clone, Copy)]
pub struct Budget {
    /// Triples of finders that are fitted in one pass.
    pub triples: usize,
    /// Pairs that are fitted where nothing else was read.
    pub pairs: usize,
}

/// A symbol that was read: its text, and its corners in pixels.
pub struct Symbol<'a> {
    pub text: &'a str,
    pub corners: [(f64, f64); 4],
}

/// Rooms for one frame after the other, and what the last one showed.
#[derive(Default)]
pub struct Search {
    level: Levelled,
    finders: Vec<Finder>,
    /// Which finders lie in a symbol that was read.
    used: Vec<bool>,
    /// The symbols that were read.
    seen: Vec<Trace>,
    /// The corners of those that could not be read for all their being found.
    lost: Vec<[(f64, f64); 4]>,
    /// Those of the frame before.
    before: Vec<Trace>,
    /// Frames since all of one was looked at.
    followed: usize,
    triples: Vec<Ranked>,
    pairs: Vec<Pair>,
    sheet: Sheet,
    soft: Vec<f32>,
    rooms: Rooms,
    borders: register::Rooms,
}

/// Where a symbol was, how it lay, and which pass saw it.
#[derive(Clone, Copy)]
struct Trace {
    corners: [(f64, f64); 4],
    pass: usize,
    lay: Lay,
}

/// A frame, or a part of it.
#[derive(Clone, Copy)]
struct Scene<'a> {
    view: View<'a>,
    /// Where the part begins.
    corner: (f64, f64),
    /// The frame's middle, from there.
    middle: (f64, f64),
    pass: usize,
    /// How the symbol is expected to lie.
    lay: Option<Lay>,
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
/// From this agreement on a pose is read before others are tried.
const EAGER: f32 = 0.7;
/// The same of a pair, whose roll is a guess.
const FAINT: f32 = 0.15;
/// A symbol that agrees so well and cannot be read is lost.
const LOST: f32 = 0.7;
/// A finder that surely is one.
const SURE: f64 = 0.8;
/// Without a finder as good as this the third pass is left out.
const HOPE: f64 = 0.65;
/// How many poses of a triple are read.
const POSES: usize = 4;
/// All of a frame is looked at after so many in which tags were only followed.
const FOLLOWED: usize = 5;

impl Search {
    /// Reads every symbol. `take` says of each text whether it counts.
    pub fn read(&mut self, view: &View<'_>, budget: Budget, mut take: impl FnMut(&Symbol<'_>)) {
        self.reserve(view);
        self.seen.clear();
        self.read_whole(view, budget, &mut take);
    }

    /// The same for the next frame of a film: symbols are looked for where the
    /// frame before had them, and elsewhere where one is lost, or now and then.
    pub fn read_next(
        &mut self,
        view: &View<'_>,
        budget: Budget,
        mut take: impl FnMut(&Symbol<'_>),
    ) {
        self.reserve(view);
        std::mem::swap(&mut self.before, &mut self.seen);
        self.seen.clear();
        let before = std::mem::take(&mut self.before);
        for trace in &before {
            self.follow(view, trace, budget, &mut take);
        }
        self.followed += 1;
        if before.is_empty() || self.seen.len() < before.len() || self.followed > FOLLOWED {
            self.followed = 0;
            self.read_whole(view, budget, &mut take);
        }
        self.before = before;
    }

    /// Makes room for whatever a frame of this size may hold, so that no later
    /// frame allocates.
    fn reserve(&mut self, view: &View<'_>) {
        const SYMBOLS: usize = 64;
        self.level.reserve(view.width, view.height);
        reserve(&mut self.finders, scan::MOST);
        reserve(&mut self.used, scan::MOST);
        [&mut self.seen, &mut self.before].into_iter().for_each(|v| reserve(v, SYMBOLS));
        reserve(&mut self.lost, SYMBOLS);
        reserve(&mut self.triples, triple::MOST);
        reserve(&mut self.pairs, pair::MOST);
        let largest = LAYOUTS.last().map_or(0, |layout| layout.side);
        reserve(&mut self.soft, largest * largest);
        self.sheet.reserve(largest);
        self.rooms.reserve(largest * largest / 8);
        self.borders.reserve(2 * (largest + 1) * (largest + 1));
    }

    /// Forgets where symbols were.
    pub fn forget(&mut self) {
        self.seen.clear();
        self.followed = 0;
    }

    fn read_whole(&mut self, view: &View<'_>, budget: Budget, take: &mut impl FnMut(&Symbol<'_>)) {
        let middle = (real(view.width) / 2.0, real(view.height) / 2.0);
        let scene = Scene { view: *view, corner: (0.0, 0.0), middle, pass: 0, lay: None };
        self.finders.clear();
        self.lost.clear();
        for pass in 0..PASSES.len() {
            if pass > 1 && !self.finders.iter().any(|f| f.likeness > HOPE) {
                return;
            }
            self.look(&Scene { pass, ..scene }, budget, take);
            if self.is_done(&scene) {
                return;
            }
        }
        self.read_pairs(&scene, budget, take);
    }

    /// Looks where a symbol was, half of its size around.
    fn follow(
        &mut self,
        view: &View<'_>,
        trace: &Trace,
        budget: Budget,
        take: &mut impl FnMut(&Symbol<'_>),
    ) {
        let side = |of: fn(&(f64, f64)) -> f64| {
            let all = || trace.corners.iter().map(of);
            let (least, most) = (all().fold(f64::MAX, f64::min), all().fold(f64::MIN, f64::max));
            let room = (most - least) / 2.0;
            // Halves of pixels stay whole.
            let start = index(least - room) / 2 * 2;
            (start, index(most + room).saturating_sub(start))
        };
        let ((x, width), (y, height)) = (side(|c| c.0), side(|c| c.1));
        let Some(part) = view.part((x, y), width, height) else { return };
        let corner = (real(x), real(y));
        let middle = (real(view.width) / 2.0 - corner.0, real(view.height) / 2.0 - corner.1);
        let scene = Scene { view: part, corner, middle, pass: trace.pass, lay: Some(trace.lay) };
        self.finders.clear();
        self.lost.clear();
        self.look(&scene, budget, take);
    }

    fn look(&mut self, scene: &Scene<'_>, budget: Budget, take: &mut impl FnMut(&Symbol<'_>)) {
        let Some((halved, smooth, radius, step)) = PASSES.get(scene.pass).copied() else { return };
        self.level.fill(&scene.view, halved, smooth, radius);
        scan(&self.level, step, &mut self.finders);
        self.finders.sort_unstable_by(|a, b| b.rank().total_cmp(&a.rank()));
        self.read_triples(scene, budget, take);
    }

    /// Whether a symbol was read and no sure finder is left over.
    fn is_done(&self, scene: &Scene<'_>) -> bool {
        let sure = self.finders.iter().filter(|f| f.likeness > SURE);
        !self.seen.is_empty() && sure.filter(|f| !self.is_used(scene, f)).count() == 0
    }

    fn is_used(&self, scene: &Scene<'_>, finder: &Finder) -> bool {
        let place = (finder.x + scene.corner.0, finder.y + scene.corner.1);
        self.seen.iter().any(|trace| within(&trace.corners, place))
    }

    fn is_lost(&self, scene: &Scene<'_>, finder: &Finder) -> bool {
        let place = (finder.x + scene.corner.0, finder.y + scene.corner.1);
        self.lost.iter().any(|corners| within(corners, place))
    }

    fn read_triples(
        &mut self,
        scene: &Scene<'_>,
        budget: Budget,
        take: &mut impl FnMut(&Symbol<'_>),
    ) {
        let mut tries = 0;
        self.mark_used(scene);
        triples(&self.finders, &self.used, &mut self.triples);
        let ranked = std::mem::take(&mut self.triples);
        for ranked in &ranked {
            if tries >= budget.triples {
                break;
            }
            let [Some(a), Some(b), Some(c)] = ranked.finders.map(|at| self.finders.get(at)) else {
                continue;
            };
            let Some(triple) = &triple(a, b, c) else { continue };
            let used = triple.corners.iter().any(|f| self.is_used(scene, f));
            if used || triple.corners.iter().all(|f| self.is_lost(scene, f)) {
                continue;
            }
            tries += 1;
            if let Some((text, choice)) = self.read_triple(scene, triple) {
                let corners = corners(&choice, scene.corner);
                take(&Symbol { text: self.rooms.text(text), corners });
                // Whoever has read one may look for as many again.
                tries = 0;
                let lay = Lay::of(&choice.fitted.pose, choice.layout.side);
                self.seen.push(Trace { corners, pass: scene.pass, lay });
            }
        }
        self.triples = ranked;
    }

    fn mark_used(&mut self, scene: &Scene<'_>) {
        let mut used = std::mem::take(&mut self.used);
        used.clear();
        used.extend(self.finders.iter().map(|f| self.is_used(scene, f)));
        self.used = used;
    }

    /// Reads symbols of which only two finders were seen, one of them surely.
    fn read_pairs(
        &mut self,
        scene: &Scene<'_>,
        budget: Budget,
        take: &mut impl FnMut(&Symbol<'_>),
    ) {
        self.mark_used(scene);
        pairs(&self.finders, &self.used, &mut self.pairs);
        let ranked = std::mem::take(&mut self.pairs);
        let mut tries = 0;
        for pair in &ranked {
            let sure = pair.finders.iter().any(|f| f.likeness > SURE);
            if tries >= budget.pairs || !sure {
                break;
            }
            let used = pair.finders.iter().any(|f| self.is_used(scene, f));
            if used || pair.finders.iter().all(|f| self.is_lost(scene, f)) {
                continue;
            }
            tries += 1;
            if let Some((text, choice)) = self.read_pair(scene, pair) {
                let corners = corners(&choice, scene.corner);
                take(&Symbol { text: self.rooms.text(text), corners });
                let lay = Lay::of(&choice.fitted.pose, choice.layout.side);
                self.seen.push(Trace { corners, pass: scene.pass, lay });
            }
        }
        self.pairs = ranked;
    }

    fn read_pair(&mut self, scene: &Scene<'_>, pair: &Pair) -> Option<(usize, Choice)> {
        let mut best = [None; POSES];
        let room = 5.0_f64.max(0.2 * pair.arm);
        let inverted = pair.finders[0].inverted;
        for layout in LAYOUTS.iter() {
            if (real(layout.side - 7) - pair.arm).abs() > room {
                continue;
            }
            pair::poses(pair, layout.side, scene.middle, |fitted| {
                self.sheet.glance(&scene.view, &fitted.pose, layout.side);
                let score = self.sheet.agreement(layout, inverted);
                if score >= FAINT {
                    insert(&mut best, Choice { layout, fitted, score });
                }
            });
        }
        best.into_iter().flatten().find_map(|c| self.read_registered(scene, c, inverted))
    }

    /// Fits the versions that a triple has room for, the nearest first, and
    /// reads the poses that agree best.
    fn read_triple(&mut self, scene: &Scene<'_>, triple: &Triple) -> Option<(usize, Choice)> {
        let mut best = [None; POSES];
        let room = 5.5_f64.max(0.2 * triple.arm);
        let away = |layout: &Layout| (real(layout.side - 7) - triple.arm).abs();
        let inverted = triple.corners[0].inverted;
        let mut reached = -1.0;
        let nearest = |reached: f64| {
            let rest = LAYOUTS.iter().filter(|l| away(l) > reached && away(l) <= room);
            rest.min_by(|a, b| away(a).total_cmp(&away(b)))
        };
        while let Some(layout) = nearest(reached) {
            reached = away(layout);
            let lay = scene.lay.filter(|lay| lay.side == layout.side);
            if scene.lay.is_some() && lay.is_none() {
                continue;
            }
            for fitted in poses(triple, layout.side, scene.middle, lay).into_iter().flatten() {
                self.sheet.glance(&scene.view, &fitted.pose, layout.side);
                let agreement = self.sheet.agreement(layout, inverted);
                let score = agreement - 0.0015 * short(fitted.cost);
                if score >= LEAST {
                    insert(&mut best, Choice { layout, fitted, score });
                }
            }
            let first = best[0].filter(|c| c.score >= EAGER && c.layout.side == layout.side);
            if let Some((text, choice)) = first.and_then(|c| self.read_choice(scene, c, inverted)) {
                return Some((text, choice));
            }
        }
        let top = best[0]?.score;
        let near = || best.into_iter().flatten().filter(|c| c.score > top - 0.2);
        near()
            .find_map(|choice| self.read_choice(scene, choice, inverted))
            .or_else(|| near().find_map(|choice| self.read_registered(scene, choice, inverted)))
    }

    /// Draws a pose to what is seen, and reads again.
    fn read_registered(
        &mut self,
        scene: &Scene<'_>,
        mut choice: Choice,
        inverted: bool,
    ) -> Option<(usize, Choice)> {
        let layout = choice.layout;
        let rooms = (&mut self.sheet, &mut self.soft, &mut self.borders);
        let bent = register(&scene.view, &choice.fitted.pose, layout, inverted, rooms)?;
        choice.fitted.pose = bent.pose;
        self.sheet.look_bent(&scene.view, &bent, layout.side);
        let agreement = self.sheet.agreement(layout, inverted);
        let text = self.read_sheet(layout, inverted).or_else(|| {
            self.sheet.sharpen();
            self.read_sheet(layout, inverted)
        });
        if text.is_none() && agreement > LOST {
            self.lost.push(corners(&choice, scene.corner));
        }
        Some((text?, choice))
    }

    fn read_choice(
        &mut self,
        scene: &Scene<'_>,
        choice: Choice,
        inverted: bool,
    ) -> Option<(usize, Choice)> {
        let text = self.read_pose(&scene.view, &choice.fitted.pose, choice.layout, inverted)?;
        Some((text, choice))
    }

    fn read_pose(
        &mut self,
        view: &View<'_>,
        pose: &Pose,
        layout: &Layout,
        inverted: bool,
    ) -> Option<usize> {
        self.sheet.look(view, pose, layout.side);
        self.read_sheet(layout, inverted)
    }

    /// Reads what was sampled, against one threshold after the other.
    fn read_sheet(&mut self, layout: &Layout, inverted: bool) -> Option<usize> {
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

/// Makes room for so many in all.
pub fn reserve<T>(rooms: &mut Vec<T>, most: usize) {
    rooms.reserve(most.saturating_sub(rooms.len()));
}

fn insert(best: &mut [Option<Choice>; POSES], choice: Choice) {
    let score = |c: &Option<Choice>| c.map_or(f32::MIN, |c| c.score);
    if let Some(last) = best.last_mut().filter(|last| score(last) < choice.score) {
        *last = Some(choice);
        best.sort_by(|a, b| score(b).total_cmp(&score(a)));
    }
}

/// A symbol's corners: upper left and on with the clock.
fn corners(choice: &Choice, from: (f64, f64)) -> [(f64, f64); 4] {
    let half = real(choice.layout.side) / 2.0;
    let places = [(-half, -half), (half, -half), (half, half), (-half, half)];
    places.map(|(u, v)| choice.fitted.pose.project(u, v)).map(|(x, y)| (x + from.0, y + from.1))
}

/// Whether a place lies within four corners that go round with the clock.
fn within(quad: &[(f64, f64); 4], (x, y): (f64, f64)) -> bool {
    quad.iter()
        .zip(quad.iter().cycle().skip(1))
        .all(|(a, b)| (b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0) >= 0.0)
}

//! The strategy: cheap looks first, dearer ones by what was seen, and a budget
//! of tries, never of time, so that a frame always reads alike.

use super::attempt::{Attempts, Reading, Scene};
use super::corners::{Corners, corners_within};
use super::decode::Counts;
use super::finder::Finder;
use super::fit::Lay;
use super::glimpse::{Glimpse, glimpse};
use super::level::Levelled;
use super::matrix::Lines;
use super::memory::reserve;
use super::numbers::{index, real};
use super::pair::{self, Pair, pairs};
use super::scan::{self, scan};
use super::segments::Content;
use super::triple::{self, Ranked, triple, triples};
use super::view::View;

/// What is spent on a frame at most.
#[derive(Clone, Copy)]
pub struct Budget {
    /// Triples of finders that are fitted in one pass.
    pub triples: usize,
    /// Pairs that are fitted where nothing else was read.
    pub pairs: usize,
    /// Where a Data Matrix symbol is looked for.
    pub lines: Lines,
}

/// A symbol that was read: what it says, and its corners in pixels.
pub struct Symbol<'a> {
    pub content: &'a Content,
    pub corners: Corners,
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
    /// Those of the frame before.
    before: Vec<Trace>,
    /// Frames since all of one was looked at.
    followed: usize,
    /// So many of the next frames get a share of the tries, if a symbol was seen in none.
    spared: usize,
    /// So many of the next frames get all tries, since a symbol was there just now.
    alert: usize,
    /// Whether this frame got a share alone.
    shared: bool,
    /// What showed itself when all tries were spent last.
    shown: Option<Glimpse>,
    triples: Vec<Ranked>,
    /// The middles of the triples that were tried in this frame.
    tried: Vec<[(f64, f64); 3]>,
    pairs: Vec<Pair>,
    attempts: Attempts,
}

/// Where a symbol was, how it lay, and which pass saw it.
#[derive(Clone, Copy)]
struct Trace {
    corners: Corners,
    pass: usize,
    lay: Lay,
}

/// Looks at a frame: halved or not, smoothed or not, the square of the
/// threshold, and how many rows lie between two that are scanned.
const PASSES: [(bool, bool, usize, usize); 3] =
    [(true, true, 12, 2), (false, true, 20, 4), (false, false, 20, 4)];

/// A finder that surely is one.
const SURE: f64 = 0.8;
/// Three finders of a lower rank than this are a symbol's, and two of one lower than that.
const STRAIGHT: f64 = -1.6;
const ALIKE: f64 = -1.5;
/// Where nothing at all looked like a finder the third pass is left out, but for frames
/// of fewer pixels than these, which cost little.
const SMALL: usize = 300_000;
/// Three finders of a higher rank than this, or two of one higher than that, are no symbol's: of
/// some 150 that were read the highest ranks were -1.9 and -1.9.
const UNLIKE: f64 = -1.2;
const UNLIKE_PAIR: f64 = -1.4;
/// How many of the triples that were tried are remembered.
const TRIED: usize = 128;
/// Where a film shows no symbol, one frame in so many gets all tries. In the others what costs
/// least is looked at, with so many triples, and no symbol that could not be read just before.
const SHARED: usize = 4;
const SHARE: Budget = Budget { triples: 2, pairs: 0, lines: Lines::Middle };
/// After a symbol was read so many frames get all tries.
const ALERT: usize = 10;
/// All of a frame is looked at after so many in which tags were only followed.
const FOLLOWED: usize = 5;

fn is_small(view: &View<'_>) -> bool {
    view.width * view.height < SMALL
}

impl Search {
    /// A search that has seen nothing yet.
    pub fn new(counts: Counts) -> Self {
        let mut search = Self::default();
        search.attempts.count_by(counts);
        search
    }

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
        if before.is_empty() && self.spared > 0 && !is_small(view) {
            self.spared -= 1;
            self.read_shared(view, &mut take);
        } else if before.is_empty() || self.seen.len() < before.len() || self.followed > FOLLOWED {
            self.followed = 0;
            self.read_whole(view, budget, &mut take);
            self.spared = if self.alert == 0 { SHARED - 1 } else { 0 };
        }
        self.alert = self.alert.saturating_sub(1);
        if !self.seen.is_empty() {
            (self.spared, self.alert) = (0, ALERT);
        }
        self.before = before;
    }

    /// What stands in the way of a symbol that shows itself in the frame that was read last, or
    /// in the last that got all tries; none if a symbol was read, or none is sure to be there.
    pub fn glimpse(&mut self, view: &View<'_>) -> Option<Glimpse> {
        if !self.seen.is_empty() {
            return None;
        }
        if !self.shared {
            self.shown = self.glimpsed(view);
        }
        self.shown
    }

    fn glimpsed(&self, view: &View<'_>) -> Option<Glimpse> {
        let finder = |at: usize| self.finders.get(at);
        for ranked in &self.triples {
            let [Some(a), Some(b), Some(c)] = ranked.finders.map(finder) else { continue };
            let sure = [a, b, c].iter().filter(|f| f.likeness > SURE).count();
            let straight = triple(a, b, c).is_some_and(|t| t.rank < STRAIGHT);
            if sure >= 2 && straight {
                return glimpse(view, &[*a, *b, *c]);
            }
        }
        let sure =
            |pair: &&Pair| pair.rank < ALIKE && pair.finders.iter().all(|f| f.likeness > SURE);
        glimpse(view, &self.pairs.iter().find(sure)?.finders)
    }

    /// Makes room for whatever a frame of this size may hold, so that no later
    /// frame allocates.
    fn reserve(&mut self, view: &View<'_>) {
        const SYMBOLS: usize = 64;
        self.level.reserve(view.width, view.height);
        reserve(&mut self.finders, scan::MOST);
        reserve(&mut self.used, scan::MOST);
        [&mut self.seen, &mut self.before].into_iter().for_each(|v| reserve(v, SYMBOLS));
        reserve(&mut self.triples, triple::MOST);
        reserve(&mut self.tried, TRIED);
        reserve(&mut self.pairs, pair::MOST);
        self.attempts.reserve();
    }

    /// Forgets where symbols were.
    pub fn forget(&mut self) {
        self.seen.clear();
        (self.followed, self.spared, self.alert) = (0, 0, 0);
    }

    /// Begins with another frame, or with another part of it.
    fn begin(&mut self) {
        self.shared = false;
        self.finders.clear();
        self.tried.clear();
        self.attempts.begin();
    }

    /// Looks at all of a frame with a share of the tries.
    fn read_shared(&mut self, view: &View<'_>, take: &mut impl FnMut(&Symbol<'_>)) {
        self.shared = true;
        self.finders.clear();
        self.tried.clear();
        self.look(&Scene::whole(view), SHARE, take);
    }

    fn read_whole(&mut self, view: &View<'_>, budget: Budget, take: &mut impl FnMut(&Symbol<'_>)) {
        let scene = Scene::whole(view);
        self.begin();
        self.shown = None;
        self.triples.clear();
        self.pairs.clear();
        for pass in 0..PASSES.len() {
            if pass > 1 && !is_small(view) && self.finders.is_empty() {
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
        self.begin();
        let known = self.seen.len();
        self.look(&scene, budget, take);
        if self.seen.len() == known {
            self.read_pairs(&scene, budget, take);
        }
    }

    fn look(&mut self, scene: &Scene<'_>, budget: Budget, take: &mut impl FnMut(&Symbol<'_>)) {
        let Some((halved, smooth, radius, step)) = PASSES.get(scene.pass).copied() else { return };
        self.level.fill(&scene.view, halved, smooth, radius);
        // Small frames are scanned row by row: their modules may be a pixel wide.
        scan(&self.level, step.min(1 + scene.view.height / 100), &mut self.finders);
        self.finders.sort_unstable_by(|a, b| b.rank().total_cmp(&a.rank()));
        self.read_triples(scene, budget, take);
    }

    /// Whether a symbol was read and no sure finder is left over.
    fn is_done(&self, scene: &Scene<'_>) -> bool {
        let sure = self.finders.iter().filter(|f| f.likeness > SURE);
        !self.seen.is_empty() && sure.filter(|f| !self.is_used(scene, f)).count() == 0
    }

    fn is_used(&self, scene: &Scene<'_>, finder: &Finder) -> bool {
        let place = scene.place((finder.x, finder.y));
        self.seen.iter().any(|trace| corners_within(&trace.corners, place))
    }

    /// Whether another try at some finders would be for nothing: one lies in a
    /// symbol that was read, or all in one that cannot be.
    fn is_settled(&self, scene: &Scene<'_>, finders: &[Finder]) -> bool {
        let lost = |f: &Finder| self.attempts.is_lost(scene.place((f.x, f.y)));
        finders.iter().any(|f| self.is_used(scene, f)) || finders.iter().all(lost)
    }

    fn keep(&mut self, reading: &Reading, pass: usize, take: &mut impl FnMut(&Symbol<'_>)) {
        if let Some(content) = self.attempts.content(reading) {
            take(&Symbol { content, corners: reading.corners });
        }
        self.seen.push(Trace { corners: reading.corners, pass, lay: reading.lay });
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
            if tries >= budget.triples || ranked.rank > UNLIKE {
                break;
            }
            let [Some(a), Some(b), Some(c)] = ranked.finders.map(|at| self.finders.get(at)) else {
                continue;
            };
            let Some(triple) = &triple(a, b, c) else { continue };
            if self.is_settled(scene, &triple.corners) {
                continue;
            }
            tries += 1;
            // The passes add to the finders: what failed in one fails in the next as well.
            let middles = triple.corners.map(|f| (f.x, f.y));
            if self.tried.contains(&middles) {
                continue;
            }
            if self.tried.len() < TRIED {
                self.tried.push(middles);
            }
            if let Some(reading) = self.attempts.read_triple(scene, triple) {
                // Anyone who has read one may look for as many again.
                tries = 0;
                self.keep(&reading, scene.pass, take);
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
            if tries >= budget.pairs || !sure || pair.rank > UNLIKE_PAIR {
                break;
            }
            if self.is_settled(scene, &pair.finders) {
                continue;
            }
            tries += 1;
            if let Some(reading) = self.attempts.read_pair(scene, pair) {
                self.keep(&reading, scene.pass, take);
            }
        }
        self.pairs = ranked;
    }
}

//! One try: from finders to poses, the pose to what is seen, and that to a text.

use super::bent::{Bent, Surface};
use super::corners::{Corners, corners_within};
use super::decode::{self, Bits, Counts, Erase};
use super::finder::times;
use super::fit::{Fitted, Lay, Triple, anchors, poses, sides};
use super::layout::{LAYOUTS, Layout, large_by_bits};
use super::memory::reserve;
use super::numbers::{real, short};
use super::pair::{self, Pair};
use super::plane::Plane;
use super::register::{self, register, register_large};
use super::sample::Sheet;
use super::segments::Content;
use super::view::View;

/// Rooms for tries.
#[derive(Default)]
pub struct Attempts {
    sheet: Sheet,
    soft: Vec<f32>,
    rooms: decode::Rooms,
    borders: register::Rooms,
    /// The corners of symbols that could not be read for all their being found.
    lost: Vec<Corners>,
}

/// A frame, or a part of it.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    pub view: View<'a>,
    /// Where the part begins.
    pub corner: (f64, f64),
    /// The frame's middle, from there.
    pub middle: (f64, f64),
    pub pass: usize,
    /// How the symbol is expected to lie.
    pub lay: Option<Lay>,
}

impl<'a> Scene<'a> {
    /// All of a frame, at the first pass.
    pub fn whole(view: &View<'a>) -> Self {
        let middle = (real(view.width) / 2.0, real(view.height) / 2.0);
        Self { view: *view, corner: (0.0, 0.0), middle, pass: 0, lay: None }
    }

    /// A place of the part in the frame.
    pub fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (x + self.corner.0, y + self.corner.1)
    }
}

/// A pose that agrees with what is seen.
#[derive(Clone, Copy)]
struct Choice {
    layout: &'static Layout,
    fitted: Fitted,
    score: f32,
}

/// A symbol that was read: where what it says is kept, and how it lies.
pub struct Reading {
    content: usize,
    pub corners: Corners,
    pub lay: Lay,
}

/// Below this agreement a triple is dropped.
const LEAST: f32 = 0.22;
/// From this agreement on a pose is read before others are tried.
const EAGER: f32 = 0.7;
/// The same of a pair: of some that were read the least was 0.67.
const FAINT: f32 = 0.4;
/// A symbol that agrees so well and cannot be read is lost.
const LOST: f32 = 0.7;
/// How many poses of a triple or a pair are read, and how far below the best.
const POSES: usize = 4;
const BELOW: f32 = 0.2;

impl Attempts {
    /// Makes room for whatever a symbol may need.
    pub fn reserve(&mut self) {
        const SYMBOLS: usize = 128;
        let largest = LAYOUTS.last().map_or(0, |layout| layout.side);
        reserve(&mut self.soft, largest * largest);
        reserve(&mut self.lost, SYMBOLS);
        self.sheet.reserve(largest);
        self.rooms.reserve(largest * largest / 8);
        self.borders.reserve(2 * (largest + 1) * (largest + 1));
    }

    /// Says which texts count.
    pub fn count_by(&mut self, counts: Counts) {
        self.rooms.count_by(counts);
    }

    /// Begins with another frame.
    pub fn begin(&mut self) {
        self.lost.clear();
    }

    /// What a reading says.
    pub fn content(&self, reading: &Reading) -> Option<&Content> {
        self.rooms.content(reading.content)
    }

    /// Whether a place lies in a symbol that was found and could not be read.
    pub fn is_lost(&self, place: (f64, f64)) -> bool {
        self.lost.iter().any(|corners| corners_within(corners, place))
    }

    /// Tries every roll that two finders leave open, and draws the best to what
    /// is seen.
    pub fn read_pair(&mut self, scene: &Scene<'_>, pair: &Pair) -> Option<Reading> {
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
        let top = best[0]?.score;
        let mut near = best.into_iter().flatten().filter(|c| c.score > top - BELOW);
        near.find_map(|c| self.read_registered(scene, &c, inverted))
    }

    /// Fits the versions that a triple has room for, the nearest first, and
    /// reads the poses that agree best.
    pub fn read_triple(&mut self, scene: &Scene<'_>, triple: &Triple) -> Option<Reading> {
        let mut best = [None; POSES];
        let room = 5.5_f64.max(0.2 * triple.arm);
        let away = |layout: &Layout| (real(layout.side - 7) - triple.arm).abs();
        let inverted = triple.corners[0].inverted;
        let mut reached = -1.0;
        for layout in large(&scene.view, triple).into_iter().flatten() {
            let expected = scene.lay.is_none_or(|lay| lay.side == layout.side);
            if expected && away(layout) <= room {
                let reading = self.read_large(scene, triple, layout);
                if reading.is_some() {
                    return reading;
                }
            }
        }
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
            if let Some(said) = first.and_then(|c| self.read_choice(scene, &c, inverted)) {
                return said.reading();
            }
        }
        let top = best[0]?.score;
        let near = || best.into_iter().flatten().filter(|c| c.score > top - BELOW);
        if let Some(said) = near().find_map(|c| self.read_choice(scene, &c, inverted)) {
            return said.reading();
        }
        near().find_map(|choice| self.read_registered(scene, &choice, inverted))
    }

    /// Draws a pose to what is seen, and reads again.
    fn read_registered(
        &mut self,
        scene: &Scene<'_>,
        choice: &Choice,
        inverted: bool,
    ) -> Option<Reading> {
        let layout = choice.layout;
        let rooms = (&mut self.sheet, &mut self.soft, &mut self.borders);
        let (bent, pose) = register(&scene.view, &choice.fitted.pose, layout, inverted, rooms)?;
        let lay = Lay::of(&pose, layout.side);
        self.read_bent(scene, &bent, (layout, lay), inverted)
    }

    /// Reads a symbol above version 10, which is read on plates and screens alone.
    fn read_large(
        &mut self,
        scene: &Scene<'_>,
        triple: &Triple,
        layout: &'static Layout,
    ) -> Option<Reading> {
        let inverted = triple.corners[0].inverted;
        let half = real(layout.side) / 2.0;
        let plane = Plane::of(anchors(triple, layout.side).as_slice(), half)?;
        let bent = Bent::new(Surface::Plane(plane), half);
        self.sheet.glance_bent(&scene.view, &bent, layout.side);
        if self.sheet.agreement_near(layout, inverted) < LEAST {
            return None;
        }
        let flat = Lay::flat(layout.side);
        if self.sheet.agreement(layout, inverted) > EAGER {
            let reading = self.read_bent(scene, &bent, (layout, flat), inverted);
            if reading.is_some() {
                return reading;
            }
        }
        let rooms = (&mut self.sheet, &mut self.soft, &mut self.borders);
        let bent = register_large(&scene.view, &plane, layout, inverted, rooms)?;
        self.read_bent(scene, &bent, (layout, flat), inverted)
    }

    /// Reads what was drawn to what is seen.
    fn read_bent(
        &mut self,
        scene: &Scene<'_>,
        bent: &Bent,
        (layout, lay): (&Layout, Lay),
        inverted: bool,
    ) -> Option<Reading> {
        self.sheet.look_bent(&scene.view, bent, layout.side);
        let agreement = self.sheet.agreement(layout, inverted);
        let text = self.read_sheet(layout, inverted).text().or_else(|| {
            self.sheet.sharpen();
            self.read_sheet(layout, inverted).text()
        });
        let corners = corners(layout, |u, v| scene.place(bent.project(u, v)));
        if text.is_none() && agreement > LOST {
            self.lost.push(corners);
        }
        Some(Reading { content: text?, corners, lay })
    }

    /// Reads a pose as it is; none if another may do.
    fn read_choice(
        &mut self,
        scene: &Scene<'_>,
        choice: &Choice,
        inverted: bool,
    ) -> Option<Outcome> {
        let (pose, layout) = (&choice.fitted.pose, choice.layout);
        self.sheet.look(&scene.view, pose, layout.side);
        let said = self.read_sheet(layout, inverted);
        let corners = || corners(layout, |u, v| scene.place(pose.project(u, v)));
        match said {
            Said::Text(content) => {
                let (corners, lay) = (corners(), Lay::of(pose, layout.side));
                Some(Outcome::Read(Reading { content, corners, lay }))
            }
            // All that is known agrees, and what should be format information is none.
            Said::Nothing if self.sheet.agreement(layout, inverted) > LOST => {
                self.lost.push(corners());
                Some(Outcome::Lost)
            }
            Said::Nothing | Said::Format => None,
        }
    }

    /// Reads what was sampled, against one threshold after the other.
    fn read_sheet(&mut self, layout: &Layout, inverted: bool) -> Said {
        let mut said = Said::Nothing;
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
                let formats = bits.formats()?;
                said = Said::Format;
                formats.into_iter().find_map(|f| bits.text(f, &ways, &mut self.rooms))
            });
            if let Some(text) = text {
                return Said::Text(text);
            }
        }
        said
    }
}

/// What was found where a symbol should be.
enum Said {
    /// A text: where it is kept.
    Text(usize),
    /// Format information, but no text.
    Format,
    Nothing,
}

impl Said {
    const fn text(&self) -> Option<usize> {
        match self {
            Self::Text(text) => Some(*text),
            Self::Format | Self::Nothing => None,
        }
    }
}

/// What ends a try.
enum Outcome {
    Read(Reading),
    /// A symbol is there, and can't be read in any pose.
    Lost,
}

impl Outcome {
    fn reading(self) -> Option<Reading> {
        match self {
            Self::Read(reading) => Some(reading),
            Self::Lost => None,
        }
    }
}

fn insert(best: &mut [Option<Choice>; POSES], choice: Choice) {
    let score = |c: &Option<Choice>| c.map_or(f32::MIN, |c| c.score);
    if let Some(last) = best.last_mut().filter(|last| score(last) < choice.score) {
        *last = Some(choice);
        best.sort_by(|a, b| score(b).total_cmp(&score(a)));
    }
}

/// Below so many modules between two finders no symbol is above version 10.
const LARGE: f64 = 40.0;

/// The versions above 10 that a triple's symbol says it may be of: six by three modules beside
/// its second and its third finder.
fn large(view: &View<'_>, triple: &Triple) -> [Option<&'static Layout>; 2] {
    if triple.arm < LARGE {
        return [None; 2];
    }
    let [a, b, c] = &triple.corners;
    let [[ux, vx], [uy, vy]] = sides(c, (c.x - a.x, c.y - a.y));
    // The third is found by the way down, a quarter turn back.
    let frames = [(b, sides(b, (b.x - a.x, b.y - a.y))), (c, [[-vx, ux], [-vy, uy]])];
    let mut dark = [0.0; 18];
    for (across, (finder, sides)) in frames.iter().enumerate() {
        let grey = |u: f64, v: f64| {
            let (dx, dy) = times(sides, u, v);
            view.grey(finder.x + dx, finder.y + dy)
        };
        let ring = [(2.0, 0.0), (-2.0, 0.0), (0.0, 2.0), (0.0, -2.0)].map(|(u, v)| grey(u, v));
        let light = ring.iter().sum::<f32>() / 4.0;
        let (middle, range) = (f32::midpoint(light, grey(0.0, 0.0)), light - grey(0.0, 0.0));
        if range.abs() < 1.0 {
            continue;
        }
        for (at, sum) in dark.iter_mut().enumerate() {
            let (long, short) = (real(at / 3) - 3.0, real(at % 3) - 7.0);
            let (u, v) = if across == 0 { (short, long) } else { (long, short) };
            *sum += ((middle - grey(u, v)) / range).clamp(-0.5, 0.5);
        }
    }
    large_by_bits(&dark)
}

/// A symbol's corners where its places are seen.
fn corners(layout: &Layout, seen: impl Fn(f64, f64) -> (f64, f64)) -> Corners {
    let half = real(layout.side) / 2.0;
    [(-half, -half), (half, -half), (half, half), (-half, half)].map(|(u, v)| seen(u, v))
}

//! A symbol that shows itself and could not be read: where it is, and what stands in
//! the way.

use super::finder::Finder;
use super::numbers::{real, short};
use super::view::View;

/// Why a symbol that shows itself could not be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstacle {
    /// Part of it is outside of the frame.
    CutOff,
    /// Its modules are too small.
    TooFar,
    /// There is too little between its dark and its light.
    TooDark,
    /// Part of it is blown out.
    Glare,
    /// Its modules run into each other.
    OutOfFocus,
}

/// A symbol that shows itself and could not be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glimpse {
    /// What stands in the way.
    pub obstacle: Obstacle,
    /// About where its middle is, in pixels from the upper left.
    pub middle: (f32, f32),
}

impl Glimpse {
    /// The same in a frame that was made so many times smaller.
    pub fn enlarged(self, smaller: f64) -> Self {
        let whole = |v: f32| short((f64::from(v) + 0.5) * smaller - 0.5);
        Self { middle: (whole(self.middle.0), whole(self.middle.1)), ..self }
    }
}

/// Below so many pixels a module a symbol is far away.
const FAR: f64 = 2.2;
/// Below so many grey levels between dark and light, noise and all, it is dark if the light is
/// not lighter than this.
const DARK: f32 = 45.0;
const DIM: f32 = 80.0;
/// From this grey level on a place is blown out; where light paper is almost so bright, that
/// says nothing.
const BLOWN: f32 = 248.0;
const PAPER: f32 = 236.0;
/// From this share of blown out places on there is glare.
const SHARE: f64 = 0.06;
/// Below this share of the symbol's contrast between rings of a module's width it is blurred.
const BLURRED: f32 = 0.6;

/// What stands in the way of a symbol of which two or three finders are seen; none if nothing
/// does that is known.
pub fn glimpse(view: &View<'_>, finders: &[Finder]) -> Option<Glimpse> {
    let quad = quad(finders)?;
    let middle = quad.iter().fold((0.0, 0.0), |m, p| (m.0 + p.0 / 4.0, m.1 + p.1 / 4.0));
    let obstacle = obstacle(view, finders, &quad)?;
    let (x, y) = (middle.0.clamp(0.0, real(view.width)), middle.1.clamp(0.0, real(view.height)));
    Some(Glimpse { obstacle, middle: (short(x), short(y)) })
}

type Quad = [(f64, f64); 4];

/// The middles of a symbol's finders and of its fourth corner. Of two finders it is the side
/// to which the rest is taken to lie that matters, and both are as likely: the square around.
fn quad(finders: &[Finder]) -> Option<Quad> {
    match finders {
        [a, b, c, ..] => {
            Some([(a.x, a.y), (b.x, b.y), (b.x + c.x - a.x, b.y + c.y - a.y), (c.x, c.y)])
        }
        [a, b] => {
            let (dx, dy) = ((b.x - a.x) / 2.0, (b.y - a.y) / 2.0);
            let (x, y) = (a.x + dx, a.y + dy);
            let corner = |u: f64, v: f64| (x + u * dx - v * dy, y + u * dy + v * dx);
            Some([corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)])
        }
        _ => None,
    }
}

fn obstacle(view: &View<'_>, finders: &[Finder], quad: &Quad) -> Option<Obstacle> {
    let module = finders.iter().map(Finder::area).fold(f64::MAX, f64::min).sqrt();
    let (wide, high) = (real(view.width) - 1.0, real(view.height) - 1.0);
    let room = 3.5 * module;
    let out = |(x, y): &(f64, f64)| *x < room || *y < room || *x > wide - room || *y > high - room;
    let cut = if finders.len() > 2 {
        quad.iter().any(out)
    } else {
        // The rest lies to one side of two finders: its middle may be out of the frame there.
        let [a, b] = [finders.first()?, finders.get(1)?];
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (x, y) = (f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        [1.0, -1.0].iter().any(|side| out(&(x - side * dy, y + side * dx)))
    };
    if cut {
        return Some(Obstacle::CutOff);
    }
    if module < FAR {
        return Some(Obstacle::TooFar);
    }
    let greys = greys(view, quad);
    let at = |share: usize| greys.get(greys.len() * share / 100).copied().unwrap_or(0.0);
    let range = at(95) - at(5);
    if range < DARK && at(95) < DIM {
        return Some(Obstacle::TooDark);
    }
    let rings = || finders.iter().map(|finder| rings(view, finder));
    let count = short(real(finders.len()));
    let light = rings().map(|(light, dark)| light.max(dark)).sum::<f32>() / count;
    let blown = greys.iter().filter(|grey| **grey >= BLOWN).count();
    if light < PAPER && real(blown) > SHARE * real(greys.len()) {
        return Some(Obstacle::Glare);
    }
    let contrast = rings().map(|(light, dark)| (light - dark).abs()).sum::<f32>() / count;
    (contrast < BLURRED * range).then_some(Obstacle::OutOfFocus)
}

/// Grey values at even places of a quad, the darkest first.
fn greys(view: &View<'_>, quad: &Quad) -> Vec<f32> {
    const SIDE: usize = 40;
    let [a, b, c, d] = *quad;
    let place = |u: f64, v: f64| {
        let mix = |a: f64, b: f64, c: f64, d: f64| {
            (1.0 - v) * ((1.0 - u) * a + u * b) + v * ((1.0 - u) * d + u * c)
        };
        (mix(a.0, b.0, c.0, d.0), mix(a.1, b.1, c.1, d.1))
    };
    let along = |at: usize| real(at) / real(SIDE - 1);
    let places = (0..SIDE * SIDE).map(|at| place(along(at % SIDE), along(at / SIDE)));
    let mut greys: Vec<f32> = places.map(|(x, y)| view.grey(x, y)).collect();
    greys.sort_unstable_by(f32::total_cmp);
    greys
}

/// The grey of a finder's light ring and of its dark one, each a module wide.
fn rings(view: &View<'_>, finder: &Finder) -> (f32, f32) {
    let mean = |far: f64| {
        let around = [(far, 0.0), (-far, 0.0), (0.0, far), (0.0, -far)].map(|(u, v)| {
            let (dx, dy) = super::finder::times(&finder.to_pixels, u, v);
            view.grey(finder.x + dx, finder.y + dy)
        });
        around.iter().sum::<f32>() / 4.0
    };
    (mean(2.0), mean(3.0))
}

//! A tag as a phone sees it, made from a seed: for trying things out and for
//! tests. Turned, seen at an angle, unevenly lit, blurred and noisy, in front of
//! dark hoses on a deck.

use image::GrayImage;

use crate::numbers::{index, real};

/// How a photo is taken. The default is an easy one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Pixels a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// How many pixels wide a module is in the middle of the tag.
    pub module: f64,
    /// How far the tag is turned in the picture, in degrees.
    pub turn: f64,
    /// How far it is tilted away from the camera about its two axes, in degrees.
    pub tilt: (f64, f64),
    /// How far the middle of the tag is from the middle of the picture, in
    /// pixels.
    pub offset: (f64, f64),
    /// How much of the light is lost from one side to the other, 0 to 1.
    pub shade: f64,
    /// How sharp it is not: the standard deviation of the blur, in pixels.
    pub blur: f64,
    /// How noisy it is: the standard deviation in grey levels of 255.
    pub noise: f64,
    /// The print's dark and light, in grey levels of 255.
    pub ink: (f64, f64),
    /// What all chance in the picture comes from.
    pub seed: u64,
}

impl Default for Conditions {
    fn default() -> Self {
        Self {
            width: 1280,
            height: 720,
            module: 9.0,
            turn: 12.0,
            tilt: (15.0, -10.0),
            offset: (30.0, -20.0),
            shade: 0.3,
            blur: 0.8,
            noise: 3.0,
            ink: (35.0, 225.0),
            seed: 1,
        }
    }
}

/// A photo of a label.
#[must_use]
pub fn photograph(label: &Label, conditions: &Conditions) -> GrayImage {
    take(conditions, |view, scene, at| seen(label, view, scene, conditions, at))
}

/// A photo of a screen that goes from one label to the next while the sensor's rows are read
/// one after the other, in a hand that moves.
#[must_use]
pub fn photograph_between(
    labels: [&Label; 2],
    rows: &Rows<'_>,
    conditions: &Conditions,
) -> GrayImage {
    let height = f64::from(conditions.height.max(1));
    take(conditions, |view, scene, (x, y)| {
        let down = y / height;
        let at = (x + rows.roll.0 * (down - 0.5), y + rows.roll.1 * (down - 0.5));
        let grey = |label| seen(label, view, scene, conditions, at);
        match (rows.second)(down).clamp(0.0, 1.0) {
            0.0 => grey(labels[0]),
            1.0 => grey(labels[1]),
            share => grey(labels[0]) * (1.0 - share) + grey(labels[1]) * share,
        }
    })
}

/// What the rows of a picture see that are read one after the other.
pub struct Rows<'a> {
    /// How much of the light of a row is of the second label, 0 to 1; rows are 0 at the top and
    /// 1 at the bottom.
    pub second: &'a dyn Fn(f64) -> f64,
    /// How many pixels right and down the picture moves from the first row to the last.
    pub roll: (f64, f64),
}

/// A photo of the same place without a tag.
#[must_use]
pub fn empty_scene(conditions: &Conditions) -> GrayImage {
    take(conditions, |_, scene, (x, y)| scene.grey(x, y))
}

/// A small generator of chance (SplitMix64, Steele, Lea and Flood 2014): good
/// enough for pictures, and the same for ever.
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// All that follows comes from this seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ self.0 >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ mixed >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ mixed >> 31
    }

    /// A number from `low` up to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = u32::try_from(self.bits() >> 32).map_or(0.0, f64::from) / 4_294_967_296.0;
        low + share * (high - low)
    }

    /// About normal, mean 0 and standard deviation 1: the sum of four even ones.
    pub fn normal(&mut self) -> f64 {
        (0..4).map(|_| self.between(-1.0, 1.0)).sum::<f64>() * 0.866
    }
}

/// A label as it is printed.
#[derive(Debug, Clone)]
pub struct Label {
    /// Dots a row.
    pub width: usize,
    /// Whether each dot is dark, row by row.
    pub dark: Vec<bool>,
    /// Modules along a side of its symbol, the quiet zone included.
    pub side: f64,
    /// Dots a module.
    pub dots: f64,
}

impl Label {
    /// Whether there is ink at a place, in modules from the symbol's middle;
    /// `None` beside the label.
    fn ink(&self, u: f64, v: f64) -> Option<bool> {
        let (x, y) = ((u + self.side / 2.0) * self.dots, (v + self.side / 2.0) * self.dots);
        if x < 0.0 || y < 0.0 || index(x) >= self.width {
            return None;
        }
        self.dark.get(index(y) * self.width + index(x)).copied()
    }
}

/// From the picture's pixels to the label's plane, in modules: the inverse of
/// a pinhole camera whose focal length is the picture's width.
struct View {
    inverse: [[f64; 3]; 3],
    middle: (f64, f64),
}

impl View {
    fn of(c: &Conditions) -> Self {
        let turn = rotation(c.turn);
        let (sx, cx) = c.tilt.0.to_radians().sin_cos();
        let (sy, cy) = c.tilt.1.to_radians().sin_cos();
        let tilt = [[cy, sx * sy, cx * sy], [0.0, cx, -sx], [-sy, sx * cy, cx * cy]];
        let focal = f64::from(c.width);
        let column = |at: usize| {
            let [x, y] = [turn[0][at], turn[1][at]];
            tilt.map(|row| (row[0] * x + row[1] * y) * c.module)
        };
        let ([a, b, p], [d, e, q]) = (column(0), column(1));
        // Homography of (u, v, 1): the third row is depth over focal length.
        let matrix = [[a, d, 0.0], [b, e, 0.0], [p / focal, q / focal, 1.0]];
        let middle =
            (f64::from(c.width) / 2.0 + c.offset.0, f64::from(c.height) / 2.0 + c.offset.1);
        Self { inverse: adjugate(&matrix), middle }
    }

    fn label(&self, x: f64, y: f64) -> (f64, f64) {
        let (x, y) = (x - self.middle.0, y - self.middle.1);
        let [u, v, w] = self.inverse.map(|row| row[0] * x + row[1] * y + row[2]);
        (u / w, v / w)
    }
}

fn rotation(degrees: f64) -> [[f64; 2]; 2] {
    let (s, c) = degrees.to_radians().sin_cos();
    [[c, -s], [s, c]]
}

/// The inverse of a matrix up to a factor, which a homography does not mind.
fn adjugate(m: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let minor = |r: [usize; 2], c: [usize; 2]| {
        m[r[0]][c[0]] * m[r[1]][c[1]] - m[r[0]][c[1]] * m[r[1]][c[0]]
    };
    let others = [[1, 2], [0, 2], [0, 1]];
    [0, 1, 2].map(|i: usize| {
        [0, 1, 2].map(|j: usize| {
            let sign = if (i + j).is_multiple_of(2) { 1.0 } else { -1.0 };
            sign * minor(others[j], others[i])
        })
    })
}

fn take(c: &Conditions, seen: impl Fn(&View, &Scene, (f64, f64)) -> f64) -> GrayImage {
    let mut chance = Chance::new(c.seed);
    let (view, scene) = (View::of(c), Scene::of(&mut chance, c));
    let shade = chance.between(0.0, 360.0).to_radians().sin_cos();
    let reach = f64::from(c.width.max(c.height));
    let mut grey = Vec::new();
    for (x, y) in (0..c.height).flat_map(|y| (0..c.width).map(move |x| (x, y))) {
        let (x, y) = (f64::from(x), f64::from(y));
        let light =
            1.0 - c.shade * (0.5 + (x * shade.0 + y * shade.1) / reach / 2.0).clamp(0.0, 1.0);
        grey.push(light * seen(&view, &scene, (x, y)));
    }
    blurred(&mut grey, c);
    let pixels = grey.into_iter().map(|v| pixel(v + c.noise * chance.normal())).collect();
    GrayImage::from_raw(c.width, c.height, pixels).unwrap_or_default()
}

/// What a pixel sees: the mean of four points on a label, since a sensor's pixel
/// has a width, and one beside it.
fn seen(label: &Label, view: &View, scene: &Scene, c: &Conditions, (x, y): (f64, f64)) -> f64 {
    let points = [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)];
    let inks = points.map(|(dx, dy)| {
        let (u, v) = view.label(x + dx, y + dy);
        label.ink(u, v)
    });
    if inks.iter().all(Option::is_none) {
        return scene.grey(x, y);
    }
    let grey = |ink: Option<bool>| match ink {
        Some(true) => c.ink.0,
        Some(false) => c.ink.1,
        None => scene.grey(x, y),
    };
    inks.map(grey).iter().sum::<f64>() / 4.0
}

/// What is behind the tag: boards, and hoses that lie across them.
struct Scene {
    boards: f64,
    hoses: Vec<Hose>,
}

struct Hose {
    across: (f64, f64),
    at: f64,
    half: f64,
    grey: f64,
    ribs: f64,
}

impl Scene {
    fn of(chance: &mut Chance, c: &Conditions) -> Self {
        let hose = |behind: bool, chance: &mut Chance| {
            let degrees = if behind { c.turn + 90.0 } else { chance.between(0.0, 180.0) };
            let (sin, cos) = degrees.to_radians().sin_cos();
            let (mx, my) = (f64::from(c.width) / 2.0, f64::from(c.height) / 2.0);
            let spread = if behind { 10.0 } else { mx };
            let through = (mx + c.offset.0, my + c.offset.1 + chance.between(-spread, spread));
            Hose {
                across: (-sin, cos),
                at: -sin * through.0 + cos * through.1,
                half: chance.between(0.06, 0.14) * f64::from(c.height),
                grey: chance.between(25.0, 60.0),
                ribs: chance.between(5.0, 11.0),
            }
        };
        let boards = chance.between(60.0, 140.0);
        let hoses = (0..4).map(|n| hose(n == 3, chance)).collect();
        Self { boards, hoses }
    }

    fn grey(&self, x: f64, y: f64) -> f64 {
        let board = 120.0 + 25.0 * (y / self.boards).floor().rem_euclid(3.0);
        let grain = 6.0 * (x / 37.0 + (y / 5.0).sin()).sin();
        let seam = if y.rem_euclid(self.boards) < 4.0 { -70.0 } else { 0.0 };
        self.hoses.iter().rev().find_map(|h| h.grey(x, y)).unwrap_or(board + grain + seam)
    }
}

impl Hose {
    /// A round, ribbed hose with a streak of light along it.
    fn grey(&self, x: f64, y: f64) -> Option<f64> {
        let off = (x * self.across.0 + y * self.across.1 - self.at) / self.half;
        let along = x * self.across.1 - y * self.across.0;
        (off.abs() < 1.0).then(|| {
            let round = (1.0 - off * off).sqrt();
            let shine = 90.0 * (-(off + 0.45).powi(2) / 0.02).exp();
            self.grey * (0.4 + 0.6 * round) + shine + 6.0 * (along / self.ribs).sin() * round
        })
    }
}

/// Blurs with a bell curve, rows then columns; edges are carried on outwards.
fn blurred(grey: &mut Vec<f64>, c: &Conditions) {
    if c.blur <= 0.05 {
        return;
    }
    let reach = index((3.0 * c.blur).ceil());
    let bell: Vec<f64> = (0..=2 * reach)
        .map(|at| (-(real(at) - real(reach)).powi(2) / (2.0 * c.blur * c.blur)).exp())
        .collect();
    let sum: f64 = bell.iter().sum();
    let bell: Vec<f64> = bell.into_iter().map(|weight| weight / sum).collect();
    let row = usize::try_from(c.width).unwrap_or(1).max(1);
    let reach = reach.max(1);
    let across: Vec<f64> =
        grey.chunks(row).flat_map(|line| blurred_line(line, &bell, reach)).collect();
    let lines: Vec<&[f64]> = across.chunks(row).collect();
    grey.clear();
    for at in 0..lines.len() {
        let mut mean = vec![0.0; row];
        for (n, weight) in bell.iter().enumerate() {
            let from = (at + n).saturating_sub(reach).min(lines.len() - 1);
            let line = lines.get(from).copied().unwrap_or_default();
            mean.iter_mut().zip(line).for_each(|(sum, v)| *sum += v * weight);
        }
        grey.extend(mean);
    }
}

fn blurred_line(line: &[f64], bell: &[f64], reach: usize) -> Vec<f64> {
    let [first, last] = [line.first(), line.last()].map(|v| v.copied().unwrap_or(0.0));
    let mut padded = vec![first; reach];
    padded.extend(line);
    padded.resize(line.len() + 2 * reach, last);
    let mean = |window: &[f64]| window.iter().zip(bell).map(|(v, weight)| v * weight).sum();
    padded.windows(bell.len()).map(mean).collect()
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
fn pixel(value: f64) -> u8 {
    value.round().clamp(0.0, 255.0) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_the_tag_is_where_the_conditions_put_it() {
        let view = View::of(&Conditions::default());
        let (u, v) = view.label(640.0 + 30.0, 360.0 - 20.0);
        assert!(u.abs() < 1e-9 && v.abs() < 1e-9);
        // One module to the right along a tag that is neither turned nor tilted.
        let flat =
            Conditions { turn: 0.0, tilt: (0.0, 0.0), offset: (0.0, 0.0), ..Conditions::default() };
        let (u, v) = View::of(&flat).label(649.0, 360.0);
        assert!((u - 1.0).abs() < 1e-9 && v.abs() < 1e-9);
    }
}

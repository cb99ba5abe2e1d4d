//! The place: boards or cloth or pebbles, hoses that lie about, and the tags.

use hosewright_core::tag::photo::Chance;

use super::Written;
use super::label::{Label, Print};
use super::recipe::{Recipe, Tag};
use super::world::{Body, Camera, Canvas, Draw, Light, times, turned, unit};
use crate::pictures;

/// The frame before the camera's own faults, and what is written in it.
pub fn render(recipe: &Recipe, chance: &mut Chance) -> (Vec<f32>, Vec<Written>) {
    let mut canvas =
        background(recipe.width, recipe.height, recipe.samples, recipe.clutter, chance);
    let camera = Camera {
        width: recipe.width as f64,
        height: recipe.height as f64,
        focal: recipe.focal * recipe.width as f64,
        k1: recipe.k1,
        roll: recipe.roll,
    };
    let light = Light {
        from: unit([chance.between(-0.6, 0.6), chance.between(-0.8, 0.2), -1.0]),
        ambient: chance.between(0.35, 0.6),
    };
    let labels: Vec<(&Tag, String, Label)> = recipe
        .tags
        .iter()
        .filter_map(|tag| {
            let text = text(tag, chance);
            let print = Print {
                version: tag.version,
                level: tag.level,
                text: text.clone(),
                ink: tag.ink,
                paper: tag.paper,
                inverted: tag.inverted,
                wear: tag.wear,
                letters: chance.bits() & 64 == 0,
            };
            Some((tag, text, Label::of(&print, chance)?))
        })
        .collect();
    let bodies: Vec<Body<'_>> =
        labels.iter().map(|(tag, _, label)| body(tag, label, &camera, chance)).collect();
    // Each tag's place is clear of what lay there before.
    for body in &bodies {
        canvas.depth.fill(f32::INFINITY);
        canvas.body(body, &camera, &light, Draw::All);
    }
    // Hoses may cross, but no label lies under another tag's hose.
    for body in bodies.iter().filter(|_| bodies.len() > 1) {
        canvas.depth.fill(f32::INFINITY);
        canvas.body(body, &camera, &light, Draw::Depth);
        canvas.body(body, &camera, &light, Draw::Label);
    }
    let written = labels.iter().zip(&bodies).map(|((_, text, label), body)| {
        let half = label.side as f64 / 2.0;
        let corners = [(-half, -half), (half, -half), (half, half), (-half, half)].map(|(u, v)| {
            let (x, y) = body.seen(&camera, u, v);
            // Pixels are counted from their middles.
            let x = if recipe.mirrored { camera.width - x } else { x };
            (x - 0.5, y - 0.5)
        });
        Written { text: text.clone(), corners }
    });
    let written = written.collect();
    (canvas.pixels(), written)
}

fn body<'a>(tag: &Tag, label: &'a Label, camera: &Camera, chance: &mut Chance) -> Body<'a> {
    let tilt = times(&turned(0, tag.tilt.0), &turned(1, tag.tilt.1));
    let depth = camera.focal / tag.module;
    let (x, y) = (tag.offset.0 * camera.width, tag.offset.1 * camera.height);
    Body {
        label: Some(label),
        shape: tag.shape,
        askew: tag.askew,
        rotation: times(&turned(2, tag.turn), &tilt),
        at: [x / tag.module, y / tag.module, depth],
        grey: chance.between(0.08, 0.35),
        ribs: chance.between(0.4, 1.2),
        gloss: chance.between(0.0, 0.6),
        label_gloss: tag.label_gloss,
    }
}

/// What is written: one of our payloads where the symbol has room for it, or
/// capitals and digits as anybody might write.
fn text(tag: &Tag, chance: &mut Chance) -> String {
    let room = room(tag.version, tag.level);
    let ours = pictures::payload(chance.bits()).text();
    if ours.len() <= room && chance.bits() % 64 < 48 {
        return ours;
    }
    let length =
        5 + usize::try_from(chance.bits()).unwrap_or(0) % room.saturating_sub(4).clamp(1, 40);
    let letters = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-";
    let letter = |_| char::from(letters[usize::try_from(chance.bits() % 37).unwrap_or(0)]);
    (0..length.min(room)).map(letter).collect()
}

/// The capitals and digits that a symbol holds (ISO/IEC 18004, table 7), at
/// least; for larger ones the last line stands.
fn room(version: i16, level: qrcode::EcLevel) -> usize {
    let [l, m, q, h] = match version {
        1 => [25, 20, 16, 10],
        2 => [47, 38, 29, 20],
        3 => [77, 61, 47, 35],
        _ => [114, 90, 67, 50],
    };
    match level {
        qrcode::EcLevel::L => l,
        qrcode::EcLevel::M => m,
        qrcode::EcLevel::Q => q,
        qrcode::EcLevel::H => h,
    }
}

/// Grey clouds: a lattice of random values between which is gone smoothly.
pub struct Clouds {
    lattice: Vec<f32>,
    cell: f32,
}

impl Clouds {
    pub fn new(cell: f64, chance: &mut Chance) -> Self {
        Self {
            lattice: (0..64 * 64).map(|_| chance.between(-1.0, 1.0) as f32).collect(),
            cell: cell as f32,
        }
    }

    pub fn at(&self, x: f32, y: f32) -> f32 {
        let (x, y) = (x / self.cell, y / self.cell);
        let (i, j) = (x.floor(), y.floor());
        let smooth = |t: f32| t * t * (3.0 - 2.0 * t);
        let (tx, ty) = (smooth(x - i), smooth(y - j));
        let value = |dx: i32, dy: i32| {
            let (i, j) = ((i as i32 + dx).rem_euclid(64), (j as i32 + dy).rem_euclid(64));
            self.lattice[(j * 64 + i) as usize]
        };
        let top = value(0, 0) + tx * (value(1, 0) - value(0, 0));
        let low = value(0, 1) + tx * (value(1, 1) - value(0, 1));
        top + ty * (low - top)
    }
}

/// A deck with hoses on it, at one sample a pixel; tags are drawn finer.
pub fn background(
    width: usize,
    height: usize,
    samples: usize,
    hoses: usize,
    chance: &mut Chance,
) -> Canvas {
    let (coarse, fine) = (chance.between(60.0, 250.0), chance.between(2.5, 9.0));
    let (clouds, grain) = (Clouds::new(coarse, chance), Clouds::new(fine, chance));
    let (base, rough) = (chance.between(0.15, 0.7), chance.between(0.02, 0.12) as f32);
    let board = if chance.bits() & 64 == 0 { chance.between(40.0, 160.0) } else { 1e9 };
    let lie = chance.between(0.0, std::f64::consts::PI).sin_cos();
    let mut grey = vec![0.0_f32; width * height];
    for y in 0..height {
        for x in 0..width {
            let (fx, fy) = (x as f32, y as f32);
            let mut v =
                base as f32 + 0.2 * clouds.at(fx, fy) * base as f32 + rough * grain.at(fx, fy);
            let across = f64::from(fx) * lie.0 + f64::from(fy) * lie.1 + 1e5;
            if across.rem_euclid(board) < 4.0 && board < 1e8 {
                v *= 0.4;
            }
            grey[y * width + x] = v.max(0.02);
        }
    }
    for _ in 0..hoses {
        lay_hose(&mut grey, width, height, chance);
    }
    let (w, h) = (width * samples, height * samples);
    let mut all = Vec::with_capacity(w * h);
    for y in 0..h {
        all.extend((0..w).map(|x| grey[y / samples * width + x / samples]));
    }
    Canvas { width, height, grey: all, depth: vec![f32::INFINITY; w * h], samples }
}

/// A round, ribbed hose with a streak of light, slightly bent.
fn lay_hose(grey: &mut [f32], width: usize, height: usize, chance: &mut Chance) {
    let (sin, cos) = chance.between(0.0, std::f64::consts::PI).sin_cos();
    let (mx, my) = (chance.between(0.0, width as f64), chance.between(0.0, height as f64));
    let half = chance.between(0.04, 0.12) * height as f64;
    let (tone, rib) = (chance.between(0.05, 0.3), chance.between(2.0, 9.0));
    let (shine, bend) = (chance.between(0.0, 0.5), chance.between(-2e-4, 2e-4));
    for y in 0..height {
        for x in 0..width {
            let (dx, dy) = (x as f64 - mx, y as f64 - my);
            let along = dx * cos + dy * sin;
            let off = (dy * cos - dx * sin + bend * along * along) / half;
            if off.abs() < 1.0 {
                let round = (1.0 - off * off).sqrt();
                let streak = shine * (-(off + 0.4).powi(2) / 0.02).exp();
                let ribs = 1.0 + 0.2 * (along / rib).sin();
                grey[y * width + x] = (tone * (0.4 + 0.6 * round) * ribs + streak) as f32;
            }
        }
    }
}

impl Canvas {
    /// The mean of each pixel's samples.
    pub fn pixels(&self) -> Vec<f32> {
        let (n, w) = (self.samples, self.width * self.samples);
        let mut pixels = vec![0.0; self.width * self.height];
        for y in 0..self.height * n {
            for x in 0..w {
                pixels[y / n * self.width + x / n] += self.grey[y * w + x];
            }
        }
        let share = 1.0 / (n * n) as f32;
        pixels.iter_mut().for_each(|v| *v *= share);
        pixels
    }
}

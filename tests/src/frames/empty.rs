//! Frames in which nothing is written: every kind of pattern that could be
//! taken for a tag.

use hosewright_core::tag::photo::Chance;
use image::GrayImage;

use super::camera::develop;
use super::recipe::Recipe;
use super::scene::{Clouds, background};

/// A frame of the kind that the seed falls on.
pub fn frame(seed: u64, chance: &mut Chance) -> GrayImage {
    let mut recipe = Recipe::of("none", 1, chance);
    recipe.tags.clear();
    recipe.noise = chance.between(1.0, 8.0);
    recipe.exposure = chance.between(60.0, 235.0);
    let mut grey = background(recipe.width, recipe.height, 1, recipe.clutter, chance).pixels();
    match seed % 8 {
        0 => {}
        1 => stripes(&mut grey, recipe.width, chance),
        2 => clouds(&mut grey, recipe.width, chance),
        3 => cells(&mut grey, recipe.width, chance, true),
        4 => cells(&mut grey, recipe.width, chance, false),
        5 => letters(&mut grey, recipe.width, chance),
        6 => rings(&mut grey, recipe.width, chance),
        _ => scrambled(&mut grey, recipe.width, chance),
    }
    develop(grey, &recipe, chance)
}

fn each(grey: &mut [f32], width: usize, mut value: impl FnMut(f64, f64) -> Option<f64>) {
    for (at, v) in grey.iter_mut().enumerate() {
        if let Some(new) = value((at % width) as f64, (at / width) as f64) {
            *v = new as f32;
        }
    }
}

/// A square window somewhere, turned: (u, v) in cells of a size.
struct Window {
    middle: (f64, f64),
    turn: (f64, f64),
    cell: f64,
    half: f64,
}

impl Window {
    fn of(cells: f64, chance: &mut Chance) -> Self {
        Self {
            middle: (chance.between(300.0, 980.0), chance.between(250.0, 470.0)),
            turn: chance.between(0.0, std::f64::consts::TAU).sin_cos(),
            cell: chance.between(4.0, 10.0),
            half: cells / 2.0,
        }
    }

    fn place(&self, x: f64, y: f64) -> Option<(f64, f64)> {
        let (x, y) = ((x - self.middle.0) / self.cell, (y - self.middle.1) / self.cell);
        let (u, v) = (x * self.turn.1 + y * self.turn.0, y * self.turn.1 - x * self.turn.0);
        (u.abs() < self.half + 4.0 && v.abs() < self.half + 4.0)
            .then_some((u + self.half, v + self.half))
    }
}

fn stripes(grey: &mut [f32], width: usize, chance: &mut Chance) {
    let (sin, cos) = chance.between(0.0, std::f64::consts::TAU).sin_cos();
    let (step, random) = (chance.between(3.0, 30.0), chance.bits());
    each(grey, width, |x, y| {
        let n = ((x * cos + y * sin + 4000.0) / step) as u64;
        let dark = (n.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ random) >> 40 & 3 < 2;
        Some(if dark { 0.1 } else { 0.85 })
    });
}

fn clouds(grey: &mut [f32], width: usize, chance: &mut Chance) {
    let size = chance.between(5.0, 40.0);
    let field = Clouds::new(size, chance);
    let hard = chance.between(1.0, 12.0);
    each(grey, width, |x, y| {
        Some((0.5 + hard * f64::from(field.at(x as f32, y as f32))).clamp(0.08, 0.9))
    });
}

fn cells(grey: &mut [f32], width: usize, chance: &mut Chance, even: bool) {
    let window = Window::of(chance.between(20.0, 60.0), chance);
    let random = chance.bits();
    each(grey, width, |x, y| {
        let (u, v) = window.place(x, y)?;
        let (i, j) = (u.floor() as i64, v.floor() as i64);
        let mixed = ((i * 73_856_093) ^ (j * 19_349_663)) as u64 ^ random;
        let chosen = mixed.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 60 & 1 == 1;
        let edge = i == 0 || j == 0;
        let dark = if even { (i + j).rem_euclid(2) == 0 } else { edge || chosen };
        Some(if dark { 0.1 } else { 0.85 })
    });
}

fn letters(grey: &mut [f32], width: usize, chance: &mut Chance) {
    let window = Window::of(80.0, chance);
    let random = chance.bits();
    each(grey, width, |x, y| {
        let (u, v) = window.place(x, y)?;
        let (column, row) = ((u / 6.0).floor() as i64, (v / 9.0).floor() as i64);
        let (i, j) = (u.rem_euclid(6.0) as i64, v.rem_euclid(9.0) as i64);
        let mixed = ((column * 31 + row * 77 + i * 5 + j * 13) as u64 ^ random)
            .wrapping_mul(0xBF58_476D_1CE4_E5B9);
        Some(if i < 5 && j < 7 && mixed >> 62 < 2 { 0.12 } else { 0.82 })
    });
}

/// Squares or circles inside each other, as on targets and other codes.
fn rings(grey: &mut [f32], width: usize, chance: &mut Chance) {
    for _ in 0..6 {
        let window = Window::of(chance.between(7.0, 16.0), chance);
        let round = chance.bits() & 64 == 0;
        each(grey, width, |x, y| {
            let (u, v) = window.place(x, y)?;
            let (u, v) = (u - window.half, v - window.half);
            let away = if round { u.hypot(v) } else { u.abs().max(v.abs()) };
            (away < window.half).then_some(if (away as i64 + 1) % 2 == 1 { 0.1 } else { 0.85 })
        });
    }
}

/// All that a symbol has, finders and timing, but chance where its text was.
fn scrambled(grey: &mut [f32], width: usize, chance: &mut Chance) {
    let n = 17 + 4 * (2 + (chance.bits() % 4) as i64);
    let window = Window::of(n as f64, chance);
    let random = chance.bits();
    each(grey, width, |x, y| {
        let (u, v) = window.place(x, y)?;
        let (i, j) = (u.floor() as i64, v.floor() as i64);
        let outside = i < 0 || j < 0 || i >= n || j >= n;
        let finder = [(0, 0), (n - 7, 0), (0, n - 7)].into_iter().find_map(|(a, b)| {
            let away = (i - a - 3).abs().max((j - b - 3).abs());
            (away <= 4).then_some(away != 2 && away != 4)
        });
        let mixed = ((i * 73_856_093) ^ (j * 19_349_663)) as u64 ^ random;
        let chosen = mixed.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 60 & 1 == 1;
        let timing = (i == 6 || j == 6).then_some((i + j) % 2 == 0);
        let dark = !outside && finder.or(timing).unwrap_or(chosen);
        Some(if dark { 0.1 } else { 0.85 })
    });
}

//! What water, light and the camera do to a frame.

use std::io::Cursor;

use hosewright_core::tag::photo::Chance;
use image::{GrayImage, ImageFormat, codecs::jpeg::JpegEncoder, imageops};

use super::recipe::Recipe;

/// A picture that is being worked on.
struct Sheet {
    width: usize,
    height: usize,
    grey: Vec<f32>,
}

/// Turns light, 1.0 for a white that is fully lit, into a frame.
pub fn develop(grey: Vec<f32>, recipe: &Recipe, chance: &mut Chance) -> GrayImage {
    let mut sheet = Sheet { width: recipe.width, height: recipe.height, grey };
    sheet.shade(recipe.shade, chance);
    let tag = recipe.tags.first();
    let middle = tag.map_or((0.0, 0.0), |tag| {
        let place = |part: f64, side: usize| (part + 0.5) * side as f64;
        (place(tag.offset.0, recipe.width), place(tag.offset.1, recipe.height))
    });
    let reach = tag.map_or(50.0, |tag| tag.module * f64::from(17 + 4 * tag.version) / 2.0);
    for _ in 0..recipe.droplets {
        sheet.droplet(middle, reach, chance);
    }
    if recipe.glare > 0.0 {
        sheet.glare(recipe.glare, middle, reach, chance);
    }
    if recipe.disc > 0.3 {
        sheet.convolve(&disc(recipe.disc));
    }
    if recipe.path > 0.3 {
        sheet.convolve(&path(recipe.path, chance.between(0.0, std::f64::consts::PI)));
    }
    sheet.soften(recipe.soft);
    let noise = |v: f32, chance: &mut Chance| {
        let light = f64::from(v) * recipe.exposure + recipe.haze;
        let spread = (recipe.noise.powi(2) + recipe.shot.powi(2) * light.max(0.0)).sqrt();
        (light + spread * chance.normal()).round().clamp(0.0, 255.0) as u8
    };
    let luma = sheet.grey.iter().map(|v| noise(*v, chance)).collect();
    let size = (recipe.width as u32, recipe.height as u32);
    let mut grey = GrayImage::from_raw(size.0, size.1, luma).unwrap_or_default();
    if recipe.mirrored {
        imageops::flip_horizontal_in_place(&mut grey);
    }
    recipe.jpeg.map_or(grey.clone(), |quality| squeezed(&grey, quality).unwrap_or(grey))
}

fn squeezed(grey: &GrayImage, quality: u8) -> Option<GrayImage> {
    let mut bytes = Cursor::new(Vec::new());
    grey.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, quality)).ok()?;
    let read = image::load_from_memory_with_format(bytes.get_ref(), ImageFormat::Jpeg).ok()?;
    Some(read.to_luma8())
}

/// Weights around a pixel: how far right, how far down, how much.
type Kernel = Vec<(isize, isize, f32)>;

fn weighed(points: impl Iterator<Item = (f64, f64)>) -> Kernel {
    let mut kernel: std::collections::BTreeMap<(isize, isize), f32> =
        std::collections::BTreeMap::new();
    let mut sum = 0.0;
    for (x, y) in points {
        // Each point is shared out among the four pixels around it.
        let (i, j) = (x.floor(), y.floor());
        for (dx, dy) in [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)] {
            let weight = (1.0 - (x - i - dx).abs()) * (1.0 - (y - j - dy).abs());
            *kernel.entry(((j + dy) as isize, (i + dx) as isize)).or_default() += weight as f32;
            sum += weight as f32;
        }
    }
    kernel.into_iter().filter(|(_, w)| *w > 0.0).map(|((y, x), w)| (x, y, w / sum)).collect()
}

fn disc(radius: f64) -> Kernel {
    let n = 12;
    let step = |i: i32| f64::from(i) / f64::from(n) * radius;
    let places = (-n..=n).flat_map(|j| (-n..=n).map(move |i| (i, j)));
    weighed(places.filter(|(i, j)| i * i + j * j <= n * n).map(|(i, j)| (step(i), step(j))))
}

fn path(length: f64, angle: f64) -> Kernel {
    let (sin, cos) = angle.sin_cos();
    weighed((-20..=20).map(|i| f64::from(i) / 40.0 * length).map(|t| (t * cos, t * sin)))
}

impl Sheet {
    fn shade(&mut self, most: f64, chance: &mut Chance) {
        let (sin, cos) = chance.between(0.0, std::f64::consts::TAU).sin_cos();
        let reach = self.width.max(self.height) as f64;
        for (at, v) in self.grey.iter_mut().enumerate() {
            let (x, y) = ((at % self.width) as f64, (at / self.width) as f64);
            *v *= (1.0 - most * (0.5 + (x * cos + y * sin) / reach / 2.0).clamp(0.0, 1.0)) as f32;
        }
    }

    fn at(&self, x: f64, y: f64) -> f32 {
        let clamp = |v: f64, n: usize| (v.max(0.0) as usize).min(n - 1);
        self.grey[clamp(y, self.height) * self.width + clamp(x, self.width)]
    }

    /// A drop of water: it turns what is under it about and carries a spark.
    fn droplet(&mut self, middle: (f64, f64), reach: f64, chance: &mut Chance) {
        let radius = reach * chance.between(0.06, 0.19);
        let angle = chance.between(0.0, std::f64::consts::TAU);
        let away = reach * chance.between(0.0, 1.0).sqrt();
        let (cx, cy) = (middle.0 + away * angle.cos(), middle.1 + away * angle.sin());
        let lens = chance.between(-0.4, 0.8);
        let spark = (cx - 0.35 * radius, cy - 0.35 * radius);
        let (bright, size) = (chance.between(0.5, 1.2), radius * chance.between(0.15, 0.4));
        let mut drop = Vec::new();
        for y in (cy - radius).max(0.0) as usize..((cy + radius).max(0.0) as usize).min(self.height)
        {
            for x in
                (cx - radius).max(0.0) as usize..((cx + radius).max(0.0) as usize).min(self.width)
            {
                let (dx, dy) = (x as f64 - cx, y as f64 - cy);
                let off = dx.hypot(dy) / radius;
                if off < 1.0 {
                    let under = self.at(cx + dx * lens, cy + dy * lens);
                    let rim = 1.0 - 0.35 * off.powi(6);
                    let glint = bright
                        * (-((x as f64 - spark.0).powi(2) + (y as f64 - spark.1).powi(2))
                            / size.powi(2))
                        .exp();
                    drop.push((y * self.width + x, under * rim as f32 + glint as f32));
                }
            }
        }
        for (at, v) in drop {
            self.grey[at] = v;
        }
    }

    /// A streak of light across the tag: its strength falls off like a bell.
    fn glare(&mut self, strength: f64, middle: (f64, f64), reach: f64, chance: &mut Chance) {
        let (sin, cos) = chance.between(0.0, std::f64::consts::PI).sin_cos();
        let off = chance.between(-0.7, 0.7) * reach;
        let (wide, long) = (reach * chance.between(0.15, 0.4), reach * chance.between(0.7, 2.0));
        for (at, v) in self.grey.iter_mut().enumerate() {
            let (x, y) = ((at % self.width) as f64 - middle.0, (at / self.width) as f64 - middle.1);
            let (a, b) = (x * cos + y * sin - off, y * cos - x * sin);
            let bell = (-(a / wide).powi(2) - (b / long).powi(2)).exp();
            *v += (1.3 * strength * bell) as f32;
        }
    }

    fn convolve(&mut self, kernel: &Kernel) {
        let (w, h) = (self.width as isize, self.height as isize);
        let mut out = vec![0.0_f32; self.grey.len()];
        for (dx, dy, weight) in kernel {
            for y in 0..h {
                let from = ((y + dy).clamp(0, h - 1) * w) as usize;
                let to = (y * w) as usize;
                let (start, end) = ((-dx).clamp(0, w) as usize, (w - dx).clamp(0, w) as usize);
                for x in 0..self.width {
                    let inside = x >= start && x < end;
                    let at = if inside { (x as isize + dx) as usize } else { x };
                    out[to + x] += weight * self.grey[from + at];
                }
            }
        }
        self.grey = out;
    }

    fn soften(&mut self, sigma: f64) {
        let reach = (3.0 * sigma).ceil() as i32;
        let bell = |i: i32| (-f64::from(i * i) / (2.0 * sigma * sigma)).exp();
        let sum: f64 = (-reach..=reach).map(bell).sum();
        let line = |down: bool| -> Kernel {
            let point = |i: i32| (i as isize, (bell(i) / sum) as f32);
            let points = (-reach..=reach).map(point);
            points.map(|(i, w)| if down { (0, i, w) } else { (i, 0, w) }).collect()
        };
        self.convolve(&line(false));
        self.convolve(&line(true));
    }
}

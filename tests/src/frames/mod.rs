//! Frames of tags as phones see them, made from seeds, for measuring readers:
//! plates and labels wrapped round hoses with true perspective and lens, and
//! what light, water, wear and cameras do to them.
//!
//! Every number is drawn again for every seed, so that nothing can be tuned to
//! one set of frames. The reader's own model is not used here: a surface is a
//! mesh that a pinhole camera with a lens sees.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    reason = "pixels, modules and grey levels are small numbers"
)]

mod camera;
mod empty;
mod label;
mod recipe;
mod scene;
mod world;

use hosewright_core::tag::photo::Chance;
use image::GrayImage;

/// Every condition: its name, and whether it belongs to the harder world.
pub const CONDITIONS: [(&str, bool); 20] = [
    ("flat", false),
    ("wrapped", false),
    ("motion", false),
    ("defocus", false),
    ("lowlight", false),
    ("glare", false),
    ("wear", false),
    ("faded", false),
    ("small", false),
    ("turned", false),
    ("boat", false),
    ("bent", true),
    ("askew", true),
    ("lens", true),
    ("jpeg", true),
    ("rolling", true),
    ("several", true),
    ("covered", true),
    ("versions", true),
    ("sizes", true),
];

/// How many severities a condition has.
pub const SEVERITIES: u32 = 5;

/// A frame, and what is written in it.
#[derive(Debug, Clone)]
pub struct Shot {
    /// The grey picture.
    pub grey: GrayImage,
    /// Its tags.
    pub written: Vec<Written>,
}

/// A tag in a frame.
#[derive(Debug, Clone)]
pub struct Written {
    /// What it says.
    pub text: String,
    /// Where its symbol's corners are, in pixels, from the upper left one on.
    pub corners: [(f64, f64); 4],
}

/// A frame of a condition at a severity from 1 to [`SEVERITIES`].
#[must_use]
pub fn shot(condition: &str, severity: u32, seed: u64) -> Shot {
    let mixed = condition.bytes().fold(seed, |h, b| h.wrapping_mul(31).wrapping_add(b.into()));
    let mut chance = Chance::new(mixed ^ u64::from(severity) << 40);
    chance.bits();
    let recipe = recipe::Recipe::of(condition, severity, &mut chance);
    let drawn = scene::render(&recipe, &mut chance);
    let grey = camera::develop(drawn.0, &recipe, &mut chance);
    Shot { grey, written: drawn.1 }
}

/// A frame without a tag: textures, stripes, letters, other codes, hoses.
#[must_use]
pub fn empty(seed: u64) -> GrayImage {
    let mut chance = Chance::new(seed ^ 0x00E3_97F1);
    chance.bits();
    empty::frame(seed, &mut chance)
}

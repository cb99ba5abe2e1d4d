//! What each condition asks for: numbers drawn from ranges that grow with the
//! severity.

use hosewright_core::tag::photo::Chance;
use qrcode::EcLevel;

use super::world::Shape;

/// How one tag is put before the camera.
#[derive(Clone)]
pub struct Tag {
    pub version: i16,
    pub level: EcLevel,
    /// Pixels a module at the tag's middle.
    pub module: f64,
    pub shape: Shape,
    pub askew: f64,
    /// Turn in the picture, tilt about the two axes, in radians.
    pub turn: f64,
    pub tilt: (f64, f64),
    /// From the frame's middle, in parts of its width and height.
    pub offset: (f64, f64),
    pub ink: f64,
    pub paper: f64,
    pub inverted: bool,
    pub wear: f64,
    pub label_gloss: f64,
}

/// A frame: its tags, and what the camera does.
pub struct Recipe {
    pub width: usize,
    pub height: usize,
    pub samples: usize,
    pub tags: Vec<Tag>,
    pub focal: f64,
    pub k1: f64,
    pub roll: (f64, f64),
    pub mirrored: bool,
    pub clutter: usize,
    /// Blur: bell curve's deviation, disc's radius, path's length, in pixels.
    pub soft: f64,
    pub disc: f64,
    pub path: f64,
    /// White paper's grey level, and the black that is added.
    pub exposure: f64,
    pub haze: f64,
    /// Noise: grey levels, and what grows with the root of the light.
    pub noise: f64,
    pub shot: f64,
    pub shade: f64,
    pub droplets: usize,
    pub glare: f64,
    pub jpeg: Option<u8>,
}

const LEVELS: [EcLevel; 4] = [EcLevel::L, EcLevel::M, EcLevel::Q, EcLevel::H];

fn either(chance: &mut Chance, size: f64) -> f64 {
    if chance.bits() & 64 == 0 { size } else { -size }
}

/// A mild tag on a plate or a wide hose.
fn mild(chance: &mut Chance) -> Tag {
    let degrees = |chance: &mut Chance, most: f64| chance.between(-most, most).to_radians();
    Tag {
        version: if chance.bits() & 64 == 0 { 3 } else { 4 },
        level: if chance.bits() & 64 == 0 { EcLevel::M } else { EcLevel::Q },
        module: chance.between(5.0, 9.0),
        shape: Shape::Plane,
        askew: 0.0,
        turn: degrees(chance, 25.0),
        tilt: (degrees(chance, 15.0), degrees(chance, 15.0)),
        offset: (chance.between(-0.2, 0.2), chance.between(-0.12, 0.12)),
        ink: chance.between(0.06, 0.16),
        paper: chance.between(0.75, 0.95),
        inverted: false,
        wear: 0.0,
        label_gloss: 0.0,
    }
}

/// The hose for a code of so many modules that covers so much of a radian to
/// each side.
fn hose(tag: &mut Tag, half: f64) {
    let modules = f64::from(17 + 4 * tag.version);
    tag.shape = Shape::Hose { radius: modules / 2.0 / half, bend: 0.0, towards: 0.0 };
}

/// A code of so many millimetres on a hose of 11 to 13, seen from near where
/// it is put, along or across the hose.
fn wrap(tag: &mut Tag, millimetres: f64, chance: &mut Chance) {
    let half = millimetres / chance.between(11.0, 13.0);
    hose(tag, half);
    let roll = (1.32 - half).clamp(0.06, 0.35);
    tag.tilt = (chance.between(-0.3, 0.3), chance.between(-roll, roll) * 0.7);
    tag.askew = f64::from(u32::try_from(chance.bits() % 4).unwrap_or(0))
        * std::f64::consts::FRAC_PI_2
        + chance.between(-0.03, 0.03);
    tag.turn = chance.between(-std::f64::consts::PI, std::f64::consts::PI);
    tag.module = chance.between(5.0, 9.0);
}

fn bend(tag: &mut Tag, curve: f64, chance: &mut Chance) {
    if let Shape::Hose { bend, towards, .. } = &mut tag.shape {
        *bend = curve;
        *towards = chance.between(0.0, std::f64::consts::TAU);
    }
}

impl Recipe {
    fn plain(chance: &mut Chance) -> Self {
        Self {
            width: 1280,
            height: 720,
            samples: 2,
            tags: vec![mild(chance)],
            focal: chance.between(0.85, 1.3),
            k1: 0.0,
            roll: (0.0, 0.0),
            mirrored: false,
            clutter: usize::try_from(2 + chance.bits() % 4).unwrap_or(2),
            soft: chance.between(0.5, 0.9),
            disc: 0.0,
            path: 0.0,
            exposure: chance.between(170.0, 235.0),
            haze: chance.between(0.0, 15.0),
            noise: chance.between(1.0, 3.0),
            shot: chance.between(0.0, 0.15),
            shade: chance.between(0.0, 0.4),
            droplets: 0,
            glare: 0.0,
            jpeg: None,
        }
    }

    /// A frame of a condition at a severity of 1 to 5.
    pub fn of(condition: &str, severity: u32, chance: &mut Chance) -> Self {
        let mut recipe = Self::plain(chance);
        let hard = f64::from(severity) - 1.0 + chance.between(0.0, 1.0);
        match condition {
            "flat" => recipe.flat(hard, chance),
            "wrapped" => {
                let wide = [6.0, 8.0, 10.0, 12.0, 14.0];
                wrap(&mut recipe.tags[0], wide[severity as usize % 6 - 1], chance);
            }
            "motion" => {
                recipe.tags[0].module = chance.between(5.0, 8.0);
                recipe.path = recipe.tags[0].module * (0.4 + 0.24 * hard);
            }
            "defocus" => {
                recipe.tags[0].module = chance.between(4.5, 7.0);
                recipe.disc = recipe.tags[0].module * (0.3 + 0.19 * hard);
            }
            "lowlight" => {
                recipe.exposure = 110.0 - 16.0 * hard;
                recipe.haze = chance.between(5.0, 25.0);
                recipe.noise = 4.0 + 1.4 * hard;
            }
            "glare" => recipe.glare(hard, chance),
            "wear" => recipe.tags[0].wear = 0.25 + 0.27 * hard,
            "faded" => {
                let tag = &mut recipe.tags[0];
                tag.ink = tag.paper * (0.42 + 0.085 * hard);
            }
            "small" => {
                recipe.samples = 3;
                recipe.tags[0].module = 6.0 - 0.8 * hard;
                recipe.soft = 0.55;
            }
            "turned" => {
                let tag = &mut recipe.tags[0];
                tag.turn = chance.between(-std::f64::consts::PI, std::f64::consts::PI);
                tag.inverted = severity > 1;
                tag.tilt = (chance.between(-0.3, 0.3), chance.between(-0.3, 0.3));
            }
            "boat" => recipe.boat(chance),
            _ => recipe.harder(condition, severity, hard, chance),
        }
        recipe
    }

    fn harder(&mut self, condition: &str, severity: u32, hard: f64, chance: &mut Chance) {
        let wide = chance.between(6.0, 11.0);
        match condition {
            "bent" => {
                wrap(&mut self.tags[0], wide, chance);
                // A module is about a 29th of the code; arcs of 40 to 10 cm.
                let module = wide / 31.0;
                bend(&mut self.tags[0], module / (400.0 - 62.0 * hard).max(100.0), chance);
            }
            "askew" => {
                wrap(&mut self.tags[0], wide, chance);
                self.tags[0].askew += either(chance, (2.0 * hard).to_radians());
            }
            "lens" => {
                wrap(&mut self.tags[0], wide, chance);
                self.k1 = if chance.bits() & 64 == 0 { -0.03 * hard } else { 0.02 * hard };
                let side = |chance: &mut Chance| chance.between(0.15, 0.27);
                let (x, y) = (side(chance), side(chance));
                self.tags[0].offset = (either(chance, x), either(chance, y));
            }
            "jpeg" => {
                if chance.bits() & 64 == 0 {
                    wrap(&mut self.tags[0], wide, chance);
                }
                self.tags[0].module = 7.5 - 0.9 * hard;
                self.jpeg = Some(60);
            }
            "rolling" => {
                if chance.bits() & 64 == 0 {
                    wrap(&mut self.tags[0], wide, chance);
                }
                let speed = 40.0 + 45.0 * hard;
                let angle = chance.between(0.0, std::f64::consts::TAU);
                self.roll = (speed * angle.cos(), speed * angle.sin());
                self.path = speed * 0.02;
            }
            "several" => self.several(severity + 1, chance),
            "covered" => {
                let covered = 10.5 + 0.85 * hard;
                wrap(&mut self.tags[0], covered, chance);
                hose(&mut self.tags[0], covered / chance.between(11.5, 12.5));
                self.tags[0].tilt.1 *= 0.5;
            }
            "versions" => self.versions(hard, chance),
            "sizes" => self.sizes(severity, chance),
            _ => {}
        }
    }

    fn flat(&mut self, hard: f64, chance: &mut Chance) {
        let tilt = (18.0 + 9.5 * hard).to_radians();
        let about = chance.between(0.0, std::f64::consts::TAU);
        let tag = &mut self.tags[0];
        tag.tilt = (tilt * about.cos(), tilt * about.sin());
        tag.turn = chance.between(-std::f64::consts::PI, std::f64::consts::PI);
        tag.module = chance.between(5.5, 9.0);
    }

    fn glare(&mut self, hard: f64, chance: &mut Chance) {
        if chance.bits() & 64 == 0 {
            self.droplets = 2 + (2.0 * hard) as usize;
        } else {
            self.glare = 0.35 + 0.2 * hard;
            self.droplets = 2;
        }
        self.exposure = chance.between(190.0, 240.0);
    }

    fn boat(&mut self, chance: &mut Chance) {
        let tag = &mut self.tags[0];
        tag.module = chance.between(4.0, 7.0);
        if chance.bits() & 64 == 0 {
            let wide = chance.between(5.0, 9.0);
            wrap(tag, wide, chance);
            tag.module = chance.between(4.5, 7.0);
        }
        tag.wear = chance.between(0.0, 0.5);
        tag.ink = chance.between(0.1, 0.3);
        self.path = chance.between(0.0, 2.0);
        self.exposure = chance.between(90.0, 220.0);
        self.noise = chance.between(2.0, 6.0);
        self.shade = chance.between(0.1, 0.6);
        self.droplets = usize::try_from(chance.bits() % 3).unwrap_or(0);
        self.clutter = 5;
    }

    fn several(&mut self, count: u32, chance: &mut Chance) {
        let columns = if count > 2 { 3 } else { 2 };
        let rows = count.div_ceil(columns);
        self.tags = (0..count)
            .map(|at| {
                let mut tag = mild(chance);
                tag.version = 2 + (chance.bits() % 2) as i16;
                tag.level = EcLevel::M;
                if chance.bits() & 64 == 0 {
                    let wide = chance.between(5.0, 9.0);
                    wrap(&mut tag, wide, chance);
                    tag.turn = either(chance, std::f64::consts::FRAC_PI_2)
                        + chance.between(-0.15, 0.15)
                        - tag.askew;
                }
                tag.module = chance.between(4.0, 6.0);
                let place = |at: u32, of: u32| (f64::from(at) + 0.5) / f64::from(of) - 0.5;
                tag.offset = (place(at % columns, columns), place(at / columns, rows) * 0.95);
                tag
            })
            .collect();
    }

    fn versions(&mut self, hard: f64, chance: &mut Chance) {
        let tag = &mut self.tags[0];
        tag.version = (1.0 + 2.0 * hard + chance.between(0.0, 1.0)).clamp(1.0, 10.0) as i16;
        tag.level = LEVELS[(chance.bits() % 4) as usize];
        let modules = f64::from(17 + 4 * tag.version);
        if chance.bits() & 64 == 0 {
            let wide = chance.between(6.0, 10.0);
            wrap(tag, wide, chance);
        }
        tag.module = chance.between(4.0, 9.0).min(480.0 / modules);
        self.mirrored = chance.bits() & 64 == 0;
        self.tags[0].inverted = chance.bits() % 64 < 16;
    }

    fn sizes(&mut self, severity: u32, chance: &mut Chance) {
        let large = severity % 2 == 1;
        (self.width, self.height) = if large { (1920, 1080) } else { (640, 480) };
        let wide = chance.between(6.0, 10.0);
        wrap(&mut self.tags[0], wide, chance);
        self.tags[0].module =
            if large { chance.between(5.0, 14.0) } else { chance.between(3.5, 7.0) };
    }
}

//! Pictures of tags under many named conditions, made from seeds: nothing is
//! stored, and every run sees the same ones.

use std::io::Cursor;

use hosewright_core::hose::Specification;
use hosewright_core::measure::{HoseLength, PartialDate};
use hosewright_core::tag::photo::{Chance, Conditions, empty_scene, photograph};
use hosewright_core::tag::{Code, DrawError, Level, Passport, Payload, PrinterDpi, TagSize, draw};
use image::{GrayImage, ImageFormat};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

/// How a tag is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// Near, sharp, evenly lit.
    Plainly,
    /// From the side, up to 35°.
    Tilted,
    /// Turned by any angle.
    Turned,
    /// With most of the light on one side.
    Shaded,
    /// Not quite in focus.
    Blurred,
    /// In low light.
    Noisily,
    /// With pale ink.
    Faded,
    /// Far away, 3 to 4 pixels a module.
    Small,
    /// Saved as JPEG at quality 60.
    Squeezed,
    /// A little of everything.
    Mixed,
}

impl Seen {
    /// Every condition.
    pub const ALL: [Self; 10] = [
        Self::Plainly,
        Self::Tilted,
        Self::Turned,
        Self::Shaded,
        Self::Blurred,
        Self::Noisily,
        Self::Faded,
        Self::Small,
        Self::Squeezed,
        Self::Mixed,
    ];

    /// Conditions of this kind.
    #[must_use]
    pub fn conditions(self, seed: u64) -> Conditions {
        let mut chance = Chance::new(seed ^ 0x7A67_5A67);
        let mild = Conditions {
            module: chance.between(6.0, 10.0),
            turn: chance.between(-15.0, 15.0),
            tilt: (chance.between(-12.0, 12.0), chance.between(-12.0, 12.0)),
            offset: (chance.between(-150.0, 150.0), chance.between(-60.0, 60.0)),
            shade: chance.between(0.0, 0.3),
            blur: chance.between(0.5, 1.0),
            noise: chance.between(1.0, 4.0),
            seed,
            ..Conditions::default()
        };
        let mut side = |least: f64, most: f64| {
            let size = chance.between(least, most);
            if chance.bits().is_multiple_of(2) { size } else { -size }
        };
        match self {
            Self::Plainly | Self::Squeezed => mild,
            Self::Tilted => Conditions { tilt: (side(20.0, 35.0), side(10.0, 25.0)), ..mild },
            Self::Turned => Conditions { turn: side(15.0, 180.0), ..mild },
            Self::Shaded => Conditions { shade: chance.between(0.6, 0.85), ..mild },
            Self::Blurred => Conditions { blur: chance.between(1.4, 2.2), ..mild },
            Self::Noisily => Conditions { noise: chance.between(10.0, 18.0), ..mild },
            Self::Faded => Conditions { ink: (130.0, 200.0), ..mild },
            Self::Small => Conditions { module: chance.between(3.0, 4.0), ..mild },
            Self::Mixed => Conditions {
                turn: side(0.0, 180.0),
                tilt: (side(5.0, 20.0), side(5.0, 20.0)),
                shade: 0.5,
                blur: 1.2,
                noise: 8.0,
                ink: (70.0, 215.0),
                ..mild
            },
        }
    }
}

/// A payload of a seed, with a passport.
#[must_use]
pub fn payload(seed: u64) -> Payload {
    let code = Code::draw(&mut ChaCha8Rng::seed_from_u64(seed));
    Payload { code, passport: passport(seed) }
}

fn passport(seed: u64) -> Option<Passport> {
    let specification = Specification::new(
        "second-stage".parse().ok()?,
        "braided".parse().ok()?,
        HoseLength::parse(&format!("{} cm", 50 + seed % 160)).ok()?,
        "3/8-24".parse().ok()?,
        "9/16-18".parse().ok()?,
        false,
    );
    let born = PartialDate::parse(&format!("{}", 2015 + seed % 10)).ok();
    Some(Passport::of(&specification.ok()?, born, true, None))
}

/// A tag of a seed as a PNG or JPEG file, and what is written on it.
///
/// # Errors
/// [`DrawError`]; not to be expected.
pub fn picture(seen: Seen, seed: u64) -> Result<(Vec<u8>, String), DrawError> {
    let payload = payload(seed);
    let plan = draw::plan(TagSize::default(), PrinterDpi::default(), Level::Q, payload)?;
    let photo = photograph(&plan, &seen.conditions(seed));
    Ok((file(&photo, seen == Seen::Squeezed)?, payload.text()))
}

/// A scene of a seed without a tag as a PNG file.
///
/// # Errors
/// [`DrawError`]; not to be expected.
pub fn without_tag(seen: Seen, seed: u64) -> Result<Vec<u8>, DrawError> {
    file(&empty_scene(&seen.conditions(seed)), false)
}

fn file(photo: &GrayImage, squeezed: bool) -> Result<Vec<u8>, DrawError> {
    let mut bytes = Cursor::new(Vec::new());
    let written = if squeezed {
        photo.write_with_encoder(image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 60))
    } else {
        photo.write_to(&mut bytes, ImageFormat::Png)
    };
    written.map_err(std::io::Error::other)?;
    Ok(bytes.into_inner())
}

/// A picture of a QR symbol that says something, drawn flat.
///
/// # Panics
/// If the text is longer than a symbol holds.
#[must_use]
#[allow(clippy::expect_used, reason = "a harness for tests")]
pub fn symbol(text: &str) -> GrayImage {
    const MODULE: u32 = 8;
    const QUIET: u32 = 4;
    let code = qrcode::QrCode::new(text.as_bytes()).expect("a symbol");
    let modules = code.to_colors();
    let wide = u32::try_from(code.width()).unwrap_or_default();
    let side = (wide + 2 * QUIET) * MODULE;
    GrayImage::from_fn(side, side, |x, y| {
        let inside = |v: u32| (v / MODULE).checked_sub(QUIET).filter(|v| *v < wide);
        let at = inside(x).zip(inside(y)).map(|(x, y)| y * wide + x);
        let module = at.and_then(|at| modules.get(usize::try_from(at).ok()?));
        image::Luma([module.map_or(255, |module| module.select(0, 255))])
    })
}

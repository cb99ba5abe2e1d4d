//! A film as another device's camera sees it: pictures of 1280 × 720, 30 a second, whose rows
//! are read one after the other while the screen goes from one frame to the next, in a hand that
//! moves. Time is the film's, counted in pictures; nothing here depends on the machine.

use hosewright_core::journal::{Film, Seen, Viewer};
use hosewright_core::tag::photo::{Chance, Conditions, Rows, photograph_screen};
use hosewright_core::tag::{Frame, Reader};

/// The camera's pictures a second.
pub const PICTURES: f64 = 30.0;
/// How long it takes from its first row to its last, and how long each row sees light, in
/// seconds: what phones do indoors.
const READ: f64 = 0.020;
const LIGHT: f64 = 0.010;

/// How a film is shown and seen.
#[derive(Debug, Clone, Copy)]
pub struct Sight {
    /// Frames that the screen shows in a second.
    pub rate: f64,
    /// Pixels a module: how near the camera is.
    pub module: f64,
    /// The standard deviation of the blur, in pixels.
    pub blur: f64,
    /// The share of pictures that are lost: a hand before it, a camera that looks for its focus.
    pub lost: f64,
    /// What all chance comes from.
    pub seed: u64,
}

/// What came of it.
#[derive(Debug)]
pub struct Watched {
    /// How long the film was seen, until it was whole or no longer.
    pub seconds: f64,
    /// The pictures in which a frame was read, of those that were not lost.
    pub read: u32,
    /// Those that were not lost.
    pub taken: u32,
    /// Frames that were accepted and never shown: none, or something is very wrong.
    pub wrong: u32,
    /// What was seen.
    pub viewer: Viewer,
}

/// Watches a film until it is whole, for so many seconds at most.
#[must_use]
pub fn watch(film: &Film, sight: &Sight, most: f64) -> Watched {
    let mut chance = Chance::new(sight.seed);
    // The screen and the camera don't begin together, and their clocks don't go alike.
    let start = chance.between(0.0, 1.0 / sight.rate);
    let clock = chance.between(0.996, 1.004);
    let from = chance.bits() % 1_000;
    let mut reader = Reader::new();
    let mut watched = Watched { seconds: 0.0, read: 0, taken: 0, wrong: 0, viewer: Viewer::new() };
    for picture in 0_u32.. {
        let at = f64::from(picture) / PICTURES;
        watched.seconds = at + READ + LIGHT;
        if watched.seconds > most || watched.viewer.content().is_ok() {
            break;
        }
        let light = chance.between(0.0, 1.0);
        if light < sight.lost {
            continue;
        }
        watched.taken += 1;
        // The frame that the first row sees first, and how long until the next.
        let shown = (start + at * clock) * sight.rate;
        let next = (shown.ceil() - shown) / sight.rate;
        let number = from + whole(shown);
        let symbols = [number, number + 1].map(|number| film.symbol(number));
        let [Ok(first), Ok(second)] = &symbols else { continue };
        let second_share = |down: f64| (down * READ + LIGHT - next) / LIGHT;
        let hand = Hand::at(at, sight.seed);
        let rows = Rows { second: &second_share, roll: hand.roll };
        let conditions = Conditions {
            module: sight.module,
            turn: hand.turn,
            tilt: hand.tilt,
            offset: hand.offset,
            blur: sight.blur,
            seed: chance.bits(),
            ..Conditions::default()
        };
        let grey = photograph_screen([first, second], &rows, &conditions);
        let Ok(frame) = Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width()) else {
            continue;
        };
        let found = reader.read(&frame);
        watched.read += u32::from(!found.is_empty());
        for found in found {
            let seen = watched.viewer.see(&found.bytes);
            let shown = [number, number + 1].iter().any(|n| film.frame(*n) == found.bytes);
            let accepted = matches!(seen, Seen::New | Seen::Last | Seen::Known);
            watched.wrong += u32::from((accepted && !shown) || seen == Seen::Wrong);
        }
    }
    watched
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small number")]
fn whole(value: f64) -> u64 {
    value as u64
}

/// Where a hand holds the camera.
struct Hand {
    turn: f64,
    tilt: (f64, f64),
    offset: (f64, f64),
    roll: (f64, f64),
}

impl Hand {
    /// It sways and trembles, each by a swing of its own.
    fn at(seconds: f64, seed: u64) -> Self {
        let mut chance = Chance::new(seed ^ 0x00AD);
        let mut swing = |most: f64, a_second: f64| {
            let begin = chance.between(0.0, std::f64::consts::TAU);
            let turns = chance.between(0.7, 1.3) * a_second * std::f64::consts::TAU;
            let (sin, cos) = (begin + turns * seconds).sin_cos();
            // Where it is, and how far it moves while a picture is read.
            (most * sin, most * cos * turns * READ)
        };
        let (x, y) = (swing(14.0, 0.5), swing(10.0, 0.4));
        let (tremble_x, tremble_y) = (swing(2.0, 4.0), swing(2.0, 5.0));
        let (turn, right, down) = (swing(3.0, 0.3), swing(4.0, 0.4), swing(4.0, 0.3));
        Self {
            turn: 4.0 + turn.0,
            tilt: (9.0 + right.0, -7.0 + down.0),
            offset: (x.0 + tremble_x.0, y.0 + tremble_y.0),
            roll: (x.1 + tremble_x.1, y.1 + tremble_y.1),
        }
    }
}

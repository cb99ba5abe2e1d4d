//! What is said where two devices meet by sight: one shows a film, the other's camera reads it.

use super::counted;
use crate::journal::{Film, FilmPace, Seen, Viewed};
use crate::tag::Obstacle;

/// What it is called.
pub const TITLE: &str = "Meet by sight";
/// What it is.
pub const LEAD: &str = "Two devices meet without a network: one shows a film of squares, the \
    other's camera reads it.";
/// The order of it.
pub const STEPS: [&str; 3] = [
    "The other device shows what it has. Watch it with this camera; then show it the rest.",
    "The other device watches this screen until its film is whole.",
    "Then it shows what is missing here, and this camera watches.",
];
/// Where a film is watched.
pub const WATCH: &str = "Watch the other screen";
/// Where the whole record is shown.
pub const SHOW_ALL: &str = "Show everything";
/// Where the rest is shown.
pub const SHOW_REST: &str = "Show it what it lacks";
/// Where a device shows what it has.
pub const HOLDS: &str = "Show what is here";
/// What that is.
pub const HOLDS_LEAD: &str = "Which entries are here, without the entries themselves. The other \
    device watches this first, and then shows only the rest.";
/// Over a film that is shown.
pub const SHOWN: &str = "A film for the other camera";
/// Before it begins.
pub const FLICKER: &str = "The film flickers. Turn the screen away from anybody whom flickering \
    light makes ill, or choose the calm pace, which changes twice a second.";
/// Where the device asks for less movement.
pub const CALM: &str =
    "This device asks for less movement, so the film goes calmly: 2 pictures a second.";
/// Begins it.
pub const START: &str = "Start the film";
/// Ends it for now.
pub const PAUSE: &str = "Pause";
/// Asks how it goes.
pub const PACE: &str = "How it is shown";
/// Changes how it goes.
pub const CHANGE: &str = "Show it so";
/// How it is held.
pub const HOLD: &str = "Bright screen, whole square in the picture, as near as it is sharp. It \
    goes on until you stop it, and the other device says when it has all.";
/// The same as a picture.
pub const AS_PICTURE: &str = "As a picture that moves";
/// Why one would want that.
pub const AS_PICTURE_LEAD: &str = "A file that any browser shows, over and over; “Import” takes \
    it too.";
/// Over a film that is watched.
pub const WATCHED: &str = "Watch a film";
/// How it is done.
pub const WATCHED_LEAD: &str = "Hold the camera so that the whole square is in the picture and \
    sharp. Any part of the film will do, in any order.";
/// Turns the camera on.
pub const LOOK: &str = "Turn the camera on";
/// Turns it off.
pub const STOP: &str = "Stop, and go on later";
/// Said where there is no camera to be had.
pub const NO_CAMERA: &str = "The camera isn't available. Browsers give it to a page of this very \
    computer, or of an address that they trust. Bring the film as a picture instead, or a bundle.";
/// While nothing was seen.
pub const LOOKING: &str = "Nothing seen yet. Show the whole square to the camera.";
/// Once all was seen.
pub const WHOLE: &str = "The film is whole. It is being taken in.";
/// The same, where the person is asked about it first.
pub const SEEN: &str = "The film is whole.";
/// Forgets what was half seen.
pub const FORGET: &str = "Forget what was half seen";
/// Once that is done.
pub const FORGOTTEN: &str = "Nothing half seen is kept any more.";
/// While another film than the one that was begun is in view.
pub const OTHER: &str = "The screen shows another film.";
/// Where a film is of a later program.
pub const LATER: &str =
    "A later Hosewright shows this film. Update this program, then watch again.";
/// Where all parts made up something else than was filmed.
pub const WRONG: &str = "What was seen does not fit together. It is watched from the start.";
/// Where it cannot be taken in.
pub const NOT_WHOLE: &str = "the film is not whole yet; go on watching it";
/// Once another device has shown what it has.
pub const HELD_SEEN: &str = "What the other device has is known here now. Show it what it lacks.";
/// Where a film had nothing new.
pub const NOTHING_NEW: &str = "The film had nothing that was not here. Now show the other device \
    what it lacks, if it lacks anything.";

/// A pace in words.
#[must_use]
pub const fn pace(pace: FilmPace) -> &'static str {
    match pace {
        FilmPace::Usual => "As usual: 15 pictures a second",
        FilmPace::Far => "For a camera further away, or an older one: larger squares, 12 a second",
        FilmPace::Calm => "Calm: 2 pictures a second, for anybody whom flickering disturbs",
    }
}

/// What a film has, and how long it takes at a pace if nothing is missed.
#[must_use]
pub fn film(entries: u64, film: &Film, pace: FilmPace) -> String {
    let what = match entries {
        0 => "Which entries are here".to_owned(),
        1 => "1 entry".to_owned(),
        entries => format!("{entries} entries"),
    };
    format!("{what}: {} at least.", long(film.parts(), pace))
}

/// How long so many frames are.
fn long(frames: u32, pace: FilmPace) -> String {
    let seconds = i64::from(frames.div_ceil(pace.rate().into()).max(1));
    match seconds {
        ..=90 => counted(seconds, "second"),
        more => counted((more + 59) / 60, "minute"),
    }
}

/// How far a film was seen.
#[must_use]
pub fn viewed(viewed: &Viewed) -> String {
    match viewed.needed {
        0 => LOOKING.to_owned(),
        needed => {
            format!("{} of {needed} parts seen, {} %.", viewed.had, percent(viewed))
        }
    }
}

/// How much of a film was seen, rounded down: 100 only once it is whole.
fn percent(viewed: &Viewed) -> u64 {
    let all = 100 * u64::from(viewed.had) / u64::from(viewed.needed.max(1));
    all.min(if viewed.had >= viewed.needed { 100 } else { 99 })
}

/// A film that was left half seen.
#[must_use]
pub fn left(half: &Viewed) -> String {
    format!(
        "A film is half seen: {} of {} parts. Watch it again to go on; it has to be the same film, \
         of the same day and record.",
        half.had, half.needed
    )
}

/// What a frame was that did not bring the film on, if that is worth a word.
#[must_use]
pub const fn seen(seen: Seen) -> Option<&'static str> {
    match seen {
        Seen::OtherFilm => Some(OTHER),
        Seen::Later => Some(LATER),
        Seen::Wrong => Some(WRONG),
        Seen::New | Seen::Known | Seen::Last | Seen::NoFrame => None,
    }
}

/// What can be done about a square that shows itself and cannot be read.
#[must_use]
pub const fn hint(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::CutOff => "Show the whole square.",
        Obstacle::TooFar => "Go nearer.",
        Obstacle::TooDark => "Turn the screen brighter.",
        Obstacle::Glare => "Turn the screen out of the glare.",
        Obstacle::OutOfFocus => "Hold still, or go back a little until it is sharp.",
    }
}

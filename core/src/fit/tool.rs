//! Which spanner takes this nut, which key this socket, and which ones only
//! seem to.
//!
//! The rule. A spanner **fits** where it goes on at the narrowest opening that
//! its standard allows, and where its widest leaves no more play than it may
//! have on the smallest nut of its own size. If two sizes pass, the one fits of whose
//! own size such a nut can be (15.9 mm is a nut of 16 mm, and more than any of 5/8 in),
//! or else, and of two such, the one whose nominal size is nearest to the measure; the
//! other is a near miss. So is any other size within 0.6 mm (a key: 0.36 mm). A key is
//! judged in the same way, from inside: it must go in at its thickest, and at its
//! thinnest have no more play than in the widest socket of its own size.

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::{micrometer, millimeter};

use super::{FitError, as_millimetres, in_mm, within};
use crate::measure::parse_length;

mod sizes;

/// Spanners whose nominal size is nearer than this to the measure, in mm, are
/// mistaken for the right one: enough for the smallest good nut of the next
/// size. Common practice, no source.
const NEAR_A_NUT: f64 = 0.6;
/// The same for keys, whose sizes lie closer together.
const NEAR_A_SOCKET: f64 = 0.36;

/// A nut measured across its flats: 9.5 to 27.1 mm, the sizes in the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nut(Length);

impl Nut {
    /// Reads a measure across flats: `14mm`, `9/16in`.
    ///
    /// # Errors
    /// [`FitError::Measure`] if it is not a length, or outside of the table.
    pub fn parse(typed: &str) -> Result<Self, FitError> {
        let words = ("9.5 mm", "27.1 mm");
        let length = parse_length(typed)?;
        Ok(Self(within(length, typed, "measure across a nut's flats", (9.5, 27.1), words)?))
    }
}

/// A hexagon socket measured across its flats: 1.9 to 10.3 mm, the sizes in
/// the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Socket(Length);

impl Socket {
    /// Reads a measure across flats: `4mm`, `5/32in`.
    ///
    /// # Errors
    /// [`FitError::Measure`] if it is not a length, or outside of the table.
    pub fn parse(typed: &str) -> Result<Self, FitError> {
        let words = ("1.9 mm", "10.3 mm");
        let length = parse_length(typed)?;
        Ok(Self(within(length, typed, "measure across a socket's flats", (1.9, 10.3), words)?))
    }
}

/// A tool that fits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fit {
    /// Its nominal size: `14 mm`, `9/16 in`.
    pub size: &'static str,
    /// The least play that it may have here.
    #[serde(rename = "play_mm", serialize_with = "as_millimetres")]
    pub play: Length,
    /// The most play that it may have here.
    #[serde(skip)]
    pub most_play: Length,
    /// The same for people.
    #[serde(skip)]
    pub words: String,
}

/// A tool that could be taken for the right one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NearMiss {
    /// Its nominal size: `14 mm`, `9/16 in`.
    pub size: &'static str,
    /// The least play that it may have here; below nothing it does not go on.
    #[serde(rename = "play_mm", serialize_with = "as_millimetres")]
    pub play: Length,
    /// The most play that it may have here.
    #[serde(skip)]
    pub most_play: Length,
    /// What becomes of it.
    #[serde(skip)]
    pub kind: Miss,
    /// The same for people.
    pub words: String,
}

/// What becomes of a tool that is nearly the right one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Miss {
    /// Too small, whatever its tolerance.
    DoesNotGo,
    /// Too small, but for one at the easy end of its tolerance.
    HardlyGoes,
    /// It goes, and has more play than it may have at its own size.
    Rounds,
    /// It goes, and has no more play than it may have at its own size.
    NearlyTheSame,
}

/// Which tools fit, and which only seem to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tools {
    /// What fits; nothing if the measure is of no size in the table.
    pub fits: Vec<Fit>,
    /// What could be taken for it, the nearest nominal size first.
    pub near_misses: Vec<NearMiss>,
}

impl Tools {
    /// What to say where nothing fits.
    #[must_use]
    pub fn nothing_fits(&self) -> Option<&'static str> {
        self.fits.is_empty().then_some(
            "No size in the table fits: measure again across the flats, not the corners; a rounded nut or socket measures short.",
        )
    }
}

/// What to say beside every answer about spanners.
pub const SPANNER_CAUTIONS: &[&str] = &[
    "Use a fixed spanner, not an adjustable one: the jaws of an adjustable one give, and round the nut.",
    "Seat it flat on the nut, all the way, before any force goes on.",
    "The play of metric spanners, and the smallest nuts of most sizes, are from memory, unconfirmed.",
];

/// What to say beside every answer about hexagon keys.
pub const KEY_CAUTIONS: &[&str] = &[
    "Port plugs come in metric and in inch sizes: try the key for play before any force goes on.",
    "Clean the socket and seat the key to the bottom of it.",
    "The widest sockets are from memory, unconfirmed.",
];

/// A tool's size as it meets a measure: how far its nominal size is from it,
/// the least and the most play here, the most that it may have at its own
/// size; all in millimetres.
struct Meeting {
    size: &'static str,
    off: f64,
    least: f64,
    most: f64,
    allowed: f64,
    /// Whether what is measured can be of its size.
    own: bool,
}

impl Meeting {
    fn miss(&self) -> Miss {
        if self.most < 0.0 {
            Miss::DoesNotGo
        } else if self.least < 0.0 {
            Miss::HardlyGoes
        } else if self.most > self.allowed {
            Miss::Rounds
        } else {
            Miss::NearlyTheSame
        }
    }
}

/// The spanners for a nut.
#[must_use]
pub fn spanner(nut: &Nut) -> Tools {
    let meetings = sizes::spanners().into_iter().map(|s| Meeting {
        size: s.name,
        off: apart(nut.0, s.nominal),
        least: clean((s.opening.least - nut.0).get::<millimeter>()),
        most: clean((s.opening.most - nut.0).get::<millimeter>()),
        allowed: clean((s.opening.most - s.own_nut_least).get::<millimeter>()),
        own: nut.0 >= s.own_nut_least && clean((s.nominal - nut.0).get::<millimeter>()) >= 0.0,
    });
    sort_out(meetings.filter(|m| m.off <= NEAR_A_NUT).collect(), spanner_words)
}

/// The keys for a hexagon socket.
#[must_use]
pub fn key(socket: &Socket) -> Tools {
    let meetings = sizes::keys().into_iter().map(|k| Meeting {
        size: k.name,
        off: apart(socket.0, k.nominal),
        least: clean((socket.0 - k.thickness.most).get::<millimeter>()),
        most: clean((socket.0 - k.thickness.least).get::<millimeter>()),
        allowed: clean((k.own_socket_most - k.thickness.least).get::<millimeter>()),
        own: socket.0 <= k.own_socket_most
            && clean((socket.0 - k.nominal).get::<millimeter>()) >= 0.0,
    });
    sort_out(meetings.filter(|m| m.off <= NEAR_A_SOCKET).collect(), key_words)
}

fn apart(one: Length, other: Length) -> f64 {
    clean((one - other).abs().get::<millimeter>())
}

/// To a millionth of a millimetre: what binary fractions add decides nothing.
fn clean(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

fn sort_out(mut near: Vec<Meeting>, words: fn(Miss, &str, Length, Length) -> String) -> Tools {
    near.sort_by(|a, b| a.off.total_cmp(&b.off));
    let same = |m: &Meeting| m.miss() == Miss::NearlyTheSame;
    let best = near.iter().position(|m| same(m) && m.own).or_else(|| near.iter().position(same));
    let mut tools = Tools { fits: Vec::new(), near_misses: Vec::new() };
    for (place, m) in near.into_iter().enumerate() {
        let play = Length::new::<millimeter>(m.least);
        let most_play = Length::new::<millimeter>(m.most);
        if Some(place) == best {
            let words = fit_words(m.size, play, most_play);
            tools.fits.push(Fit { size: m.size, play, most_play, words });
            continue;
        }
        let kind = m.miss();
        let words = words(kind, m.size, play, most_play);
        tools.near_misses.push(NearMiss { size: m.size, play, most_play, kind, words });
    }
    tools
}

fn fit_words(size: &str, least: Length, most: Length) -> String {
    format!("{size} fits, with {} to {} of play", in_mm(least), in_mm(most))
}

fn spanner_words(kind: Miss, size: &str, least: Length, most: Length) -> String {
    match kind {
        Miss::DoesNotGo => format!("a {size} spanner does not go on: it lacks {}", in_mm(-most)),
        Miss::HardlyGoes => format!(
            "a {size} spanner does not go on, or only just, and may lack {}: do not force it",
            lack(least)
        ),
        Miss::Rounds => format!(
            "a {size} spanner goes on with {} to {} of play and rounds the nut: do not use it",
            in_mm(least),
            in_mm(most)
        ),
        Miss::NearlyTheSame => format!(
            "a {size} spanner is nearly the same, with {} to {} of play: prefer the right one",
            in_mm(least),
            in_mm(most)
        ),
    }
}

fn key_words(kind: Miss, size: &str, least: Length, most: Length) -> String {
    match kind {
        Miss::DoesNotGo => {
            format!("a {size} key does not go in: it is {} too thick", in_mm(-most))
        }
        Miss::HardlyGoes => format!(
            "a {size} key does not go in, or only just, and may be {} too thick: do not force it",
            lack(least)
        ),
        Miss::Rounds => format!(
            "a {size} key goes in with {} to {} of play and rounds the socket: do not use it",
            in_mm(least),
            in_mm(most)
        ),
        Miss::NearlyTheSame => format!(
            "a {size} key is nearly the same, with {} to {} of play: prefer the right one",
            in_mm(least),
            in_mm(most)
        ),
    }
}

/// What is lacking, to a thousandth where a hundredth would say nothing.
fn lack(least: Length) -> String {
    format!("{:.0} µm", -least.get::<micrometer>())
}

#[cfg(test)]
mod tests;

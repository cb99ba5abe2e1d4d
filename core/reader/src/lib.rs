//! Reads what is written in a picture: QR symbols and makers' barcodes. A grey frame or a
//! picture file comes in, texts and their places go out. It knows nothing of hoses, and it is a
//! crate of its own so that its work on pixels is optimised where the rest is not.
//!
//! Behind it are readers of our own for QR symbols on plates and round hoses and
//! for barcodes, and a general one for Data Matrix. The effort is a count of
//! tries, never a time, so the same picture always gives the same answer.

mod attempt;
mod bars;
mod bent;
mod binary;
mod bits;
mod corners;
mod dark;
mod decode;
mod finder;
mod fit;
mod frame;
mod galois;
mod glimpse;
mod layout;
mod level;
mod matrix;
mod memory;
mod numbers;
mod pair;
#[cfg(feature = "photo")]
pub mod photo;
mod picture;
mod plane;
mod pose;
mod register;
mod sample;
mod scan;
mod search;
mod segments;
mod solve;
mod triple;
mod view;

use self::matrix::Lines;
use self::search::{Budget, Search, Symbol};
use self::view::{Halved, View};

pub use decode::Counts;
pub use frame::{Found, Frame, FrameError};
pub use glimpse::{Glimpse, Obstacle};
pub use picture::{MOST_PIXELS, PictureError, decode_picture};

/// Reads every distinct text in a frame: on QR symbols and in makers' barcodes.
#[must_use]
pub fn read_frame(frame: &Frame<'_>, counts: Counts) -> Vec<Found> {
    frame.view().map(|view| read_once(&view, VIDEO, counts)).unwrap_or_default()
}

fn read_once(view: &View<'_>, budget: Budget, counts: Counts) -> Vec<Found> {
    let mut reader = Reader::new(counts);
    reader.look(view, budget, false);
    let mut found = reader.into_found();
    add_barcodes(view, budget.lines, &mut found, counts);
    if found.is_empty() { look_closer(view, budget, counts) } else { found }
}

/// Looks for QR symbols in a tiny view as if it were larger.
fn look_closer(view: &View<'_>, budget: Budget, counts: Counts) -> Vec<Found> {
    let Some((luma, width, height)) = view::enlarged(view) else { return Vec::new() };
    let Some(larger) = View::new(&luma, width, height, width) else { return Vec::new() };
    let mut reader = Reader::new(counts);
    reader.look(&larger, budget, false);
    let mut found = reader.into_found();
    let [larger, quiet] = [view::LARGER, view::QUIET].map(|n| numbers::short(numbers::real(n)));
    for (x, y) in found.iter_mut().flat_map(|found| &mut found.corners) {
        [x, y].into_iter().for_each(|v| *v = (*v + 0.5) / larger - 0.5 - quiet);
    }
    found
}

/// Reads every distinct text in a PNG or JPEG file, told by its content: on QR
/// symbols and in makers' barcodes.
///
/// # Errors
/// [`PictureError`] if it is empty, no such picture, too large or damaged.
pub fn read_picture(bytes: &[u8], counts: Counts) -> Result<Vec<Found>, PictureError> {
    let grey = picture::decode(bytes)?;
    let sizes = [grey.width, grey.height].map(|n| usize::try_from(n).unwrap_or(0));
    let view = View::new(&grey.luma, sizes[0], sizes[1], sizes[0]);
    Ok(view.map(|view| read_once(&view, STILL, counts)).unwrap_or_default())
}

/// Reads QR symbols in the frames of a film, one after the other. It keeps its
/// rooms, and looks first where the frame before had a symbol, so that a frame
/// costs little and, after the first, allocates only if a new text comes.
///
/// The same frames in the same order always read alike. Makers' barcodes are
/// for [`read_barcodes`].
pub struct Reader {
    search: Search,
    halved: Halved,
    /// The first `count` of them are of this frame.
    found: Vec<Found>,
    count: usize,
}

impl Reader {
    /// A reader that has seen nothing yet.
    #[must_use]
    pub fn new(counts: Counts) -> Self {
        let (halved, found) = (Halved::default(), Vec::new());
        Self { search: Search::new(counts), halved, found, count: 0 }
    }

    /// Reads every distinct text on QR symbols in the next frame.
    pub fn read(&mut self, frame: &Frame<'_>) -> &[Found] {
        self.count = 0;
        while self.found.len() < TOGETHER {
            self.found.push(blank());
        }
        if let Some(view) = frame.view() {
            self.look(&view, VIDEO, true);
        }
        self.found.get(..self.count).unwrap_or_default()
    }

    /// A symbol that shows itself in the frame that was read last, where none could be read: what
    /// stands in the way, and where. None if it is not sure that there is one, or that anything
    /// known is the matter.
    pub fn glimpse(&mut self, frame: &Frame<'_>) -> Option<Glimpse> {
        let view = frame.view()?;
        let smaller = self.halved.fill(&view);
        let view = self.halved.view().unwrap_or(view);
        Some(self.search.glimpse(&view)?.enlarged(smaller))
    }

    /// Forgets what the frame before showed, as where another film begins: the
    /// next frame reads as [`read_frame`] would read its QR symbols.
    pub fn forget(&mut self) {
        self.search.forget();
    }

    fn into_found(mut self) -> Vec<Found> {
        self.found.truncate(self.count);
        self.found
    }

    fn look(&mut self, view: &View<'_>, budget: Budget, follow: bool) {
        let mut halved = std::mem::take(&mut self.halved);
        let smaller = halved.fill(view);
        let Self { search, found, count, .. } = self;
        let take = |symbol: &Symbol<'_>| keep(symbol, smaller, found, count);
        let view = halved.view().unwrap_or(*view);
        if follow {
            search.read_next(&view, budget, take);
        } else {
            search.read(&view, budget, take);
        }
        self.halved = halved;
    }
}

/// As many texts as a frame of a film has room for from the first on.
const TOGETHER: usize = 16;

/// Room for what version 10 holds at most, which is 652 digits, and its corners: a longer text
/// makes its own.
fn blank() -> Found {
    let text = String::with_capacity(700);
    Found { text, bytes: Vec::with_capacity(700), corners: Vec::with_capacity(4) }
}

/// Keeps what was read of a frame that was made so many times smaller; a text
/// that is there already is left out.
fn keep(symbol: &Symbol<'_>, smaller: f64, found: &mut Vec<Found>, count: &mut usize) {
    let content = symbol.content;
    if found.iter().take(*count).any(|f| f.text == content.text && f.bytes == content.bytes) {
        return;
    }
    if found.len() <= *count {
        found.push(blank());
    }
    let Some(slot) = found.get_mut(*count) else { return };
    *count += 1;
    slot.text.clear();
    slot.text.push_str(&content.text);
    slot.bytes.clear();
    slot.bytes.extend_from_slice(&content.bytes);
    slot.corners.clear();
    let whole = |v: f64| numbers::short((v + 0.5) * smaller - 0.5);
    slot.corners.extend(symbol.corners.map(|(x, y)| (whole(x), whole(y))));
}

/// Reads the makers' codes in a frame: barcodes and Data Matrix, and no QR symbol.
#[must_use]
pub fn read_barcodes(frame: &Frame<'_>, counts: Counts) -> Vec<Found> {
    let mut found = Vec::new();
    if let Some(view) = frame.view() {
        add_barcodes(&view, VIDEO.lines, &mut found, counts);
    }
    found
}

fn add_barcodes(view: &View<'_>, lines: Lines, found: &mut Vec<Found>, counts: Counts) {
    for barcode in bars::barcodes(view).into_iter().chain(matrix::matrix(view, lines)) {
        let known = found.iter().any(|f| f.text == barcode.text);
        if !known && decode::is_sound(&barcode.text, counts) {
            found.push(barcode);
        }
    }
}

/// What a frame of a film may cost, and what a photo may that is taken once.
const VIDEO: Budget = Budget { triples: 8, pairs: 4, lines: Lines::Middle };
const STILL: Budget = Budget { triples: 24, pairs: 12, lines: Lines::All };

#[cfg(test)]
mod tests;

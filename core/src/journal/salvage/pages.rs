//! The pages of a file and of the write-ahead log beside it.

use std::collections::BTreeMap;
use std::io::{self, Read, Seek, SeekFrom};

use crate::file::{LOG_MAGIC, Reader, Source};
use crate::journal::store::PAGE;

/// The header of a write-ahead log, and of each frame in it.
const LOG_HEADER: usize = 32;
const FRAME_HEADER: usize = 24;

/// Where a page is.
#[derive(Debug, Clone, Copy)]
enum Place {
    File(u64),
    Log(u64),
}

/// The pages of a damaged file, as they were last committed and as they were
/// before.
pub(super) struct Pages {
    file: Box<dyn Reader>,
    /// The write-ahead log beside it, and its length.
    log: Option<(Box<dyn Reader>, u64)>,
    size: usize,
    places: Vec<Place>,
    /// The newest committed place of each page that is in the log.
    newest: BTreeMap<u32, u64>,
}

impl Pages {
    /// Opens a damaged file, with the log beside it if there is one.
    pub(super) fn open(damaged: &dyn Source, log: &dyn Source) -> io::Result<Self> {
        let (mut file, length) = (damaged.open()?, damaged.length()?);
        let mut header = [0; 18];
        let _ = file.read(&mut header)?;
        let size = page_size(&header);
        let pages = length.div_ceil(size as u64);
        let log = log.open().and_then(|reader| Ok((reader, log.length()?))).ok();
        let places = (0..pages).map(|page| Place::File(page * size as u64)).collect();
        let mut all = Self { file, log, size, places, newest: BTreeMap::new() };
        all.read_log()?;
        Ok(all)
    }

    /// How many images of pages there are.
    pub(super) fn count(&self) -> usize {
        self.places.len()
    }

    /// The bytes of an image of a page, 0 if the file was cut off; nothing
    /// if the system cannot read it.
    pub(super) fn image(&mut self, at: usize) -> Option<Vec<u8>> {
        let place = *self.places.get(at)?;
        self.read(place)
    }

    /// The bytes of the page of a number, counted from 1, as last committed.
    pub(super) fn page(&mut self, number: u32) -> Option<Vec<u8>> {
        let before = u64::from(number.checked_sub(1)?);
        let in_file = Place::File(before * self.size as u64);
        self.read(self.newest.get(&number).map_or(in_file, |at| Place::Log(*at)))
    }

    fn read(&mut self, place: Place) -> Option<Vec<u8>> {
        let (file, at) = match place {
            Place::File(at) => (&mut self.file, at),
            Place::Log(at) => (&mut self.log.as_mut()?.0, at),
        };
        let mut bytes = Vec::with_capacity(self.size);
        file.seek(SeekFrom::Start(at)).ok()?;
        file.take(self.size as u64).read_to_end(&mut bytes).ok()?;
        bytes.resize(self.size, 0);
        Some(bytes)
    }

    /// The frames of the log up to the last commit. Their checksums run on from
    /// frame to frame, so one spoilt byte would cost all that follow: the hash
    /// of each entry decides instead.
    fn read_log(&mut self) -> io::Result<()> {
        let Some((log, length)) = &mut self.log else { return Ok(()) };
        let step = (FRAME_HEADER + self.size) as u64;
        let frames = length.saturating_sub(LOG_HEADER as u64) / step;
        let mut head = [0; LOG_HEADER];
        let headed = log.read_exact(&mut head).is_ok() && LOG_MAGIC.contains(&number(&head, 0));
        let mut salt = headed.then(|| (number(&head, 16), number(&head, 20)));
        let mut open = Vec::new();
        for frame in 0..frames {
            let at = LOG_HEADER as u64 + frame * step;
            let mut header = [0; FRAME_HEADER];
            log.seek(SeekFrom::Start(at))?;
            if log.read_exact(&mut header).is_err() {
                continue;
            }
            // What follows with another salt is of an earlier round of the log.
            let own = (number(&header, 8), number(&header, 12));
            if *salt.get_or_insert(own) != own {
                continue;
            }
            open.push((number(&header, 0), at + FRAME_HEADER as u64));
            if number(&header, 4) != 0 {
                for (page, at) in open.drain(..) {
                    self.places.push(Place::Log(at));
                    self.newest.insert(page, at);
                }
            }
        }
        Ok(())
    }
}

fn page_size(header: &[u8; 18]) -> usize {
    let [.., high, low] = *header;
    match usize::from(u16::from_be_bytes([high, low])) {
        1 => 65_536,
        size if size.is_power_of_two() && size >= 512 => size,
        // The header is lost: that of every file that this program made.
        _ => usize::from(PAGE),
    }
}

fn number(bytes: &[u8], at: usize) -> u32 {
    let four = bytes.get(at..at + 4).and_then(|four| four.try_into().ok());
    four.map_or(0, u32::from_be_bytes)
}

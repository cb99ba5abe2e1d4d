//! Data words to text and bytes (ISO/IEC 18004, 7.4): segments one after the
//! other, each in its mode, and what fills up the words behind them.

use encoding_rs::{Encoding, GB18030, SHIFT_JIS, UTF_8};

/// What a symbol says.
#[derive(Default)]
pub struct Content {
    /// As text.
    pub text: String,
    /// As bytes: those of byte segments as they are, digits and letters in ASCII,
    /// kanji in Shift JIS.
    pub bytes: Vec<u8>,
}

/// A segment: what it is in, how many characters it has and where these begin.
#[derive(Clone, Copy)]
struct Segment {
    mode: Mode,
    count: usize,
    start: usize,
}

#[derive(Clone, Copy, PartialEq)]
enum Mode {
    Digits,
    Letters,
    Bytes,
    Kanji,
    Hanzi,
    /// How what follows is encoded.
    Encoded,
    /// One of several symbols that belong together.
    Part,
    /// GS1's first function character, or another maker's.
    Function,
}

impl Segment {
    /// Where its last bit ends.
    fn end(&self) -> usize {
        let n = self.count;
        self.start
            + match self.mode {
                Mode::Digits => n / 3 * 10 + [0, 4, 7][n % 3],
                Mode::Letters => n / 2 * 11 + n % 2 * 6,
                Mode::Bytes => 8 * n,
                Mode::Kanji | Mode::Hanzi => 13 * n,
                Mode::Encoded | Mode::Part | Mode::Function => n,
            }
    }
}

/// The segments of data words, and where they end.
struct Segments<'a> {
    data: &'a [u8],
    version: usize,
    at: usize,
    good: bool,
}

impl<'a> Segments<'a> {
    fn new(data: &'a [u8], version: usize) -> Self {
        Self { data, version, at: 0, good: true }
    }

    /// The next segment (tables 2 and 3); none at the terminator, at the end of
    /// the words, and, with `good` false, where something else is.
    fn segment(&mut self) -> Option<Segment> {
        let mode = bits(self.data, self.at, 4)?;
        let size = usize::from(self.version >= 10) + usize::from(self.version >= 27);
        // Bits before the count, and bits of the count.
        let (mode, before, wide) = match mode {
            0 => return None,
            1 => (Mode::Digits, 4, [10, 12, 14][size]),
            2 => (Mode::Letters, 4, [9, 11, 13][size]),
            3 => (Mode::Part, 4, 0),
            4 => (Mode::Bytes, 4, [8, 16, 16][size]),
            5 => (Mode::Function, 4, 0),
            7 => (Mode::Encoded, 4, 0),
            8 => (Mode::Kanji, 4, [8, 10, 12][size]),
            9 => (Mode::Function, 4, 0),
            13 => (Mode::Hanzi, 8, [8, 10, 12][size]),
            _ => {
                self.good = false;
                return None;
            }
        };
        let start = self.at + before + wide;
        let count = match mode {
            Mode::Part => Some(16),
            // The second function character has a maker's number behind it.
            Mode::Function => Some(if bits(self.data, self.at, 4) == Some(9) { 8 } else { 0 }),
            // One to three bytes, as the first bits say.
            Mode::Encoded => match bits(self.data, start, 3) {
                Some(0..=3) => Some(8),
                Some(4 | 5) => Some(16),
                Some(6) => Some(24),
                _ => None,
            },
            _ => bits(self.data, self.at + before, wide),
        };
        let segment = count.map(|count| Segment { mode, count, start });
        let segment = segment.filter(|s| s.end() <= 8 * self.data.len());
        self.good = segment.is_some();
        self.at = segment?.end();
        segment
    }
}

/// How much what follows the segments proves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Behind {
    /// It is the standard's: a terminator of zeros, and 11101100 and 00010001 by
    /// turns (7.4.9 and 7.4.10).
    Standard,
    /// Something else: some writers fill up with zeros, or with nothing at all.
    Other,
}

/// What follows the segments; none if they are no segments.
pub fn behind(data: &[u8], version: usize) -> Option<Behind> {
    let mut segments = Segments::new(data, version);
    while segments.segment().is_some() {}
    if !segments.good {
        return None;
    }
    let end = segments.at;
    let whole = (end + 4).min(8 * data.len()).div_ceil(8);
    let zero = (end..8 * whole).all(|at| bits(data, at, 1) == Some(0));
    let pads = data.get(whole..).unwrap_or_default();
    let standard = zero && pads.iter().zip([0xEC, 0x11].iter().cycle()).all(|(a, b)| a == b);
    Some(if standard { Behind::Standard } else { Behind::Other })
}

fn bits(data: &[u8], at: usize, count: usize) -> Option<usize> {
    (at..at + count).try_fold(0, |sum, at| {
        let byte = data.get(at / 8)?;
        Some(sum << 1 | usize::from(byte >> (7 - at % 8) & 1))
    })
}

const LETTERS: &[u8; 45] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
/// Between the fields of a GS1 text.
const GROUP: u8 = 0x1D;

/// What data words say, or none.
pub fn content(data: &[u8], version: usize) -> Option<Content> {
    let mut segments = Segments::new(data, version);
    let kanji = std::iter::from_fn(|| segments.segment()).any(|s| s.mode == Mode::Kanji);
    let mut segments = Segments::new(data, version);
    let mut content = Content::default();
    let mut writer = Writer { kanji, ..Writer::default() };
    while let Some(segment) = segments.segment() {
        match segment.mode {
            Mode::Digits => digits(data, segment, &mut writer)?,
            Mode::Letters => letters(data, segment, &mut writer)?,
            Mode::Bytes => {
                let all = (0..segment.count).map(|n| bits(data, segment.start + 8 * n, 8));
                for byte in all {
                    writer.of_bytes.push(u8::try_from(byte?).ok()?);
                }
            }
            Mode::Kanji | Mode::Hanzi => {
                writer.flush(&mut content);
                doubles(data, segment, &mut content)?;
            }
            Mode::Encoded => {
                writer.flush(&mut content);
                let wide = segment.count;
                let number = bits(data, segment.start, wide)?;
                writer.encoding = Some(number & [0x7F, 0x3FFF, 0x001F_FFFF][wide / 8 - 1]);
            }
            Mode::Function => writer.is_gs1 = true,
            Mode::Part => {}
        }
    }
    writer.flush(&mut content);
    segments.good.then_some(content)
}

/// Bytes that are not text yet: what they are encoded in may only show in all of
/// them.
#[derive(Default)]
struct Writer {
    of_bytes: Vec<u8>,
    /// The number of an encoding that was named (ECI).
    encoding: Option<usize>,
    /// Whether there are kanji among the segments.
    kanji: bool,
    is_gs1: bool,
}

impl Writer {
    fn flush(&mut self, content: &mut Content) {
        let bytes = std::mem::take(&mut self.of_bytes);
        match self.encoding {
            Some(number) => decode(number, &bytes, &mut content.text),
            None => guess(&bytes, self.kanji, &mut content.text),
        }
        content.bytes.extend_from_slice(&bytes);
    }
}

fn digits(data: &[u8], segment: Segment, writer: &mut Writer) -> Option<()> {
    let (mut at, mut left) = (segment.start, segment.count);
    while left > 0 {
        let n = left.min(3);
        let wide = [4, 7, 10][n - 1];
        let value = bits(data, at, wide)?;
        // Three digits are below a thousand.
        let least = [1, 10, 100][n - 1];
        if value >= 10 * least {
            return None;
        }
        for power in [100, 10, 1].into_iter().filter(|power| *power <= least) {
            writer.of_bytes.push(b'0' + u8::try_from(value / power % 10).ok()?);
        }
        (at, left) = (at + wide, left - n);
    }
    Some(())
}

fn letters(data: &[u8], segment: Segment, writer: &mut Writer) -> Option<()> {
    let begun = writer.of_bytes.len();
    let (mut at, mut left) = (segment.start, segment.count);
    while left > 0 {
        if left >= 2 {
            let value = bits(data, at, 11)?;
            writer.of_bytes.push(*LETTERS.get(value / 45)?);
            writer.of_bytes.push(*LETTERS.get(value % 45)?);
            (at, left) = (at + 11, left - 2);
        } else {
            writer.of_bytes.push(*LETTERS.get(bits(data, at, 6)?)?);
            (at, left) = (at + 6, 0);
        }
    }
    if writer.is_gs1 {
        // A per cent sign ends a field, and two of them are one (7.4.8.2).
        let said = writer.of_bytes.split_off(begun);
        let mut rest = said.iter().peekable();
        while let Some(byte) = rest.next() {
            let field = *byte == b'%' && rest.next_if_eq(&&b'%').is_none();
            writer.of_bytes.push(if field { GROUP } else { *byte });
        }
    }
    Some(())
}

/// Characters of thirteen bits: kanji (7.4.6) as Shift JIS, hanzi (GB/T 18284) as
/// GB 2312.
fn doubles(data: &[u8], segment: Segment, content: &mut Content) -> Option<()> {
    let begun = content.bytes.len();
    for n in 0..segment.count {
        let value = bits(data, segment.start + 13 * n, 13)?;
        let pair = if segment.mode == Mode::Kanji {
            let pair = 256 * (value / 0xC0) + value % 0xC0;
            pair + if pair < 0x1F00 { 0x8140 } else { 0xC140 }
        } else {
            let pair = 256 * (value / 0x60) + value % 0x60;
            pair + if pair < 0x0A00 { 0xA1A1 } else { 0xA6A1 }
        };
        content.bytes.extend_from_slice(&u16::try_from(pair).ok()?.to_be_bytes());
    }
    let encoding = if segment.mode == Mode::Kanji { SHIFT_JIS } else { GB18030 };
    let (text, bad) = encoding.decode_without_bom_handling(content.bytes.get(begun..)?);
    content.text.push_str(&text);
    (!bad).then_some(())
}

/// Adds bytes as an encoding's number has them (AIM's assignments): an unknown
/// one is guessed.
fn decode(number: usize, bytes: &[u8], text: &mut String) {
    // ISO/IEC 8859, parts 1 to 16; the first two numbers are old names.
    let label: &[u8] = match number {
        0 | 2 => b"ibm437",
        1 | 3 | 27 | 170 => return latin(bytes, text),
        4 => b"iso-8859-2",
        5 => b"iso-8859-3",
        6 => b"iso-8859-4",
        7 => b"iso-8859-5",
        8 => b"iso-8859-6",
        9 => b"iso-8859-7",
        10 => b"iso-8859-8",
        11 => b"windows-1254",
        12 => b"iso-8859-10",
        13 => b"windows-874",
        15 => b"iso-8859-13",
        16 => b"iso-8859-14",
        17 => b"iso-8859-15",
        18 => b"iso-8859-16",
        20 => b"shift_jis",
        21 => b"windows-1250",
        22 => b"windows-1251",
        23 => b"windows-1252",
        24 => b"windows-1256",
        25 => b"utf-16be",
        26 => b"utf-8",
        28 => b"big5",
        29 | 31 | 32 => b"gb18030",
        30 => b"euc-kr",
        33 => b"utf-16le",
        // Bytes, and no text.
        899 => return latin(bytes, text),
        _ => return guess(bytes, false, text),
    };
    match Encoding::for_label(label) {
        Some(encoding) => text.push_str(&encoding.decode_without_bom_handling(bytes).0),
        None => guess(bytes, false, text),
    }
}

/// Each byte as the character of its number: ISO/IEC 8859-1.
fn latin(bytes: &[u8], text: &mut String) {
    text.extend(bytes.iter().map(|byte| char::from(*byte)));
}

/// Adds bytes of which nothing says what they are: UTF-8 if they are that, Shift
/// JIS if they look like Japanese or stand among kanji, or else ISO/IEC 8859-1, the
/// standard's own.
fn guess(bytes: &[u8], kanji: bool, text: &mut String) {
    let without_mark = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if let Some(read) = UTF_8.decode_without_bom_handling_and_without_replacement(without_mark) {
        return text.push_str(&read);
    }
    let japanese = SHIFT_JIS.decode_without_bom_handling_and_without_replacement(bytes);
    match japanese.filter(|read| kanji || is_japanese(read)) {
        Some(read) => text.push_str(&read),
        None => latin(bytes, text),
    }
}

/// Whether a text has kana and kanji of the common rows and little else that is not
/// ASCII, or several narrow kana together.
fn is_japanese(text: &str) -> bool {
    let wide = |c: char| matches!(c, '\u{3000}'..='\u{30FF}' | '\u{4E00}'..='\u{9FFF}');
    let narrow = |c: char| matches!(c, '\u{FF61}'..='\u{FF9F}');
    let odd = text.chars().filter(|c| !c.is_ascii() && !wide(*c) && !narrow(*c)).count();
    let wides = text.chars().filter(|c| wide(*c)).count();
    let together = text.split(|c| !narrow(c)).map(|part| part.chars().count()).max();
    odd * 4 <= wides && (wides >= 2 || together >= Some(4))
}

#[cfg(test)]
#[path = "segments_tests.rs"]
mod tests;

//! The compound file round an old workbook, looked over before a reader sees it.
//!
//! The reader follows chains of sectors without looking for circles, and makes room for as many cells as a
//! sheet states and for every cell between the first and the last; each of these can end the process, so
//! each is checked here.
//! The container is described in \[MS-CFB\], the records in \[MS-XLS\].

use std::collections::BTreeMap;
use std::io::{self, Read as _};

use restrand_kit::{LoadError, Part, PartReader};

use crate::biff;
use crate::refusal::Refusal;

/// The first bytes of every compound file.
pub(crate) const SIGNATURE: &[u8] = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1";

/// The sector number that ends a chain.
const END_OF_CHAIN: u32 = 0xffff_fffe;
/// From here on numbers mean no sector.
const RESERVED: u32 = 0xffff_fffa;
/// Streams shorter than this live in the stream of small sectors.
const SMALL_STREAM: u64 = 4096;
const SMALL_SECTOR: u64 = 64;

/// The container cannot be followed.
#[derive(Debug, thiserror::Error)]
enum Broken {
    #[error("its container is cut short")]
    Short,
    #[error("its container runs in a circle")]
    Circle,
    #[error("its container is of an unknown make")]
    Unknown,
    #[error(transparent)]
    Medium(#[from] std::io::Error),
}

struct Entry {
    name: String,
    start: u32,
    length: u64,
}

struct Compound<'a> {
    part: &'a dyn Part,
    sector: u64,
    next: Vec<u32>,
    entries: Vec<Entry>,
    small_next: Vec<u32>,
}

pub(crate) fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(bytes.get(at..at + 2)?.try_into().ok()?))
}

pub(crate) fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

fn u64_at(bytes: &[u8], at: usize) -> Option<u64> {
    Some(u64::from_le_bytes(bytes.get(at..at + 8)?.try_into().ok()?))
}

fn numbers(bytes: &[u8]) -> impl Iterator<Item = u32> {
    bytes.chunks_exact(4).map(|four| u32::from_le_bytes([four[0], four[1], four[2], four[3]]))
}

impl<'a> Compound<'a> {
    fn open(part: &'a dyn Part) -> Result<Self, Broken> {
        let mut header = [0; 512];
        if crate::probe::read_head(part, &mut header)? < header.len() {
            return Err(Broken::Short);
        }
        let at16 = |at| u16_at(&header, at).ok_or(Broken::Short);
        let at32 = |at| u32_at(&header, at).ok_or(Broken::Short);
        let sector = match at16(30)? {
            9 => 512,
            12 => 4096,
            _ => return Err(Broken::Unknown),
        };
        let mut compound =
            Self { part, sector, next: Vec::new(), entries: Vec::new(), small_next: Vec::new() };

        // The list of the sectors that hold the table of chains: some in the header, then a chain of its own.
        let mut tables: Vec<u32> = numbers(&header[76..]).collect();
        let mut list = at32(68)?;
        let mut steps = 0;
        while list < RESERVED {
            let bytes = compound.sector(list)?;
            tables.extend(numbers(&bytes));
            list = tables.pop().ok_or(Broken::Short)?;
            steps += 1;
            if steps > compound.sectors() {
                return Err(Broken::Circle);
            }
        }
        let tables: Vec<u32> = tables.into_iter().filter(|sector| *sector < RESERVED).collect();
        if tables.len() as u64 > compound.sectors() {
            return Err(Broken::Circle);
        }
        for table in tables {
            let bytes = compound.sector(table)?;
            compound.next.extend(numbers(&bytes));
        }

        let directory = compound.chain(at32(48)?, u64::MAX)?;
        for entry in directory.chunks_exact(128) {
            let letters: Vec<u16> = entry[..64]
                .chunks_exact(2)
                .map(|two| u16::from_le_bytes([two[0], two[1]]))
                .take_while(|letter| *letter != 0)
                .collect();
            let length =
                if sector == 512 { u32_at(entry, 120).map(u64::from) } else { u64_at(entry, 120) };
            compound.entries.push(Entry {
                name: String::from_utf16_lossy(&letters),
                start: u32_at(entry, 116).ok_or(Broken::Short)?,
                length: length.ok_or(Broken::Short)?,
            });
        }
        let small_sectors = u64::from(at32(64)?);
        if small_sectors > 0 {
            let bytes = compound.chain(at32(60)?, small_sectors * sector)?;
            compound.small_next = numbers(&bytes).collect();
        }
        Ok(compound)
    }

    /// Sectors that the part has room for.
    fn sectors(&self) -> u64 {
        self.part.len() / self.sector + 1
    }

    /// The bytes of a sector; the last one may be cut.
    fn sector(&self, number: u32) -> Result<Vec<u8>, Broken> {
        let mut bytes = vec![0; usize::try_from(self.sector).unwrap_or(4096)];
        let start = (u64::from(number) + 1) * self.sector;
        let mut filled = 0;
        while filled < bytes.len() {
            let count = self.part.read_at(start + filled as u64, &mut bytes[filled..])?;
            if count == 0 {
                break;
            }
            filled += count;
        }
        if filled == 0 {
            return Err(Broken::Short);
        }
        bytes.truncate(filled);
        Ok(bytes)
    }

    /// The bytes of a chain of sectors, at most `length`.
    fn chain(&self, start: u32, length: u64) -> Result<Vec<u8>, Broken> {
        let mut bytes = Vec::new();
        let mut sector = start;
        let mut steps = 0;
        while sector != END_OF_CHAIN && (bytes.len() as u64) < length {
            bytes.extend(self.sector(sector)?);
            sector = *self.next.get(sector as usize).ok_or(Broken::Short)?;
            steps += 1;
            if steps > self.sectors() {
                return Err(Broken::Circle);
            }
        }
        bytes.truncate(usize::try_from(length).unwrap_or(usize::MAX));
        Ok(bytes)
    }

    fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.name.eq_ignore_ascii_case(name))
    }

    fn workbook(&self) -> Option<&Entry> {
        self.entry("Workbook").or_else(|| self.entry("Book"))
    }

    fn is_encrypted(&self) -> bool {
        self.entry("EncryptedPackage").is_some()
    }

    /// The stream of small sectors, which the first entry of the directory describes.
    fn small_stream(&self) -> Result<Vec<u8>, Broken> {
        match self.entries.first() {
            Some(root) if !self.small_next.is_empty() => self.chain(root.start, root.length),
            _ => Ok(Vec::new()),
        }
    }

    fn stream(&self, entry: &Entry) -> Result<Vec<u8>, Broken> {
        // Read even where it is not needed, as the reader of workbooks follows it too.
        let small = self.small_stream()?;
        if entry.length >= SMALL_STREAM {
            return self.chain(entry.start, entry.length);
        }
        let mut bytes = Vec::new();
        let mut sector = entry.start;
        while sector != END_OF_CHAIN && (bytes.len() as u64) < entry.length {
            let start = u64::from(sector) * SMALL_SECTOR;
            let start = usize::try_from(start).map_err(|_| Broken::Short)?;
            let piece = small.get(start..).ok_or(Broken::Short)?;
            let piece = &piece[..piece.len().min(64)];
            if piece.is_empty() {
                return Err(Broken::Short);
            }
            bytes.extend(piece);
            sector = *self.small_next.get(sector as usize).ok_or(Broken::Short)?;
        }
        bytes.truncate(usize::try_from(entry.length).unwrap_or(usize::MAX));
        Ok(bytes)
    }
}

/// Whether a compound file holds a workbook; an encrypted one may.
pub(crate) fn is_workbook(part: &dyn Part) -> bool {
    Compound::open(part).is_ok_and(|compound| compound.workbook().is_some())
}

/// The stream of the workbook in a compound file, if it can be followed.
pub(crate) fn workbook_stream(part: &dyn Part) -> Option<Vec<u8>> {
    let compound = Compound::open(part).ok()?;
    compound.stream(compound.workbook()?).ok()
}

/// Whether the beginning of a container has an entry of this name, wherever its directory is.
fn names(part: &dyn Part, name: &str) -> io::Result<bool> {
    /// Bytes that are looked at: the directory of a small container, and of most large ones.
    const LOOKED_AT: u64 = 1 << 20;
    let mut beginning = Vec::new();
    PartReader::new(part).take(LOOKED_AT).read_to_end(&mut beginning)?;
    let name: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
    Ok(beginning.windows(name.len()).any(|window| window == name))
}

/// Refuses what the reader could not bear.
pub(crate) fn look_over(part: &dyn Part, refusal: &Refusal<'_>) -> Result<(), LoadError> {
    let broken = |broken: Broken| match broken {
        Broken::Medium(error) => error.into(),
        other => refusal.damaged(other),
    };
    let compound = match Compound::open(part) {
        Ok(compound) => compound,
        // A damaged container still tells by its names what it was for.
        Err(Broken::Medium(error)) => return Err(error.into()),
        Err(_) if names(part, "EncryptedPackage")? => return Err(refusal.encrypted()),
        Err(other) => return Err(broken(other)),
    };
    if compound.is_encrypted() {
        return Err(refusal.encrypted());
    }
    let Some(entry) = compound.workbook() else {
        let other = if compound.entry("WordDocument").is_some() {
            "this is not a workbook but a text document"
        } else if compound.entry("PowerPoint Document").is_some() {
            "this is not a workbook but a presentation"
        } else {
            "this is a compound file without a workbook in it"
        };
        return Err(refusal.error(other, "name a workbook with the schedule"));
    };
    let stream = compound.stream(entry).map_err(broken)?;
    check_records(&stream, refusal)
}

/// Cells between the first and the last of all sheets that are always bearable: a full old sheet of sixty
/// columns.
const SPREAD: u64 = 4_000_000;

/// The records of the workbook, in the order of the stream.
pub(crate) struct Records<'a> {
    pub(crate) stream: &'a [u8],
}

impl<'a> Iterator for Records<'a> {
    type Item = (u16, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let kind = u16_at(self.stream, 0)?;
        let length = usize::from(u16_at(self.stream, 2)?);
        let data = self.stream.get(4..4 + length)?;
        self.stream = &self.stream[4 + length..];
        Some((kind, data))
    }
}

/// How far the cells of a sheet reach.
#[derive(Default)]
struct Reach {
    rows: Option<(u16, u16)>,
    columns: Option<(u16, u16)>,
    count: u64,
}

impl Reach {
    fn take(&mut self, row: u16, first: u16, last: u16) {
        fn widen(range: &mut Option<(u16, u16)>, low: u16, high: u16) {
            let (from, to) = range.unwrap_or((low, high));
            *range = Some((from.min(low), to.max(high)));
        }
        widen(&mut self.rows, row, row);
        widen(&mut self.columns, first, last);
        self.count += 1 + u64::from(last.saturating_sub(first));
    }

    fn spread(&self) -> u64 {
        let length =
            |range: Option<(u16, u16)>| range.map_or(0, |(from, to)| u64::from(to - from) + 1);
        length(self.rows) * length(self.columns)
    }
}

fn check_records(stream: &[u8], refusal: &Refusal<'_>) -> Result<(), LoadError> {
    // Where the sheets begin; two names may share a place.
    let mut places: BTreeMap<usize, u64> = BTreeMap::new();
    for (number, data) in (Records { stream }) {
        match number {
            biff::FILE_PASS => return Err(refusal.encrypted()),
            biff::SHEET => {
                if let Some(place) = u32_at(data, 0) {
                    *places.entry(place as usize).or_default() += 1;
                }
            }
            biff::END => break,
            _ => {}
        }
    }
    let (mut stated, mut spread, mut count) = (0_u64, 0_u64, 0_u64);
    for (place, times) in places {
        let Some(sheet) = stream.get(place..) else { continue };
        let mut reach = Reach::default();
        // Substreams of charts end too; their cells are counted with the sheet's, which does no harm.
        let mut depth = 0_u32;
        for (number, data) in (Records { stream: sheet }) {
            match number {
                biff::BEGIN => depth += 1,
                biff::END => {
                    depth = depth.saturating_sub(1);
                    if depth == 0 {
                        break;
                    }
                }
                biff::DIMENSIONS => {
                    stated = stated.saturating_add(times.saturating_mul(stated_cells(data)))
                }
                biff::NUMBERS => {
                    if let (Some(row), Some(first), Some(last)) = (
                        u16_at(data, 0),
                        u16_at(data, 2),
                        data.len().checked_sub(2).and_then(|at| u16_at(data, at)),
                    ) {
                        // The reader counts columns by the record's length.
                        let held = u16::try_from(data.len() / 6).unwrap_or(u16::MAX);
                        reach.take(row, first, last.max(first.saturating_add(held)));
                    }
                }
                one if biff::OF_ONE_CELL.contains(&one) => {
                    if let (Some(row), Some(column)) = (u16_at(data, 0), u16_at(data, 2)) {
                        reach.take(row, column, column);
                    }
                }
                _ => {}
            }
        }
        spread = spread.saturating_add(times.saturating_mul(reach.spread()));
        count = count.saturating_add(times.saturating_mul(reach.count));
    }
    let bearable = SPREAD + 2 * count;
    if spread > bearable || stated > bearable.max(64 * SPREAD) {
        return Err(refusal.error(
            "its sheets reach over many more cells than hold something",
            "delete the empty rows and columns behind the schedule, and save it as .xlsx",
        ));
    }
    Ok(())
}

/// The cells that a sheet says it has, counted as the reader counts them.
fn stated_cells(data: &[u8]) -> u64 {
    let small = |at| u16_at(data, at).map_or(0, u64::from);
    let large = |at| u32_at(data, at).map_or(0, u64::from);
    let (first, last, left, right) = if data.len() == 10 {
        (small(0), small(2), small(4), small(6))
    } else {
        (large(0), large(4), small(8), small(10))
    };
    let left = if left > 0xff || right < left { 0 } else { left };
    // A reader that subtracts the wrong way round gets a huge number.
    if last > 0 && right > 0 && (last <= first || right <= left) {
        return if last == first || right == left { 0 } else { u64::MAX };
    }
    (last.saturating_sub(first)).saturating_mul(right.saturating_sub(left))
}

//! Rows hour by hour, kept open, or folded into columns of which what is alike stands once.
//!
//! Years of hours take much room, and most of it is the same again: options that dry the same nuts in the same air
//! differ in what their heat takes alone, and much is nothing for months. Folded, the numbers of a column over a few days
//! are one block, of which only the bits that differ are written down, and blocks that are alike are one, whichever
//! column, option or year they are of. Unfolded they are what they were, to the bit.

use chrono::{DateTime, NaiveDateTime};
use std::borrow::Cow;
use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

/// Rows in a block: fewer take more pointers, more are less often alike.
const ROWS: usize = 48;

/// A column through so many rows, as bits; after the last row of a series nothing but zeros.
type Block = [u64; ROWS];

/// A number, or several in their order, as 64 bits each.
pub trait Cells: Copy {
    /// Gives its numbers one after the other.
    fn put(&self, into: &mut impl FnMut(u64));
    /// Takes as many as it gives.
    fn take(from: &mut impl FnMut() -> u64) -> Self;
}

/// A row whose fields are all listed, or else it does not compile.
macro_rules! cells {
    ($row:ident { $($field:ident),* $(,)? }) => {
        impl $crate::ledger::Cells for $row {
            fn put(&self, into: &mut impl FnMut(u64)) {
                let Self { $($field),* } = self;
                $($crate::ledger::Cells::put($field, into);)*
            }

            fn take(from: &mut impl FnMut() -> u64) -> Self {
                Self { $($field: $crate::ledger::Cells::take(from)),* }
            }
        }
    };
}
pub(super) use cells;

impl Cells for f64 {
    fn put(&self, into: &mut impl FnMut(u64)) {
        into(self.to_bits());
    }

    fn take(from: &mut impl FnMut() -> u64) -> Self {
        Self::from_bits(from())
    }
}

impl Cells for u32 {
    fn put(&self, into: &mut impl FnMut(u64)) {
        into(u64::from(*self));
    }

    fn take(from: &mut impl FnMut() -> u64) -> Self {
        Self::try_from(from()).unwrap_or(Self::MAX)
    }
}

impl Cells for bool {
    fn put(&self, into: &mut impl FnMut(u64)) {
        into(u64::from(*self));
    }

    fn take(from: &mut impl FnMut() -> u64) -> Self {
        from() != 0
    }
}

/// A number that may be absent: absent is a pattern that no sum gives.
impl Cells for Option<f64> {
    fn put(&self, into: &mut impl FnMut(u64)) {
        into(self.map_or(u64::MAX, f64::to_bits));
    }

    fn take(from: &mut impl FnMut() -> u64) -> Self {
        let bits = from();
        (bits != u64::MAX).then(|| f64::from_bits(bits))
    }
}

/// To the second.
impl Cells for NaiveDateTime {
    fn put(&self, into: &mut impl FnMut(u64)) {
        into(self.and_utc().timestamp().cast_unsigned());
    }

    fn take(from: &mut impl FnMut() -> u64) -> Self {
        DateTime::from_timestamp(from().cast_signed(), 0).map_or(Self::MIN, |moment| moment.naive_utc())
    }
}

/// Blocks, each once, for hours that are folded among each other and kept as long.
#[derive(Debug, Default)]
pub struct Blocks {
    held: RwLock<Held>,
}

/// Words of a segment as a power of two, so that a place is a segment and a word in it.
const SEGMENT_BITS: u32 = 15;
const SEGMENT: usize = 1 << SEGMENT_BITS;

#[derive(Debug, Default)]
struct Held {
    /// Packed blocks one after the other; none goes on in another segment.
    segments: Vec<Vec<u64>>,
    /// Places by the hash of what stands there.
    places: HashMap<u64, u32>,
}

impl Held {
    /// The block that begins at a place.
    fn at(&self, place: u32) -> Packed<'_> {
        Packed { words: &self.segments[(place >> SEGMENT_BITS) as usize][place as usize % SEGMENT..] }
    }

    /// The place of the block like this.
    fn place_of(&mut self, block: &Block, packed: &mut Vec<u64>) -> u32 {
        pack(block, packed);
        let mut hasher = DefaultHasher::new();
        packed.hash(&mut hasher);
        let hash = hasher.finish();
        match self.places.get(&hash) {
            Some(&place) if self.at(place).words.starts_with(packed) => place,
            // Another block of the same hash stands a second time, if it comes again.
            _ => {
                let place = self.add(packed);
                self.places.entry(hash).or_insert(place);
                place
            }
        }
    }

    fn add(&mut self, packed: &[u64]) -> u32 {
        if self.segments.last().is_none_or(|last| last.len() + packed.len() > SEGMENT) {
            self.segments.push(Vec::with_capacity(SEGMENT));
        }
        let segment = self.segments.len() - 1;
        let last = &mut self.segments[segment];
        let place = (segment << SEGMENT_BITS) + last.len();
        last.extend_from_slice(packed);
        u32::try_from(place).expect("less than 32 GB")
    }
}

/// A block in as few bits as tell its rows apart: its first row, which bits differ in any, and those of every row.
struct Packed<'a> {
    words: &'a [u64],
}

/// Words before the bits.
const HEAD: usize = 2;

fn pack(block: &Block, into: &mut Vec<u64>) {
    let differ = block.iter().fold(0, |differ, bits| differ | (bits ^ block[0]));
    let (from, width) = match differ {
        0 => (0, 0),
        _ => (differ.trailing_zeros(), 64 - differ.leading_zeros() - differ.trailing_zeros()),
    };
    into.clear();
    into.extend([block[0], u64::from(from) << 8 | u64::from(width)]);
    let (mut word, mut filled) = (0_u128, 0);
    for bits in block.iter().take_while(|_| width > 0) {
        word |= u128::from((bits >> from) & mask(width)) << filled;
        filled += width;
        if filled >= 64 {
            into.push(low(word));
            word >>= 64;
            filled -= 64;
        }
    }
    if filled > 0 {
        into.push(low(word));
    }
}

/// So many ones.
fn mask(width: u32) -> u64 {
    if width == 64 { u64::MAX } else { (1 << width) - 1 }
}

#[allow(clippy::cast_possible_truncation)] // as it says
fn low(word: u128) -> u64 {
    word as u64
}

impl Packed<'_> {
    /// Writes the rows one after the other, as many as are wanted.
    fn unpack<'a>(&self, into: impl Iterator<Item = &'a mut u64>) {
        let [width, from, ..] = self.words[1].to_le_bytes();
        if width == 0 {
            into.for_each(|row| *row = self.words[0]);
            return;
        }
        let (width, ones) = (u32::from(width), mask(u32::from(width)));
        let alike = self.words[0] & !(ones << from);
        let mut words = self.words[HEAD..].iter();
        let (mut word, mut filled) = (0_u128, 0);
        for row in into {
            if filled < width {
                word |= u128::from(words.next().copied().unwrap_or(0)) << filled;
                filled += 64;
            }
            *row = alike | (low(word) & ones) << from;
            word >>= width;
            filled -= width;
        }
    }

    fn row(&self, row: usize) -> u64 {
        let [width, from, ..] = self.words[1].to_le_bytes();
        if width == 0 {
            return self.words[0];
        }
        let bit = row * usize::from(width);
        let at = HEAD + bit / 64;
        let next = self.words.get(at + 1).copied().unwrap_or(0);
        let both = u128::from(self.words[at]) | u128::from(next) << 64;
        let width = mask(u32::from(width));
        let bits = low(both >> (bit % 64)) & width;
        self.words[0] & !(width << from) | bits << from
    }
}

impl Blocks {
    fn read(&self) -> RwLockReadGuard<'_, Held> {
        self.held.read().unwrap_or_else(PoisonError::into_inner)
    }

    fn write(&self) -> RwLockWriteGuard<'_, Held> {
        self.held.write().unwrap_or_else(PoisonError::into_inner)
    }

    /// No more is going to be folded among these: where they stand need not be known any longer.
    pub fn close(&self) {
        self.write().places = HashMap::new();
    }
}

/// Rows in their order.
#[derive(Clone, Debug)]
pub enum Hours<T> {
    /// As they are.
    Open(Vec<T>),
    /// As columns.
    Folded(Folded),
}

/// Rows as columns.
#[derive(Clone, Debug)]
pub struct Folded {
    rows: usize,
    columns: usize,
    /// Places of each column of the first rows, then of the next.
    places: Vec<u32>,
    among: Arc<Blocks>,
}

impl Folded {
    fn places(&self, block: usize) -> &[u32] {
        &self.places[block * self.columns..(block + 1) * self.columns]
    }

    /// Unfolds the rows of one block.
    fn unfold<T: Cells>(&self, block: usize) -> Vec<T> {
        let held = self.among.read();
        let rows = ROWS.min(self.rows - block * ROWS);
        let mut cells = vec![0; rows * self.columns];
        for (column, &place) in self.places(block).iter().enumerate() {
            let own = cells.iter_mut().skip(column).step_by(self.columns);
            held.at(place).unpack(own);
        }
        let row_of = |mut cells: std::slice::Iter<'_, u64>| T::take(&mut || cells.next().copied().unwrap_or_default());
        cells.chunks_exact(self.columns.max(1)).map(|row| row_of(row.iter())).collect()
    }

    /// Unfolds one row.
    fn row<T: Cells>(&self, at: usize) -> T {
        let held = self.among.read();
        let mut places = self.places(at / ROWS).iter();
        T::take(&mut || places.next().map_or(0, |&place| held.at(place).row(at % ROWS)))
    }
}

/// Hours are alike whose rows are, folded or not.
impl<T: Cells + PartialEq> PartialEq for Hours<T> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl<T: Cells> Hours<T> {
    /// Rows.
    pub fn len(&self) -> usize {
        match self {
            Self::Open(rows) => rows.len(),
            Self::Folded(folded) => folded.rows,
        }
    }

    /// True without any.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The row at a place; `None` beyond the last.
    pub fn get(&self, at: usize) -> Option<T> {
        match self {
            Self::Open(rows) => rows.get(at).copied(),
            Self::Folded(folded) => (at < folded.rows).then(|| folded.row(at)),
        }
    }

    /// The last row.
    pub fn last(&self) -> Option<T> {
        self.get(self.len().checked_sub(1)?)
    }

    /// The rows in their order.
    pub fn iter(&self) -> EachHour<'_, T> {
        EachHour { series: self, block: 0, of_block: Cow::Borrowed(&[]), row: 0 }
    }

    /// The rows open, to be gone over many times.
    pub fn open(&self) -> Cow<'_, [T]> {
        match self {
            Self::Open(rows) => Cow::Borrowed(rows),
            Self::Folded(_) => Cow::Owned(self.iter().collect()),
        }
    }

    /// The rows, open, to be changed.
    pub fn open_mut(&mut self) -> &mut Vec<T> {
        if let Self::Folded(_) = self {
            *self = Self::Open(self.iter().collect());
        }
        match self {
            Self::Open(rows) => rows,
            Self::Folded(_) => unreachable!("it was opened"),
        }
    }

    /// The same, folded, with blocks of which those that are known stand once.
    #[must_use]
    pub fn folded(self, among: &Arc<Blocks>) -> Self {
        let Self::Open(rows) = self else {
            return self;
        };
        let mut columns = 0;
        if let Some(first) = rows.first() {
            first.put(&mut |_| columns += 1);
        }
        let mut held = among.write();
        let mut packed = Vec::with_capacity(HEAD + ROWS);
        let mut places = Vec::with_capacity(rows.len().div_ceil(ROWS) * columns);
        let mut open = vec![[0; ROWS]; columns];
        for rows in rows.chunks(ROWS) {
            open.fill([0; ROWS]);
            for (at, row) in rows.iter().enumerate() {
                let mut column = 0;
                row.put(&mut |bits| {
                    open[column][at] = bits;
                    column += 1;
                });
            }
            places.extend(open.iter().map(|block| held.place_of(block, &mut packed)));
        }
        drop(held);
        Self::Folded(Folded { rows: rows.len(), columns, places, among: Arc::clone(among) })
    }
}

impl<T> Default for Hours<T> {
    fn default() -> Self {
        Self::Open(Vec::new())
    }
}

impl<T> From<Vec<T>> for Hours<T> {
    fn from(rows: Vec<T>) -> Self {
        Self::Open(rows)
    }
}

impl<T> FromIterator<T> for Hours<T> {
    fn from_iter<I: IntoIterator<Item = T>>(rows: I) -> Self {
        Self::Open(rows.into_iter().collect())
    }
}

impl<'a, T: Cells> IntoIterator for &'a Hours<T> {
    type Item = T;
    type IntoIter = EachHour<'a, T>;

    fn into_iter(self) -> EachHour<'a, T> {
        self.iter()
    }
}

/// Rows of a series, one after the other.
#[derive(Clone, Debug)]
pub struct EachHour<'a, T: Cells> {
    series: &'a Hours<T>,
    /// The next to be unfolded.
    block: usize,
    of_block: Cow<'a, [T]>,
    row: usize,
}

impl<'a, T: Cells> EachHour<'a, T> {
    fn next_block(&self) -> Option<Cow<'a, [T]>> {
        match self.series {
            Hours::Open(rows) => (self.block == 0).then_some(Cow::Borrowed(rows.as_slice())),
            Hours::Folded(folded) => (self.block * ROWS < folded.rows).then(|| Cow::Owned(folded.unfold(self.block))),
        }
    }
}

impl<T: Cells> Iterator for EachHour<'_, T> {
    type Item = T;

    fn next(&mut self) -> Option<T> {
        if self.row == self.of_block.len() {
            self.of_block = self.next_block()?;
            self.block += 1;
            self.row = 0;
        }
        let row = self.of_block.get(self.row).copied();
        self.row += 1;
        row
    }

    /// Rows that lie open are not handed on one by one.
    fn fold<B, F: FnMut(B, T) -> B>(mut self, first: B, mut with: F) -> B {
        let mut all = first;
        loop {
            all = self.of_block[self.row..].iter().copied().fold(all, &mut with);
            self.row = 0;
            match self.next_block() {
                Some(block) => (self.of_block, self.block) = (block, self.block + 1),
                None => return all,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[derive(Clone, Copy, Debug, Default, PartialEq)]
    struct Inner {
        maybe: Option<f64>,
        is_so: bool,
    }
    cells!(Inner { maybe, is_so });

    #[derive(Clone, Copy, Debug, Default, PartialEq)]
    struct Row {
        starts: NaiveDateTime,
        number: f64,
        count: u32,
        inner: Inner,
    }
    cells!(Row { starts, number, count, inner });

    fn row(of: (i64, f64, u32, Option<f64>, bool)) -> Row {
        let (seconds, number, count, maybe, is_so) = of;
        let starts = DateTime::from_timestamp(seconds, 0).expect("a moment").naive_utc();
        Row { starts, number, count, inner: Inner { maybe, is_so } }
    }

    fn rows() -> impl Strategy<Value = Vec<Row>> {
        let one = (
            -1_000_000_000_000..1_000_000_000_000_i64,
            -1e9..1e9_f64,
            any::<u32>(),
            any::<Option<i32>>(),
            any::<bool>(),
        );
        let one = one.prop_map(|(seconds, number, count, maybe, is_so)| {
            row((seconds, number, count, maybe.map(f64::from), is_so))
        });
        prop::collection::vec(one, 0..3 * ROWS)
    }

    proptest! {
        #[test]
        fn what_is_folded_is_what_it_was(rows in rows()) {
            let blocks = Arc::default();
            let folded = Hours::from(rows.clone()).folded(&blocks);
            prop_assert_eq!(folded.len(), rows.len());
            prop_assert_eq!(folded.iter().collect::<Vec<_>>(), rows.clone());
            prop_assert_eq!(folded.last(), rows.last().copied());
            for at in 0..=rows.len() {
                prop_assert_eq!(folded.get(at), rows.get(at).copied());
            }
            prop_assert_eq!(folded.open().into_owned(), rows.clone());
            let mut opened = folded;
            opened.open_mut().push(Row::default());
            prop_assert_eq!(opened.len(), rows.len() + 1);
        }
    }

    proptest! {
        /// Whichever bits differ, few or all, high or low.
        #[test]
        fn what_is_packed_is_what_it_was(
            first: u64,
            rows in prop::collection::vec(any::<u64>(), ROWS),
            from in 0..64_u32,
            width in 1..=64_u32,
        ) {
            let differ = mask(width.min(64 - from)) << from;
            let block: Block = std::array::from_fn(|row| if row == 0 { first } else { first ^ (rows[row] & differ) });
            let mut words = Vec::new();
            pack(&block, &mut words);
            words.extend([7, 7]);
            let packed = Packed { words: &words };
            prop_assert_eq!(std::array::from_fn::<u64, ROWS, _>(|row| packed.row(row)), block);
            let mut rows = [0; ROWS];
            packed.unpack(rows.iter_mut());
            prop_assert_eq!(rows, block);
        }
    }

    /// Negative zero is another number than zero, and stays it.
    #[test]
    fn bits_are_kept() {
        let folded = Hours::from(vec![-0.0, 0.0, f64::MIN_POSITIVE / 4.0]).folded(&Arc::default());
        let bits: Vec<u64> = folded.iter().map(f64::to_bits).collect();
        assert_eq!(bits, [1 << 63, 0, (f64::MIN_POSITIVE / 4.0).to_bits()]);
    }

    #[test]
    fn what_is_alike_stands_once() {
        let blocks = Arc::default();
        let count = |blocks: &Arc<Blocks>| blocks.read().places.len();
        let hour = |hour: usize| row((i64::try_from(hour).expect("few") * 3600, 7.0, 1, None, true));
        let rows: Vec<Row> = (0..10 * ROWS).map(hour).collect();
        let one = Hours::from(rows.clone()).folded(&blocks);
        // Ten of the moments, and one each of the four other columns, of which two are alike.
        assert_eq!(count(&blocks), 13);
        let other = Hours::from(rows.clone()).folded(&blocks);
        assert_eq!((count(&blocks), &one), (13, &other));
        // Elsewhere, and open, they are the same hours.
        assert_eq!(Hours::from(rows.clone()).folded(&Arc::default()), one);
        assert!(Hours::from(rows[1..].to_vec()) != one);
        assert_eq!(Hours::from(rows), one);
    }

    #[test]
    fn blocks_fill_more_than_a_segment() {
        let numbers: Vec<f64> = (0..3 * SEGMENT).map(|number| (number as f64).sin()).collect();
        let folded = Hours::from(numbers.clone()).folded(&Arc::default());
        assert_eq!(folded.open().into_owned(), numbers);
    }
}

//! The search for the cheapest plant on a grid of sizes: one number after the other, in strides that are halved, and
//! at the end two at a time. It knows nothing of plants: a judge says what each point is worth.
//!
//! Which points are tried, and in which order, hangs on what they are worth alone: the same question gets the same
//! answer, on however many threads its points are judged.

/// A point of the grid: of each number the place of its size.
pub(super) type Point = Vec<usize>;

/// What a point is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Worth {
    /// By how much it breaks what must be kept; 0 if it keeps all.
    pub excess: f64,
    /// What it costs; infinite where that is not known.
    pub cost: f64,
}

impl Worth {
    /// True if it keeps what must be kept.
    pub(super) fn keeps(&self) -> bool {
        self.excess <= 0.0
    }

    /// True if it breaks less, or costs less while neither breaks anything. Costs that differ by rounding are equal.
    fn is_better_than(&self, other: &Self) -> bool {
        const ROUNDING: f64 = 1e-9;
        if self.keeps() && other.keeps() {
            self.cost < other.cost - ROUNDING * other.cost.abs()
        } else {
            self.excess < other.excess
        }
    }
}

/// Who says what points are worth.
pub(super) trait Judge {
    /// Why it cannot say.
    type Fault;

    /// What these points are worth, in their order; `None` of those for which nothing is left to try them with. Points
    /// that are no better than `best` need not be judged to the end.
    fn judge(&mut self, points: &[Point], best: &Worth) -> Result<Vec<Option<Worth>>, Self::Fault>;
}

/// Where is searched.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ground {
    /// How many sizes each number has.
    pub counts: Vec<usize>,
    /// The first stride of each number, in places.
    pub strides: Vec<usize>,
    /// How many of the numbers, from the first, are of sources of heat: a change of the plant changes how much heat it
    /// needs, so that each is tried with more and less heat beside it.
    pub sources: usize,
}

/// Strides of a number that is moved together with a source's, in places.
const STRIDES_WITH_HEAT: [usize; 3] = [1, 2, 4];

/// The best point that is found from a point of this worth, with what it is worth.
pub(super) fn search<J: Judge>(
    ground: &Ground,
    start: (Point, Worth),
    judge: &mut J,
) -> Result<(Point, Worth), J::Fault> {
    let mut way = Way { ground, judge, at: start.0, worth: start.1 };
    let first = ground.strides.iter().copied().max().unwrap_or(1);
    let mut stride = first.max(1);
    loop {
        way.along_all(stride)?;
        if stride > 1 {
            stride /= 2;
        } else if !way.two_at_a_time()? {
            return Ok((way.at, way.worth));
        }
    }
}

struct Way<'a, J: Judge> {
    ground: &'a Ground,
    judge: &'a mut J,
    at: Point,
    worth: Worth,
}

impl<J: Judge> Way<'_, J> {
    /// Each number in turn, until none of them helps by itself.
    fn along_all(&mut self, stride: usize) -> Result<(), J::Fault> {
        loop {
            let mut has_moved = false;
            for number in 0..self.at.len() {
                has_moved |= self.along(number, stride.min(self.ground.strides[number].max(1)))?;
            }
            if !has_moved {
                return Ok(());
            }
        }
    }

    /// One number both ways, and on in the way that is better while that helps. True if it helped.
    fn along(&mut self, number: usize, stride: usize) -> Result<bool, J::Fault> {
        let stride = isize::try_from(stride).unwrap_or(1);
        let from = self.at[number];
        let both: Vec<Point> = [-stride, stride].into_iter().filter_map(|by| self.moved(&[(number, by)])).collect();
        if !self.take_best(both)? {
            return Ok(false);
        }
        let by = if self.at[number] > from { stride } else { -stride };
        while let Some(next) = self.moved(&[(number, by)]) {
            if !self.take_best(vec![next])? {
                break;
            }
        }
        Ok(true)
    }

    /// Numbers two at a time: each beside each source of heat, further and further; then all others, a step each.
    /// True as soon as it helped.
    fn two_at_a_time(&mut self) -> Result<bool, J::Fault> {
        let (all, sources) = (self.at.len(), self.ground.sources.min(self.at.len()));
        for number in 0..all {
            for source in (0..sources).filter(|source| *source < number) {
                for stride in STRIDES_WITH_HEAT {
                    if self.take_pairs((number, stride), source)? {
                        return Ok(true);
                    }
                }
            }
        }
        for number in sources..all {
            for other in sources..number {
                if self.take_pairs((number, 1), other)? {
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }

    /// The best of the four ways to move one number by a stride and another by a step, if it helps.
    fn take_pairs(&mut self, (number, stride): (usize, usize), other: usize) -> Result<bool, J::Fault> {
        let by = isize::try_from(stride).unwrap_or(1);
        let ways = [(-by, -1), (-by, 1), (by, -1), (by, 1)];
        let points = ways.into_iter().filter_map(|(own, others)| self.moved(&[(number, own), (other, others)]));
        let points: Vec<Point> = points.collect();
        self.take_best(points)
    }

    /// Goes to the best of these points if it is better than where it stands.
    fn take_best(&mut self, points: Vec<Point>) -> Result<bool, J::Fault> {
        if points.is_empty() {
            return Ok(false);
        }
        let judged = self.judge.judge(&points, &self.worth)?;
        let mut has_moved = false;
        for (point, worth) in points.into_iter().zip(judged) {
            if let Some(worth) = worth.filter(|worth| worth.is_better_than(&self.worth)) {
                (self.at, self.worth, has_moved) = (point, worth, true);
            }
        }
        Ok(has_moved)
    }

    /// Where it stands with these numbers moved by so many places: no further than the grid goes; `None` where nothing
    /// moves.
    fn moved(&self, by: &[(usize, isize)]) -> Option<Point> {
        let mut point = self.at.clone();
        for &(number, by) in by {
            let last = self.ground.counts[number].saturating_sub(1);
            let next = point[number].saturating_add_signed(by).min(last);
            if next == point[number] {
                return None;
            }
            point[number] = next;
        }
        Some(point)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    /// A made-up landscape: its judge counts what is tried.
    struct Landscape<F: Fn(&[usize]) -> Worth> {
        of: F,
        tried: BTreeMap<Point, Worth>,
        most: usize,
    }

    impl<F: Fn(&[usize]) -> Worth> Judge for Landscape<F> {
        type Fault = ();

        fn judge(&mut self, points: &[Point], _best: &Worth) -> Result<Vec<Option<Worth>>, ()> {
            let judged = points.iter().map(|point| {
                if let Some(known) = self.tried.get(point) {
                    return Some(*known);
                }
                (self.tried.len() < self.most).then(|| {
                    let worth = (self.of)(point);
                    self.tried.insert(point.clone(), worth);
                    worth
                })
            });
            Ok(judged.collect())
        }
    }

    fn found(
        counts: &[usize],
        sources: usize,
        start: Point,
        most: usize,
        of: impl Fn(&[usize]) -> Worth,
    ) -> (Point, usize) {
        let strides = counts.iter().map(|count| (count / 8).max(1)).collect();
        let ground = Ground { counts: counts.to_vec(), strides, sources };
        let worth = of(&start);
        let mut landscape = Landscape { of, tried: BTreeMap::new(), most };
        let (at, _) = search(&ground, (start, worth), &mut landscape).unwrap();
        (at, landscape.tried.len())
    }

    fn brute(counts: &[usize], of: impl Fn(&[usize]) -> Worth) -> Point {
        let mut best: Option<(Point, Worth)> = None;
        let mut point = vec![0; counts.len()];
        loop {
            let worth = of(&point);
            if best.as_ref().is_none_or(|(_, other)| worth.is_better_than(other)) {
                best = Some((point.clone(), worth));
            }
            let Some(number) = (0..counts.len()).find(|&number| point[number] + 1 < counts[number]) else { break };
            point[..number].fill(0);
            point[number] += 1;
        }
        best.unwrap().0
    }

    /// A plant in small: heat must cover the need, which walls and bins change; each costs, and so does what is burnt.
    fn plant(at: &[usize]) -> Worth {
        let [heat, bins, walls] = [0, 1, 2].map(|number| at[number] as f64);
        let need = 12.0 + 0.8 * walls + 60.0 / (bins + 2.0);
        let excess = (need - heat).max(0.0);
        Worth { excess, cost: 30.0 * heat + 40.0 * bins + 9.0 * need + 800.0 / (walls + 3.0) }
    }

    #[test]
    fn it_finds_what_trying_all_finds_from_wherever_it_starts() {
        let counts = [60, 20, 25];
        let best = brute(&counts, plant);
        for start in [[50, 10, 24], [59, 19, 24], [30, 4, 10], [45, 1, 1], [0, 0, 0], [5, 19, 0]] {
            let (at, tried) = found(&counts, 1, start.to_vec(), usize::MAX, plant);
            assert_eq!(at, best, "from {start:?}");
            assert!(tried < 400, "{tried} points of {}", 60 * 20 * 25);
        }
    }

    #[test]
    fn it_stops_where_nothing_is_left_to_try_with() {
        let (at, tried) = found(&[60, 20, 25], 1, vec![50, 10, 24], 7, plant);
        assert_eq!(tried, 7);
        let (start, end) = (plant(&[50, 10, 24]), plant(&at));
        assert!(end.is_better_than(&start));
    }

    #[test]
    fn what_breaks_a_limit_is_never_the_best_of_what_keeps_it() {
        let cheap_but_broken = |at: &[usize]| Worth { excess: if at[0] < 5 { 1.0 } else { 0.0 }, cost: at[0] as f64 };
        assert_eq!(found(&[20], 1, vec![12], usize::MAX, cheap_but_broken).0, [5]);
        let nothing_keeps = |at: &[usize]| Worth { excess: 30.0 - at[0] as f64, cost: 1.0 };
        assert_eq!(found(&[20], 1, vec![12], usize::MAX, nothing_keeps).0, [19]);
    }
}

//! How deep one queue was, as a step function of time.
//!
//! Keeps every change while it is built, with the exact area under it, and thins it only when it is
//! told. Invariant: thinning never loses the lowest or highest value of a stretch.

use crate::day::amount::Amount;
use crate::day::time::Timestamp;

/// The most points told of one queue.
pub(super) const POINTS_MAX: usize = 400;

/// Points kept of each stretch when thinning: its first, lowest, highest and last.
const KEPT_OF_EACH: usize = 4;

/// A queue of one product at one station.
#[derive(Debug, Clone, Default)]
pub(super) struct Depth {
    points: Vec<(Timestamp, Amount)>,
    /// Amount times milliseconds up to the last point.
    area: i128,
}

impl Depth {
    /// What waits now.
    pub(super) fn now(&self) -> Amount {
        self.points.last().map_or(Amount::ZERO, |point| point.1)
    }

    /// From `at` on `amount` waits. Several changes in one moment leave the last one only.
    pub(super) fn set(&mut self, at: Timestamp, amount: Amount) {
        if amount == self.now() {
            return;
        }
        self.area += self.area_since_last(at);
        match self.points.last_mut() {
            Some(last) if last.0 == at => last.1 = amount,
            Some(_) | None => self.points.push((at, amount)),
        }
    }

    fn area_since_last(&self, at: Timestamp) -> i128 {
        self.points.last().map_or(0, |(since, amount)| {
            i128::from(amount.0) * i128::from(at.ms_since(*since))
        })
    }

    /// Amount times milliseconds waited up to `to`.
    pub(super) fn waited(&self, to: Timestamp) -> i64 {
        let area = self.area + self.area_since_last(to);
        i64::try_from(area).unwrap_or(i64::MAX)
    }

    /// The first point of the greatest depth; `None` if nothing ever waited.
    pub(super) fn deepest(&self) -> Option<(Timestamp, Amount)> {
        let waited = self.points.iter().filter(|point| point.1 > Amount::ZERO);
        waited
            .copied()
            .reduce(|deepest, point| if point.1 > deepest.1 { point } else { deepest })
    }

    /// The points, at most [`POINTS_MAX`], and how many were left out.
    pub(super) fn thinned(&self) -> (Vec<(Timestamp, Amount)>, usize) {
        if self.points.len() <= POINTS_MAX {
            return (self.points.clone(), 0);
        }
        let stretches = POINTS_MAX / KEPT_OF_EACH;
        let length = self.points.len().div_ceil(stretches);
        let kept: Vec<_> = self.points.chunks(length).flat_map(extremes).collect();
        let left_out = self.points.len() - kept.len();
        (kept, left_out)
    }
}

/// First, lowest, highest and last of a stretch, in the order of time.
fn extremes(stretch: &[(Timestamp, Amount)]) -> Vec<(Timestamp, Amount)> {
    let places = || 0..stretch.len();
    let lowest = places().min_by_key(|place| stretch[*place].1);
    let highest = places().max_by_key(|place| stretch[*place].1);
    let mut kept = vec![0, stretch.len() - 1];
    kept.extend(lowest.into_iter().chain(highest));
    kept.sort_unstable();
    kept.dedup();
    kept.into_iter().map(|place| stretch[place]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn saw(points: i64) -> Depth {
        let mut depth = Depth::default();
        for at in 0..points {
            let tooth = if at == 777 { 5000 } else { 10 + at % 7 };
            depth.set(Timestamp(at), Amount(tooth));
        }
        depth
    }

    #[test]
    fn thinning_keeps_the_extremes_and_says_what_it_left_out() {
        let depth = saw(5000);
        let (points, left_out) = depth.thinned();
        assert!(points.len() <= POINTS_MAX, "{}", points.len());
        assert_eq!(points.len() + left_out, 5000);
        assert!(points.contains(&(Timestamp(777), Amount(5000))));
        assert_eq!(points.iter().map(|p| p.1).min(), Some(Amount(10)));
        assert!(points.windows(2).all(|two| two[0].0 < two[1].0));
        assert_eq!(
            (points[0].0, points[points.len() - 1].0),
            (Timestamp(0), Timestamp(4999))
        );
    }

    #[test]
    fn a_short_series_is_told_whole() {
        assert_eq!(saw(400).thinned().1, 0);
        assert!(saw(401).thinned().1 > 0);
    }

    #[test]
    fn the_area_counts_each_stretch_once() {
        let mut depth = Depth::default();
        for (at, amount) in [(10, 3), (20, 5), (20, 4), (25, 0), (40, 2)] {
            depth.set(Timestamp(at), Amount(amount));
        }
        assert_eq!(depth.waited(Timestamp(50)), 3 * 10 + 4 * 5 + 2 * 10);
        assert_eq!(depth.deepest(), Some((Timestamp(20), Amount(4))));
    }
}

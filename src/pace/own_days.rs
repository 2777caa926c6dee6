//! What earlier days say before there is a day: for deciding what to make.

use super::heat::{HEATING, PHASE_CVS, PHASES_MIN};
use super::learned::Learned;
use super::minutes::Minutes;
use super::yields::{ROUTE_SIGMA, weighed};
use crate::day::ids::{ProductId, StationId};
use std::collections::BTreeSet;

impl Learned {
    /// What comes of the whole way of these products against its promise, 1 being as promised: the
    /// promise and earlier days weighed together. `None` when nothing was seen.
    pub fn way_yield(&self, products: &BTreeSet<ProductId>) -> Option<f64> {
        let next = self.understood().aged();
        let mut logarithm = None;
        for by_product in next.yields.values() {
            let seen = by_product.iter().filter(|(id, _)| products.contains(id));
            let (weight, sum) = seen.fold((0.0, 0.0), |(weight, sum), (_, seen)| {
                let (more, of) = weighed(*seen);
                (weight + more, sum + of)
            });
            if weight > 0.0 {
                let promise = 1.0 / (ROUTE_SIGMA * ROUTE_SIGMA);
                *logarithm.get_or_insert(0.0) += sum / (promise + weight);
            }
        }
        logarithm.map(f64::exp)
    }

    /// Minutes from the heat on to the boil or pressure at a station of canners: the published ones
    /// and earlier days weighed together. `None` when nothing was seen.
    pub fn heating_min(&self, station: &StationId) -> Option<f64> {
        let next = self.understood().aged();
        let seen = next.canners.get(station)?[HEATING];
        let published = Minutes {
            mean: PHASES_MIN[HEATING],
            cv: PHASE_CVS[HEATING],
        };
        (seen.n > 0.0).then(|| seen.told(published).mean)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pace::{Correction, Lesson};

    fn product() -> ProductId {
        let Ok(id) = ProductId::try_from("pears-quart") else {
            unreachable!("a plain word");
        };
        id
    }

    fn station() -> StationId {
        let Ok(id) = StationId::try_from("canners") else {
            unreachable!("a plain word");
        };
        id
    }

    fn with(lesson: Lesson, value: f64, counts: f64) -> Learned {
        let mut learned = Learned::default();
        learned.correct(&Correction::Set {
            lesson,
            value,
            counts,
        });
        learned
    }

    #[test]
    fn nothing_seen_says_nothing() {
        let ids = BTreeSet::from([product()]);
        assert_eq!(Learned::default().way_yield(&ids), None);
        assert_eq!(Learned::default().heating_min(&station()), None);
        let other = Lesson::Yield {
            station: station(),
            product: product(),
        };
        assert_eq!(with(other, 0.8, 5.0).way_yield(&BTreeSet::new()), None);
    }

    /// More evidence goes further from the promise towards what was seen, and never beyond.
    #[test]
    fn the_promise_gives_way_to_what_was_seen() {
        let lesson = || Lesson::Yield {
            station: station(),
            product: product(),
        };
        let ids = BTreeSet::from([product()]);
        let told = |counts| with(lesson(), 0.8, counts).way_yield(&ids);
        let (Some(little), Some(much)) = (told(1.0), told(50.0)) else {
            unreachable!("it was set");
        };
        assert!(
            0.8 < much && much < little && little < 1.0,
            "{much} {little}"
        );
    }

    /// By hand: two loads count for the published 25 minutes, three for 40; (50 + 120) / 5 = 34.
    #[test]
    fn minutes_to_the_boil_are_weighed_with_the_published_ones() {
        let lesson = Lesson::Heating { station: station() };
        let told = with(lesson, 40.0, 3.0).heating_min(&station());
        assert!(
            told.is_some_and(|told| (told - 34.0).abs() < 1e-9),
            "{told:?}"
        );
    }
}

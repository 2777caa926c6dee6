//! A station's name on the screen that does not flicker.

use crate::day::ids::StationId;
use crate::day::time::Timestamp;
use crate::outlook::model::minutes_from;
use std::collections::BTreeMap;

/// When a name gives way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The best must be ahead by this much.
    pub lead: f64,
    /// For so many minutes without a break.
    pub for_min: f64,
}

/// The name shown, and since when it is beaten.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Name {
    /// The station shown.
    pub station: Option<StationId>,
    /// Since when another was clearly ahead of it.
    pub beaten_since: Option<Timestamp>,
}

impl Name {
    /// The name to show now. Scores at or below 0 are no candidates; a first name is shown at
    /// once, and one with nothing left to it gives way as if it were beaten, to nobody if need be.
    pub fn next(&self, now: Timestamp, scores: &BTreeMap<StationId, f64>, rule: Rule) -> Name {
        let best = scores.iter().filter(|(_, score)| **score > 0.0);
        let best = best.max_by(|a, b| a.1.total_cmp(b.1).then_with(|| b.0.cmp(a.0)));
        let shown = |station: Option<&StationId>| Name {
            station: station.cloned(),
            beaten_since: None,
        };
        let Some(held) = &self.station else {
            return shown(best.map(|(id, _)| id));
        };
        let score = scores.get(held).copied().unwrap_or(0.0);
        let beaten = match best {
            Some((id, most)) => id != held && (*most >= score + rule.lead),
            None => true,
        };
        if !beaten {
            return shown(Some(held));
        }
        let since = self.beaten_since.unwrap_or(now);
        if minutes_from(since, now) >= rule.for_min {
            return shown(best.map(|(id, _)| id));
        }
        Name {
            station: Some(held.clone()),
            beaten_since: Some(since),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::time::SECOND_MS;
    use rand::{RngExt, SeedableRng};
    use rand_xoshiro::Xoshiro256PlusPlus;

    const RULE: Rule = Rule {
        lead: 5.0,
        for_min: 4.0,
    };

    fn id(text: &'static str) -> StationId {
        StationId::try_from(text).expect("a test id")
    }

    fn at(seconds: i64) -> Timestamp {
        Timestamp(seconds * SECOND_MS)
    }

    fn scores(list: &[(&'static str, f64)]) -> BTreeMap<StationId, f64> {
        list.iter()
            .map(|(name, score)| (id(name), *score))
            .collect()
    }

    /// Two stations about equally long active, with jitter as large as the lead asked for: the
    /// name never changes in ten hours of looks every ten seconds, though the best does so often.
    #[test]
    fn jitter_does_not_make_a_name_flicker() {
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(3);
        let (mut name, mut best_changes, mut last) = (Name::default(), 0, None);
        let mut shown = Vec::new();
        for look in 0..3600 {
            let a = 30.0 + rng.random_range(-4.0..4.0);
            let b = 30.0 + rng.random_range(-4.0..4.0);
            best_changes += i32::from(last.is_some_and(|last| last != (a > b)));
            last = Some(a > b);
            name = name.next(at(look * 10), &scores(&[("a", a), ("b", b)]), RULE);
            shown.push(name.station.clone());
        }
        shown.dedup();
        assert_eq!(shown.len(), 1, "{shown:?}");
        assert!(
            best_changes > 1000,
            "the test has no jitter: {best_changes}"
        );
    }

    #[test]
    fn a_clear_lead_takes_the_name_after_some_minutes_and_not_before() {
        let held = Name::default().next(at(0), &scores(&[("a", 30.0)]), RULE);
        assert_eq!(held.station, Some(id("a")));
        let ahead = scores(&[("a", 20.0), ("b", 26.0)]);
        let still = held.next(at(60), &ahead, RULE);
        assert_eq!(still.station, Some(id("a")));
        let still = still.next(at(60 + 239), &ahead, RULE);
        assert_eq!(still.station, Some(id("a")));
        let new = still.next(at(60 + 240), &ahead, RULE);
        assert_eq!(new.station, Some(id("b")));
        assert_eq!(new.beaten_since, None);
    }

    #[test]
    fn a_lead_that_is_lost_in_between_begins_anew() {
        let held = Name::default().next(at(0), &scores(&[("a", 30.0)]), RULE);
        let ahead = scores(&[("a", 20.0), ("b", 26.0)]);
        let close = scores(&[("a", 24.0), ("b", 26.0)]);
        let name = held.next(at(60), &ahead, RULE).next(at(200), &close, RULE);
        let name = name.next(at(320), &ahead, RULE);
        assert_eq!(name.station, Some(id("a")));
    }

    #[test]
    fn a_name_without_anything_left_to_it_goes() {
        let held = Name::default().next(at(0), &scores(&[("a", 30.0)]), RULE);
        let none = scores(&[("a", 0.0)]);
        let name = held.next(at(10), &none, RULE);
        assert_eq!(name.station, Some(id("a")));
        assert_eq!(name.next(at(260), &none, RULE).station, None);
    }
}

//! From changes of seats to the one worth making, with its gain measured on fresh days.

use super::simulated::Finish;
use super::{Days, Kitchen, Paired, Race, Rule, compare};
use crate::sim::{Fault, Network, Outcome, Start};

/// What came of a comparison.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Chosen {
    /// The change worth making and what it gains on days that no race has seen; changes are
    /// numbered from 0. `None` for staying.
    pub best: Option<(usize, Paired)>,
    /// The race.
    pub race: Race,
    /// What the days without a change were like.
    pub staying: Staying,
}

/// The days of the race on which nothing was changed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Staying {
    /// How many.
    pub days: u32,
    /// By station: on how many of them it set the finish.
    pub set_by: Vec<u32>,
    /// By station: mean minutes of the critical chain.
    pub chain_min: Vec<f64>,
}

impl Staying {
    /// The station that sets the finish most often, with its share of the days.
    pub fn sets_finish(&self) -> Option<(usize, f64)> {
        let most = self.set_by.iter().copied().max().filter(|days| *days > 0)?;
        let station = self.set_by.iter().position(|days| *days == most)?;
        Some((station, f64::from(most) / f64::from(self.days)))
    }

    fn count(&mut self, day: &Outcome) {
        self.days += 1;
        let weight = 1.0 / f64::from(self.days);
        self.set_by.resize(day.chain_by_station.len(), 0);
        self.chain_min.resize(day.chain_by_station.len(), 0.0);
        for (mean, minutes) in self.chain_min.iter_mut().zip(&day.chain_by_station) {
            *mean += (minutes - *mean) * weight;
        }
        if let Some(days) = day.set_by.and_then(|station| self.set_by.get_mut(station)) {
            *days += 1;
        }
    }
}

/// A kitchen that remembers its days without a change.
struct Watched<'a> {
    finish: Finish<'a>,
    kitchen: Kitchen<'a>,
    staying: Staying,
}

impl Days for Watched<'_> {
    fn finish_min(&mut self, change: usize, day: u64) -> f64 {
        let finish = self.finish;
        let outcome = self.kitchen.day(change, day);
        if change == 0 {
            self.staying.count(outcome);
        }
        finish(outcome)
    }
}

/// Other seats to compare with those of a start.
#[derive(Debug, Clone, Default)]
pub struct Seatings {
    /// The start with other seats, one for each change.
    pub starts: Vec<Start>,
    /// The least gain of each in minutes.
    pub prices: Vec<f64>,
    /// How gladly each is made; only between equals.
    pub liked: Vec<i32>,
}

/// How many changes are tried on fresh days at most, when those before did not hold there.
const TRIED_AFRESH: usize = 3;

/// Chooses among other seats, or none of them.
///
/// The winner is taken only if its fresh days, too, gain its price: two sets of days have then said
/// so, and nothing is proposed whose gain as shown is below what is promised.
///
/// # Errors
/// What is wrong with the network.
pub fn choose(
    network: &Network,
    start: &Start,
    seatings: &Seatings,
    finish: Finish<'_>,
    rule: Rule,
    seed: u64,
) -> Result<Chosen, Fault> {
    let starts = std::iter::once(start).chain(&seatings.starts).cloned();
    let mut kitchen = Kitchen::of_seats(network, starts.collect(), finish, seed)?;
    kitchen.keep_chain_of(0);
    let mut watched = Watched {
        finish,
        kitchen,
        staying: Staying::default(),
    };
    let race = compare(&mut watched, &seatings.prices, &seatings.liked, rule);
    let worth = race.winner.into_iter().chain(race.next.iter().copied());
    let mut confirmed = worth.take(TRIED_AFRESH).filter_map(|change| {
        // As many as the race took to tell: fewer would refuse by chance what it found.
        let raced = race.places[change].gain.days;
        let gain = watched.kitchen.fresh(change, rule.days.max(raced));
        let price = seatings.prices[change - 1];
        let likely = price <= 0.0 || gain.has_odds(rule.odds);
        (likely && gain.mean >= price).then_some((change - 1, gain))
    });
    let best = confirmed.next();
    drop(confirmed);
    Ok(Chosen {
        best,
        race,
        staying: watched.staying,
    })
}

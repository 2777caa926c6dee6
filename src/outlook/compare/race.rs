//! The race between changes: rounds of days, dropping those that cannot win any more.

use super::{Paired, Rule, effort};

/// Simulated days of numbered changes; the same day number is the same day for all of them.
pub trait Days {
    /// When the day of this number ends, in minutes, with this change; 0 is staying.
    fn finish_min(&mut self, change: usize, day: u64) -> f64;
}

/// What came of the race.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Race {
    /// The change that is worth it; `None` for staying.
    pub winner: Option<usize>,
    /// Others that were worth their price on the days they had, best first.
    pub next: Vec<usize>,
    /// By change (0, staying, among them): how it did.
    pub places: Vec<Place>,
    /// Simulated days, all changes together.
    pub spent: u64,
}

/// How a change did.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Place {
    /// Minutes gained against staying.
    pub gain: Paired,
    /// The gain on the middle day.
    pub middle_min: f64,
    /// The probability that its mean gain is above its price.
    pub sure: f64,
}

impl Place {
    /// A gain that can be told where the change is not worth it: that of the middle day, or what
    /// the mean is above with this probability, whichever is less; at least 0.
    pub fn cautious_min(&self, sure: f64) -> f64 {
        self.middle_min.min(self.gain.surely(sure)).max(0.0)
    }
}

impl Race {
    /// The most that any of the changes that raced longest gains, as far as can be told, in minutes.
    /// Those that were dropped soon have had too few days to be told of.
    pub fn most_min(&self, sure: f64) -> f64 {
        let changes = || self.places.iter().skip(1);
        let longest = changes().map(|place| place.gain.days).max();
        let raced = changes().filter(|place| Some(place.gain.days) == longest);
        raced.fold(0.0, |most, place| place.cautious_min(sure).max(most))
    }
}

/// Days in the first round.
const FIRST: u32 = 12;
/// Days a change gets on average in each further round.
const ROUND: u32 = 12;
/// Days after which the share of earlier ones is taken at its word.
const ENOUGH: u32 = 60;
/// When no more than so many changes are left in doubt, these go on.
const FEW: usize = 3;
/// Times the usual number of days that they may have then: where people's rates are hardly known,
/// single days differ by hours, and the usual number cannot tell a gain of minutes.
const FURTHER: u32 = 2;
/// A change is dropped when the chance that it is the one is below this.
const HOPELESS: f64 = 0.01;
/// The race ends before its time when the winner is this sure; looking often finds chance winners.
const CLEAR: f64 = 0.99;

/// Runs the race. `prices` has the least gain of each change from number 1 on; `liked` breaks ties
/// between changes that are as good as each other, higher first.
pub fn compare(days: &mut impl Days, prices: &[f64], liked: &[i32], rule: Rule) -> Race {
    let mut field = Field {
        finishes: vec![Vec::new(); prices.len() + 1],
        prices,
        rule,
        spent: 0,
    };
    let mut racing: Vec<usize> = (1..=prices.len()).collect();
    field.go_on(days, &racing, &vec![FIRST.min(rule.days); racing.len()]);
    let mut resting = Vec::new();
    let winner = loop {
        racing.retain(|change| field.may_pay(*change));
        let best = field.best(&racing);
        let beaten = |change: &mut usize| field.is_beaten(*change, best);
        resting.extend(racing.extract_if(.., beaten));
        let is_clear = || field.sure(best) >= CLEAR && field.are_equals(&racing, best);
        let is_over = racing.is_empty() || is_clear() || !field.another_round(days, &racing, best);
        if is_over {
            let winner = field.at_the_end(&racing, liked);
            if winner.is_some() || resting.is_empty() {
                break winner;
            }
            // Those it had beaten go on where the best was too unlikely to be asked for.
            racing = std::mem::take(&mut resting);
        }
    };
    let place = |change: usize| Place {
        gain: field.gain(change),
        middle_min: field.middle(change),
        sure: if change == 0 { 0.0 } else { field.sure(change) },
    };
    let mut next: Vec<usize> = (1..=prices.len())
        .filter(|change| Some(*change) != winner && winner.is_some() && field.is_worth_it(*change))
        .collect();
    next.sort_by(|one, other| field.net(*other).total_cmp(&field.net(*one)));
    Race {
        winner,
        next,
        places: (0..=prices.len()).map(place).collect(),
        spent: field.spent,
    }
}

struct Field<'a> {
    /// By change and day.
    finishes: Vec<Vec<f64>>,
    prices: &'a [f64],
    rule: Rule,
    spent: u64,
}

impl Field<'_> {
    /// Simulates each change up to so many days, and staying on all of them. Day by day, since the
    /// draws of a day are made once for all that are simulated on it.
    fn go_on(&mut self, days: &mut impl Days, changes: &[usize], until: &[u32]) {
        let furthest = until.iter().copied().max().unwrap_or_default();
        let from = changes.iter().map(|change| self.finishes[*change].len());
        let from = from.min().unwrap_or_default().min(self.finishes[0].len());
        for day in from..furthest as usize {
            let due = changes.iter().zip(until);
            let due = due.filter(|(_, until)| day < **until as usize);
            for who in std::iter::once(0).chain(due.map(|(change, _)| *change)) {
                if self.finishes[who].len() == day {
                    let finish = days.finish_min(who, day as u64);
                    self.finishes[who].push(finish);
                    self.spent += 1;
                }
            }
        }
    }

    fn gain(&self, change: usize) -> Paired {
        Paired::of(&self.finishes[0], &self.finishes[change])
    }

    fn middle(&self, change: usize) -> f64 {
        let both = self.finishes[0].iter().zip(&self.finishes[change]);
        let mut gains: Vec<f64> = both.map(|(staying, changed)| staying - changed).collect();
        gains.sort_by(f64::total_cmp);
        gains.get(gains.len() / 2).copied().unwrap_or_default()
    }

    fn sure(&self, change: usize) -> f64 {
        self.gain(change).sure_above(self.price(change))
    }

    fn price(&self, change: usize) -> f64 {
        self.prices[change - 1]
    }

    fn net(&self, change: usize) -> f64 {
        self.gain(change).mean - self.price(change)
    }

    fn best(&self, racing: &[usize]) -> usize {
        let better = |one: usize, other: usize| {
            if self.net(other) > self.net(one) {
                other
            } else {
                one
            }
        };
        racing.iter().copied().reduce(better).unwrap_or_default()
    }

    /// By how much the net gain of `one` is above that of `other`, on the days both have.
    fn ahead(&self, one: usize, other: usize) -> Paired {
        let mut paired = Paired::of(&self.finishes[other], &self.finishes[one]);
        paired.mean += self.price(other) - self.price(one);
        paired
    }

    /// Whether a change may still be worth its price.
    fn may_pay(&self, change: usize) -> bool {
        let gain = self.gain(change);
        // By half a hundred days a likely change may have bad luck, but not the worse of it.
        let is_unlikely = gain.days >= ENOUGH && !gain.has_odds(1.0);
        self.sure(change) >= HOPELESS && (self.price(change) <= 0.0 || !is_unlikely)
    }

    /// Whether it is surely behind the best by more than a trifle.
    fn is_beaten(&self, change: usize, best: usize) -> bool {
        let ahead = || self.ahead(change, best);
        change != best && ahead().sure_above(-self.rule.same_min) < HOPELESS
    }

    /// Whether all that are left are surely as good as the best.
    fn are_equals(&self, racing: &[usize], best: usize) -> bool {
        let mut rivals = racing.iter().filter(|change| **change != best);
        rivals.all(|change| {
            let behind = self.ahead(best, *change);
            behind.sure_above(self.rule.same_min) <= HOPELESS
        })
    }

    /// Gives each of them more days, most to those that are hard to tell from the best, or from
    /// staying where the best itself hardly pays. False when all have had theirs.
    fn another_round(&mut self, days: &mut impl Days, racing: &[usize], best: usize) -> bool {
        let efforts: Vec<f64> = racing
            .iter()
            .map(|change| self.effort(*change, best))
            .collect();
        let sum: f64 = efforts.iter().sum();
        let most = if racing.len() <= FEW {
            self.rule.days.saturating_mul(FURTHER)
        } else {
            self.rule.days
        };
        let budget = f64::from(ROUND) * racing.len() as f64;
        let had: Vec<u32> = racing
            .iter()
            .map(|change| self.finishes[*change].len() as u32)
            .collect();
        let mut until: Vec<u32> = had
            .iter()
            .zip(&efforts)
            .map(|(had, effort)| {
                let share = if sum > 0.0 {
                    budget * effort / sum
                } else {
                    f64::from(ROUND)
                };
                // At least a few, so that a change with luck in its first days shows it.
                let more = share.clamp(2.0, 4.0 * f64::from(ROUND)).round() as u32;
                had.saturating_add(more).min(most)
            })
            .collect();
        // The best is on every day that any rival is.
        let furthest = until.iter().copied().max().unwrap_or_default();
        for (change, until) in racing.iter().zip(&mut until) {
            if *change == best {
                *until = furthest;
            }
        }
        self.go_on(days, racing, &until);
        until.iter().zip(&had).any(|(until, had)| until > had)
    }

    fn effort(&self, change: usize, best: usize) -> f64 {
        let least = self.rule.same_min.max(0.1);
        let from_staying = effort(self.gain(change).sd, self.net(change).abs().max(least));
        if change == best {
            return from_staying;
        }
        let ahead = self.ahead(change, best);
        effort(ahead.sd, ahead.mean.abs().max(least))
    }

    fn is_worth_it(&self, change: usize) -> bool {
        // What rescues food may cost minutes, on every day if need be.
        let likely = self.price(change) <= 0.0 || self.gain(change).has_odds(self.rule.odds);
        likely && self.sure(change) >= self.rule.sure
    }

    /// When every day is spent: the best, or among those as good as it the one that is liked most.
    fn at_the_end(&self, racing: &[usize], liked: &[i32]) -> Option<usize> {
        let worth = racing.iter().copied();
        let worth: Vec<usize> = worth.filter(|change| self.is_worth_it(*change)).collect();
        let best = Some(self.best(&worth)).filter(|best| *best > 0)?;
        let as_good = worth
            .into_iter()
            .filter(|change| self.ahead(best, *change).mean <= self.rule.same_min);
        let liking = |change: usize| liked.get(change - 1).copied().unwrap_or_default();
        as_good.max_by(|one, other| {
            let by_net = self.net(*one).total_cmp(&self.net(*other));
            liking(*one).cmp(&liking(*other)).then(by_net)
        })
    }
}

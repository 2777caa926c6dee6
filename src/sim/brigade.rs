//! Bucket brigade: helpers who walk a line of work that can be divided anywhere.
//!
//! Each carries an item forward until the next takes it over; the last finishes it and walks back
//! to take the next one's, who takes the one's before, and the first begins a new item. Walking
//! back takes no time and nobody overtakes. In the order from slowest to fastest the points of
//! hand-over settle by themselves at the share of all speed that stands before them, and the line
//! gives the sum of the rates (Bartholdi and Eisenstein 1996). Nothing is random here.

/// The line and who walks it.
#[derive(Debug, Clone, PartialEq)]
pub struct Brigade {
    /// In the order of the line, its beginning first; at least one.
    pub walkers: Vec<Walker>,
    /// How many items are finished.
    pub items: u32,
}

/// A helper of the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Walker {
    /// For reports.
    pub name: String,
    /// Items a minute that they would do alone, above 0.
    pub rate: f64,
    /// How far along their item is at minute 0, from 0 to 1, none before the one behind.
    pub starts_at: f64,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// When the last item was finished, in minutes.
    pub finish_min: f64,
    /// Where each but the first took over after the last item, from 0 to 1.
    pub hand_overs: Vec<f64>,
    /// Where those points settle, when they do.
    pub settles_at: Vec<f64>,
    /// Items a minute over the last half of the items.
    pub rate: f64,
    /// The most the line can give: all rates together.
    pub best_rate: f64,
    /// Minutes that helpers waited behind a slower one, together.
    pub waited_min: f64,
}

impl Brigade {
    /// Walks the line until its items are finished.
    pub fn walk(&self) -> Walk {
        let mut at: Vec<f64> = self.walkers.iter().map(|walker| walker.starts_at).collect();
        let mut now = 0.0;
        let mut half = 0.0;
        let mut waited = 0.0;
        for item in 0..self.items {
            if item == self.items / 2 {
                half = now;
            }
            let minutes = self.until_finished(&at);
            now += minutes;
            waited += self.walk_on(&mut at, minutes);
            // The last is free, and everybody takes over from the one behind.
            at.pop();
            at.insert(0, 0.0);
        }
        let best_rate = self.walkers.iter().map(|walker| walker.rate).sum();
        let counted = f64::from(self.items - self.items / 2);
        Walk {
            finish_min: now,
            hand_overs: at[1..].to_vec(),
            settles_at: self.settles_at(best_rate),
            rate: counted / (now - half),
            best_rate,
            waited_min: waited,
        }
    }

    /// Minutes until the last item of the line is done.
    fn until_finished(&self, at: &[f64]) -> f64 {
        let last = at.len() - 1;
        (1.0 - at[last]) / self.walkers[last].rate
    }

    /// Moves everybody on for so many minutes; a faster one waits behind a slower. Gives the
    /// minutes so lost.
    fn walk_on(&self, at: &mut [f64], minutes: f64) -> f64 {
        let mut ahead = f64::INFINITY;
        let mut lost = 0.0;
        for (place, walker) in at.iter_mut().zip(&self.walkers).rev() {
            let free = *place + walker.rate * minutes;
            let reached = free.min(ahead);
            lost += (free - reached) / walker.rate;
            *place = reached;
            ahead = reached;
        }
        lost
    }

    /// The share of all speed that stands before each helper but the first.
    fn settles_at(&self, sum: f64) -> Vec<f64> {
        let mut before = 0.0;
        let shares = self.walkers.iter().map(|walker| {
            before += walker.rate;
            before / sum
        });
        let mut shares: Vec<f64> = shares.collect();
        shares.pop();
        shares
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(rates: &[f64], items: u32) -> Walk {
        let walkers = rates.iter().map(|rate| Walker {
            name: String::new(),
            rate: *rate,
            starts_at: 0.0,
        });
        let walkers = walkers.collect();
        Brigade { walkers, items }.walk()
    }

    #[test]
    fn one_alone_gives_their_own_rate() {
        let walk = line(&[0.5], 10);
        assert_eq!(walk.finish_min, 20.0);
        assert_eq!(walk.rate, 0.5);
    }

    #[test]
    fn from_slowest_to_fastest_nobody_waits_in_the_end() {
        // Bartholdi and Eisenstein 1996: hand-overs at 1/6 and 1/2, rate 6.
        let walk = line(&[1.0, 2.0, 3.0], 200);
        assert!((walk.hand_overs[0] - 1.0 / 6.0).abs() < 1e-9);
        assert!((walk.hand_overs[1] - 0.5).abs() < 1e-9);
        assert!((walk.rate - 6.0).abs() < 1e-9);
    }

    #[test]
    fn from_fastest_to_slowest_the_fast_wait() {
        let walk = line(&[3.0, 2.0, 1.0], 200);
        assert!(walk.waited_min > 0.0);
        assert!(walk.rate < walk.best_rate - 0.1);
    }
}

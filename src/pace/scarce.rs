//! Time in which fewer carriers were there than hands: who had one is known when it is tapped.
//!
//! Two at one carrier do not both work on it. Whoever taps it had it; what nobody taps is shared.
//! Invariant: the minutes handed out are the minutes carriers were there, no more.

use crate::day::ids::HelperId;
use std::collections::BTreeMap;

/// The open stretches of one station.
#[derive(Debug, Clone, Default)]
pub(super) struct Scarce {
    stretches: Vec<Stretch>,
}

/// A stretch with the same hands and carriers.
#[derive(Debug, Clone)]
struct Stretch {
    minutes: f64,
    /// Minutes of work not handed out yet.
    left: f64,
    /// Who could have had a carrier, and did not tap since.
    hands: Vec<HelperId>,
}

/// The most open stretches of a station; older ones are shared out.
const STRETCHES_MAX: usize = 16;

/// Minutes handed out.
pub(super) type Shares = BTreeMap<HelperId, f64>;

impl Scarce {
    /// `carriers` were there for `minutes`, fewer than `hands`; gives what must be shared out.
    pub(super) fn take(&mut self, minutes: f64, carriers: f64, hands: &[HelperId]) -> Shares {
        let work = minutes * carriers;
        match self.stretches.last_mut() {
            Some(last) if last.hands == hands && last.left == last.minutes * carriers => {
                last.minutes += minutes;
                last.left = last.minutes * carriers;
            }
            Some(_) | None => self.stretches.push(Stretch {
                minutes,
                left: work,
                hands: hands.to_vec(),
            }),
        }
        if self.stretches.len() > STRETCHES_MAX {
            let oldest = self.stretches.remove(0);
            return shared(&oldest);
        }
        Shares::new()
    }

    /// Somebody tapped: they had a carrier all the while since they were last free. Gives their
    /// minutes, and who then certainly had none for a while.
    pub(super) fn tapped(&mut self, helper: &HelperId) -> (f64, Vec<HelperId>) {
        let mut minutes = 0.0;
        let mut idle = Vec::new();
        for stretch in &mut self.stretches {
            let Some(place) = stretch.hands.iter().position(|hand| hand == helper) else {
                continue;
            };
            stretch.hands.remove(place);
            let had = stretch.minutes.min(stretch.left);
            stretch.left -= had;
            minutes += had;
            if stretch.left <= 1e-9 {
                idle.append(&mut stretch.hands);
            }
        }
        self.stretches
            .retain(|stretch| stretch.left > 1e-9 && !stretch.hands.is_empty());
        (minutes, idle)
    }

    /// All that is open is shared out evenly.
    pub(super) fn share_out(&mut self) -> Shares {
        let mut all = Shares::new();
        for stretch in std::mem::take(&mut self.stretches) {
            for (helper, minutes) in shared(&stretch) {
                *all.entry(helper).or_default() += minutes;
            }
        }
        all
    }

    /// What of the open stretches is this helper's, shared evenly.
    pub(super) fn share_of(&self, helper: &HelperId) -> f64 {
        let theirs = self.stretches.iter().filter(|s| s.hands.contains(helper));
        theirs.map(share).sum()
    }

    /// What was open was no work at all.
    pub(super) fn forget(&mut self) {
        self.stretches.clear();
    }
}

fn share(stretch: &Stretch) -> f64 {
    let even = stretch.left / stretch.hands.len().max(1) as f64;
    even.min(stretch.minutes)
}

fn shared(stretch: &Stretch) -> Shares {
    let each = share(stretch);
    let hands = stretch.hands.iter();
    hands.map(|helper| (helper.clone(), each)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn who(name: &str) -> HelperId {
        HelperId::try_from(name).expect("a test id")
    }

    #[test]
    fn who_taps_had_the_carrier_and_the_other_had_none() {
        let mut scarce = Scarce::default();
        let both = [who("edda"), who("osk")];
        scarce.take(2.0, 1.0, &both);
        scarce.take(1.0, 1.0, &both);
        assert_eq!(scarce.tapped(&both[0]), (3.0, vec![who("osk")]));
        assert_eq!(scarce.share_of(&both[1]), 0.0);
        assert_eq!(scarce.tapped(&both[1]), (0.0, Vec::new()));
    }

    #[test]
    fn what_nobody_taps_is_shared_and_nothing_is_lost() {
        let mut scarce = Scarce::default();
        let all = [who("edda"), who("osk"), who("wren")];
        scarce.take(3.0, 2.0, &all);
        let tapped = scarce.tapped(&all[0]).0;
        let rest: f64 = scarce.share_out().values().sum();
        assert!((tapped - 3.0).abs() < 1e-9 && (rest - 3.0).abs() < 1e-9);
    }
}

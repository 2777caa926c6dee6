//! How much the next load of a canner should hold.
//!
//! With the number of jars known, full loads but for a short one at the start end the day soonest
//! (one canner and equal cycles: Ikura and Gimple 1986, Lee and Uzsoy 1999). The number is hardly
//! ever known, so every size is simulated; a short first load pays only where the remainder is
//! likely.

use crate::outlook::compare::{Finish, Kitchen, Paired, Rule, compare};
use crate::sim::{Fault, Network, Start, Works};

/// A first load that is worth it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstLoad {
    /// How much is in it, in the unit of its stop.
    pub amount: u32,
    /// What it gains against full loads, on fresh days.
    pub gain: Paired,
}

/// The network with the next load of a stop of this size; none: full loads.
pub fn with_first(network: &Network, stop: usize, amount: Option<u32>) -> Network {
    let mut changed = network.clone();
    let station = network.stops[stop].station;
    if let Works::Batches(batches) = &mut changed.stations[station].works {
        batches.first.retain(|(of, _)| *of != stop);
        batches
            .first
            .extend(amount.map(|amount| (stop, f64::from(amount))));
    }
    changed
}

/// The size of the next load at a batch stop that ends the day soonest; `None` for a full one.
///
/// It must gain `least_gain_min`, and end the day later in no more than the share of days that
/// [`Rule::sure`] leaves: nobody starts a short load on a guess.
///
/// # Errors
/// What is wrong with the network.
pub fn first_load(
    network: &Network,
    start: &Start,
    stop: usize,
    finish: Finish<'_>,
    least_gain_min: f64,
    (rule, seed): (Rule, u64),
) -> Result<Option<FirstLoad>, Fault> {
    let full = whole(network.stops[stop].fits);
    let sizes: Vec<u32> = (1..full).collect();
    let with = |amount: Option<u32>| with_first(network, stop, amount);
    let mut networks = vec![with(None)];
    networks.extend(sizes.iter().map(|size| with(Some(*size))));
    let mut kitchen = Kitchen::of_networks(&networks, start, finish, seed)?;
    let race = compare(&mut kitchen, &vec![least_gain_min; sizes.len()], &[], rule);
    let Some(winner) = race.winner else {
        return Ok(None);
    };
    let gain = kitchen.fresh(winner, rule.days);
    let holds = gain.mean >= least_gain_min && gain.below <= 1.0 - rule.sure;
    Ok(holds.then(|| FirstLoad {
        amount: sizes[winner - 1],
        gain,
    }))
}

/// Jars that a load takes; a load of more than hundreds is none of a household.
fn whole(fits: f64) -> u32 {
    fits.clamp(0.0, 500.0).floor() as u32
}

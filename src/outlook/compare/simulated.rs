//! Changes simulated on the engine.

use super::{Days, Paired};
use crate::sim::{Fault, Key, Network, Outcome, Simulator, Start, Until};

/// The run number of the first fresh day; the race never comes so far.
pub const START_OF_FRESH: u64 = 1 << 32;

/// When a simulated day counts as done, in minutes.
pub type Finish<'a> = &'a dyn Fn(&Outcome) -> f64;

/// The end of the last service.
pub fn last_service(day: &Outcome) -> f64 {
    day.finish_min
}

/// Numbered changes of a kitchen: other seats, or another network. Change 0 is staying.
pub struct Kitchen<'a> {
    finish: Finish<'a>,
    simulators: Vec<Simulator<'a>>,
    /// By change: which simulator, which start.
    changes: Vec<(usize, usize)>,
    starts: Vec<Start>,
    seed: u64,
    chain_of: Option<usize>,
}

impl<'a> Kitchen<'a> {
    /// Changes of seats in one network; the first start is staying.
    ///
    /// # Errors
    /// What is wrong with the network.
    pub fn of_seats(
        network: &'a Network,
        starts: Vec<Start>,
        finish: Finish<'a>,
        seed: u64,
    ) -> Result<Self, Fault> {
        Ok(Kitchen {
            finish,
            simulators: vec![Simulator::new(network)?],
            changes: (0..starts.len()).map(|start| (0, start)).collect(),
            starts,
            seed,
            chain_of: None,
        })
    }

    /// Changes of the network from one start; the first network is staying.
    ///
    /// # Errors
    /// What is wrong with a network.
    pub fn of_networks(
        networks: &'a [Network],
        start: &Start,
        finish: Finish<'a>,
        seed: u64,
    ) -> Result<Self, Fault> {
        let simulators = networks.iter().map(Simulator::new);
        Ok(Kitchen {
            finish,
            simulators: simulators.collect::<Result<_, _>>()?,
            changes: (0..networks.len()).map(|network| (network, 0)).collect(),
            starts: vec![start.clone()],
            seed,
            chain_of: None,
        })
    }

    /// Keeps the critical chain on the days of one change; nobody else pays for it.
    pub fn keep_chain_of(&mut self, change: usize) {
        self.chain_of = Some(change);
    }

    /// The day of this number with a change.
    pub fn day(&mut self, change: usize, day: u64) -> &Outcome {
        let (simulator, start) = self.changes[change];
        let key = Key {
            seed: self.seed,
            run: day,
        };
        let simulator = &mut self.simulators[simulator];
        simulator.keep_chain(self.chain_of == Some(change));
        simulator.run(&self.starts[start], key, Until::done())
    }

    /// When that day is done.
    pub fn finish(&mut self, change: usize, day: u64) -> f64 {
        let finish = self.finish;
        finish(self.day(change, day))
    }

    /// What a change gains against staying on days that no race has seen.
    pub fn fresh(&mut self, change: usize, days: u32) -> Paired {
        let (mut staying, mut changed) = (Vec::new(), Vec::new());
        for day in START_OF_FRESH..START_OF_FRESH + u64::from(days) {
            staying.push(self.finish(0, day));
            changed.push(self.finish(change, day));
        }
        Paired::of(&staying, &changed)
    }
}

impl Days for Kitchen<'_> {
    fn finish_min(&mut self, change: usize, day: u64) -> f64 {
        self.finish(change, day)
    }
}

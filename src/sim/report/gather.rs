//! Adds up the outcomes of runs.

use super::sums::{ClassTallies, HelperTallies, StationTallies, StepTallies, SystemTallies};
use super::tally::Spread;
use super::{FirstRun, LearnedReport, Report};
use crate::sim::format::Task;
use crate::sim::{Outcome, Works};

/// The sums over the runs so far.
pub(super) struct Gather<'task> {
    task: &'task Task,
    finishes: Vec<f64>,
    unfinished: u32,
    system: SystemTallies,
    classes: Vec<ClassTallies>,
    stations: Vec<StationTallies>,
    steps: Vec<StepTallies>,
    helpers: Vec<HelperTallies>,
}

/// What the steps of one station did together.
#[derive(Debug, Clone, Copy, Default)]
struct Through {
    started: f64,
    waited: f64,
    wait_sum: f64,
    left: f64,
    stay_sum: f64,
}

impl<'task> Gather<'task> {
    pub(super) fn new(task: &'task Task) -> Self {
        let network = &task.network;
        Self {
            task,
            finishes: Vec::new(),
            unfinished: 0,
            system: SystemTallies::default(),
            classes: vec![ClassTallies::default(); network.classes],
            stations: vec![StationTallies::default(); network.stations.len()],
            steps: vec![StepTallies::default(); network.stops.len()],
            helpers: vec![HelperTallies::default(); network.helpers.len()],
        }
    }

    /// One more run.
    pub(super) fn add(&mut self, outcome: &Outcome) {
        self.finishes.push(outcome.finish_min);
        self.unfinished += u32::from(outcome.services_left > 0.0);
        self.add_system(outcome);
        self.add_classes(outcome);
        self.add_stations(outcome);
        for (step, times) in self.steps.iter_mut().zip(&outcome.stops) {
            step.throughput.add(times.left / outcome.measured_min);
            step.wait.add(times.wait_sum / times.started);
            step.stay.add(times.stay_sum / times.left);
            step.lost.add(times.lost / (times.arrivals + times.lost));
        }
        for (number, (helper, times)) in self.helpers.iter_mut().zip(&outcome.helpers).enumerate() {
            helper.working.add(times.working / outcome.measured_min);
            helper.starved.add(times.starved / outcome.measured_min);
            helper.blocked.add(times.blocked / outcome.measured_min);
            helper.away.add(times.away / outcome.measured_min);
            let chain = outcome.chain_by_helper.get(number).copied();
            helper.chain.add(chain.unwrap_or(0.0));
        }
    }

    fn add_system(&mut self, outcome: &Outcome) {
        let area: f64 = outcome.stations.iter().map(|station| station.area).sum();
        let classes = &outcome.classes_in;
        let left: f64 = classes.iter().map(|class| class.left).sum();
        let lost: f64 = classes.iter().map(|class| class.lost).sum();
        let entered: f64 = classes.iter().map(|class| class.entered).sum();
        let stay: f64 = classes.iter().map(|class| class.stay_sum).sum();
        self.system.throughput.add(left / outcome.measured_min);
        self.system.present.add(area / outcome.measured_min);
        self.system.stay.add(stay / left);
        self.system.lost.add(lost / (entered + lost));
        if self.task.has_whole_carriers() {
            self.system.gap.add((area - stay) / outcome.measured_min);
        }
    }

    fn add_classes(&mut self, outcome: &Outcome) {
        for (number, class) in self.classes.iter_mut().enumerate() {
            class.finishes.push(outcome.class_finish_min[number]);
            class.made.add(outcome.class_made[number]);
            if let Some(times) = outcome.classes_in.get(number) {
                class.throughput.add(times.left / outcome.measured_min);
                class.stay.add(times.stay_sum / times.left);
            }
        }
    }

    fn add_stations(&mut self, outcome: &Outcome) {
        let network = &self.task.network;
        let mut through = vec![Through::default(); network.stations.len()];
        for (stop, times) in network.stops.iter().zip(&outcome.stops) {
            let sum = &mut through[stop.station];
            sum.started += times.started;
            sum.waited += times.waited;
            sum.wait_sum += times.wait_sum;
            sum.left += times.left;
            sum.stay_sum += times.stay_sum;
        }
        let minutes = outcome.measured_min;
        for (number, station) in self.stations.iter_mut().enumerate() {
            let times = outcome.stations[number];
            let through = through[number];
            let servers = match &network.stations[number].works {
                Works::Servers(count) => count.map(f64::from),
                Works::Batches(batches) => Some(f64::from(batches.servers)),
                Works::Hands => None,
            };
            let present = match (servers, &network.stations[number].works) {
                (Some(servers), _) => servers * minutes,
                (None, Works::Hands) => times.working + times.starved + times.blocked,
                (None, _) => f64::NAN,
            };
            station.throughput.add(through.left / minutes);
            station.waiting.add(times.waiting / minutes);
            station.present.add(times.area / minutes);
            station.wait.add(through.wait_sum / through.started);
            station.stay.add(through.stay_sum / through.left);
            station.delayed.add(through.waited / through.started);
            station.busy.add(times.working / minutes);
            station.working.add(times.working / present);
            station.blocked.add(times.blocked / present);
            station.starved.add(times.starved / present);
            station.unstaffed.add(times.unstaffed / minutes);
            station.empty.add(times.empty / minutes);
            station.lost.add(times.lost / (times.arrivals + times.lost));
            station.gap.add((times.area - through.stay_sum) / minutes);
            let chain = outcome.chain_by_station.get(number).copied();
            station.chain.add(chain.unwrap_or(0.0));
            let sets = outcome.set_by == Some(number);
            station.sets_finish.add(f64::from(u8::from(sets)));
            if matches!(network.stations[number].works, Works::Batches(_)) {
                let (count, amount) = self.task.batches(outcome, number);
                station.batches.add(count);
                station.batch_size.add(amount / count);
            }
        }
    }

    /// All together.
    pub(super) fn report(self, runs: u32, seed: u64, first_run: FirstRun) -> Report {
        let task = self.task;
        let network = &task.network;
        let named = |number: usize| network.stations[number].name.clone();
        Report {
            about: task.about.clone(),
            runs,
            seed,
            minutes: task.run.minutes,
            warm_up_min: task.run.warm_up_min,
            makespan: Spread::of(self.finishes),
            unfinished_runs: self.unfinished,
            system: self.system.report(),
            classes: (task.classes.iter().zip(self.classes))
                .map(|(name, sums)| sums.report(name.clone()))
                .collect(),
            stations: (self.stations.iter().enumerate())
                .map(|(number, sums)| sums.report(named(number)))
                .collect(),
            steps: (task.steps.iter().zip(&self.steps))
                .map(|(name, sums)| sums.report(name.clone()))
                .collect(),
            helpers: (network.helpers.iter().zip(&self.helpers))
                .map(|(helper, sums)| sums.report(helper.name.clone()))
                .collect(),
            learned: task.learned.iter().map(LearnedReport::from).collect(),
            first_run,
        }
    }
}

impl Task {
    /// How many batches of a station began in the window, and how much was in them.
    fn batches(&self, outcome: &Outcome, station: usize) -> (f64, f64) {
        let mut sums = (0.0, 0.0);
        for batch in &outcome.batches {
            let here = self.network.stops[batch.stop].station == station;
            if here && batch.began_min >= self.run.warm_up_min {
                sums = (sums.0 + 1.0, sums.1 + batch.amount);
            }
        }
        sums
    }
}

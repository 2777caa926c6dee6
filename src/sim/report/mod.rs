//! Runs a network many times and says what came of it.
//!
//! Every figure is a mean over independent runs with its standard error. Shares are of the time
//! of the servers, or of the hands that were there; numbers waiting and present are averages over
//! time, in carriers; everything after the warm-up only. The same task, runs and seed give the
//! same report.

mod first_run;
mod gather;
mod sums;
mod tally;
mod text;
mod walk;
mod whole;
mod words;

use serde::Serialize;

pub use first_run::{Active, ArrowSigns, FirstRun, Passed};
pub use tally::{Estimate, Spread, Tally};
pub use walk::{HandOver, WalkReport, walk};

use super::format::{Learned, Misread, Task};
use super::posterior::Posterior;
use super::{Key, Simulator, Until};
use gather::Gather;

/// Runs when nobody says how many.
pub const RUNS: u32 = 400;

/// The seed when nobody names one.
pub const SEED: u64 = 1;

/// What came of all runs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// What the network is, in its file's words.
    pub about: String,
    /// How many runs.
    pub runs: u32,
    /// The seed.
    pub seed: u64,
    /// Minutes of one run; absent where each ran until its work was done.
    pub minutes: Option<f64>,
    /// Minutes at the beginning that were not measured.
    pub warm_up_min: f64,
    /// When the last service ended, over runs; the end of the run where work was left.
    pub makespan: Spread,
    /// How many runs ended with work left.
    pub unfinished_runs: u32,
    /// The network as a whole.
    pub system: SystemReport,
    /// Each class of work.
    pub classes: Vec<ClassReport>,
    /// Each station.
    pub stations: Vec<StationReport>,
    /// Each step.
    pub steps: Vec<StepReport>,
    /// Each helper.
    pub helpers: Vec<HelperReport>,
    /// Rates learned from evidence.
    pub learned: Vec<LearnedReport>,
    /// The first run from close by.
    pub first_run: FirstRun,
}

/// The network as a whole.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct SystemReport {
    /// Carriers a minute that left finished.
    pub throughput: Estimate,
    /// Carriers present.
    pub present: Estimate,
    /// Minutes from coming in to leaving finished.
    pub time_in_system_min: Estimate,
    /// Share of all that came in which was lost.
    pub lost: Estimate,
    /// Little's law for the whole: present less rate times time in system. Absent where carriers
    /// are cut up or made of several, or go round for ever.
    pub littles_gap: Estimate,
}

/// One class of work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClassReport {
    /// Its name.
    pub name: String,
    /// Carriers a minute that left finished.
    pub throughput: Estimate,
    /// Minutes from coming in to leaving finished.
    pub time_in_system_min: Estimate,
    /// When the last of it left.
    pub finish: Spread,
    /// How much of it was made in a whole run, the warm-up included.
    pub made: Estimate,
}

/// One station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StationReport {
    /// Its name.
    pub name: String,
    /// Carriers a minute that left it.
    pub throughput: Estimate,
    /// Carriers that wait in front.
    pub waiting: Estimate,
    /// Carriers that wait, are worked on or block.
    pub present: Estimate,
    /// Minutes of waiting before the service.
    pub wait_min: Estimate,
    /// Minutes from coming to leaving.
    pub stay_min: Estimate,
    /// Share of carriers that wait at all.
    pub delayed: Estimate,
    /// Servers, places or hands at work.
    pub busy: Estimate,
    /// Share of time that servers or hands work; absent for unlimited servers.
    pub working: Estimate,
    /// Share of time that they are done and cannot hand on.
    pub blocked: Estimate,
    /// Share of time that they have nothing to work on.
    pub starved: Estimate,
    /// Share of the time that work waits and nobody is there for it.
    pub unstaffed: Estimate,
    /// Share of the time that nothing is there.
    pub empty: Estimate,
    /// Share of what came that was lost for want of room.
    pub lost: Estimate,
    /// Batches in a run, where it works in batches.
    pub batches: Estimate,
    /// Amount of a batch.
    pub batch_size: Estimate,
    /// Minutes of the critical chain.
    pub chain_min: Estimate,
    /// In what share of runs it holds the longest part of the critical chain.
    pub sets_finish: Estimate,
    /// Little's law: present less rate times stay. It is 0 but for what was there at the edges of
    /// the window.
    pub littles_gap: Estimate,
}

/// One step: a class of work at a station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepReport {
    /// Its name.
    pub name: String,
    /// Carriers a minute that left it.
    pub throughput: Estimate,
    /// Minutes of waiting before the service.
    pub wait_min: Estimate,
    /// Minutes from coming to leaving.
    pub stay_min: Estimate,
    /// Share that was lost for want of room.
    pub lost: Estimate,
}

/// One helper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HelperReport {
    /// Their name.
    pub name: String,
    /// Share of the time working.
    pub working: Estimate,
    /// Share of the time seated without work.
    pub starved: Estimate,
    /// Share of the time holding work that cannot leave.
    pub blocked: Estimate,
    /// Share of the time resting, moving or away.
    pub away: Estimate,
    /// Minutes of the critical chain.
    pub chain_min: Estimate,
}

/// A rate learned from evidence: a Gamma law.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnedReport {
    /// Whose and where.
    pub name: String,
    /// Shape of the law.
    pub shape: f64,
    /// Rate of the law.
    pub rate: f64,
    /// The mean of the learned rate.
    pub mean: f64,
    /// Its coefficient of variation.
    pub cv: f64,
    /// Minutes of one service, on the average; absent where the evidence allows any.
    pub service_min: Option<f64>,
    /// Exceeded with probability 0.95.
    pub q05: f64,
    /// Exceeded with probability 0.05.
    pub q95: f64,
}

impl From<&Learned> for LearnedReport {
    fn from(learned: &Learned) -> Self {
        let (shape, rate) = (learned.shape, learned.rate);
        let law = Posterior { shape, rate };
        Self {
            name: learned.name.clone(),
            shape,
            rate,
            mean: law.mean(),
            cv: law.cv(),
            service_min: Some(law.service_min()).filter(|minutes| minutes.is_finite()),
            q05: law.quantile(0.05),
            q95: law.quantile(0.95),
        }
    }
}

/// Simulates a task.
///
/// # Errors
/// A sentence that says what is wrong with the network and what to do.
pub fn simulate(task: &Task, runs: u32, seed: u64) -> Result<Report, Misread> {
    let mut gather = Gather::new(task);
    let mut first_run = FirstRun::default();
    let mut simulator = simulator(task)?;
    for run in 0..u64::from(runs) {
        simulator.keep_log(run == 0);
        let outcome = simulator.run(&task.start, Key { seed, run }, until(task));
        gather.add(outcome);
        if run == 0 {
            first_run = FirstRun::of(task, outcome);
        }
    }
    Ok(gather.report(runs, seed, first_run))
}

/// When each run was finished, in minutes: the bare figures behind [`Report::makespan`].
///
/// # Errors
/// As [`simulate`].
pub fn finishes(task: &Task, runs: u32, seed: u64) -> Result<Vec<f64>, Misread> {
    let mut simulator = simulator(task)?;
    let finish = |run: u64| {
        let key = Key { seed, run };
        simulator.run(&task.start, key, until(task)).finish_min
    };
    Ok((0..u64::from(runs)).map(finish).collect())
}

fn simulator(task: &Task) -> Result<Simulator<'_>, Misread> {
    let fault = |fault: super::Fault| Misread::new(fault.to_string(), "");
    let mut simulator = Simulator::new(&task.network).map_err(fault)?;
    // Where work goes on for ever nothing ends the day, and the chain would only grow.
    simulator.keep_chain(task.run.minutes.is_none());
    Ok(simulator)
}

fn until(task: &Task) -> Until {
    Until {
        minutes: task.run.minutes.unwrap_or(Until::done().minutes),
        warm_up_min: task.run.warm_up_min,
    }
}

impl Report {
    /// As aligned text.
    pub fn to_text(&self) -> String {
        text::text(self)
    }
}

//! What came of one run.

/// One simulated day.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// When the last service ended, in minutes; the horizon if work was left then.
    pub finish_min: f64,
    /// When the last of each class left; 0 for a class that had nothing to do.
    pub class_finish_min: Vec<f64>,
    /// How much of each class left, in the unit it leaves in.
    pub class_made: Vec<f64>,
    /// What still waited or was under way when the run ended, in services; 0 when all was done.
    pub services_left: f64,
    /// What each station did with its time until the finish.
    pub stations: Vec<StationTimes>,
    /// What each helper did with theirs.
    pub helpers: Vec<HelperTimes>,
    /// The batches, in the order they started; those under way at the start among them.
    pub batches: Vec<BatchRun>,
    /// Minutes of the critical chain that each station accounts for. Walked back from the last
    /// service: each start waited for its work, its helper or server, a shared thing or a place,
    /// whichever came last. Adds up to `finish_min`.
    pub chain_by_station: Vec<f64>,
    /// The same minutes by helper; what no helper did is not among them.
    pub chain_by_helper: Vec<f64>,
    /// The station where the chain spent the longest time.
    pub set_by: Option<usize>,
    /// Minutes that were measured: from the end of the warm-up to the finish. All sums are taken
    /// within them.
    pub measured_min: f64,
    /// What passed each stop.
    pub stops: Vec<StopTimes>,
    /// What passed through the network, by class.
    pub classes_in: Vec<ClassTimes>,
    /// Each service in the order they began; only where [`super::Simulator::keep_log`] asks for it.
    pub log: Vec<Visit>,
}

/// What a station did with its time, in minutes of its servers or hands.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StationTimes {
    /// Work went on.
    pub working: f64,
    /// Ready hands or servers had nothing to work on.
    pub starved: f64,
    /// Work was done and could not leave.
    pub blocked: f64,
    /// Work waited and nobody was there for it; of the station, not of hands.
    pub unstaffed: f64,
    /// Services done.
    pub services: f64,
    /// Integral of what waits or is worked on or blocked here, in carriers times minutes.
    pub area: f64,
    /// The part of it that only waits.
    pub waiting: f64,
    /// Carriers that came and found a place.
    pub arrivals: f64,
    /// Carriers that found none and were lost.
    pub lost: f64,
    /// Nothing was there, in minutes of the station.
    pub empty: f64,
}

/// What passed a stop, in carriers of that stop, each counted where it is in the measured time.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StopTimes {
    /// Came and found a place; from an unlimited source: were taken.
    pub arrivals: f64,
    /// Found no place and were lost.
    pub lost: f64,
    /// Began to be served.
    pub started: f64,
    /// Minutes these waited before; what was there at the start waits from minute 0.
    pub wait_sum: f64,
    /// Of those that began, how many had waited at all.
    pub waited: f64,
    /// Left the stop.
    pub left: f64,
    /// Minutes these were at the stop, blocked time among them.
    pub stay_sum: f64,
}

/// What passed through the network in one class.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ClassTimes {
    /// Carriers that came in, those there at the start among them.
    pub entered: f64,
    /// Carriers that went out, in carriers of the stop they left from.
    pub left: f64,
    /// Carriers that were lost.
    pub lost: f64,
    /// Minutes between coming in and going out of those that went out; what was there at the start
    /// came in at minute 0.
    pub stay_sum: f64,
}

/// One service, or one stop's part of a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Visit {
    /// At which stop.
    pub stop: usize,
    /// By whom; `None` at a server or in a batch.
    pub helper: Option<usize>,
    /// When it began; below 0 if before the start.
    pub began_min: f64,
    /// When it was done, or will be where the run ended before.
    pub ended_min: f64,
    /// When it left: later than done when it was blocked, infinite when it never left.
    pub left_min: f64,
    /// How much was taken.
    pub amount: f64,
}

/// What a helper did with their time, in minutes.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct HelperTimes {
    /// Working.
    pub working: f64,
    /// Seated without work.
    pub starved: f64,
    /// Holding work that could not leave.
    pub blocked: f64,
    /// Resting, moving or away.
    pub away: f64,
}

/// A batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatchRun {
    /// The stop of its first work.
    pub stop: usize,
    /// When it began, in minutes; below 0 if before the start.
    pub began_min: f64,
    /// When it ended.
    pub ended_min: f64,
    /// How much was in it.
    pub amount: f64,
}

//! What is simulated: stations, the stops that work makes at them, helpers, shared things.
//!
//! A stop is one class of work at one station ("pears at slicing"). Work waits at stops, a service
//! takes one carrier of it (or a batch), and what it yields goes on to the next stop.

/// Stations, stops and helpers by number.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Network {
    /// The stations.
    pub stations: Vec<Station>,
    /// The stops; each belongs to one station.
    pub stops: Vec<Stop>,
    /// The helpers; only [`Works::Hands`] stations need them.
    pub helpers: Vec<Helper>,
    /// How many there are of each shared thing (burners, sinks).
    pub pools: Vec<u32>,
    /// Work that arrives while the simulation runs.
    pub sources: Vec<Source>,
    /// Stocks that work draws on and other work feeds (clean jars): a service that would draw more
    /// than is there waits for it.
    pub supplies: Vec<Supply>,
    /// Minutes between leaving one seat and working at another: hand over, wash hands, walk.
    pub change_min: f64,
    /// How people move by themselves; `None`: everybody stays.
    pub roaming: Option<Roaming>,
    /// How many classes of work there are (products); [`Stop::class`] is below it.
    pub classes: usize,
    /// By stop whether only whole units go on (jars, bags): what is less than one is eaten. Empty:
    /// nowhere.
    pub whole: Vec<bool>,
}

/// A place where work is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// For reports.
    pub name: String,
    /// How it works.
    pub works: Works,
    /// Places for carriers in front of it, over all its stops; `None` for no limit. Those being
    /// worked on are not counted.
    pub room: Option<u32>,
    /// What happens to a carrier that finds no place.
    pub when_full: WhenFull,
    /// Places for helpers; only for [`Works::Hands`].
    pub seats: u32,
    /// What of the shared things it takes, as (pool, count): a hand station while a service runs
    /// there (once for all hands), a batch server for each running batch.
    pub takes: Vec<(usize, u32)>,
    /// A factor on every service time here, drawn once a run: how fast this stove is.
    pub slowness: Uncertain,
}

/// How a station works.
#[derive(Debug, Clone, PartialEq)]
pub enum Works {
    /// Helpers seated here work on one carrier each.
    Hands,
    /// So many unattended places work on one carrier each; `None` for any number.
    Servers(Option<u32>),
    /// Unattended places that each take a batch: pots, canners.
    Batches(Batches),
}

/// Batch service by the general bulk rule: start when at least `min` wait, take at most what
/// fits; nobody joins a running batch. When nothing more can come, what waits is taken at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Batches {
    /// How many places there are.
    pub servers: u32,
    /// The least that is started, as a share (0 to 1) of what fits for the stop in question.
    pub min_share: f64,
    /// Sizes of the next batches, in order, for the stop named: such a batch starts as soon as
    /// that much waits. After them the rule above holds.
    pub first: Vec<(usize, f64)>,
    /// Minutes after which even less than the least is started, counted from when the oldest began
    /// to wait; `None` for never.
    pub patience_min: Option<f64>,
}

/// When a carrier finds no place at the next station.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum WhenFull {
    /// Blocking after service: it stays on its server, which is blocked, until there is a place.
    #[default]
    Block,
    /// It is lost.
    Lose,
}

/// One class of work at one station.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// Its station.
    pub station: usize,
    /// Its class of work (product).
    pub class: usize,
    /// How much one service takes; the last carrier may hold less once nothing more can come, and
    /// takes its share of the time.
    pub carrier: f64,
    /// How much one batch takes; only at a batch station.
    pub fits: f64,
    /// Minutes of one service: of a whole carrier by a helper of rate 1, of a batch of any size.
    pub time: Law,
    /// What goes on for one unit that is taken, drawn once a run.
    pub yields: Uncertain,
    /// Where it goes.
    pub then: Then,
    /// Lower is taken first; equal ranks by who waited longest.
    pub rank: u32,
    /// Batches hold work of one group only.
    pub group: usize,
    /// What one unit that goes on draws of the supplies, as (supply, amount).
    pub draws: Vec<(usize, f64)>,
}

/// Where work goes after a service.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// It is finished.
    Leave,
    /// To another stop.
    Go(usize),
    /// Each carrier by chance, as (probability, stop or out); the probabilities add up to 1.
    Chance(Vec<(f64, Option<usize>)>),
    /// In fixed shares by weight: each carrier to the way that is furthest behind its share.
    Share(Vec<(f64, usize)>),
    /// Into a supply.
    Feed(usize),
}

/// Service and arrival laws, in minutes.
#[derive(Debug, Clone, PartialEq)]
pub enum Law {
    /// Always the same.
    Deterministic(f64),
    /// Exponential with this mean.
    Exponential(f64),
    /// Gamma with mean and shape; shape 4 is a coefficient of variation of 0.5.
    Gamma {
        /// Mean in minutes.
        mean: f64,
        /// Shape; its inverse is the squared coefficient of variation.
        shape: f64,
    },
    /// Lognormal with mean and coefficient of variation.
    Lognormal {
        /// Mean in minutes.
        mean: f64,
        /// Coefficient of variation.
        cv: f64,
    },
    /// Any of these, each as likely.
    Empirical(Vec<f64>),
    /// These in order, then from the start again.
    Sequence(Vec<f64>),
    /// The sum of independent parts: a canner's loading, heating, process and rest.
    Sum(Vec<Law>),
}

/// A number that is not known exactly, drawn once a run.
#[derive(Debug, Clone, PartialEq)]
pub enum Uncertain {
    /// Known.
    Known(f64),
    /// Gamma with shape and rate (mean is shape / rate): the posterior of a rate.
    Gamma {
        /// Shape.
        shape: f64,
        /// Rate.
        rate: f64,
    },
    /// Lognormal with median and the standard deviation of the logarithm.
    Lognormal {
        /// Median.
        median: f64,
        /// Standard deviation of the logarithm.
        sigma: f64,
    },
}

/// A person.
#[derive(Debug, Clone, PartialEq)]
pub struct Helper {
    /// For reports.
    pub name: String,
    /// For each stop the rate at which this person does its services (a service takes
    /// [`Stop::time`] divided by it); `None` where they may not work.
    pub rates: Vec<Option<Uncertain>>,
    /// A factor on all their rates, drawn once a run.
    pub speed: Uncertain,
    /// When they are not there, as (from, until) in minutes from the start, in order.
    pub away: Vec<(f64, f64)>,
    /// Rests beyond that.
    pub rests: Option<Rests>,
    /// Stops in the order this person would rather work at, when free to choose among several
    /// stops or stations; empty: whoever waited longest.
    pub prefers: Vec<usize>,
    /// A fixed order of work, stop by stop: the person waits for the next in turn. Empty: none.
    pub turns: Vec<usize>,
    /// Stations they serve without moving, all at once (a helper of a network who is allowed at
    /// several stations); empty: only the station of their seat.
    pub serves: Vec<usize>,
}

/// A rest after so much presence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rests {
    /// Minutes from the start to the first.
    pub first_min: f64,
    /// Minutes from the end of one to the next.
    pub every_min: f64,
    /// How long one lasts.
    pub lasts_min: f64,
}

/// How people move by themselves when nobody tells them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roaming {
    /// Somebody without work for this long goes where work waits and nobody sits; where a seat is
    /// free and a carrier waits for each who sits there and for them too; or, when their own
    /// station is done for the day, where work waits and a seat is free. Somebody who has sat this
    /// long goes, with empty hands, where work has waited this long and nobody sits, unless they
    /// would leave more work alone.
    pub after_min: f64,
}

/// Work that arrives at a stop.
#[derive(Debug, Clone, PartialEq)]
pub enum Source {
    /// As much as is taken: the stop never runs out (a saturated line).
    Unlimited {
        /// Where.
        stop: usize,
    },
    /// One carrier at a time.
    Renewal {
        /// Where.
        stop: usize,
        /// Minutes between two.
        between: Law,
        /// No more than so many; `None` for no end.
        limit: Option<u64>,
    },
    /// One carrier at each of these minutes.
    Times {
        /// Where.
        stop: usize,
        /// When, ascending.
        at: Vec<f64>,
    },
}

/// A stock that work draws on.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// How much is there at the start.
    pub stock: f64,
    /// Whether other work may still bring some. A supply nobody feeds is not waited for; running
    /// out of it is somebody's errand, not the simulation's.
    pub is_fed: bool,
}

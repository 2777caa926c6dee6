//! Where a simulation begins: what waits, who sits where, what is under way.

/// The state at minute 0.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Start {
    /// What waits at each stop, in the stop's unit, oldest first as (amount, minutes it has waited
    /// already); one list a stop.
    pub waiting: Vec<Vec<(f64, f64)>>,
    /// The station where each helper sits; `None`: without a seat.
    pub seats: Vec<Option<usize>>,
    /// Services under way.
    pub busy: Vec<Busy>,
    /// When each helper may begin to work at their seat, in minutes (a move just made); empty: all
    /// at once.
    pub ready_min: Vec<f64>,
    /// How much each way of a [`super::Then::Share`] has had already, by stop; empty: nothing.
    pub shared: Vec<Vec<f64>>,
    /// What waits and may be more or less than it seems.
    pub unsure: Vec<Unsure>,
}

/// Part of what waits was made at a stop whose yield is not known, and nobody has counted it: there
/// is as much more or less of it as that yield, drawn once a run, is more or less than promised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unsure {
    /// Where it waits.
    pub stop: usize,
    /// Where it was made.
    pub from: usize,
    /// How much came by promise since it was counted, in the unit of the stop where it waits.
    pub amount: f64,
    /// The yield that was promised.
    pub promised: f64,
}

/// A service under way at minute 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Busy {
    /// At which stop.
    pub stop: usize,
    /// By whom; `None` for a server or a batch.
    pub helper: Option<usize>,
    /// How much is in it; it is not among the waiting.
    pub amount: f64,
    /// Minutes it has gone on. The rest is drawn from the stop's law, given that it lasted so long.
    pub age_min: f64,
    /// Minutes left, where they are known (a process that is being timed); then the age is of no
    /// account.
    pub left_min: Option<f64>,
}

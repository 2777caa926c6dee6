//! What the simulation remembers of each helper, unit of work and shared thing.

pub(super) use super::station_cell::{Kind, StationCell};
pub(super) use super::stop_cell::{Route, StopCell};

use super::outcome::HelperTimes;

/// No such number.
pub(super) const NONE: u32 = u32::MAX;

/// What a helper is doing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Doing {
    /// Not there, resting, on the way, or without a seat.
    #[default]
    Away,
    Idle,
    Working,
    Blocked,
}

/// A helper.
#[derive(Debug, Default)]
pub(super) struct HelperCell {
    pub(super) seat: u32,
    pub(super) doing: Doing,
    /// Since when they do it.
    pub(super) since: f64,
    pub(super) times: HelperTimes,
    /// The one stop they work at, if there is only one.
    pub(super) only: u32,
    /// From when on their account is kept.
    pub(super) measured: f64,
    /// They come back at this moment, if they are away.
    pub(super) back_at: f64,
    /// They may not begin at their seat before.
    pub(super) ready_at: f64,
    /// The link of the chain for being away.
    pub(super) link: u32,
    /// When they took their seat.
    pub(super) sat_at: f64,
    /// When they look around next for where they are needed.
    pub(super) next_look: f64,
    pub(super) next_away: usize,
    pub(super) rest_due: f64,
    /// When the next absence or rest is due, whichever comes first.
    pub(super) next_due: f64,
    /// They work at the station of their seat, in no fixed order.
    pub(super) is_plain: bool,
    /// Services taken in turn.
    pub(super) turn: usize,
    /// Their seat needs no hands (minding a canner): they stay there and work at nothing.
    pub(super) is_minding: bool,
    /// Where a carrier lies that they will go on with when they come back.
    pub(super) paused_at: Option<u32>,
    /// They have a carrier in hand at the start.
    pub(super) is_taken: bool,
    /// Neither seated nor on the way: free to be called.
    pub(super) is_unseated: bool,
}

/// Work that was taken off a stop.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Load {
    pub(super) amount: f64,
    pub(super) carriers: f64,
    /// Sum over its carriers of when they came to the stop, not before the start.
    pub(super) came: f64,
    /// Sum over its carriers of when they came into the network.
    pub(super) entered: f64,
}

/// A service under way, or one stop's part of a batch.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Unit {
    pub(super) stop: u32,
    pub(super) helper: u32,
    pub(super) load: Load,
    pub(super) link: u32,
    /// Where it goes: a stop or [`NONE`] for out.
    pub(super) to: u32,
    /// The unit whose server holds it; itself if it is the first of its batch, [`NONE`] if it
    /// stands outside the network and waits to be let in.
    pub(super) head: u32,
    /// Parts of the batch not gone yet; of a head.
    pub(super) parts: u16,
    /// Its server is blocked; of a head.
    pub(super) is_held: bool,
    /// The next part of the batch.
    pub(super) next: u32,
    /// Its line in the log.
    pub(super) visit: u32,
}

/// How many there are of a shared thing, and who waits for one.
#[derive(Debug, Default)]
pub(super) struct PoolCell {
    pub(super) free: i64,
    pub(super) waiters: Vec<u32>,
}

/// A circle of stops.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CircleCell {
    /// Circles before it and sources that may still bring work.
    pub(super) coming: u32,
    /// Units under way.
    pub(super) under_way: u32,
    /// Nothing moves in it any more, so that less than a carrier may be taken.
    pub(super) is_still: bool,
}

/// How much there is of a supply, and which stops wait for it.
#[derive(Debug, Default)]
pub(super) struct SupplyCell {
    pub(super) stock: f64,
    /// Circles that may still feed it.
    pub(super) feeders: u32,
    pub(super) waiters: Vec<u32>,
}

/// A source.
#[derive(Debug)]
pub(super) struct SourceCell {
    pub(super) stop: u32,
    pub(super) come: u64,
    pub(super) stream: rand_xoshiro::Xoshiro256PlusPlus,
    pub(super) draw: Option<super::law::Draw>,
    pub(super) link: u32,
}

/// A link of the critical chain: what took the time before something could begin.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Link {
    pub(super) began: f64,
    pub(super) ended: f64,
    pub(super) station: u32,
    pub(super) helper: u32,
    /// What ended just then and let it begin.
    pub(super) before: u32,
}

/// What has to be looked at before time goes on.
#[derive(Debug, Clone, Copy)]
pub(super) enum Task {
    /// A station may be able to begin something.
    Station(u32),
    /// Something waiting at a stop may begin.
    Stop(u32),
    /// There may be a place for what is blocked in front of a station.
    Admit(u32),
}

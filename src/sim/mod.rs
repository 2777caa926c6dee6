//! Discrete-event simulation of a network of stations: hands, places, batches, shared things.
//!
//! One engine for everything that is asked about time: `putby simulate` checks it against queueing
//! theory, the forecast runs the rest of a day on it, and moves are compared on it. It knows
//! nothing of fruit or of a day; a [`Network`] is stations, stops and helpers by number. Pure and
//! seeded: the same network, start, seed and run number give the same outcome on every machine.
//! Times are minutes, amounts are in the unit of the stop they wait at. Nothing is kept between
//! two runs but memory.

mod accounts;
mod batches;
mod begin;
mod books;
pub mod bottleneck;
pub mod brigade;
mod cells;
mod coming;
mod events;
mod fault;
mod flow;
pub mod format;
mod hands;
mod law;
pub mod network;
pub mod outcome;
mod people;
mod places;
mod plan;
pub mod posterior;
mod queue;
pub mod report;
mod residual;
mod roaming;
mod room;
mod shared;
mod simulator;
mod sources;
pub mod start;
mod station_cell;
mod stop_cell;
mod streams;
mod under_way;

pub use fault::Fault;
pub use simulator::{Simulator, Until};
pub use streams::Key;

pub use network::{
    Batches, Helper, Law, Network, Rests, Roaming, Source, Station, Stop, Supply, Then, Uncertain,
    WhenFull, Works,
};
pub use outcome::{BatchRun, ClassTimes, HelperTimes, Outcome, StationTimes, StopTimes, Visit};
pub use start::{Busy, Start, Unsure};

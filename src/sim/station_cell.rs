//! What the simulation remembers of each station.

use super::books::Nobody;
use super::network::{Network, Works};
use super::outcome::StationTimes;
use std::collections::VecDeque;

/// How a station works, in short.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Kind {
    #[default]
    Hands,
    Servers,
    Batches,
}

/// A station.
#[derive(Debug, Default)]
pub(super) struct StationCell {
    pub(super) kind: Kind,
    pub(super) stops: Vec<u32>,
    pub(super) room: f64,
    pub(super) is_losing: bool,
    /// Any number of servers.
    pub(super) is_wide: bool,
    pub(super) takes_pools: bool,
    /// A hand station has its shared things now.
    pub(super) has_pools: bool,
    pub(super) is_waiting_for_pool: bool,
    /// What presses in front has no place, while what waits is less than is taken otherwise.
    pub(super) is_stuck: bool,
    pub(super) slowness: f64,
    /// Idle helpers by number.
    pub(super) idle: Vec<u32>,
    /// Idle helpers, or free servers; below 0 when more is under way than there are places.
    pub(super) ready: i32,
    /// Services under way, blocked ones among them.
    pub(super) running: i32,
    pub(super) blocked: i32,
    /// Services that lie still because their helper is away.
    pub(super) paused: i32,
    /// Helpers whose seat is here.
    pub(super) seated: u32,
    /// Carriers that wait.
    pub(super) waiting: f64,
    /// Carriers on servers.
    pub(super) inside: f64,
    /// Stops where something waits.
    pub(super) queues: u32,
    /// Units that are done elsewhere and have no place here, first blocked first.
    pub(super) pressing: VecDeque<u32>,
    /// Planned batches begun.
    pub(super) planned: usize,
    /// The moment set last at which patience runs out.
    pub(super) patient_until: f64,
    /// Sums of what was, as [`super::books`] keeps them.
    pub(super) times: StationTimes,
    pub(super) nobody: Nobody,
}

impl StationCell {
    pub(super) fn all(network: &Network) -> Vec<StationCell> {
        let stations = network.stations.iter();
        let mut cells: Vec<StationCell> = stations
            .map(|station| StationCell {
                kind: match station.works {
                    Works::Hands => Kind::Hands,
                    Works::Servers(_) => Kind::Servers,
                    Works::Batches(_) => Kind::Batches,
                },
                room: station.room.map_or(f64::INFINITY, f64::from),
                is_losing: station.when_full == super::WhenFull::Lose,
                is_wide: station.works == Works::Servers(None),
                takes_pools: !station.takes.is_empty(),
                slowness: 1.0,
                ..StationCell::default()
            })
            .collect();
        for (number, stop) in network.stops.iter().enumerate() {
            cells[stop.station].stops.push(number as u32);
        }
        cells
    }

    /// More waits than there is room for, to be begun at once, or what waits cannot be made whole
    /// because there is no room.
    pub(super) fn is_overfull(&self) -> bool {
        self.is_stuck || self.waiting > self.room + 1e-9
    }

    /// Empty, as at the start of a run.
    pub(super) fn clear(&mut self, works: &Works) {
        self.has_pools = false;
        self.is_waiting_for_pool = false;
        self.idle.clear();
        self.ready = match works {
            Works::Hands => 0,
            Works::Servers(None) => i32::MAX / 2,
            Works::Servers(Some(count)) => *count as i32,
            Works::Batches(batches) => batches.servers as i32,
        };
        (self.running, self.blocked, self.paused, self.seated) = (0, 0, 0, 0);
        (self.waiting, self.inside, self.queues) = (0.0, 0.0, 0);
        self.pressing.clear();
        self.planned = 0;
        self.patient_until = -1.0;
        self.times = StationTimes::default();
        self.nobody = Nobody::Empty;
    }
}

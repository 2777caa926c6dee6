//! Every limit of the server, in one place: how much one device, one address and all together may
//! ask for, so that a flood from one slows nobody else.
//!
//! Each is a flag of `putby serve` and a variable of its environment; the usual values fit a family
//! on a small single-board computer. Not here: what a day may hold (`src/day/plan_check.rs`), how
//! long a name or a note may be (`src/day/decide/find.rs`), and the sizes of bodies
//! (`src/server/json.rs`), which both ends keep to.

use clap::Args;
use std::time::Duration;

/// How many devices' worth of commands one address may send: a small router may stand for a room.
pub const DEVICES_AT_AN_ADDRESS: u32 = 8;

/// The limits. Rates are of the day's time, so that a demonstration may tap as fast as it runs.
#[derive(Debug, Clone, Args, PartialEq, Eq)]
#[command(next_help_heading = "Limits")]
pub struct Limits {
    /// Live screens (WebSockets) in all.
    #[arg(long, env = "PUTBY_SOCKETS", default_value_t = Limits::USUAL.sockets)]
    pub sockets: usize,
    /// Live screens of one address.
    #[arg(long, env = "PUTBY_SOCKETS_PER_ADDRESS", default_value_t = Limits::USUAL.sockets_per_address)]
    pub sockets_per_address: usize,
    /// Connections in all, live screens among them.
    #[arg(long, env = "PUTBY_CONNECTIONS", default_value_t = Limits::USUAL.connections)]
    pub connections: usize,
    /// Connections of one address.
    #[arg(long, env = "PUTBY_CONNECTIONS_PER_ADDRESS", default_value_t = Limits::USUAL.connections_per_address)]
    pub connections_per_address: usize,
    /// New live screens a second of one address.
    #[arg(long, env = "PUTBY_HANDSHAKES_PER_S", default_value_t = Limits::USUAL.handshakes_per_s, value_parser = rate())]
    pub handshakes_per_s: u32,
    /// How many of them may come at once.
    #[arg(long, env = "PUTBY_HANDSHAKES_BURST", default_value_t = Limits::USUAL.handshakes_burst, value_parser = rate())]
    pub handshakes_burst: u32,
    /// Commands a second of one device; of one address, eight times as many.
    #[arg(long, env = "PUTBY_COMMANDS_PER_S", default_value_t = Limits::USUAL.commands_per_s, value_parser = rate())]
    pub commands_per_s: u32,
    /// How many of them may come at once.
    #[arg(long, env = "PUTBY_COMMANDS_BURST", default_value_t = Limits::USUAL.commands_burst, value_parser = rate())]
    pub commands_burst: u32,
    /// Commands of one device that may wait for their answer at a time.
    #[arg(long, env = "PUTBY_COMMANDS_WAITING", default_value_t = Limits::USUAL.commands_waiting)]
    pub commands_waiting: usize,
    /// Requests of any kind a second of one address.
    #[arg(long, env = "PUTBY_REQUESTS_PER_S", default_value_t = Limits::USUAL.requests_per_s, value_parser = rate())]
    pub requests_per_s: u32,
    /// How many of them may come at once.
    #[arg(long, env = "PUTBY_REQUESTS_BURST", default_value_t = Limits::USUAL.requests_burst, value_parser = rate())]
    pub requests_burst: u32,
    /// The longest message a device may send on a live screen's socket, in bytes.
    #[arg(long, env = "PUTBY_MESSAGE_BYTES", default_value_t = Limits::USUAL.message_bytes)]
    pub message_bytes: usize,
    /// Seconds in which a request's head must have come.
    #[arg(long, env = "PUTBY_HEAD_S", default_value_t = Limits::USUAL.head_s, value_parser = seconds())]
    pub head_s: u64,
    /// Seconds in which a request's body must have come.
    #[arg(long, env = "PUTBY_BODY_S", default_value_t = Limits::USUAL.body_s, value_parser = seconds())]
    pub body_s: u64,
}

impl Limits {
    /// For a family on a small single-board computer.
    pub const USUAL: Limits = Limits {
        sockets: 256,
        sockets_per_address: 32,
        connections: 384,
        // Eight devices, each with a live screen and a browser's six connections. A connection holds
        // two files: a flood from one address beside a family keeps below 256 of them.
        connections_per_address: 64,
        handshakes_per_s: 10,
        handshakes_burst: 32,
        commands_per_s: 20,
        commands_burst: 40,
        commands_waiting: 16,
        // A page is some hundred small files, fetched at once.
        requests_per_s: 100,
        requests_burst: 1000,
        message_bytes: 16 * 1024,
        head_s: 5,
        body_s: 30,
    };

    /// Beyond what any test or load of one computer reaches.
    pub const WIDE: Limits = Limits {
        sockets: 100_000,
        sockets_per_address: 100_000,
        connections: 100_000,
        connections_per_address: 100_000,
        handshakes_per_s: 1_000_000,
        handshakes_burst: 1_000_000,
        commands_per_s: 1_000_000,
        commands_burst: 1_000_000,
        commands_waiting: 100_000,
        requests_per_s: 1_000_000,
        requests_burst: 1_000_000,
        ..Limits::USUAL
    };

    /// How long a request's head may take.
    pub fn head(&self) -> Duration {
        Duration::from_secs(self.head_s)
    }

    /// How long a request's body may take.
    pub fn body(&self) -> Duration {
        Duration::from_secs(self.body_s)
    }
}

impl Default for Limits {
    fn default() -> Limits {
        Limits::USUAL
    }
}

fn rate() -> clap::builder::RangedI64ValueParser<u32> {
    clap::value_parser!(u32).range(1..=1_000_000)
}

fn seconds() -> clap::builder::RangedU64ValueParser<u64> {
    clap::value_parser!(u64).range(1..=3600)
}

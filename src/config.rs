//! What the server is told at its start: where to listen, where to keep its files, how fast time
//! runs, how patient it is.
//!
//! Plain values without globals; flags become one of these, and tests make their own.

mod limits;

pub use limits::{DEVICES_AT_AN_ADDRESS, Limits};

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::time::Duration;

/// The name told to the home network when no other is asked for.
pub const HOME_NAME: &str = "putby";

/// The server's settings.
#[derive(Debug, Clone)]
pub struct Config {
    /// Where to listen; port 0 takes a free one.
    pub listen: SocketAddr,
    /// The folder of the journal and the digest of the lead's key; made if it is not there.
    pub data: PathBuf,
    /// Seconds of the day in a second of the kitchen; 1 but in a demonstration.
    pub speed: f64,
    /// Names this server is opened by, beside addresses and its own names on a home network.
    pub names: Vec<String>,
    /// The plain name told to the home network by multicast DNS, `putby` for `putby.local`; `None`
    /// to tell nothing.
    pub home_name: Option<String>,
    /// How to speak TLS; `None` for plain HTTP.
    pub tls: Option<Tls>,
    /// Whether every device helps at once, without a code.
    pub open: bool,
    /// How long a silent device is kept.
    pub heartbeat: Heartbeat,
    /// How much may be asked of it.
    pub limits: Limits,
    /// How often it is worked out what is to come; `None` for never.
    pub outlooks: Option<Rhythm>,
    /// How often the journal is copied where something changed; `None` for only when the lead asks.
    pub copy_every: Option<Duration>,
}

/// Which certificate the board shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tls {
    /// One made at the first start and kept in the data folder; nobody else vouches for it.
    Made,
    /// The household's own.
    Given {
        /// The certificate and what it is signed by, in PEM.
        certificate: PathBuf,
        /// Its private key, in PEM.
        key: PathBuf,
    },
}

/// How many minutes of a day are lost at most with a journal that is damaged.
pub const COPY_EVERY_MIN: u32 = 15;

/// How often something is worked out that changes lead to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rhythm {
    /// How long after a change the others of a burst may still come.
    pub settle: Duration,
    /// The least pause after one is made.
    pub pause: Duration,
    /// After how long another is made though nothing has changed.
    pub renew: Duration,
}

impl Rhythm {
    /// At most every 10 s, at least every 60 s, half a second after a tap.
    pub const USUAL: Rhythm = Rhythm {
        settle: Duration::from_millis(500),
        pause: Duration::from_secs(10),
        renew: Duration::from_secs(60),
    };
}

/// How it is noticed that a device is gone.
#[derive(Debug, Clone, Copy)]
pub struct Heartbeat {
    /// How often it is asked.
    pub ping_every: Duration,
    /// After how long without any answer it is let go.
    pub drop_after: Duration,
}

impl Heartbeat {
    /// Asked every 20 s, gone after 60 s.
    pub const USUAL: Heartbeat = Heartbeat {
        ping_every: Duration::from_secs(20),
        drop_after: Duration::from_secs(60),
    };
}

impl Config {
    /// For everybody on the home network, on port 8080.
    pub fn new(data: PathBuf) -> Config {
        Config {
            listen: SocketAddr::new(IpAddr::V4(Ipv4Addr::UNSPECIFIED), 8080),
            data,
            speed: 1.0,
            names: Vec::new(),
            home_name: Some(HOME_NAME.to_owned()),
            tls: None,
            open: false,
            heartbeat: Heartbeat::USUAL,
            limits: Limits::USUAL,
            outlooks: Some(Rhythm::USUAL),
            copy_every: every_minutes(COPY_EVERY_MIN),
        }
    }
}

/// So many minutes; none at all is never.
pub fn every_minutes(minutes: u32) -> Option<Duration> {
    (minutes > 0).then(|| Duration::from_secs(u64::from(minutes) * 60))
}

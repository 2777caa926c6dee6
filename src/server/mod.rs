//! The server: HTTP and WebSocket on one side, days on the other.
//!
//! Not for rules and not for SQL. What it keeps true: a command is answered with success only
//! after it is on disk; a device is told its role, never believed about it; whatever is sent gets
//! an answer that says what to do, and the connection goes on where it can.

mod access;
mod addresses;
mod announce;
mod assets;
mod carry;
mod commands;
mod copies;
mod copy_keeper;
mod data_folder;
mod foods;
mod frame_guard;
mod health;
mod holders;
mod json;
mod kitchens;
mod learned;
mod limits;
mod live;
mod next_day;
mod openapi;
mod outlook;
mod own_file;
mod peer;
mod prepare;
mod problem;
mod process;
mod queries;
mod reached;
mod refusals;
mod review;
mod routes;
mod run;
mod shelf;
mod side_file;
mod slim;
pub mod socket;
mod tls;

pub use access::{JoinCode, Rank, renew_lead_key};
pub use addresses::{lead_address, qr_text};
pub use data_folder::DataFolder;
pub use routes::rights;
pub use run::{Opened, name_known, open, run, serve};

use crate::analyst::{Ahead, Analyst};
use crate::clock::{Clock, Mark, SystemClock};
use crate::config::{Config, Heartbeat, Limits};
use crate::engine::{Days, ShelfKeeper};
use crate::journal::{
    self, COPIES, Journal, Journals, SqliteJournal, SqliteJournals, try_to_write,
};
use crate::measures::Measures;
use access::{Access, gate, invite};
use actix_tls::accept::rustls_0_23::TlsStream;
use actix_web::dev::Server;
use actix_web::http::header;
use actix_web::middleware::{Compress, DefaultHeaders, from_fn};
use actix_web::rt::net::TcpStream;
use actix_web::{App, HttpServer, web};
use announce::{Announcement, HomeNames};
use copy_keeper::CopyKeeper;
use holders::Holders;
use limits::{Limiter, admit};
use reached::Reached;
use std::any::Any;
use std::net::{SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::watch;

/// How long a stopping server waits for what is in hand.
const STOP_SECONDS: u64 = 2;
/// The file in which time is kept.
const CLOCK: &str = "clock";
/// How many questions to the disk each of the server's threads has in hand at a time.
const BLOCKING_THREADS: usize = 8;
/// How long the greeting waits for a plain name; agreeing on one takes about a second, three where
/// another board has the first.
const NAME_PATIENCE: Duration = Duration::from_secs(6);

/// One server's belongings, shared by all its threads.
pub struct Site {
    /// The days.
    pub days: Arc<Days>,
    shelf: ShelfKeeper,
    listening: SocketAddr,
    announcement: Option<Announcement>,
    access: Access,
    holders: Holders,
    heartbeat: Heartbeat,
    limits: Limits,
    limiter: Limiter,
    told: refusals::Told,
    health: health::LastHealth,
    stopping: watch::Sender<bool>,
    data: PathBuf,
    tls: Option<tls::Identity>,
    /// Makes copies of the journal.
    copies: CopyKeeper,
    copy_every: Option<Duration>,
    /// How far the days are known to be on disk.
    reached: Reached,
}

impl Site {
    /// Opens the data folder for a server that listens at `listening`. With no `clock` given, the
    /// system's, which never starts before the journal ends.
    ///
    /// # Errors
    /// The folder, the journal or the lead's key cannot be read or made.
    pub fn open(
        config: &Config,
        listening: SocketAddr,
        clock: Option<Arc<dyn Clock>>,
    ) -> anyhow::Result<web::Data<Site>> {
        data_folder::make(&config.data)?;
        let store = store_in(&config.data);
        let last = SqliteJournal::open(&store)?.last_at()?;
        let clock = clock.unwrap_or_else(|| {
            let mark = side_file::read::<Mark>(&config.data, CLOCK);
            Arc::new(SystemClock::resuming(last, mark.as_ref(), config.speed))
        });
        let journals: Arc<dyn Journals> = Arc::new(SqliteJournals::at(store.clone()));
        let tls = match &config.tls {
            Some(tls) => Some(tls::identity(
                tls,
                &config.data,
                names_of(config, listening),
            )?),
            None => None,
        };
        let scheme = scheme_of(tls.is_some());
        let reached = Reached::open(&config.data, &store, journals.id()?, clock.now())?;
        let days = Arc::new(days_of(config, journals, Arc::clone(&clock)));
        let copies = CopyKeeper::begin(&store, clock, config.copy_every)?;
        Ok(web::Data::new(Site {
            shelf: ShelfKeeper::new(store.clone(), Arc::clone(&days)),
            days,
            listening,
            announcement: config
                .home_name
                .as_ref()
                .and_then(|name| Announcement::begin(scheme, name, listening)),
            access: Access::open(config, &store)?,
            holders: Holders::default(),
            heartbeat: config.heartbeat,
            limiter: Limiter::new(&config.limits, config.speed),
            limits: config.limits.clone(),
            told: refusals::Told::default(),
            health: health::LastHealth::default(),
            stopping: watch::Sender::new(false),
            data: config.data.clone(),
            tls,
            copies,
            copy_every: config.copy_every,
            reached,
        }))
    }

    /// Keeps on disk where time is, so that a restart goes on exactly. Failing to costs only the
    /// knowledge of how long the board was off.
    pub fn keep_time(&self) {
        let Some(mark) = self.days.clock().mark() else {
            return;
        };
        if let Err(error) = side_file::keep(&self.data, CLOCK, &mark) {
            tracing::warn!(%error, "cannot keep the time");
        }
    }

    /// Keeps on disk how far the days are there. Failing to costs only that knowledge.
    pub fn keep_reached(&self) {
        if let Err(error) = self.reached.keep(self.days.reached()) {
            tracing::warn!(%error, "cannot keep how far the days are on disk");
        }
    }

    /// Leaves the journal in one file, after the days have stopped. Failing to loses nothing.
    pub fn settle(&self) {
        if let Err(trouble) = journal::checkpoint(&self.store()) {
            tracing::warn!(%trouble, "the journal is left in two files");
        }
    }

    /// Tries whether a disk that took no writes takes them again. Blocks.
    pub fn try_disk(&self) {
        let disk = self.days.disk();
        match try_to_write(&self.data, &self.store()) {
            Ok(()) => disk.works_again(),
            Err(trouble) => {
                disk.note(&trouble);
            }
        }
    }

    /// Keeps on disk when devices were last heard of. Failing to costs only that.
    pub fn keep_seen(&self) {
        if let Err(error) = self.access.devices.keep_seen() {
            tracing::warn!(%error, "cannot keep when devices were heard of");
        }
    }

    /// The journal's file.
    fn store(&self) -> PathBuf {
        store_in(&self.data)
    }

    /// The folder of the journal's copies.
    fn copies_folder(&self) -> PathBuf {
        self.data.join(COPIES)
    }

    /// The lead's key, at the one start at which it is shown.
    pub fn lead_key(&self) -> Option<&str> {
        self.access.shown_once()
    }

    /// The code by which helpers join; `None` where every device is let in.
    pub fn join_code(&self) -> Option<JoinCode> {
        self.access.join_code()
    }

    /// An address with the code for joining in the part that browsers do not send, and the page it
    /// leads to.
    pub fn inviting(&self, address: &str, page: Option<String>) -> String {
        invite::with_code(self, address, page)
    }

    /// What makes a screen a wall, behind one of the addresses.
    pub fn watch_token(&self) -> String {
        self.access.doors.now().watch
    }

    /// The lead's own address, at the one start at which it can be shown.
    pub fn lead_address(&self) -> Option<String> {
        lead_address(self.scheme(), self.listening, self.lead_key()?)
    }

    /// The addresses by number as they are now, those that other devices can reach first.
    pub fn addresses(&self) -> Vec<String> {
        addresses::addresses(self.scheme(), self.listening)
    }

    /// `http`, or `https` where TLS is spoken.
    pub fn scheme(&self) -> &'static str {
        scheme_of(self.tls.is_some())
    }

    /// The SHA-256 of the certificate as browsers show it, where TLS is spoken.
    pub fn fingerprint(&self) -> Option<&str> {
        self.tls.as_ref().map(|tls| tls.fingerprint.as_str())
    }

    /// The addresses by a plain name on the home network, as far as it knows one.
    pub fn plain_addresses(&self) -> Vec<String> {
        let told = self.announcement.iter();
        told.flat_map(|told| plain_addresses(self.scheme(), &told.names, self.listening.port()))
            .collect()
    }

    /// Calls `tell` with the plain addresses once the network agrees to a first one; it may never.
    pub fn once_named(&self, tell: impl FnOnce(Vec<String>) + Send + 'static) {
        let (scheme, port) = (self.scheme(), self.listening.port());
        if let Some(told) = &self.announcement {
            told.names
                .once_agreed(move |names| tell(plain_addresses(scheme, names, port)));
        }
    }

    /// Waits until the network knows a plain name, but not for long: it may never. Blocks.
    pub fn wait_for_name(&self) {
        if let Some(told) = &self.announcement {
            told.names.wait(NAME_PATIENCE);
        }
    }

    /// The names that the home network has agreed to.
    fn home_names(&self) -> Vec<String> {
        let told = self.announcement.iter();
        told.flat_map(|told| told.names.all()).collect()
    }

    /// Tells the home network that the board is gone. Blocks.
    pub fn unsay_name(&self) {
        if let Some(told) = &self.announcement {
            told.end();
        }
    }

    /// Tells every socket that the server stops.
    pub fn say_farewell(&self) {
        self.stopping.send_replace(true);
    }
}

/// The journal's file in a data folder.
pub fn store_in(data: &Path) -> PathBuf {
    data.join("putby.db")
}

fn scheme_of(is_secure: bool) -> &'static str {
    if is_secure { "https" } else { "http" }
}

fn plain_addresses(scheme: &str, names: &HomeNames, port: u16) -> Vec<String> {
    let port = match (scheme, port) {
        ("http", 80) | ("https", 443) => String::new(),
        (_, port) => format!(":{port}"),
    };
    let names = names.all().into_iter();
    let address = |name| format!("{scheme}://{name}{port}/");
    names.map(address).collect()
}

/// Every name and number that a certificate made here is for.
fn names_of(config: &Config, listening: SocketAddr) -> Vec<String> {
    let plain = config.home_name.iter().map(|name| format!("{name}.local"));
    let numbers = addresses::ips(listening.ip()).into_iter();
    ["localhost".to_owned()]
        .into_iter()
        .chain(plain)
        .chain(config.names.iter().cloned())
        .chain(numbers.map(|ip| ip.to_string()))
        .collect()
}

/// The days, with somebody who looks ahead for those that are open.
fn days_of(config: &Config, journals: Arc<dyn Journals>, clock: Arc<dyn Clock>) -> Days {
    let measures = Arc::new(Measures::default());
    let days = Days::new(Arc::clone(&journals), Arc::clone(&clock));
    let days = days.measured_by(Arc::clone(&measures));
    match config.outlooks {
        Some(rhythm) => {
            let ahead = Arc::new(Ahead::default());
            let analyst = Analyst::new(journals, clock, rhythm, ahead);
            days.attended_by(Arc::new(analyst.measured_by(measures)))
        }
        None => days,
    }
}

/// A server on `listener`. It runs when awaited and stops by its handle.
///
/// # Errors
/// The listener cannot be used.
pub fn build(listener: TcpListener, site: web::Data<Site>) -> std::io::Result<Server> {
    let (patience, head) = (site.heartbeat.drop_after, site.limits.head());
    let door = site.clone();
    let tls = site.tls.as_ref().map(|tls| tls.config.clone());
    let server = HttpServer::new(move || {
        App::new()
            .app_data(site.clone())
            .wrap(Compress::default())
            .wrap(DefaultHeaders::new().add((header::X_CONTENT_TYPE_OPTIONS, "nosniff")))
            .wrap(from_fn(limits::guard))
            .wrap(from_fn(gate::check_page))
            .wrap(from_fn(refusals::note))
            .configure(routes::routes)
    })
    // Before listening, or it is not called.
    .on_connect(move |stream, connection| {
        let Some(stream) = line_of(stream) else {
            return;
        };
        if admit(&door.limiter, stream, connection) {
            socket::keep_line(stream, connection);
            limit_patience(stream, patience);
        }
    })
    .client_request_timeout(head)
    .worker_max_blocking_threads(BLOCKING_THREADS);
    let server = match tls {
        Some(tls) => server.listen_rustls_0_23(listener, tls)?,
        None => server.listen(listener)?,
    }
    .tcp_nodelay(true)
    .shutdown_timeout(STOP_SECONDS)
    .keep_alive(Duration::from_secs(75))
    .disable_signals()
    .run();
    Ok(server)
}

/// The connection itself, under TLS or plain.
fn line_of(stream: &dyn Any) -> Option<&TcpStream> {
    let within = || Some(stream.downcast_ref::<TlsStream<TcpStream>>()?.get_ref().0);
    stream.downcast_ref::<TcpStream>().or_else(within)
}

/// Lets the system cut a connection whose other end takes nothing for so long. A device that has
/// stopped reading cannot be sent a farewell, and would otherwise keep its socket for ever.
#[cfg(target_os = "linux")]
fn limit_patience(socket: &TcpStream, patience: Duration) {
    let patience_ms = u32::try_from(patience.as_millis()).unwrap_or(u32::MAX);
    if let Err(error) = rustix::net::sockopt::set_tcp_user_timeout(socket, patience_ms) {
        tracing::warn!(%error, "a connection has no time limit");
    }
}

/// Elsewhere the system's own limits hold.
#[cfg(not(target_os = "linux"))]
fn limit_patience(_: &TcpStream, _: Duration) {}

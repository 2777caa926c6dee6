//! A server's life: claim the folder, listen, serve, and stop without losing anything.

use super::{DataFolder, Site, build};
use crate::config::Config;
use crate::engine::Writes;
use actix_web::{rt, web};
use anyhow::Context;
use std::net::TcpListener;
use tokio::sync::oneshot;

/// How often the time is kept on disk.
const KEEP_TIME_EVERY: std::time::Duration = std::time::Duration::from_secs(10);

/// How often a disk that takes no writes is tried.
const TRY_DISK_EVERY: std::time::Duration = std::time::Duration::from_secs(2);
/// How long what is in hand may take to end when nothing more may be acknowledged.
const LOST_PATIENCE: std::time::Duration = std::time::Duration::from_secs(1);

/// How long the last copy may take. With the farewells a stop stays below three seconds; a copy that
/// was not made is made at the next start.
const LAST_COPY_PATIENCE: std::time::Duration = std::time::Duration::from_millis(1500);

/// Runs a server until it is told to stop. `greet` is called once it can be opened.
///
/// # Errors
/// It cannot start, or the disk failed so that it must be started anew.
pub async fn run(config: &Config, greet: impl FnOnce(&Site)) -> anyhow::Result<()> {
    let Opened {
        folder: _folder,
        listener,
        site,
    } = open(config)?;
    // Heard from before anybody is told how to stop it.
    let signals = Signals::new()?;
    let mut serving = std::pin::pin!(serve_until(signals, listener, site.clone()));
    // Devices come back after a crash as soon as they can; only the greeting waits for a name.
    let greeted = async {
        name_known(&site).await;
        greet(&site);
    };
    tokio::select! {
        served = &mut serving => return served,
        () = greeted => {}
    }
    serving.await
}

/// Waits a moment for a plain name, so that the greeting can tell it.
pub async fn name_known(site: &web::Data<Site>) {
    let site = site.clone();
    // Without it the greeting only says less.
    let _ = web::block(move || site.wait_for_name()).await;
}

/// What a server needs before it serves.
pub struct Opened {
    /// The data folder, ours as long as this lives.
    pub folder: DataFolder,
    /// Bound, not yet answering.
    pub listener: TcpListener,
    /// The site.
    pub site: web::Data<Site>,
}

/// Checks the facts, claims the data folder and binds the address.
///
/// # Errors
/// A sheet of the trade has a fault, the folder is in use, or the address is taken.
pub fn open(config: &Config) -> anyhow::Result<Opened> {
    // A sheet of the trade with a fault must never time a jar.
    crate::trade::check()?;
    let folder = DataFolder::claim(&config.data)?;
    let listener = TcpListener::bind(config.listen).with_context(|| {
        format!(
            "cannot listen on {}: choose another --listen",
            config.listen
        )
    })?;
    let site = Site::open(config, listener.local_addr()?, None)?;
    Ok(Opened {
        folder,
        listener,
        site,
    })
}

/// Serves on `listener` until a signal comes or nothing more may be acknowledged.
///
/// # Errors
/// The listener cannot be used, or the disk did not confirm a write.
pub async fn serve(listener: TcpListener, site: web::Data<Site>) -> anyhow::Result<()> {
    serve_until(Signals::new()?, listener, site).await
}

async fn serve_until(
    mut signals: Signals,
    listener: TcpListener,
    site: web::Data<Site>,
) -> anyhow::Result<()> {
    let server = build(listener, site.clone())?;
    let handle = server.handle();
    let serving = rt::spawn(server);
    let keeping = rt::spawn(keep_time(site.clone()));
    let trying = rt::spawn(try_disk(site.clone()));
    let lost = tokio::select! {
        () = signals.next() => false,
        () = site.days.lost() => true,
    };
    tracing::info!(lost, "stopping");
    keeping.abort();
    trying.abort();
    site.keep_time();
    site.say_farewell();
    let in_order = async {
        tokio::select! {
            () = handle.stop(true) => {}
            () = rt::time::sleep(LOST_PATIENCE), if lost => handle.stop(false).await,
        }
        serving.await??;
        put_away(site, lost).await
    };
    tokio::select! {
        ended = in_order => ended?,
        // Asked twice: at once. What was acknowledged is on disk; only the last copy may be missing.
        () = signals.next() => {}
    }
    if lost {
        anyhow::bail!(
            "the disk did not confirm what was written. Everything that was acknowledged before \
             is on it; see to the disk and start again"
        );
    }
    Ok(())
}

/// Ends the days and what is beside them, on a thread that nobody need wait for.
///
/// # Errors
/// No thread can be started.
async fn put_away(site: web::Data<Site>, lost: bool) -> anyhow::Result<()> {
    let (done, ended) = oneshot::channel();
    let away = move || {
        site.unsay_name();
        site.keep_reached();
        site.days.stop();
        // A disk that failed is asked for nothing more.
        if !site.copies.stop(!lost, LAST_COPY_PATIENCE) {
            // Nor can the journal be brought into one file while it is read.
            tracing::warn!("the last copy is not made; the next start makes it");
        } else if !lost {
            site.settle();
        }
        // Whoever waited may be gone.
        let _ = done.send(());
    };
    let thread = std::thread::Builder::new().name("ending".to_owned());
    thread.spawn(away)?;
    ended.await.context("it did not end in order")
}

/// Keeps the time on disk again and again.
async fn keep_time(site: web::Data<Site>) {
    let mut beat = rt::time::interval(KEEP_TIME_EVERY);
    loop {
        beat.tick().await;
        let site = site.clone();
        // The thread pool ends with the server; then there is nothing left to keep.
        let _ = web::block(move || {
            site.keep_time();
            site.keep_reached();
            site.keep_seen();
        })
        .await;
    }
}

/// Tries a disk that takes no writes again and again, until it does.
async fn try_disk(site: web::Data<Site>) {
    let mut writes = site.days.disk().follow();
    let ill = |writes: &Writes| matches!(writes, Writes::Full | Writes::Fail);
    while writes.wait_for(ill).await.is_ok() {
        rt::time::sleep(TRY_DISK_EVERY).await;
        let site = site.clone();
        // The thread pool ends with the server; then there is nothing left to try.
        let _ = web::block(move || site.try_disk()).await;
    }
}

/// Being asked to stop.
struct Signals {
    interrupt: tokio::signal::unix::Signal,
    terminate: tokio::signal::unix::Signal,
}

impl Signals {
    fn new() -> std::io::Result<Signals> {
        use tokio::signal::unix::{SignalKind, signal};
        Ok(Signals {
            interrupt: signal(SignalKind::interrupt())?,
            terminate: signal(SignalKind::terminate())?,
        })
    }

    async fn next(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
        }
    }
}

//! A server's life: claim the folder, listen, serve, and stop without losing anything.

use super::{DataFolder, Site, build};
use crate::config::Config;
use crate::engine::Writes;
use actix_web::{rt, web};
use anyhow::Context;
use std::net::TcpListener;

/// How often the time is kept on disk.
const KEEP_TIME_EVERY: std::time::Duration = std::time::Duration::from_secs(10);

/// How often a disk that takes no writes is tried.
const TRY_DISK_EVERY: std::time::Duration = std::time::Duration::from_secs(2);
/// How long what is in hand may take to end when nothing more may be acknowledged.
const LOST_PATIENCE: std::time::Duration = std::time::Duration::from_secs(1);

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
    tokio::select! {
        () = handle.stop(true) => {}
        // Asked twice: at once.
        () = signals.next() => handle.stop(false).await,
        () = rt::time::sleep(LOST_PATIENCE), if lost => handle.stop(false).await,
    }
    serving.await??;
    web::block(move || {
        site.unsay_name();
        site.keep_reached();
        site.days.stop();
        // A disk that failed is asked for nothing more.
        site.copies.stop(!lost);
        if !lost {
            site.settle();
        }
    })
    .await?;
    if lost {
        anyhow::bail!(
            "the disk did not confirm what was written. Everything that was acknowledged before \
             is on it; see to the disk and start again"
        );
    }
    Ok(())
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

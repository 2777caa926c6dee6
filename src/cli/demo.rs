//! `putby demo`: a simulated family works an invented day on a real board, faster than life.
//!
//! Starts the server as `putby serve` does, opens the day and lets the family's devices join over
//! the network. After the day is closed the server goes on, so that it can be looked back on.

use crate::config::Config;
use crate::demo::{self, Stage, open_day_id};
use crate::server::{self, Opened, Site};
use actix_web::rt;
use anyhow::Context;
use clap::Args;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;

/// Lets a simulated family work an invented day on the board, to watch and to try things out.
#[derive(Debug, Clone, Args)]
pub struct DemoArgs {
    /// How many seconds of the day pass in one.
    #[arg(long, default_value_t = 60.0, value_parser = super::serve::speed)]
    speed: f64,
    /// Where to listen. 127.0.0.1:8080 keeps it to this computer.
    #[arg(long, env = "PUTBY_LISTEN", default_value = "0.0.0.0:8080")]
    listen: SocketAddr,
    /// Which of many days: the same number, the same canners.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The folder that keeps the day. [default: a fresh one, taken away at the end]
    #[arg(long)]
    data: Option<PathBuf>,
}

/// Runs until told to stop.
pub fn run(args: &DemoArgs) -> ExitCode {
    let folder = args.data.clone().unwrap_or_else(fresh_folder);
    let played = rt::System::new().block_on(play(args, folder.clone()));
    let is_fresh = args.data.is_none();
    if is_fresh && let Err(error) = std::fs::remove_dir_all(&folder) {
        eprintln!("putby: cannot take away {}: {error}", folder.display());
    }
    match played {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("putby: {error:#}");
            ExitCode::FAILURE
        }
    }
}

async fn play(args: &DemoArgs, folder: PathBuf) -> anyhow::Result<()> {
    let mut config = Config::new(folder);
    config.listen = args.listen;
    config.speed = args.speed;
    let Opened {
        folder: _folder,
        listener,
        site,
    } = server::open(&config)?;
    // In a folder that was used before, the key was shown then and nobody can tell it now.
    let lead_key = match site.lead_key() {
        Some(key) => key.to_owned(),
        None => server::renew_lead_key(&config.data)?,
    };
    let serving = rt::spawn(server::serve(listener, site.clone()));
    // The last address is this computer's own.
    let addresses = site.addresses();
    let address = addresses.last().context("no address to reach itself by")?;
    let cast = demo::cast();
    let day = open_day_id(address, &lead_key, demo::day(), cast.cut_off_min).await?;
    let stage = Stage {
        address: address.clone(),
        lead_key,
        day,
        cast,
        seed: args.seed,
    };
    server::name_known(&site).await;
    super::serve::greet(&site, || greeting(&site, &stage, args.speed));
    stage.start();
    serving.await?
}

/// What the terminal shows at the start.
fn greeting(site: &Site, stage: &Stage, speed: f64) -> String {
    let mut lines = vec![format!(
        "A simulated family works an invented day, {speed} times as fast as life."
    )];
    let day = &stage.day;
    let watch = site.watch_token();
    for address in site.addresses().iter().chain(&site.plain_addresses()) {
        let helper = site.inviting(address, Some(format!("day/{day}/join")));
        lines.push(format!(
            "The wall:    {address}#/watch/{watch}/day/{day}/wall"
        ));
        lines.push(format!("Each helper: {helper}"));
    }
    lines.extend(site.addresses().first().map(|address| {
        let key = &stage.lead_key;
        format!("The lead:    {address}#/lead-key/{key}/day/{day}/lead")
    }));
    lines.push("Stop with Ctrl-C.".to_owned());
    lines.join("\n")
}

/// A folder of its own among the computer's temporary ones.
fn fresh_folder() -> PathBuf {
    std::env::temp_dir().join(format!("putby-demo-{}", uuid::Uuid::new_v4()))
}

//! `putby serve`: runs the board and says in the terminal how to open it.
//!
//! Turns flags into a [`Config`], nothing more; the server's life is in [`crate::server`].

use crate::config::Config;
use crate::server::{self, Site, qr_text};
use clap::{Args, Parser};
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;

/// Runs the board for everybody on the home network.
#[derive(Debug, Clone, Args)]
pub struct ServeArgs {
    /// Where to listen. 127.0.0.1:8080 keeps it to this computer.
    #[arg(long, env = "PUTBY_LISTEN", default_value = "0.0.0.0:8080")]
    listen: SocketAddr,
    /// The folder that keeps the days. [default: this user's folder for program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
    /// A name this computer is opened by, where that is not one of the home network. Repeatable.
    #[arg(long = "name", value_name = "NAME")]
    names: Vec<String>,
    /// How fast time runs, to try things out.
    #[arg(long, hide = true, default_value_t = 1.0, value_parser = speed)]
    speed: f64,
}

impl ServeArgs {
    /// The defaults, with what the environment says.
    pub fn unasked() -> ServeArgs {
        #[derive(Parser)]
        struct Unasked {
            #[command(flatten)]
            args: ServeArgs,
        }
        Unasked::parse_from(["putby"]).args
    }

    fn config(self) -> Config {
        let mut config = Config::new(self.data.unwrap_or_else(usual_data_folder));
        config.listen = self.listen;
        config.names = self.names;
        config.speed = self.speed;
        config
    }
}

/// Runs until told to stop.
pub fn run(args: ServeArgs) -> ExitCode {
    let config = args.config();
    let data = config.data.display().to_string();
    let greet = |site: &Site| println!("{}", greeting(site, &data));
    match actix_web::rt::System::new().block_on(server::run(&config, greet)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("putby: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// What the terminal shows at the start.
pub fn greeting(site: &Site, data: &str) -> String {
    let mut lines = vec!["Putby runs. Open it on any device at home:".to_owned()];
    lines.extend(site.addresses.iter().map(|address| format!("  {address}")));
    let first = site.addresses.first();
    lines.extend(first.and_then(|address| qr_text(address)));
    if let Some(address) = site.lead_address() {
        lines.push("The lead opens this one instead, and shows it to nobody:".to_owned());
        lines.push(format!("  {address}"));
    }
    lines.push(format!("The days are kept in {data}"));
    lines.push("Stop with Ctrl-C; nothing is lost.".to_owned());
    lines.join("\n")
}

/// How fast time may run.
pub(super) fn speed(text: &str) -> Result<f64, String> {
    let sensible = |speed: &f64| (1.0..=3600.0).contains(speed);
    let speed = text.parse().ok().filter(sensible);
    speed.ok_or_else(|| "use a number from 1 to 3600".to_owned())
}

/// This user's folder for program data, or one here if there is none.
fn usual_data_folder() -> PathBuf {
    let home = |inside: &str| std::env::home_dir().map(|home| home.join(inside));
    let named = |variable: &str| {
        let path = std::env::var_os(variable).map(PathBuf::from);
        path.filter(|path| path.is_absolute())
    };
    let folder = if cfg!(target_os = "macos") {
        home("Library/Application Support")
    } else {
        named("XDG_DATA_HOME").or_else(|| home(".local/share"))
    };
    match folder {
        Some(folder) => folder.join("putby"),
        None => PathBuf::from("putby-data"),
    }
}

//! `putby serve`: runs the board and says in the terminal how to open it.
//!
//! Turns flags into a [`Config`], nothing more; the server's life is in [`crate::server`].

use crate::config::{COPY_EVERY_MIN, Config, HOME_NAME, Heartbeat, Limits, Tls, every_minutes};
use crate::server::{self, Site, qr_text};
use clap::{Args, Parser};
use std::io::Write;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

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
    /// The plain name told to the home network by multicast DNS: "putby" is opened as putby.local.
    #[arg(long, env = "PUTBY_HOME_NAME", default_value = HOME_NAME, value_parser = home_name)]
    home_name: String,
    /// Tells the home network nothing; the numbers still work.
    #[arg(long)]
    no_announce: bool,
    /// Speaks TLS under a certificate made here and kept in the data folder. Browsers warn of it once
    /// on each device, since nobody else vouches for it.
    #[arg(long)]
    tls: bool,
    /// Speaks TLS under the household's own certificate, a file in PEM.
    #[arg(
        long,
        value_name = "FILE",
        requires = "tls_key",
        conflicts_with = "tls"
    )]
    tls_certificate: Option<PathBuf>,
    /// The private key of that certificate, a file in PEM.
    #[arg(long, value_name = "FILE", requires = "tls_certificate")]
    tls_key: Option<PathBuf>,
    /// How often everything is copied where something changed, in minutes; 0 for only when asked.
    #[arg(long, env = "PUTBY_COPY_EVERY", value_name = "MINUTES", default_value_t = COPY_EVERY_MIN)]
    copy_every: u32,
    /// Seconds after which a live screen is asked whether it is still there.
    #[arg(long, env = "PUTBY_PING_S", default_value_t = Heartbeat::USUAL.ping_every.as_secs(), value_parser = clap::value_parser!(u64).range(1..=3600))]
    ping_s: u64,
    /// Seconds of silence after which it is let go.
    #[arg(long, env = "PUTBY_DROP_S", default_value_t = Heartbeat::USUAL.drop_after.as_secs(), value_parser = clap::value_parser!(u64).range(2..=3600))]
    drop_s: u64,
    #[command(flatten)]
    limits: Limits,
    /// Lets every device on the network help at once, without the code for joining.
    #[arg(long)]
    open: bool,
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
        config.home_name = (!self.no_announce).then_some(self.home_name);
        config.open = self.open;
        config.copy_every = every_minutes(self.copy_every);
        config.speed = self.speed;
        let given = self.tls_certificate.zip(self.tls_key);
        config.tls = given
            .map(|(certificate, key)| Tls::Given { certificate, key })
            .or(self.tls.then_some(Tls::Made));
        config.limits = self.limits;
        config.heartbeat = Heartbeat {
            ping_every: Duration::from_secs(self.ping_s),
            drop_after: Duration::from_secs(self.drop_s),
        };
        config
    }
}

/// Runs until told to stop.
pub fn run(args: ServeArgs) -> ExitCode {
    let config = args.config();
    let data = config.data.display().to_string();
    let greet = |site: &Site| greet(site, || greeting(site, &data));
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
    lines.extend(ways_in(site).iter().map(|way| format!("  {way}")));
    match site.join_code() {
        Some(code) => lines.push(format!(
            "The code for joining is {code}. It stands in this picture too; the wall shows both:"
        )),
        None => lines.push(
            "It is open: whoever is on this network helps at once, without a code. Start it without \
             --open where not everybody on the network is family."
                .to_owned(),
        ),
    }
    let first = site.addresses().into_iter().next();
    lines.extend(first.and_then(|address| qr_text(&site.inviting(&address, None))));
    lines.extend(lead_lines(site));
    if let Some(fingerprint) = site.fingerprint() {
        lines.push(
            "Where a browser warns, compare the certificate's SHA-256 before you go on:".into(),
        );
        lines.push(format!("  {fingerprint}"));
    }
    lines.push(format!("The days are kept in {data}"));
    lines.push("Stop with Ctrl-C; nothing is lost.".to_owned());
    lines.join("\n")
}

/// How the lead comes in: shown once, and said afterwards where it was.
fn lead_lines(site: &Site) -> Vec<String> {
    let Some(address) = site.lead_address() else {
        return vec![
            "The lead's own address was shown at the first start; `putby lead-key` makes another."
                .to_owned(),
        ];
    };
    let mut lines = vec![
        "The lead opens this one instead, and shows it to nobody. It is shown this once:"
            .to_owned(),
        format!("  {address}"),
    ];
    lines.extend(qr_text(&address));
    lines
}

/// Prints a greeting, and the plain name by itself if the network agrees to it only later.
pub(super) fn greet(site: &Site, greeting: impl FnOnce() -> String) {
    let unnamed = site.plain_addresses().is_empty();
    say(&greeting());
    if unnamed {
        site.once_named(|names| {
            say(&format!(
                "It has a plain name now: {}",
                names.join("  or  ")
            ))
        });
    }
}

/// Says something in the terminal. One that is gone or full stops nothing.
fn say(text: &str) {
    if let Err(error) = writeln!(std::io::stdout(), "{text}") {
        tracing::warn!(%error, "the terminal takes no words; the board goes on");
    }
}

/// The addresses to open, each plain name beside the first number; the code is typed there.
pub(super) fn ways_in(site: &Site) -> Vec<String> {
    let plain = site.plain_addresses().into_iter();
    let plain: String = plain.map(|name| format!("  or  {name}")).collect();
    let mut ways = site.addresses();
    if let Some(first) = ways.first_mut() {
        first.push_str(&plain);
    }
    ways
}

/// A plain name: a label of the name system (RFC 1123).
fn home_name(text: &str) -> Result<String, String> {
    let name = text.trim_end_matches(".local").to_ascii_lowercase();
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    let fits = (1..=40).contains(&name.len())
        && name.chars().all(|c| plain(c) || c == '-')
        && name.starts_with(plain)
        && name.ends_with(plain);
    match fits {
        true => Ok(name),
        false => Err("use up to 40 of a-z, 0-9 and '-', such as \"kitchen\"".to_owned()),
    }
}

/// How fast time may run.
pub(super) fn speed(text: &str) -> Result<f64, String> {
    let sensible = |speed: &f64| (1.0..=3600.0).contains(speed);
    let speed = text.parse().ok().filter(sensible);
    speed.ok_or_else(|| "use a number from 1 to 3600".to_owned())
}

/// This user's folder for program data, or one here if there is none.
pub(super) fn usual_data_folder() -> PathBuf {
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

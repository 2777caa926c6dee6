//! `putby lead-key`: makes another key for the lead and shows it, once.
//!
//! The board may run; the new key counts at once and the one before no more. Devices that are the
//! lead's already stay so until they are taken off the list. Exit code 1: it could not be made.

use super::file::board_in;
use super::say::say;
use crate::server::{lead_address, qr_text, renew_lead_key};
use clap::Args;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;

/// Makes another key for the lead.
#[derive(Debug, Clone, Args)]
pub struct LeadKeyArgs {
    /// The folder that keeps the days. [default: this user's folder for program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
    /// Where the board listens, for the address that is shown.
    #[arg(long, env = "PUTBY_LISTEN", default_value = "0.0.0.0:8080")]
    listen: SocketAddr,
    /// The board speaks TLS.
    #[arg(long)]
    tls: bool,
}

/// Makes it.
pub fn run(args: &LeadKeyArgs) -> ExitCode {
    let data = match board_in(args.data.as_deref()) {
        Ok(data) => data,
        Err(code) => return code,
    };
    match renew_lead_key(&data) {
        Ok(key) => say(&shown(args, &key), ExitCode::SUCCESS),
        Err(error) => {
            eprintln!("putby: the key cannot be made: {error}");
            ExitCode::FAILURE
        }
    }
}

fn shown(args: &LeadKeyArgs, key: &str) -> String {
    let mut lines = vec!["This is the lead's new key. It is shown this once:".to_owned()];
    let scheme = if args.tls { "https" } else { "http" };
    match lead_address(scheme, args.listen, key) {
        Some(address) => {
            lines.push(format!("  {address}"));
            lines.extend(qr_text(&address));
        }
        None => lines.push(format!("  {key}")),
    }
    lines.push(
        "The key before it opens nothing any more. The lead's devices stay the lead's; take off the \
         list of devices what should not be."
            .to_owned(),
    );
    lines.join("\n")
}

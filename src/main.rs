//! The `putby` program: sets up the log and does what the command line asks.

use clap::Parser;
use std::process::ExitCode;
use tracing_subscriber::EnvFilter;

fn main() -> ExitCode {
    let wanted = EnvFilter::try_from_env("PUTBY_LOG").unwrap_or_else(|_| EnvFilter::new("warn"));
    tracing_subscriber::fmt()
        .with_env_filter(wanted)
        .with_writer(std::io::stderr)
        // A log that cannot be written must not stop what is logged about.
        .log_internal_errors(false)
        .init();
    putby::cli::Program::parse().run()
}

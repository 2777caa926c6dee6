//! The `putby` program: does what the command line asks.

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    putby::cli::Program::parse().run()
}

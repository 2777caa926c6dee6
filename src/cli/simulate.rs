//! `putby simulate`: runs a small network of stations many times and says what came of it.
//!
//! For checking the simulation that the forecast runs on against queueing theory, and for asking
//! what a kitchen, or any other line, would do. The file's format is described in
//! [`crate::sim::format`]. Exit code 0 means it was simulated, 1 that the answer could not be
//! written, 2 that the file cannot be read, 3 that the network is refused, with what to do instead.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use serde::Serialize;
use serde_json::json;

use super::file::text_of;
use super::say::say;
use crate::sim::format::{self, Asked, Misread};
use crate::sim::report;

/// Simulates a small network of stations and says what came of it.
#[derive(Debug, Clone, Args)]
pub struct SimulateArgs {
    /// The network, as JSON.
    file: PathBuf,
    /// How many runs; otherwise as the file says, or 400.
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=10_000_000))]
    runs: Option<u32>,
    /// The seed; the same seed gives the same answer. Otherwise as the file says, or 1.
    #[arg(long)]
    seed: Option<u64>,
    /// Answers in JSON.
    #[arg(long)]
    json: bool,
}

/// Simulates what a file says; the answer as text or JSON.
///
/// # Errors
/// What is wrong with the file and what to do instead.
pub fn answer(
    text: &str,
    runs: Option<u32>,
    seed: Option<u64>,
    json: bool,
) -> Result<String, Misread> {
    match format::read(text)? {
        Asked::Brigade(brigade) => {
            let walked = report::walk(&brigade);
            Ok(shown(&walked, report::WalkReport::to_text, json))
        }
        Asked::Network(task) => {
            let runs = runs.or(task.run.runs).unwrap_or(report::RUNS);
            let seed = seed.or(task.run.seed).unwrap_or(report::SEED);
            let simulated = report::simulate(&task, runs, seed)?;
            Ok(shown(&simulated, report::Report::to_text, json))
        }
    }
}

fn shown<Told: Serialize>(told: &Told, text: fn(&Told) -> String, json: bool) -> String {
    match json {
        true => format!("{:#}\n", json!(told)),
        false => text(told),
    }
}

/// Reads the file and answers.
pub fn run(args: &SimulateArgs) -> ExitCode {
    let text = match text_of(&args.file) {
        Ok(text) => text,
        Err(code) => return code,
    };
    match answer(&text, args.runs, args.seed, args.json) {
        Ok(answer) => say(&answer, ExitCode::SUCCESS),
        Err(misread) => {
            let refused = ExitCode::from(3);
            if args.json {
                let Misread { detail, instead } = &misread;
                let told = json!({ "detail": detail, "instead": instead });
                return say(&format!("{told:#}"), refused);
            }
            eprintln!("putby: {misread}");
            refused
        }
    }
}

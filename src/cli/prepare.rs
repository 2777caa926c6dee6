//! `putby prepare`: what to make of what there is, and how the day would go.
//!
//! The file holds what `POST /api/prepare` takes; `fixtures/prepare/family.json` is one. Exit code 0
//! means there is a proposal, 2 that the file cannot be read, 3 that something in it must be mended,
//! which is then named field by field.

mod words;

use super::file::text_of;
use super::say::say;
use crate::pace::Learned;
use crate::prepare::{Ask, Settings, propose};
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;

pub use words::words;

/// Proposes what to make.
#[derive(Debug, Clone, Args)]
pub struct PrepareArgs {
    /// What there is and what is eaten, as JSON.
    file: PathBuf,
    /// Simulated days.
    #[arg(long, default_value_t = Settings::default().runs, value_parser = clap::value_parser!(u32).range(0..=10_000))]
    runs: u32,
    /// The seed of everything drawn.
    #[arg(long, default_value_t = Settings::default().seed)]
    seed: u64,
    /// Answers in JSON.
    #[arg(long)]
    json: bool,
}

/// Reads the file and answers.
pub fn run(args: &PrepareArgs) -> ExitCode {
    let text = match text_of(&args.file) {
        Ok(text) => text,
        Err(code) => return code,
    };
    let ask: Ask = match serde_json::from_str(&text) {
        Ok(ask) => ask,
        Err(error) => {
            eprintln!(
                "putby: {} cannot be understood: {error}",
                args.file.display()
            );
            return ExitCode::from(2);
        }
    };
    let settings = Settings {
        runs: args.runs,
        seed: args.seed,
    };
    let proposal = match propose(&ask, &Learned::default(), &settings) {
        Ok(proposal) => proposal,
        Err(faults) => {
            for fault in faults {
                eprintln!("putby: {fault}");
            }
            return ExitCode::from(3);
        }
    };
    let answer = if args.json {
        match serde_json::to_string_pretty(&proposal) {
            Ok(text) => text,
            Err(error) => {
                eprintln!("putby: {error}");
                return ExitCode::FAILURE;
            }
        }
    } else {
        words(&ask, &proposal)
    };
    say(&answer, ExitCode::SUCCESS)
}

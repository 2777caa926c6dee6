//! `putby forecast`: how a written day goes on from a moment.
//!
//! The file is one that `putby replay` takes. Its lines up to the moment are what has happened;
//! the rest of the day is simulated from there. The moment is `HH:MM` on the day's own date in
//! the zone of this computer, `+MIN` minutes after the opening, an ISO moment with its zone
//! (`2026-09-12T10:30:00Z`), or milliseconds since 1970. The same file, moment, runs and seed
//! always give the same answer. Exit code 0 means a forecast was made; lines that were refused are
//! reported and left out. 1 means there is none, 2 that the file or the moment cannot be read.

mod moment;
mod words;

use super::file::text_of;
use super::replay::{Replayed, replay, replay_until, tell_refused};
use super::say::say;
use crate::day::time::Timestamp;
use crate::outlook::{Memory, Outlook, Settings, outlook};
use crate::pace::{Learned, Pace};
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;

pub use moment::moment;
pub use words::words;

/// Says how a written day goes on from a moment.
#[derive(Debug, Clone, Args)]
pub struct ForecastArgs {
    /// Commands, one JSON object a line, as for `putby replay`.
    file: PathBuf,
    /// The moment: HH:MM of the day, +MIN after its opening, an ISO moment, or milliseconds.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    at: String,
    /// Simulated days.
    #[arg(long, default_value_t = Settings::default().runs, value_parser = clap::value_parser!(u32).range(10..=100_000))]
    runs: u32,
    /// The seed of everything drawn.
    #[arg(long, default_value_t = Settings::default().seed)]
    seed: u64,
    /// Answers in JSON.
    #[arg(long)]
    json: bool,
}

/// A forecast with the day it was made for.
#[derive(Debug, Clone)]
pub struct Foretold {
    /// The day up to the moment.
    pub replayed: Replayed,
    /// What is to come.
    pub outlook: Outlook,
}

/// Replays a written day up to a moment and looks ahead from there.
///
/// # Errors
/// A sentence, when the text opens no day, or the moment cannot be read or is before the opening.
pub fn foretell(text: &str, at: &str, settings: &Settings) -> Result<Foretold, String> {
    let whole = replay(text);
    let opening = whole.records.first().map(|record| record.at);
    let opening = opening.ok_or("The file opens no day: its first line must be an open-day.")?;
    let at = moment(at, opening, &whole.state.date)?;
    if at < opening {
        return Err(format!(
            "The moment is before the day was opened: say a later one, such as +{} for the end of what is written.",
            last_minute(&whole, opening)
        ));
    }
    let replayed = replay_until(text, Some(at));
    let pace = Pace::of(&replayed.records, &Learned::default(), at);
    let (outlook, _) = outlook(&replayed.state, &pace, at, &Memory::default(), settings);
    Ok(Foretold { replayed, outlook })
}

fn last_minute(whole: &Replayed, opening: Timestamp) -> i64 {
    let last = whole.records.last().map_or(opening, |record| record.at);
    last.ms_since(opening) / crate::day::time::MINUTE_MS
}

/// Reads the file and answers.
pub fn run(args: &ForecastArgs) -> ExitCode {
    let text = match text_of(&args.file) {
        Ok(text) => text,
        Err(code) => return code,
    };
    let settings = Settings {
        runs: args.runs,
        seed: args.seed,
        ..Settings::default()
    };
    let told = match foretell(&text, &args.at, &settings) {
        Ok(told) => told,
        Err(sentence) => {
            eprintln!("putby: {sentence}");
            return ExitCode::from(2);
        }
    };
    tell_refused(&told.replayed.refused);
    if !args.json {
        let text = words(&told.replayed.state, &told.outlook);
        return say(&text, ExitCode::SUCCESS);
    }
    match serde_json::to_string_pretty(&told.outlook) {
        Ok(text) => say(&text, ExitCode::SUCCESS),
        Err(error) => {
            eprintln!("putby: {error}");
            ExitCode::FAILURE
        }
    }
}

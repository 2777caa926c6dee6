//! `putby check`: whether a journal, or a copy of one, is as it was written.
//!
//! It writes nothing and may be asked while the board runs. Exit codes: 0 all is sound, 1 it could
//! not be read, 3 something is damaged.

use super::say::say;
use super::serve::usual_data_folder;
use crate::copies::{self, DayFound, Fault, Found, ShelfFound};
use crate::day::time::Timestamp;
use crate::journal::Trouble;
use crate::server::store_in;
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;

/// Looks whether everything the board keeps is as it was written.
#[derive(Debug, Clone, Args)]
pub struct CheckArgs {
    /// A copy to look at, in place of the journal of the data folder.
    file: Option<PathBuf>,
    /// The folder that keeps the days. [default: this user's folder for program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
    /// Says it as JSON.
    #[arg(long)]
    json: bool,
}

/// Looks at it.
pub fn run(args: &CheckArgs) -> ExitCode {
    let data = || args.data.clone().unwrap_or_else(usual_data_folder);
    let file = args.file.clone().unwrap_or_else(|| store_in(&data()));
    if !file.is_file() {
        eprintln!(
            "putby: there is no journal at {}: name a file, or its folder with --data",
            file.display()
        );
        return ExitCode::FAILURE;
    }
    match copies::check(&file) {
        Ok(found) => {
            let text = match args.json {
                true => serde_json::json!(found).to_string(),
                false => lines(&found).join("\n"),
            };
            let code = match found.sound {
                true => ExitCode::SUCCESS,
                false => ExitCode::from(3),
            };
            say(&text, code)
        }
        Err(trouble) => {
            eprintln!("putby: {}: {trouble}", file.display());
            match trouble {
                Trouble::Malformed(_) => ExitCode::from(3),
                _ => ExitCode::FAILURE,
            }
        }
    }
}

/// What was found, a line for each day.
pub(super) fn lines(found: &Found) -> Vec<String> {
    let mut lines: Vec<String> = found.days.iter().map(day_line).collect();
    lines.extend(found.shelf.as_ref().map(shelf_line));
    let file = found.file.iter();
    lines.extend(file.map(|fault| format!("the file: DAMAGED: {fault}")));
    lines.push(match found.sound {
        true => "All of it is sound.".to_owned(),
        false => {
            "It is damaged. `putby restore --newest` puts the newest sound copy in its place, \
                  and keeps this one."
                .to_owned()
        }
    });
    lines
}

fn day_line(day: &DayFound) -> String {
    chain_line(&day.day, day.events, day.last_at, day.fault.as_ref())
}

fn shelf_line(shelf: &ShelfFound) -> String {
    chain_line(
        "the shelf",
        shelf.events,
        shelf.last_at,
        shelf.fault.as_ref(),
    )
}

fn chain_line(
    name: &str,
    events: u64,
    last_at: Option<Timestamp>,
    fault: Option<&Fault>,
) -> String {
    let until = last_at.map_or(String::new(), |at| format!(", the last of {}", said(at)));
    match fault {
        None => format!("{name}: {events} events, sound{until}"),
        Some(Fault { seq, why }) => {
            format!(
                "{name}: DAMAGED at event {seq} ({why}); {events} events before it are sound{until}"
            )
        }
    }
}

/// A moment, in universal time.
pub(super) fn said(at: Timestamp) -> String {
    match jiff::Timestamp::from_millisecond(at.0) {
        Ok(at) => at.strftime("%Y-%m-%d %H:%M:%S UTC").to_string(),
        Err(_) => format!("{} ms", at.0),
    }
}

//! `putby restore`: puts a copy in the place of the journal, which is kept aside.
//!
//! Only while no server uses the folder. Exit codes: 1 it could not be done, 3 the copy is refused.

use super::check::{lines, said};
use super::say::say;
use super::serve::usual_data_folder;
use crate::copies::{self, Lost, RestoreTrouble, Restored};
use crate::day::time::Timestamp;
use crate::server::{DataFolder, store_in};
use clap::Args;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Puts a copy in the place of what the board keeps now, which is kept aside.
#[derive(Debug, Clone, Args)]
pub struct RestoreArgs {
    /// The copy.
    #[arg(required_unless_present = "newest")]
    file: Option<PathBuf>,
    /// The newest sound copy of those that the board made by itself.
    #[arg(long, conflicts_with = "file")]
    newest: bool,
    /// The folder that keeps the days. [default: this user's folder for program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
}

/// Puts it back.
pub fn run(args: &RestoreArgs) -> ExitCode {
    let data = args.data.clone().unwrap_or_else(usual_data_folder);
    let _ours = match DataFolder::claim(&data) {
        Ok(folder) => folder,
        Err(error) => {
            eprintln!("putby: {error}; nothing was changed");
            return ExitCode::FAILURE;
        }
    };
    match put_back(args.file.as_deref(), &store_in(&data)) {
        Ok((copy, restored)) => {
            let told = told(&restored).join("\n");
            say(
                &format!("From {}:\n{told}", copy.display()),
                ExitCode::SUCCESS,
            )
        }
        Err(trouble) => {
            eprintln!("putby: {trouble}");
            match trouble {
                RestoreTrouble::Damaged { .. } | RestoreTrouble::NoCopy(_) => ExitCode::from(3),
                RestoreTrouble::Unreadable { .. } | RestoreTrouble::Copy(_) => ExitCode::FAILURE,
            }
        }
    }
}

fn put_back(file: Option<&Path>, store: &Path) -> Result<(PathBuf, Restored), RestoreTrouble> {
    let copy = match file {
        Some(file) => file.to_owned(),
        None => copies::newest(store)?,
    };
    let now = Timestamp(jiff::Timestamp::now().as_millisecond());
    let restored = copies::restore(&copy, store, now)?;
    Ok((copy, restored))
}

fn told(restored: &Restored) -> Vec<String> {
    let mut said_lines = lines(&restored.copy);
    let until = |at: Option<Timestamp>| at.map_or("before any event".to_owned(), said);
    said_lines.push(format!(
        "The board is as it was at its last event, {}.",
        until(restored.copy.last_at())
    ));
    let Some(aside) = &restored.aside else {
        return said_lines;
    };
    said_lines.push(match &restored.lost {
        None => "What was here cannot be read, so nobody can say what the copy lacks.".to_owned(),
        Some(Lost { days, .. }) if days.is_empty() => {
            "The copy lacks no event of what was here.".to_owned()
        }
        Some(Lost { last_at, days }) => {
            let days: Vec<String> = days
                .iter()
                .map(|(day, n)| format!("{n} events of {day}"))
                .collect();
            format!(
                "What was here went on until {}; the copy lacks {}. Taps that wait on a device are \
                 sent as soon as it is in touch again.",
                until(*last_at),
                days.join(", ")
            )
        }
    });
    said_lines.push(format!("What was here is kept as {}", aside.display()));
    said_lines
}

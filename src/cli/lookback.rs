//! `putby lookback`: what a written day was like.
//!
//! The file is one that `putby replay` takes. Without an option it tells the day in words; `--json`
//! and `--csv` give all figures, `--html OUT` writes one file to print that asks for nothing from
//! outside. `--earlier FILE` lays other days beside it. The same files always give the same answer.
//! Exit code 0 means it was told; lines that were refused are reported and left out. 1 means it
//! could not be written, 2 that a file cannot be read or opens no day.

mod page;
mod words;

use super::file::text_of;
use super::replay::{Refused, replay, tell_refused};
use super::say::say;
use crate::lookback::{FinishCourse, LookBack, Summary, csv, finish_course, look_back, summary};
use crate::pace::Learned;
use clap::Args;
use serde::Serialize;
use std::path::PathBuf;
use std::process::ExitCode;

pub use page::page;
pub use words::words;

/// Tells what a written day was like.
#[derive(Debug, Clone, Args)]
pub struct LookBackArgs {
    /// Commands, one JSON object a line, as for `putby replay`.
    file: PathBuf,
    /// Answers in JSON.
    #[arg(long, group = "form")]
    json: bool,
    /// Answers as a table for a spreadsheet.
    #[arg(long, group = "form")]
    csv: bool,
    /// Writes a page to print to this file.
    #[arg(long, group = "form", value_name = "OUT")]
    html: Option<PathBuf>,
    /// Another day to lay beside it; may be given several times.
    #[arg(long, value_name = "FILE")]
    earlier: Vec<PathBuf>,
}

/// A day looked back on, with all that is told of it.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Told {
    /// The figures.
    pub look_back: LookBack,
    /// The few of them that are laid beside other days.
    pub summary: Summary,
    /// The same of the other days, in the order given.
    pub earlier: Vec<Summary>,
    /// How the foretold end moved; of a written day nothing is known of earlier paces.
    pub finish: FinishCourse,
    /// Lines that were refused.
    pub refused: Vec<Refused>,
}

/// Looks back on a written day.
///
/// # Errors
/// A sentence, when the text opens no day.
pub fn tell(text: &str, earlier: Vec<Summary>) -> Result<Told, String> {
    let replayed = replay(text);
    if replayed.records.is_empty() {
        return Err("The file opens no day: its first line must be an open-day.".to_owned());
    }
    let look_back = look_back(&replayed.records);
    Ok(Told {
        summary: summary(&look_back),
        look_back,
        earlier,
        finish: finish_course(&replayed.records, &Learned::default()),
        refused: replayed.refused,
    })
}

/// Reads the files and answers.
pub fn run(args: &LookBackArgs) -> ExitCode {
    answered(args).unwrap_or_else(|code| code)
}

fn answered(args: &LookBackArgs) -> Result<ExitCode, ExitCode> {
    let text = text_of(&args.file)?;
    let mut earlier = Vec::new();
    for file in &args.earlier {
        let replayed = replay(&text_of(file)?);
        if replayed.records.is_empty() {
            eprintln!("putby: {} opens no day.", file.display());
            return Err(ExitCode::from(2));
        }
        earlier.push(summary(&look_back(&replayed.records)));
    }
    let told = tell(&text, earlier).map_err(|sentence| {
        eprintln!("putby: {sentence}");
        ExitCode::from(2)
    })?;
    tell_refused(&told.refused);
    if let Some(out) = &args.html {
        std::fs::write(out, page(&told)).map_err(|error| {
            eprintln!("putby: cannot write {}: {error}", out.display());
            ExitCode::FAILURE
        })?;
        return Ok(ExitCode::SUCCESS);
    }
    let text = if args.csv {
        csv(&told.look_back)
    } else if args.json {
        serde_json::to_string_pretty(&told).map_err(|error| {
            eprintln!("putby: {error}");
            ExitCode::FAILURE
        })?
    } else {
        words(&told)
    };
    Ok(say(&text, ExitCode::SUCCESS))
}

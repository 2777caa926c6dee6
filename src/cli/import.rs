//! `putby import`: reads such a file into a data folder, all of it or nothing.
//!
//! Only while no server uses the folder; while one runs, the lead's page takes the file. Exit codes:
//! 1 it could not be written, 2 the file cannot be read, 3 the file is refused.

use super::say::say;
use super::serve::usual_data_folder;
use crate::journal::carry::{self, Brought, CarryTrouble};
use crate::server::{DataFolder, store_in};
use clap::Args;
use std::fs::File;
use std::io::BufReader;
use std::path::PathBuf;
use std::process::ExitCode;

/// Reads a file written by `putby export` into the board.
#[derive(Debug, Clone, Args)]
pub struct ImportArgs {
    /// The file.
    file: PathBuf,
    /// The folder that keeps the days; made if it is not there. [default: this user's folder for
    /// program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
}

/// Reads it.
pub fn run(args: &ImportArgs) -> ExitCode {
    let file = match File::open(&args.file) {
        Ok(file) => BufReader::new(file),
        Err(error) => {
            eprintln!("putby: cannot read {}: {error}", args.file.display());
            return ExitCode::from(2);
        }
    };
    let data = args.data.clone().unwrap_or_else(usual_data_folder);
    let _ours = match DataFolder::claim(&data) {
        Ok(folder) => folder,
        Err(error) => {
            eprintln!("putby: {error}; or let the lead's page take the file while it runs");
            return ExitCode::FAILURE;
        }
    };
    match carry::import(&store_in(&data), file) {
        Ok(brought) => {
            let mut lines: Vec<String> = brought.iter().map(line).collect();
            lines.push(format!("{} days read.", brought.len()));
            say(&lines.join("\n"), ExitCode::SUCCESS)
        }
        Err(trouble) => {
            eprintln!("putby: {trouble}");
            match trouble {
                CarryTrouble::File(_) | CarryTrouble::Journal(_) => ExitCode::FAILURE,
                CarryTrouble::Malformed { .. }
                | CarryTrouble::Newer { .. }
                | CarryTrouble::Unknown { .. }
                | CarryTrouble::Damaged { .. }
                | CarryTrouble::Conflict { .. } => ExitCode::from(3),
            }
        }
    }
}

fn line(Brought { day, events, new }: &Brought) -> String {
    match new {
        0 => format!("{day}: {events} events, all of them here already"),
        new => format!("{day}: {events} events, {new} of them new"),
    }
}

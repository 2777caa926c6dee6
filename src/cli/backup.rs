//! `putby backup`: copies the journal into one file, checked; the board may run meanwhile.
//!
//! Exit codes: 1 it could not be read or written, 3 the file is there already, or the journal is
//! damaged.

use super::check::lines;
use super::file::board_in;
use super::say::say;
use crate::copies::{self, CopyTrouble};
use crate::server::store_in;
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;

/// Copies everything the board keeps, as it is now, into one file.
#[derive(Debug, Clone, Args)]
pub struct BackupArgs {
    /// The file to write.
    file: PathBuf,
    /// Writes it in the place of an earlier one, which stays until the new one is whole.
    #[arg(long)]
    replace: bool,
    /// The folder that keeps the days. [default: this user's folder for program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
}

/// Copies it.
pub fn run(args: &BackupArgs) -> ExitCode {
    let store = match board_in(args.data.as_deref()) {
        Ok(data) => store_in(&data),
        Err(code) => return code,
    };
    match copies::copy_to(&store, &args.file, args.replace) {
        Ok(found) => say(&lines(&found).join("\n"), ExitCode::SUCCESS),
        Err(trouble) => {
            eprintln!("putby: {trouble}");
            match trouble {
                CopyTrouble::IsThere(_) | CopyTrouble::Damaged(_) => ExitCode::from(3),
                CopyTrouble::InHand(_)
                | CopyTrouble::NoRoom(_)
                | CopyTrouble::File { .. }
                | CopyTrouble::Journal(_) => ExitCode::FAILURE,
            }
        }
    }
}

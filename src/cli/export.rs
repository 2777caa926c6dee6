//! `putby export`: writes everything a data folder keeps into one file.
//!
//! The server may run: what it writes meanwhile is not in the file. Exit codes: 1 it could not be
//! read or written, 3 the file is there already.

use super::file::board_in;
use crate::day::time::Timestamp;
use crate::journal::carry;
use crate::server::store_in;
use clap::Args;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Writes everything the board keeps into one file.
#[derive(Debug, Clone, Args)]
pub struct ExportArgs {
    /// The file to write; "-" for the standard output.
    file: PathBuf,
    /// The folder that keeps the days. [default: this user's folder for program data]
    #[arg(long, env = "PUTBY_DATA")]
    data: Option<PathBuf>,
}

/// Writes it.
pub fn run(args: &ExportArgs) -> ExitCode {
    let store = match board_in(args.data.as_deref()) {
        Ok(data) => store_in(&data),
        Err(code) => return code,
    };
    if args.file.as_os_str() == "-" {
        return told(write(&store, &mut std::io::stdout().lock()));
    }
    if args.file.exists() {
        eprintln!(
            "putby: {} is there already, and nothing is written over: choose another name",
            args.file.display()
        );
        return ExitCode::from(3);
    }
    told(write_whole(&store, &args.file))
}

/// Under another name until it is whole and on the disk, so that a broken one is never taken for it.
fn write_whole(store: &Path, file: &Path) -> anyhow::Result<()> {
    let mut name = file.as_os_str().to_owned();
    name.push(".part");
    let part = PathBuf::from(name);
    let written = (|| {
        let mut out = BufWriter::new(File::create(&part)?);
        write(store, &mut out)?;
        out.into_inner()
            .map_err(|error| error.into_error())?
            .sync_all()?;
        std::fs::rename(&part, file)?;
        Ok(())
    })();
    if written.is_err() {
        // What is left of it is of no use; that it could not be removed changes nothing.
        let _ = std::fs::remove_file(&part);
    }
    written
}

fn write(store: &Path, out: &mut dyn Write) -> anyhow::Result<()> {
    let made_at = Timestamp(jiff::Timestamp::now().as_millisecond());
    Ok(carry::export(store, made_at, out)?)
}

fn told(written: anyhow::Result<()>) -> ExitCode {
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("putby: {error:#}");
            ExitCode::FAILURE
        }
    }
}

//! The files that a command is given: one to read, or the journal of a board.

use super::serve::usual_data_folder;
use crate::server::store_in;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The text of a file.
///
/// # Errors
/// The exit code for a file that cannot be read, which has then been said on the error output.
pub(super) fn text_of(file: &Path) -> Result<String, ExitCode> {
    std::fs::read_to_string(file).map_err(|error| {
        eprintln!("putby: cannot read {}: {error}", file.display());
        ExitCode::from(2)
    })
}

/// The data folder of a board, this user's own if none is named.
///
/// # Errors
/// The exit code where there is no board, which has then been said on the error output.
pub(super) fn board_in(data: Option<&Path>) -> Result<PathBuf, ExitCode> {
    let data = data.map_or_else(usual_data_folder, Path::to_owned);
    if store_in(&data).is_file() {
        return Ok(data);
    }
    eprintln!(
        "putby: there is no board in {}: name its folder with --data",
        data.display()
    );
    Err(ExitCode::FAILURE)
}

//! The file that a command is given.

use std::path::Path;
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

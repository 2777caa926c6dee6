//! What a command answers on standard output.

use std::io::{ErrorKind, Write};
use std::process::ExitCode;

/// Writes `text`, with an end of line; gives `code`, or failure where it cannot be written. A reader
/// that closed its end (a pager, `head`) is no fault of the command.
pub(super) fn say(text: &str, code: ExitCode) -> ExitCode {
    let end = if text.ends_with('\n') { "" } else { "\n" };
    match write!(std::io::stdout().lock(), "{text}{end}") {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            eprintln!("putby: cannot write the answer: {error}");
            ExitCode::FAILURE
        }
        _ => code,
    }
}

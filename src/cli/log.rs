//! The log: one line for each thing, to standard error, plain or as JSON.
//!
//! What it keeps true: nothing that is logged can forge a line or speak to a terminal, since every
//! control character within one is escaped; a log that cannot be written stops nothing; a mistake
//! in the program is told by its place in the code and not by what it was about.

use std::io::{self, Write};
use tracing_subscriber::EnvFilter;

/// How the log is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Form {
    /// For people.
    Plain,
    /// For programs: an object on each line.
    Json,
}

/// Begins the log; `PUTBY_LOG` says what is worth a line: `warn`, `info`, `putby=debug`.
pub fn begin(form: Form) {
    let wanted = EnvFilter::try_from_env("PUTBY_LOG").unwrap_or_else(|_| EnvFilter::new("warn"));
    let log = tracing_subscriber::fmt()
        .with_env_filter(wanted)
        .with_ansi(false)
        .log_internal_errors(false)
        .with_writer(|| Line);
    match form {
        Form::Plain => log.init(),
        Form::Json => log.json().init(),
    }
    std::panic::set_hook(Box::new(|panic| {
        let place = panic.location().map(ToString::to_string);
        tracing::error!(place, "a mistake in this program; please report the place");
        let what = panic.payload_as_str().unwrap_or_default();
        tracing::debug!(what, "the mistake");
    }));
}

/// Standard error, line by line.
struct Line;

impl Write for Line {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        io::stderr().lock().write_all(escaped(bytes).as_bytes())?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        io::stderr().flush()
    }
}

/// A line in which only its end is a control character.
fn escaped(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let line = text.strip_suffix('\n').unwrap_or(&text);
    let mut safe = String::with_capacity(text.len());
    for c in line.chars() {
        if c.is_control() {
            safe.extend(c.escape_default());
        } else {
            safe.push(c);
        }
    }
    safe.push('\n');
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_value_can_forge_a_line_or_speak_to_a_terminal() {
        let forged = escaped("a name\n2026 WARN forged\r\u{1b}[2J\u{7}\n".as_bytes());
        assert_eq!(forged, "a name\\n2026 WARN forged\\r\\u{1b}[2J\\u{7}\n");
        assert_eq!(escaped("Früh 梨\n".as_bytes()), "Früh 梨\n");
    }
}

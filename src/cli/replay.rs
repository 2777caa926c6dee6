//! `putby replay`: puts a written day through the rules and shows how it ends.
//!
//! The file holds one command a line, in the order given: `{"at": ms, "command": {...}}`, with
//! `"role"` where it is not the lead's and `"id"` where it matters. A line that is refused or
//! cannot be read is reported with its number, and the rest goes on. Not for days in a journal;
//! those are replayed by the server itself. Invariant: the same file always gives the same answer.
//! Exit code 0 means every line was accepted, 1 that some were not, 2 that the file cannot be read.

use super::file::text_of;
use super::say::say;
use crate::day::time::Timestamp;
use crate::day::{Command, Moment, Record, Role, State, execute, view};
use clap::Args;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::process::ExitCode;
use uuid::Uuid;

/// Puts a written day through the rules and shows how it ends.
#[derive(Debug, Clone, Args)]
pub struct ReplayArgs {
    /// Commands, one JSON object a line.
    file: PathBuf,
}

/// One line of a written day.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    at: Timestamp,
    #[serde(default)]
    id: Option<Uuid>,
    #[serde(default = "lead")]
    role: Role,
    command: Command,
}

fn lead() -> Role {
    Role::Lead
}

/// A line that changed nothing, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// Its number, from 1.
    pub line: usize,
    /// The reason, for programs: the rules' own code, or `malformed`, `time-goes-back`,
    /// `id-conflict`.
    pub code: String,
    /// What is wrong.
    pub detail: String,
    /// What to do instead.
    pub instead: String,
}

/// How a written day ended.
#[derive(Debug, Clone, Default)]
pub struct Replayed {
    /// The day after the last line.
    pub state: State,
    /// How many lines were accepted.
    pub accepted: usize,
    /// The lines that were not.
    pub refused: Vec<Refused>,
    /// Everything that happened.
    pub records: Vec<Record>,
}

/// Puts the lines of a written day through the rules. Blank lines are passed over; a line that
/// repeats an accepted one with its id changes nothing and counts for nothing.
pub fn replay(text: &str) -> Replayed {
    replay_until(text, None)
}

/// The same with the lines up to a moment only, those of the moment itself among them.
pub fn replay_until(text: &str, until: Option<Timestamp>) -> Replayed {
    let mut replayed = Replayed::default();
    let mut past = Past {
        until,
        ..Past::default()
    };
    for (index, line) in text.lines().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        match past.take(&mut replayed, index + 1, line) {
            Ok(true) => replayed.accepted += 1,
            Ok(false) => {}
            Err(refused) => replayed.refused.push(refused),
        }
    }
    replayed
}

/// What the lines before have settled.
#[derive(Default)]
struct Past {
    /// What is later did not happen yet.
    until: Option<Timestamp>,
    last: Option<Timestamp>,
    accepted: BTreeMap<Uuid, Command>,
}

impl Past {
    /// Takes one line; false if it only repeats an earlier one.
    fn take(
        &mut self,
        replayed: &mut Replayed,
        number: usize,
        text: &str,
    ) -> Result<bool, Refused> {
        let line = self.read(number, text)?;
        if self.until.is_some_and(|until| line.at > until) {
            return Ok(false);
        }
        let id = line.id.unwrap_or_else(|| id_of_line(number));
        match self.accepted.get(&id) {
            None => {}
            Some(earlier) if *earlier == line.command => return Ok(false),
            Some(_) => {
                let detail = format!("The id {id} stands for another command already.");
                let instead = "Give every command its own id.";
                return Err(refused(number, "id-conflict", detail, instead));
            }
        }
        let moment = Moment {
            now: line.at,
            command: id,
            role: line.role,
        };
        let done = execute(&mut replayed.state, &line.command, &moment);
        let events = done.map_err(|refusal| {
            let code = word(&refusal.code);
            refused(number, &code, refusal.detail, &refusal.instead)
        })?;
        for event in events {
            replayed.records.push(Record {
                seq: replayed.records.len() as u64 + 1,
                at: moment.now,
                command: moment.command,
                role: moment.role,
                event,
            });
        }
        self.accepted.insert(id, line.command);
        Ok(true)
    }

    /// Reads a line, which must not be earlier than those before.
    fn read(&mut self, number: usize, text: &str) -> Result<Line, Refused> {
        let line: Line = serde_json::from_str(text).map_err(|error| {
            let instead =
                "Write {\"at\": milliseconds, \"command\": {\"order\": ...}} on one line.";
            refused(number, "malformed", error.to_string(), instead)
        })?;
        if let Some(last) = self.last.filter(|last| line.at < *last) {
            let detail = format!(
                "{} is before {}, the time of an earlier line.",
                line.at.0, last.0
            );
            let instead = "Put the lines in the order in which they happened.";
            return Err(refused(number, "time-goes-back", detail, instead));
        }
        self.last = Some(line.at);
        Ok(line)
    }
}

fn refused(line: usize, code: &str, detail: String, instead: &str) -> Refused {
    Refused {
        line,
        code: code.to_owned(),
        detail,
        instead: instead.to_owned(),
    }
}

/// The id of a line that names none.
fn id_of_line(number: usize) -> Uuid {
    Uuid::from_u64_pair(0, number as u64)
}

/// A code as it is written in JSON.
fn word(code: &crate::day::Code) -> String {
    match serde_json::to_value(code) {
        Ok(Value::String(word)) => word,
        Ok(other) => other.to_string(),
        Err(error) => error.to_string(),
    }
}

/// What the command prints: the view at the end and what became of the lines.
pub fn answer(replayed: &Replayed) -> Value {
    json!({
        "view": view(&replayed.state),
        "accepted": replayed.accepted,
        "refused": replayed.refused,
    })
}

/// Says on the error output which lines were refused, and what to do instead.
pub(super) fn tell_refused(refused: &[Refused]) {
    for Refused {
        line,
        detail,
        instead,
        ..
    } in refused
    {
        eprintln!("line {line}: {detail} {instead}");
    }
}

/// Reads the file and answers.
pub fn run(args: &ReplayArgs) -> ExitCode {
    let text = match text_of(&args.file) {
        Ok(text) => text,
        Err(code) => return code,
    };
    let replayed = replay(&text);
    tell_refused(&replayed.refused);
    let code = match replayed.refused.is_empty() {
        true => ExitCode::SUCCESS,
        false => ExitCode::FAILURE,
    };
    say(&format!("{:#}", answer(&replayed)), code)
}

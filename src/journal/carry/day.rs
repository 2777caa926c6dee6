//! One day on its way into the journal, command by command.
//!
//! What the board has already must be the same to the digest; what it has not is written. The day
//! is played through as it comes, so that a day that breaks its own rules never comes in.

use super::hex_digest::HexDigest;
use super::{Brought, CarryTrouble};
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{Event, Role, State, apply};
use crate::journal::Digest;
use crate::journal::digest::Link;
use crate::journal::record::{VERSION, lift, role_text};
use crate::journal::rows::{column, digest_at, end_of};
use rusqlite::{OptionalExtension, Transaction, params};
use serde::Deserialize;
use serde_json::value::RawValue;
use sha2::{Digest as _, Sha256};
use std::panic::{AssertUnwindSafe, catch_unwind};
use uuid::Uuid;

/// The longest event in bytes: well over the longest plan.
const EVENT_BYTES_MAX: usize = 4 << 20;

/// The digest of what the chain of events does not cover: what was said by each command.
#[derive(Default)]
pub(super) struct Sum(Sha256);

impl Sum {
    /// One more command.
    pub fn add(&mut self, id: Uuid, said: Digest, at: Timestamp) {
        self.0.update(id.as_bytes());
        self.0.update(said.0);
        self.0.update(at.0.to_le_bytes());
    }

    /// The sum of a day whose last event has this digest.
    pub fn of_day(mut self, last: Digest) -> Digest {
        self.0.update(last.0);
        Digest(self.0.finalize().into())
    }
}

/// A command as it stands in the file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CommandLine {
    id: Uuid,
    said: HexDigest,
    at: Timestamp,
    #[serde(default)]
    role: Option<Role>,
    events: Vec<EventLine>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EventLine {
    form: u32,
    digest: HexDigest,
    event: Box<RawValue>,
}

/// An event that was checked.
struct Checked {
    kind: String,
    body: String,
    event: Event,
}

/// A day being read.
pub(super) struct Intake<'a> {
    tx: &'a Transaction<'a>,
    day: DayId,
    /// How many events the board has of it.
    here: u64,
    seq: u64,
    at: Timestamp,
    digest: Digest,
    sum: Sum,
    state: State,
}

impl<'a> Intake<'a> {
    /// Begins with a day.
    pub fn of(tx: &'a Transaction<'a>, day: DayId) -> Result<Intake<'a>, CarryTrouble> {
        let here = end_of(tx, &day)?.seq;
        Ok(Intake {
            tx,
            day,
            here,
            seq: 0,
            at: Timestamp(i64::MIN),
            digest: Digest::START,
            sum: Sum::default(),
            state: State::default(),
        })
    }

    /// Takes the next command.
    pub fn take(&mut self, line: CommandLine) -> Result<(), CarryTrouble> {
        if line.at < self.at {
            return Err(self.damaged(self.seq + 1, "its time is before that of the one before"));
        }
        if self.seq == 0 {
            self.begin(&line)?;
        }
        let last = self.seq + line.events.len() as u64;
        if self.seq < self.here && self.here < last {
            return Err(self.conflict(self.here + 1));
        }
        self.at = line.at;
        for event in &line.events {
            self.take_event(&line, event)?;
        }
        self.keep_command(&line)?;
        self.sum.add(line.id, line.said.0, line.at);
        Ok(())
    }

    /// The command that opened the day names it on every board.
    fn begin(&mut self, line: &CommandLine) -> Result<(), CarryTrouble> {
        if line.events.is_empty() {
            return Err(self.damaged(1, "the day does not begin with its opening"));
        }
        let mut select = self
            .tx
            .prepare_cached("SELECT day FROM days WHERE opened_by = ?1")?;
        let named: Option<String> = select
            .query_row(params![line.id.as_bytes()], |row| row.get(0))
            .optional()?;
        match named {
            Some(named) if named == self.day.as_str() => Ok(()),
            Some(named) => Err(CarryTrouble::Conflict {
                what: format!(
                    "day {:?}, which is called {named:?} here,",
                    self.day.as_str()
                ),
                seq: 1,
            }),
            None if self.here > 0 => Err(self.conflict(1)),
            None => {
                self.tx
                    .prepare_cached("INSERT INTO days (day, opened_by) VALUES (?1, ?2)")?
                    .execute(params![self.day.as_str(), line.id.as_bytes()])?;
                Ok(())
            }
        }
    }

    fn take_event(&mut self, line: &CommandLine, event: &EventLine) -> Result<(), CarryTrouble> {
        self.seq += 1;
        let Some(role) = line.role else {
            return Err(self.damaged(self.seq, "nobody's role stands by it"));
        };
        let checked = self.checked(line, role, event)?;
        if (self.seq == 1) != matches!(checked.event, Event::DayOpened { .. }) {
            return Err(self.damaged(self.seq, "a day is opened once, at its beginning"));
        }
        if self.seq <= self.here {
            if digest_at(self.tx, &self.day, self.seq)? != event.digest.0 {
                return Err(self.conflict(self.seq));
            }
        } else {
            self.write(line, role, event, &checked)?;
        }
        self.digest = event.digest.0;
        // A day made up by hand could hold what no rule would ever have let happen.
        let state = &mut self.state;
        let played = catch_unwind(AssertUnwindSafe(|| {
            apply(state, line.at, line.id, &checked.event);
        }));
        played.map_err(|_| self.damaged(self.seq, "it cannot have happened"))
    }

    /// The event, if its digest fits what stands in the file, or what that is without the spaces
    /// some other program has put in.
    fn checked(
        &self,
        line: &CommandLine,
        role: Role,
        event: &EventLine,
    ) -> Result<Checked, CarryTrouble> {
        let text = event.event.get();
        if text.len() > EVENT_BYTES_MAX {
            return Err(self.damaged(self.seq, "it is too long"));
        }
        let value: serde_json::Value =
            serde_json::from_str(text).map_err(|_| self.damaged(self.seq, "it is no JSON"))?;
        let kind = value.get("fact").and_then(serde_json::Value::as_str);
        let kind = kind.unwrap_or_default().to_owned();
        let fits = |body: &str| {
            let link = Link {
                day: self.day.as_str(),
                seq: self.seq,
                at: line.at,
                command: line.id,
                role: role_text(role),
                kind: &kind,
                version: event.form,
                body,
            };
            link.digest(self.digest) == event.digest.0
        };
        let plain = value.to_string();
        let body = [text.to_owned(), plain].into_iter().find(|body| fits(body));
        let body = body.ok_or_else(|| self.damaged(self.seq, "its digest does not fit"))?;
        let Some(found) = lift(event.form, &body) else {
            return Err(CarryTrouble::Unknown {
                place: format!("day {:?}, event {}", self.day.as_str(), self.seq),
                what: match event.form {
                    VERSION => format!("an event of the kind {kind:?}"),
                    form => format!("events in form {form}"),
                },
            });
        };
        Ok(Checked {
            kind,
            body,
            event: found,
        })
    }

    fn write(
        &self,
        line: &CommandLine,
        role: Role,
        event: &EventLine,
        checked: &Checked,
    ) -> Result<(), CarryTrouble> {
        self.tx
            .prepare_cached(
                "INSERT INTO events (day, seq, at_ms, command, role, kind, version, body, digest)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?
            .execute(params![
                self.day.as_str(),
                column(self.seq),
                line.at.0,
                line.id.as_bytes(),
                role_text(role),
                checked.kind,
                event.form,
                checked.body,
                event.digest.0.0
            ])?;
        Ok(())
    }

    /// The command itself, by which its repeat is recognised.
    fn keep_command(&self, line: &CommandLine) -> Result<(), CarryTrouble> {
        let known: Option<(Vec<u8>, i64, i64)> = self
            .tx
            .prepare_cached(
                "SELECT body, seq, at_ms FROM commands WHERE day = ?1 AND command = ?2",
            )?
            .query_row(params![self.day.as_str(), line.id.as_bytes()], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })
            .optional()?;
        let mine = (line.said.0.0.to_vec(), column(self.seq), line.at.0);
        match known {
            Some(known) if known == mine => Ok(()),
            Some(_) if self.seq > self.here => {
                Err(self.damaged(self.seq, "its command stands twice in the file"))
            }
            Some(_) => Err(self.conflict(self.seq)),
            None => {
                self.tx
                    .prepare_cached(
                        "INSERT INTO commands (day, command, body, seq, at_ms)
                         VALUES (?1, ?2, ?3, ?4, ?5)",
                    )?
                    .execute(params![
                        self.day.as_str(),
                        line.id.as_bytes(),
                        mine.0,
                        mine.1,
                        mine.2
                    ])?;
                Ok(())
            }
        }
    }

    /// The day is read; `events` and `sum` are what the file says of it.
    pub fn end(self, events: u64, sum: Digest) -> Result<Brought, CarryTrouble> {
        let bad = |why: &str| CarryTrouble::Damaged {
            day: self.day.to_string(),
            seq: self.seq,
            why: why.to_owned(),
        };
        if self.seq == 0 || events != self.seq {
            return Err(bad("the file says another number of events"));
        }
        let state = &self.state;
        match catch_unwind(AssertUnwindSafe(|| state.check())) {
            Ok(Ok(())) => {}
            Ok(Err(broken)) => return Err(bad(&broken)),
            Err(_) => return Err(bad("it cannot have happened")),
        }
        let brought = Brought {
            day: self.day.clone(),
            events: self.seq,
            new: self.seq.saturating_sub(self.here),
        };
        if self.sum.of_day(self.digest) != sum {
            return Err(CarryTrouble::Damaged {
                day: brought.day.to_string(),
                seq: brought.events,
                why: "the sum over its commands does not fit".to_owned(),
            });
        }
        Ok(brought)
    }

    fn damaged(&self, seq: u64, why: &str) -> CarryTrouble {
        CarryTrouble::Damaged {
            day: self.day.to_string(),
            seq,
            why: why.to_owned(),
        }
    }

    fn conflict(&self, seq: u64) -> CarryTrouble {
        CarryTrouble::Conflict {
            what: format!("day {:?}", self.day.as_str()),
            seq,
        }
    }
}

//! A whole day played without a network: the people against the rules, in the day's own time.
//!
//! For tests and rehearsals. Not what `putby demo` shows; there the same minds sit behind devices.

use super::mind::{Around, Mind};
use super::people::Cast;
use super::sight::Sight;
use crate::day::command::Command;
use crate::day::ids::HelperId;
use crate::day::plan::DayPlan;
use crate::day::state::Phase;
use crate::day::time::{HOUR_MS, SECOND_MS, Timestamp};
use crate::day::{Moment, Record, Refusal, Role, State, execute};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use uuid::Uuid;

/// Everybody looks up this often.
const LOOK_MS: i64 = 5 * SECOND_MS;
/// A day that is not closed by then never will be.
const LONGEST_MS: i64 = 16 * HOUR_MS;

/// A played day.
pub struct Played {
    /// How it ended.
    pub state: State,
    /// Everything that happened.
    pub records: Vec<Record>,
    /// What was refused.
    pub refused: Vec<(Command, Refusal)>,
}

/// Plays the day of this seed from the opening to the closing, or until it takes too long.
pub fn play(plan: DayPlan, cast: &Cast, seed: u64) -> Played {
    let mut table = Table::open(plan, cast, seed);
    let opened = table.now;
    let mut minds: Vec<(HelperId, Mind)> = cast
        .people
        .keys()
        .map(|helper| (helper.clone(), Mind::default()))
        .collect();
    while table.played.state.phase == Phase::Open && table.now.ms_since(opened) < LONGEST_MS {
        table.now = Timestamp(table.now.0 + LOOK_MS);
        for (helper, mind) in &mut minds {
            table.look_up(helper, mind);
        }
    }
    table.played
}

struct Table<'a> {
    cast: &'a Cast,
    seed: u64,
    rng: ChaCha8Rng,
    now: Timestamp,
    sight: Option<Sight>,
    played: Played,
}

impl<'a> Table<'a> {
    fn open(plan: DayPlan, cast: &'a Cast, seed: u64) -> Table<'a> {
        let mut table = Table {
            cast,
            seed,
            rng: ChaCha8Rng::seed_from_u64(seed),
            now: Timestamp(0),
            sight: None,
            played: Played {
                state: State::default(),
                records: Vec::new(),
                refused: Vec::new(),
            },
        };
        let plan = Box::new(plan);
        table.give(Role::Lead, Command::OpenDay { plan });
        table
    }

    fn look_up(&mut self, helper: &HelperId, mind: &mut Mind) {
        let around = Around {
            cast: self.cast,
            me: helper,
            seed: self.seed,
        };
        let state = &self.played.state;
        let sight = self.sight.get_or_insert_with(|| Sight::of(state));
        let Some(command) = mind.act(around, sight, self.now, &mut self.rng) else {
            return;
        };
        let role = match *helper == self.cast.lead {
            true => Role::Lead,
            false => Role::Helper,
        };
        match self.give(role, command.clone()) {
            None => mind.accepted(&command),
            Some(refusal) => {
                let code = serde_json::to_value(refusal.code).unwrap_or_default();
                mind.refused(command, code.as_str().unwrap_or_default(), self.now);
            }
        }
    }

    /// Gives a command to the rules.
    fn give(&mut self, role: Role, command: Command) -> Option<Refusal> {
        let moment = Moment {
            now: self.now,
            command: Uuid::from_u128(self.rng.random()),
            role,
        };
        let played = &mut self.played;
        match execute(&mut played.state, &command, &moment) {
            Ok(events) => {
                self.sight = None;
                for event in events {
                    played.records.push(Record {
                        seq: played.records.len() as u64 + 1,
                        at: moment.now,
                        command: moment.command,
                        role,
                        event,
                    });
                }
                None
            }
            Err(refusal) => {
                played.refused.push((command, refusal.clone()));
                Some(refusal)
            }
        }
    }
}

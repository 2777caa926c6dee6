//! What one simulated helper does next.
//!
//! A pure function of what they see, the moment, what they remember and a random source; the order
//! of the questions is the order of what matters: heat first, then the work in hand, then the rest.
//! Not for sending anything. What it keeps true: one command at a time, and nothing that was just
//! refused is tried again at once.

use super::happenings::Befallen;
use super::look::Look;
use super::people::Cast;
use super::sight::Sight;
use super::{chores, closing, duties, happenings, loads, rests, seats, work};
use crate::day::amount::Amount;
use crate::day::command::Command;
use crate::day::ids::*;
use crate::day::state::{Phase, Presence};
use crate::day::time::{MINUTE_MS, SECOND_MS, Timestamp};
use rand::{Rng, RngExt};

/// How long what was refused is not tried again.
const REFUSED_MS: i64 = 2 * MINUTE_MS;

/// What one person remembers.
#[derive(Debug, Clone, Default)]
pub struct Mind {
    /// Nothing is tapped before this.
    pub(super) not_before: Timestamp,
    /// The carrier in hand.
    pub(super) hands: Option<Hands>,
    /// The chore under way, and when it is done.
    pub(super) chore: Option<(ChoreId, Timestamp)>,
    /// Since when there is nothing to do at the seat.
    pub(super) idle_since: Option<Timestamp>,
    /// When a rest is next thought of.
    pub(super) rest_at: Option<Timestamp>,
    /// What has befallen this person already.
    pub(super) befallen: Befallen,
    /// Ids of loads that turned out to be taken.
    pub(super) loads_skipped: u32,
    refused: Vec<(Command, Timestamp)>,
}

/// A carrier being worked on.
#[derive(Debug, Clone)]
pub(super) struct Hands {
    pub station: StationId,
    pub product: ProductId,
    pub amount: Amount,
    pub until: Timestamp,
}

/// The constant surroundings of a mind.
#[derive(Clone, Copy)]
pub struct Around<'a> {
    /// The family.
    pub cast: &'a Cast,
    /// Who this is.
    pub me: &'a HelperId,
    /// The day's seed.
    pub seed: u64,
}

impl Mind {
    /// What this person does now; `None` for going on with what they are at.
    pub fn act(
        &mut self,
        around: Around<'_>,
        sight: &Sight,
        now: Timestamp,
        rng: &mut impl Rng,
    ) -> Option<Command> {
        let person = around.cast.people.get(around.me)?;
        let look = Look {
            sight,
            cast: around.cast,
            me: around.me,
            person,
            now,
            seed: around.seed,
        };
        if now < self.not_before || sight.day.phase != Phase::Open {
            return None;
        }
        self.refused
            .retain(|(_, at)| now.ms_since(*at) < REFUSED_MS);
        let command = self.choose(&look, rng)?;
        self.not_before = Timestamp(now.0 + rng.random_range(2..8) * SECOND_MS);
        Some(command)
    }

    fn choose(&mut self, look: &Look<'_>, rng: &mut impl Rng) -> Option<Command> {
        match look.myself()?.presence {
            Presence::Expected => return rests::arrive(look),
            Presence::Gone => return None,
            Presence::Resting => return rests::come_back(look),
            Presence::Here => {}
        }
        let urgent = loads::next(self, look).or_else(|| duties::next(self, look, rng));
        if urgent.is_some() {
            self.put_off_hands();
            return urgent;
        }
        if let Some(command) = work::finished(self, look) {
            return Some(command);
        }
        if self.is_busy(look) {
            return None;
        }
        happenings::next(self, look)
            .or_else(|| chores::next(self, look, rng))
            .or_else(|| rests::next(self, look, rng))
            .or_else(|| seats::next(self, look, rng))
            .or_else(|| work::begin(self, look, rng))
            .or_else(|| closing::next(self, look))
    }

    fn is_busy(&self, look: &Look<'_>) -> bool {
        let chore = self
            .chore
            .as_ref()
            .is_some_and(|(_, until)| look.now < *until);
        self.hands.is_some() || chore
    }

    /// A look at the stove costs the work in hand a minute.
    fn put_off_hands(&mut self) {
        if let Some(hands) = &mut self.hands {
            hands.until = hands.until.plus_minutes(1);
        }
    }

    /// Whether a command may be tried: not while it was refused a moment ago.
    pub(super) fn untried(&self, command: Command) -> Option<Command> {
        let tried = self.refused.iter().any(|(refused, _)| *refused == command);
        (!tried).then_some(command)
    }

    /// Learns that a command was accepted.
    pub fn accepted(&mut self, command: &Command) {
        match command {
            Command::Tally { .. } => self.hands = None,
            Command::FinishChore { .. } => self.chore = None,
            Command::Claim { .. } | Command::Switch { .. } | Command::Swap { .. } => {
                self.idle_since = None;
                self.hands = None;
            }
            Command::Leave { .. } | Command::TakeBreak { .. } => self.hands = None,
            _ => {}
        }
    }

    /// Learns that a command was refused, and why.
    pub fn refused(&mut self, command: Command, code: &str, now: Timestamp) {
        match &command {
            Command::Tally { .. } => self.hands = None,
            Command::FinishChore { .. } | Command::TakeChore { .. } => self.chore = None,
            Command::BuildLoad { .. } if code == "id-taken" => self.loads_skipped += 1,
            _ => {}
        }
        self.refused.push((command, now));
    }
}

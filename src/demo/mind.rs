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
        let command = self.choose(&look, rng);
        // A tap takes a moment; somebody with nothing to tap looks up again a little later.
        let pause = match command {
            Some(_) => rng.random_range(2..8),
            None => rng.random_range(6..16),
        };
        self.not_before = Timestamp(now.0 + pause * SECOND_MS);
        command
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
        let sits_elsewhere = matches!(
            command,
            Command::Claim { .. } | Command::Switch { .. } | Command::Swap { .. }
        );
        if sits_elsewhere {
            self.idle_since = None;
        }
        let puts_down = matches!(
            command,
            Command::Tally { .. } | Command::Leave { .. } | Command::TakeBreak { .. }
        );
        if sits_elsewhere || puts_down {
            self.hands = None;
        }
        if matches!(command, Command::FinishChore { .. }) {
            self.chore = None;
        }
    }

    /// Learns that a command was refused, and why.
    pub fn refused(&mut self, command: Command, code: &str, now: Timestamp) {
        if matches!(command, Command::Tally { .. }) {
            self.hands = None;
        }
        if matches!(
            command,
            Command::FinishChore { .. } | Command::TakeChore { .. }
        ) {
            self.chore = None;
        }
        if matches!(command, Command::BuildLoad { .. }) && code == "id-taken" {
            self.loads_skipped += 1;
        }
        self.refused.push((command, now));
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::day::{Moment, Role, State, execute};
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    fn id<T: TryFrom<&'static str>>(text: &'static str) -> T {
        T::try_from(text).ok().unwrap()
    }

    fn minute(minutes: i64) -> Timestamp {
        Timestamp(minutes * MINUTE_MS)
    }

    fn give(state: &mut State, now: Timestamp, command: Command) {
        let moment = Moment {
            now,
            command: uuid::Uuid::nil(),
            role: Role::Lead,
        };
        execute(state, &command, &moment).unwrap();
    }

    fn opened() -> State {
        let mut state = State::default();
        let plan = Box::new(crate::demo::day());
        give(&mut state, minute(0), Command::OpenDay { plan });
        state
    }

    /// The first thing somebody does within some minutes, looking up every few seconds.
    fn first_act(
        mind: &mut Mind,
        me: &'static str,
        state: &State,
        minutes: std::ops::Range<i64>,
    ) -> Option<Command> {
        let cast = crate::demo::cast();
        let around = Around {
            cast: &cast,
            me: &id(me),
            seed: 1,
        };
        let sight = Sight::of(state);
        let mut rng = ChaCha8Rng::seed_from_u64(1);
        let looks = (minutes.start * 12..minutes.end * 12).map(|look| Timestamp(look * 5000));
        let mut acts = looks.map(|now| mind.act(around, &sight, now, &mut rng));
        acts.find_map(|act| act)
    }

    #[test]
    fn who_comes_later_does_nothing_before() {
        let (state, mut mind) = (opened(), Mind::default());
        assert_eq!(first_act(&mut mind, "wren", &state, 1..12), None);
        let helper = id("wren");
        let came = first_act(&mut mind, "wren", &state, 12..14);
        assert_eq!(came, Some(Command::Arrive { helper }));
    }

    fn with_plums() -> State {
        let mut state = opened();
        let (lot, product) = (id("plums-hedge"), id("plum-puree"));
        let open = Command::OpenBox {
            lot,
            product,
            amount: None,
        };
        give(&mut state, minute(1), open);
        state
    }

    #[test]
    fn a_child_sits_down_to_wash_with_a_grown_up_beside() {
        let (state, mut mind) = (with_plums(), Mind::default());
        let act = first_act(&mut mind, "bo", &state, 2..10);
        let Some(Command::Claim {
            station, beside, ..
        }) = act
        else {
            panic!("{act:?}");
        };
        assert_eq!((station, beside), (id("wash"), Some(id("edda"))));
    }

    #[test]
    fn what_was_refused_is_not_tried_again_at_once_but_later() {
        let (state, mut mind) = (with_plums(), Mind::default());
        let claim = first_act(&mut mind, "bo", &state, 2..4).unwrap();
        mind.refused(claim.clone(), "seat-taken", minute(4));
        assert_eq!(first_act(&mut mind, "bo", &state, 4..6), None);
        assert_eq!(first_act(&mut mind, "bo", &state, 6..8), Some(claim));
    }

    #[test]
    fn a_pot_is_stirred_when_it_is_due_and_emptied_when_it_is_done() {
        let mut state = with_plums();
        let (station, pot, maren): (StationId, PotId, HelperId) =
            (id("soften"), id("pot-1"), id("maren"));
        let recount = Command::Recount {
            station: station.clone(),
            product: id("plum-puree"),
            lot: id("plums-hedge"),
            amount: Amount::whole(10),
        };
        give(&mut state, minute(1), recount);
        let fill = Command::FillPot {
            station: station.clone(),
            pot: pot.clone(),
            product: id("plum-puree"),
            lot: None,
            amount: None,
        };
        give(&mut state, minute(2), fill);
        let start = Command::StartPot {
            station: station.clone(),
            pot,
            minder: Some(maren),
            backup: None,
        };
        give(&mut state, minute(2), start);
        let stirs = |act: &Option<Command>| matches!(act, Some(Command::Stirred { .. }));
        let empties = |act: &Option<Command>| matches!(act, Some(Command::PotDone { .. }));
        // Stirred every 18 minutes while thin, cooked 25.
        let early = first_act(&mut Mind::default(), "maren", &state, 19..20);
        assert!(!stirs(&early) && !empties(&early), "{early:?}");
        let due = first_act(&mut Mind::default(), "maren", &state, 20..21);
        assert!(stirs(&due), "{due:?}");
        let done = first_act(&mut Mind::default(), "maren", &state, 27..28);
        assert!(empties(&done), "{done:?}");
    }

    #[test]
    fn a_closed_day_is_left_alone() {
        let mut state = opened();
        give(&mut state, minute(1), Command::CloseDay {});
        for me in ["maren", "osk", "bo"] {
            assert_eq!(first_act(&mut Mind::default(), me, &state, 1..30), None);
        }
    }
}

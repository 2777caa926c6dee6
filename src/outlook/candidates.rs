//! Every change of seats that could be proposed now: one helper or two.
//!
//! Each is tried as an order on the day itself, so nothing is proposed that would be refused. Left
//! out are those who should not be asked: who sat down just now, who is alone with heat, who rests.

mod liking;
mod standing;
mod tied;
mod with_adult;

use super::report::MoveStep;
use crate::day::ids::{HelperId, StationId};
use crate::day::plan::Nature;
use crate::day::state::{Phase, State};
use crate::day::time::Timestamp;
use crate::day::{Command, Moment, Role, decide};
use tied::Tie;
use uuid::Uuid;

pub use standing::{Standing, standing};
pub use tied::{MINIMUM_STAY_MIN, has_nothing_to_do};

/// A change of seats that the day allows now.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Who goes where; two for a swap.
    pub steps: Vec<MoveStep>,
    /// How gladly it is done: likes and turns, for choosing between equals.
    pub liking: i32,
    /// The food it rescues: it stands too long where somebody goes and nobody sits.
    pub rescues: Option<Standing>,
}

impl Candidate {
    /// Its name, the same for the same change: `claim:wren:pare`, `switch:wren:wash:pare`,
    /// `swap:silas:wren`.
    pub fn id(&self) -> String {
        match self.steps.as_slice() {
            [one, other] => format!("swap:{}:{}", one.helper, other.helper),
            [step] => match &step.from {
                Some(from) => format!("switch:{}:{from}:{}", step.helper, step.to),
                None => format!("claim:{}:{}", step.helper, step.to),
            },
            _ => String::new(),
        }
    }

    /// The order that makes it so.
    pub fn command(&self) -> Option<Command> {
        match self.steps.as_slice() {
            [one, other] => Some(Command::Swap {
                one: one.helper.clone(),
                other: other.helper.clone(),
                beside_one: one.beside.clone(),
                beside_other: other.beside.clone(),
            }),
            [step] => {
                let (helper, station) = (step.helper.clone(), step.to.clone());
                let beside = step.beside.clone();
                Some(match step.from {
                    Some(_) => Command::Switch {
                        helper,
                        station,
                        beside,
                    },
                    None => Command::Claim {
                        helper,
                        station,
                        beside,
                    },
                })
            }
            _ => None,
        }
    }

    /// Whether this helper is one of those who move.
    pub fn moves(&self, helper: &HelperId) -> bool {
        self.steps.iter().any(|step| step.helper == *helper)
    }
}

/// Every claim, switch and swap that the day's rules allow now and that could be proposed: to and
/// from work that is done by hand, in the order of the helpers' ids.
pub fn candidates(state: &State, now: Timestamp) -> Vec<Candidate> {
    if state.phase != Phase::Open {
        return Vec::new();
    }
    let table = Table::new(state, now);
    let mut found = table.singles();
    found.extend(table.swaps());
    found
}

/// Every free seat that a helper who is here could take now, whether or not they should be asked.
pub fn steps_of(state: &State, now: Timestamp, helper: &HelperId) -> Vec<MoveStep> {
    if state.phase != Phase::Open {
        return Vec::new();
    }
    let table = Table::new(state, now);
    let stations = state.stations.keys();
    stations
        .filter_map(|station| table.step(helper, station))
        .collect()
}

/// The day as far as seats need it, and what is asked of it again and again.
struct Table<'a> {
    state: &'a State,
    /// Without what no rule about seats looks at, since orders are tried on copies.
    lean: State,
    now: Timestamp,
    stands: Vec<Standing>,
}

impl<'a> Table<'a> {
    fn new(state: &'a State, now: Timestamp) -> Table<'a> {
        Table {
            state,
            lean: lean(state),
            now,
            stands: standing(state, now),
        }
    }

    /// Whether the day would accept an order of the lead now.
    fn accepts(&self, command: &Command) -> bool {
        let moment = Moment {
            now: self.now,
            command: Uuid::nil(),
            role: Role::Lead,
        };
        decide(&self.lean, command, &moment).is_ok()
    }

    fn singles(&self) -> Vec<Candidate> {
        let helpers = self.state.helpers.keys();
        helpers
            .flat_map(|helper| self.singles_of(helper, tied::tie(self.state, self.now, helper)))
            .collect()
    }

    /// Where one helper could go, if they are free to.
    fn singles_of(&self, helper: &HelperId, tie: Tie) -> Vec<Candidate> {
        if tie == Tie::Fast {
            return Vec::new();
        }
        let stations = self.state.stations.keys();
        let steps = stations.filter_map(|station| self.step(helper, station));
        let candidates = steps.map(|step| self.candidate(vec![step]));
        candidates
            .filter(|candidate| tie == Tie::Free || candidate.rescues.is_some())
            .collect()
    }

    /// The way of one helper to a free seat, with the adult who makes it possible.
    fn step(&self, helper: &HelperId, to: &StationId) -> Option<MoveStep> {
        let from = self.state.helpers.get(helper)?.station.clone();
        if from.as_ref() == Some(to) || !self.is_by_hand(to) {
            return None;
        }
        let station = self.state.stations.get(to)?;
        if station.seats.len() >= usize::try_from(station.plan.seats).ok()? {
            return None;
        }
        let adults = with_adult::adults(self.state, helper, to)?;
        let step = |beside: Option<HelperId>| MoveStep {
            helper: helper.clone(),
            from: from.clone(),
            to: to.clone(),
            beside,
        };
        let accepted = |step: &MoveStep| {
            let command = Candidate::of(vec![step.clone()]).command();
            command.is_some_and(|command| self.accepts(&command))
        };
        adults.into_iter().map(step).find(accepted)
    }

    fn is_by_hand(&self, station: &StationId) -> bool {
        let found = self.state.stations.get(station);
        found.is_some_and(|station| matches!(station.plan.nature, Nature::Hand {}))
    }

    fn swaps(&self) -> Vec<Candidate> {
        let helpers: Vec<&HelperId> = self.state.helpers.keys().collect();
        let free = |helper: &&HelperId| tied::tie(self.state, self.now, helper) == Tie::Free;
        let free: Vec<&HelperId> = helpers.into_iter().filter(free).collect();
        let pairs = free
            .iter()
            .enumerate()
            .flat_map(|(index, one)| free[index + 1..].iter().map(move |other| (*one, *other)));
        pairs
            .filter_map(|(one, other)| self.swap(one, other))
            .collect()
    }

    fn swap(&self, one: &HelperId, other: &HelperId) -> Option<Candidate> {
        let seat = |helper: &HelperId| self.state.helpers.get(helper)?.station.clone();
        let (seat_one, seat_other) = (seat(one)?, seat(other)?);
        if seat_one == seat_other || !self.is_by_hand(&seat_one) || !self.is_by_hand(&seat_other) {
            return None;
        }
        let adults_one = with_adult::adults(self.state, one, &seat_other)?;
        let adults_other = with_adult::adults(self.state, other, &seat_one)?;
        let step = |helper: &HelperId, from: &StationId, to: &StationId, beside| MoveStep {
            helper: helper.clone(),
            from: Some(from.clone()),
            to: to.clone(),
            beside,
        };
        for beside_one in &adults_one {
            for beside_other in &adults_other {
                let steps = vec![
                    step(one, &seat_one, &seat_other, beside_one.clone()),
                    step(other, &seat_other, &seat_one, beside_other.clone()),
                ];
                let command = Candidate::of(steps.clone()).command()?;
                if self.accepts(&command) {
                    return Some(self.candidate(steps));
                }
            }
        }
        None
    }

    fn candidate(&self, steps: Vec<MoveStep>) -> Candidate {
        let rescued = |standing: &&Standing| {
            let goes_there = steps.iter().any(|step| step.to == standing.station);
            goes_there && standing.is_alone
        };
        let rescues = self.stands.iter().find(rescued).cloned();
        Candidate {
            liking: liking::liking(self.state, self.now, &steps),
            rescues,
            steps,
        }
    }
}

impl Candidate {
    fn of(steps: Vec<MoveStep>) -> Candidate {
        Candidate {
            steps,
            liking: 0,
            rescues: None,
        }
    }
}

/// The day without its ledgers and notes. What may be claimed depends on people, stations, shared
/// things and loads alone.
fn lean(state: &State) -> State {
    let mut lean = State {
        flows: Default::default(),
        products: Default::default(),
        lots: Default::default(),
        supplies: Default::default(),
        chores: Default::default(),
        raised: Default::default(),
        notes: Vec::new(),
        loads: state
            .loads
            .iter()
            .filter(|(_, load)| load.is_in_canner())
            .map(|(id, load)| (id.clone(), load.clone()))
            .collect(),
        ..state.clone()
    };
    for station in lean.stations.values_mut() {
        station.tallies.clear();
    }
    lean
}

//! Which change of seats is worth proposing now, or why everybody should stay.
//!
//! Every change the day allows is compared with staying on the same simulated days. Staying is the
//! right answer most of the time: most moves that look helpful make the day longer. What nobody may
//! do faster, a process or a pot, is no move's business.

mod price;
mod seats;
mod why;

pub use price::price;
pub use seats::{after, seated};

use super::Settings;
use super::candidates::{Candidate, candidates};
use super::compare::{Chosen, Seatings, choose};
use super::make::tenths;
use super::model::Model;
use super::report::{Move, Stay};
use crate::day::state::State;
use crate::day::time::Timestamp;
use crate::sim::{Outcome, Works};

/// The answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Moves {
    /// The change worth making; at most one, since a second would be of a kitchen that is then
    /// another.
    pub moves: Vec<Move>,
    /// Why everybody should stay, when none is.
    pub stay: Option<Stay>,
}

impl Moves {
    fn stay(why: Stay) -> Moves {
        Moves {
            moves: Vec::new(),
            stay: Some(why),
        }
    }
}

/// The moves of a day as it stands. Pure: the same state, model, moment and settings give the same.
pub fn moves(state: &State, model: &Model, now: Timestamp, settings: &Settings) -> Moves {
    if model.is_done() {
        return Moves::stay(Stay::Finished {});
    }
    // Whom or what the model does not know cannot be simulated.
    let (proposable, starts): (Vec<_>, Vec<_>) = candidates(state, now)
        .into_iter()
        .filter(|candidate| seats::has_work(model, candidate))
        .filter_map(|candidate| after(model, &candidate).map(|start| (candidate, start)))
        .unzip();
    let seatings = Seatings {
        starts,
        prices: proposable
            .iter()
            .map(|candidate| price(state, now, candidate, settings.least_gain_min))
            .collect(),
        liked: proposable
            .iter()
            .map(|candidate| candidate.liking)
            .collect(),
    };
    let rule = settings.rule();
    // A model that cannot be simulated has no moves either; the forecast says what is wrong.
    let finish = |day: &Outcome| model.finish_of(day);
    let (network, start) = (&model.network, &model.start);
    let chosen = choose(network, start, &seatings, &finish, rule, settings.seed);
    let chosen = chosen.unwrap_or_default();
    match chosen.best {
        Some((number, gain)) => {
            let candidate = &proposable[number];
            Moves {
                moves: vec![Move {
                    id: candidate.id(),
                    steps: candidate.steps.clone(),
                    gain_min: tenths(gain.mean),
                    sure: gain.above,
                    why: why::why(state, model, candidate, &chosen.staying),
                }],
                stay: None,
            }
        }
        None => Moves::stay(why_stay(model, &proposable, &chosen, rule.sure)),
    }
}

fn why_stay(model: &Model, proposable: &[Candidate], chosen: &Chosen, sure: f64) -> Stay {
    let sets = chosen.staying.sets_finish();
    let by_itself = sets.filter(|(station, share)| {
        let works = &model.network.stations[*station].works;
        *share > 0.5 && !matches!(works, Works::Hands)
    });
    let station = by_itself.and_then(|(station, _)| model.stations.get(station).cloned());
    if let Some(station) = station {
        return Stay::NoHandsHelp { station };
    }
    if proposable.is_empty() {
        return Stay::NobodyMay {};
    }
    Stay::TooLittle {
        best_gain_min: tenths(chosen.race.most_min(sure)),
    }
}

//! Helpers: from names to numbers.

use super::learned::{LearnedRate, LearnedSpeed};
use super::names::{Names, Steps};
use super::sense::{above_0, not_below_0, number};
use super::written_people::{HelperForm, RestsForm};
use super::{Learned, Misread, NumberForm};
use crate::sim::posterior::{self, Posterior};
use crate::sim::{Helper, Network, Rests, Uncertain, Works};

/// One helper; what is learned of them is added to `learned`.
pub(super) fn helper(
    form: &HelperForm,
    stations: &Names<'_>,
    steps: &Steps<'_>,
    network: &Network,
    learned: &mut Vec<Learned>,
) -> Result<Helper, Misread> {
    let name = &form.name;
    let mut rates: Vec<Option<Uncertain>> = vec![None; steps.keys.len()];
    let mut serves = Vec::new();
    for does in &form.does {
        let place = format!("What {name} does");
        let rate = rate(&does.rate, &format!("{name} at {}", does.step), learned)?;
        for step in steps.all_of(&does.step, &place)? {
            let at = steps.keys[step].0;
            hands(network, at, stations.get(at), name)?;
            rates[step] = Some(rate.clone());
            if !serves.contains(&at) {
                serves.push(at);
            }
        }
    }
    if form.seat.is_some() || serves.len() == 1 {
        serves.clear();
    }
    let turns = listed(&form.turns, steps, &format!("A turn of {name}"))?;
    if let Some(step) = turns.iter().find(|step| rates[**step].is_none()) {
        return Err(Misread::new(
            format!("{name} has a turn at {}.", steps.name(*step)),
            "Add that to what they do, or take it out of the turns.",
        ));
    }
    Ok(Helper {
        name: name.clone(),
        rates,
        speed: rate(&form.speed, &format!("{name} everywhere"), learned)?,
        away: away(form)?,
        rests: form.rests.map(|form| rests(form, name)).transpose()?,
        prefers: listed(&form.prefers, steps, &format!("What {name} prefers"))?,
        turns,
        serves,
    })
}

/// Every step at a station of hands has somebody who may do it.
pub(super) fn enough(network: &Network, steps: &Steps<'_>) -> Result<(), Misread> {
    for (number, stop) in network.stops.iter().enumerate() {
        let by_hand = network.stations[stop.station].works == Works::Hands;
        let mut rates = network.helpers.iter().map(|helper| &helper.rates[number]);
        if by_hand && !rates.any(Option::is_some) {
            return Err(Misread::new(
                format!("Nobody may work at {}.", steps.name(number)),
                "Name it in what a helper does, or give the station servers.",
            ));
        }
    }
    Ok(())
}

/// The station works by hand.
pub(super) fn hands(
    network: &Network,
    station: usize,
    name: &str,
    helper: &str,
) -> Result<(), Misread> {
    match network.stations[station].works {
        Works::Hands => Ok(()),
        _ => Err(Misread::new(
            format!("{helper} is at {name}, which needs nobody."),
            "Let the station work with {\"hands\": seats}, or leave the helper out there.",
        )),
    }
}

/// Each name as the one step it stands for.
fn listed(names: &[String], steps: &Steps<'_>, place: &str) -> Result<Vec<usize>, Misread> {
    names.iter().map(|name| steps.one(name, place)).collect()
}

fn away(form: &HelperForm) -> Result<Vec<(f64, f64)>, Misread> {
    let mut until = 0.0;
    for (from, to) in &form.away {
        if !(*from >= until && to > from) {
            return Err(Misread::new(
                format!("{} is away from {from} to {to}.", form.name),
                "Give [from, until] in minutes, in order and apart.",
            ));
        }
        until = *to;
    }
    Ok(form.away.clone())
}

fn rests(form: RestsForm, name: &str) -> Result<Rests, Misread> {
    Ok(Rests {
        first_min: not_below_0(form.first_min, &format!("{name}'s first rest"))?,
        every_min: above_0(form.every_min, &format!("{name}'s time between rests"))?,
        lasts_min: above_0(form.lasts_min, &format!("{name}'s rest"))?,
    })
}

/// A rate or speed, learned or given.
fn rate(form: &NumberForm, whose: &str, learned: &mut Vec<Learned>) -> Result<Uncertain, Misread> {
    let posterior = match form {
        NumberForm::Learned(evidence) => learn(evidence, whose)?,
        NumberForm::LearnedSpeed(evidence) => learn_speed(evidence, whose)?,
        other => return number(other, &format!("The rate of {whose}")),
    };
    let (shape, rate) = (posterior.shape, posterior.rate);
    learned.push(Learned {
        name: whose.to_owned(),
        shape,
        rate,
    });
    Ok(Uncertain::Gamma { shape, rate })
}

fn learn(evidence: &LearnedRate, whose: &str) -> Result<Posterior, Misread> {
    let place = format!("What was learned of {whose}");
    let shape = above_0(evidence.shape, &format!("{place}: the shape"))?;
    if !(evidence.keep > 0.0 && evidence.keep <= 1.0) {
        return Err(Misread::new(
            format!("{place} keeps {}.", evidence.keep),
            "Give a number above 0 and up to 1.",
        ));
    }
    let mut law = Posterior {
        shape: above_0(evidence.prior.0, &format!("{place}: the prior's shape"))?,
        rate: above_0(evidence.prior.1, &format!("{place}: the prior's rate"))?,
    };
    for minutes in &evidence.durations {
        let minutes = not_below_0(*minutes, &place)?;
        law = law.forget(evidence.keep);
        law = law.seen_with_shape(shape, 1.0, minutes);
    }
    for age in &evidence.unfinished {
        law = law.unfinished(shape, not_below_0(*age, &place)?);
    }
    Ok(law)
}

fn learn_speed(evidence: &LearnedSpeed, whose: &str) -> Result<Posterior, Misread> {
    let place = format!("What was learned of {whose}");
    let weight = above_0(evidence.prior_services, &format!("{place}: the prior"))?;
    let mut seen = Vec::new();
    for at in &evidence.seen {
        let base = above_0(at.base_rate, &format!("{place}: a base rate"))?;
        let done = not_below_0(at.done, &format!("{place}: services done"))?;
        let active = not_below_0(at.active_min, &format!("{place}: active minutes"))?;
        seen.push((base, done, active));
    }
    Ok(posterior::helper_factor(weight, &seen))
}

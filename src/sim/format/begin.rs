//! What arrives, what is there at minute 0, how long it runs.

use super::names::{Names, Steps};
use super::sense::{above_0, law, not_below_0};
use super::written::{ArrivalForm, BusyForm, RunForm, Written};
use super::{Misread, people};
use crate::sim::{Busy, Network, Source, Start, Works};

/// What arrives while it runs.
pub(super) fn sources(arrivals: &[ArrivalForm], steps: &Steps<'_>) -> Result<Vec<Source>, Misread> {
    arrivals.iter().map(|form| source(form, steps)).collect()
}

fn source(form: &ArrivalForm, steps: &Steps<'_>) -> Result<Source, Misread> {
    let place = format!("What arrives at {}", form.at);
    let stop = steps.one(&form.at, &place)?;
    if form.limit.is_some() && form.every.is_none() {
        return Err(Misread::new(
            format!("{place} has a limit."),
            "A limit goes with \"every\" only.",
        ));
    }
    match (&form.every, &form.times, form.unlimited) {
        (Some(between), None, false) => Ok(Source::Renewal {
            stop,
            between: law(&between.0, &format!("{place}: the time between two"))?,
            limit: form.limit,
        }),
        (None, Some(times), false) => {
            let first = times.first().copied().unwrap_or(0.0);
            not_below_0(first, &place)?;
            if let Some(pair) = times.windows(2).find(|pair| pair[1] < pair[0]) {
                return Err(Misread::new(
                    format!("{place} comes at {} after {}.", pair[1], pair[0]),
                    "Put the times in order.",
                ));
            }
            let at = times.clone();
            Ok(Source::Times { stop, at })
        }
        (None, None, true) => Ok(Source::Unlimited { stop }),
        _ => Err(Misread::new(
            format!("{place} does not come in one way."),
            "Give one of \"every\", \"times\" and \"unlimited\": true.",
        )),
    }
}

/// What is there at minute 0.
pub(super) fn start(
    written: &Written,
    stations: &Names<'_>,
    steps: &Steps<'_>,
    helpers: &Names<'_>,
    network: &Network,
) -> Result<Start, Misread> {
    let mut start = Start {
        waiting: vec![Vec::new(); steps.keys.len()],
        seats: seats(written, stations, network)?,
        ..Start::default()
    };
    for form in &written.start.waiting {
        let place = format!("What waits at {}", form.at);
        let step = steps.one(&form.at, &place)?;
        let waited = not_below_0(form.waited_min, &format!("{place}: its wait"))?;
        start.waiting[step].push((above_0(form.amount, &place)?, waited));
    }
    for waiting in &mut start.waiting {
        waiting.sort_by(|one, other| other.1.total_cmp(&one.1));
    }
    for form in &written.start.busy {
        start.busy.push(busy(form, steps, helpers, network)?);
    }
    if written.helpers.iter().any(|helper| helper.ready_min != 0.0) {
        for form in &written.helpers {
            let place = format!("The minute from which {} is ready", form.name);
            start.ready_min.push(not_below_0(form.ready_min, &place)?);
        }
    }
    Ok(start)
}

/// Where each helper sits.
fn seats(
    written: &Written,
    stations: &Names<'_>,
    network: &Network,
) -> Result<Vec<Option<usize>>, Misread> {
    let mut seats = Vec::new();
    for (number, form) in written.helpers.iter().enumerate() {
        let rates = &network.helpers[number].rates;
        let able = |station: usize| {
            let mut pairs = rates.iter().zip(&network.stops);
            pairs.any(|(rate, stop)| rate.is_some() && stop.station == station)
        };
        let only = || {
            let mut all = (0..stations.len()).filter(|station| able(*station));
            all.next().filter(|_| all.next().is_none())
        };
        let seat = match &form.seat {
            None => only(),
            Some(name) => {
                let station = stations.find(name, &format!("The seat of {}", form.name))?;
                people::hands(network, station, name, &form.name)?;
                if !able(station) {
                    return Err(Misread::new(
                        format!("{} sits at {name} and does nothing there.", form.name),
                        "Add it to what they do.",
                    ));
                }
                Some(station)
            }
        };
        seats.push(seat);
    }
    for (number, station) in network.stations.iter().enumerate() {
        let taken = seats.iter().filter(|seat| **seat == Some(number)).count();
        if station.works == Works::Hands && taken > station.seats as usize {
            return Err(Misread::new(
                format!(
                    "{taken} helpers sit at {}, which has {} seats.",
                    station.name, station.seats
                ),
                "Give it more seats, or seat somebody elsewhere.",
            ));
        }
    }
    Ok(seats)
}

fn busy(
    form: &BusyForm,
    steps: &Steps<'_>,
    helpers: &Names<'_>,
    network: &Network,
) -> Result<Busy, Misread> {
    let place = format!("What is under way at {}", form.at);
    let stop = steps.one(&form.at, &place)?;
    let by_hand = network.stations[network.stops[stop].station].works == Works::Hands;
    let helper = match &form.helper {
        Some(name) => Some(helpers.find(name, &place)?),
        None => None,
    };
    if by_hand != helper.is_some() {
        return Err(Misread::new(
            format!("{place} does not fit how that station works."),
            "Name the helper at a station of hands, and nobody elsewhere.",
        ));
    }
    Ok(Busy {
        stop,
        helper,
        amount: above_0(form.amount, &place)?,
        age_min: not_below_0(form.age_min, &format!("{place}: its age"))?,
        left_min: form
            .left_min
            .map(|left| not_below_0(left, &format!("{place}: what is left")))
            .transpose()?,
    })
}

/// The run has an end.
pub(super) fn check_run(run: &RunForm, network: &Network) -> Result<(), Misread> {
    not_below_0(run.warm_up_min, "warm_up_min")?;
    if run.runs == Some(0) {
        return Err(Misread::new("There are 0 runs.", "Ask for at least 1."));
    }
    let is_endless = network.sources.iter().any(|source| match source {
        Source::Unlimited { .. } => true,
        Source::Renewal { limit, .. } => limit.is_none(),
        Source::Times { .. } => false,
    });
    match run.minutes {
        None if is_endless => Err(Misread::new(
            "Work arrives without an end, and so does the run.",
            "Give \"run\": {\"minutes\": ...}, or a limit to what arrives.",
        )),
        None => Ok(()),
        Some(minutes) => {
            above_0(minutes, "The minutes of a run")?;
            match run.warm_up_min < minutes {
                true => Ok(()),
                false => Err(Misread::new(
                    format!(
                        "The warm-up of {} minutes leaves nothing of {minutes}.",
                        run.warm_up_min
                    ),
                    "Give a warm-up shorter than the run.",
                )),
            }
        }
    }
}

//! What can be wrong with a network.

use super::network::{Law, Network, Source, Station, Stop, Then, Uncertain, Works};
use super::plan::Plan;

/// What is wrong with a network and what to do: a sentence for whoever wrote it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Fault(pub String);

type Checked = Result<(), Fault>;

fn must(is_right: bool, say: impl FnOnce() -> String) -> Checked {
    if is_right { Ok(()) } else { Err(Fault(say())) }
}

/// Checks everything that a run relies on.
pub(super) fn check(network: &Network) -> Checked {
    for station in &network.stations {
        check_station(network, station)?;
    }
    for (number, stop) in network.stops.iter().enumerate() {
        check_stop(network, number, stop)?;
    }
    check_helpers(network)?;
    check_sources(network)?;
    for (number, supply) in network.supplies.iter().enumerate() {
        must(supply.stock >= 0.0 && supply.stock.is_finite(), || {
            format!(
                "Supply {number} starts with {}; give 0 or more.",
                supply.stock
            )
        })?;
    }
    must(is_span(network.change_min), || {
        "The minutes to change seats must be 0 or more.".to_owned()
    })?;
    must(
        network
            .roaming
            .is_none_or(|roaming| is_span(roaming.after_min)),
        || "The minutes after which people roam must be 0 or more.".to_owned(),
    )?;
    check_circles(network)
}

fn check_station(network: &Network, station: &Station) -> Checked {
    let name = &station.name;
    check_uncertain(&station.slowness, || {
        format!("the slowness of station {name}")
    })?;
    for (pool, count) in &station.takes {
        let has = network.pools.get(*pool);
        must(has.is_some(), || {
            format!(
                "Station {name} takes of shared thing {pool}, which is not there; name one below {}.",
                network.pools.len()
            )
        })?;
        must(has.is_some_and(|has| has >= count), || {
            format!(
                "Station {name} takes {count} of shared thing {pool}, of which there are fewer; it could never begin."
            )
        })?;
    }
    match &station.works {
        Works::Hands => Ok(()),
        Works::Servers(count) => must(*count != Some(0), || {
            format!("Station {name} has no server; give it at least one.")
        }),
        Works::Batches(batches) => {
            must(batches.servers > 0, || {
                format!("Station {name} has no place for a batch; give it at least one.")
            })?;
            must((0.0..=1.0).contains(&batches.min_share), || {
                format!("The least batch of station {name} must be a share between 0 and 1.")
            })?;
            must(batches.patience_min.is_none_or(is_span), || {
                format!("The patience of station {name} must be 0 minutes or more.")
            })?;
            for (stop, amount) in &batches.first {
                let is_here = network.stops.get(*stop).is_some_and(|stop| {
                    network
                        .stations
                        .get(stop.station)
                        .is_some_and(|own| std::ptr::eq(own, station))
                });
                must(is_here && *amount > 0.0, || {
                    format!(
                        "A planned batch of station {name} must be of more than nothing, at a stop of that station."
                    )
                })?;
            }
            Ok(())
        }
    }
}

fn check_stop(network: &Network, number: usize, stop: &Stop) -> Checked {
    let Some(station) = network.stations.get(stop.station) else {
        return Err(Fault(format!(
            "Stop {number} is at station {}, which is not there; name one below {}.",
            stop.station,
            network.stations.len()
        )));
    };
    let at = || format!("stop {number} at station {}", station.name);
    must(stop.class < network.classes, || {
        format!(
            "{} is of class {}; raise the number of classes ({}).",
            at(),
            stop.class,
            network.classes
        )
    })?;
    must(stop.carrier > 0.0 && stop.carrier.is_finite(), || {
        format!("The carrier of {} must hold more than nothing.", at())
    })?;
    let is_batch = matches!(station.works, Works::Batches(_));
    must(
        !is_batch || (stop.fits > 0.0 && stop.fits.is_finite()),
        || format!("A batch of {} must take more than nothing.", at()),
    )?;
    check_law(&stop.time, &at)?;
    check_uncertain(&stop.yields, || format!("the yield of {}", at()))?;
    for (supply, amount) in &stop.draws {
        must(*supply < network.supplies.len() && is_span(*amount), || {
            format!(
                "{} draws on a supply that is not there, or less than nothing.",
                at()
            )
        })?;
    }
    let is_there = |to: &usize| *to < network.stops.len();
    let goes = match &stop.then {
        Then::Leave => true,
        Then::Go(to) => is_there(to),
        Then::Feed(supply) => *supply < network.supplies.len(),
        Then::Chance(ways) => {
            let sum: f64 = ways.iter().map(|(chance, _)| chance).sum();
            must(
                (sum - 1.0).abs() < 1e-9 && ways.iter().all(|(chance, _)| *chance >= 0.0),
                || {
                    format!(
                        "The chances behind {} add up to {sum}; make them add up to 1.",
                        at()
                    )
                },
            )?;
            ways.iter().filter_map(|(_, to)| to.as_ref()).all(is_there)
        }
        Then::Share(ways) => {
            must(
                ways.iter().any(|(weight, _)| *weight > 0.0)
                    && ways.iter().all(|(weight, _)| is_span(*weight)),
                || {
                    format!(
                        "The shares behind {} must be 0 or more, and one of them more.",
                        at()
                    )
                },
            )?;
            ways.iter().all(|(_, to)| is_there(to))
        }
    };
    must(goes, || {
        format!(
            "Work of {} goes to a stop or supply that is not there; name one that is.",
            at()
        )
    })
}

fn check_helpers(network: &Network) -> Checked {
    for helper in &network.helpers {
        let name = &helper.name;
        must(helper.rates.len() == network.stops.len(), || {
            format!(
                "{name} has {} rates for {} stops; give one for each, or none for a stop.",
                helper.rates.len(),
                network.stops.len()
            )
        })?;
        for rate in helper.rates.iter().flatten() {
            check_uncertain(rate, || format!("a rate of {name}"))?;
            must(rate.mean() > 0.0, || {
                format!("A rate of {name} is 0; leave the stop out instead.")
            })?;
        }
        check_uncertain(&helper.speed, || format!("the speed of {name}"))?;
        must(helper.speed.mean() > 0.0, || {
            format!("The speed of {name} is 0; leave the helper out instead.")
        })?;
        let in_order = helper.away.iter().all(|(from, until)| from <= until)
            && helper.away.windows(2).all(|two| two[0].1 <= two[1].0);
        must(in_order, || {
            format!("The absences of {name} must be in order and must not overlap.")
        })?;
        must(
            helper.rests.is_none_or(|rests| {
                rests.every_min > 0.0 && is_span(rests.lasts_min) && rests.first_min >= 0.0
            }),
            || format!("The rests of {name} must come more than 0 minutes apart."),
        )?;
        let stops = helper.prefers.iter().chain(&helper.turns);
        must(
            stops.clone().all(|stop| *stop < network.stops.len()),
            || format!("{name} prefers, or takes in turn, a stop that is not there."),
        )?;
        let is_hands = |station: &usize| {
            let station = network.stations.get(*station);
            station.is_some_and(|station| station.works == Works::Hands)
        };
        must(helper.serves.iter().all(is_hands), || {
            format!("{name} serves a station that is not there or needs no hands.")
        })?;
    }
    Ok(())
}

fn check_sources(network: &Network) -> Checked {
    for (number, source) in network.sources.iter().enumerate() {
        let at = || format!("source {number}");
        let stop = match source {
            Source::Unlimited { stop } => stop,
            Source::Renewal {
                stop,
                between,
                limit,
            } => {
                check_law(between, &at)?;
                must(between.mean() > 0.0 || limit.is_some(), || {
                    format!(
                        "The time between two carriers of {} must be above 0, or its number limited.",
                        at()
                    )
                })?;
                stop
            }
            Source::Times { stop, at: times } => {
                let in_order = times.windows(2).all(|two| two[0] <= two[1]);
                must(in_order && times.iter().all(|time| is_span(*time)), || {
                    format!("The times of {} must ascend from 0 on.", at())
                })?;
                stop
            }
        };
        must(*stop < network.stops.len(), || {
            format!("Work of {} comes to stop {stop}, which is not there.", at())
        })?;
    }
    Ok(())
}

/// Work must not go round for ever without time passing.
fn check_circles(network: &Network) -> Checked {
    let plan = Plan::new(network);
    for circle in plan.circles.iter().filter(|circle| circle.is_closed) {
        let mut stops = circle
            .stops
            .iter()
            .map(|stop| &network.stops[*stop as usize]);
        must(stops.all(|stop| stop.time.mean() > 0.0), || {
            format!(
                "Work can come back to stop {}, so that every service on the way must take time.",
                circle.stops[0]
            )
        })?;
    }
    Ok(())
}

fn check_law(law: &Law, at: &dyn Fn() -> String) -> Checked {
    let is_right = match law {
        Law::Deterministic(minutes) => is_span(*minutes),
        Law::Exponential(mean) => is_span(*mean),
        Law::Gamma { mean, shape } => *mean > 0.0 && *shape > 0.0 && (mean / shape).is_finite(),
        Law::Lognormal { mean, cv } => *mean > 0.0 && mean.is_finite() && is_span(*cv),
        Law::Empirical(values) | Law::Sequence(values) => {
            !values.is_empty() && values.iter().all(|value| is_span(*value))
        }
        Law::Sum(parts) => {
            for part in parts {
                check_law(part, at)?;
            }
            true
        }
    };
    must(is_right, || {
        format!(
            "The times of {} must be 0 minutes or more, of at least one value, with a shape above 0.",
            at()
        )
    })
}

fn check_uncertain(uncertain: &Uncertain, what: impl FnOnce() -> String) -> Checked {
    let is_right = match uncertain {
        Uncertain::Known(value) => is_span(*value),
        Uncertain::Gamma { shape, rate } => {
            *shape > 0.0 && *rate > 0.0 && shape.is_finite() && rate.is_finite()
        }
        Uncertain::Lognormal { median, sigma } => {
            *median > 0.0 && median.is_finite() && is_span(*sigma)
        }
    };
    must(is_right, || {
        format!(
            "Check {}: it must be 0 or more, with a shape, a rate or a median above 0.",
            what()
        )
    })
}

/// Finite and not below 0.
fn is_span(value: f64) -> bool {
    value >= 0.0 && value.is_finite()
}

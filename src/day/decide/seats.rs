//! Who may sit where: free seats, the house rule for ages, own limits, adults beside.

use super::find;
use crate::day::ids::{HelperId, StationId};
use crate::day::plan::{AgeRules, Helper, Nature, Need, Station, Thickness, Verdict};
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{HelperState, Presence, State, StationState};
use crate::day::time::Timestamp;

/// What the house says to this person at this station: the strictest word over all it asks for.
pub(crate) fn verdict(rules: &AgeRules, helper: &Helper, station: &Station) -> Verdict {
    if !helper.limits.is_disjoint(&station.needs) {
        return Verdict::Never;
    }
    let words = station
        .needs
        .iter()
        .map(|need| rules.verdict(*need, helper.age));
    words.fold(Verdict::Allowed, |strictest, word| {
        match (strictest, word) {
            (Verdict::Never, _) | (_, Verdict::Never) => Verdict::Never,
            (Verdict::WithAdult, _) | (_, Verdict::WithAdult) => Verdict::WithAdult,
            (Verdict::Allowed, Verdict::Allowed) => Verdict::Allowed,
        }
    })
}

/// Whether a helper may take a seat at a station now; gives the adult beside that is to be noted.
pub(super) fn may_sit(
    state: &State,
    now: Timestamp,
    (id, helper): (&HelperId, &HelperState),
    station_id: &StationId,
    beside: Option<&HelperId>,
) -> Result<Option<HelperId>, Refusal> {
    let station = find::ready_station(state, station_id)?;
    free_seat(state, now, (station_id, station))?;
    free_resources(state, station)?;
    let beside = may_work(state, (id, helper), (station_id, station), beside)?;
    no_child_left(state, id, station_id)?;
    Ok(beside)
}

fn free_seat(
    state: &State,
    now: Timestamp,
    (id, station): (&StationId, &StationState),
) -> Result<(), Refusal> {
    if station.seats.len() < usize::try_from(station.plan.seats).unwrap_or(usize::MAX) {
        return Ok(());
    }
    let name = &station.plan.name;
    let last = station.seats.iter().max_by_key(|(_, seat)| seat.since);
    let detail = match last {
        None => format!("{name} has no seats."),
        Some((helper, seat)) => format!(
            "{} took the last seat at {name} {} ago.",
            state.helper_name(helper),
            now.words_since(seat.since)
        ),
    };
    let refusal = Refusal::new(Code::SeatTaken, detail, other_seats(state, id));
    let by = last.map(|(helper, _)| state.helper_name(helper));
    Err(refusal
        .with("station", name)
        .with("by", by.unwrap_or_default()))
}

/// Where else somebody could go: stations with free seats, those with work first.
fn other_seats(state: &State, not: &StationId) -> String {
    let mut free: Vec<(bool, u32, &str)> = state
        .stations
        .iter()
        .filter(|(id, station)| *id != not && station.set_up && !station.retired)
        .map(|(id, station)| {
            let taken = u32::try_from(station.seats.len()).unwrap_or(u32::MAX);
            let free = station.plan.seats.saturating_sub(taken);
            let has_work = state.standing_at(id).0 > 0;
            (has_work, free, station.plan.name.as_str())
        })
        .filter(|(_, free, _)| *free > 0)
        .collect();
    free.sort_by(|one, other| other.cmp(one));
    let named: Vec<String> = free
        .iter()
        .take(3)
        .map(|(_, count, name)| match count {
            1 => format!("{name} has one free seat"),
            count => format!("{name} has {count} free seats"),
        })
        .collect();
    if named.is_empty() {
        return "Every seat is taken: ask somebody to swap, or see to a chore.".to_owned();
    }
    format!("{}.", named.join("; "))
}

/// A hand station takes its shared things with its first seat.
fn free_resources(state: &State, station: &StationState) -> Result<(), Refusal> {
    if !station.seats.is_empty() || !matches!(station.plan.nature, Nature::Hand {}) {
        return Ok(());
    }
    resources_free(state, station)
}

/// Whether the shared things a station takes are free once more.
pub(super) fn resources_free(state: &State, station: &StationState) -> Result<(), Refusal> {
    for (id, need) in &station.plan.occupies {
        let Some(resource) = state.resources.get(id) else {
            continue;
        };
        let used = state.resource_used(id);
        if used.saturating_add(*need) <= resource.count {
            continue;
        }
        let users: Vec<&str> = state
            .stations
            .values()
            .filter(|other| other.plan.occupies.contains_key(id) && is_running(state, other))
            .map(|other| other.plan.name.as_str())
            .collect();
        let name = &resource.name;
        return Err(Refusal::new(
            Code::ResourceBusy,
            format!(
                "{} needs {need} of {name}, but {used} of {} are in use by {}.",
                station.plan.name,
                resource.count,
                users.join(", ")
            ),
            format!("Wait until one is done, or end one of them. There are {} in all; the lead can change that.", resource.count),
        )
        .with("resource", name)
        .with("station", &station.plan.name)
        .with("count", resource.count));
    }
    Ok(())
}

fn is_running(state: &State, station: &StationState) -> bool {
    let cooking = station.pots.values().any(|pot| {
        pot.batch
            .as_ref()
            .is_some_and(|batch| batch.cooking.is_some())
    });
    let heated = state.loads.values().any(|load| {
        load.is_on_heat()
            && state
                .stations
                .get(&load.station)
                .is_some_and(|canner| std::ptr::eq(canner, station))
    });
    !station.seats.is_empty() || cooking || heated
}

/// Whether this person may do the work of a station at all, and with whom beside.
pub(super) fn may_work(
    state: &State,
    (id, helper): (&HelperId, &HelperState),
    (station_id, station): (&StationId, &StationState),
    beside: Option<&HelperId>,
) -> Result<Option<HelperId>, Refusal> {
    let (who, place) = (&helper.plan.name, &station.plan.name);
    let limited = helper.plan.limits.intersection(&station.plan.needs).next();
    if let Some(need) = limited {
        return Err(Refusal::new(
            Code::OwnLimit,
            format!("{place} means {}, which is not for {who}.", need.words()),
            format!("Choose another station for {who}."),
        )
        .with("helper", who)
        .with("station", place));
    }
    let rules = state.age_rules();
    match verdict(&rules, &helper.plan, &station.plan) {
        Verdict::Allowed => Ok(None),
        Verdict::Never => {
            let forbids = |need: &&Need| rules.verdict(**need, helper.plan.age) == Verdict::Never;
            let need = station.plan.needs.iter().find(forbids);
            let what = need.map_or("this work", |need| need.words());
            Err(Refusal::new(
                Code::AgeRule,
                format!(
                    "The house rule says no {what} at {}: {place} is not for {who}.",
                    helper.plan.age
                ),
                format!(
                    "Choose another station for {who}. Only the lead can change the rule for ages."
                ),
            )
            .with("helper", who)
            .with("station", place)
            .with("age", helper.plan.age))
        }
        Verdict::WithAdult => match beside {
            Some(adult) => {
                can_stay_beside(state, adult, id, station_id)?;
                Ok(Some(adult.clone()))
            }
            None => Err(Refusal::new(
                Code::AdultNeeded,
                format!("At {place} {who} needs a grown-up within reach."),
                "Name the grown-up who stays beside.",
            )
            .with("helper", who)
            .with("station", place)),
        },
    }
}

/// Whether a helper may put hands to the pots or canners of a station: by the house rule, with the
/// adult of their seat there.
pub(crate) fn may_handle(
    state: &State,
    station_id: &StationId,
    id: &HelperId,
) -> Result<(), Refusal> {
    let helper = find::present_helper(state, id)?;
    let station = find::station(state, station_id)?;
    let seat = station.seats.get(id);
    let beside = seat.and_then(|seat| seat.beside.as_ref());
    may_work(state, (id, helper), (station_id, station), beside).map(|_| ())
}

/// Whether an adult can stay within reach of a child at a station: here, and not at a hot place
/// elsewhere that cannot be left.
pub(super) fn can_stay_beside(
    state: &State,
    adult_id: &HelperId,
    child: &HelperId,
    at: &StationId,
) -> Result<(), Refusal> {
    let adult = find::helper(state, adult_id)?;
    let name = &adult.plan.name;
    let busy = |why: String| {
        Refusal::new(
            Code::AdultBusy,
            format!("{name} cannot stay beside: {why}."),
            "Name another grown-up who is free to watch.",
        )
        .with("adult", name)
    };
    if !adult.plan.is_adult() || adult_id == child {
        return Err(busy("not a grown-up".to_owned()));
    }
    if adult.presence != Presence::Here {
        return Err(busy("not in the kitchen now".to_owned()));
    }
    if let Some(hot) = hot_seat_elsewhere(state, adult, at) {
        return Err(busy(format!("at {hot}, which cannot be left")));
    }
    let thick = state
        .pots_minded(adult_id)
        .into_iter()
        .find(|(station, _, cooking)| *station != at && cooking.thickness == Thickness::Thick);
    if let Some((station, ..)) = thick {
        let place = state.station_name(station);
        return Err(busy(format!("minding a thick pot at {place}")));
    }
    Ok(())
}

fn hot_seat_elsewhere(state: &State, adult: &HelperState, at: &StationId) -> Option<String> {
    let seat = adult.station.as_ref().filter(|seat| *seat != at)?;
    let station = state.stations.get(seat)?;
    let hot = station.plan.needs.contains(&Need::Heat);
    hot.then(|| station.plan.name.clone())
}

/// An adult who stays beside a child may not go to a hot place elsewhere.
fn no_child_left(state: &State, id: &HelperId, to: &StationId) -> Result<(), Refusal> {
    let hot = state
        .stations
        .get(to)
        .is_some_and(|station| station.plan.needs.contains(&Need::Heat));
    let left: Vec<_> = state
        .children_beside(id)
        .into_iter()
        .filter(|(station, _)| *station != to)
        .collect();
    if hot && !left.is_empty() {
        Err(depended(state, id))
    } else {
        Ok(())
    }
}

/// The refusal when children or pots depend on somebody who wants to go.
pub(super) fn depended(state: &State, id: &HelperId) -> Refusal {
    let children = state
        .children_beside(id)
        .into_iter()
        .map(|(station, child)| {
            format!(
                "{} at {} has them beside",
                state.helper_name(child),
                state.station_name(station)
            )
        });
    let pots = state
        .pots_minded(id)
        .into_iter()
        .map(|(station, ..)| format!("a pot at {} is theirs to mind", state.station_name(station)));
    let why: Vec<String> = children.chain(pots).collect();
    let name = state.helper_name(id);
    Refusal::new(
        Code::Depended,
        format!("{name} cannot go yet: {}.", why.join("; ")),
        "Hand the pot over, name another grown-up beside, or let the child leave the seat first. In a hurry, say so.",
    )
    .with("helper", &name)
}

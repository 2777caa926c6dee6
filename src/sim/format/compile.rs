//! The whole file, and its steps: from names to numbers.

use super::names::{Names, Steps};
use super::sense::{above_0, law, not_below_0, number};
use super::way::WayForm;
use super::written::{StepForm, Written};
use super::written_places::{StationForm, WorksForm};
use super::{Misread, Task, begin, people, places};
use crate::sim::{Network, Roaming, Stop, Supply, Then, Works};

/// The class of a file that names none.
const ONLY_CLASS: &str = "work";

/// Puts numbers for names.
pub(super) fn task(written: &Written) -> Result<Task, Misread> {
    let stations = Names::of("station", written.stations.iter().map(|s| s.name.as_str()))?;
    let classes = classes(written)?;
    let helpers = Names::of("helper", written.helpers.iter().map(|h| h.name.as_str()))?;
    let shared = Names::of(
        "shared thing",
        written.shared.iter().map(|s| s.name.as_str()),
    )?;
    let supplies = Names::of("supply", written.supplies.iter().map(|s| s.name.as_str()))?;
    if stations.len() == 0 || written.steps.is_empty() {
        return Err(Misread::new(
            "There is nothing to simulate.",
            "Give at least one station and one step.",
        ));
    }
    let steps = keys(written, &stations, &classes)?;
    let priorities: Vec<u32> = (0..classes.len())
        .map(|class| written.classes.get(class).map_or(0, |form| form.priority))
        .collect();
    let mut network = Network {
        pools: written.shared.iter().map(|thing| thing.count).collect(),
        change_min: not_below_0(written.change_min, "change_min")?,
        classes: classes.len(),
        ..Network::default()
    };
    for form in &written.stations {
        network.stations.push(places::station(form, &shared)?);
    }
    for (number, form) in written.steps.iter().enumerate() {
        let (at, class) = steps.keys[number];
        let mut stop = stop(form, (at, class), &written.stations[at], &steps, &supplies)?;
        stop.rank = priorities[class];
        stop.group = group(form, class, &written.steps, classes.len());
        network.stops.push(stop);
    }
    for (number, form) in written.stations.iter().enumerate() {
        if let (WorksForm::Batches(written), Works::Batches(batches)) =
            (&form.works, &mut network.stations[number].works)
        {
            batches.first = places::planned(&form.name, written, &steps)?;
        }
    }
    places::has_room_to_begin(&network)?;
    for (number, form) in written.supplies.iter().enumerate() {
        let feeds = |stop: &Stop| stop.then == Then::Feed(number);
        network.supplies.push(Supply {
            stock: not_below_0(form.stock, &format!("The stock of {}", form.name))?,
            is_fed: network.stops.iter().any(feeds),
        });
    }
    if let Some(after_min) = written.roams_after_min {
        let after_min = not_below_0(after_min, "roams_after_min")?;
        network.roaming = Some(Roaming { after_min });
    }
    let mut learned = Vec::new();
    for form in &written.helpers {
        let helper = people::helper(form, &stations, &steps, &network, &mut learned)?;
        network.helpers.push(helper);
    }
    people::enough(&network, &steps)?;
    network.sources = begin::sources(&written.arrivals, &steps)?;
    let start = begin::start(written, &stations, &steps, &helpers, &network)?;
    begin::check_run(&written.run, &network)?;
    Ok(Task {
        about: written.about.clone(),
        steps: (0..steps.keys.len()).map(|n| steps.name(n)).collect(),
        classes: classes.to_vec(),
        network,
        start,
        run: written.run.clone(),
        learned,
    })
}

/// The classes of the file: those listed, or those the steps name.
fn classes(written: &Written) -> Result<Names<'_>, Misread> {
    if !written.classes.is_empty() {
        return Names::of("class", written.classes.iter().map(|c| c.name.as_str()));
    }
    let mut found: Vec<&str> = Vec::new();
    for step in &written.steps {
        let class = step.of.as_deref().unwrap_or(ONLY_CLASS);
        if !found.contains(&class) {
            found.push(class);
        }
    }
    Names::of("class", found.into_iter())
}

/// Station and class of every step, each pair once.
fn keys<'a>(
    written: &Written,
    stations: &'a Names<'a>,
    classes: &'a Names<'a>,
) -> Result<Steps<'a>, Misread> {
    let mut steps = Steps::new(stations, classes);
    for form in &written.steps {
        let place = format!("A step at {}", form.at);
        let at = stations.find(&form.at, &place)?;
        let class = match (&form.of, classes.len()) {
            (Some(of), _) => classes.find(of, &place)?,
            (None, 1) => 0,
            (None, _) if written.classes.is_empty() => classes.find(ONLY_CLASS, &place)?,
            (None, _) => {
                return Err(Misread::new(
                    format!("{place} does not say of which class it is."),
                    format!("Add \"of\": one of {}.", classes.to_vec().join(", ")),
                ));
            }
        };
        if steps.keys.contains(&(at, class)) {
            return Err(Misread::new(
                format!("{place} stands twice for the same class."),
                "A class passes a station once; make a second station for a second pass.",
            ));
        }
        steps.keys.push((at, class));
    }
    Ok(steps)
}

fn stop(
    form: &StepForm,
    (at, class): (usize, usize),
    station: &StationForm,
    steps: &Steps<'_>,
    supplies: &Names<'_>,
) -> Result<Stop, Misread> {
    let place = format!("The step at {}", form.at);
    let batch = match &station.works {
        WorksForm::Batches(batches) => Some(batches.most),
        _ => None,
    };
    if form.most.is_some() && batch.is_none() {
        return Err(Misread::new(
            format!("{place} has a most, but no batches are made there."),
            "Leave out \"most\", or let the station work in batches.",
        ));
    }
    let fits = form.most.or(batch).unwrap_or(form.carrier);
    let draws = form.draws.iter().map(|draw| {
        let amount = above_0(draw.amount, &format!("{place} draws"))?;
        Ok((supplies.find(&draw.what, &place)?, amount))
    });
    Ok(Stop {
        station: at,
        class,
        carrier: above_0(form.carrier, &format!("{place}: the carrier"))?,
        fits: above_0(fits, &format!("{place}: the most"))?,
        time: law(&form.time.0, &format!("{place}: the time"))?,
        yields: number(&form.gives, &format!("{place}: the yield"))?,
        then: then(&form.then, class, steps, supplies, &place)?,
        rank: 0,
        group: 0,
        draws: draws.collect::<Result<_, Misread>>()?,
    })
}

/// Where work goes.
fn then(
    way: &WayForm,
    class: usize,
    steps: &Steps<'_>,
    supplies: &Names<'_>,
    place: &str,
) -> Result<Then, Misread> {
    Ok(match way {
        WayForm::Out => Then::Leave,
        WayForm::To(name) => Then::Go(steps.onward(name, class, place)?),
        WayForm::Feeds(supply) => Then::Feed(supplies.find(supply, place)?),
        WayForm::Chances(ways) => {
            let sum: f64 = ways.iter().map(|way| way.chance).sum();
            let all_fit = ways.iter().all(|way| (0.0..=1.0).contains(&way.chance));
            if !all_fit || (sum - 1.0).abs() > 1e-9 {
                return Err(Misread::new(
                    format!("{place}: the chances add up to {sum}."),
                    "Make them add up to 1; what leaves goes to \"out\".",
                ));
            }
            let to = |name: &str| match name {
                "out" => Ok(None),
                name => steps.onward(name, class, place).map(Some),
            };
            let ways = ways.iter().map(|way| Ok((way.chance, to(&way.to)?)));
            Then::Chance(ways.collect::<Result<_, Misread>>()?)
        }
        WayForm::Shares(ways) => {
            let ways = ways.iter().map(|way| {
                let weight = above_0(way.weight, &format!("{place}: a weight"))?;
                Ok((weight, steps.onward(&way.to, class, place)?))
            });
            Then::Share(ways.collect::<Result<_, Misread>>()?)
        }
    })
}

/// Steps without a named group share a batch only with their own class.
fn group(form: &StepForm, class: usize, all: &[StepForm], classes: usize) -> usize {
    match &form.group {
        None => class,
        Some(name) => {
            let named = |step: &StepForm| step.group.as_ref() == Some(name);
            classes + all.iter().position(named).unwrap_or(0)
        }
    }
}

//! Whether a whole set-up makes sense: names, numbers, routes, branches, tested processes.
//!
//! One check for every set-up order, on the day as it would be. It does not ask who sits where.

use super::amount::{AMOUNT_MAX, Amount, Measure, Ratio};
use super::decide::no_tested;
use super::ids::*;
use super::plan::*;
use super::refusal::{Code, Refusal};
use super::state::State;
use super::time::Timestamp;
use crate::trade::{self, Method};
use std::collections::{BTreeMap, BTreeSet};

/// How many of each a day may have.
const STATIONS_MAX: usize = 40;
const HELPERS_MAX: usize = 60;
const PRODUCTS_MAX: usize = 60;
const LOTS_MAX: usize = 200;
const SUPPLIES_MAX: usize = 60;
const RESOURCES_MAX: usize = 20;
const STEPS_MAX: usize = 15;
const SEATS_MAX: u32 = 30;
const MINUTES_MAX: u32 = 2880;

/// Checks what only a plan has: its date and what was carried over.
///
/// # Errors
/// The first fault, and what to do.
pub(super) fn check_plan(plan: &DayPlan, now: Timestamp) -> Result<(), Refusal> {
    if plan.date.len() != 10 || plan.date.parse::<jiff::civil::Date>().is_err() {
        return Err(bad(
            format!("{:?} is no date.", plan.date),
            "Write it as 2026-09-12.",
        ));
    }
    for carried in &plan.carried {
        let step = plan
            .products
            .get(&carried.product)
            .and_then(|product| product.route.iter().find(|s| s.station == carried.station));
        let lot = plan.lots.get(&carried.lot);
        let product = plan.products.get(&carried.product);
        let fits = lot
            .zip(product)
            .is_some_and(|(lot, product)| product.may_hold(&lot.produce));
        let Some(step) = step.filter(|_| fits) else {
            return Err(bad(
                format!(
                    "{} of {} cannot be carried over to {}.",
                    carried.lot, carried.product, carried.station
                ),
                "Keep the lot, the product and the station of what is carried over.",
            ));
        };
        amount(carried.amount, "an amount carried over")?;
        if carried.since > now {
            return Err(bad(
                "Something is carried over from the future.",
                "Say since when it has really stood.",
            ));
        }
        if step.measure.is_counted() && !carried.amount.is_whole() {
            return Err(bad(
                format!(
                    "{} {} cannot be carried over.",
                    carried.amount,
                    step.measure.symbol()
                ),
                "Say a whole number where jars, bags, tubs or pieces count.",
            ));
        }
    }
    Ok(())
}

/// Checks the whole set-up.
///
/// # Errors
/// The first fault, and what to do.
pub(super) fn check(state: &State) -> Result<(), Refusal> {
    counts(state)?;
    text("the day", &state.name)?;
    amount(state.scraps_bucket_lb, "the scraps bucket")?;
    // Land lies between the Dead Sea shore and the highest roads; outside it is a slip of the pen.
    if state
        .altitude_ft
        .is_some_and(|ft| !(-1400..=20_000).contains(&ft))
    {
        return Err(bad(
            "The altitude is out of range.",
            "Say it in feet above sea level; a map or the weather service has it.",
        ));
    }
    age_rules(&state.age_rules())?;
    for resource in state.resources.values() {
        text("a shared thing", &resource.name)?;
        number(resource.count, 100, "the count of a shared thing")?;
    }
    for station in state.stations.values().filter(|s| !s.retired) {
        check_station(state, &station.plan)?;
    }
    let mut names = BTreeSet::new();
    for helper in state.helpers.values().filter(|h| !h.retired) {
        text("a helper", &helper.plan.name)?;
        if !names.insert(&helper.plan.name) {
            return Err(same_name(&helper.plan.name));
        }
        let sign = &helper.plan.sign;
        let unreadable = !sign.is_empty() && super::decide::name(sign).is_err();
        if unreadable || sign.chars().count() > 40 || helper.plan.age > 120 {
            return Err(bad(
                format!("{} has no sensible age or sign.", helper.plan.name),
                "Say the age in years, and choose a picture sign.",
            ));
        }
    }
    for supply in state.supplies.values().filter(|s| !s.retired) {
        check_supply(&supply.plan)?;
    }
    for lot in state.lots.values().filter(|l| !l.retired) {
        check_lot(&lot.plan)?;
    }
    for (id, product) in state.products.iter().filter(|(_, p)| !p.retired) {
        check_product(state, id, &product.plan)?;
    }
    no_circles(state)
}

fn bad(detail: impl Into<String>, instead: impl Into<String>) -> Refusal {
    Refusal::new(Code::BadValue, detail, instead)
}

fn text(what: &str, text: &str) -> Result<(), Refusal> {
    super::decide::name(text).map_err(|refusal| {
        let detail = format!("The name of {what}: {}", refusal.detail);
        Refusal { detail, ..refusal }
    })
}

fn amount(amount: Amount, what: &str) -> Result<(), Refusal> {
    if amount.is_sensible() {
        return Ok(());
    }
    Err(bad(
        format!("{what} is {amount}."),
        "Say more than 0 and at most 1,000,000.",
    ))
}

fn number(value: u32, most: u32, what: &str) -> Result<(), Refusal> {
    if value <= most {
        return Ok(());
    }
    Err(bad(
        format!("{what} is {value}."),
        format!("Say at most {most}."),
    ))
}

fn same_name(name: &str) -> Refusal {
    Refusal::new(
        Code::IdTaken,
        format!("There is a {name} already."),
        "Pick that name from the list, or add a letter to tell the two apart.",
    )
    .with("helper", name)
}

fn counts(state: &State) -> Result<(), Refusal> {
    let rows = [
        ("stations", state.stations.len(), STATIONS_MAX),
        ("helpers", state.helpers.len(), HELPERS_MAX),
        ("products", state.products.len(), PRODUCTS_MAX),
        ("lots", state.lots.len(), LOTS_MAX),
        ("stocks", state.supplies.len(), SUPPLIES_MAX),
        ("shared things", state.resources.len(), RESOURCES_MAX),
    ];
    for (what, count, most) in rows {
        if count > most {
            return Err(bad(
                format!("That would be {count} {what}."),
                format!("A day holds at most {most}, those taken off the list included."),
            ));
        }
    }
    Ok(())
}

fn age_rules(rules: &AgeRules) -> Result<(), Refusal> {
    for (need, bands) in &rules.0 {
        let rising = bands
            .windows(2)
            .all(|two| two[0].from_age < two[1].from_age);
        if bands.len() > 20 || bands.first().map(|band| band.from_age) != Some(0) || !rising {
            return Err(bad(
                format!("The rule for {} has no clear bands.", need.words()),
                "Begin at age 0 and let each band begin at a higher age than the one before.",
            ));
        }
    }
    Ok(())
}

fn check_station(state: &State, plan: &Station) -> Result<(), Refusal> {
    let name = &plan.name;
    text("a station", name)?;
    number(plan.seats, SEATS_MAX, &format!("The seats of {name}"))?;
    for (resource, count) in &plan.occupies {
        let Some(found) = state.resources.get(resource) else {
            return Err(bad(
                format!("{name} needs {resource}, which is not there."),
                "Add the shared thing first.",
            ));
        };
        if *count == 0 || *count > found.count {
            return Err(bad(
                format!(
                    "{name} needs {count} of {}, of {}.",
                    found.name, found.count
                ),
                "Say at least 1 and no more than there are.",
            ));
        }
    }
    match &plan.nature {
        Nature::Hand {} => Ok(()),
        Nature::Hold { capacity } => match capacity {
            Some(capacity) => amount(*capacity, &format!("The room at {name}")),
            None => Ok(()),
        },
        Nature::Canner { canners, .. } => check_canners(name, canners),
        Nature::Vessel { pots, stir } => check_pots(name, pots, stir.as_ref()),
    }
}

fn check_canners(name: &str, canners: &BTreeMap<CannerId, Canner>) -> Result<(), Refusal> {
    if canners.is_empty() || canners.len() > 6 {
        return Err(bad(
            format!("{name} has {} canners.", canners.len()),
            "Give it 1 to 6 canners.",
        ));
    }
    for Canner { name, holds } in canners.values() {
        text("a canner", name)?;
        let empty = holds.is_empty();
        if empty || holds.len() > 8 || holds.values().any(|n| *n == 0 || *n > 100) {
            return Err(bad(
                format!("{name} does not say how many jars it takes."),
                "Say for each jar size how many one load takes, 1 to 100.",
            ));
        }
    }
    Ok(())
}

fn check_pots(
    name: &str,
    pots: &BTreeMap<PotId, Pot>,
    stir: Option<&Stirring>,
) -> Result<(), Refusal> {
    if pots.is_empty() || pots.len() > 12 {
        return Err(bad(
            format!("{name} has {} pots.", pots.len()),
            "Give it 1 to 12 pots.",
        ));
    }
    for pot in pots.values() {
        text("a pot", &pot.name)?;
        for takes in pot.takes.values() {
            amount(*takes, &format!("What {} takes", pot.name))?;
        }
    }
    let Some(stir) = stir else { return Ok(()) };
    let falls = stir.thin_min >= stir.half_min && stir.half_min >= stir.thick_min;
    if stir.thick_min == 0 || stir.thin_min > 240 || !falls {
        return Err(bad(
            format!("The stirring of {name} does not get more often as it thickens."),
            "Say 1 to 240 minutes: the longest while thin, the shortest when thick.",
        ));
    }
    Ok(())
}

fn check_supply(plan: &Supply) -> Result<(), Refusal> {
    text("a stock", &plan.name)?;
    text("the unit of a stock", &plan.unit)?;
    let range = Amount::ZERO..=AMOUNT_MAX;
    if range.contains(&plan.stock) && range.contains(&plan.low_at) {
        return Ok(());
    }
    Err(bad(
        format!("The count of {} is out of range.", plan.name),
        "Say 0 to 1,000,000.",
    ))
}

fn check_lot(plan: &Lot) -> Result<(), Refusal> {
    text("a lot", &plan.name)?;
    text("a produce", &plan.produce)?;
    if plan.amount != Amount::ZERO {
        amount(plan.amount, &format!("The amount of {}", plan.name))?;
    }
    amount(plan.box_holds, &format!("A box of {}", plan.name))?;
    let whole = plan.amount.is_whole() && plan.box_holds.is_whole();
    if plan.measure.is_counted() && !whole {
        return Err(bad(
            format!("{} is counted in whole pieces.", plan.name),
            "Say whole numbers.",
        ));
    }
    Ok(())
}

fn check_product(state: &State, id: &ProductId, plan: &Product) -> Result<(), Refusal> {
    text("a product", &plan.name)?;
    for produce in plan.all_produce() {
        text("a produce", produce)?;
    }
    if plan.also_of.len() > 10 {
        return Err(bad(
            format!("{} is of too many produce.", plan.name),
            "Name at most ten others.",
        ));
    }
    if let Some(wanted) = plan.wanted {
        amount(wanted, &format!("The wanted number of {}", plan.name))?;
    }
    if plan.route.is_empty() || plan.route.len() > STEPS_MAX {
        return Err(bad(
            format!("The route of {} has {} steps.", plan.name, plan.route.len()),
            format!("Give it 1 to {STEPS_MAX} stations."),
        ));
    }
    let mut seen = BTreeSet::new();
    for step in &plan.route {
        if !seen.insert(&step.station) {
            return Err(bad(
                format!(
                    "{} passes {} twice.",
                    plan.name,
                    state.station_name(&step.station)
                ),
                "Add a second station for the second time.",
            ));
        }
        check_step(state, id, plan, step)?;
    }
    check_ending(state, plan)
}

fn check_step(state: &State, id: &ProductId, plan: &Product, step: &Step) -> Result<(), Refusal> {
    let name = &plan.name;
    let station = state.stations.get(&step.station).filter(|s| !s.retired);
    let Some(station) = station else {
        return Err(bad(
            format!("{name} passes {}, which is not there.", step.station),
            "Add the station first, or change the route.",
        ));
    };
    let place = &station.plan.name;
    text("a carrier", &step.carrier.name)?;
    amount(
        step.carrier.holds,
        &format!("A {} at {place}", step.carrier.name),
    )?;
    if step.measure.is_counted() && !step.carrier.holds.is_whole() {
        return Err(bad(
            format!("A {} at {place} is not a whole number.", step.carrier.name),
            "Say whole numbers where jars, bags, tubs or pieces count.",
        ));
    }
    if !step.yields.is_sensible() || step.yields.made == 0 || !step.trims_lb.is_sensible() {
        return Err(bad(
            format!("The yield of {name} at {place} is out of range."),
            "Say how much comes out of how much: both above 0, at most 1,000.",
        ));
    }
    if let Some(minutes) = step.cook_min {
        let vessel = matches!(station.plan.nature, Nature::Vessel { .. });
        if !vessel || minutes == 0 || minutes > MINUTES_MAX {
            return Err(bad(
                format!("{name} cannot cook {minutes} minutes at {place}."),
                format!("Cooking is for stations with pots, 1 to {MINUTES_MAX} minutes."),
            ));
        }
    }
    for (supply, each) in &step.draws {
        if state.supplies.get(supply).is_none_or(|found| found.retired) {
            return Err(bad(
                format!("{name} draws on {supply}, which is not there."),
                "Add the stock first.",
            ));
        }
        amount(*each, &format!("What {name} draws"))?;
    }
    check_branches(state, id, plan, step)
}

fn check_branches(
    state: &State,
    id: &ProductId,
    plan: &Product,
    step: &Step,
) -> Result<(), Refusal> {
    let name = &plan.name;
    let mut measures: BTreeSet<Measure> = BTreeSet::new();
    let mut seen = BTreeSet::new();
    for branch in &step.onward {
        let target = state.products.get(&branch.product).filter(|p| !p.retired);
        let join = target.and_then(|p| p.plan.route.iter().find(|s| s.station == branch.station));
        let Some(join) = join else {
            return Err(bad(
                format!(
                    "{name} goes on to {} at {}, which is not there.",
                    branch.product, branch.station
                ),
                "Add that product and its station first.",
            ));
        };
        let back = branch.product == *id
            && plan.route.iter().position(|s| s.station == branch.station)
                <= plan.route.iter().position(|s| s.station == step.station);
        if back || branch.weight == 0 || branch.weight > 1000 {
            return Err(bad(
                format!("A branch of {name} leads back or has no share."),
                "Lead it to a later station and give it a share of 1 to 1000.",
            ));
        }
        if !seen.insert((&branch.product, &branch.station)) {
            return Err(bad(
                format!("{name} goes on to {} twice.", branch.product),
                "Name each way on once.",
            ));
        }
        let stranger = plan
            .all_produce()
            .find(|produce| target.is_some_and(|target| !target.plan.may_hold(produce)));
        if let Some(stranger) = stranger {
            return Err(bad(
                format!("{name} would bring {stranger} to {}.", branch.product),
                "Let it go on to products that may hold the same produce.",
            ));
        }
        if state.is_after_canner(&branch.product, &branch.station) {
            return Err(bad(
                format!(
                    "{name} would go on to {} behind its canner.",
                    branch.product
                ),
                "Let it join before the canner: jars come to the rack only out of a load.",
            ));
        }
        measures.insert(join.measure);
    }
    if measures.len() > 1 || step.onward.len() > 6 {
        return Err(bad(
            format!("The ways on of {name} count in different measures."),
            "Let all of them count in one, and have at most six.",
        ));
    }
    let last = plan.route.last().is_some_and(|s| s.station == step.station);
    let shared = matches!(plan.ends_in, Ending::Shared {});
    if last && shared && step.onward.is_empty() {
        return Err(bad(
            format!("{name} ends in nothing of its own and goes on to nothing."),
            "Say which products it goes on to, or what it ends in.",
        ));
    }
    Ok(())
}

fn check_ending(state: &State, plan: &Product) -> Result<(), Refusal> {
    let name = &plan.name;
    match &plan.ends_in {
        Ending::Shared {} => Ok(()),
        Ending::Fresh { .. } => Ok(()),
        Ending::Frozen { package } => {
            if matches!(package, Measure::Bag | Measure::Tub | Measure::Jar) {
                return Ok(());
            }
            Err(bad(
                format!("{name} is not frozen in {}.", package.symbol()),
                "Freeze it in bags, tubs or freezer jars.",
            ))
        }
        Ending::Stocked { supply, .. } => match state.supplies.get(supply) {
            Some(found) if !found.retired => Ok(()),
            Some(_) | None => Err(bad(
                format!("{name} feeds {supply}, which is not there."),
                "Add the stock first.",
            )),
        },
        Ending::Canned { food, pack, jar } => check_canned(state, plan, (food, *pack, *jar)),
    }
}

/// Jars for the shelf pass one kind of canner, cool after it, and have a tested process there.
fn check_canned(
    state: &State,
    plan: &Product,
    (food, pack, jar): (&str, trade::Pack, trade::Jar),
) -> Result<(), Refusal> {
    let name = &plan.name;
    let nature = |step: &Step| state.stations.get(&step.station).map(|s| &s.plan.nature);
    let mut canners =
        plan.route
            .iter()
            .enumerate()
            .filter_map(|(index, step)| match nature(step) {
                Some(Nature::Canner { method, .. }) => Some((index, step, *method)),
                _ => None,
            });
    let (first, second) = (canners.next(), canners.next());
    let after = first.and_then(|(index, ..)| plan.route.get(index + 1));
    let last = first.is_some_and(|(index, ..)| index + 2 == plan.route.len());
    let cools = last && after.is_some_and(|step| matches!(nature(step), Some(Nature::Hold { .. })));
    let Some((_, step, method)) = first.filter(|_| second.is_none() && cools) else {
        return Err(bad(
            format!("{name} does not pass one canner and end on a place to cool."),
            "Put jars for the shelf through one canner and then a rack to cool on, which is the last.",
        ));
    };
    let each_jar_once = step.measure == Measure::Jar
        && after.is_some_and(|after| after.measure == Measure::Jar)
        && step.yields == Ratio::ONE
        && step.onward.is_empty();
    if !each_jar_once {
        return Err(bad(
            format!("{name} is not counted in jars at the canner and after it."),
            "Count jars there, one for one.",
        ));
    }
    tested_for(plan, food)?;
    tested_at(state, name, (food, pack, jar), method)
}

/// A tested process is for its own produce: pear times are not for pumpkins.
fn tested_for(plan: &Product, food: &str) -> Result<(), Refusal> {
    // An unknown food is refused by the lookup, with better words.
    let Some(tested) = trade::product(food) else {
        return Ok(());
    };
    let listed = |produce: &str| {
        let mut sheet = trade::produce().iter();
        sheet.any(|known| known.name == produce && known.products.contains(&tested.name))
    };
    let stranger = plan.all_produce().find(|produce| !listed(produce));
    let Some(stranger) = stranger else {
        return Ok(());
    };
    let sheet = trade::produce().iter();
    let known: Vec<&str> = sheet
        .filter(|known| known.products.contains(&tested.name))
        .map(|known| known.name.as_str())
        .collect();
    Err(Refusal::new(
        Code::NoTestedProcess,
        format!(
            "The tested process for {} is not for {stranger}.",
            tested.name
        ),
        format!(
            "It is for {}. Freeze it, or ask your local extension service for a tested recipe.",
            known.join(", ")
        ),
    )
    .with("product", &plan.name)
    .with("produce", stranger))
}

fn tested_at(
    state: &State,
    name: &str,
    (food, pack, jar): (&str, trade::Pack, trade::Jar),
    method: Method,
) -> Result<(), Refusal> {
    // Without an altitude the load itself is refused; here it is asked whether there is any table.
    let altitude_ft = state.altitude_ft.unwrap_or(0);
    match trade::tested(food, pack, jar, method, altitude_ft) {
        Ok(_) => Ok(()),
        Err(reason) => Err(no_tested(name, &reason)),
    }
}

/// No work may come back to a place it has passed, or it would never end.
fn no_circles(state: &State) -> Result<(), Refusal> {
    use super::event::Onward;
    for (start, product) in state.products.iter().filter(|(_, p)| !p.retired) {
        let mut open: Vec<(&ProductId, &StationId)> = Vec::new();
        open.extend(product.plan.route.iter().map(|step| (start, &step.station)));
        let origins: BTreeSet<_> = open.iter().copied().collect();
        for origin in origins {
            let mut seen: BTreeSet<(ProductId, StationId)> = BTreeSet::new();
            let mut next = vec![(origin.0.clone(), origin.1.clone())];
            while let Some((product, station)) = next.pop() {
                let Some(step) = state.step(&product, &station) else {
                    continue;
                };
                for way in state.ways_on(&product, step) {
                    let Onward::Step { product, station } = way else {
                        continue;
                    };
                    if (&product, &station) == origin {
                        return Err(bad(
                            format!(
                                "The way of {} leads back to {}.",
                                state.product_name(&product),
                                state.station_name(&station)
                            ),
                            "Let every way lead onward; what must be done again is sent back.",
                        ));
                    }
                    if seen.insert((product.clone(), station.clone())) {
                        next.push((product, station));
                    }
                }
            }
        }
    }
    Ok(())
}

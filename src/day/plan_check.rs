//! Whether a whole set-up makes sense: names, numbers, routes, branches, tested processes.
//!
//! One check for every set-up order, on the day as it would be. It does not ask who sits where.

mod routes;
mod stations;

use super::amount::{AMOUNT_MAX, Amount};
use super::plan::*;
use super::refusal::{Code, Refusal};
use super::state::State;
use super::time::Timestamp;
use std::collections::BTreeSet;
use unicode_normalization::UnicodeNormalization;

/// How many of each a day may have.
const STATIONS_MAX: usize = 40;
const HELPERS_MAX: usize = 60;
/// The longest name of a helper in characters: it stands on a seat, read from across the kitchen.
const HELPER_NAME_MAX: usize = 24;
const PRODUCTS_MAX: usize = 60;
const LOTS_MAX: usize = 200;
const SUPPLIES_MAX: usize = 60;
const RESOURCES_MAX: usize = 20;
pub(super) const STEPS_MAX: usize = 15;
pub(super) const MINUTES_MAX: u32 = 2880;

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
        stations::check_station(state, &station.plan)?;
    }
    let mut names = BTreeSet::new();
    for helper in state.helpers.values().filter(|h| !h.retired) {
        if !names.insert(helper_name(&helper.plan.name)?) {
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
        routes::check_product(state, id, &product.plan)?;
    }
    routes::no_circles(state)
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

/// A helper's name as people tell it from others: letters that look the same are the same (Unicode
/// NFC), capitals or not.
fn helper_name(name: &str) -> Result<String, Refusal> {
    text("a helper", name)?;
    let seen: String = name.trim().nfc().collect();
    if seen.chars().count() > HELPER_NAME_MAX {
        return Err(bad(
            format!("The name {name:?} is too long for a seat."),
            format!("Write at most {HELPER_NAME_MAX} characters."),
        ));
    }
    Ok(seen.to_lowercase())
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
        ("supplies", state.supplies.len(), SUPPLIES_MAX),
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

fn check_supply(plan: &Supply) -> Result<(), Refusal> {
    text("a supply", &plan.name)?;
    text("the unit of a supply", &plan.unit)?;
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

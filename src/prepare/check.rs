//! What cannot be right in an ask, each fault with the field it is about and what to do.
//!
//! Limits keep a slip of the pen (a thousand bushels) from being planned for; they are far above
//! what a household does in a day and are no facts of the trade.

use super::ask::{Ask, BoughtBy, Container, Package, Use};
use super::pounds::pounds_there;
use crate::day::amount::Amount;
use crate::trade;
use schemars::JsonSchema;
use serde::Serialize;

/// Something in the ask that must be mended first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema, thiserror::Error)]
#[error("{field}: {detail} {instead}")]
pub struct Fault {
    /// Where: `there_is.pears-1.amount`.
    pub field: String,
    /// What is wrong, in a sentence.
    pub detail: String,
    /// What to do, in a sentence.
    pub instead: String,
}

/// Pounds of one lot in a day; eleven adults and seven children did eight bushels, 400 pounds, in
/// one logged day.
const LB_MOST: Amount = Amount::whole(2_000);
/// Entries of each map.
const LOTS_MOST: usize = 40;
const USES_MOST: usize = 24;
const PACKAGES_MOST: usize = 12;
const CANNERS_MOST: usize = 8;
const POTS_MOST: usize = 12;
const HELPERS_MOST: usize = 40;
/// Packages of one kind, and settled packages of one line.
const PACKAGES_OF_A_KIND: Amount = Amount::whole(2_000);
/// Characters of a name.
const NAME_MOST: usize = 60;

/// Every fault of the ask; none if it can be answered.
pub fn check(ask: &Ask) -> Vec<Fault> {
    let mut faults = Faults(Vec::new());
    counts(&mut faults, ask);
    the_day(&mut faults, ask);
    for (id, lot) in &ask.there_is {
        let at = format!("there_is.{id}");
        faults.name(&format!("{at}.produce"), &lot.produce);
        faults.above_nothing(&format!("{at}.amount"), lot.amount);
        if lot.amount.is_sensible() {
            weight(&mut faults, &at, lot);
        }
    }
    for (id, package) in &ask.packages {
        one_package(&mut faults, &format!("packages.{id}"), package);
    }
    faults.count("lids.have", ask.lids.have);
    faults.count("lids.more", ask.lids.more);
    for (id, one) in &ask.uses {
        one_use(&mut faults, &format!("uses.{id}"), one, ask);
    }
    kitchen(&mut faults, ask);
    faults.0
}

fn counts(faults: &mut Faults, ask: &Ask) {
    let rows = [
        ("there_is", ask.there_is.len(), LOTS_MOST),
        ("uses", ask.uses.len(), USES_MOST),
        ("packages", ask.packages.len(), PACKAGES_MOST),
        ("kitchen.canners", ask.kitchen.canners.len(), CANNERS_MOST),
        ("kitchen.pots", ask.kitchen.pots.len(), POTS_MOST),
        ("helpers", ask.helpers.len(), HELPERS_MOST),
    ];
    for (field, count, most) in rows {
        if count > most {
            faults.add(
                field,
                format!("There are {count}."),
                format!("Say at most {most}."),
            );
        }
    }
    if ask.there_is.is_empty() {
        faults.add(
            "there_is",
            "No produce is named.",
            "Say what there is, such as a bushel of pears.",
        );
    }
    if ask.uses.is_empty() {
        faults.add(
            "uses",
            "Nothing is named that the household eats.",
            "Say at least one dish with its amount and how often.",
        );
    }
    if ask.packages.is_empty() {
        faults.add(
            "packages",
            "No jars, bags or tubs are named.",
            "Say at least one size.",
        );
    }
}

fn the_day(faults: &mut Faults, ask: &Ask) {
    faults.name("name", &ask.name);
    if ask.date.len() != 10 || ask.date.parse::<jiff::civil::Date>().is_err() {
        faults.add(
            "date",
            format!("{:?} is no date.", ask.date),
            "Write it as 2026-09-12.",
        );
    }
    let believable = -1400..=trade::HIGHEST_ALTITUDE_FT;
    if ask
        .altitude_ft
        .is_some_and(|feet| !believable.contains(&feet))
    {
        faults.add(
            "altitude_ft",
            "The altitude is out of range.",
            "Say it in feet above sea level.",
        );
    }
    if let (Some(start), Some(cut)) = (ask.start_at, ask.cut_off_at) {
        let day_ms = 36 * 60 * crate::day::time::MINUTE_MS;
        if cut <= start || cut.ms_since(start) > day_ms {
            faults.add(
                "cut_off_at",
                "The end is not after the start, or more than 36 hours later.",
                "Say when work begins and when it must be over.",
            );
        }
    }
}

fn weight(faults: &mut Faults, at: &str, lot: &super::ask::ThereIs) {
    match pounds_there(lot) {
        Some(pounds) if pounds > LB_MOST => faults.add(
            format!("{at}.amount"),
            format!("That is {pounds} lb of {}.", lot.produce),
            format!("Say at most {LB_MOST} lb for a day; the rest is another day's."),
        ),
        Some(_) => {}
        None => {
            let by = match lot.unit {
                BoughtBy::Bushel => "bushel",
                BoughtBy::Box | BoughtBy::Lb | BoughtBy::Kg => "box",
            };
            faults.add(
                format!("{at}.unit"),
                format!("No weight of a {by} of {} is on file.", lot.produce),
                "Say it in pounds or kilograms.",
            );
        }
    }
}

fn one_package(faults: &mut Faults, at: &str, package: &Package) {
    faults.count(&format!("{at}.stock.have"), package.stock.have);
    faults.count(&format!("{at}.stock.more"), package.stock.more);
    let holds = package.container.holds();
    let freezer = match package.container {
        Container::Jar { .. } => false,
        Container::Bag { .. } | Container::Tub { .. } => true,
    };
    // Larger ones freeze too slowly in the middle: published advice is at most half a gallon.
    if freezer && !(Amount(50)..=Amount::whole(2)).contains(&holds) {
        faults.add(
            format!("{at}.container.holds"),
            format!("A freezer package of {holds} quarts is not used."),
            "Say between 0.05 and 2 quarts; larger ones freeze too slowly.",
        );
    }
}

fn one_use(faults: &mut Faults, at: &str, one: &Use, ask: &Ask) {
    faults.name(&format!("{at}.name"), &one.name);
    faults.name(&format!("{at}.produce"), &one.produce);
    let positive = [
        ("amount", one.amount),
        ("times", one.times),
        ("weeks", one.weeks),
        ("worth", one.worth),
    ];
    for (field, amount) in positive {
        faults.above_nothing(&format!("{at}.{field}"), amount);
    }
    let limits = [
        ("weeks", one.weeks, Amount::whole(104)),
        ("times", one.times, Amount::whole(100)),
        ("worth", one.worth, Amount::whole(10)),
        (
            "opened_days",
            Amount::whole(i64::from(one.opened_days)),
            Amount::whole(14),
        ),
    ];
    for (field, amount, most) in limits {
        if amount > most {
            faults.add(
                format!("{at}.{field}"),
                format!("{amount} is too much."),
                format!("Say at most {most}."),
            );
        }
    }
    if one.amount.is_sensible() && one.portion() > Amount::whole(50) {
        faults.add(
            format!("{at}.amount"),
            "One use takes more than 50 quarts.",
            "Say what is eaten at one time.",
        );
    }
    if !(Amount::ZERO..=Amount(900)).contains(&one.shrink) {
        faults.add(
            format!("{at}.shrink"),
            "The share lost in thawing is out of range.",
            "Say 0 to 900 thousandths; 100 is usual.",
        );
    }
    if let Some(pounds) = one.lb_per_quart
        && !(Amount(100)..=Amount::whole(30)).contains(&pounds)
    {
        faults.add(
            format!("{at}.lb_per_quart"),
            format!("{pounds} lb for a quart is out of range."),
            "Say 0.1 to 30 pounds.",
        );
    }
    if let Some(share) = one.own_yield
        && !(Amount(400)..=Amount(2500)).contains(&share)
    {
        faults.add(
            format!("{at}.own_yield"),
            format!("{share} of the published yield is out of range."),
            "Say 0.4 to 2.5, or leave it out.",
        );
    }
    for (field, counts) in [("still", &one.still), ("pinned", &one.pinned)] {
        for (package, count) in counts {
            let field = format!("{at}.{field}.{package}");
            faults.count(&field, *count);
            if !ask.packages.contains_key(package) {
                faults.add(
                    field,
                    format!("There is no package {package:?}."),
                    "Name one of the packages above.",
                );
            }
        }
    }
}

fn kitchen(faults: &mut Faults, ask: &Ask) {
    for (id, canner) in &ask.kitchen.canners {
        let at = format!("kitchen.canners.{id}");
        faults.name(&format!("{at}.name"), &canner.name);
        if canner
            .heating_min
            .is_some_and(|min| !(1..=240).contains(&min))
        {
            faults.add(
                format!("{at}.heating_min"),
                "No canner comes to heat in that time.",
                "Say 1 to 240 minutes, or leave it out.",
            );
        }
        for (jar, count) in &canner.holds {
            if *count == 0 || *count > 40 {
                faults.add(
                    format!("{at}.holds.{jar}"),
                    format!("{count} jars do not go into a canner."),
                    "Say 1 to 40, or leave the size out.",
                );
            }
        }
    }
    for (id, pot) in &ask.kitchen.pots {
        let at = format!("kitchen.pots.{id}");
        faults.name(&format!("{at}.name"), &pot.name);
        if !(Amount(500)..=Amount::whole(60)).contains(&pot.quarts) {
            faults.add(
                format!("{at}.quarts"),
                format!("A pot of {} quarts is out of range.", pot.quarts),
                "Say 0.5 to 60 quarts.",
            );
        }
    }
    if ask.kitchen.burners > 20 {
        faults.add(
            "kitchen.burners",
            "There are more than 20 burners.",
            "Say how many can burn at once.",
        );
    }
    if let Some(freezer) = &ask.freezer {
        let most = Amount::whole(100);
        let free = freezer.free_cubic_ft.unwrap_or(freezer.cubic_ft);
        for (field, feet) in [("cubic_ft", freezer.cubic_ft), ("free_cubic_ft", free)] {
            if !(Amount::ZERO..=most).contains(&feet) || free > freezer.cubic_ft {
                faults.add(
                    format!("freezer.{field}"),
                    format!("{feet} cubic feet is out of range."),
                    "Say 0 to 100, and no more free than there is.",
                );
            }
        }
    }
    for (id, helper) in &ask.helpers {
        faults.name(&format!("helpers.{id}.name"), &helper.name);
        if helper.age > 120 {
            faults.add(
                format!("helpers.{id}.age"),
                format!("{} years is no age.", helper.age),
                "Say completed years.",
            );
        }
    }
}

/// Faults as they are found.
struct Faults(Vec<Fault>);

impl Faults {
    fn add(
        &mut self,
        field: impl Into<String>,
        detail: impl Into<String>,
        instead: impl Into<String>,
    ) {
        self.0.push(Fault {
            field: field.into(),
            detail: detail.into(),
            instead: instead.into(),
        });
    }

    fn name(&mut self, field: &str, name: &str) {
        if name.trim().is_empty() || name.chars().count() > NAME_MOST {
            self.add(
                field,
                "A name is missing or too long.",
                format!("Say 1 to {NAME_MOST} characters."),
            );
        }
    }

    fn above_nothing(&mut self, field: &str, amount: Amount) {
        if !amount.is_sensible() {
            self.add(
                field,
                format!("It is {amount}."),
                "Say more than 0 and at most 1,000,000.",
            );
        }
    }

    /// Whole, not below nothing, and not more than a household has.
    fn count(&mut self, field: &str, count: Amount) {
        if !count.is_whole() || !(Amount::ZERO..=PACKAGES_OF_A_KIND).contains(&count) {
            self.add(
                field,
                format!("It is {count}."),
                format!("Say a whole number from 0 to {PACKAGES_OF_A_KIND}."),
            );
        }
    }
}

//! Pounds of produce for a package, by the published yields with their range.
//!
//! Exact: a canner load of 9 pints takes just the pounds that are published for it. Nothing is
//! guessed: where no yield is on file and the family has none of its own, there is none.

use super::ask::{BoughtBy, Container, ThereIs, Use};
use crate::day::amount::{Amount, Ratio};
use crate::trade::{self, Yield};
use serde::Serialize;

/// Pounds for packages: low and high as the container's yield was published, typical as a load's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pounds {
    /// Packages from pounds when the fruit is good.
    pub low: Ratio,
    /// As it usually is.
    pub typical: Ratio,
    /// When much is cut away.
    pub high: Ratio,
    /// As it was published or logged, own days left out: what the day's plan promises.
    pub promised: Ratio,
    /// Publication, or the family's own log.
    pub source: String,
}

impl Pounds {
    fn between(low: Ratio, typical: Ratio, high: Ratio, source: String) -> Pounds {
        Pounds {
            low,
            typical,
            high,
            promised: typical,
            source,
        }
    }

    /// The same fruit where so many thousandths of the published yield come of it.
    fn with_own_yield(self, share: Amount) -> Pounds {
        // By the package, in thousandths of a pound: small factors for the programme.
        let own = |ratio: Ratio| {
            let pounds = i128::from(ratio.from) * 1_000_000;
            let per = i128::from(ratio.made) * i128::from(share.0.max(1));
            let from = i64::try_from((pounds + per - 1) / per).unwrap_or(i64::MAX);
            reduced(1000, from)
        };
        Pounds {
            low: own(self.low),
            typical: own(self.typical),
            high: own(self.high),
            ..self
        }
    }

    /// Pounds for so many packages, rounded up to thousandths: low, typical, high.
    pub fn of(&self, packages: i64) -> [Amount; 3] {
        let out = Amount::whole(packages);
        [self.low, self.typical, self.high]
            .map(|ratio| ratio.needed_for(out).unwrap_or(Amount::ZERO))
    }
}

/// Thousandths of a pound in a kilogram, rounded down (1 lb = 0.45359237 kg exactly).
const LB_IN_KG: i64 = 2204;

/// Pounds of what is there; `None` when the weight of its box is not on file.
pub fn pounds_there(lot: &ThereIs) -> Option<Amount> {
    let times = |thousandths: i64| {
        let pounds = i128::from(lot.amount.0) * i128::from(thousandths) / 1000;
        i64::try_from(pounds).ok().map(Amount)
    };
    match lot.unit {
        BoughtBy::Lb => Some(lot.amount),
        BoughtBy::Kg => times(LB_IN_KG),
        BoughtBy::Box => times(box_pounds(&lot.produce)?.0),
        BoughtBy::Bushel => {
            let known = produce(&lot.produce)?;
            let by_bushel = known.container.as_deref() == Some("bushel");
            times(box_pounds(&lot.produce).filter(|_| by_bushel)?.0)
        }
    }
}

/// Pounds in the container that a produce is sold in, as published.
pub fn box_pounds(name: &str) -> Option<Amount> {
    let hundredths = produce(name)?.pounds_per_container?;
    Some(Amount(i64::from(hundredths) * 10))
}

fn produce(name: &str) -> Option<&'static trade::Produce> {
    let plain = name.trim().to_lowercase();
    trade::produce().iter().find(|known| known.name == plain)
}

/// Pounds for packages of one size; `None` when no yield is on file.
pub fn pounds(one: &Use, container: Container) -> Option<Pounds> {
    let size = container.holds().0;
    if let Some(own) = one.lb_per_quart {
        let ratio = per_quarts(own.0, 1000, size);
        let source = "the family's own log".to_owned();
        return Some(Pounds::between(ratio, ratio, ratio, source));
    }
    let published = match container.jar() {
        Some(_) => canned(one, size),
        None => frozen(one, size),
    }?;
    Some(match one.own_yield {
        Some(share) => published.with_own_yield(share),
        None => published,
    })
}

/// `pounds` thousandths for `quarts` thousandths, as packages of `size` thousandths of a quart.
fn per_quarts(pounds: i64, quarts: i64, size: i64) -> Ratio {
    reduced(quarts * 1000, pounds * size)
}

fn reduced(made: i64, from: i64) -> Ratio {
    let (mut a, mut b) = (made, from);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    let by = a.max(1);
    Ratio {
        made: made / by,
        from: from / by,
    }
}

fn canned(one: &Use, size: i64) -> Option<Pounds> {
    let food = trade::product(one.food())?;
    let usual = trade::yields().iter().find(|row| {
        !row.frozen
            && row.produce == one.produce.trim().to_lowercase()
            && row.product.as_deref() == Some(food.name.as_str())
            && row.pounds_per_7_quarts.is_some()
    })?;
    let quarts = per_quarts(ten(usual.pounds_per_7_quarts?), 7000, size);
    let pints = usual
        .pounds_per_9_pints
        .map(|load| per_quarts(ten(load), 4500, size));
    // Pints are published by themselves; a half-pint is half of one, a half-gallon two quarts.
    let typical = pints.filter(|_| size < 1000).unwrap_or(quarts);
    let (low, high) = of_the_box(usual, size).unwrap_or((typical, typical));
    let source = format!("{} ({})", usual.source, usual.published_as);
    Some(Pounds::between(low, typical, high, source))
}

fn frozen(one: &Use, size: i64) -> Option<Pounds> {
    let produce = one.produce.trim().to_lowercase();
    let named = trade::product(one.food()).map_or(one.food(), |food| &food.name);
    // Fruit as it is, whatever the sheet calls its slices.
    let plain_food = one.food().trim().to_lowercase();
    let row = trade::yields().iter().find(|row| {
        let product = row.product.as_deref().unwrap_or(&row.produce);
        let asked = product == named || plain_food == produce;
        row.frozen && row.produce == produce && asked
    })?;
    let (low, high) = row.pounds_per_quart?;
    let middle = (ten(low) + ten(high)) / 2;
    let of = |pounds: i64| per_quarts(pounds, 1000, size);
    let source = format!("{} ({})", row.source, row.published_as);
    Some(Pounds::between(
        of(ten(low)),
        of(middle),
        of(ten(high)),
        source,
    ))
}

/// The range of a whole container: few pounds for a quart when it gives many.
fn of_the_box(row: &Yield, size: i64) -> Option<(Ratio, Ratio)> {
    let pounds = ten(row.pounds_per_container?);
    let (few, many) = row.quarts_per_container?;
    Some((
        per_quarts(pounds, ten(many), size),
        per_quarts(pounds, ten(few), size),
    ))
}

/// Hundredths as thousandths.
fn ten(hundredths: u32) -> i64 {
    i64::from(hundredths) * 10
}

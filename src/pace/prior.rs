//! What is expected of somebody before a tap was seen: rates by kind of work and age.
//!
//! Ranges of household preserving by age band, their middles taken: common practice, no source,
//! where not said otherwise. Weak on purpose: a few carriers overrule them.

use crate::day::amount::Measure;
use crate::day::plan::{Ending, Helper, Product, Step, Work};
use crate::trade::Jar;

/// The shape of a prior: a coefficient of variation of 0.58, overruled within a few carriers.
pub const PRIOR_SHAPE: f64 = 3.0;

/// Carriers a minute by somebody of this age, as the trade's figures promise them.
pub fn usual_rate(work: Work, product: &Product, step: &Step, helper: &Helper) -> f64 {
    let band = band(helper.age);
    let holds = step.carrier.holds.0 as f64 / 1000.0;
    let pounds = |lb_per_hour: [f64; 4]| {
        lb_per_hour[band] / 60.0 / (holds * lb_in(step.measure, product)).max(1e-6)
    };
    let quarts = |quarts_per_hour: [f64; 4]| {
        quarts_per_hour[band] / 60.0 / (holds * quarts_in(step.measure, product)).max(1e-6)
    };
    match work {
        Work::Wash => pounds([90.0, 75.0, 45.0, 25.0]),
        Work::Scald => AGE_SHARE[band] / SCALD_MIN,
        // Skins that are loosened slip off: children's figures are published, adults' from memory.
        Work::Peel if is_scalded(&product.produce) => pounds([20.0, 18.0, 15.0, 7.5]),
        Work::Peel => pounds([13.0, 9.5, 6.0, 3.0]),
        Work::Slice => pounds(slicing(&product.produce)),
        Work::Strain => quarts([22.5, 20.0, 15.0, 10.0]),
        // Children wipe rims and set lids; bags as jars, from memory.
        Work::Fill | Work::Bag => {
            let volume = holds * quarts_in(step.measure, product);
            [25.0, 20.0, 10.0, 5.0][band] / 60.0 / handling(volume)
        }
        // A jar a minute, from memory; other things to clean by the carrier.
        Work::Clean if step.measure == Measure::Jar => {
            [60.0, 45.0, 30.0, 20.0][band] / 60.0 / holds
        }
        Work::Clean | Work::Cook | Work::Process | Work::Cool | Work::Freeze | Work::Other => {
            AGE_SHARE[band] / PLAIN_MIN
        }
    }
}

/// What a package takes against a quart jar: half of the work is in the rim and the lid, whatever it
/// holds; from memory.
fn handling(quarts: f64) -> f64 {
    if quarts < 1.0 {
        0.5 + 0.5 * quarts
    } else {
        quarts
    }
}

/// Minutes a carrier takes an adult where nothing is known of the work; no source.
const PLAIN_MIN: f64 = 5.0;

/// Minutes for one basket: a dip of half a minute to a minute (published), the way into the pot, into
/// cold water and out of it from memory.
const SCALD_MIN: f64 = 4.0;

/// Produce that is scalded to be skinned.
fn is_scalded(produce: &str) -> bool {
    produce.contains("peach") || produce.contains("tomato")
}

/// What a teen, an older and a younger child do of an adult's work; the middle of the ranges above.
const AGE_SHARE: [f64; 4] = [1.0, 0.8, 0.5, 0.3];

/// 0 adult, 1 teen from 13 on, 2 child from 9 on, 3 younger.
fn band(age: u8) -> usize {
    match age {
        18.. => 0,
        13..=17 => 1,
        9..=12 => 2,
        0..=8 => 3,
    }
}

/// Pounds an hour of halving, pitting, coring, slicing; the middle of the three for other produce.
fn slicing(produce: &str) -> [f64; 4] {
    if produce.contains("plum") {
        [20.0, 15.0, 8.0, 6.0]
    } else if produce.contains("peach") {
        [19.5, 14.0, 10.0, 5.0]
    } else if produce.contains("pear") {
        [13.0, 9.5, 6.0, 3.0]
    } else {
        [17.0, 12.5, 8.0, 4.5]
    }
}

/// Pounds of fruit in a quart of it; between the published 2 (plums) and 2.5 (pears, peaches) whole
/// and the 1.6 of pared slices.
const LB_IN_QUART: f64 = 2.0;

fn lb_in(measure: Measure, product: &Product) -> f64 {
    match measure {
        Measure::Lb => 1.0,
        Measure::Kg => 2.204_622_6,
        // Five pears of 2.5 pounds fill a quart.
        Measure::Piece => 0.5,
        Measure::Cup | Measure::Qt | Measure::L | Measure::Jar | Measure::Bag | Measure::Tub => {
            LB_IN_QUART * quarts_in(measure, product)
        }
    }
}

fn quarts_in(measure: Measure, product: &Product) -> f64 {
    match measure {
        Measure::Qt => 1.0,
        Measure::Cup => 0.25,
        Measure::L => 1.056_688,
        Measure::Jar => match product.ends_in {
            Ending::Canned { jar, .. } => jar_quarts(jar),
            Ending::Frozen { .. }
            | Ending::Fresh { .. }
            | Ending::Stocked { .. }
            | Ending::Shared {} => 1.0,
        },
        // A quart bag and a pint tub, from memory.
        Measure::Bag => 1.0,
        Measure::Tub => 0.5,
        Measure::Lb | Measure::Kg | Measure::Piece => lb_in(measure, product) / LB_IN_QUART,
    }
}

fn jar_quarts(jar: Jar) -> f64 {
    match jar {
        Jar::HalfPint => 0.25,
        Jar::Pint => 0.5,
        Jar::Quart => 1.0,
        Jar::HalfGallon => 2.0,
    }
}

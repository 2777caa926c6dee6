//! Tests of the trade's facts and the lookup, one module per subject.
//!
//! Numbers of published tables are typed here from the publications, with the publication named
//! beside them; they are never read from the program's own sheets.

#![allow(clippy::unwrap_used)]

mod band_edges;
mod broken_sheets;
mod command;
mod listing;
mod names;
mod numbers;
mod pressure_options;
mod published_fruit;
mod published_tomatoes;
mod published_vegetables;
mod refusals;
mod smaller_jars;
mod steam;

use putby::trade::{Jar, Method, Pack, tested};

/// One printed band: lowest and highest altitude in feet, and the number printed for it.
type Printed = (i32, i32, u32);

/// The four columns of a printed boiling-water table: 0-1,000, 1,001-3,000, 3,001-6,000 and above
/// 6,000 ft. The last is tried up to 12,000 ft.
fn four(minutes: [u32; 4]) -> Vec<Printed> {
    let bands = [(0, 1000), (1001, 3000), (3001, 6000), (6001, 12_000)];
    bands
        .iter()
        .zip(minutes)
        .map(|((from, to), minutes)| (*from, *to, minutes))
        .collect()
}

/// The three columns of a printed table: 0-1,000, 1,001-6,000 and above 6,000 ft.
fn three(minutes: [u32; 3]) -> Vec<Printed> {
    let bands = [(0, 1000), (1001, 6000), (6001, 12_000)];
    bands
        .iter()
        .zip(minutes)
        .map(|((from, to), minutes)| (*from, *to, minutes))
        .collect()
}

/// Checks minutes at both ends and the middle of every printed band.
fn assert_minutes(product: &str, pack: Pack, jar: Jar, printed: &[Printed]) {
    for (from, to, minutes) in printed {
        for altitude in [*from, (from + to) / 2, *to] {
            let process = tested(product, pack, jar, Method::BoilingWater, altitude).unwrap();
            assert_eq!(
                process.minutes, *minutes,
                "{product} {pack} {jar} at {altitude} ft"
            );
            assert_eq!(process.psi, None, "{product} {pack} {jar} at {altitude} ft");
            assert_eq!(process.product, product);
            assert_eq!((process.pack, process.jar), (pack, jar));
            assert_eq!(process.altitude_ft, altitude);
            assert!(!process.source.is_empty());
        }
    }
}

/// Checks one published option of a dial-gauge table: 0-2,000, 2,001-4,000, 4,001-6,000 and
/// 6,001-8,000 ft.
fn assert_dial(product: &str, pack: Pack, jar: Jar, minutes: u32, psi: [u32; 4]) {
    let bands = [(0, 2000), (2001, 4000), (4001, 6000), (6001, 8000)];
    for ((from, to), psi) in bands.into_iter().zip(psi) {
        for altitude in [from, (from + to) / 2, to] {
            assert_option(
                product,
                pack,
                jar,
                Method::PressureDial,
                altitude,
                (minutes, psi),
            );
        }
    }
}

/// Checks one published option of a weighted-gauge table: 0-1,000 and above 1,000 ft.
fn assert_weighted(product: &str, pack: Pack, jar: Jar, minutes: u32, psi: [u32; 2]) {
    let bands = [(0, 1000), (1001, 12_000)];
    for ((from, to), psi) in bands.into_iter().zip(psi) {
        for altitude in [from, (from + to) / 2, to] {
            assert_option(
                product,
                pack,
                jar,
                Method::PressureWeighted,
                altitude,
                (minutes, psi),
            );
        }
    }
}

fn assert_option(
    product: &str,
    pack: Pack,
    jar: Jar,
    method: Method,
    altitude: i32,
    printed: (u32, u32),
) {
    let options = putby::trade::options(product, pack, jar, method, altitude).unwrap();
    let offered: Vec<_> = options
        .iter()
        .map(|option| (option.minutes, option.psi.unwrap()))
        .collect();
    assert!(
        offered.contains(&printed),
        "{product} {pack} {jar} {method} at {altitude} ft: {printed:?} not in {offered:?}"
    );
}

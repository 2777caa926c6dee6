//! A day in a few figures, to be laid beside other days.

use super::figures::{LookBack, Packages};
use crate::day::amount::Amount;
use schemars::JsonSchema;
use serde::Serialize;

/// The figures of one day.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Summary {
    /// What the family called the day.
    pub name: String,
    /// Its civil date.
    pub date: String,
    /// Packages finished or cooling.
    pub packages: Packages,
    /// From the first work to the end, in milliseconds.
    pub worked_ms: i64,
    /// Packages by the hours of it.
    pub packages_per_hour: f64,
    /// Time in seats, over all people, in milliseconds.
    pub seated_ms: i64,
    /// Packages by the hours in seats.
    pub packages_per_seat_hour: f64,
    /// Loads that were lifted.
    pub loads: usize,
    /// Canners idle between loads, in milliseconds.
    pub between_loads_ms: i64,
    /// Work that waited with nobody there, over all stations, in milliseconds.
    pub unstaffed_ms: i64,
    /// Packages broken, thrown away or ended early.
    pub lost: Packages,
    /// Pounds of trimmings.
    pub trimmings_lb: Amount,
}

/// The few figures of a day.
pub fn summary(back: &LookBack) -> Summary {
    let made = || back.made.values();
    let packages: Amount = made().map(|one| one.finished.0 + one.cooling.0).sum();
    let lost = made().map(|one| one.broken.0 + one.scrapped.0 + one.short.0);
    let seated_ms: i64 = back.helpers.values().map(|helper| helper.seated_ms).sum();
    let seat_hours = seated_ms as f64 / crate::day::time::HOUR_MS as f64;
    Summary {
        name: back.name.clone(),
        date: back.date.clone(),
        packages: Packages(packages),
        worked_ms: back.from.map_or(0, |from| back.to.ms_since(from)),
        packages_per_hour: back.packages_per_hour,
        seated_ms,
        packages_per_seat_hour: if seat_hours > 0.0 {
            Packages(packages).number() / seat_hours
        } else {
            0.0
        },
        loads: back
            .loads
            .values()
            .filter(|load| load.lifted_at.is_some())
            .count(),
        between_loads_ms: back.stations.values().map(|one| one.between_loads_ms).sum(),
        unstaffed_ms: back.stations.values().map(|one| one.unstaffed_ms).sum(),
        lost: Packages(lost.sum()),
        trimmings_lb: back.trimmings_lb,
    }
}

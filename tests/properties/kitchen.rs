//! A small invented kitchen in which every rule can be met: two pots on two burners, two canners,
//! a split, a shared canner, a stock with its own work, a child, a teen and two adults.

use putby::day::plan::DayPlan;
use putby::day::time::Timestamp;

/// When the random days begin.
pub const START: Timestamp = Timestamp(1_789_000_000_000);

/// The facts that random orders must reach.
pub const FACTS: &[&str] = &[
    "day-opened",
    "day-changed",
    "day-closed",
    "age-rules-set",
    "resource-put",
    "resource-retired",
    "station-added",
    "station-changed",
    "station-retired",
    "station-set-up",
    "station-put-away",
    "helper-added",
    "helper-changed",
    "helper-retired",
    "product-added",
    "product-changed",
    "product-retired",
    "lot-added",
    "lot-changed",
    "lot-retired",
    "supply-added",
    "supply-changed",
    "supply-retired",
    "supply-restocked",
    "supply-recounted",
    "box-opened",
    "helper-arrived",
    "helper-went-home",
    "seat-taken",
    "seat-left",
    "break-began",
    "break-ended",
    "beside-changed",
    "move-set-aside",
    "move-taken",
    "tallied",
    "tally-undone",
    "diverted",
    "recounted",
    "lot-split",
    "sent-back",
    "pot-filled",
    "pot-emptied",
    "pot-started",
    "pot-stirred",
    "pot-handed-over",
    "pot-finished",
    "pot-scrapped",
    "load-built",
    "load-cancelled",
    "load-heated",
    "boil-reached",
    "boil-was-lost",
    "heat-turned-off",
    "load-lifted",
    "jars-confirmed",
    "seals-checked",
    "chore-raised",
    "chore-taken",
    "chore-finished",
    "chore-settled",
    "noted",
    "alarm-taken",
    "backup-named",
    "hurt-reported",
    "hurt-taken-back",
    "hurt-was-tended",
];

/// The kitchen as the lead sets it up.
pub fn plan() -> DayPlan {
    serde_json::from_str(include_str!("kitchen.json")).expect("the test kitchen is a day plan")
}

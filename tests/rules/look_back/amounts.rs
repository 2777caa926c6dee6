//! Looking back: what was made, lost and done again.

use super::{all_adds_up, told, told_json};
use crate::kitchen::{Kitchen, seals};
use putby::day::amount::Amount;
use putby::day::time::{HOUR_MS, Timestamp};
use serde_json::json;

#[test]
fn packages_per_hour_count_from_the_first_work_to_the_close() {
    let mut day = Kitchen::open();
    day.wait(60).rack_pears("l1", 7).wait(12 * 60);
    day.does(&seals("l1", "pear-quarts", &[("sealed", 4)]));
    let worked = day
        .now
        .ms_since(Timestamp(crate::kitchen::MORNING.0 + HOUR_MS));
    day.does("close-day");
    // After the close nothing counts any more.
    day.wait(600).does("note on={\"about\":\"day\"} text=Late");
    let told = told(&day);
    assert_eq!(told.to.ms_since(told.from.unwrap()), worked);
    let expected = 7.0 * HOUR_MS as f64 / worked as f64;
    assert!(
        (told.packages_per_hour - expected).abs() < 1e-12,
        "{}",
        told.packages_per_hour
    );
    let json = told_json(&day);
    let pears = &json["made"]["pear-quarts"];
    assert_eq!(
        (&pears["made"], &pears["finished"], &pears["cooling"]),
        (&json!(7), &json!(4), &json!(3))
    );
}

#[test]
fn tubs_and_stocks_and_shared_routes_are_told_apart() {
    let mut day = Kitchen::open();
    day.roasts_spread();
    day.all(&["tally station=freezer product=spread amount=10000"]);
    day.does("divert station=freezer product=spread amount=1000 to={\"as\":\"fresh\"}");
    day.does("recount station=freezer product=spread lot=pulp amount=4000");
    let told = told(&day);
    all_adds_up(&told);
    let json = told_json(&day);
    let spread = &json["made"]["spread"];
    for (field, packages) in [
        ("made", 16),
        ("finished", 10),
        ("standing", 4),
        ("fresh", 1),
        ("found", -1),
    ] {
        assert_eq!(spread[field], packages, "{field}: {spread}");
    }
    assert!(json["made"].get("plum-mash").is_none());
    assert_eq!(json["waste"]["freezer"]["spread"]["missing"], 1000);
}

#[test]
fn rework_and_waste_are_told_with_where_they_went() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(4);
    for reason in ["Not_full", "Not_full", "Cracked"] {
        day.does(&format!(
            "send-back station=canner product=pear-quarts amount=1000 to=fill reason={reason}"
        ));
    }
    day.does("open-box lot=pears-a product=pear-quarts amount=9000");
    for (door, amount) in [("scraps", 1000), ("fresh", 2000), ("freezer", 3000)] {
        day.does(&format!(
            "divert station=slice product=pear-quarts amount={amount} to={{\"as\":\"{door}\"}}"
        ));
    }
    let told = told(&day);
    all_adds_up(&told);
    let rework = &told.rework[..];
    assert_eq!(rework.len(), 1);
    assert_eq!((rework[0].amount.0, rework[0].times), (3000, 3));
    assert_eq!(rework[0].reasons, ["Not full", "Cracked"]);
    let json = told_json(&day);
    let waste = &json["waste"]["slice"]["pear-quarts"];
    let rows = ["scraps", "fresh", "freezer", "refrigerator"].map(|field| waste[field].as_i64());
    assert_eq!(rows, [Some(1000), Some(2000), Some(3000), Some(0)]);
    assert_eq!(waste["measure"], "lb");
    // A fifth of the 10 lb that were sliced.
    assert_eq!(json["trimmings_lb"], 2000);
}

#[test]
fn an_undone_tally_leaves_no_trace_in_what_was_made_and_trimmed() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    day.wait(1).does("tally station=fill amount=5000");
    day.wait(1)
        .all(&["undo-tally station=fill", "undo-tally station=slice"]);
    let told = told(&day);
    all_adds_up(&told);
    assert_eq!(told.trimmings_lb, Amount::ZERO);
    assert_eq!(
        told.made[&crate::kitchen::id("pear-quarts")].made.0,
        Amount::ZERO
    );
}

#[test]
fn chores_are_told_with_who_did_them() {
    let mut day = Kitchen::open();
    day.does("raise-chore chore=sweep text=Sweep_the_floor");
    day.wait(5).does("finish-chore chore=sweep helper=bo");
    let json = told_json(&day);
    assert_eq!(json["chores"]["sweep"]["helper"], "bo");
    assert_eq!(json["helpers"]["bo"]["chores"], 1);
    assert_eq!(
        json["helpers"]["bo"]["told"],
        "Bo gave one chore. Thank you."
    );
    assert!(
        json["chores"]
            .as_object()
            .unwrap()
            .values()
            .any(|c| c.get("helper").is_none())
    );
}

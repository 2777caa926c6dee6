//! Closing a day, and what the next one gets of it.

use crate::kitchen::{Kitchen, build};
use crate::refusals::filled_pot;
use putby::day::time::HOUR_MS;
use putby::day::{Code, leftovers, plan_again};
use serde_json::{Value, json};

/// What a plan to go on with makes of a day.
fn next_day(day: &Kitchen) -> Value {
    serde_json::to_value(plan_again(&day.state)).unwrap()
}

#[test]
fn the_next_day_begins_with_what_was_left_at_its_age() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=10000",
        "tally station=slice",
    ]);
    let cut_at = day.now;
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.wait(60).does("close-day");
    day.refuses(Code::DayClosed, "tally station=slice");
    let left = leftovers(&day.state);
    assert_eq!(left.len(), 3, "{left:?}");
    let mut next = Kitchen::dark();
    next.now = putby::day::time::Timestamp(day.now.0 + 14 * HOUR_MS);
    next.does_json(json!({"order": "open-day", "plan": next_day(&day)}));
    assert_eq!(
        (
            next.waits("slice", "pear-quarts"),
            next.waits("fill", "pear-quarts")
        ),
        (5000, 5000)
    );
    assert_eq!(
        next.waits("cook", "plum-mash"),
        12_000,
        "out of the pot, to be begun again"
    );
    let oldest = &next.view()["stations"]["fill"]["waiting"]["pear-quarts"]["oldest_at"];
    assert_eq!(oldest.as_i64(), Some(cut_at.0));
    assert_eq!(next.view()["lots"]["pears-a"]["unopened"], 90_000);
    assert_eq!(next.stock("lids"), 30_000);
}

#[test]
fn the_next_day_has_the_same_kitchen_and_people_and_what_is_left_of_the_stocks() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7).does("go-home helper=wren");
    day.does("close-day");
    let again = next_day(&day);
    let first = crate::test_plan::plan();
    for part in ["stations", "helpers", "products", "resources"] {
        let keys = |plan: &Value| {
            plan[part]
                .as_object()
                .unwrap()
                .keys()
                .cloned()
                .collect::<Vec<_>>()
        };
        assert_eq!(keys(&again), keys(&first), "{part}");
    }
    assert_eq!(again["supplies"]["lids"]["stock"], 23_000);
    assert_eq!(
        again["carried"],
        json!([]),
        "jars on the rack stay with their day"
    );
    Kitchen::dark().does_json(json!({"order": "open-day", "plan": again}));
}

#[test]
fn a_day_closes_only_cold_and_takes_unheated_loads_apart() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    let refusal = day.refuses(Code::StillHot, "close-day");
    assert!(refusal.detail.contains("Cook"), "{refusal:?}");
    day.does("pot-done station=cook pot=big");
    day.fill_pear_quarts(2)
        .does(&build("canner", "l1", &[("pear-quarts", 2)]));
    day.all(&["claim helper=wren station=wash", "close-day"]);
    assert_eq!(
        (day.seat("wren"), day.waits("canner", "pear-quarts")),
        (None, 2000)
    );
    day.does("note on={\"about\":\"day\"} text=A_good_day");
    day.refuses(Code::DayClosed, "close-day");
}

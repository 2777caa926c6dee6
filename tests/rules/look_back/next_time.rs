//! Looking back: hours, blocked and paused stations, fruit against the tables, what to try.

use super::{all_adds_up, told};
use crate::kitchen::{Kitchen, build, id};
use putby::day::time::{HOUR_MS, MINUTE_MS};
use putby::lookback::{Advice, summary};
use serde_json::json;

#[test]
fn packages_are_told_in_the_hour_in_which_they_came_out_of_the_canner() {
    let mut day = Kitchen::open();
    // 22 min to the boil, 25 min of process, 5 min of rest: out after 52 min.
    day.rack_pears("l1", 7);
    day.wait(30).rack_pears("l2", 5);
    day.wait(46).does("close-day");
    let told = told(&day);
    all_adds_up(&told);
    let gained: Vec<i64> = told
        .hours
        .iter()
        .map(|hour| hour.packages.values().map(|gained| gained.0.0).sum())
        .collect();
    assert_eq!(gained, [7000, 0, 5000]);
    assert_eq!(told.open_ms, 3 * HOUR_MS);
    assert!((told.hours[0].per_hour - 7.0).abs() < 1e-12);
    let few = summary(&told);
    assert_eq!(
        (few.packages.0.0, few.loads, few.worked_ms),
        (12_000, 2, 3 * HOUR_MS)
    );
    assert_eq!(few.between_loads_ms, 30 * MINUTE_MS);
}

#[test]
fn a_hand_station_with_nowhere_to_put_its_work_is_blocked_and_a_break_is_a_pause() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts amount=30000");
    day.does("claim helper=maren station=slice");
    day.wait(10)
        .does("tally station=slice product=pear-quarts amount=30000");
    day.does("open-box lot=pears-a product=pear-quarts amount=10000");
    day.wait(10).does("take-break helper=maren");
    day.wait(12).does("end-break helper=maren");
    day.wait(8).does("claim helper=maren station=slice");
    day.wait(5).does("close-day");
    let told = told(&day);
    all_adds_up(&told);
    let slice = &told.stations[&id("slice")];
    let minutes = [slice.busy_ms, slice.paused_ms, slice.unstaffed_ms].map(|ms| ms / MINUTE_MS);
    assert_eq!(minutes, [25, 12, 8]);

    let mut day = Kitchen::open();
    day.does("claim helper=maren station=fill");
    let name = day.state.products[&id::<putby::day::ids::ProductId>("pear-quarts")].clone();
    let step = name
        .plan
        .route
        .iter()
        .find(|step| step.station.as_str() == "fill")
        .cloned();
    let (supply, _) = step
        .unwrap()
        .draws
        .into_iter()
        .next()
        .expect("jars are drawn on");
    day.does("open-box lot=pears-a product=pear-quarts amount=10000");
    day.does("tally station=slice product=pear-quarts amount=10000");
    day.wait(4)
        .does(&format!("recount-supply supply={supply} amount=0"));
    day.wait(9)
        .does(&format!("restock supply={supply} amount=20000"));
    day.wait(3).does("close-day");
    let told = super::told(&day);
    all_adds_up(&told);
    let fill = &told.stations[&id("fill")];
    let minutes = [fill.busy_ms, fill.blocked_ms].map(|ms| ms / MINUTE_MS);
    assert_eq!(minutes, [7, 9], "out of {supply}");
}

/// Pears: 2.5 lb a quart on average, 2 to 2.33 in another table (USDA Complete Guide to Home
/// Canning, AIB 539, Guide 2; extension table of yields by container).
#[test]
fn pounds_a_quart_are_told_beside_the_published_ones() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7);
    // Of what was sliced for four more quarts, a tenth of what the yields promised was missing.
    day.does("open-box lot=pears-a product=pear-quarts amount=10000");
    day.does("tally station=slice product=pear-quarts amount=10000");
    let lot = "pears-a";
    let waits = day.waits("fill", "pear-quarts");
    day.does(&format!(
        "recount station=fill product=pear-quarts lot={lot} amount={}",
        waits * 9 / 10
    ));
    let told = told(&day);
    let pears = &told.fruit[&id("pear-quarts")];
    assert!((pears.opened_lb - 27.5).abs() < 1e-9, "{pears:?}");
    // 27.5 lb came; nine tenths of 10 lb still stand; 7 quarts were filled.
    assert!((pears.used_lb - 18.5).abs() < 1e-9, "{pears:?}");
    assert!((pears.lb_per_quart - 18.5 / 7.0).abs() < 1e-9);
    assert!((pears.planned_lb_per_quart - 2.5).abs() < 1e-9 && pears.measured);
    let ranges: Vec<(f64, f64)> = pears
        .published
        .iter()
        .map(|one| (one.low, one.high))
        .collect();
    assert_eq!(ranges, [(2.5, 2.5), (2.0, 2.33)]);
    assert!(pears.published.iter().all(|one| one.source.len() > 20));
}

#[test]
fn what_to_try_is_ranked_by_the_minutes_that_speak_for_it() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 4);
    day.wait(40).rack_pears("l2", 4);
    // Filled jars wait while the only canner is on the heat.
    day.boil_pears("l3", 3).fill_pear_quarts(2);
    day.wait(25).all(&["heat-off load=l3", "lift-load load=l3"]);
    day.does(&build("canner", "l4", &[("pear-quarts", 2)]));
    day.does("close-day");
    let told = told(&day);
    all_adds_up(&told);
    let tries: Vec<_> = told
        .tries
        .iter()
        .map(|one| (&one.what, one.station.as_str()))
        .collect();
    assert!(
        told.tries.windows(2).all(|two| two[0].ms >= two[1].ms),
        "{tries:?}"
    );
    let canner = &told.stations[&id("canner")];
    assert_eq!(canner.between_loads_ms, 40 * MINUTE_MS);
    assert_eq!(canner.all_taken_ms, 25 * MINUTE_MS);
    assert!(
        tries.contains(&(&Advice::LoadSooner { gaps: 1 }, "canner")),
        "{tries:?}"
    );
    let more = &Advice::AnotherCanner { loads: 3 };
    let ms = told
        .tries
        .iter()
        .find(|one| one.what == *more)
        .map(|one| one.ms);
    assert_eq!(ms, Some(25 * MINUTE_MS), "{tries:?}");
}

#[test]
fn a_taken_move_is_told_with_what_it_was_said_to_gain() {
    let mut day = Kitchen::open();
    let early = json!({"order": "take-move", "move": "claim:maren:slice", "gain_min": 12});
    day.refuses_role(
        putby::day::Role::Lead,
        putby::day::Code::BadValue,
        early.clone(),
    );
    day.does("claim helper=maren station=slice");
    day.wait(2).does_json(early);
    let told = told(&day);
    let only = &told.moves[0];
    assert_eq!((only.gain_min, only.at, told.moves.len()), (12, day.now, 1));
    assert_eq!(only.people, [day.state.helper_name(&id("maren"))]);
    assert_eq!(only.to, Some(day.state.station_name(&id("slice"))));
    let wild = json!({"order": "take-move", "move": "claim:maren:slice", "gain_min": 99_999});
    day.refuses_role(putby::day::Role::Lead, putby::day::Code::BadValue, wild);
}

//! Looking back: every figure agrees with what was done, and the sums come out exactly.

use crate::kitchen::{Kitchen, build};
use crate::refusals::filled_pot;
use crate::wire::worked_day;
use putby::day::amount::Amount;
use putby::day::event::{Event, Layer};
use putby::day::time::{HOUR_MS, MINUTE_MS, Timestamp};
use putby::day::{Code, Record, Role};
use putby::lookback::{LookBack, Made, csv, look_back};
use serde_json::{Value, json};

fn told(k: &Kitchen) -> LookBack {
    look_back(&k.records)
}

fn told_json(k: &Kitchen) -> Value {
    serde_json::to_value(told(k)).unwrap()
}

/// The identities that hold for any day.
fn all_adds_up(told: &LookBack) {
    for (id, station) in &told.stations {
        let sum = station.busy_ms + station.starved_ms + station.unstaffed_ms + station.put_away_ms;
        assert_eq!(sum, told.open_ms, "the time of {id}");
        assert!((0.0..=1.0).contains(&station.busy_share), "{id}");
        for (product, points) in &station.depth {
            assert!(
                points.windows(2).all(|two| two[0].0 < two[1].0),
                "{product} at {id}"
            );
            assert!(points.iter().all(|point| point.1 >= Amount::ZERO));
        }
    }
    for (id, made) in &told.made {
        accounted_for(id.as_str(), made);
    }
    for (id, helper) in &told.helpers {
        assert!(
            0 <= helper.waited_ms && helper.waited_ms <= helper.seated_ms,
            "{id}"
        );
        assert!(helper.seated_ms + helper.rested_ms <= told.open_ms, "{id}");
    }
}

fn accounted_for(id: &str, made: &Made) {
    let came = [made.made, made.brought_in, made.found];
    let is = [
        made.finished,
        made.cooling,
        made.standing,
        made.refrigerated,
        made.frozen,
        made.broken,
        made.fresh,
        made.diverted,
        made.scrapped,
        made.sent_back,
    ];
    let sum = |list: &[putby::lookback::Packages]| list.iter().map(|n| n.0).sum::<Amount>();
    assert_eq!(sum(&came), sum(&is), "{id}: {made:?}");
}

#[test]
fn no_events_tell_of_no_day() {
    assert_eq!(look_back(&[]), LookBack::default());
}

#[test]
fn a_day_without_work_has_no_pace_and_is_all_starved() {
    let mut k = Kitchen::open();
    k.wait(30).does("close-day");
    let told = told(&k);
    all_adds_up(&told);
    assert_eq!(
        (told.from, told.packages_per_hour, told.open_ms),
        (None, 0.0, 30 * MINUTE_MS)
    );
    assert_eq!(
        told.stations[&crate::kitchen::id("wash")].starved_ms,
        30 * MINUTE_MS
    );
    assert_eq!(
        told.stations[&crate::kitchen::id("mill")].put_away_ms,
        30 * MINUTE_MS
    );
}

#[test]
fn the_pinned_day_adds_up_after_every_event() {
    let k = worked_day();
    for count in 0..=k.records.len() {
        all_adds_up(&look_back(&k.records[..count]));
    }
}

#[test]
fn a_hand_station_is_busy_unstaffed_or_starved_by_seats_and_work() {
    let mut k = Kitchen::open();
    k.wait(10).does("claim helper=wren station=wash");
    k.wait(5)
        .does("open-box lot=plums-a product=plum-mash amount=8000");
    k.wait(7).does("tally station=wash amount=4000");
    k.wait(3).does("leave helper=wren");
    k.wait(11).does("claim helper=bo station=wash");
    k.wait(2).does("tally station=wash amount=4000");
    k.wait(4).does("close-day");
    let told = told_json(&k);
    let wash = &told["stations"]["wash"];
    let minutes = |field: &str| wash[field].as_i64().unwrap() / MINUTE_MS;
    assert_eq!(minutes("starved_ms"), 10 + 5 + 4);
    assert_eq!(minutes("busy_ms"), 7 + 3 + 2);
    assert_eq!(minutes("unstaffed_ms"), 11);
    let wren = &told["helpers"]["wren"];
    assert_eq!(wren["seated_ms"].as_i64(), Some(15 * MINUTE_MS));
    assert_eq!(wren["waited_ms"].as_i64(), Some(5 * MINUTE_MS));
    assert_eq!(wren["told"], "Wren gave 15 min at Wash. Thank you.");
    let cook = &told["stations"]["cook"];
    assert_eq!(
        cook["unstaffed_ms"].as_i64(),
        Some(20 * MINUTE_MS),
        "plums waited for a pot"
    );
}

#[test]
fn a_vessel_is_busy_while_any_pot_cooks() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.wait(6)
        .does("start-pot station=cook pot=big minder=maren");
    k.wait(20);
    for order in filled_pot("small") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=small minder=maren");
    k.wait(40).does("pot-done station=cook pot=big");
    k.wait(20).does("pot-done station=cook pot=small");
    k.wait(9).does("close-day");
    let told = told_json(&k);
    let cook = &told["stations"]["cook"];
    let times =
        ["busy_ms", "unstaffed_ms", "starved_ms"].map(|f| cook[f].as_i64().unwrap() / MINUTE_MS);
    assert_eq!(times, [80, 6, 9]);
}

#[test]
fn loads_are_told_with_their_times_and_the_canner_with_its_gaps() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7).wait(10).does("boil-lost load=l1");
    k.wait(4).does("rolling-boil load=l1");
    k.wait(26).does("heat-off load=l1");
    k.wait(5)
        .does("lift-load load=l1 broken=[{\"product\":\"pear-quarts\",\"jars\":1}]");
    k.wait(31)
        .boil_pears("l2", 6)
        .wait(20)
        .does("heat-off load=l2 end_early=true");
    k.wait(5).does("lift-load load=l2 fate=refrigerate");
    k.does("close-day");
    let told = told(&k);
    all_adds_up(&told);
    let json = told_json(&k);
    let minutes =
        |load: &str, field: &str| json["loads"][load][field].as_i64().map(|ms| ms / MINUTE_MS);
    assert_eq!(minutes("l1", "heat_up_ms"), Some(22));
    assert_eq!(minutes("l1", "process_ms"), Some(26));
    assert_eq!(
        json["loads"]["l1"]["boils_lost"].as_array().unwrap().len(),
        1
    );
    assert_eq!(minutes("l1", "canner_idle_before_ms"), None);
    assert_eq!(minutes("l2", "canner_idle_before_ms"), Some(31));
    assert_eq!(
        (&json["loads"]["l2"]["short"], &json["loads"]["l2"]["fate"]),
        (&json!(true), &json!("refrigerate"))
    );
    let canner = &json["stations"]["canner"];
    let of = |field: &str| canner[field].as_i64().unwrap() / MINUTE_MS;
    assert_eq!(of("busy_ms"), (22 + 10 + 4 + 26) + (22 + 20));
    assert_eq!(
        (of("unstaffed_ms"), of("between_loads_ms")),
        (10, 31),
        "resting with jars inside"
    );
    let pears = &json["made"]["pear-quarts"];
    for (field, packages) in [
        ("made", 13),
        ("cooling", 6),
        ("broken", 1),
        ("refrigerated", 6),
        ("short", 6),
        ("finished", 0),
    ] {
        assert_eq!(pears[field], packages, "{field}: {pears}");
    }
    let waste = &json["waste"]["canner"]["pear-quarts"];
    assert_eq!(
        (&waste["broken"], &waste["refrigerator"]),
        (&json!(1000), &json!(6000))
    );
}

#[test]
fn packages_per_hour_count_from_the_first_work_to_the_close() {
    let mut k = Kitchen::open();
    k.wait(60).rack_pears("l1", 7).wait(12 * 60);
    k.does("tally station=rack product=pear-quarts amount=4000");
    let worked = k
        .now
        .ms_since(Timestamp(crate::kitchen::MORNING.0 + HOUR_MS));
    k.does("close-day");
    // After the close nothing counts any more.
    k.wait(600).does("note on={\"about\":\"day\"} text=Late");
    let told = told(&k);
    assert_eq!(told.to.ms_since(told.from.unwrap()), worked);
    let expected = 7.0 * HOUR_MS as f64 / worked as f64;
    assert!(
        (told.packages_per_hour - expected).abs() < 1e-12,
        "{}",
        told.packages_per_hour
    );
    let json = told_json(&k);
    let pears = &json["made"]["pear-quarts"];
    assert_eq!(
        (&pears["made"], &pears["finished"], &pears["cooling"]),
        (&json!(7), &json!(4), &json!(3))
    );
}

#[test]
fn tubs_and_stocks_and_shared_routes_are_told_apart() {
    let mut k = Kitchen::open();
    k.all(&["open-box lot=pulp product=spread amount=8000"]);
    k.all(&[
        "fill-pot station=roast pot=roaster product=spread",
        "start-pot station=roast pot=roaster",
    ]);
    k.wait(300).does("pot-done station=roast pot=roaster");
    k.all(&["tally station=freezer product=spread amount=10000"]);
    k.does("divert station=freezer product=spread amount=1000 to={\"as\":\"fresh\"}");
    k.does("recount station=freezer product=spread lot=pulp amount=4000");
    let told = told(&k);
    all_adds_up(&told);
    let json = told_json(&k);
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
    let mut k = Kitchen::open();
    k.fill_pear_quarts(4);
    for reason in ["Not_full", "Not_full", "Cracked"] {
        k.does(&format!(
            "send-back station=canner product=pear-quarts amount=1000 to=fill reason={reason}"
        ));
    }
    k.does("open-box lot=pears-a product=pear-quarts amount=9000");
    for (door, amount) in [("scraps", 1000), ("fresh", 2000), ("freezer", 3000)] {
        k.does(&format!(
            "divert station=slice product=pear-quarts amount={amount} to={{\"as\":\"{door}\"}}"
        ));
    }
    let told = told(&k);
    all_adds_up(&told);
    let rework = &told.rework[..];
    assert_eq!(rework.len(), 1);
    assert_eq!((rework[0].amount.0, rework[0].times), (3000, 3));
    assert_eq!(rework[0].reasons, ["Not full", "Cracked"]);
    let json = told_json(&k);
    let waste = &json["waste"]["slice"]["pear-quarts"];
    let rows = ["scraps", "fresh", "freezer", "refrigerator"].map(|field| waste[field].as_i64());
    assert_eq!(rows, [Some(1000), Some(2000), Some(3000), Some(0)]);
    assert_eq!(waste["measure"], "lb");
    // A fifth of the 10 lb that were sliced.
    assert_eq!(json["trimmings_lb"], 2000);
}

#[test]
fn an_undone_tally_leaves_no_trace_in_what_was_made_and_trimmed() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "tally station=slice",
    ]);
    k.wait(1).does("tally station=fill amount=5000");
    k.wait(1)
        .all(&["undo-tally station=fill", "undo-tally station=slice"]);
    let told = told(&k);
    all_adds_up(&told);
    assert_eq!(told.trimmings_lb, Amount::ZERO);
    assert_eq!(
        told.made[&crate::kitchen::id("pear-quarts")].made.0,
        Amount::ZERO
    );
}

#[test]
fn chores_are_told_with_who_did_them() {
    let mut k = Kitchen::open();
    k.does("raise-chore chore=sweep text=Sweep_the_floor");
    k.wait(5).does("finish-chore chore=sweep helper=bo");
    let json = told_json(&k);
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

#[test]
fn the_deepest_queue_is_named_in_carriers_with_its_moment() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts amount=20000");
    k.wait(5)
        .does("open-box lot=peaches-a product=peach-pints amount=12000");
    k.wait(5)
        .does("open-box lot=pears-a product=pear-quarts amount=10000");
    let at = k.now;
    k.wait(5)
        .does("tally station=slice product=pear-quarts amount=30000");
    let told = told(&k);
    let deepest = told.stations[&crate::kitchen::id("slice")]
        .deepest
        .clone()
        .unwrap();
    assert_eq!(
        (deepest.product.as_str(), deepest.amount.0),
        ("pear-quarts", 30_000)
    );
    assert_eq!((deepest.carriers.0, deepest.at), (6000, at));
}

/// Little's law on a finite day that begins and ends empty: the area under the depth is the sum of
/// the times each amount waited (exact in integers).
#[test]
fn the_area_under_the_depth_is_the_sum_of_all_waits() {
    let mut k = Kitchen::open();
    for round in 0..9 {
        k.wait(3 + round)
            .does("open-box lot=pears-a product=pear-quarts amount=7500");
        k.wait(7).does("tally station=slice amount=5000");
        k.wait_ms(12_345).does("tally station=fill amount=2500");
    }
    k.all(&[
        "tally station=slice amount=22500",
        "tally station=fill amount=45000",
    ]);
    let jars = build("canner", "l1", &[("pear-quarts", 7)]);
    k.wait(1).does(&jars);
    k.all(&["heat-load load=l1", "rolling-boil load=l1"]);
    let told = told(&k);
    all_adds_up(&told);
    for station in ["slice", "fill"] {
        assert_eq!(
            k.waits(station, "pear-quarts"),
            0,
            "the day ends empty there"
        );
        let waits = sojourns(&k.records, station);
        assert!(waits > 0);
        let station = &told.stations[&crate::kitchen::id(station)];
        let product = crate::kitchen::id("pear-quarts");
        assert!(station.depth_left_out.is_empty());
        assert_eq!(area(&station.depth[&product], told.to), waits);
        assert_eq!(station.waited[&product], waits);
    }
}

/// Amount times wait of everything that was taken at a station.
fn sojourns(records: &[Record], place: &str) -> i64 {
    let mut sum = 0;
    for record in records {
        if let Event::Tallied { station, parts, .. } = &record.event
            && station.as_str() == place
        {
            let layers = parts.iter().flat_map(|part| &part.layers);
            let wait = |layer: &Layer| layer.amount.0 * record.at.ms_since(layer.since);
            sum += layers.map(wait).sum::<i64>();
        }
    }
    sum
}

fn area(points: &[(Timestamp, Amount)], to: Timestamp) -> i64 {
    let ends = points.iter().skip(1).map(|point| point.0).chain([to]);
    let stretch =
        |(point, end): (&(Timestamp, Amount), Timestamp)| point.1.0 * end.ms_since(point.0);
    points.iter().zip(ends).map(stretch).sum()
}

#[test]
fn a_clock_that_was_set_back_spoils_no_sum() {
    let mut k = Kitchen::open();
    k.does("open-box lot=plums-a product=plum-mash");
    k.wait(30).does("claim helper=wren station=wash");
    k.wait(-20).does("tally station=wash");
    k.wait(40).does("close-day");
    let told = told(&k);
    all_adds_up(&told);
    assert_eq!(told.open_ms, 50 * MINUTE_MS);
}

#[test]
fn a_busy_day_is_told_with_short_series_that_keep_their_extremes() {
    let mut k = Kitchen::open();
    let mut highest = 0;
    for round in 0..300 {
        k.wait_ms(1000);
        let amount = if round == 150 { 9000 } else { 100 };
        k.does(&format!(
            "open-box lot=plums-a product=plum-mash amount={amount}"
        ));
        highest = highest.max(k.waits("wash", "plum-mash"));
        k.wait_ms(1000)
            .does(&format!("tally station=wash amount={amount}"));
    }
    let told = told(&k);
    all_adds_up(&told);
    let wash = &told.stations[&crate::kitchen::id("wash")];
    let points = &wash.depth[&crate::kitchen::id("plum-mash")];
    assert!(points.len() <= 400, "{}", points.len());
    assert_eq!(
        points.len() + wash.depth_left_out[&crate::kitchen::id("plum-mash")],
        600
    );
    assert_eq!(points.iter().map(|point| point.1.0).max(), Some(highest));
    assert_eq!(wash.deepest.as_ref().unwrap().amount.0, highest);
}

#[test]
fn the_table_has_one_figure_a_row_that_agrees_with_the_json() {
    let k = worked_day();
    let (told, json) = (told(&k), told_json(&k));
    let text = csv(&told);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(
        reader.headers().unwrap(),
        vec!["kind", "id", "name", "figure", "value", "unit"]
    );
    let rows: Vec<Vec<String>> = reader
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect();
    let value = |kind: &str, id: &str, figure: &str| {
        let found = rows
            .iter()
            .find(|r| (r[0].as_str(), r[1].as_str(), r[3].as_str()) == (kind, id, figure));
        found.map(|row| row[4].clone())
    };
    let busy = json["stations"]["slice"]["busy_ms"].to_string();
    assert_eq!(value("station", "slice", "busy"), Some(busy));
    let made = json["made"]["pear-quarts"]["made"].to_string();
    assert_eq!(value("product", "pear-quarts", "made"), Some(made));
    assert_eq!(value("load", "l2", "boils lost"), Some("1".to_owned()));
    let keys = rows.iter().map(|row| (&row[0], &row[1], &row[2], &row[3]));
    let distinct: std::collections::BTreeSet<_> = keys.collect();
    assert_eq!(distinct.len(), rows.len(), "no figure stands there twice");
}

#[test]
fn no_cell_of_the_table_begins_a_formula() {
    let mut k = Kitchen::open();
    let name = "=HYPERLINK(\"http://example.org\",\"a, b\")";
    k.does_json(json!({"order": "add-helper", "helper": "x", "plan": {"name": name, "age": 20}}));
    let order = json!({"order": "raise-chore", "chore": "c", "text": "@sum"});
    k.refuses_role(Role::Watcher, Code::WatchOnly, order.clone());
    k.does_json(order);
    let text = csv(&told(&k));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut names = 0;
    for row in reader.records() {
        let row = row.unwrap();
        assert!(!row[2].starts_with(['=', '+', '-', '@']), "{row:?}");
        names += usize::from(row[2] == *format!("'{name}"));
    }
    assert!(names > 0);
}

//! What the screens are told of jars: process, marks, holds, seals. Moments only, never a clock.

use crate::kitchen::{Kitchen, build, seals};
use putby::day::time::{HOUR_MS, MINUTE_MS};
use serde_json::{Value, json};

/// USDA Complete Guide, 0 to 1,000 ft: pears hot pack in quarts 25 minutes, half an inch; standard
/// tomato sauce in pints 35 minutes, a quarter inch, with acid. Hot packs go into water of 180
/// degrees Fahrenheit, raw packs of 140; an inch over the lids, two above 30 minutes.
#[test]
fn a_product_shows_its_minutes_headspace_acid_and_water() {
    let view = Kitchen::open().view();
    let process = |product: &str| view["products"][product]["process"].clone();
    let pears = process("pear-quarts");
    let tested = &pears["tested"];
    assert_eq!(
        (&tested["minutes"], &tested["headspace_64ths"]),
        (&json!(25), &json!(32))
    );
    assert!(
        tested.get("acid").is_none() && tested.get("psi").is_none(),
        "{pears}"
    );
    assert_eq!(
        (&pears["water_f"], &pears["water_over_lids_in"]),
        (&json!(180), &json!(1))
    );
    let sauce = process("sauce");
    assert_eq!(
        (
            &sauce["tested"]["minutes"],
            &sauce["tested"]["headspace_64ths"]
        ),
        (&json!(35), &json!(16))
    );
    let acid = sauce["tested"]["acid"].as_str().unwrap();
    assert!(acid.contains("1 tbsp bottled lemon juice"), "{acid}");
    assert_eq!(sauce["water_over_lids_in"], 2);
    assert_eq!(process("peach-pints")["water_f"], 140);
    assert_eq!(process("butter")["tested"]["sterilise_jars"], true);
    assert_eq!(process("plum-tubs"), Value::Null, "what is frozen has none");
}

/// USDA Complete Guide, green beans, dial gauge, 0 to 2,000 ft: 11 pounds, pints 20 minutes. A
/// pressure canner holds two or three inches of water in all; its jars are never covered.
#[test]
fn a_pressure_process_shows_its_pressure_and_no_water_over_the_lids() {
    let view = Kitchen::open().view();
    let beans = view["products"]["beans"]["process"].clone();
    assert_eq!(
        (&beans["tested"]["minutes"], &beans["tested"]["psi"]),
        (&json!(20), &json!(11))
    );
    assert!(beans.get("water_over_lids_in").is_none(), "{beans}");
}

#[test]
fn a_process_is_shown_as_soon_as_the_altitude_is_set() {
    let mut day = Kitchen::with(|plan| plan["altitude_ft"] = json!(null));
    let process = |day: &Kitchen| day.view()["products"]["pear-quarts"]["process"].clone();
    assert_eq!(process(&day), Value::Null);
    day.does("change-day altitude_ft=3500");
    assert_eq!(process(&day)["tested"]["minutes"], 35);
}

#[test]
fn unconfirmed_jars_are_shown_until_they_are_confirmed() {
    let mut day = Kitchen::open();
    let shown =
        |day: &Kitchen, product: &str| day.view()["products"][product]["unconfirmed"].clone();
    assert_eq!(shown(&day, "sauce"), Value::Null);
    day.fill("tomatoes-a", "sauce", 2, 2500)
        .fill("apples-a", "butter", 3, 1000)
        .fill_pear_quarts(1);
    assert_eq!(shown(&day, "sauce"), json!({"acid": 2000}));
    assert_eq!(shown(&day, "butter"), json!({"sterile": 3000}));
    assert_eq!(shown(&day, "pear-quarts"), Value::Null);
    day.wait_ms(1).does("confirm-jars product=sauce acid=true");
    assert_eq!(shown(&day, "sauce"), Value::Null);
    day.wait(1).fill("tomatoes-a", "sauce", 1, 2500);
    assert_eq!(shown(&day, "sauce"), json!({"acid": 1000}));
}

#[test]
fn unconfirmed_jars_are_shown_as_the_canner_sees_them_in_the_very_moment() {
    let mut day = Kitchen::open();
    day.fill("tomatoes-a", "sauce", 2, 2500)
        .does("confirm-jars product=sauce acid=true");
    let order = crate::kitchen::order_of(&build("canner", "l1", &[("sauce", 2)]));
    let shown = day.view()["products"]["sauce"].get("unconfirmed").is_some();
    let refused = day.gives(putby::day::Role::Lead, order).is_err();
    assert_eq!(shown, refused);
}

/// Two hours at room temperature: University of Nebraska-Lincoln Extension. The earlier marks are
/// common practice, no source.
#[test]
fn what_stands_shows_its_marks_by_the_oldest() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=10000",
        "tally station=slice product=pear-quarts amount=5000",
    ]);
    let cut = day.now.0;
    day.wait(3).all(&[
        "tally station=slice product=pear-quarts amount=5000",
        "tally station=fill product=pear-quarts amount=2500",
    ]);
    let filled = day.now.0;
    day.wait(3)
        .does("tally station=fill product=pear-quarts amount=2500");
    let stands = |day: &Kitchen, station: &str, product: &str| {
        day.view()["stations"][station]["waiting"][product]["stands"].clone()
    };
    let marks = |why: &str, since: i64, minutes: [i64; 3]| {
        let [warn, urge, limit] = minutes.map(|minutes| since + minutes * MINUTE_MS);
        json!({"why": why, "warn_at": warn, "urge_at": urge, "limit_at": limit})
    };
    assert_eq!(
        stands(&day, "canner", "pear-quarts"),
        marks("filled-jars", filled, [10, 20, 120])
    );
    assert_eq!(
        stands(&day, "fill", "pear-quarts"),
        marks("cut-fruit", cut + 3 * MINUTE_MS, [60, 90, 120])
    );
    for order in crate::refusals::filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    day.wait(60).does("pot-done station=cook pot=big");
    assert_eq!(
        stands(&day, "bag", "plum-tubs"),
        marks("cooked-pulp", day.now.0, [60, 90, 120])
    );
    assert_eq!(stands(&day, "freezer", "plum-tubs"), Value::Null);
}

#[test]
fn whole_fruit_and_jars_on_the_rack_have_no_marks() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 2)
        .does("open-box lot=pears-a product=pear-quarts amount=5000");
    let view = day.view();
    for station in ["slice", "rack"] {
        let waiting = &view["stations"][station]["waiting"]["pear-quarts"];
        assert!(waiting.get("amount").is_some() && waiting.get("stands").is_none());
    }
}

/// Need 23: what cools is told with its hours, and nothing is forgotten on the rack.
#[test]
fn need_23_a_lifted_load_shows_from_when_and_until_when_its_seals_are_checked() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7);
    let shown = |day: &Kitchen| day.view()["loads"]["l1"].clone();
    assert!(shown(&day).get("seals_from").is_none());
    assert_eq!(shown(&day)["unchecked"], json!({}));
    day.wait(25).does("heat-off load=l1");
    assert_eq!(shown(&day)["heat_off_at"], day.now.0);
    assert_eq!(shown(&day)["rest_until"], day.now.0 + 5 * MINUTE_MS);
    day.wait(5)
        .does("lift-load load=l1 broken=[{\"product\":\"pear-quarts\",\"jars\":1}]");
    let load = shown(&day);
    assert_eq!(
        (&load["seals_from"], &load["seals_by"]),
        (
            &json!(day.now.0 + 12 * HOUR_MS),
            &json!(day.now.0 + 24 * HOUR_MS)
        )
    );
    assert_eq!(load["unchecked"], json!({"pear-quarts": {"pears-a": 6000}}));
    assert_eq!(day.view()["products"]["pear-quarts"]["cooling"], 6000);
    day.does("close-day");
    day.wait(12 * 60)
        .does(&seals("l1", "pear-quarts", &[("sealed", 4)]));
    let load = shown(&day);
    assert_eq!(load["unchecked"], json!({"pear-quarts": {"pears-a": 2000}}));
    assert_eq!(load["checked"][0]["sealed"], 4);
    assert_eq!(load["checked"][0]["at"], day.now.0);
    day.does(&seals("l1", "pear-quarts", &[("frozen", 2)]));
    assert_eq!(shown(&day)["unchecked"], json!({}));
}

/// NCHFP, Headspace to Allow (So Easy to Preserve): liquid packs 1/2 and 1 inch in wide-mouth pints
/// and quarts, 3/4 and 1 1/2 inches in narrow ones; dry packs 1/2 inch. In 64ths of an inch.
#[test]
fn a_frozen_product_shows_the_published_room_for_the_ice() {
    let day = Kitchen::open();
    let products = &day.view()["products"];
    let freezing = &products["plum-tubs"]["freezing"];
    assert_eq!(
        freezing["liquid"],
        serde_json::json!({"wide": {"pint": 32, "quart": 64}, "narrow": {"pint": 48, "quart": 96}})
    );
    assert_eq!(freezing["dry"], 32);
    assert!(!freezing["source"].as_str().unwrap().is_empty());
    assert!(products["pear-quarts"].get("freezing").is_none());
}

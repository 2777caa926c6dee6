//! Acid and sterilised jars: confirmed for the jars that wait, and asked again for later ones.

use crate::kitchen::{Kitchen, build, order_of};
use putby::day::{Code, Refusal, Role};
use serde_json::{Value, json};

const CONFIRM: &str = "confirm-jars product=sauce acid=true";

fn sauce(jars: i64) -> Kitchen {
    let mut day = Kitchen::open();
    day.fill("tomatoes-a", "sauce", jars, 2500).wait_ms(1);
    day
}

fn load(jars: i64) -> String {
    build("canner", "l1", &[("sauce", jars)])
}

#[track_caller]
fn take(day: &mut Kitchen, refusal: Refusal) {
    let offer = refusal.offer.expect("an offer");
    day.does_json(serde_json::to_value(offer).unwrap());
}

/// USDA Complete Guide, Guide 3: a pint of tomatoes gets one tablespoon of bottled lemon juice or
/// a quarter teaspoon of citric acid.
#[test]
fn acid_nobody_confirmed_is_refused_with_its_dose_and_an_offer_that_works() {
    let mut day = sauce(3);
    let refusal = day.refuses(Code::AcidUnconfirmed, &load(3));
    for dose in ["1 tbsp bottled lemon juice", "1/4 tsp citric acid"] {
        assert!(refusal.instead.contains(dose), "{refusal:?}");
    }
    take(&mut day, refusal);
    day.does(&load(3));
}

/// The offer names no hands, and only the lead's own device may leave them out.
#[test]
fn a_helpers_device_gets_no_offer_that_would_be_refused() {
    let mut day = sauce(2);
    let order = order_of(&load(2));
    let refusal = day.refuses_role(Role::Helper, Code::AcidUnconfirmed, order);
    assert_eq!(refusal.offer, None);
    assert!(refusal.instead.contains("confirm"), "{refusal:?}");
}

#[test]
fn jars_filled_after_the_confirmation_ask_again() {
    let mut day = sauce(2);
    day.does(CONFIRM);
    day.wait(1).fill("tomatoes-a", "sauce", 1, 2500);
    day.refuses(Code::AcidUnconfirmed, &load(3));
    day.does(&load(2));
    day.refuses(
        Code::AcidUnconfirmed,
        "change-load load=l1 jars=[{\"product\":\"sauce\",\"jars\":3}]",
    );
    day.wait_ms(1).does(CONFIRM);
    day.does("change-load load=l1 jars=[{\"product\":\"sauce\",\"jars\":3}]");
}

#[test]
fn jars_filled_in_the_very_moment_after_the_confirmation_ask_again() {
    let mut day = sauce(2);
    day.does(CONFIRM);
    day.fill("tomatoes-a", "sauce", 1, 2500);
    day.refuses(Code::AcidUnconfirmed, &load(3));
}

#[test]
fn jars_counted_in_after_the_confirmation_ask_again() {
    let mut day = sauce(2);
    day.does(CONFIRM);
    day.wait(5)
        .does("recount station=canner product=sauce lot=tomatoes-a amount=3000");
    day.refuses(Code::AcidUnconfirmed, &load(3));
    day.does(CONFIRM);
    day.does(&load(3));
}

#[test]
fn jars_of_another_product_that_join_after_the_confirmation_ask_again() {
    let mut day = Kitchen::with(|plan| {
        let mut crushed = plan["products"]["sauce"].clone();
        crushed["name"] = json!("crushed tomatoes");
        crushed["ends_in"]["food"] = json!("crushed tomatoes");
        plan["products"]["crushed"] = crushed;
    });
    day.fill("tomatoes-a", "crushed", 1, 2500).wait(1);
    day.fill("tomatoes-a", "sauce", 2, 2500);
    day.wait(1).does(CONFIRM);
    day.wait(1).does(
        "divert station=canner product=crushed amount=1000 \
         to={\"as\":\"route\",\"product\":\"sauce\",\"station\":\"canner\"}",
    );
    day.refuses(Code::AcidUnconfirmed, &load(3));
}

#[test]
fn jars_sent_back_and_filled_again_ask_again() {
    let mut day = sauce(2);
    day.does(CONFIRM);
    day.wait(1)
        .does("send-back station=canner product=sauce amount=1000 to=fill reason=Rim");
    day.wait(1)
        .does("tally station=fill product=sauce amount=2500");
    day.refuses(Code::AcidUnconfirmed, &load(2));
    day.wait_ms(1).does(CONFIRM);
    day.does(&load(2));
}

#[test]
fn a_load_taken_apart_keeps_what_was_confirmed_and_a_short_one_does_not() {
    let mut day = sauce(2);
    day.all(&[CONFIRM, &load(2), "cancel-load load=l1"]);
    let again = load(2).replace("l1", "l2");
    day.all(&[&again, "heat-load load=l2"]);
    day.wait(5).all(&[
        "heat-off load=l2 end_early=true",
        "lift-load load=l2 fate=reprocess",
    ]);
    let third = load(2).replace("l1", "l3");
    day.refuses(Code::AcidUnconfirmed, &third);
    day.wait_ms(1).all(&[CONFIRM, &third]);
}

/// USDA Complete Guide, Guide 2, apple butter, 0 to 1,000 ft: half-pints and pints 5 minutes,
/// quarts 10; 1,001 to 6,000 ft: pints 10. Jars are sterilised for less than 10 minutes.
#[test]
fn jars_are_to_be_sterilised_below_ten_minutes_and_not_at_ten() {
    let butter = |jar: &str, altitude: i32| {
        let mut day = Kitchen::with(|plan| {
            plan["products"]["butter"]["ends_in"]["jar"] = json!(jar);
            plan["altitude_ft"] = json!(altitude);
            let canner = &mut plan["stations"]["canner"]["nature"]["canners"]["a"];
            canner["holds"]["half-pint"] = json!(12);
        });
        day.fill("apples-a", "butter", 2, 1000).wait_ms(1);
        day
    };
    let order = build("canner", "l1", &[("butter", 2)]);
    for (jar, altitude) in [("half-pint", 0), ("pint", 0), ("pint", 1000)] {
        let mut day = butter(jar, altitude);
        let refusal = day.refuses(Code::JarsUnsterile, &order);
        take(&mut day, refusal);
        day.does(&order);
        assert_eq!(minutes(&day), 5, "{jar} at {altitude}");
    }
    for (jar, altitude) in [("quart", 1000), ("pint", 1001)] {
        let mut day = butter(jar, altitude);
        day.does(&order);
        assert_eq!(minutes(&day), 10, "{jar} at {altitude}");
    }
}

fn minutes(day: &Kitchen) -> Value {
    day.view()["loads"]["l1"]["process"]["tested"]["minutes"].clone()
}

/// Jam in half-pints, 5 minutes up to 1,000 ft (NCHFP jam table).
fn jam() -> Kitchen {
    let mut day = Kitchen::with(|plan| {
        let mut jam = plan["products"]["sauce"].clone();
        jam["name"] = json!("plum jam");
        jam["produce"] = json!("plums");
        jam["ends_in"]["food"] = json!("jam");
        jam["ends_in"]["jar"] = json!("half-pint");
        plan["products"]["jam"] = jam;
        let canner = &mut plan["stations"]["canner"]["nature"]["canners"]["a"];
        canner["holds"]["half-pint"] = json!(12);
    });
    day.fill("plums-a", "jam", 2, 2500).wait_ms(1);
    day
}

#[test]
fn acid_and_sterilised_jars_are_confirmed_each_for_itself() {
    let order = build("canner", "l1", &[("jam", 2)]);
    let mut day = jam();
    day.does("confirm-jars product=jam sterile=true");
    let refusal = day.refuses(Code::AcidUnconfirmed, &order);
    assert!(refusal.instead.contains("recipe"), "{refusal:?}");
    take(&mut day, refusal);
    day.does(&order);
    let mut day = jam();
    let refusal = day.refuses(Code::AcidUnconfirmed, &order);
    take(&mut day, refusal);
    let refusal = day.refuses(Code::JarsUnsterile, &order);
    take(&mut day, refusal);
    day.does(&order);
}

#[test]
fn sterilised_jars_filled_later_ask_again() {
    let mut day = Kitchen::open();
    day.fill("apples-a", "butter", 1, 1000)
        .wait(1)
        .does("confirm-jars product=butter sterile=true");
    day.wait(1).fill("apples-a", "butter", 1, 1000);
    let order = build("canner", "l1", &[("butter", 2)]);
    day.refuses(Code::JarsUnsterile, &order);
    day.wait_ms(1)
        .does("confirm-jars product=butter sterile=true");
    day.does(&order);
}

#[test]
fn only_jars_that_wait_are_confirmed_and_by_somebody_who_may() {
    let mut day = Kitchen::open();
    day.refuses(Code::NotEnough, CONFIRM);
    day.refuses(
        Code::WrongStation,
        "confirm-jars product=plum-tubs acid=true",
    );
    let mut day = sauce(1);
    day.refuses(Code::BadValue, "confirm-jars product=sauce");
    day.refuses_role(Role::Helper, Code::NotSeated, order_of(CONFIRM));
    day.refuses_role(Role::Watcher, Code::WatchOnly, order_of(CONFIRM));
    day.refuses(Code::AgeRule, &format!("{CONFIRM} helper=bo"));
    day.refuses(Code::AcidUnconfirmed, &load(1));
    day.helper_does(&format!("{CONFIRM} helper=osk"));
    day.does(&load(1));
}

#[test]
fn acid_is_asked_for_in_the_pressure_canner_too() {
    let mut day = Kitchen::with(|plan| {
        plan["products"]["sauce"]["route"][2]["station"] = json!("press");
    });
    day.fill("tomatoes-a", "sauce", 2, 2500).wait(1);
    let order = build("press", "l1", &[("sauce", 2)]);
    let refusal = day.refuses(Code::AcidUnconfirmed, &order);
    take(&mut day, refusal);
    day.does(&order);
}

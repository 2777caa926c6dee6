//! What has no tested process is refused when the day is set up, with something to do instead.

use crate::kitchen::{Kitchen, order_of};
use putby::day::{Code, Refusal, Role};
use serde_json::{Value, json};

/// The order to add a product like the pear quarts, made of something else.
fn made_of(produce: &str, food: &str, jar: &str) -> Value {
    let mut plan = crate::test_plan::plan()["products"]["pear-quarts"].clone();
    plan["name"] = json!(format!("jars of {food}"));
    plan["produce"] = json!(produce);
    plan["ends_in"] = json!({"as": "canned", "food": food, "pack": "hot", "jar": jar});
    json!({"order": "add-product", "product": "new", "plan": plan})
}

#[track_caller]
fn refused(produce: &str, food: &str, jar: &str, says: &[&str]) -> Refusal {
    let order = made_of(produce, food, jar);
    let refusal = Kitchen::open().refuses_role(Role::Lead, Code::NoTestedProcess, order);
    for word in says {
        assert!(refusal.instead.contains(word), "{word:?}: {refusal:?}");
    }
    assert!(refusal.instead.contains("extension service"), "{refusal:?}");
    assert!(refusal.detail.contains(food), "{refusal:?}");
    refusal
}

#[test]
fn a_tested_product_is_added() {
    for (produce, food, jar) in [
        ("pears", "pears", "quart"),
        ("plums", "fruit puree", "quart"),
        ("tomatoes", "tomato sauce", "pint"),
    ] {
        Kitchen::open().does_json(made_of(produce, food, jar));
    }
}

#[test]
fn pumpkin_butter_is_to_be_frozen() {
    let refusal = refused("pumpkin", "pumpkin butter", "pint", &["Freeze"]);
    assert!(refusal.detail.contains("low-acid"), "{refusal:?}");
}

#[test]
fn a_half_gallon_of_tomato_sauce_is_to_go_into_smaller_jars() {
    let smaller = ["pint", "quart", "never use a larger"];
    refused("tomatoes", "tomato sauce", "half-gallon", &smaller);
}

#[test]
fn dairy_is_to_be_frozen() {
    for food in ["dairy", "milk", "cream", "cheese"] {
        refused("milk", food, "pint", &["Freeze dairy"]);
    }
}

#[test]
fn a_home_made_mix_is_to_follow_a_tested_recipe_or_be_frozen() {
    for food in ["home-made mix", "own recipe", "soup mix"] {
        refused("mixed", food, "pint", &["tested recipe", "freeze"]);
    }
}

#[test]
fn a_tested_process_is_only_for_its_own_produce() {
    refused("plums", "pears", "quart", &["It is for pears", "Freeze"]);
    let instead = ["apples", "plums", "Freeze"];
    let refusal = refused("pumpkin", "fruit puree", "quart", &instead);
    assert!(refusal.detail.contains("not for pumpkin"), "{refusal:?}");
    refused("tomatoes", "fruit puree", "quart", &instead);
}

#[test]
fn other_produce_does_not_come_in_as_what_the_jars_may_also_hold() {
    let mut order = made_of("plums", "fruit puree", "quart");
    order["plan"]["also_of"] = json!(["pears"]);
    Kitchen::open().does_json(order.clone());
    order["plan"]["also_of"] = json!(["pears", "pumpkin"]);
    let refusal = Kitchen::open().refuses_role(Role::Lead, Code::NoTestedProcess, order);
    assert!(refusal.detail.contains("pumpkin"), "{refusal:?}");
}

#[test]
fn fruit_of_another_kind_is_not_opened_diverted_or_counted_into_tested_jars() {
    let mut day = Kitchen::open();
    let refusal = day.refuses(
        Code::NoWay,
        "open-box lot=plums-a product=pear-quarts amount=5000",
    );
    assert!(refusal.detail.contains("plums"), "{refusal:?}");
    day.fill("apples-a", "butter", 2, 1000);
    day.refuses(
        Code::NoWay,
        "divert station=canner product=butter amount=1000 \
         to={\"as\":\"route\",\"product\":\"pear-quarts\",\"station\":\"canner\"}",
    );
    day.refuses(
        Code::NoWay,
        "recount station=canner product=pear-quarts lot=plums-a amount=2000",
    );
}

#[test]
fn an_unknown_food_is_refused_and_a_slip_of_the_pen_is_told_what_is_near() {
    refused(
        "quinces",
        "quince paste",
        "pint",
        &["list of tested products", "freeze"],
    );
    refused("pears", "pear halvs", "quart", &["use its name", "pears"]);
}

#[test]
fn low_acid_food_is_not_for_boiling_water() {
    let refusal = refused("green beans", "green beans", "pint", &["pressure-dial"]);
    assert!(refusal.detail.contains("pressure canner"), "{refusal:?}");
}

/// Pears are tabled hot-packed only (USDA Complete Guide, Guide 2, Pears).
#[test]
fn a_pack_that_is_not_tabled_is_refused_with_the_one_that_is() {
    let mut order = made_of("pears", "pears", "quart");
    order["plan"]["ends_in"]["pack"] = json!("raw");
    let refusal = Kitchen::open().refuses_role(Role::Lead, Code::NoTestedProcess, order);
    assert!(refusal.instead.contains("hot"), "{refusal:?}");
}

/// The steam table for tomato sauce ends at 6,000 ft, where its 45 minutes are the longest that
/// an atmospheric steam canner is tested for.
#[test]
fn an_altitude_outside_the_table_is_refused_whatever_is_set_up_first() {
    let steam = |plan: &mut Value| {
        plan["stations"]["canner"]["nature"]["method"] = json!("steam");
        plan["altitude_ft"] = json!(6000);
    };
    let mut day = Kitchen::with(steam);
    let refusal = day.refuses(Code::NoTestedProcess, "change-day altitude_ft=6001");
    assert!(refusal.instead.contains("boiling-water"), "{refusal:?}");
    let order = order_of("change-day altitude_ft=5999");
    assert!(day.gives(Role::Lead, order).is_ok());
}

//! The lead settles numbers; the rest is worked out around them, and what is short is said.

use crate::support::{family, line, plenty, pounds, proposed, weekly};
use putby::day::amount::Amount;
use serde_json::json;

#[test]
fn a_settled_line_stays_and_the_others_give_way() {
    let mut value = family();
    value["uses"]["plum-pie"]["pinned"] = json!({"six-cup-bags": 8000});
    let told = proposed(&value);
    let pie = line(&told, "plum-pie", "six-cup-bags");
    assert_eq!((pie.packages, pie.pinned, pie.surplus), (8, true, 3));
    // 8 bags take 27 of the 30 lb; the purée gets what is left: one quart of 1.9 lb.
    assert_eq!(told.uses["plum-cake"].serves, 1);
    let free = proposed(&family());
    assert!(free.uses["plum-cake"].serves > 1);
}

#[test]
fn more_than_there_is_is_said_and_not_refused() {
    let mut value = family();
    value["uses"]["pears-sunday"]["pinned"] = json!({"quarts": 40000});
    let told = proposed(&value);
    assert_eq!(line(&told, "pears-sunday", "quarts").surplus, 20);
    // 40 quarts take 100 lb of 62 1/2, and 32 jars are in the house.
    assert_eq!(told.produce["pears"].short, Amount(37_500));
    assert_eq!(told.packages["quarts"].short, 8);
    assert_eq!(line(&told, "plum-cake", "quarts").packages, 0);
}

#[test]
fn nothing_of_a_package_can_be_settled_too() {
    let mut value = family();
    value["uses"]["peaches-oats"]["pinned"] = json!({"pints": 0});
    let told = proposed(&value);
    assert_eq!(line(&told, "peaches-oats", "pints").packages, 0);
    // Two half-pints at a time do as well, as far as there are any.
    assert_eq!(line(&told, "peaches-oats", "half-pints").packages, 12);
}

/// The size follows the recipe: no package of which more would spoil than be eaten.
#[test]
fn no_half_used_jars() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("pears", 100)});
    value["uses"] = json!({"a": weekly("pears", "cup", 20)});
    let told = proposed(&value);
    assert_eq!(line(&told, "a", "half-pints").packages, 20);
    let quarts = &value["packages"]["quarts"].clone();
    value["packages"] = json!({"quarts": quarts});
    let told = proposed(&value);
    assert_eq!(line(&told, "a", "quarts").packages, 0);
    assert!(told.uses["a"].spoils && told.uses["a"].held_by.is_empty());
    // A family that eats the rest within the week opens one quart for two weeks' cups.
    value["uses"]["a"]["opened_days"] = json!(7);
    let told = proposed(&value);
    assert_eq!(line(&told, "a", "quarts").serves_each, 2);
}

/// What thaws is less: five cups for a pie come out of a six-cup bag, not of a five-cup one.
#[test]
fn the_juice_lost_in_thawing_is_counted() {
    let mut value = family();
    value["packages"]["five-cup-bags"] =
        json!({"container": {"is": "bag", "holds": 1250}, "stock": {"have": 20000}});
    let told = proposed(&value);
    let pie = line(&told, "plum-pie", "six-cup-bags");
    assert_eq!((pie.packages, pie.usable), (5, Amount(1350)));
    assert_eq!(line(&told, "plum-pie", "five-cup-bags").opened, 2);
    value["uses"]["plum-pie"]["shrink"] = json!(0);
    let told = proposed(&value);
    assert_eq!(line(&told, "plum-pie", "five-cup-bags").packages, 5);
}

#[test]
fn a_short_day_is_filled_with_what_is_worth_most() {
    let mut value = plenty();
    let start = 1_789_203_600_000_i64;
    value["start_at"] = json!(start);
    // One hour to the first load and 70 minutes: one load of 65, not two.
    value["cut_off_at"] = json!(start + 130 * 60_000);
    value["there_is"] = json!({"a": pounds("pears", 100), "b": pounds("peaches", 100)});
    let mut loved = weekly("peaches", "quart", 20);
    loved["worth"] = json!(3000);
    value["uses"] = json!({"a": weekly("pears", "quart", 20), "b": loved});
    let told = proposed(&value);
    assert_eq!(told.uses["b"].serves, 7);
    assert_eq!(told.uses["a"].serves, 0);
    assert_eq!(
        json!(told.uses["a"].held_by),
        json!([{"is": "canner-time"}])
    );
    assert!(told.canner.needed_min <= told.canner.there_min.unwrap());
}

#[test]
fn the_same_ask_has_the_same_answer() {
    assert_eq!(proposed(&family()), proposed(&family()));
}

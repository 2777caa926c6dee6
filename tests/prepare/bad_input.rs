//! Input that cannot be right: the field is named, and what to do.

use crate::support::{ask, family, fields, plenty, pounds, proposed, weekly};
use putby::day::amount::Amount;
use putby::pace::Learned;
use putby::prepare::forecast::Foretold;
use putby::prepare::{Settings, propose};
use serde_json::json;

#[test]
fn amounts_below_nothing_and_beyond_a_day_name_their_field() {
    let mut value = family();
    value["there_is"]["pears-hill"]["amount"] = json!(-1000);
    value["packages"]["pints"]["stock"]["have"] = json!(-1000);
    value["lids"]["have"] = json!(500);
    value["uses"]["plum-pie"]["times"] = json!(0);
    value["kitchen"]["canners"]["a"]["holds"]["quart"] = json!(0);
    assert_eq!(
        fields(&value),
        [
            "there_is.pears-hill.amount",
            "packages.pints.stock.have",
            "lids.have",
            "uses.plum-pie.times",
            "kitchen.canners.a.holds.quart",
        ]
    );
    let mut value = family();
    value["there_is"]["pears-hill"]["amount"] = json!(1_000_000);
    assert_eq!(fields(&value), ["there_is.pears-hill.amount"]);
    let faults = propose(&ask(&value), &Learned::default(), &Settings::default()).unwrap_err();
    assert!(
        faults[0].detail.contains("50000 lb of pears"),
        "{}",
        faults[0]
    );
}

#[test]
fn what_is_sold_by_no_known_box_is_asked_for_in_pounds() {
    let mut value = family();
    value["there_is"]["pears-hill"]["produce"] = json!("medlars");
    assert_eq!(fields(&value), ["there_is.pears-hill.unit"]);
    // Cherries come in lugs, so a bushel of them has no weight on file.
    value["there_is"]["pears-hill"]["produce"] = json!("cherries");
    assert_eq!(fields(&value), ["there_is.pears-hill.unit"]);
}

#[test]
fn an_empty_ask_says_what_is_missing() {
    assert_eq!(fields(&json!({})), ["there_is", "uses", "packages"]);
}

#[test]
fn packages_nobody_named_and_ends_before_starts_are_told() {
    let mut value = family();
    value["uses"]["plum-pie"]["pinned"] = json!({"barrels": 2000});
    value["cut_off_at"] = json!(0);
    value["freezer"]["free_cubic_ft"] = json!(99000);
    let told = fields(&value);
    assert!(
        told.contains(&"uses.plum-pie.pinned.barrels".to_owned()),
        "{told:?}"
    );
    assert!(told.contains(&"cut_off_at".to_owned()));
    assert!(told.contains(&"freezer.free_cubic_ft".to_owned()));
}

/// No helpers: the proposal stands, the forecast names the field.
#[test]
fn without_helpers_there_is_a_proposal_and_no_forecast() {
    let mut value = family();
    value["helpers"] = json!({});
    let told = propose(
        &ask(&value),
        &Learned::default(),
        &Settings { runs: 20, seed: 1 },
    )
    .unwrap();
    assert!(told.lines.iter().any(|line| line.packages > 0));
    match told.forecast {
        Foretold::Missing { field, instead, .. } => {
            assert_eq!(field, "helpers");
            assert!(!instead.is_empty());
        }
        other => panic!("{other:?}"),
    }
}

/// Zero jars: nothing for the shelf, and the packages are what holds it.
#[test]
fn without_jars_the_jars_are_named() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("pears", 100)});
    value["uses"] = json!({"a": weekly("pears", "quart", 20)});
    value["packages"] = json!({"quarts": {"container": {"is": "jar", "jar": "quart"}}});
    let told = proposed(&value);
    assert_eq!(told.uses["a"].missing, 20);
    let held = json!(told.uses["a"].held_by);
    assert_eq!(held, json!([{"is": "packages", "package": "quarts"}]));
}

/// Of two sizes that ran out, the one that was filled is named, not the one there never was.
#[test]
fn the_jars_that_ran_out_are_those_that_were_filled() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("pears", 100)});
    value["uses"] = json!({"a": weekly("pears", "quart", 20)});
    value["packages"] = json!({
        "pints": {"container": {"is": "jar", "jar": "pint"}},
        "quarts": {"container": {"is": "jar", "jar": "quart"}, "stock": {"have": 12000}}
    });
    let told = proposed(&value);
    assert_eq!((told.uses["a"].serves, told.uses["a"].missing), (12, 8));
    let held = json!(told.uses["a"].held_by);
    assert_eq!(held, json!([{"is": "packages", "package": "quarts"}]));
}

/// No yield is on file for purée: the family's own is asked for, by its field.
#[test]
fn a_missing_yield_is_asked_for() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("plums", 100)});
    let mut one = weekly("plums", "quart", 20);
    one["food"] = json!("fruit puree");
    value["uses"] = json!({"a": one});
    let told = proposed(&value);
    assert!(told.lines.is_empty());
    assert!(
        told.not_offered
            .iter()
            .all(|not| not.field == "uses.a.lb_per_quart")
    );
    value["uses"]["a"]["lb_per_quart"] = json!(1900);
    let told = proposed(&value);
    assert_eq!(told.uses["a"].missing, 0);
    assert_eq!(told.produce["plums"].needed[1], Amount(38_000));
}

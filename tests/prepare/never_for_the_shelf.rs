//! What has no tested process is never proposed for the shelf.

use crate::support::{family, line, plenty, pounds, proposed, weekly};
use putby::prepare::Proposal;
use putby::trade::{self, Method};
use serde_json::{Value, json};

/// One use of a food, with a yield of the family's own, and everything else in plenty.
fn of(produce: &str, food: &str, keep: &str) -> Value {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds(produce, 100)});
    let mut one = weekly(produce, "pint", 10);
    one["food"] = json!(food);
    one["keep"] = json!(keep);
    one["lb_per_quart"] = json!(2500);
    value["uses"] = json!({"it": one});
    value
}

fn jars(told: &Proposal) -> i64 {
    let lines = told.lines.iter().filter(|line| line.process.is_some());
    lines.map(|line| line.packages).sum()
}

fn codes(told: &Proposal) -> Vec<&str> {
    told.not_offered.iter().map(|not| not.code).collect()
}

#[test]
fn what_is_refused_by_name_goes_to_the_freezer_or_nowhere() {
    for food in [
        "pumpkin butter",
        "mashed squash",
        "pesto",
        "my own soup",
        "fig puree",
    ] {
        let told = proposed(&of("pumpkins", food, "either"));
        assert_eq!(jars(&told), 0, "{food}");
        assert!(line(&told, "it", "quart-bags").packages > 0, "{food}");
        assert!(told.not_offered.iter().all(|not| !not.instead.is_empty()));
        let told = proposed(&of("pumpkins", food, "shelf"));
        assert!(told.lines.iter().all(|line| line.packages == 0), "{food}");
        assert_eq!(told.uses["it"].serves, 0);
        assert!(told.plan.is_none(), "{food}");
    }
}

#[test]
fn low_acid_food_waits_for_a_pressure_canner() {
    let mut value = of("green beans", "green beans", "shelf");
    let told = proposed(&value);
    assert_eq!(jars(&told), 0);
    assert!(
        codes(&told).contains(&"method-not-tabled"),
        "{:?}",
        codes(&told)
    );
    value["kitchen"]["canners"]["p"] =
        json!({"name": "P", "method": "pressure-weighted", "holds": {"pint": 9, "quart": 7}});
    let told = proposed(&value);
    assert_eq!(jars(&told), 10);
    let lines = told.lines.iter().filter_map(|line| line.process.as_ref());
    assert!(lines.clone().count() > 0);
    for process in lines {
        assert_eq!(process.method, Method::PressureWeighted);
    }
    assert!(told.loads.iter().all(|load| load.canner == "P"));
}

#[test]
fn a_process_of_one_fruit_is_not_taken_for_another() {
    // The purée table leaves tomatoes and figs out; pears have no raw pack.
    for (produce, food) in [
        ("tomatoes", "fruit puree"),
        ("figs", "fruit puree"),
        ("plums", "pears"),
    ] {
        assert_eq!(
            jars(&proposed(&of(produce, food, "either"))),
            0,
            "{produce} as {food}"
        );
    }
    let mut raw = of("pears", "pears", "shelf");
    raw["uses"]["it"]["pack"] = json!("raw");
    let told = proposed(&raw);
    assert_eq!((jars(&told), codes(&told)[0]), (0, "pack-not-tabled"));
}

#[test]
fn no_larger_jar_than_was_tested() {
    let mut value = of("pears", "pears", "shelf");
    value["packages"] = json!({
        "large": {"container": {"is": "jar", "jar": "half-gallon"}, "stock": {"have": 50000}}
    });
    value["kitchen"]["canners"]["a"]["holds"] = json!({"half-gallon": 4, "quart": 7});
    let told = proposed(&value);
    assert_eq!((jars(&told), codes(&told)), (0, vec!["jar-not-tabled"]));
}

#[test]
fn without_an_altitude_or_a_canner_nothing_goes_to_the_shelf() {
    let mut value = of("pears", "pears", "either");
    value.as_object_mut().unwrap().remove("altitude_ft");
    let told = proposed(&value);
    assert_eq!(jars(&told), 0);
    let not = told
        .not_offered
        .iter()
        .find(|not| not.code == "no-altitude");
    assert_eq!(not.unwrap().field, "altitude_ft");
    let mut value = of("pears", "pears", "shelf");
    value["kitchen"]["canners"] = json!({});
    let told = proposed(&value);
    assert_eq!((jars(&told), codes(&told)[0]), (0, "no-canner"));
}

/// Every jar of every proposal asks the tables again.
#[test]
fn every_jar_has_its_row() {
    for feet in [0, 640, 1001, 3500, 6500] {
        let mut value = family();
        value["altitude_ft"] = json!(feet);
        let told = proposed(&value);
        let mut checked = 0;
        for process in told.lines.iter().filter_map(|line| line.process.as_ref()) {
            let row = trade::tested(
                &process.food,
                process.pack,
                process.jar,
                process.method,
                feet,
            );
            assert_eq!(row.unwrap().minutes, process.minutes);
            checked += 1;
        }
        assert!(checked > 5, "{checked} at {feet} ft");
    }
}

//! What earlier days taught counts in the next proposal; what the family says counts more.

use crate::support::{NO_DAYS, ask, family, line, plenty, pounds, weekly};
use putby::pace::{Correction, Learned, Lesson};
use putby::prepare::forecast::{Ahead, Foretold};
use putby::prepare::{Proposal, Settings, propose};
use serde_json::{Value, json};

fn with(lessons: &[(Value, f64, f64)]) -> Learned {
    let mut learned = Learned::default();
    for (lesson, value, counts) in lessons {
        let lesson: Lesson = serde_json::from_value(lesson.clone()).unwrap();
        learned.correct(&Correction::Set {
            lesson,
            value: *value,
            counts: *counts,
        });
    }
    learned
}

fn proposed(value: &Value, learned: &Learned) -> Proposal {
    propose(&ask(value), learned, &NO_DAYS).unwrap()
}

fn pears() -> Value {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("pears", 100)});
    value["uses"] = json!({"a": weekly("pears", "quart", 20)});
    value
}

/// A yield of four fifths, seen so often that it all but stands alone.
fn poor_pears() -> Learned {
    let at = json!({"of": "yield", "station": "pare", "product": "pears-quart-jar"});
    with(&[(at, 0.8, 200.0)])
}

#[test]
fn fruit_that_gave_less_is_asked_for_in_larger_amounts() {
    let published = proposed(&pears(), &Learned::default());
    let own = proposed(&pears(), &poor_pears());
    let pounds = |told: &Proposal| line(told, "a", "quarts").pounds[1].0 as f64;
    let share = own.uses["a"].own_yield.unwrap().0 as f64 / 1000.0;
    assert!(share > 0.8 && share < 0.9, "{share}");
    let ratio = pounds(&published) / pounds(&own);
    assert!((ratio - share).abs() < 0.001, "{ratio} {share}");
    assert_eq!(published.uses["a"].own_yield, None);
    // The plan promises what is published; what was learned comes on top while the day goes on.
    let yields = |told: &Proposal| {
        let plan = told.plan.as_ref().unwrap();
        let route = plan.products.values().flat_map(|product| &product.route);
        route.map(|step| step.yields).collect::<Vec<_>>()
    };
    assert_eq!(yields(&published), yields(&own));
    assert_eq!(own.own_days.lessons.len(), 1);
}

#[test]
fn the_family_s_own_word_goes_before_what_was_learned() {
    let mut value = pears();
    value["uses"]["a"]["lb_per_quart"] = json!(3000);
    let told = proposed(&value, &poor_pears());
    assert_eq!(line(&told, "a", "quarts").pounds[1].0, 60_000);
    let mut value = pears();
    value["uses"]["a"]["own_yield"] = json!(500);
    let told = proposed(&value, &poor_pears());
    // 2.5 lb a quart are published: 5 where half of it comes.
    assert_eq!(line(&told, "a", "quarts").pounds[1].0, 100_000);
}

/// By hand: two loads count for the published 25 minutes, three for 40; (50 + 120) / 5 = 34.
#[test]
fn a_slow_canner_makes_fewer_loads() {
    let heating = json!({"of": "heating", "station": "canners"});
    let told = proposed(&pears(), &with(&[(heating, 40.0, 3.0)]));
    let before = proposed(&pears(), &Learned::default());
    assert_eq!(told.loads[0].cycle_min, before.loads[0].cycle_min + 9);
    let mut value = pears();
    value["kitchen"]["canners"]["a"]["heating_min"] = json!(60);
    let said = proposed(&value, &Learned::default());
    assert_eq!(said.loads[0].cycle_min, before.loads[0].cycle_min + 35);
}

#[test]
fn the_forecast_knows_who_was_slow() {
    let told = |learned: &Learned| -> (Proposal, Ahead) {
        let told = propose(&ask(&family()), learned, &Settings { runs: 60, seed: 3 }).unwrap();
        match told.forecast.clone() {
            Foretold::Day(ahead) => (told, *ahead),
            other => panic!("{other:?}"),
        }
    };
    let (usual, before) = told(&Learned::default());
    let plan = usual.plan.unwrap();
    let mut slow = Vec::new();
    for helper in plan.helpers.keys() {
        for station in plan.stations.keys() {
            let at = json!({"of": "speed", "helper": helper, "station": station});
            slow.push((at, 0.4, 100.0));
        }
    }
    let (with_slow, after) = told(&with(&slow));
    assert_eq!(with_slow.own_days.helpers, plan.helpers.len());
    assert_eq!(with_slow.own_days.lessons, []);
    assert!(
        after.minutes_p50 > before.minutes_p50 + 30.0,
        "{} {}",
        after.minutes_p50,
        before.minutes_p50
    );
}

#[test]
fn own_figures_out_of_range_are_named() {
    let mut value = pears();
    value["uses"]["a"]["own_yield"] = json!(0);
    value["kitchen"]["canners"]["a"]["heating_min"] = json!(0);
    assert_eq!(
        crate::support::fields(&value),
        ["uses.a.own_yield", "kitchen.canners.a.heating_min"]
    );
}

//! A whole season, three days' packages and four months of taking, into next year's proposal.

use putby::day::amount::Amount;
use putby::prepare::next_year::{Change, NextYear, Season, Told, Why, next_year};
use putby::trade::Jar;
use serde_json::{Value, json};

fn fixture() -> Value {
    serde_json::from_str(include_str!("../../fixtures/prepare/season.json")).unwrap()
}

fn told() -> NextYear {
    let season: Season = serde_json::from_value(fixture()["shelf"].clone()).unwrap();
    next_year(&season).unwrap()
}

fn of<'a>(told: &'a NextYear, id: &str) -> &'a Told {
    &told.products[id]
}

/// The shelf's form agrees with the days and takings it was counted from.
#[test]
fn the_season_adds_up() {
    let fixture = fixture();
    let shelf = &fixture["shelf"]["products"];
    let days = fixture["days"].as_array().unwrap();
    assert_eq!(days.len(), 3);
    for (id, seen) in shelf.as_object().unwrap() {
        let made: i64 = days.iter().filter_map(|day| day["made"][id].as_i64()).sum();
        let takings = fixture["takings"].as_array().unwrap();
        let taken: Vec<&Value> = takings
            .iter()
            .filter(|taking| taking["of"] == **id)
            .collect();
        let count = i64::try_from(taken.len()).unwrap();
        assert_eq!(seen["taken"], count, "{id}");
        assert_eq!(seen["left"], (made - count) * 1000, "{id}");
        for verdict in ["half_left", "not_liked", "just_right", "too_runny"] {
            let judged = taken
                .iter()
                .filter(|taking| taking["judged"] == verdict)
                .count();
            assert_eq!(seen[verdict], judged, "{id} {verdict}");
        }
    }
}

/// Half left over in 5 of 8 quarts of pears: pints, as many as were opened.
#[test]
fn half_left_over_asks_for_a_smaller_jar() {
    let told = told();
    let pears = of(&told, "pears-quart");
    assert!(pears.smaller);
    assert_eq!(pears.package.jar, Some(Jar::Pint));
    // 8 in 16 weeks are 26 in 52; 4 quarts are left, two pints for each.
    assert_eq!((pears.for_season, pears.make), (26, 18));
    assert!(pears.why.contains(&Why::HalfLeft { packages: 5, of: 8 }));
    assert!(pears.why.contains(&Why::Left {
        left: Amount::whole(4)
    }));
}

/// Twelve pints of peaches gone in 12 weeks: 52 for the year.
#[test]
fn what_ran_out_early_becomes_more() {
    let told = told();
    let peaches = of(&told, "peaches-pint");
    assert_eq!((peaches.make, peaches.change), (52, Change::More));
    assert_eq!(peaches.per_week, Amount(1000));
    assert!(peaches.why.contains(&Why::RanOut {
        weeks: Amount::whole(12)
    }));
    assert!(!peaches.smaller);
}

/// Spread that was not liked 4 times of 6, with 10 tubs left: none.
#[test]
fn what_was_not_liked_becomes_fewer() {
    let told = told();
    let spread = of(&told, "plum-spread");
    // 2 liked in 16 weeks are 7 in 52; 10 are left.
    assert_eq!((spread.for_season, spread.make), (7, 0));
    assert_eq!(spread.change, Change::Fewer);
    assert!(spread.why.contains(&Why::NotLiked { packages: 4, of: 6 }));
}

#[test]
fn numbers_that_cannot_be_are_named() {
    let mut value = fixture()["shelf"].clone();
    value["products"]["plum-spread"]["left"] = json!(-1);
    value["products"]["pears-quart"]["last_at"] = json!(0);
    let season: Season = serde_json::from_value(value).unwrap();
    let faults = next_year(&season).unwrap_err();
    let fields: Vec<&str> = faults.iter().map(|fault| fault.field.as_str()).collect();
    assert_eq!(
        fields,
        ["products.pears-quart.last_at", "products.plum-spread.left"]
    );
}

//! Moves that were not wanted stay away until things change.

use crate::house::{House, helper};
use putby::outlook::candidates::{Candidate, candidates};
use putby::outlook::moves::price;
use serde_json::json;

const LEAST: f64 = 5.0;

fn candidate(house: &House, id: &str) -> Candidate {
    let found = candidates(&house.state, house.now);
    found
        .into_iter()
        .find(|candidate| candidate.id() == id)
        .unwrap()
}

fn price_of(house: &House, id: &str) -> f64 {
    price(&house.state, house.now, &candidate(house, id), LEAST)
}

fn set_aside(house: &mut House, id: &str, gain_min: u32) {
    house.orders(&[json!({"order": "set-aside-move", "move": id, "gain_min": gain_min})]);
}

fn seated() -> House {
    let mut house = House::open();
    house.sit("osk", "pare");
    house.sit("maren", "wash");
    house.wait_min(20);
    house
}

#[test]
fn a_move_set_aside_must_gain_half_as_much_again_and_five_minutes_more() {
    let mut house = seated();
    let id = "switch:osk:pare:strain";
    assert_eq!(price_of(&house, id), LEAST);
    set_aside(&mut house, id, 8);
    assert_eq!(price_of(&house, id), 13.0, "five minutes more");
    set_aside(&mut house, id, 30);
    assert_eq!(price_of(&house, id), 45.0, "half as much again");
    assert_eq!(
        price_of(&house, "switch:osk:pare:fill"),
        LEAST,
        "others are not concerned"
    );
    assert_eq!(price_of(&house, "swap:maren:osk"), LEAST);
}

#[test]
fn after_an_hour_it_is_forgotten() {
    let mut house = seated();
    let id = "switch:osk:pare:strain";
    set_aside(&mut house, id, 8);
    house.wait_min(59);
    assert_eq!(price_of(&house, id), 13.0);
    house.wait_min(1);
    assert_eq!(price_of(&house, id), LEAST);
}

#[test]
fn a_change_of_seats_of_its_helpers_ends_it() {
    let mut house = seated();
    let (switch, swap) = ("switch:osk:pare:strain", "swap:maren:osk");
    set_aside(&mut house, switch, 8);
    set_aside(&mut house, swap, 8);
    house.wait_min(1);
    // Another helper's change is none of theirs.
    house.sit("edda", "strain");
    house.orders(&[json!({"order": "leave", "helper": "edda"})]);
    assert_eq!(
        (price_of(&house, switch), price_of(&house, swap)),
        (13.0, 13.0)
    );
    // One of the two of a swap is enough.
    house.orders(&[
        json!({"order": "leave", "helper": "maren"}),
        json!({"order": "claim", "helper": "maren", "station": "wash"}),
    ]);
    house.wait_min(20);
    assert_eq!(
        (price_of(&house, switch), price_of(&house, swap)),
        (13.0, LEAST)
    );
    assert!(candidate(&house, swap).moves(&helper("maren")));
}

#[test]
fn food_that_is_rescued_may_cost_what_another_move_must_gain() {
    let mut house = House::open();
    house.sit("osk", "pare");
    house.orders(&[json!({"order": "tally", "station": "pare", "helper": "osk"})]);
    house.wait_min(91);
    let id = "switch:osk:pare:fill";
    assert_eq!(price_of(&house, id), -LEAST);
    set_aside(&mut house, id, 3);
    assert_eq!(price_of(&house, id), 8.0, "not wanted is not wanted");
}

//! Little's law on every network that is simulated: what is present on the average is the rate
//! times the time spent there (Little 1961).
//!
//! The one side is the integral of the number present, kept up at every event; the other adds up
//! the stays of those who left, from their own time stamps. In a window that begins and ends empty
//! they are the same number. Where work is there at an edge they differ by it, and by nothing on
//! the average once the start is forgotten: within four standard errors over independent runs.

use proptest::prelude::*;
use serde_json::{Value, json};

/// Whether the law holds for the stations and for the whole network of a report.
pub fn law(report: &Value) -> Result<(), String> {
    let is_empty_at_the_end = report["minutes"].is_null() && report["unfinished_runs"] == 0;
    let mut places = vec![&report["system"]];
    places.extend(report["stations"].as_array().unwrap());
    for place in places {
        let name = place["name"].as_str().unwrap_or("all together");
        let gap = &place["littles_gap"];
        let Some(mean) = gap["mean"].as_f64() else {
            // Time in system says nothing where carriers are cut up or go round for ever.
            match place["name"].is_null() {
                true => continue,
                false => return Err(format!("{name}: no gap")),
            }
        };
        let present = place["present"]["mean"].as_f64().unwrap();
        let error = gap["std_error"].as_f64().unwrap_or(0.0);
        let exact = 1e-9 * present.max(1.0);
        let within = match is_empty_at_the_end {
            true => exact,
            false => exact.max(4.0 * error),
        };
        if mean.abs() > within {
            return Err(format!("{name}: {mean} of {present} within {within}"));
        }
    }
    Ok(())
}

/// The check can fail: a gap of a tenth of what is present is found, exact or not.
#[test]
fn a_gap_is_found() {
    for id in ["Q1", "F1b"] {
        let mut report = super::cases::case(id).report();
        assert_eq!(law(&report), Ok(()), "{id}");
        let present = report["stations"][0]["present"]["mean"].as_f64().unwrap();
        report["stations"][0]["littles_gap"]["mean"] = json!(0.1 * present);
        assert!(law(&report).is_err(), "{id}");
    }
}

#[test]
fn it_holds_on_every_example() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/networks");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let answer = putby::cli::simulate::answer(&text, Some(20), None, true);
        let report: Value = serde_json::from_str(&answer.unwrap()).unwrap();
        if report["stations"].is_array() {
            law(&report).unwrap_or_else(|wrong| panic!("{path:?} {wrong}"));
            seen += 1;
        }
    }
    assert!(seen >= 4, "only {seen} examples");
}

/// A law of time with a mean of about one minute.
fn time() -> impl Strategy<Value = Value> {
    let mean = 0.2..2.0f64;
    prop_oneof![
        mean.clone().prop_map(|mean| json!(mean)),
        mean.clone().prop_map(|mean| json!({"exponential": mean})),
        mean.clone()
            .prop_map(|mean| json!({"gamma": {"mean": mean, "shape": 4}})),
        mean.clone()
            .prop_map(|mean| json!({"lognormal": {"mean": mean, "cv": 0.8}})),
        mean.prop_map(|mean| json!({"empirical": [mean, 2.0 * mean, 0.1]})),
    ]
}

/// How a station works.
fn works() -> impl Strategy<Value = Value> {
    prop_oneof![
        (1..4u32).prop_map(|count| json!({"servers": count})),
        Just(json!("unlimited")),
        (1..3u32).prop_map(|count| json!({"hands": count})),
        (1..3u32, 1..5u32).prop_map(|(places, least)| {
            json!({"batches": {"places": places, "least": least, "most": 5}})
        }),
    ]
}

/// One station of the line: how it works, its law, its room, whether it loses, what goes on of a
/// unit, and the chance of going back a station.
type Place = (Value, Value, Option<u32>, bool, f64, bool);

fn place() -> impl Strategy<Value = Place> {
    let room = proptest::option::of(0..4u32);
    let gives = prop_oneof![Just(1.0), Just(0.5), Just(0.8)];
    (works(), time(), room, any::<bool>(), gives, any::<bool>())
}

/// A line of these stations, with a helper for each seat. (One helper at several stations can hold
/// what blocks and be wanted where it would go: such a line comes to a stop for good.)
fn network(places: &[Place], stock: u32, every: &Value) -> Value {
    let name = |at: usize| format!("station {at}");
    let mut stations = Vec::new();
    let mut steps = Vec::new();
    let mut hands = Vec::new();
    for (at, (works, time, room, loses, gives, back)) in places.iter().enumerate() {
        // Cut carriers need room to come together again.
        let is_whole = places.iter().all(|place| place.4 == 1.0);
        let room = room.filter(|_| at > 0 && (is_whole || *loses));
        let when_full = if *loses { "lose" } else { "block" };
        let mut works = works.clone();
        if let (Some(room), Some(batches)) = (room, works.get_mut("batches")) {
            batches["least"] = json!(batches["least"].as_u64().min(Some(u64::from(room) + 1)));
        }
        stations.push(json!({
            "name": name(at), "works": works, "room": room, "when_full": when_full,
        }));
        let on = if at + 1 == places.len() {
            "out".to_owned()
        } else {
            name(at + 1)
        };
        // Rework where nothing can stand in its own way.
        let has_room = places.iter().all(|place| place.2.is_none() || place.3);
        let then = match at > 0 && *back && has_room {
            true => {
                json!({"chances": [{"chance": 0.1, "to": name(at - 1)}, {"chance": 0.9, "to": on}]})
            }
            false => json!(on),
        };
        steps.push(json!({"at": name(at), "time": time, "yield": gives, "then": then}));
        for seat in 0..works["hands"].as_u64().unwrap_or(0) {
            let does = json!([{"step": name(at), "rate": 1.3}]);
            hands.push(json!({"name": format!("helper {at} {seat}"), "does": does}));
        }
    }
    json!({
        "format": "putby-network/1", "stations": stations, "steps": steps, "helpers": hands,
        "arrivals": [{"at": name(0), "every": every, "limit": 30}],
        "start": {"waiting": [{"at": name(0), "amount": stock}]},
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Exactly, station by station, on random lines that run until they are empty.
    #[test]
    fn it_holds_on_random_lines(
        places in proptest::collection::vec(place(), 1..5),
        stock in 1..20u32,
        every in time(),
        seed in any::<u64>(),
    ) {
        let network = network(&places, stock, &every).to_string();
        let answer = putby::cli::simulate::answer(&network, Some(2), Some(seed), true);
        let report: Value = serde_json::from_str(&answer.unwrap()).unwrap();
        prop_assert_eq!(&report["unfinished_runs"], &json!(0), "work was left: {}", network);
        prop_assert_eq!(law(&report), Ok(()), "{}", network);
    }
}

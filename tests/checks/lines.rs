//! What the first run passed when; true rates behind blocking; bottlenecks by both methods.

use putby::sim::bottleneck::arrows;
use serde_json::{Value, json};

use super::cases::{assert_near, case};

/// The minutes at which work left a step, in order.
fn left(report: &Value, step: &str) -> Vec<f64> {
    let services = report["first_run"]["services"].as_array().unwrap();
    let here = services.iter().filter(|service| service["step"] == step);
    let mut left: Vec<f64> = here
        .map(|service| service["left_min"].as_f64().unwrap())
        .collect();
    left.sort_by(f64::total_cmp);
    left
}

fn assert_left(id: &str) {
    let case = case(id);
    let report = case.report();
    for (step, times) in case.more["left"].as_object().unwrap() {
        let times: Vec<f64> = serde_json::from_value(times.clone()).unwrap();
        let found = left(&report, step);
        assert_eq!(found.len(), times.len(), "{id} {step}");
        for (found, time) in found.iter().zip(&times) {
            assert_near(*found, *time, 1e-9, &format!("{id} {step}: {times:?}"));
        }
    }
}

#[test]
fn lines_let_go_at_the_minutes_of_the_recursion() {
    ["D1", "D2", "D3"].into_iter().for_each(assert_left);
}

#[test]
fn the_small_day_fills_and_loads_at_the_known_minutes() {
    for id in ["D8", "D8-short-first"] {
        assert_left(id);
        let report = case(id).report();
        let batches = report["first_run"]["batches"].as_array().unwrap();
        let began: Vec<f64> = batches
            .iter()
            .map(|b| b["began_min"].as_f64().unwrap())
            .collect();
        assert_eq!(began, case(id).numbers("batches_began"), "{id}");
    }
}

/// Throughput by the time of working is the true rate of every station, blocked or not; by all the
/// time it would be a third too low.
#[test]
fn work_by_active_time_is_the_true_rate() {
    let case = case("Q8");
    let report = case.report();
    for (number, rate) in case.numbers("true_rates").into_iter().enumerate() {
        let station = &report["stations"][number];
        let mean = |figure: &str| station[figure]["mean"].as_f64().unwrap();
        let error = |figure: &str| station[figure]["std_error"].as_f64().unwrap() / mean(figure);
        let found = mean("throughput") / mean("working");
        let within = 4.0 * found * error("throughput").hypot(error("working"));
        assert_near(found, rate, within, "Q8");
        assert!(mean("throughput") < 0.8 * rate);
    }
}

/// A round takes the number of pots divided by the rate at which they pass (Little 1961).
#[test]
fn pots_go_round_in_the_known_time() {
    let case = case("Q13");
    let report = case.report();
    let rate = &report["stations"][0]["throughput"];
    let (mean, error) = (
        rate["mean"].as_f64().unwrap(),
        rate["std_error"].as_f64().unwrap(),
    );
    let round = case.number("pots") / mean;
    assert_near(
        round,
        case.number("cycle_min"),
        4.0 * round * error / mean,
        "Q13",
    );
}

#[test]
fn the_momentary_bottleneck_is_the_published_one() {
    for id in ["B1", "B2"] {
        let report = case(id).report();
        let found = report["first_run"]["active"]["momentary"]
            .as_array()
            .unwrap();
        let wanted = case(id).more["momentary"].as_array().unwrap();
        assert_eq!(merged(found), merged(wanted), "{id}");
    }
}

/// Stretches with the same station one after the other are one.
fn merged(stretches: &[Value]) -> Vec<(f64, f64, Value)> {
    let mut all: Vec<(f64, f64, Value)> = Vec::new();
    for stretch in stretches {
        let (from, to) = (stretch[0].as_f64().unwrap(), stretch[1].as_f64().unwrap());
        match all.last_mut() {
            Some(last) if last.2 == stretch[2] && last.1 == from => last.1 = to,
            _ => all.push((from, to, stretch[2].clone())),
        }
    }
    all
}

#[test]
fn arrows_point_to_the_published_bottleneck() {
    for id in ["A1", "A2"] {
        let case = case(id);
        let found = arrows(&case.numbers("blocked"), &case.numbers("starved"));
        let signs: Vec<&str> = (found.downstream.iter())
            .map(|down| if *down { "->" } else { "<-" })
            .collect();
        assert_eq!(json!(signs), case.more["arrows"], "{id}");
        assert_eq!(json!(found.primary), case.more["primary"], "{id}");
        let wanted = case.more["bottlenecks"].as_array().unwrap();
        assert_eq!(found.bottlenecks.len(), wanted.len(), "{id}");
        for ((station, severity), wanted) in found.bottlenecks.iter().zip(wanted) {
            assert_eq!(json!(station), wanted[0], "{id}");
            assert_near(*severity, wanted[1].as_f64().unwrap(), 1e-9, id);
        }
    }
}

/// Through a simulated line with limited room they point to its slowest station; without limits
/// they would all point one way, and none are given.
#[test]
fn arrows_of_a_simulated_line_point_to_its_slowest_station() {
    let report = case("Q8").report();
    let arrows = &report["first_run"]["arrows"];
    assert_eq!(arrows["signs"], json!(["->", "<-"]));
    assert_eq!(arrows["primary"], "second");
    assert_eq!(case("D8").report()["first_run"]["arrows"], Value::Null);
}

/// A helper's rate at a station never worked at is the usual one there times the speed learned.
#[test]
fn a_learned_speed_tells_the_rate_elsewhere() {
    let case = case("E5");
    let report = case.report();
    let speed = report["learned"][0]["mean"].as_f64().unwrap();
    let told = case
        .numbers("base_rates")
        .into_iter()
        .map(|base| base * speed);
    for (told, wanted) in told.zip(case.numbers("predicted_rates")) {
        assert_near(told, wanted, 1e-9 * wanted, "E5");
    }
}

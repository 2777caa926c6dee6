//! The best order of unlike lots: every order is tried.

use serde_json::{Value, json};

use super::cases::{case, finish};

/// The line with the lots in this order.
fn line(times: &[Vec<f64>], order: &[usize]) -> Value {
    let names = ["first", "second", "third"];
    let stations = names.map(|name| json!({"name": name, "works": {"servers": 1}}));
    let ways = ["second", "third", "out"];
    let steps = (0..3).map(|at| {
        let here: Vec<f64> = order.iter().map(|lot| times[*lot][at]).collect();
        json!({"at": names[at], "time": {"sequence": here}, "then": ways[at]})
    });
    json!({
        "format": "putby-network/1", "stations": stations, "steps": steps.collect::<Vec<_>>(),
        "start": {"waiting": [{"at": "first", "amount": times.len()}]},
    })
}

/// Every order of the numbers below `count`.
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for shorter in orders(count - 1) {
        for at in 0..=shorter.len() {
            let mut order = shorter.clone();
            order.insert(at, count - 1);
            all.push(order);
        }
    }
    all
}

#[test]
fn the_best_of_all_orders_is_the_known_one() {
    let case = case("D4");
    let times: Vec<Vec<f64>> = serde_json::from_value(case.more["times"].clone()).unwrap();
    let all = orders(times.len());
    assert_eq!(all.len(), 120);
    let finishes: Vec<f64> = all
        .iter()
        .map(|order| finish(&line(&times, order)))
        .collect();
    let best = finishes.iter().copied().fold(f64::INFINITY, f64::min);
    assert_eq!(best, case.number("best"));
    assert!(
        finishes.iter().any(|finish| *finish > best),
        "every order is the best"
    );
    assert_eq!(
        finish(&line(&times, &[0, 1, 2, 3, 4])),
        case.number("given")
    );
    let order: Vec<usize> = serde_json::from_value(case.more["best_order"].clone()).unwrap();
    assert_eq!(finish(&line(&times, &order)), best);
}

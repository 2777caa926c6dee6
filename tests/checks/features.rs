//! What a file can say, on networks small enough to be worked out by hand.

use serde_json::{Value, json};

use super::cases::{assert_near, finish};

/// A network of these stations and steps, with whatever else it says.
fn network(stations: Value, steps: Value, more: Value) -> Value {
    let mut network = json!({
        "format": "putby-network/1", "stations": stations, "steps": steps, "run": {"runs": 1},
    });
    for (name, value) in more.as_object().unwrap() {
        network[name] = value.clone();
    }
    network
}

fn report(network: &Value) -> Value {
    let answer = putby::cli::simulate::answer(&network.to_string(), None, None, true);
    serde_json::from_str(&answer.unwrap()).unwrap()
}

fn batches(network: &Value) -> Vec<(f64, f64)> {
    let report = report(network);
    let batches = report["first_run"]["batches"].as_array().unwrap();
    let number = |batch: &Value, name: &str| batch[name].as_f64().unwrap();
    let told = batches
        .iter()
        .map(|batch| (number(batch, "began_min"), number(batch, "amount")));
    told.collect()
}

#[test]
fn filling_waits_for_clean_jars() {
    // Ten jars are washed, one a minute; each is filled in half a minute.
    let stations = json!([
        {"name": "wash jars", "works": {"servers": 1}},
        {"name": "fill", "works": {"servers": 1}},
    ]);
    let steps = json!([
        {"at": "wash jars", "of": "jars", "time": 1, "then": {"feeds": "clean jars"}},
        {"at": "fill", "of": "pears", "time": 0.5, "draws": [{"what": "clean jars", "amount": 1}]},
    ]);
    let start =
        json!({"waiting": [{"at": "wash jars", "amount": 10}, {"at": "fill", "amount": 10}]});
    let with = |stock: u32| {
        let supplies = json!([{"name": "clean jars", "stock": stock}]);
        network(
            stations.clone(),
            steps.clone(),
            json!({"start": start, "supplies": supplies}),
        )
    };
    assert_near(finish(&with(0)), 10.5, 1e-9, "no jar is clean yet");
    assert_near(finish(&with(10)), 10.0, 1e-9, "the washing ends last");
}

#[test]
fn shares_are_kept_without_chance() {
    let stations = json!([
        {"name": "part", "works": {"servers": 1}},
        {"name": "can", "works": "unlimited"},
        {"name": "freeze", "works": "unlimited"},
    ]);
    let shares = json!({"shares": [{"weight": 2, "to": "can"}, {"weight": 1, "to": "freeze"}]});
    let steps = json!([
        {"at": "part", "time": 1, "then": shares},
        {"at": "can", "time": 1},
        {"at": "freeze", "time": 1},
    ]);
    let start = json!({"waiting": [{"at": "part", "amount": 9}]});
    let report = report(&network(stations, steps, json!({"start": start})));
    let services = report["first_run"]["services"].as_array().unwrap();
    let count = |step: &str| {
        services
            .iter()
            .filter(|service| service["step"] == step)
            .count()
    };
    assert_eq!((count("part"), count("can"), count("freeze")), (9, 6, 3));
}

#[test]
fn one_burner_is_for_one_at_a_time() {
    let takes = json!([{"what": "burners", "count": 1}]);
    let stations = json!([
        {"name": "left", "works": {"servers": 1}, "takes": takes},
        {"name": "right", "works": {"servers": 1}, "takes": takes},
    ]);
    let steps = json!([{"at": "left", "time": 5}, {"at": "right", "time": 5}]);
    let start = json!({"waiting": [{"at": "left", "amount": 1}, {"at": "right", "amount": 1}]});
    let with = |count: u32| {
        let shared = json!([{"name": "burners", "count": count}]);
        network(
            stations.clone(),
            steps.clone(),
            json!({"start": start, "shared": shared}),
        )
    };
    assert_near(finish(&with(1)), 10.0, 1e-9, "one burner");
    assert_near(finish(&with(2)), 5.0, 1e-9, "two burners");
}

#[test]
fn patience_starts_less_than_the_least() {
    let works = json!({"batches": {"least": 5, "most": 7, "patience_min": 10}});
    let network = network(
        json!([{"name": "canner", "works": works}]),
        json!([{"at": "canner", "time": 5}]),
        json!({
            "start": {"waiting": [{"at": "canner", "amount": 2}]},
            "arrivals": [{"at": "canner", "times": [100]}],
        }),
    );
    // Two wait ten minutes; the last goes at once, since nothing more can come.
    assert_eq!(batches(&network), [(10.0, 2.0), (100.0, 1.0)]);
}

#[test]
fn a_batch_holds_unlike_classes_only_in_one_group() {
    let kitchen = |group: Value| {
        let step = |of: &str| json!({"at": "canner", "of": of, "time": 25, "group": group});
        network(
            json!([{"name": "canner", "works": {"batches": {"least": 7, "most": 7}}}]),
            json!([step("pears"), step("plums")]),
            json!({"start": {"waiting": [
                {"at": "pears at canner", "amount": 3}, {"at": "plums at canner", "amount": 4},
            ]}}),
        )
    };
    assert_eq!(batches(&kitchen(json!("syrup"))), [(0.0, 7.0)]);
    assert_eq!(batches(&kitchen(Value::Null)), [(0.0, 3.0), (25.0, 4.0)]);
}

/// One server with this law and work.
fn desk(time: Value, more: Value) -> Value {
    let stations = json!([{"name": "desk", "works": {"servers": 1}}]);
    network(stations, json!([{"at": "desk", "time": time}]), more)
}

#[test]
fn what_is_under_way_goes_on_from_its_age() {
    let busy = |how: Value| {
        let mut busy = how;
        busy["at"] = json!("desk");
        desk(json!(10), json!({"start": {"busy": [busy]}}))
    };
    assert_near(finish(&busy(json!({"age_min": 3}))), 7.0, 1e-9, "its age");
    assert_near(
        finish(&busy(json!({"left_min": 4}))),
        4.0,
        1e-9,
        "what is left",
    );
}

#[test]
fn the_last_carrier_takes_its_share_of_the_time() {
    let stations = json!([
        {"name": "slice", "works": {"servers": 1}},
        {"name": "fill", "works": {"servers": 1}},
    ]);
    // Five pounds by bowls of two, and half a jar of each pound.
    let steps = json!([
        {"at": "slice", "time": 2, "carrier": 2, "yield": 0.5, "then": "fill"},
        {"at": "fill", "time": 0.25},
    ]);
    let start = json!({"waiting": [{"at": "slice", "amount": 5}]});
    let report = report(&network(stations, steps, json!({"start": start})));
    assert_near(
        report["classes"][0]["made"]["mean"].as_f64().unwrap(),
        2.5,
        1e-9,
        "jars",
    );
    // Slicing ends at 2 + 2 + 1; half a jar then takes half of a quarter minute.
    assert_near(
        report["makespan"]["mean"]["mean"].as_f64().unwrap(),
        5.125,
        1e-9,
        "finish",
    );
}

#[test]
fn a_helper_is_ready_when_the_file_says() {
    let helper = json!({"name": "Osk", "does": [{"step": "desk", "rate": 2}], "ready_min": 3});
    let network = network(
        json!([{"name": "desk", "works": {"hands": 1}}]),
        json!([{"at": "desk", "time": 4}]),
        json!({"helpers": [helper], "start": {"waiting": [{"at": "desk", "amount": 2}]}}),
    );
    assert_near(
        finish(&network),
        3.0 + 2.0 * 4.0 / 2.0,
        1e-9,
        "two services of two minutes",
    );
}

/// Mean and standard deviation of one service of each law, within four standard errors.
#[test]
fn laws_have_their_moments() {
    let cases = [
        (json!({"exponential": 3}), 3.0, 3.0),
        (json!({"gamma": {"mean": 4, "shape": 4}}), 4.0, 2.0),
        (json!({"gamma": {"mean": 4, "shape": 0.64}}), 4.0, 5.0),
        (json!({"gamma": {"mean": 25, "shape": 16}}), 25.0, 6.25),
        (json!({"lognormal": {"mean": 4, "cv": 0.5}}), 4.0, 2.0),
        (json!({"empirical": [1, 2, 6]}), 3.0, (14.0f64 / 3.0).sqrt()),
        (
            json!({"sum": [{"exponential": 3}, {"gamma": {"mean": 8, "shape": 4}}, 5]}),
            16.0,
            5.0,
        ),
        (json!({"deterministic": 7}), 7.0, 0.0),
    ];
    for (time, mean, sd) in cases {
        let start = json!({"waiting": [{"at": "desk", "amount": 1}]});
        let run = json!({"runs": 6000, "seed": 3});
        moments(
            &desk(time.clone(), json!({"start": start, "run": run})),
            mean,
            sd,
            &time,
        );
    }
}

/// A rate, a speed and a slowness that are drawn once a run have their moments too.
#[test]
fn uncertain_numbers_are_drawn_once_a_run() {
    let kitchen = |slowness: Value, speed: Value| {
        network(
            json!([{"name": "desk", "works": {"hands": 1}, "slowness": slowness}]),
            json!([{"at": "desk", "time": 1}]),
            json!({
                "helpers": [{"name": "Osk", "does": [{"step": "desk"}], "speed": speed}],
                "start": {"waiting": [{"at": "desk", "amount": 10}]},
                "run": {"runs": 6000, "seed": 3},
            }),
        )
    };
    // Ten services share the one draw: the deviation is ten times that of the factor.
    let gamma = json!({"gamma": [4, 4]});
    moments(&kitchen(gamma.clone(), json!(1)), 10.0, 5.0, &gamma);
    // The inverse of a lognormal number is one: mean exp(s^2 / 2).
    let lognormal = json!({"lognormal": {"median": 1, "sigma": 0.4}});
    let mean = 10.0 * 0.08f64.exp();
    let sd = mean * (0.16f64.exp() - 1.0).sqrt();
    moments(&kitchen(json!(1), lognormal.clone()), mean, sd, &lognormal);
}

fn moments(network: &Value, mean: f64, sd: f64, what: &Value) {
    let report = report(network);
    for (name, value) in [("mean", mean), ("sd", sd)] {
        let found = &report["makespan"][name];
        let error = found["std_error"].as_f64().unwrap();
        let within = (4.0 * error).max(1e-9);
        assert!(
            error < 0.1 * value.max(1.0),
            "{what} {name}: {error} says too little"
        );
        assert_near(
            found["mean"].as_f64().unwrap(),
            value,
            within,
            &format!("{what} {name}"),
        );
    }
}

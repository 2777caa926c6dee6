//! Every figure of a report that a case names, within its tolerance.
//!
//! A simulated figure must lie within four standard errors of the exact one: its own from
//! independent runs, and the source's where that was simulated as well. The seeds are fixed. So
//! that a blunt check is not taken for a passed one, the error must also be small.

use serde_json::Value;

use super::cases::{Figure, case};

/// The greatest standard error that still says something, as a share of the figure (or absolute,
/// for shares near 0).
const BLUNT: f64 = 0.04;

macro_rules! check {
    ($($name:ident $id:literal,)*) => {
        /// The cases whose figures are checked here.
        pub const LISTED: &[&str] = &[$($id),*];
        $(
            #[test]
            fn $name() {
                figures($id);
            }
        )*
    };
}

check! {
    q1_one_server "Q1",
    q2_three_servers "Q2",
    q3_rework "Q3",
    q4_services_all_alike "Q4",
    q5_bulk_exponential "Q5",
    q6a_full_batches_only "Q6a",
    q6b_any_batch "Q6b",
    q6c_four_at_least "Q6c",
    q7_two_stations_blocking "Q7",
    q8_three_stations_blocking "Q8",
    q9_arrivals_blocking "Q9",
    q10_loss "Q10",
    q11_priority "Q11",
    q12_unlike_helpers "Q12",
    q13_pots_go_round "Q13",
    f1a_finish_of_two_stations "F1a",
    f1b_finish_of_three_stations "F1b",
    f2a_finish_of_two_helpers "F2a",
    f2b_finish_of_three_helpers "F2b",
    f3_finish_with_a_learned_rate "F3",
    r1_left_of_a_young_service "R1",
    r2_left_of_an_old_service "R2",
    r3_exponential_forgets "R3",
    e1_rate_and_unfinished "E1",
    e2_unfinished_alone "E2",
    e3_rate_of_shape_4 "E3",
    e4_forgetting "E4",
    e5_speed_of_a_helper "E5",
    b1_active_periods "B1",
    b2_active_periods "B2",
    d1_any_room "D1",
    d2_no_room "D2",
    d3_one_place "D3",
    d8_small_day "D8",
    d8_short_load_first "D8-short-first",
    d9_brigade "D9",
    day0_no_chance "DAY0",
    day1_the_day "DAY1",
    day3_from_its_middle "DAY3",
}

fn figures(id: &str) {
    let case = case(id);
    let report = case.report();
    assert!(!case.expect.is_empty(), "{id} expects nothing");
    if report["stations"].is_array() {
        super::little::law(&report).unwrap_or_else(|wrong| panic!("{id} {wrong}"));
    }
    for figure in &case.expect {
        met(&report, figure).unwrap_or_else(|wrong| panic!("{id} {wrong}"));
    }
}

/// Whether a report meets a figure.
fn met(report: &Value, figure: &Figure) -> Result<(), String> {
    let what = &figure.figure;
    let found = report.pointer(what).ok_or(format!("has no {what}"))?;
    let mean = found.as_f64().or(found["mean"].as_f64());
    let mean = mean.ok_or(format!("{what} is no number"))?;
    let within = match (figure.abs, figure.rel) {
        (None, None) => simulated(found, mean, figure)?,
        (abs, rel) => abs.unwrap_or(0.0) + rel.unwrap_or(0.0) * figure.value.abs(),
    };
    match (mean - figure.value).abs() <= within {
        true => Ok(()),
        false => Err(format!(
            "{what}: {mean} instead of {}, within {within}",
            figure.value
        )),
    }
}

/// Four standard errors; a figure without any chance in it must be met to a millionth.
fn simulated(found: &Value, mean: f64, figure: &Figure) -> Result<f64, String> {
    let what = &figure.figure;
    let own = found["std_error"]
        .as_f64()
        .ok_or(format!("{what} has no error"))?;
    let error = own.hypot(figure.std_error);
    if error > 0.0 {
        let z = (mean - figure.value) / error;
        println!("{what}: {mean:.5} for {:.5}, z {z:.2}", figure.value);
    }
    let blunt = BLUNT * figure.value.abs().max(0.1);
    match error <= blunt {
        true => Ok((4.0 * error).max(1e-6 * figure.value.abs())),
        false => Err(format!(
            "{what}: the error {error} of {mean} says too little"
        )),
    }
}

/// The same with ten times the runs and another seed: four standard errors are then a third as wide.
#[test]
#[ignore = "takes minutes; cargo test --test checks -- --ignored"]
fn every_figure_with_ten_times_the_runs() {
    for id in LISTED {
        let case = case(id);
        if case
            .expect
            .iter()
            .all(|figure| figure.abs.or(figure.rel).is_none())
        {
            let report = case.report_of(10, 2);
            for figure in &case.expect {
                met(&report, figure).unwrap_or_else(|wrong| panic!("{id} {wrong}"));
            }
        }
    }
}

/// The checks can fail: every figure of every case, moved by a fifth, is found to be wrong.
#[test]
fn a_wrong_figure_is_found() {
    for id in ["F2a", "Q10", "E1", "D2", "D9"] {
        let report = case(id).report();
        for figure in &case(id).expect {
            let wrong = Figure {
                figure: figure.figure.clone(),
                value: figure.value * 1.2,
                ..*figure
            };
            assert_eq!(met(&report, figure), Ok(()), "{id}");
            assert!(met(&report, &wrong).is_err(), "{id} {}", figure.figure);
        }
    }
}

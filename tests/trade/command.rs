//! The command `tested`: its JSON, its text, its refusals and its exit codes.

use clap::Parser;
use putby::cli::tested::{Answer, TestedArgs, answer};
use serde_json::Value;

#[derive(Parser)]
struct Line {
    #[command(flatten)]
    args: TestedArgs,
}

fn parse(line: &str) -> Result<TestedArgs, clap::Error> {
    let words = line.split('|').map(str::trim);
    Line::try_parse_from(["tested"].into_iter().chain(words)).map(|line| line.args)
}

fn asked(line: &str) -> Answer {
    answer(&parse(line).unwrap_or_else(|error| panic!("{error}")))
}

fn json(answer: &Answer) -> Value {
    serde_json::from_str(&answer.stdout).unwrap()
}

const PEARS: &str = "--product|pears|--jar|pint|--pack|hot";

// USDA AIB 539 (rev. 1994) Guide 2 Pears Table 1: pints 25 minutes at 1,001-3,000 ft, 1/2 inch.
#[test]
fn the_json_has_exactly_its_fixed_fields() {
    let answer = asked(&format!("{PEARS}|--altitude-ft|1500|--json"));
    assert_eq!((answer.exit, answer.stderr.as_str()), (0, ""));
    let mut body = json(&answer);
    let source = body["source"].take();
    assert!(source.as_str().unwrap().contains("Guide 2 Pears"));
    let expected = serde_json::json!({
        "product": "pears",
        "method": "boiling-water",
        "pack": "hot",
        "jar": "pint",
        "altitude_ft": 1500,
        "minutes": 25,
        "psi": null,
        "headspace_in": 0.5,
        "acid": null,
        "source": null,
    });
    assert_eq!(body, expected);
}

#[test]
fn the_json_of_a_pressure_process_has_psi_and_acid() {
    let line = "--product|tomato sauce|--jar|quart|--pack|hot|--method|pressure-weighted";
    let body = json(&asked(&format!("{line}|--altitude-ft|2500|--json")));
    assert_eq!(body["minutes"], 20);
    assert_eq!(body["psi"], 10);
    assert_eq!(body["headspace_in"], 0.25);
    assert_eq!(
        body["acid"],
        "2 tbsp bottled lemon juice or 1/2 tsp citric acid"
    );
}

#[test]
fn metres_are_counted_in_feet_rounded_up() {
    for (metres, feet, minutes) in [("304.8", 1000, 20), ("305", 1001, 25), ("0", 0, 20)] {
        let body = json(&asked(&format!("{PEARS}|--altitude-m|{metres}|--json")));
        assert_eq!(body["altitude_ft"], feet, "{metres} m");
        assert_eq!(body["minutes"], minutes, "{metres} m");
    }
}

#[test]
fn the_text_names_everything_and_defers_to_the_recipe() {
    let line = "--product|tomato sauce|--jar|pint|--pack|hot|--method|pressure-dial";
    let text = asked(&format!("{line}|--altitude-ft|500")).stdout;
    for part in [
        "20 minutes at 6 psi",
        "15 minutes at 11 psi",
        "never mix two",
        "1/4 inch",
        "1 tbsp bottled lemon juice",
        "Source:",
        "tested recipe",
        "extension service",
    ] {
        assert!(text.contains(part), "{part} is not in:\n{text}");
    }
    let juice = asked("--product|apple juice|--jar|quart|--pack|hot|--altitude-ft|0").stdout;
    assert!(juice.contains("sterilise the empty jars first"), "{juice}");
    assert!(juice.contains("none needed"), "{juice}");
}

#[test]
fn a_refusal_goes_to_standard_error_with_exit_code_3() {
    let line = "--product|pumpkin butter|--jar|pint|--pack|hot|--altitude-ft|0";
    let answer = asked(line);
    assert_eq!((answer.exit, answer.stdout.as_str()), (3, ""));
    assert!(
        answer.stderr.contains("Do not can pumpkin butter"),
        "{}",
        answer.stderr
    );
    assert!(answer.stderr.contains("Freeze it"), "{}", answer.stderr);
}

#[test]
fn a_refusal_in_json_is_a_problem_object_on_standard_output() {
    let answer = asked("--product|pears|--jar|quart|--pack|raw|--altitude-ft|0|--json");
    assert_eq!((answer.exit, answer.stderr.as_str()), (3, ""));
    let body = json(&answer);
    assert_eq!(body["type"], "/problems/pack-not-tabled");
    assert_eq!(body["code"], "pack-not-tabled");
    assert_eq!(body["status"], 422);
    assert_eq!(body["title"], "No tested process");
    assert_eq!(body["choices"], serde_json::json!(["hot"]));
    assert!(body["detail"].as_str().unwrap().contains("raw pack"));
    assert!(body["minutes"].is_null());
}

#[test]
fn a_missing_altitude_is_bad_usage_and_says_so() {
    for line in [PEARS.to_string(), format!("{PEARS}|--json")] {
        let answer = asked(&line);
        assert_eq!((answer.exit, answer.stdout.as_str()), (2, ""));
        assert!(
            answer.stderr.contains("altitude must be given"),
            "{}",
            answer.stderr
        );
    }
}

#[test]
fn a_negative_altitude_is_refused_not_mistaken_for_an_option() {
    for altitude in ["--altitude-ft|-5", "--altitude-m|-2"] {
        let answer = asked(&format!("{PEARS}|{altitude}"));
        assert_eq!(answer.exit, 3);
        assert!(answer.stderr.contains("sea level"), "{}", answer.stderr);
    }
}

#[test]
fn bad_usage_is_told_with_exit_code_2() {
    for line in [
        "--jar|pint|--pack|hot|--altitude-ft|0",
        "--product|pears|--pack|hot|--altitude-ft|0",
        "--product|pears|--jar|pint|--altitude-ft|0",
        "--product|pears|--jar|gallon|--pack|hot|--altitude-ft|0",
        "--product|pears|--jar|pint|--pack|cold|--altitude-ft|0",
        "--product|pears|--jar|pint|--pack|hot|--altitude-ft|high",
        "--product|pears|--jar|pint|--pack|hot|--altitude-ft|0|--altitude-m|0",
        "--list|--product|pears",
        "--list|--method|steam",
    ] {
        let error = parse(line).expect_err(line);
        assert_eq!(error.exit_code(), 2, "{line}");
    }
}

#[test]
fn the_list_shows_every_table_in_text_and_json() {
    let tables = putby::trade::list().count();
    let text = asked("--list").stdout;
    assert_eq!(
        text.lines().filter(|line| line.contains(" pack, ")).count(),
        tables
    );
    let line = "pears, boiling-water, hot pack, pint: 0-1000 ft 20 min; 1001-3000 ft 25 min; \
        3001-6000 ft 30 min; 6001 ft and above 35 min";
    assert!(text.lines().any(|each| each == line), "{text}");
    let body = json(&asked("--list|--json"));
    assert_eq!(body.as_array().unwrap().len(), tables);
    let fields: Vec<_> = body[0].as_object().unwrap().keys().cloned().collect();
    assert_eq!(fields.len(), 8, "{fields:?}");
}

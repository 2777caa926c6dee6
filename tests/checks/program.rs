//! The program itself: `putby simulate` on files.

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

use super::cases::{assert_near, case};

fn simulate(file: &str, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_putby"))
        .arg("simulate")
        .arg(file)
        .args(arguments)
        .output()
        .unwrap()
}

/// The network of a case as a file.
fn file(folder: &tempfile::TempDir, id: &str) -> String {
    let path: PathBuf = folder.path().join(format!("{id}.json"));
    std::fs::write(&path, case(id).text()).unwrap();
    path.to_str().unwrap().to_owned()
}

fn json(output: &Output) -> Value {
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn the_program_gives_the_known_figures() {
    let folder = tempfile::tempdir().unwrap();
    for id in ["D1", "D2", "D8", "D9", "E1", "F2a", "B2", "DAY0"] {
        let report = json(&simulate(&file(&folder, id), &["--json"]));
        for figure in &case(id).expect {
            let found = &report.pointer(&figure.figure).unwrap();
            let mean = found.as_f64().or(found["mean"].as_f64()).unwrap();
            let error = found["std_error"].as_f64().unwrap_or(0.0);
            let exact = figure.abs.unwrap_or(0.0) + figure.rel.unwrap_or(0.0) * figure.value;
            let within = exact.max(4.0 * error);
            assert_near(
                mean,
                figure.value,
                within,
                &format!("{id} {}", figure.figure),
            );
        }
    }
}

#[test]
fn the_program_and_the_library_say_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let report = json(&simulate(
        &file(&folder, "F1b"),
        &["--json", "--runs", "30", "--seed", "5"],
    ));
    let same = putby::cli::simulate::answer(&case("F1b").text(), Some(30), Some(5), true);
    assert_eq!(
        report,
        serde_json::from_str::<Value>(&same.unwrap()).unwrap()
    );
    assert_eq!(report["runs"], 30);
    assert_eq!(report["seed"], 5);
    let other = putby::cli::simulate::answer(&case("F1b").text(), Some(30), Some(6), true);
    assert_ne!(
        report,
        serde_json::from_str::<Value>(&other.unwrap()).unwrap()
    );
}

#[test]
fn without_json_it_answers_in_aligned_words() {
    let folder = tempfile::tempdir().unwrap();
    let output = simulate(&file(&folder, "D8"), &[]);
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).unwrap();
    for word in ["finish, min", "129.0", "canner", "throughput", "batch"] {
        let word = if word == "throughput" {
            "a minute"
        } else {
            word
        };
        assert!(text.contains(word), "no {word} in\n{text}");
    }
    assert!(text.lines().all(|line| line == line.trim_end()));
}

#[test]
fn what_cannot_be_read_or_asked_is_bad_usage() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(simulate("/nowhere/at-all.json", &[]).status.code(), Some(2));
    let file = file(&folder, "D1");
    assert_eq!(simulate(&file, &["--runs", "0"]).status.code(), Some(2));
    assert_eq!(simulate(&file, &["--fast"]).status.code(), Some(2));
}

#[test]
fn a_network_that_makes_no_sense_is_refused_with_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("wrong.json");
    std::fs::write(&path, r#"{"format": "putby-network/1"}"#).unwrap();
    let path = path.to_str().unwrap();
    let output = simulate(path, &[]);
    assert_eq!(output.status.code(), Some(3));
    assert!(output.stdout.is_empty());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("Give at least one station and one step."),
        "{said}"
    );
    let output = simulate(path, &["--json"]);
    assert_eq!(output.status.code(), Some(3));
    let said: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(said["instead"], "Give at least one station and one step.");
}

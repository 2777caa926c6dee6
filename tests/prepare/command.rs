//! `putby prepare` from outside.

use crate::support::family;
use serde_json::{Value, json};
use std::process::{Command, Output};

fn prepare(value: &Value, more: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ask.json");
    std::fs::write(&file, value.to_string()).unwrap();
    Command::new(env!("CARGO_BIN_EXE_putby"))
        .arg("prepare")
        .arg(&file)
        .args(more)
        .output()
        .unwrap()
}

#[test]
fn it_answers_in_words_and_in_json() {
    let words = prepare(&family(), &["--runs", "20"]);
    assert!(words.status.success());
    let text = String::from_utf8(words.stdout).unwrap();
    for part in [
        "20 x quarts for Pears after Sunday dinner",
        "50 lb (40 to 62.5)",
        "extension service",
    ] {
        assert!(text.contains(part), "{part} in\n{text}");
    }
    let json = prepare(&family(), &["--runs", "20", "--json"]);
    let told: Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(told["uses"]["pears-sunday"]["serves"], 20);
    assert_eq!(told["forecast"]["is"], "day");
}

#[test]
fn what_must_be_mended_is_named_with_exit_code_3() {
    let mut value = family();
    value["lids"]["have"] = json!(-1000);
    let told = prepare(&value, &[]);
    assert_eq!(told.status.code(), Some(3));
    assert!(
        String::from_utf8(told.stderr)
            .unwrap()
            .contains("lids.have")
    );
    assert_eq!(prepare(&json!({"uses": 1}), &[]).status.code(), Some(2));
}

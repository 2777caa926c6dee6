//! What becomes of lines that are refused, cannot be read, or come twice.

use putby::cli::replay::replay;
use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Output};

const OPENING: &str = r#"{"at":1000,"command":{"order":"open-day","plan":{
"name":"Small day","date":"2026-09-12",
"stations":{"wash":{"name":"Wash","work":"wash","nature":{"is":"hand"},"seats":1}},
"helpers":{"osk":{"name":"Osk","age":46},"edda":{"name":"Edda","age":70}}}}}"#;

fn written(lines: &[&str]) -> String {
    let mut text = OPENING.replace('\n', "");
    for line in lines {
        text.push('\n');
        text.push_str(line);
    }
    text
}

fn osk_sits(at: i64) -> String {
    let command = json!({"order": "claim", "helper": "osk", "station": "wash"});
    json!({"at": at, "role": "helper", "command": command}).to_string()
}

#[test]
fn a_refused_line_is_named_by_its_number_and_the_rest_goes_on() {
    let text = written(&[
        &osk_sits(2000),
        r#"{"at":3000,"command":{"order":"claim","helper":"edda","station":"wash"}}"#,
        "",
        r#"{"at":4000,"role":"helper","command":{"order":"close-day"}}"#,
        r#"{"at":5000,"command":{"order":"leave","helper":"osk"}}"#,
    ]);
    let replayed = replay(&text);
    let reported: Vec<_> = replayed
        .refused
        .iter()
        .map(|r| (r.line, r.code.as_str()))
        .collect();
    assert_eq!(reported, [(3, "seat-taken"), (5, "lead-only")]);
    assert!(
        replayed
            .refused
            .iter()
            .all(|r| !r.detail.is_empty() && !r.instead.is_empty())
    );
    assert_eq!(replayed.accepted, 3);
    assert!(
        replayed
            .state
            .helpers
            .values()
            .all(|helper| helper.station.is_none())
    );
}

#[test]
fn a_line_that_is_no_command_is_reported_and_the_rest_goes_on() {
    let text = written(&[
        "wash 3 lb",
        r#"{"at":2000,"command":{"order":"juggle"}}"#,
        &osk_sits(3000),
    ]);
    let replayed = replay(&text);
    let reported: Vec<_> = replayed
        .refused
        .iter()
        .map(|r| (r.line, r.code.as_str()))
        .collect();
    assert_eq!(reported, [(2, "malformed"), (3, "malformed")]);
    assert_eq!(replayed.accepted, 2);
}

#[test]
fn time_does_not_go_back() {
    let text = written(&[&osk_sits(999)]);
    let replayed = replay(&text);
    assert_eq!(replayed.refused[0].code, "time-goes-back");
    assert_eq!((replayed.refused[0].line, replayed.accepted), (2, 1));
}

#[test]
fn a_line_sent_twice_happens_once() {
    let id = "00000000-0000-4000-8000-000000000001";
    let line = |at: i64, text: &str| {
        let command = json!({"order": "note", "on": {"about": "day"}, "text": text});
        json!({"at": at, "id": id, "command": command}).to_string()
    };
    let text = written(&[&line(2000, "rain"), &line(3000, "rain"), &line(4000, "sun")]);
    let replayed = replay(&text);
    assert_eq!(replayed.state.notes.len(), 1);
    assert_eq!(replayed.accepted, 2);
    assert_eq!(
        (replayed.refused[0].line, replayed.refused[0].code.as_str()),
        (4, "id-conflict")
    );
}

#[test]
fn the_same_file_gives_the_same_answer() {
    let text = written(&[&osk_sits(2000)]);
    assert_eq!(replay(&text).state, replay(&text).state);
}

fn putby(text: &str) -> Output {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(text.as_bytes()).unwrap();
    let program = env!("CARGO_BIN_EXE_putby");
    Command::new(program)
        .arg("replay")
        .arg(file.path())
        .output()
        .unwrap()
}

#[test]
fn the_program_prints_the_view_and_exits_by_what_was_refused() {
    let good = putby(&written(&[&osk_sits(2000)]));
    assert_eq!(good.status.code(), Some(0));
    let answer: Value = serde_json::from_slice(&good.stdout).unwrap();
    assert_eq!(
        (&answer["accepted"], &answer["refused"]),
        (&json!(2), &json!([]))
    );
    assert_eq!(answer["view"]["helpers"]["osk"]["station"], "wash");
    assert!(good.stderr.is_empty());

    let bad = putby(&written(&["{}", &osk_sits(2000)]));
    assert_eq!(bad.status.code(), Some(1));
    let answer: Value = serde_json::from_slice(&bad.stdout).unwrap();
    assert_eq!(
        (&answer["accepted"], &answer["refused"][0]["line"]),
        (&json!(2), &json!(2))
    );
    assert!(
        String::from_utf8(bad.stderr)
            .unwrap()
            .starts_with("line 2: ")
    );
}

#[test]
fn a_file_that_cannot_be_read_is_bad_usage() {
    let folder = tempfile::tempdir().unwrap();
    let program = env!("CARGO_BIN_EXE_putby");
    let missing = Command::new(program)
        .arg("replay")
        .arg(folder.path().join("no"))
        .output();
    let missing = missing.unwrap();
    assert_eq!(missing.status.code(), Some(2));
    assert!(missing.stdout.is_empty() && !missing.stderr.is_empty());
    let bare = Command::new(program).arg("replay").output().unwrap();
    assert_eq!(bare.status.code(), Some(2));
}

//! `putby forecast` on the written day.

use putby::cli::forecast::{foretell, words};
use putby::day::time::Timestamp;
use putby::outlook::Settings;

const WRITTEN: &str = include_str!("../../fixtures/days/orchard-day.ndjson");

fn few() -> Settings {
    Settings {
        runs: 60,
        compare_runs: 20,
        ..Settings::default()
    }
}

#[test]
fn the_words_name_the_finish_and_what_sets_it() {
    let told = foretell(WRITTEN, "+180", &few()).unwrap();
    assert_eq!(told.outlook.at, Timestamp(1_789_199_400_000 + 180 * 60_000));
    assert!(
        told.replayed.refused.is_empty(),
        "{:?}",
        told.replayed.refused
    );
    let text = words(&told.replayed.state, &told.outlook);
    for part in [
        "Orchard day at ",
        "Done at ",
        "sets the finish in",
        "Products:",
        "What if:",
    ] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
}

#[test]
fn the_same_moment_written_in_another_form_gives_the_same() {
    let minutes = foretell(WRITTEN, "+180", &few()).unwrap();
    let ms = foretell(WRITTEN, "1789210200000", &few()).unwrap();
    assert_eq!(minutes.outlook, ms.outlook);
}

#[test]
fn what_is_later_than_the_moment_is_not_known() {
    let at = Timestamp(1_789_199_400_000 + 180 * 60_000);
    let before: String = WRITTEN
        .lines()
        .filter(|line| {
            let line: serde_json::Value = serde_json::from_str(line).unwrap();
            line["at"].as_i64().unwrap() <= at.0
        })
        .map(|line| format!("{line}\n"))
        .collect();
    let whole = foretell(WRITTEN, "+180", &few()).unwrap();
    let cut = foretell(&before, "+180", &few()).unwrap();
    assert_eq!(whole.outlook, cut.outlook);
}

#[test]
fn what_cannot_be_answered_is_said_in_a_sentence() {
    let none = foretell("", "+10", &few()).unwrap_err();
    assert!(none.contains("opens no day"), "{none}");
    let early = foretell(WRITTEN, "2020-01-01T00:00:00Z", &few()).unwrap_err();
    assert!(early.contains("before the day was opened"), "{early}");
    let unread = foretell(WRITTEN, "tomorrow", &few()).unwrap_err();
    assert!(unread.contains("no moment"), "{unread}");
}

//! Looking back: the table for a spreadsheet.

use super::{told, told_json};
use crate::kitchen::Kitchen;
use crate::wire::worked_day;
use putby::day::{Code, Role};
use putby::lookback::csv;
use serde_json::json;

#[test]
fn the_table_has_one_figure_a_row_that_agrees_with_the_json() {
    let day = worked_day();
    let (told, json) = (told(&day), told_json(&day));
    let text = csv(&told);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(
        reader.headers().unwrap(),
        vec!["kind", "id", "name", "figure", "value", "unit"]
    );
    let rows: Vec<Vec<String>> = reader
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect();
    let value = |kind: &str, id: &str, figure: &str| {
        let found = rows
            .iter()
            .find(|r| (r[0].as_str(), r[1].as_str(), r[3].as_str()) == (kind, id, figure));
        found.map(|row| row[4].clone())
    };
    let busy = json["stations"]["slice"]["busy_ms"].to_string();
    assert_eq!(value("station", "slice", "busy"), Some(busy));
    let made = json["made"]["pear-quarts"]["made"].to_string();
    assert_eq!(value("product", "pear-quarts", "made"), Some(made));
    assert_eq!(value("load", "l2", "boils lost"), Some("1".to_owned()));
    let keys = rows.iter().map(|row| (&row[0], &row[1], &row[2], &row[3]));
    let distinct: std::collections::BTreeSet<_> = keys.collect();
    assert_eq!(distinct.len(), rows.len(), "no figure stands there twice");
}

#[test]
fn no_cell_of_the_table_begins_a_formula() {
    let mut day = Kitchen::open();
    let name = "=HYPERLINK(\"a.org\",\"b\")";
    day.does_json(json!({"order": "add-helper", "helper": "x", "plan": {"name": name, "age": 20}}));
    let order = json!({"order": "raise-chore", "chore": "c", "text": "@sum"});
    day.refuses_role(Role::Watcher, Code::WatchOnly, order.clone());
    day.does_json(order);
    let text = csv(&told(&day));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut names = 0;
    for row in reader.records() {
        let row = row.unwrap();
        assert!(!row[2].starts_with(['=', '+', '-', '@']), "{row:?}");
        names += usize::from(row[2] == *format!("'{name}"));
    }
    assert!(names > 0);
}

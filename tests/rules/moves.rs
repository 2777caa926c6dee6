//! Proposed moves that are not wanted: by whom, how they are named, for how long they count.

use crate::kitchen::{Kitchen, order_of};
use putby::day::{Code, Role};
use serde_json::json;

fn names(day: &Kitchen) -> Vec<&str> {
    day.state.set_aside.keys().map(String::as_str).collect()
}

fn aside(name: &str, gain_min: u32) -> String {
    format!("set-aside-move move={name} gain_min={gain_min}")
}

#[test]
fn a_move_is_set_aside_with_its_minutes_and_the_screens_view_stays_as_it_was() {
    let mut day = Kitchen::open();
    day.does("claim helper=wren station=wash");
    let before = day.view();
    day.wait(2).helper_does(&aside("switch:wren:wash:bag", 9));
    let past = day.state.set_aside["switch:wren:wash:bag"];
    assert_eq!((past.at, past.gain_min), (day.now, 9));
    assert_eq!(day.view(), before);
}

#[test]
fn the_same_move_set_aside_again_counts_from_then() {
    let mut day = Kitchen::open();
    day.does(&aside("claim:wren:bag", 6));
    day.wait(20).does(&aside("claim:wren:bag", 12));
    let past = day.state.set_aside["claim:wren:bag"];
    assert_eq!((past.at, past.gain_min), (day.now, 12));
    assert_eq!(names(&day).len(), 1);
}

#[test]
fn a_move_set_aside_counts_for_an_hour_and_not_a_moment_longer() {
    let mut day = Kitchen::open();
    day.does(&aside("claim:wren:bag", 6));
    let past = day.state.set_aside["claim:wren:bag"];
    day.wait(60).wait_ms(-1);
    assert!(past.counts_at(day.now));
    day.does(&aside("claim:bo:wash", 6));
    assert_eq!(names(&day), ["claim:bo:wash", "claim:wren:bag"]);
    day.wait_ms(1);
    assert!(!past.counts_at(day.now));
    day.does(&aside("claim:silas:wash", 6));
    assert_eq!(names(&day), ["claim:bo:wash", "claim:silas:wash"]);
}

#[test]
fn only_a_move_of_these_people_and_stations_has_a_name() {
    let mut day = Kitchen::open();
    for good in [
        "claim:wren:bag",
        "switch:wren:wash:bag",
        "swap:silas:wren",
        "swap:wren:silas",
    ] {
        day.does(&aside(good, 6));
    }
    for strange in [
        "claim:nobody:bag",
        "claim:wren:nowhere",
        "switch:wren:nowhere:bag",
        "swap:wren:nobody",
    ] {
        day.refuses(Code::Unknown, &aside(strange, 6));
    }
    let long = format!("claim:wren:{}", "a".repeat(41));
    let four_hundred = "x".repeat(400);
    for no_name in [
        "claim",
        "claim:wren",
        "claim:wren:bag:bag",
        "switch:wren:wash:wash",
        "switch:wren:wash:bag:",
        "swap:wren:wren",
        "stay:wren:bag",
        "Claim:wren:bag",
        "claim:Wren:bag",
        "claim::bag",
        long.as_str(),
        four_hundred.as_str(),
    ] {
        let refusal = day.refuses(Code::BadValue, &aside(no_name, 6));
        assert!(refusal.detail.len() < 80, "{refusal:?}");
    }
    let empty = json!({"order": "set-aside-move", "move": "", "gain_min": 6});
    day.refuses_role(Role::Lead, Code::BadValue, empty);
}

#[test]
fn somebody_or_something_taken_off_the_list_is_in_no_move() {
    let mut day = Kitchen::open();
    day.all(&["retire-helper helper=bo", "retire-station station=mill"]);
    day.refuses(Code::Unknown, &aside("claim:bo:wash", 6));
    day.refuses(Code::Unknown, &aside("claim:wren:mill", 6));
}

#[test]
fn a_gain_is_no_longer_than_is_looked_ahead() {
    let mut day = Kitchen::open();
    day.does(&aside("claim:wren:bag", 20_160));
    day.refuses(Code::BadValue, &aside("claim:wren:bag", 20_161));
}

#[test]
fn a_hundred_moves_are_set_aside_in_an_hour_and_no_more() {
    let mut day = Kitchen::open();
    let stations: Vec<String> = day.view()["stations"]
        .as_object()
        .unwrap()
        .keys()
        .cloned()
        .collect();
    let pairs = stations.iter().flat_map(|from| {
        let others = stations.iter().filter(move |to| *to != from);
        others.map(move |to| (from, to))
    });
    let moves: Vec<String> = ["wren", "silas", "osk", "maren"]
        .iter()
        .flat_map(|helper| {
            let pairs = pairs.clone();
            pairs.map(move |(from, to)| format!("switch:{helper}:{from}:{to}"))
        })
        .take(101)
        .collect();
    let (last, first) = moves.split_last().unwrap();
    assert_eq!(first.len(), 100);
    for name in first {
        day.does(&aside(name, 6));
    }
    let refusal = day.refuses(Code::BadValue, &aside(last, 6));
    assert!(refusal.detail.contains("100"), "{refusal:?}");
    // One of the hundred can still be said again, and an hour later there is room.
    day.does(&aside(&first[0], 8));
    day.wait(60).does(&aside(last, 6));
    assert_eq!(names(&day), [last.as_str()]);
}

#[test]
fn a_watching_screen_sets_nothing_aside_and_neither_does_anybody_after_the_close() {
    let order = order_of(&aside("claim:wren:bag", 6));
    Kitchen::open().refuses_role(Role::Watcher, Code::WatchOnly, order.clone());
    Kitchen::dark().refuses_role(Role::Lead, Code::NoDay, order.clone());
    let mut day = Kitchen::open();
    day.does("close-day");
    day.refuses_role(Role::Lead, Code::DayClosed, order);
}

#[test]
fn a_state_kept_before_moves_could_be_set_aside_can_still_be_read() {
    let day = Kitchen::open();
    let mut kept = serde_json::to_value(&day.state).unwrap();
    kept.as_object_mut().unwrap().remove("set_aside").unwrap();
    let read: putby::day::State = serde_json::from_value(kept).unwrap();
    assert_eq!(read, day.state);
}

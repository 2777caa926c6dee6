//! Someone is hurt: one call, the seat freed, the pots handed on, and nothing else lost.

use crate::alarms::pot_on_the_heat;
use crate::kitchen::{Kitchen, order_of};
use putby::day::{Code, Event, Role};
use serde_json::json;

#[test]
fn one_tap_without_a_name_is_shown_until_an_adult_is_there() {
    let mut day = Kitchen::open();
    day.helper_does("report-hurt hurt=h1 station=slice");
    assert_eq!(
        day.view()["hurts"]["h1"],
        json!({"at": day.now.0, "station": "slice"})
    );
    for helper in ["wren", "juno"] {
        let order = order_of(&format!("hurt-tended hurt=h1 helper={helper}"));
        day.refuses_role(Role::Helper, Code::AdultNeeded, order);
    }
    day.refuses(Code::Unknown, "hurt-tended hurt=h2 helper=osk");
    day.refuses(Code::Unknown, "hurt-tended hurt=h1 helper=nobody");
    day.helper_does("hurt-tended hurt=h1 helper=osk");
    assert_eq!(day.view()["hurts"], json!({}));
    for order in [
        "take-back-hurt hurt=h1",
        "report-hurt hurt=h1 kind=cut",
        "hurt-tended hurt=h1 helper=maren",
    ] {
        day.refuses(Code::HurtOver, order);
    }
}

#[test]
fn more_is_said_with_the_same_call_and_nothing_known_is_lost() {
    let mut day = Kitchen::open();
    day.does("claim helper=juno station=slice");
    day.all(&[
        "report-hurt hurt=h1 station=slice",
        "report-hurt hurt=h1 kind=cut",
        "report-hurt hurt=h1 helper=juno",
        "report-hurt hurt=h1 kind=burn",
    ]);
    let hurt = day.view()["hurts"]["h1"].clone();
    assert_eq!(
        (&hurt["station"], &hurt["kind"], &hurt["helper"]),
        (&json!("slice"), &json!("burn"), &json!("juno"))
    );
    assert_eq!(day.seat("juno"), None);
    let refusal = day.refuses(Code::BadValue, "report-hurt hurt=h1 helper=bo");
    assert!(refusal.detail.contains("Juno"), "{refusal:?}");
    day.refuses(Code::Unknown, "report-hurt hurt=h2 station=nowhere");
    day.refuses(Code::Unknown, "report-hurt hurt=h2 helper=nobody");
}

fn minder_with_a_child_beside() -> Kitchen {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=osk backup=maren");
    day.does("claim helper=osk station=slice");
    day.does("claim helper=wren station=slice beside=osk");
    day
}

#[test]
fn the_seat_is_freed_the_backup_has_the_pot_and_no_child_stays_alone() {
    let mut day = minder_with_a_child_beside();
    let before = day.state.clone();
    day.helper_does("report-hurt hurt=h1 helper=osk kind=scald");
    let view = day.view();
    assert_eq!((day.seat("osk"), day.seat("wren")), (None, None));
    assert_eq!(view["helpers"]["osk"]["presence"], "resting");
    assert_eq!(view["hurts"]["h1"]["station"], "slice", "where they sat");
    assert_eq!(view["stations"]["cook"]["pots"]["big"]["minder"], "maren");
    assert_eq!(day.state.flows, before.flows);
    assert_eq!(day.state.loads, before.loads);
    assert_eq!(day.chore("unminded-pot"), None);
}

#[test]
fn a_pot_without_a_backup_is_shown_as_without_a_minder() {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=osk");
    day.does("report-hurt hurt=h1 helper=osk");
    let pot = day.view()["stations"]["cook"]["pots"]["big"].clone();
    assert_eq!(
        (pot.get("minder"), &pot["phase"]),
        (None, &json!("cooking"))
    );
    assert!(day.chore("unminded-pot").is_some());
    day.does("take-back-hurt hurt=h1");
    assert_eq!(
        day.view()["stations"]["cook"]["pots"]["big"]["minder"],
        "osk"
    );
    assert_eq!(day.chore("unminded-pot"), None);
}

#[test]
fn a_mistaken_tap_taken_back_leaves_the_kitchen_as_it_was() {
    let mut day = minder_with_a_child_beside();
    let before = day.view();
    day.does("report-hurt hurt=h1 helper=osk");
    day.helper_does("take-back-hurt hurt=h1");
    let mut after = day.view();
    assert_eq!(after["hurts"], json!({}));
    // Only the moments of sitting down are younger; here no time has passed.
    for helper in ["osk", "wren"] {
        after["helpers"][helper]["since"] = before["helpers"][helper]["since"].clone();
    }
    assert_eq!(after, before);
}

#[test]
fn what_somebody_else_has_since_is_not_taken_from_them() {
    let mut day = minder_with_a_child_beside();
    day.does("report-hurt hurt=h1 helper=osk");
    day.all(&[
        "claim helper=juno station=slice",
        "claim helper=edda station=slice",
        "hand-over-pot station=cook pot=big minder=edda",
    ]);
    let seats = day.view()["stations"]["slice"]["seats"].as_u64().unwrap();
    day.does("take-back-hurt hurt=h1");
    assert_eq!(
        day.view()["stations"]["cook"]["pots"]["big"]["minder"],
        "edda"
    );
    assert_eq!(day.seat("juno"), Some("slice"));
    assert_eq!(day.seat("osk"), (seats > 2).then_some("slice"));
}

#[test]
fn the_hurt_one_does_not_tend_themselves_while_another_adult_is_here() {
    let mut day = Kitchen::open();
    day.does("report-hurt hurt=h1 helper=osk");
    day.refuses(Code::AdultBusy, "hurt-tended hurt=h1 helper=osk");
    day.all(&["go-home helper=maren", "go-home helper=edda"]);
    day.refuses(Code::NotHere, "hurt-tended hurt=h1 helper=edda");
    day.does("hurt-tended hurt=h1 helper=osk");
}

#[test]
fn it_can_be_called_after_the_close_too() {
    let mut day = Kitchen::open();
    day.does("close-day");
    day.all(&[
        "report-hurt hurt=h1 helper=juno kind=fall",
        "hurt-tended hurt=h1 helper=osk",
    ]);
}

#[test]
fn a_day_holds_many_calls_and_not_endlessly_many() {
    let mut day = Kitchen::open();
    for number in 0..200 {
        day.does(&format!("report-hurt hurt=h{number}"));
    }
    day.refuses(Code::BadValue, "report-hurt hurt=one-more");
    let events = day.does("report-hurt hurt=h7 kind=cut");
    assert!(matches!(events.as_slice(), [Event::HurtReported { .. }]));
}

//! Alarms end with a person: who may take one, when it rings again, who steps in for a pot.

use crate::kitchen::{Kitchen, order_of};
use crate::refusals::filled_pot;
use putby::day::time::MINUTE_MS;
use putby::day::{Code, Role, State};
use serde_json::json;

/// The key of the first clock of a kind that runs.
pub fn key_of(day: &Kitchen, kind: &str) -> String {
    let mut running = day.state.alarms();
    running.find(|alarm| alarm.kind == kind).unwrap().key()
}

pub fn pot_on_the_heat(start: &str) -> Kitchen {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does(start);
    day
}

fn stirring() -> Kitchen {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=maren backup=edda");
    day.wait(18);
    day
}

#[test]
fn an_alarm_ends_with_a_named_person_on_every_device() {
    let mut day = stirring();
    let key = key_of(&day, "stir");
    let due = day.view()["stations"]["cook"]["pots"]["big"]["stir_at"].clone();
    assert_eq!(key, format!("stir/cook/big/{due}"));
    day.helper_does(&format!("take-alarm alarm={key} helper=maren"));
    let taken = day.view()["alarms"][&key].clone();
    assert_eq!(taken["by"], "maren");
    assert_eq!(
        taken["again_at"].as_i64().unwrap() - day.now.0,
        4 * MINUTE_MS
    );
    day.does("stirred station=cook pot=big helper=maren");
    assert_eq!(day.view()["alarms"], json!({}), "its clock is another now");
    let stored = serde_json::to_string(&day.state).unwrap();
    assert_eq!(serde_json::from_str::<State>(&stored).unwrap(), day.state);
}

#[test]
fn every_clock_that_ends_rings_under_the_key_the_screens_write() {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=maren");
    day.boil_pears("l1", 7);
    let view = day.view();
    let pot = &view["stations"]["cook"]["pots"]["big"];
    let keys = |day: &Kitchen| -> Vec<String> { day.state.alarms().map(|a| a.key()).collect() };
    assert_eq!(
        keys(&day),
        [
            format!("stir/cook/big/{}", pot["stir_at"]),
            format!("pot-done/cook/big/{}", pot["done_at"]),
            format!("process/canner/l1/{}", view["loads"]["l1"]["done_at"]),
        ]
    );
    day.wait(25).does("heat-off load=l1");
    let rest = format!("rest/canner/l1/{}", day.view()["loads"]["l1"]["rest_until"]);
    assert!(keys(&day).contains(&rest), "{:?}", keys(&day));
    day.wait(5).all(&[
        format!("take-alarm alarm={rest} helper=osk").as_str(),
        "lift-load load=l1",
    ]);
    assert!(!keys(&day).contains(&rest));
}

#[test]
fn venting_and_the_rest_after_pressure_ring_too() {
    let mut day = Kitchen::open();
    day.fill("beans-a", "beans", 1, 1000);
    day.does(&crate::kitchen::build("press", "l1", &[("beans", 1)]));
    day.all(&["heat-load load=l1", "vent load=l1"]).wait(10);
    let vented = key_of(&day, "venting");
    day.does(&format!("take-alarm alarm={vented} helper=maren"));
    day.does("rolling-boil load=l1");
    assert_eq!(day.view()["alarms"], json!({}));
    day.wait(240).does("heat-off load=l1");
    assert_eq!(
        day.state.alarms().count(),
        0,
        "nobody knows how long it falls"
    );
    day.wait(40).does("pressure-zero load=l1");
    let rests = key_of(&day, "rest-pressure");
    day.wait(10)
        .does(&format!("take-alarm alarm={rests} helper=maren"));
}

#[test]
fn an_alarm_is_not_taken_before_it_rings_but_for_a_clock_a_little_ahead() {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=maren");
    let order = format!("take-alarm alarm={} helper=maren", key_of(&day, "stir"));
    day.wait(18).wait_ms(-5001);
    day.refuses(Code::NotRinging, &order);
    day.wait_ms(1).does(&order);
}

#[test]
fn who_is_kept_from_heat_is_told_whom_to_tell() {
    let mut day = stirring();
    let key = key_of(&day, "stir");
    for (helper, code) in [("bo", Code::AgeRule), ("wren", Code::AgeRule)] {
        let order = order_of(&format!("take-alarm alarm={key} helper={helper}"));
        let refusal = day.refuses_role(Role::Helper, code, order);
        assert_eq!(refusal.instead, "Tell Maren at once.");
    }
    day.does("take-break helper=maren");
    let refusal = day.refuses(Code::AgeRule, &format!("take-alarm alarm={key} helper=bo"));
    assert_eq!(refusal.instead, "Tell Edda at once.", "the backup has it");
    day.refuses(
        Code::NotHere,
        &format!("take-alarm alarm={key} helper=maren"),
    );
}

#[test]
fn a_taken_alarm_whose_work_is_not_done_rings_again() {
    let mut day = stirring();
    let key = key_of(&day, "stir");
    let by = |helper: &str| format!("take-alarm alarm={key} helper={helper}");
    day.does(&by("maren"));
    day.wait(4).wait_ms(-1);
    day.refuses(Code::AlarmTaken, &by("osk"));
    day.wait_ms(1).does(&by("osk"));
    assert_eq!(day.view()["alarms"][&key]["by"], "osk");
}

#[test]
fn an_alarm_whose_taker_has_left_can_be_taken_at_once() {
    let mut day = stirring();
    let key = key_of(&day, "stir");
    day.does(&format!("take-alarm alarm={key} helper=osk"));
    day.does("go-home helper=osk");
    day.does(&format!("take-alarm alarm={key} helper=edda"));
    assert_eq!(day.view()["alarms"][&key]["by"], "edda");
}

#[test]
fn what_no_longer_runs_is_forgotten() {
    let mut day = stirring();
    for _ in 0..5 {
        let key = key_of(&day, "stir");
        day.does(&format!("take-alarm alarm={key} helper=maren"));
        day.does("stirred station=cook pot=big");
        day.wait(18);
    }
    assert_eq!(day.state.alarms_taken.len(), 1);
}

#[test]
fn a_backup_is_named_for_a_cooking_pot_and_gets_it_when_the_minder_leaves() {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=maren");
    for (code, helper) in [
        (Code::BadValue, "maren"),
        (Code::AgeRule, "bo"),
        (Code::Unknown, "nobody"),
    ] {
        day.refuses(
            code,
            &format!("name-backup station=cook pot=big helper={helper}"),
        );
    }
    day.refuses(
        Code::PotEmpty,
        "name-backup station=cook pot=small helper=osk",
    );
    day.refuses(Code::Depended, "take-break helper=maren");
    day.helper_does("name-backup station=cook pot=big helper=osk");
    day.helper_does("take-break helper=maren");
    let pot = day.view()["stations"]["cook"]["pots"]["big"].clone();
    assert_eq!((&pot["minder"], pot.get("backup")), (&json!("osk"), None));
    assert_eq!(day.chore("unminded-pot"), None);
}

#[test]
fn a_backup_who_is_away_gets_no_pot_and_the_lead_is_told() {
    let mut day = pot_on_the_heat("start-pot station=cook pot=big minder=maren backup=osk");
    day.does("go-home helper=osk");
    day.refuses(Code::Depended, "go-home helper=maren");
    day.does("go-home helper=maren hurry=true");
    assert!(day.chore("unminded-pot").is_some());
}

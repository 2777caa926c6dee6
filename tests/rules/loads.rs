//! Loads that go wrong, and canners side by side.

use crate::kitchen::{Kitchen, build, order_of};
use putby::day::{Code, Role};
use serde_json::json;

#[test]
fn a_lost_boil_starts_the_whole_time_again_and_both_starts_stay() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7).wait(24).does("boil-lost load=l1");
    let load = day.view()["loads"]["l1"].clone();
    assert_eq!(
        (&load["phase"], &load["lost"]),
        (&json!("heating"), &json!(1))
    );
    assert!(load.get("done_at").is_none());
    day.wait(5).refuses(Code::TimeNotOver, "heat-off load=l1");
    day.does("rolling-boil load=l1");
    day.wait(24).refuses(Code::TimeNotOver, "heat-off load=l1");
    day.wait(1).all(&["heat-off load=l1", "lift-load load=l1"]);
    assert_eq!(day.state.loads[&crate::kitchen::id("l1")].lost.len(), 1);
    assert_eq!(day.waits("rack", "pear-quarts"), 7000);
}

fn ended_early(fate: &str) -> Kitchen {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7).wait(24);
    day.refuses_role(
        Role::Helper,
        Code::LeadOnly,
        order_of("heat-off load=l1 end_early=true"),
    );
    day.does("heat-off load=l1 end_early=true");
    assert_eq!(day.view()["loads"]["l1"]["short"], true);
    day.refuses(Code::NeedsFate, "lift-load load=l1");
    day.does(&format!("lift-load load=l1 fate={fate}"));
    day
}

#[test]
fn jars_of_a_short_load_never_reach_the_rack() {
    for fate in ["refrigerate", "freeze", "reprocess"] {
        let day = ended_early(fate);
        assert_eq!(day.waits("rack", "pear-quarts"), 0, "{fate}");
        assert_eq!(day.finished("pear-quarts"), 0);
        let again = if fate == "reprocess" { 7000 } else { 0 };
        assert_eq!(day.waits("canner", "pear-quarts"), again, "{fate}");
    }
}

#[test]
fn a_short_load_is_reprocessed_for_the_whole_time() {
    let mut day = ended_early("reprocess");
    day.all(&[
        &build("canner", "l2", &[("pear-quarts", 7)]),
        "heat-load load=l2",
        "rolling-boil load=l2",
    ]);
    day.wait(24).refuses(Code::TimeNotOver, "heat-off load=l2");
    day.wait(1).all(&["heat-off load=l2", "lift-load load=l2"]);
    assert_eq!(day.waits("rack", "pear-quarts"), 7000);
}

#[test]
fn a_full_load_needs_no_fate_and_counts_its_broken_jars() {
    let mut day = Kitchen::open();
    day.boil_pears("l1", 7).wait(25).does("heat-off load=l1");
    day.refuses(Code::BadValue, "lift-load load=l1 fate=freeze");
    let broken =
        |n: u32| format!("lift-load load=l1 broken=[{{\"product\":\"pear-quarts\",\"jars\":{n}}}]");
    day.refuses(Code::BadValue, &broken(8));
    day.refuses(Code::BadValue, &broken(0));
    day.does(&broken(1));
    assert_eq!(day.waits("rack", "pear-quarts"), 6000);
    let done = day.view()["stations"]["canner"]["done"]["pear-quarts"].clone();
    assert_eq!(
        (&done["taken"], &done["scrapped"]),
        (&json!(6000), &json!(1000))
    );
}

#[test]
fn a_load_is_changed_or_taken_apart_only_before_the_heat() {
    let mut day = Kitchen::open();
    day.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 5)]));
    let jars =
        |n: i64| format!("change-load load=l1 jars=[{{\"product\":\"pear-quarts\",\"jars\":{n}}}]");
    day.refuses(
        Code::NotEnough,
        &jars(8)
            .replace(":8", ":7")
            .replace("pear-quarts", "pear-pints"),
    );
    day.does(&jars(7));
    assert_eq!(day.waits("canner", "pear-quarts"), 0);
    day.does("heat-load load=l1");
    day.refuses(Code::WrongPhase, &jars(6));
    day.refuses(Code::WrongPhase, "cancel-load load=l1");
}

fn two_canners() -> Kitchen {
    Kitchen::with(|plan| {
        plan["stations"]["canner"]["nature"]["canners"]["b"] =
            json!({"name": "Canner B", "holds": {"quart": 5}});
    })
}

#[test]
fn two_canners_draw_on_one_queue_and_each_has_its_own_room_and_load() {
    let mut day = two_canners();
    day.fill_pear_quarts(14);
    let load = |load: &str, canner: &str, jars: i64| {
        build("canner", load, &[("pear-quarts", jars)])
            .replace("canner=a", &format!("canner={canner}"))
    };
    day.refuses(Code::OverCapacity, &load("l1", "b", 6));
    day.refuses(Code::Unknown, &load("l1", "c", 5));
    day.all(&[&load("l1", "b", 5), &load("l2", "a", 7)]);
    let refusal = day.refuses(Code::CannerBusy, &load("l3", "b", 1));
    assert!(
        refusal.detail.contains("Canner B") && refusal.detail.contains("l1"),
        "{refusal:?}"
    );
    assert_eq!(day.waits("canner", "pear-quarts"), 2000);
    day.all(&["heat-load load=l1", "heat-load load=l2"]);
    let view = day.view();
    assert_eq!(
        view["resources"]["burners"]["used"], 2,
        "each canner on the heat takes a burner"
    );
    let canners = &view["stations"]["canner"]["canners"];
    assert_eq!(
        (&canners["a"]["load"], &canners["b"]["load"]),
        (&json!("l2"), &json!("l1"))
    );
    day.all(&["rolling-boil load=l1", "rolling-boil load=l2"]);
    day.wait(25)
        .all(&["heat-off load=l1", "lift-load load=l1", &load("l3", "b", 2)]);
    day.all(&["heat-off load=l2", "lift-load load=l2"]);
    assert_eq!(day.waits("rack", "pear-quarts"), 12_000);
}

//! Needs 18 and 19: burners, sinks, dishes, buckets and boxes.

use super::heat::loaded;
use crate::kitchen::{Kitchen, build};
use crate::refusals::filled_pot;
use putby::day::Code;
use serde_json::json;

#[test]
fn need_18_a_shared_thing_is_taken_while_work_runs_and_given_back_after() {
    let used = |day: &Kitchen| day.view()["resources"]["burners"]["used"].as_u64().unwrap();
    let mut day = loaded();
    assert_eq!(used(&day), 0);
    day.does("heat-load load=l1");
    assert_eq!(used(&day), 1);
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    assert_eq!(used(&day), 2);
    day.fill("beans-a", "beans", 2, 1000);
    day.does(&build("press", "l2", &[("beans", 2)]));
    let refusal = day.refuses(Code::ResourceBusy, "heat-load load=l2");
    assert!(refusal.detail.contains("2 of 2"), "{refusal:?}");
    day.does("pot-done station=cook pot=big");
    assert_eq!(used(&day), 1);
    day.wait(20)
        .all(&["heat-load load=l2", "rolling-boil load=l1"]);
    day.wait(25).does("heat-off load=l1");
    assert_eq!(used(&day), 1);
}

#[test]
fn need_18_the_first_seat_takes_the_sink_and_the_last_gives_it_back() {
    let mut day = Kitchen::with(|plan| {
        plan["resources"]["sink"] = json!({"name": "sink", "count": 1});
        plan["stations"]["wash"]["occupies"] = json!({"sink": 1});
        plan["stations"]["bag"]["occupies"] = json!({"sink": 1});
    });
    day.all(&[
        "claim helper=wren station=wash",
        "claim helper=bo station=wash",
    ]);
    day.refuses(Code::ResourceBusy, "claim helper=osk station=bag");
    day.does("leave helper=wren");
    day.refuses(Code::ResourceBusy, "claim helper=osk station=bag");
    day.does("switch helper=bo station=bag");
}

#[test]
fn need_19_a_used_pot_raises_a_chore_and_is_clean_when_it_is_done() {
    let mut day = Kitchen::open();
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.does("start-pot station=cook pot=big minder=maren");
    day.does("pot-done station=cook pot=big");
    let chore = day.chore("dirty-pot").expect("a chore");
    assert_eq!(day.view()["chores"][&chore]["text"], "Wash big pot");
    day.helper_does(&format!("take-chore chore={chore} helper=bo"));
    assert_eq!(day.view()["chores"][&chore]["taken_by"], "bo");
    day.helper_does(&format!("finish-chore chore={chore} helper=bo"));
    assert_eq!(day.chore("dirty-pot"), None);
    for order in filled_pot("big") {
        day.does(&order);
    }
}

#[test]
fn need_19_a_full_scraps_bucket_raises_a_chore_and_is_empty_after_it() {
    let mut day = Kitchen::open();
    // A fifth of what is sliced is trimmings: 50 lb fill the 10 lb bucket.
    for (amount, raised) in [(49_000, false), (1000, true)] {
        day.does(&format!(
            "open-box lot=pears-a product=pear-quarts amount={amount}"
        ));
        day.does(&format!("tally station=slice amount={amount}"));
        assert_eq!(day.chore("scraps").is_some(), raised);
    }
    let chore = day.chore("scraps").unwrap();
    day.does(&format!("finish-chore chore={chore}"));
    assert_eq!(day.view()["day"]["scraps_lb"], 0);
}

#[test]
fn need_19_the_next_box_chore_opens_the_box() {
    let mut day = Kitchen::open();
    let view = day.view();
    let chores = view["chores"].as_object().unwrap();
    let (chore, _) = chores
        .iter()
        .find(|(_, c)| c["kind"]["product"] == "plum-mash")
        .unwrap();
    day.helper_does(&format!("finish-chore chore={chore} helper=wren"));
    assert_eq!(day.waits("wash", "plum-mash"), 20_000);
}

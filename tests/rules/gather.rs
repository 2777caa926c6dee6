//! The list to gather: what stands on it for which plan, and what is counted of it.

use crate::kitchen::{Kitchen, seals};
use putby::day::gather::{Item, gather};
use putby::day::{Code, Role, STATE_VERSION};
use serde_json::{Value, json};

/// The test kitchen with so many packages wanted of these products, and no others made.
fn wanting(wanted: &[(&str, i64)]) -> Kitchen {
    Kitchen::with(|plan| {
        let products = plan["products"].as_object_mut().unwrap();
        products.retain(|id, _| wanted.iter().any(|(name, _)| name == id));
        for (id, count) in wanted {
            products[*id]["wanted"] = json!(count * 1000);
        }
    })
}

fn item(day: &Kitchen, id: &str) -> Option<Item> {
    gather(&day.state).into_iter().find(|item| item.id == id)
}

/// What is needed, in whole ones, and how much of that is spare.
fn need(day: &Kitchen, id: &str) -> Option<(i64, Option<i64>)> {
    let item = item(day, id)?;
    Some((item.need?.0 / 1000, item.spare.map(|spare| spare.0 / 1000)))
}

#[test]
fn jars_lids_bands_and_labels_are_those_of_the_packages_wanted() {
    let day = wanting(&[("pear-quarts", 21), ("pear-pints", 9), ("sauce", 9)]);
    assert_eq!(need(&day, "jars-quart"), Some((21, None)));
    assert_eq!(need(&day, "jars-pint"), Some((18, None)));
    // Common practice, no source: ten spare lids in a hundred; 39 and 4.
    assert_eq!(need(&day, "lids"), Some((43, Some(4))));
    assert_eq!(need(&day, "bands"), Some((39, None)));
    assert_eq!(need(&day, "labels"), Some((43, Some(4))));
    for product in ["pear-quarts", "pear-pints", "sauce"] {
        assert!(
            item(&day, &format!("recipe-{product}")).is_some(),
            "{product}"
        );
    }
    assert!(item(&day, "jars-half-pint").is_none());
    assert!(item(&day, "packages-tub").is_none());
    assert!(item(&day, "freezer-cold").is_none());
}

#[test]
fn acid_is_listed_where_the_tested_process_asks_for_it() {
    let day = wanting(&[("pear-quarts", 7), ("sauce", 9)]);
    assert!(item(&day, "acid-pear-quarts").is_none());
    let acid = item(&day, "acid-sauce").unwrap();
    assert_eq!(acid.need.unwrap().0, 9000, "a dose for each jar");
    // Michigan State Univ. Extension 01600872: every pint gets 1 tbsp of bottled lemon juice, or
    // 1/4 tsp of citric acid.
    let dose = acid.detail.unwrap();
    assert!(dose.contains("1 tbsp bottled lemon juice"), "{dose}");
    assert_eq!(acid.rule.unwrap().id, "acid-bottled-only");
    // The dose is the same where the height is not known yet.
    let low = Kitchen::with(|plan| {
        plan["products"]["sauce"]["wanted"] = json!(9000);
        plan.as_object_mut().unwrap().remove("altitude_ft");
    });
    assert_eq!(item(&low, "acid-sauce").unwrap().detail, Some(dose));
    assert_eq!(item(&low, "altitude").unwrap().detail, None);
}

#[test]
fn canners_and_tools_follow_their_published_rules() {
    let day = wanting(&[("pear-quarts", 7), ("beans", 9)]);
    let rule = |id: &str| item(&day, id).unwrap().rule.unwrap();
    // PNW 421: a dial gauge is tested every year before use.
    assert!(rule("gauge-press/a").says.contains("every year"));
    assert_eq!(rule("gauge-press/a").id, "pressure-gauge-check");
    assert_eq!(rule("canner-canner/a").id, "water-depth");
    assert!(
        item(&day, "gauge-canner/a").is_none(),
        "boiling water has no gauge"
    );
    // USDA Complete Guide, boiling-water steps: 180 °F for hot packs, 140 °F for raw packs.
    assert_eq!(rule("canner-thermometer").id, "load-temp-hot");
    let raw = wanting(&[("peach-pints", 9)]);
    let water = item(&raw, "canner-thermometer").unwrap();
    assert_eq!(water.rule.unwrap().id, "load-temp-raw");
    // Every rule that is shown was read where it says.
    for item in gather(&day.state) {
        if let Some(rule) = item.rule {
            let found = putby::trade::rule(rule.id).unwrap();
            assert_eq!(
                found.confidence,
                putby::trade::Confidence::Read,
                "{}",
                item.id
            );
        }
    }
}

#[test]
fn freezing_asks_for_packages_and_a_cold_freezer() {
    let day = wanting(&[("spread", 24)]);
    assert_eq!(need(&day, "packages-tub"), Some((27, Some(3))));
    // West Virginia Univ. Extension: set to -10 °F a day before a big freeze.
    let cold = item(&day, "freezer-cold").unwrap().rule.unwrap();
    assert!(cold.says.contains("-10 F"), "{}", cold.says);
    assert!(item(&day, "jars-quart").is_none());
}

#[test]
fn supplies_are_reckoned_back_through_the_route() {
    let day = Kitchen::with(|plan| {
        let unit = |name: &str, unit: &str| json!({"name": name, "unit": unit, "stock": 5000});
        plan["supplies"]["syrup"] = unit("light syrup", "cup");
        plan["supplies"]["brush"] = unit("brushes", "brush");
        let pears = &mut plan["products"]["pear-quarts"];
        pears["wanted"] = json!(7000);
        // 1.25 cups a quart jar; and half a cup of rinse for each pound that is sliced.
        pears["route"][1]["draws"]["syrup"] = json!(1250);
        pears["route"][0]["draws"] = json!({"syrup": 500});
    });
    // 7 jars: 8.75 cups; they are 17.5 lb, the published load of 7 quarts (USDA Complete Guide,
    // Guide 2), which draw 8.75 more.
    let syrup = item(&day, "supply-syrup").unwrap();
    assert_eq!(syrup.need.unwrap().0, 17_500);
    assert_eq!(syrup.unit.as_deref(), Some("cup"));
    assert_eq!(
        item(&day, "supply-brush").unwrap().need.unwrap().0,
        5000,
        "as the plan says"
    );
    assert!(
        item(&day, "supply-lids").is_none(),
        "lids stand on the list by themselves"
    );
}

#[test]
fn a_plan_that_does_not_say_how_much_is_ticked_and_every_id_stands_once() {
    let day = Kitchen::open();
    let list = gather(&day.state);
    let lids = list.iter().find(|item| item.id == "lids").unwrap();
    assert_eq!(
        (lids.need, lids.spare, lids.unit.clone()),
        (None, None, None)
    );
    let mut ids: Vec<&String> = list.iter().map(|item| &item.id).collect();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), list.len());
    let empty = Kitchen::with(|plan| {
        plan["products"] = json!({});
        plan["lots"] = json!({});
        plan["supplies"] = json!({});
    });
    let ids: Vec<String> = gather(&empty.state)
        .into_iter()
        .map(|item| item.id)
        .collect();
    assert_eq!(ids, ["first-aid"]);
}

#[test]
fn counts_are_kept_shown_and_taken_back() {
    let mut day = wanting(&[("pear-quarts", 20)]);
    assert_eq!(day.view().get("gathered"), None);
    day.helper_does("gather item=lids have=12000 helper=osk");
    assert_eq!(
        day.view()["gathered"]["lids"],
        json!({"have": 12_000, "helper": "osk", "at": day.now.0})
    );
    assert_eq!(
        item(&day, "lids").unwrap().missing().unwrap().0,
        10_000,
        "22 with the spare"
    );
    day.helper_does("gather item=lids have=30000");
    assert_eq!(item(&day, "lids").unwrap().missing().unwrap().0, 0);
    assert_eq!(
        item(&day, "bands").unwrap().missing(),
        None,
        "nobody has looked"
    );
    day.does("gather item=lids have=0");
    assert_eq!(item(&day, "lids").unwrap().missing().unwrap().0, 22_000);
    day.helper_does("gather item=lids");
    assert_eq!(day.view().get("gathered"), None);
    day.helper_does("gather item=altitude have=1000");
    assert_eq!(item(&day, "altitude").unwrap().missing().unwrap().0, 0);
}

#[test]
fn what_is_not_on_the_list_or_no_count_is_refused() {
    let mut day = wanting(&[("pear-quarts", 20)]);
    day.refuses(Code::Unknown, "gather item=packages-tub have=1000");
    day.refuses(Code::Unknown, "gather item=lids have=1000 helper=nobody");
    day.refuses(Code::BadValue, "gather item=lids have=-1000");
    day.refuses(Code::BadValue, "gather item=lids have=1000000001");
    let order: Value = json!({"order": "gather", "item": "lids", "have": 1000});
    day.refuses_role(Role::Watcher, Code::WatchOnly, order);
    day.does("close-day");
    day.refuses(Code::DayClosed, "gather item=lids have=1000");
    assert_eq!(STATE_VERSION, 3, "the counts are part of the state");
}

#[test]
fn after_the_last_seal_check_the_jars_want_to_be_shelved_once() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7).does("close-day");
    day.wait(12 * 60);
    day.does(&seals("l1", "pear-quarts", &[("sealed", 5)]));
    assert_eq!(day.chore("shelve"), None, "two are unchecked");
    day.does(&seals(
        "l1",
        "pear-quarts",
        &[("sealed", 1), ("refrigerated", 1)],
    ));
    let chore = day.chore("shelve").unwrap();
    let told = day.view()["chores"][&chore].clone();
    assert_eq!(told["kind"], json!({"about": "shelve", "load": "l1"}));
    assert_eq!(told["text"], "Load 1: bands off, wash, label, shelve");
    day.does(&format!("finish-chore chore={chore} helper=osk"));
    day.does("note on={\"about\":\"day\"} text=All_on_the_shelf");
    assert_eq!(day.chore("shelve"), None, "once and not again");
}

#[test]
fn a_load_without_a_good_seal_has_nothing_to_shelve_and_other_chores_stay_as_they_were() {
    let mut day = Kitchen::open();
    day.does("recount-supply supply=lids amount=6000");
    day.rack_pears("l1", 2).does("close-day");
    let before = day.chores();
    assert!(before.contains(&"supply-low".to_owned()));
    day.wait(12 * 60);
    day.does(&seals("l1", "pear-quarts", &[("refrigerated", 2)]));
    assert_eq!(day.chores(), before);
}

#[test]
fn the_next_day_lists_loads_until_they_are_shelved() {
    use putby::day::next_day::left_to_do;
    let mut day = Kitchen::open();
    assert_eq!(left_to_do(&day.state), []);
    day.rack_pears("l1", 7);
    let lifted_at = day.now;
    day.wait(30);
    day.rack_pears("l2", 2).does("close-day");
    let left = left_to_do(&day.state);
    let numbers: Vec<usize> = left.iter().map(|load| load.number).collect();
    assert_eq!(numbers, [1, 2]);
    // USDA Complete Guide, Cooling jars: 12 to 24 hours; MSU 01600593: again within 24 hours.
    let hours = |n: i64| putby::day::time::Timestamp(lifted_at.0 + n * 3_600_000);
    assert_eq!((left[0].from, left[0].by), (hours(12), hours(24)));
    assert_eq!(left[0].unchecked["pear quarts"], 7);
    day.wait(13 * 60);
    day.does(&seals("l1", "pear-quarts", &[("sealed", 7)]));
    let left = left_to_do(&day.state);
    assert_eq!(
        (left[0].unchecked.len(), left[0].sealed["pear quarts"]),
        (0, 7)
    );
    let chore = day.chore("shelve").unwrap();
    day.does(&format!("finish-chore chore={chore}"));
    let loads: Vec<usize> = left_to_do(&day.state)
        .iter()
        .map(|load| load.number)
        .collect();
    assert_eq!(loads, [2]);
}

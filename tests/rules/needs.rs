//! The ranked needs of a preserving day that the rules answer, each by its number.

use crate::kitchen::{Kitchen, build, order_of};
use crate::refusals::filled_pot;
use putby::day::time::{MINUTE_MS, Timestamp};
use putby::day::{Code, Record, Role, State, apply, execute};
use serde_json::json;

fn loaded() -> Kitchen {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(7)
        .does(&build("canner", "l1", &[("pear-quarts", 7)]));
    k
}

#[test]
fn need_01_without_a_boil_tap_there_is_no_countdown_and_no_done() {
    let mut k = loaded();
    k.does("heat-load load=l1");
    k.wait(30);
    let load = k.view()["loads"]["l1"].clone();
    assert_eq!(load["phase"], "heating");
    assert!(
        load.get("done_at").is_none() && load.get("boil_at").is_none(),
        "{load}"
    );
    let refusal = k.refuses(Code::TimeNotOver, "heat-off load=l1");
    assert!(refusal.detail.contains("no full boil"), "{refusal:?}");
    k.refuses(Code::WrongPhase, "lift-load load=l1");
    k.does("rolling-boil load=l1");
    let done_at = k.view()["loads"]["l1"]["done_at"].as_i64().unwrap();
    assert_eq!(done_at - k.now.0, 25 * MINUTE_MS);
}

#[test]
fn need_01_the_boil_is_tapped_once() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7)
        .wait(10)
        .refuses(Code::WrongPhase, "rolling-boil load=l1");
    k.refuses(Code::WrongPhase, "heat-load load=l1");
}

#[test]
fn need_02_a_blank_altitude_blocks_the_load_until_it_is_set() {
    let mut k = Kitchen::with(|plan| plan["altitude_ft"] = json!(null));
    k.fill_pear_quarts(7);
    let order = build("canner", "l1", &[("pear-quarts", 7)]);
    let refusal = k.refuses(Code::NoAltitude, &order);
    assert!(
        refusal.instead.contains("lead sets the altitude"),
        "{refusal:?}"
    );
    k.all(&["change-day altitude_ft=3500", &order]);
    // USDA Complete Guide to Home Canning, pears hot pack, quarts, 3,001 to 6,000 ft: 35 minutes.
    assert_eq!(k.view()["loads"]["l1"]["process"]["tested"]["minutes"], 35);
}

/// USDA Complete Guide, 0 to 1,000 ft: pears hot pack in quarts 25 minutes; fruit purée 15.
#[test]
fn need_02_a_mixed_load_gets_the_longest_time_and_says_who_decided() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(3);
    k.does(
        "add-lot lot=puree-a plan={\"name\":\"Pulp\",\"produce\":\"plums\",\"measure\":\"qt\",\
            \"amount\":5000,\"box_holds\":5000}",
    );
    k.all(&[
        "open-box lot=puree-a product=plum-puree",
        "tally station=fill product=plum-puree amount=3000",
    ]);
    k.does(&build(
        "canner",
        "l1",
        &[("plum-puree", 3), ("pear-quarts", 3)],
    ));
    let view = k.view();
    let process = &view["loads"]["l1"]["process"];
    assert_eq!(
        (&process["tested"]["minutes"], &process["decided_by"]),
        (&json!(25), &json!("pear-quarts"))
    );
}

#[test]
fn need_02_too_many_jars_and_unlike_pressures_are_blocked_with_the_reason() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(8);
    let refusal = k.refuses(
        Code::OverCapacity,
        &build("canner", "l1", &[("pear-quarts", 8)]),
    );
    assert!(refusal.instead.contains("7 quart jars"), "{refusal:?}");
    k.fill("pears-a", "pear-press", 1, 1250)
        .fill("beans-a", "beans", 1, 1000);
    for order in [
        build("press", "l1", &[("pear-press", 1), ("beans", 1)]),
        build("press", "l1", &[("beans", 1), ("pear-press", 1)]),
    ] {
        k.refuses(Code::UnlikePressure, &order);
    }
    k.does(&build("press", "l1", &[("beans", 1)]));
}

#[test]
fn need_02_a_product_named_twice_is_not_drawn_twice() {
    let mut k = Kitchen::open();
    k.fill_pear_quarts(4);
    let twice = build("canner", "l1", &[("pear-quarts", 2), ("pear-quarts", 2)]);
    k.refuses(Code::BadValue, &twice);
    k.refuses(
        Code::BadValue,
        &build("canner", "l1", &[("pear-quarts", 0)]),
    );
    k.refuses(Code::BadValue, &build("canner", "l1", &[]));
    k.refuses(
        Code::NotEnough,
        &build("canner", "l1", &[("pear-quarts", 5)]),
    );
    assert_eq!(k.waits("canner", "pear-quarts"), 4000);
}

#[test]
fn need_03_timers_are_moments_that_survive_a_restart() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    k.boil_pears("l1", 7).wait(3);
    let stored = serde_json::to_string(&k.state).unwrap();
    let woken: State = serde_json::from_str(&stored).unwrap();
    assert_eq!(woken, k.state);
    let (before, after) = (
        k.view(),
        serde_json::to_value(putby::day::view(&woken)).unwrap(),
    );
    assert_eq!(before, after);
    let load = &after["loads"]["l1"];
    assert_eq!(
        load["done_at"].as_i64(),
        load["boil_at"].as_i64().map(|at| at + 25 * MINUTE_MS)
    );
    assert!(after["stations"]["cook"]["pots"]["big"]["stir_at"].is_i64());
    k.state = woken;
    k.wait(21).refuses(Code::TimeNotOver, "heat-off load=l1");
    k.wait(1).does("heat-off load=l1");
}

#[test]
fn need_03_a_clock_set_back_does_not_shorten_a_process() {
    let mut k = Kitchen::open();
    k.boil_pears("l1", 7)
        .wait(-60)
        .refuses(Code::TimeNotOver, "heat-off load=l1");
    k.wait(60 + 25).does("heat-off load=l1");
}

#[test]
fn need_05_children_are_kept_off_blades_and_heat_whoever_taps() {
    let mut k = Kitchen::open();
    for role in [Role::Helper, Role::Lead] {
        for order in [
            "claim helper=bo station=fill beside=maren",
            "claim helper=bo station=slice",
        ] {
            let refusal = k.refuses_role(role, Code::AgeRule, order_of(order));
            assert!(refusal.detail.contains("Bo"), "{refusal:?}");
        }
    }
    k.does("claim helper=bo station=wash");
    k.refuses(Code::AgeRule, "switch helper=bo station=slice");
    k.does("claim helper=osk station=slice");
    k.refuses(Code::AgeRule, "swap one=bo other=osk");
    assert_eq!((k.seat("bo"), k.seat("osk")), (Some("wash"), Some("slice")));
    let view = k.view();
    assert_eq!(view["helpers"]["bo"]["may"]["slice"], "never");
    assert_eq!(view["helpers"]["wren"]["may"]["slice"], "with-adult");
    assert_eq!(view["helpers"]["maren"]["may"]["slice"], "allowed");
}

#[test]
fn need_05_the_grown_up_beside_is_named_kept_and_can_be_relieved() {
    let mut k = Kitchen::open();
    k.does("claim helper=wren station=slice beside=osk");
    assert_eq!(
        k.view()["stations"]["slice"]["seated"]["wren"]["beside"],
        "osk"
    );
    assert_eq!(k.view()["helpers"]["osk"]["beside_of"], json!(["wren"]));
    for order in [
        "go-home helper=osk",
        "take-break helper=osk",
        "claim helper=osk station=fill",
    ] {
        let refusal = k.refuses(Code::Depended, order);
        assert!(refusal.detail.contains("Wren"), "{refusal:?}");
    }
    k.refuses(Code::AdultBusy, "stay-beside helper=wren adult=juno");
    k.all(&[
        "stay-beside helper=wren adult=maren",
        "claim helper=osk station=fill",
    ]);
    assert_eq!(k.view()["helpers"]["maren"]["beside_of"], json!(["wren"]));
}

#[test]
fn need_05_only_the_lead_changes_the_rule_for_ages() {
    let mut k = Kitchen::open();
    let order = json!({"order": "set-age-rules", "rules": {"blade":
        [{"from_age": 0, "verdict": "with-adult"}]}});
    k.refuses_role(Role::Helper, Code::LeadOnly, order.clone());
    k.does_json(order);
    k.refuses(Code::AdultNeeded, "claim helper=bo station=slice");
    k.does("claim helper=bo station=slice beside=osk");
    // A need the house has no rule for is for grown-ups.
    k.refuses(Code::AgeRule, "claim helper=juno station=fill");
}

#[test]
fn need_09_stirring_gets_more_often_as_it_thickens() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren backup=osk");
    let due_in = |k: &Kitchen| {
        let due = k.view()["stations"]["cook"]["pots"]["big"]["stir_at"]
            .as_i64()
            .unwrap();
        (due - k.now.0) / MINUTE_MS
    };
    assert_eq!(due_in(&k), 18);
    k.wait(15).does("stirred station=cook pot=big helper=maren");
    assert_eq!(due_in(&k), 18);
    k.wait(18)
        .does("stirred station=cook pot=big helper=maren thickness=half");
    assert_eq!(due_in(&k), 10);
    k.wait(10)
        .does("stirred station=cook pot=big thickness=thick");
    assert_eq!(due_in(&k), 4);
    k.wait(3).does("stirred station=cook pot=big");
    assert_eq!(due_in(&k), 4, "a stir without a word leaves it as thick");
    assert_eq!(k.view()["stations"]["cook"]["pots"]["big"]["backup"], "osk");
}

fn oldest(k: &Kitchen, station: &str, product: &str) -> i64 {
    let oldest = k.view()["stations"][station]["waiting"][product]["oldest_at"].as_i64();
    (k.now.0 - oldest.unwrap()) / MINUTE_MS
}

#[test]
fn need_11_cut_fruit_goes_oldest_first_and_keeps_its_age_over_an_undo() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts amount=10000");
    k.wait(20).does("tally station=slice amount=5000");
    k.wait(40).does("tally station=slice amount=5000");
    assert_eq!(oldest(&k, "fill", "pear-quarts"), 40);
    k.wait(50).does("tally station=fill amount=5000");
    assert_eq!(
        oldest(&k, "fill", "pear-quarts"),
        50,
        "the oldest went first"
    );
    k.does("undo-tally station=fill");
    assert_eq!(
        oldest(&k, "fill", "pear-quarts"),
        90,
        "the undone fruit has its age again"
    );
    k.does("tally station=fill amount=5000");
    assert_eq!(oldest(&k, "fill", "pear-quarts"), 50);
}

#[test]
fn need_11_diverted_and_emptied_fruit_keeps_its_age() {
    let mut k = Kitchen::open();
    k.does("open-box lot=pears-a product=pear-quarts amount=5000");
    k.wait(5).does("tally station=slice amount=5000");
    k.wait(30);
    let to = r#"{"as":"route","product":"pear-pints","station":"fill"}"#;
    k.does(&format!(
        "divert station=fill product=pear-quarts amount=5000 to={to}"
    ));
    assert_eq!(oldest(&k, "fill", "pear-pints"), 30);
    k.all(&[
        "open-box lot=plums-a product=plum-mash amount=4000",
        "tally station=wash",
    ]);
    k.wait(7)
        .does("fill-pot station=cook pot=big product=plum-mash");
    k.wait(8).does("empty-pot station=cook pot=big");
    assert_eq!(oldest(&k, "cook", "plum-mash"), 15);
}

#[test]
fn need_12_a_low_stock_raises_a_chore_before_it_runs_out() {
    let mut k = Kitchen::open();
    k.all(&[
        "recount-supply supply=lids amount=8000",
        "open-box lot=pears-a product=pear-quarts",
    ]);
    k.all(&[
        "tally station=slice amount=20000",
        "tally station=fill amount=2500",
    ]);
    assert_eq!((k.stock("lids"), k.chore("supply-low")), (7000, None));
    k.does("tally station=fill amount=2500");
    let chore = k.chore("supply-low").expect("six are the low mark");
    assert_eq!(k.view()["chores"][&chore]["text"], "Get more lids");
    k.does("tally station=fill amount=2500");
    assert_eq!(
        k.chores()
            .iter()
            .filter(|about| *about == "supply-low")
            .count(),
        1
    );
    k.does("restock supply=lids amount=20000");
    assert_eq!(k.chore("supply-low"), None, "the flow settles it");
    k.does("recount-supply supply=lids amount=1000");
    assert!(k.chore("supply-low").is_some(), "and raises it again");
}

/// The totals that must agree: ledgers, stocks, scraps.
fn totals(k: &Kitchen) -> serde_json::Value {
    let view = k.view();
    let at = |station: &str| view["stations"][station]["waiting"]["pear-quarts"]["amount"].clone();
    json!({"slice": at("slice"), "fill": at("fill"), "canner": at("canner"),
        "lids": view["supplies"]["lids"]["stock"], "scraps": view["day"]["scraps_lb"]})
}

#[test]
fn need_13_seven_instead_of_one_is_undone_and_all_totals_agree() {
    let start = || {
        let mut k = Kitchen::open();
        k.all(&[
            "open-box lot=pears-a product=pear-quarts",
            "tally station=slice amount=20000",
        ]);
        k
    };
    let (mut wrong, mut right) = (start(), start());
    wrong.wait(1).does("tally station=fill amount=17500");
    wrong.wait(1).does("undo-tally station=fill");
    wrong.wait(1).does("tally station=fill amount=2500");
    right.wait(3).does("tally station=fill amount=2500");
    assert_eq!(totals(&wrong), totals(&right));
    assert_eq!(wrong.state.flows, right.state.flows);
    assert_eq!(
        wrong.records.len(),
        right.records.len() + 2,
        "the history keeps the slip"
    );
}

#[test]
fn need_13_a_slip_that_moved_on_is_recounted_and_the_difference_stays_on_record() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=pears-a product=pear-quarts",
        "tally station=slice amount=7500",
    ]);
    k.does("tally station=fill amount=7500");
    k.refuses(Code::MovedOn, "undo-tally station=slice");
    k.all(&[
        "recount station=canner product=pear-quarts lot=pears-a amount=1000",
        "recount station=fill product=pear-quarts lot=pears-a amount=5000",
    ]);
    let view = k.view();
    let done = |station: &str| view["stations"][station]["done"]["pear-quarts"].clone();
    assert_eq!(done("canner")["recounted"], -2000);
    assert_eq!(done("fill")["recounted"], 5000);
    assert_eq!(
        (
            k.waits("fill", "pear-quarts"),
            k.waits("canner", "pear-quarts")
        ),
        (5000, 1000)
    );
}

#[test]
fn need_13_each_helper_takes_back_their_own_last_tally() {
    let mut k = Kitchen::open();
    k.all(&[
        "open-box lot=plums-a product=plum-mash",
        "claim helper=wren station=wash",
    ]);
    k.does("claim helper=bo station=wash");
    k.wait(1)
        .helper_does("tally station=wash helper=wren amount=1000");
    k.wait(1)
        .helper_does("tally station=wash helper=bo amount=2000");
    k.helper_does("undo-tally station=wash helper=wren");
    assert_eq!(
        (k.waits("wash", "plum-mash"), k.waits("cook", "plum-mash")),
        (18_000, 2000)
    );
    k.refuses(Code::NothingToUndo, "undo-tally station=wash helper=wren");
    k.does("undo-tally station=wash");
    assert_eq!(k.waits("cook", "plum-mash"), 0);
}

#[test]
fn need_15_helpers_swap_rest_and_come_back_without_asking_the_lead() {
    let mut k = Kitchen::open();
    k.helper_does("claim helper=juno station=slice");
    k.helper_does("claim helper=osk station=fill");
    k.wait(40).helper_does("swap one=juno other=osk");
    assert_eq!(
        (k.seat("juno"), k.seat("osk")),
        (Some("fill"), Some("slice"))
    );
    k.helper_does("take-break helper=juno");
    assert_eq!(
        (k.seat("juno"), &k.view()["helpers"]["juno"]["presence"]),
        (None, &json!("resting"))
    );
    k.helper_does("claim helper=edda station=fill");
    k.helper_does("end-break helper=juno");
    k.refuses(Code::WrongPhase, "end-break helper=juno");
    k.helper_does("claim helper=juno station=fill");
}

#[test]
fn need_15_two_at_one_station_have_nothing_to_swap() {
    let mut k = Kitchen::open();
    k.all(&[
        "claim helper=juno station=slice",
        "claim helper=osk station=slice",
    ]);
    k.refuses(Code::AlreadySeated, "swap one=juno other=osk");
    k.refuses(Code::NotSeated, "swap one=juno other=maren");
}

#[test]
fn need_15_a_swap_of_a_child_and_the_adult_beside_is_judged_as_it_would_be() {
    let mut k = Kitchen::open();
    k.all(&[
        "claim helper=wren station=slice beside=osk",
        "claim helper=osk station=wash",
    ]);
    k.helper_does("swap one=wren other=osk");
    assert_eq!(
        (k.seat("wren"), k.seat("osk")),
        (Some("wash"), Some("slice"))
    );
    k.refuses(Code::AdultNeeded, "swap one=wren other=osk");
}

#[test]
fn need_18_a_shared_thing_is_taken_while_work_runs_and_given_back_after() {
    let used = |k: &Kitchen| k.view()["resources"]["burners"]["used"].as_u64().unwrap();
    let mut k = loaded();
    assert_eq!(used(&k), 0);
    k.does("heat-load load=l1");
    assert_eq!(used(&k), 1);
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    assert_eq!(used(&k), 2);
    k.fill("beans-a", "beans", 2, 1000);
    k.does(&build("press", "l2", &[("beans", 2)]));
    let refusal = k.refuses(Code::ResourceBusy, "heat-load load=l2");
    assert!(refusal.detail.contains("2 of 2"), "{refusal:?}");
    k.does("pot-done station=cook pot=big");
    assert_eq!(used(&k), 1);
    k.wait(20)
        .all(&["heat-load load=l2", "rolling-boil load=l1"]);
    k.wait(25).does("heat-off load=l1");
    assert_eq!(used(&k), 1);
}

#[test]
fn need_18_the_first_seat_takes_the_sink_and_the_last_gives_it_back() {
    let mut k = Kitchen::with(|plan| {
        plan["resources"]["sink"] = json!({"name": "sink", "count": 1});
        plan["stations"]["wash"]["occupies"] = json!({"sink": 1});
        plan["stations"]["bag"]["occupies"] = json!({"sink": 1});
    });
    k.all(&[
        "claim helper=wren station=wash",
        "claim helper=bo station=wash",
    ]);
    k.refuses(Code::ResourceBusy, "claim helper=osk station=bag");
    k.does("leave helper=wren");
    k.refuses(Code::ResourceBusy, "claim helper=osk station=bag");
    k.does("switch helper=bo station=bag");
}

#[test]
fn need_19_a_used_pot_raises_a_chore_and_is_clean_when_it_is_done() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=maren");
    k.does("pot-done station=cook pot=big");
    let chore = k.chore("dirty-pot").expect("a chore");
    assert_eq!(k.view()["chores"][&chore]["text"], "Wash big pot");
    k.helper_does(&format!("take-chore chore={chore} helper=bo"));
    assert_eq!(k.view()["chores"][&chore]["taken_by"], "bo");
    k.helper_does(&format!("finish-chore chore={chore} helper=bo"));
    assert_eq!(k.chore("dirty-pot"), None);
    for order in filled_pot("big") {
        k.does(&order);
    }
}

#[test]
fn need_19_a_full_scraps_bucket_raises_a_chore_and_is_empty_after_it() {
    let mut k = Kitchen::open();
    // A fifth of what is sliced is trimmings: 50 lb fill the 10 lb bucket.
    for (amount, raised) in [(49_000, false), (1000, true)] {
        k.does(&format!(
            "open-box lot=pears-a product=pear-quarts amount={amount}"
        ));
        k.does(&format!("tally station=slice amount={amount}"));
        assert_eq!(k.chore("scraps").is_some(), raised);
    }
    let chore = k.chore("scraps").unwrap();
    k.does(&format!("finish-chore chore={chore}"));
    assert_eq!(k.view()["day"]["scraps_lb"], 0);
}

#[test]
fn need_19_the_next_box_chore_opens_the_box() {
    let mut k = Kitchen::open();
    let view = k.view();
    let chores = view["chores"].as_object().unwrap();
    let (chore, _) = chores
        .iter()
        .find(|(_, c)| c["kind"]["product"] == "plum-mash")
        .unwrap();
    k.helper_does(&format!("finish-chore chore={chore} helper=wren"));
    assert_eq!(k.waits("wash", "plum-mash"), 20_000);
}

#[test]
fn need_21_who_goes_in_a_hurry_leaves_no_child_alone_and_hands_the_pot_on() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("claim helper=osk station=wash");
    k.does("claim helper=wren station=slice beside=osk");
    k.does("start-pot station=cook pot=big minder=osk backup=maren");
    let refusal = k.refuses(Code::Depended, "go-home helper=osk");
    assert!(
        refusal.detail.contains("pot") && refusal.detail.contains("Wren"),
        "{refusal:?}"
    );
    k.helper_does("go-home helper=osk hurry=true");
    assert_eq!((k.seat("osk"), k.seat("wren")), (None, None));
    let pot = k.view()["stations"]["cook"]["pots"]["big"].clone();
    assert_eq!((&pot["minder"], pot.get("backup")), (&json!("maren"), None));
    assert_eq!(k.chore("unminded-pot"), None);
    k.helper_does("go-home helper=maren hurry=true");
    assert!(
        k.chore("unminded-pot").is_some(),
        "nobody is left to mind it"
    );
    k.does("hand-over-pot station=cook pot=big minder=edda");
    assert_eq!(k.chore("unminded-pot"), None);
}

#[test]
fn need_21_a_backup_who_is_resting_does_not_get_the_pot() {
    let mut k = Kitchen::open();
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.does("start-pot station=cook pot=big minder=osk backup=maren");
    k.all(&["take-break helper=maren", "go-home helper=osk hurry=true"]);
    assert!(k.chore("unminded-pot").is_some());
}

#[test]
fn need_21_a_late_helper_joins_when_they_come() {
    let mut k = Kitchen::with(|plan| plan["helpers"]["juno"]["here"] = json!(false));
    let refusal = k.refuses(Code::NotHere, "claim helper=juno station=fill");
    assert!(refusal.detail.contains("not here yet"), "{refusal:?}");
    k.all(&[
        "arrive helper=juno",
        "claim helper=juno station=fill",
        "go-home helper=juno",
    ]);
    k.refuses(Code::NotHere, "go-home helper=juno");
    k.all(&["arrive helper=juno"]);
    k.refuses(Code::WrongPhase, "arrive helper=juno");
}

#[test]
fn need_25_events_as_json_lines_replay_to_the_same_day() {
    let mut k = Kitchen::open();
    k.rack_pears("l1", 7)
        .all(&["note on={\"about\":\"load\",\"id\":\"l1\"} text=Clear_syrup"]);
    for order in filled_pot("big") {
        k.does(&order);
    }
    k.wait(5)
        .all(&["empty-pot station=cook pot=big", "close-day"]);
    let lines: Vec<String> = k
        .records
        .iter()
        .map(|record| serde_json::to_string(record).unwrap())
        .collect();
    assert!(lines.iter().all(|line| !line.contains('\n')));
    let mut state = State::default();
    for line in &lines {
        let record: Record = serde_json::from_str(line).unwrap();
        apply(&mut state, record.at, record.command, &record.event);
    }
    assert_eq!(state, k.state);
    assert_eq!(
        serde_json::to_value(putby::day::view(&state)).unwrap(),
        k.view()
    );
}

#[test]
fn need_25_the_same_orders_at_the_same_moments_give_the_same_events() {
    let run = || {
        let mut k = Kitchen::open();
        k.rack_pears("l1", 7);
        serde_json::to_string(&k.records).unwrap()
    };
    assert_eq!(run(), run());
    let mut state = State::default();
    let moment = putby::day::Moment {
        now: Timestamp(1),
        command: uuid::Uuid::nil(),
        role: Role::Lead,
    };
    let plan: putby::day::plan::DayPlan = crate::kitchen::read(crate::kitchen::plan());
    let command = putby::day::Command::OpenDay {
        plan: Box::new(plan),
    };
    assert!(execute(&mut state, &command, &moment).is_ok());
}

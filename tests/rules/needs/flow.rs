//! Needs 11, 12, 13 and 25: fruit, stocks, slips and the record of it all.

use crate::kitchen::Kitchen;
use crate::refusals::filled_pot;
use putby::day::time::{MINUTE_MS, Timestamp};
use putby::day::{Code, Record, Role, State, apply, execute};
use serde_json::json;

fn oldest(day: &Kitchen, station: &str, product: &str) -> i64 {
    let oldest = day.view()["stations"][station]["waiting"][product]["oldest_at"].as_i64();
    (day.now.0 - oldest.unwrap()) / MINUTE_MS
}

#[test]
fn need_11_cut_fruit_goes_oldest_first_and_keeps_its_age_over_an_undo() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts amount=10000");
    day.wait(20).does("tally station=slice amount=5000");
    day.wait(40).does("tally station=slice amount=5000");
    assert_eq!(oldest(&day, "fill", "pear-quarts"), 40);
    day.wait(50).does("tally station=fill amount=5000");
    assert_eq!(
        oldest(&day, "fill", "pear-quarts"),
        50,
        "the oldest went first"
    );
    day.does("undo-tally station=fill");
    assert_eq!(
        oldest(&day, "fill", "pear-quarts"),
        90,
        "the undone fruit has its age again"
    );
    day.does("tally station=fill amount=5000");
    assert_eq!(oldest(&day, "fill", "pear-quarts"), 50);
}

#[test]
fn need_11_diverted_and_emptied_fruit_keeps_its_age() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts amount=5000");
    day.wait(5).does("tally station=slice amount=5000");
    day.wait(30);
    let to = r#"{"as":"route","product":"pear-pints","station":"fill"}"#;
    day.does(&format!(
        "divert station=fill product=pear-quarts amount=5000 to={to}"
    ));
    assert_eq!(oldest(&day, "fill", "pear-pints"), 30);
    day.all(&[
        "open-box lot=plums-a product=plum-mash amount=4000",
        "tally station=wash",
    ]);
    day.wait(7)
        .does("fill-pot station=cook pot=big product=plum-mash");
    day.wait(8).does("empty-pot station=cook pot=big");
    assert_eq!(oldest(&day, "cook", "plum-mash"), 15);
}

#[test]
fn need_12_a_low_stock_raises_a_chore_before_it_runs_out() {
    let mut day = Kitchen::open();
    day.all(&[
        "recount-supply supply=lids amount=8000",
        "open-box lot=pears-a product=pear-quarts",
    ]);
    day.all(&[
        "tally station=slice amount=20000",
        "tally station=fill amount=2500",
    ]);
    assert_eq!((day.stock("lids"), day.chore("supply-low")), (7000, None));
    day.does("tally station=fill amount=2500");
    let chore = day.chore("supply-low").expect("six are the low mark");
    assert_eq!(day.view()["chores"][&chore]["text"], "Get more lids");
    day.does("tally station=fill amount=2500");
    assert_eq!(
        day.chores()
            .iter()
            .filter(|about| *about == "supply-low")
            .count(),
        1
    );
    day.does("restock supply=lids amount=20000");
    assert_eq!(day.chore("supply-low"), None, "the flow settles it");
    day.does("recount-supply supply=lids amount=1000");
    assert!(day.chore("supply-low").is_some(), "and raises it again");
}

/// The totals that must agree: ledgers, stocks, scraps.
fn totals(day: &Kitchen) -> serde_json::Value {
    let view = day.view();
    let at = |station: &str| view["stations"][station]["waiting"]["pear-quarts"]["amount"].clone();
    json!({"slice": at("slice"), "fill": at("fill"), "canner": at("canner"),
        "lids": view["supplies"]["lids"]["stock"], "scraps": view["day"]["scraps_lb"]})
}

#[test]
fn need_13_seven_instead_of_one_is_undone_and_all_totals_agree() {
    let start = || {
        let mut day = Kitchen::open();
        day.all(&[
            "open-box lot=pears-a product=pear-quarts",
            "tally station=slice amount=20000",
        ]);
        day
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
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts",
        "tally station=slice amount=7500",
    ]);
    day.does("tally station=fill amount=7500");
    day.refuses(Code::MovedOn, "undo-tally station=slice");
    day.all(&[
        "recount station=canner product=pear-quarts lot=pears-a amount=1000",
        "recount station=fill product=pear-quarts lot=pears-a amount=5000",
    ]);
    let view = day.view();
    let done = |station: &str| view["stations"][station]["done"]["pear-quarts"].clone();
    assert_eq!(done("canner")["recounted"], -2000);
    assert_eq!(done("fill")["recounted"], 5000);
    assert_eq!(
        (
            day.waits("fill", "pear-quarts"),
            day.waits("canner", "pear-quarts")
        ),
        (5000, 1000)
    );
}

#[test]
fn need_13_each_helper_takes_back_their_own_last_tally() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=plums-a product=plum-mash",
        "claim helper=wren station=wash",
    ]);
    day.does("claim helper=bo station=wash");
    day.wait(1)
        .helper_does("tally station=wash helper=wren amount=1000");
    day.wait(1)
        .helper_does("tally station=wash helper=bo amount=2000");
    day.helper_does("undo-tally station=wash helper=wren");
    assert_eq!(
        (
            day.waits("wash", "plum-mash"),
            day.waits("cook", "plum-mash")
        ),
        (18_000, 2000)
    );
    day.refuses(Code::NothingToUndo, "undo-tally station=wash helper=wren");
    day.does("undo-tally station=wash");
    assert_eq!(day.waits("cook", "plum-mash"), 0);
}

#[test]
fn need_25_events_as_json_lines_replay_to_the_same_day() {
    let mut day = Kitchen::open();
    day.rack_pears("l1", 7)
        .all(&["note on={\"about\":\"load\",\"id\":\"l1\"} text=Clear_syrup"]);
    for order in filled_pot("big") {
        day.does(&order);
    }
    day.wait(5)
        .all(&["empty-pot station=cook pot=big", "close-day"]);
    let lines: Vec<String> = day
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
    assert_eq!(state, day.state);
    assert_eq!(
        serde_json::to_value(putby::day::view(&state)).unwrap(),
        day.view()
    );
}

#[test]
fn need_25_the_same_orders_at_the_same_moments_give_the_same_events() {
    let run = || {
        let mut day = Kitchen::open();
        day.rack_pears("l1", 7);
        serde_json::to_string(&day.records).unwrap()
    };
    assert_eq!(run(), run());
    let mut state = State::default();
    let moment = putby::day::Moment {
        now: Timestamp(1),
        command: uuid::Uuid::nil(),
        role: Role::Lead,
    };
    let plan: putby::day::plan::DayPlan = crate::kitchen::read(crate::test_plan::plan());
    let command = putby::day::Command::OpenDay {
        plan: Box::new(plan),
    };
    assert!(execute(&mut state, &command, &moment).is_ok());
}

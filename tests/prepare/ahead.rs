//! The forecast of the day that a proposal makes.

use crate::support::{ask, family};
use putby::day::command::{Command, Moment, Role};
use putby::day::time::Timestamp;
use putby::day::{State, execute};
use putby::pace::Learned;
use putby::prepare::forecast::{Addition, Ahead, Foretold};
use putby::prepare::{Proposal, Settings, propose};
use serde_json::{Value, json};

const SOME: Settings = Settings { runs: 100, seed: 7 };

fn told(value: &Value) -> (Proposal, Ahead) {
    let told = propose(&ask(value), &Learned::default(), &SOME).unwrap();
    match told.forecast.clone() {
        Foretold::Day(ahead) => (told, *ahead),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_plan_opens_as_a_day_and_makes_what_is_proposed() {
    let (proposal, _) = told(&family());
    let plan = proposal.plan.clone().unwrap();
    let mut state = State::default();
    let moment = Moment {
        now: Timestamp(1_789_203_600_000),
        command: uuid::Uuid::nil(),
        role: Role::Lead,
    };
    let order = Command::OpenDay {
        plan: Box::new(plan.clone()),
    };
    execute(&mut state, &order, &moment).unwrap();
    let wanted: i64 = plan
        .products
        .values()
        .filter_map(|product| product.wanted)
        .map(|wanted| wanted.0 / 1000)
        .sum();
    let proposed: i64 = proposal.lines.iter().map(|line| line.packages).sum();
    assert_eq!(wanted, proposed);
    assert_eq!(plan.lots.len(), 3);
    assert_eq!(plan.helpers.len(), 7);
}

#[test]
fn the_latest_start_ends_nine_days_in_ten_by_the_cut_off() {
    let value = family();
    let (_, ahead) = told(&value);
    assert!(ahead.ends > 0.9);
    assert!(ahead.minutes_p10 <= ahead.minutes_p50 && ahead.minutes_p50 <= ahead.minutes_p90);
    let start = ahead.latest_start.unwrap();
    let mut early = value.clone();
    early["start_at"] = json!(start);
    // The packages stay as they are, so only the start differs.
    settle(&mut early, &told(&value).0);
    let (_, again) = told(&early);
    assert!(again.by_cut_off.unwrap() >= 0.9, "{:?}", again.by_cut_off);
    // A later start never has the better chance: the same days are asked.
    for two in ahead.starts.windows(2) {
        assert!(two[0].by_cut_off >= two[1].by_cut_off && two[0].at < two[1].at);
    }
}

fn settle(value: &mut Value, told: &Proposal) {
    for line in &told.lines {
        value["uses"][&line.use_id]["pinned"][&line.package] = json!(line.packages * 1000);
    }
}

/// Less to make ends earlier; nobody for the heat never ends.
#[test]
fn the_forecast_follows_what_is_asked() {
    let value = family();
    let (proposal, whole) = told(&value);
    let mut less = value.clone();
    settle(&mut less, &proposal);
    for (use_id, package) in [("pears-sunday", "quarts"), ("peaches-oats", "pints")] {
        less["uses"][use_id]["pinned"][package] = json!(0);
    }
    let (_, small) = told(&less);
    assert!(
        small.minutes_p50 < whole.minutes_p50 - 60.0,
        "{} {}",
        small.minutes_p50,
        whole.minutes_p50
    );
    let mut alone = value.clone();
    alone["helpers"] = json!({"bo": {"name": "Bo", "age": 6}});
    let (_, alone) = told(&alone);
    assert!(alone.ends < 0.5, "{}", alone.ends);
}

/// A second canner pays where one canner sets the end, and not where hands do.
#[test]
fn one_canner_more_pays_where_the_canner_sets_the_end() {
    let mut value = family();
    value["kitchen"]["canners"]
        .as_object_mut()
        .unwrap()
        .remove("b");
    value.as_object_mut().unwrap().remove("cut_off_at");
    let (_, ahead) = told(&value);
    assert_eq!(ahead.stations[0].station.as_str(), "canners");
    let gain = |ahead: &Ahead, what: Addition| {
        let found = ahead.one_more.iter().find(|one| one.what == what);
        found.unwrap().gain_min
    };
    assert!(
        gain(&ahead, Addition::Canner) > 60.0,
        "{:?}",
        ahead.one_more
    );
    assert!(gain(&ahead, Addition::Canner) > gain(&ahead, Addition::Helper));
    let mut few = family();
    few["helpers"] = json!({"maren": {"name": "Maren", "age": 44}});
    let (_, few) = told(&few);
    assert!(
        gain(&few, Addition::Helper) > gain(&few, Addition::Canner),
        "{:?}",
        few.one_more
    );
    assert!(few.minutes_p50 > ahead.minutes_p50);
}

#[test]
fn the_same_seed_gives_the_same_days() {
    assert_eq!(told(&family()).1, told(&family()).1);
}

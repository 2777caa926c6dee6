//! What one day teaches the next.

use crate::close;
use crate::day::{Day, id, rate};
use putby::pace::{CHANGE_MIN, LEARNED_VERSION, Learned, PRIOR_SHAPE, Pace};
use putby::sim::posterior::Posterior;
use serde_json::json;

/// A day on which Osk slices a bowl of peaches in so many minutes.
fn day_at(minutes: f64, bowls: u32) -> Day {
    let mut day = Day::open();
    day.waits("slice", "peaches", 500.0)
        .claim("osk", "slice")
        .wait(CHANGE_MIN);
    for _ in 0..bowls {
        day.wait(minutes).tap("osk", "slice");
    }
    day
}

/// What is expected of Osk at slicing on a fresh day.
fn next(learned: &Learned) -> Posterior {
    let day = Day::open();
    let pace = Pace::of(&day.records, learned, day.now);
    rate(&pace, &day.state, "osk", "slice", "peaches")
}

#[test]
fn a_fast_day_is_remembered_on_the_next() {
    let learned = day_at(3.0, 20).pace().learned();
    let (fresh, after) = (next(&Learned::default()), next(&learned));
    // Twice what the trade's figures promise; on the next day most of it is expected.
    assert!(after.mean() > 1.5 * fresh.mean(), "{fresh:?} {after:?}");
    assert!(after.mean() < 2.05 * fresh.mean(), "{fresh:?} {after:?}");
    assert!(after.cv() < fresh.cv());
    // But days differ, so a few carriers still overrule it.
    assert!(after.cv() > 0.25, "{after:?}");
}

#[test]
fn more_evidence_weighs_more_and_older_days_less() {
    let much = next(&day_at(3.0, 20).pace().learned());
    let little = next(&day_at(3.0, 3).pace().learned());
    assert!(little.mean() < much.mean() && little.shape < much.shape);
    let mut learned = day_at(3.0, 20).pace().learned();
    let mut last = next(&learned);
    for _ in 0..4 {
        // A day off: nobody slices.
        let day = Day::open();
        learned = Pace::of(&day.records, &learned, day.now).learned();
        let law = next(&learned);
        assert!(law.mean() <= last.mean() && law.shape <= last.shape);
        last = law;
    }
    assert!(last.shape < PRIOR_SHAPE + 2.0, "{last:?}");
}

#[test]
fn a_slow_day_after_a_fast_one_is_weighed_with_it() {
    let fast = day_at(3.0, 20).pace().learned();
    let slow = day_at(9.0, 20);
    let both = Pace::of(&slow.records, &fast, slow.now).learned();
    let rates = [
        next(&day_at(9.0, 20).pace().learned()),
        next(&both),
        next(&fast),
    ];
    let means = rates.map(Posterior::mean);
    assert!(means[0] < means[1] && means[1] < means[2], "{means:?}");
}

#[test]
fn what_was_learned_of_bowls_holds_for_other_bowls() {
    let learned = day_at(3.0, 20).pace().learned();
    let mut plan = crate::day::plan(900_000, 900_000);
    plan["products"]["peaches"]["route"][1]["carrier"]["holds"] = json!(4000);
    let day = Day::with(plan);
    let pace = Pace::of(&day.records, &learned, day.now);
    let big = rate(&pace, &day.state, "osk", "slice", "peaches");
    close(big.mean(), next(&learned).mean() / 2.0, 1e-9);
}

#[test]
fn somebody_elses_day_tells_little_of_another() {
    let learned = day_at(3.0, 20).pace().learned();
    let day = Day::open();
    let pace = Pace::of(&day.records, &learned, day.now);
    let edda = rate(&pace, &day.state, "edda", "slice", "peaches");
    let fresh = next(&Learned::default());
    let osk = next(&learned);
    assert!(edda.mean() >= fresh.mean() && edda.mean() < osk.mean());
    close(edda.shape, PRIOR_SHAPE, 1e-9);
}

#[test]
fn it_is_kept_as_json_with_its_version() {
    let learned = day_at(3.0, 7).pace().learned();
    let text = serde_json::to_string(&learned).unwrap();
    let read: Learned = serde_json::from_str(&text).unwrap();
    assert_eq!(read, learned);
    assert_eq!(read.version, LEARNED_VERSION);
    let speed = read.speed(&id("osk"), &id("slice"));
    close(speed.carriers, 7.0, 1e-9);
    close(speed.promised, 21.0 * 0.1625, 1e-9);
    // What another version wrote is not taken for something it is not.
    let mut other = learned;
    other.version += 1;
    assert_eq!(next(&other), next(&Learned::default()));
    // What an older form lacks is nothing.
    let least: Learned = serde_json::from_str(r#"{"version":1}"#).unwrap();
    assert_eq!(least, Learned::default());
}

#[test]
fn time_at_work_counts_also_when_nothing_was_done() {
    let mut day = day_at(3.0, 0);
    day.wait(40.0);
    let law = next(&day.pace().learned());
    assert!(law.mean() < next(&Learned::default()).mean(), "{law:?}");
}

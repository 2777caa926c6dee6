//! What time counts against somebody, and what their taps say.

use crate::close;
use crate::day::{Day, id, plan, rate};
use putby::pace::{CHANGE_MIN, Doing, PRIOR_SHAPE};
use putby::sim::posterior::Posterior;
use serde_json::{Value, json};

/// Osk at slicing with much to do, from the moment he is ready.
fn slicing() -> Day {
    let mut day = Day::open();
    day.waits("slice", "peaches", 100.0)
        .claim("osk", "slice")
        .wait(CHANGE_MIN);
    day
}

#[track_caller]
fn same(one: Posterior, other: Posterior) {
    close(one.shape, other.shape, 1e-9);
    close(one.rate, other.rate, 1e-9);
}

#[test]
fn before_any_tap_the_trades_figures_count_by_age() {
    let day = slicing();
    // Adults peel, pit and slice 14 to 25 pounds of peaches an hour, teens 10 to 18; a bowl is 2.
    close(day.rate("osk", "slice").mean(), 19.5 / 60.0 / 2.0, 1e-9);
    close(day.rate("juno", "slice").mean(), 14.0 / 60.0 / 2.0, 1e-9);
    close(day.rate("osk", "slice").shape, PRIOR_SHAPE, 1e-9);
    // Washing 60 to 120 pounds an hour; a colander is 5.
    close(day.rate("edda", "wash").mean(), 90.0 / 60.0 / 5.0, 1e-9);
    // Filling 20 to 30 quarts an hour; a bag of a pound, half a quart, takes three quarters of that.
    close(day.rate("osk", "bag").mean(), 25.0 / 60.0 / 0.75, 1e-9);
    close(day.rate("silas", "bag").mean(), 10.0 / 60.0 / 0.75, 1e-9);
}

#[test]
fn taps_overrule_the_prior_within_a_few_carriers() {
    let mut day = slicing();
    for _ in 0..6 {
        day.wait(2.0).tap("osk", "slice");
    }
    let law = day.rate("osk", "slice");
    assert!(
        law.quantile(0.1) < 0.5 && 0.5 < law.quantile(0.9),
        "{law:?}"
    );
    assert!(law.mean() > 0.42, "{law:?}");
    let seen = day.seen("osk", "slice");
    close(seen.carriers, 6.0, 1e-9);
    close(seen.active_min, 12.0, 1e-9);
}

#[test]
fn an_hour_without_work_says_nothing_of_who_waited() {
    let tapped = |starved: f64| {
        let mut day = Day::open();
        day.waits("slice", "peaches", 6.0)
            .claim("osk", "slice")
            .wait(CHANGE_MIN);
        for _ in 0..3 {
            day.wait(4.0).tap("osk", "slice");
        }
        day.wait(starved).waits("slice", "peaches", 20.0);
        day.wait(4.0).tap("osk", "slice");
        day.wait(1.0);
        day
    };
    let (hour, none) = (tapped(60.0), tapped(0.0));
    same(hour.rate("osk", "slice"), none.rate("osk", "slice"));
    close(hour.seen("osk", "slice").active_min, 17.0, 1e-9);
    let spans = &hour.pace().helper_spans()[&id("osk")].clone();
    let starved = spans.iter().filter(|span| span.doing == Doing::Starved);
    let ms: i64 = starved.map(|span| span.to.ms_since(span.from)).sum();
    assert_eq!(ms, 60 * 60_000);
}

/// Three bags are filled, so many minutes none can be, then one more when it is put right.
fn bagged(plan: Value, blocked: f64, put_right: Value) -> Day {
    let mut day = Day::with(plan);
    day.waits("bag", "peaches", 50.0)
        .claim("osk", "bag")
        .wait(CHANGE_MIN);
    for _ in 0..3 {
        day.wait(2.0).tap("osk", "bag");
    }
    day.wait(blocked);
    day.does(put_right);
    day.wait(2.0).tap("osk", "bag");
    day
}

#[test]
fn an_hour_without_bags_says_nothing_of_who_waited() {
    let restock = json!({"order": "restock", "supply": "bag", "amount": 9000});
    let tapped = |blocked| bagged(plan(900, 3), blocked, restock.clone());
    let (hour, none) = (tapped(60.0), tapped(0.0));
    same(hour.rate("osk", "bag"), none.rate("osk", "bag"));
    let pace = hour.pace();
    let blocked = |doing: Doing| doing == Doing::Blocked;
    assert!(pace.spans()[&id("bag")].iter().any(|s| blocked(s.doing)));
    assert!(
        pace.helper_spans()[&id("osk")]
            .iter()
            .any(|s| blocked(s.doing))
    );
}

#[test]
fn a_full_rack_says_nothing_of_who_waits_for_it() {
    let clear = json!({"order": "tally", "station": "rack", "product": "peaches", "amount": 3000});
    let tapped = |blocked| bagged(plan(3, 900), blocked, clear.clone());
    same(
        tapped(60.0).rate("osk", "bag"),
        tapped(0.0).rate("osk", "bag"),
    );
    assert_eq!(
        tapped(60.0).pace().spans()[&id("bag")]
            .iter()
            .filter(|span| span.doing == Doing::Blocked)
            .map(|span| span.to.ms_since(span.from))
            .sum::<i64>(),
        60 * 60_000
    );
}

/// Two adults of whom the same is expected slice side by side: Osk taps each bowl, Maren taps
/// three at a time. The spread of services is pooled, so it is the same for both.
fn side_by_side(bursts: usize, apart: f64) -> (Posterior, Posterior) {
    let mut day = Day::open();
    day.waits("slice", "peaches", 200.0);
    day.claim("osk", "slice").claim("maren", "slice");
    day.wait(CHANGE_MIN);
    for _ in 0..bursts {
        day.wait(3.0).tap("osk", "slice");
        day.wait(3.0).tap("osk", "slice");
        day.wait(3.0 - 2.0 * apart).tap("maren", "slice");
        day.wait(apart).tap("maren", "slice");
        day.wait(apart).tap("maren", "slice").tap("osk", "slice");
    }
    (day.rate("osk", "slice"), day.rate("maren", "slice"))
}

#[test]
fn three_taps_at_once_are_three_carriers_in_all_that_time() {
    for bursts in [1, 4] {
        for apart in [0.0, 0.03] {
            let (even, bunched) = side_by_side(bursts, apart);
            same(even, bunched);
        }
    }
}

#[test]
fn one_tap_of_three_carriers_is_as_three_taps() {
    let mut three = slicing();
    three.wait(10.0);
    for _ in 0..3 {
        three.tap("osk", "slice");
    }
    let mut one = slicing();
    one.wait(10.0);
    one.does(json!({"order": "tally", "helper": "osk", "station": "slice", "amount": 6000}));
    same(three.rate("osk", "slice"), one.rate("osk", "slice"));
}

/// Edda washes and forgets to tap; Osk slices what she passes on as it comes.
fn forgetful(late: bool) -> Day {
    let mut day = Day::open();
    day.waits("wash", "peaches", 100.0)
        .claim("edda", "wash")
        .claim("osk", "slice")
        .wait(CHANGE_MIN);
    // A colander of five pounds is two and a half bowls; four colanders in twenty minutes.
    for nth in 1..=4 {
        day.wait(5.0);
        if !late {
            day.tap("edda", "wash");
        } else if nth == 4 {
            for _ in 0..4 {
                day.tap("edda", "wash");
            }
        }
    }
    // From the first colander at minute 5 on Osk took 2 minutes for a bowl; his ten bowls are done
    // at minute 25, tapped in time where the board let him.
    day.wait(5.0);
    if late {
        for _ in 0..10 {
            day.tap("osk", "slice");
        }
    }
    day
}

#[test]
fn late_taps_upstream_make_nobody_downstream_idle_or_absurdly_fast() {
    let late = forgetful(true);
    let seen = late.seen("osk", "slice");
    close(seen.carriers, 10.0, 1e-9);
    // Work was there from minute 5 on: 20 minutes, not the 5 since the taps.
    close(seen.active_min, 20.0, 1e-6);
    let pace = late.pace();
    let starved = pace.helper_spans()[&id("osk")]
        .iter()
        .filter(|span| span.doing == Doing::Starved);
    let ms: i64 = starved.map(|span| span.to.ms_since(span.from)).sum();
    assert_eq!(ms, 5 * 60_000, "starved only until the first colander");
    let mean = late.rate("osk", "slice").mean();
    assert!((0.4..0.55).contains(&mean), "{mean}");
    // Edda herself: four colanders in twenty minutes either way. Even taps also tell that services
    // spread little, so they weigh a little more.
    close(
        late.rate("edda", "wash").mean(),
        forgetful(false).rate("edda", "wash").mean(),
        0.03,
    );
}

#[test]
fn a_carrier_done_at_once_after_its_late_tap_tells_nothing() {
    let mut day = Day::open();
    day.waits("wash", "peaches", 100.0)
        .claim("edda", "wash")
        .claim("osk", "slice")
        .wait(CHANGE_MIN);
    day.wait(10.0).tap("edda", "wash");
    let before = day.rate("osk", "slice");
    day.wait(0.1).tap("osk", "slice");
    let after = day.rate("osk", "slice");
    assert!(after.mean() <= before.mean() * 1.01, "{before:?} {after:?}");
}

#[test]
fn a_service_under_way_lowers_the_rate_and_less_than_one_that_took_as_long() {
    let mut day = slicing();
    for _ in 0..4 {
        day.wait(4.0).tap("osk", "slice");
    }
    let before = day.rate("osk", "slice");
    day.wait(9.0);
    let under_way = day.rate("osk", "slice");
    assert!(under_way.mean() < before.mean());
    let hand = day.pace().in_hand(&id("osk")).unwrap();
    close(hand.age_min, 9.0, 1e-9);
    assert_eq!((hand.station, hand.product), (id("slice"), id("peaches")));
    // If it is done only now, that is good news against its still going on.
    day.tap("osk", "slice");
    let done = day.rate("osk", "slice");
    assert!(under_way.mean() < done.mean() && done.mean() < before.mean());
    // And a young service says next to nothing.
    day.wait(0.2);
    close(day.rate("osk", "slice").mean(), done.mean(), 0.01);
}

#[test]
fn two_at_one_carrier_are_not_both_credited_with_its_time() {
    let mut day = Day::open();
    day.claim("osk", "slice").claim("edda", "slice");
    day.wait(CHANGE_MIN);
    for _ in 0..8 {
        day.waits("slice", "peaches", 2.0).wait(3.0);
        day.tap("osk", "slice").wait(1.0);
    }
    let (osk, edda) = (day.seen("osk", "slice"), day.seen("edda", "slice"));
    close(osk.active_min + edda.active_min, 24.0, 1e-9);
    // Who tapped them all had them all: Edda is not slow, and Osk not twice as fast as he is.
    close(osk.active_min, 24.0, 1e-9);
    let prior = Day::open().rate("edda", "slice");
    assert!(day.rate("edda", "slice").mean() > 0.9 * prior.mean());
}

#[test]
fn taps_without_a_name_go_to_those_who_sit_there_by_their_rates() {
    let mut day = Day::open();
    day.waits("slice", "peaches", 200.0)
        .claim("osk", "slice")
        .claim("silas", "slice")
        .wait(CHANGE_MIN);
    for _ in 0..10 {
        day.wait(2.0)
            .does(json!({"order": "tally", "station": "slice"}));
    }
    let (osk, silas) = (day.seen("osk", "slice"), day.seen("silas", "slice"));
    close(osk.carriers + silas.carriers, 10.0, 1e-9);
    assert!(osk.carriers > silas.carriers);
    close(osk.active_min, 20.0, 1e-9);
    close(silas.active_min, 20.0, 1e-9);
    // Together they did a bowl in two minutes.
    let sum = day.rate("osk", "slice").mean() + day.rate("silas", "slice").mean();
    assert!((sum - 0.5).abs() < 0.08, "{sum}");
    // An absent one is credited with nothing.
    close(day.seen("juno", "slice").carriers, 0.0, 1e-9);
}

#[test]
fn breaks_do_not_count_and_the_carrier_goes_on_after_them() {
    let mut day = slicing();
    day.wait(4.0).tap("osk", "slice").wait(2.0);
    day.does(json!({"order": "take-break", "helper": "osk"}));
    let rests = day.pace().rests(&id("osk")).unwrap();
    assert!((5.0..12.5).contains(&rests), "{rests}");
    day.wait(30.0);
    assert!(day.pace().rests(&id("osk")).unwrap() < rests);
    day.does(json!({"order": "end-break", "helper": "osk"}));
    assert_eq!(day.pace().rests(&id("osk")), None);
    day.claim("osk", "slice").wait(CHANGE_MIN + 2.0);
    day.tap("osk", "slice");
    let mut without = slicing();
    for _ in 0..2 {
        without.wait(4.0).tap("osk", "slice");
    }
    same(day.rate("osk", "slice"), without.rate("osk", "slice"));
}

#[test]
fn whoever_switches_in_the_middle_leaves_a_service_not_done() {
    let mut day = slicing();
    day.waits("wash", "peaches", 50.0);
    day.wait(4.0).tap("osk", "slice");
    let before = day.rate("osk", "slice");
    day.wait(5.0);
    day.does(json!({"order": "switch", "helper": "osk", "station": "wash"}));
    day.wait(CHANGE_MIN + 2.0).tap("osk", "wash");
    let after = day.rate("osk", "slice");
    assert!(after.mean() < before.mean());
    close(day.seen("osk", "slice").active_min, 9.0, 1e-9);
    close(day.seen("osk", "slice").carriers, 1.0, 1e-9);
    // The walk is nobody's work.
    close(day.seen("osk", "wash").active_min, 2.0, 1e-9);
}

#[test]
fn after_a_swap_each_is_rated_where_they_sit() {
    let mut day = slicing();
    day.waits("wash", "peaches", 100.0)
        .claim("edda", "wash")
        .wait(CHANGE_MIN);
    day.wait(3.0).tap("osk", "slice").tap("edda", "wash");
    day.does(json!({"order": "swap", "one": "osk", "other": "edda"}));
    day.wait(CHANGE_MIN);
    for _ in 0..5 {
        day.wait(3.0).tap("edda", "slice").tap("osk", "wash");
    }
    close(day.seen("edda", "slice").carriers, 5.0, 1e-9);
    close(day.seen("edda", "slice").active_min, 15.0, 1e-9);
    close(day.seen("osk", "wash").carriers, 5.0, 1e-9);
    close(day.seen("osk", "wash").active_min, 15.0, 1e-9);
    close(day.seen("osk", "slice").active_min, 4.0, 1e-9);
}

#[test]
fn a_tap_taken_back_gives_its_time_back() {
    let mut day = slicing();
    day.wait(3.0).tap("osk", "slice").wait(3.0);
    let before = day.rate("osk", "slice");
    day.does(json!({"order": "tally", "helper": "osk", "station": "slice", "amount": 14_000}));
    day.does(json!({"order": "undo-tally", "station": "slice"}));
    same(day.rate("osk", "slice"), before);
    // One was meant, not seven.
    day.tap("osk", "slice");
    let mut right = slicing();
    for _ in 0..2 {
        right.wait(3.0).tap("osk", "slice");
    }
    same(day.rate("osk", "slice"), right.rate("osk", "slice"));
}

#[test]
fn one_of_a_burst_taken_back_leaves_the_others() {
    let mut day = slicing();
    day.wait(9.0);
    for _ in 0..4 {
        day.wait(0.02).tap("osk", "slice");
    }
    day.does(json!({"order": "undo-tally", "station": "slice"}));
    let seen = day.seen("osk", "slice");
    close(seen.carriers, 3.0, 1e-9);
    close(seen.active_min, 9.08, 1e-3);
}

#[test]
fn time_at_work_that_a_count_found_missing_is_no_time() {
    let mut day = Day::open();
    day.waits("slice", "peaches", 4.0)
        .claim("osk", "slice")
        .wait(CHANGE_MIN);
    day.wait(4.0).tap("osk", "slice");
    let before = day.rate("osk", "slice");
    // The other bowl was never there; he waited for it an hour.
    day.wait(60.0).waits("slice", "peaches", 0.0);
    same(day.rate("osk", "slice"), before);
}

#[test]
fn work_diverted_out_of_somebodys_hands_was_not_done() {
    let mut day = Day::open();
    day.waits("slice", "peaches", 4.0)
        .claim("osk", "slice")
        .wait(CHANGE_MIN);
    day.wait(4.0).tap("osk", "slice").wait(3.0);
    day.does(
        json!({"order": "divert", "station": "slice", "product": "peaches",
                    "amount": 2000, "to": {"as": "scraps"}}),
    );
    let seen = day.seen("osk", "slice");
    close(seen.carriers, 1.0, 1e-9);
    close(seen.active_min, 7.0, 1e-9);
    assert_eq!(day.pace().in_hand(&id("osk")), None);
}

#[test]
fn two_products_at_one_station_are_told_apart() {
    let mut day = slicing();
    day.waits("slice", "pears", 100.0);
    for _ in 0..8 {
        day.wait(3.0).tap_of("osk", "slice", "peaches");
        day.wait(6.0).tap_of("osk", "slice", "pears");
    }
    let pace = day.pace();
    let peaches = rate(&pace, &day.state, "osk", "slice", "peaches").mean();
    let pears = rate(&pace, &day.state, "osk", "slice", "pears").mean();
    assert!((peaches - 1.0 / 3.0).abs() < 0.04, "{peaches}");
    assert!((pears - 1.0 / 6.0).abs() < 0.03, "{pears}");
}

#[test]
fn a_burst_over_two_products_shares_its_time() {
    let mut day = slicing();
    day.waits("slice", "pears", 100.0).wait(14.0);
    day.tap_of("osk", "slice", "peaches");
    day.tap_of("osk", "slice", "pears");
    let seen = day.seen("osk", "slice");
    close(seen.active_min, 14.0, 1e-9);
    let pace = day.pace();
    for product in ["peaches", "pears"] {
        let law = rate(&pace, &day.state, "osk", "slice", product);
        assert!((0.08..0.3).contains(&law.mean()), "{product} {law:?}");
    }
}

#[test]
fn speed_at_one_station_shifts_what_is_expected_at_another() {
    let mut day = slicing();
    let (usual, other) = (day.rate("osk", "wash"), day.rate("edda", "slice"));
    for _ in 0..10 {
        day.wait(3.0).tap("osk", "slice");
    }
    // Twice as fast as the trade's figures at slicing.
    let shifted = day.rate("osk", "wash");
    assert!(shifted.mean() > 1.2 * usual.mean(), "{usual:?} {shifted:?}");
    close(shifted.shape, PRIOR_SHAPE, 1e-9);
    // It may be the fruit: others are expected a little faster there as well, but less so.
    let ratio = day.rate("edda", "slice").mean() / other.mean();
    assert!(
        ratio > 1.02 && ratio < shifted.mean() / usual.mean(),
        "{ratio}"
    );
}

#[test]
fn a_helper_who_tires_is_followed() {
    let mut day = slicing();
    for _ in 0..25 {
        day.wait(2.0).tap("osk", "slice");
    }
    for _ in 0..20 {
        day.wait(4.0).tap("osk", "slice");
    }
    let law = day.rate("osk", "slice");
    // Forty-five in 130 minutes are 0.35 on the whole, 0.25 of late.
    assert!(law.mean() < 0.32, "{law:?}");
}

#[test]
fn supplies_that_are_tapped_late_were_there_before() {
    let mut day = Day::with(plan(900, 0));
    day.waits("bag", "peaches", 50.0);
    day.does(
        json!({"order": "recount", "station": "bags", "product": "bag", "lot": "paper",
                    "amount": 90_000}),
    );
    day.claim("juno", "bags").claim("osk", "bag");
    day.wait(CHANGE_MIN).wait(15.0);
    // Three stacks of five bags in fifteen minutes; Osk took from each as it came.
    for _ in 0..3 {
        day.tap("juno", "bags");
    }
    day.wait(5.0);
    for _ in 0..10 {
        day.tap_of("osk", "bag", "peaches");
    }
    let seen = day.seen("osk", "bag");
    close(seen.carriers, 10.0, 1e-9);
    close(seen.active_min, 15.0, 1e-6);
    let pace = day.pace();
    let blocked = pace.spans()[&id("bag")]
        .iter()
        .filter(|span| span.doing == Doing::Blocked);
    let ms: i64 = blocked.map(|span| span.to.ms_since(span.from)).sum();
    assert_eq!(ms, 5 * 60_000, "until the first stack");
}

#[test]
fn everything_one_helper_did_is_told_once() {
    let mut day = slicing();
    day.claim("edda", "slice");
    day.wait(7.0).tap("osk", "slice").wait(2.0);
    day.does(json!({"order": "leave", "helper": "osk"}));
    day.wait(9.0).tap("edda", "slice").wait(4.0);
    // Osk: seven minutes and two at a bowl he left; Edda: seventeen after her walk, and four.
    close(day.seen("osk", "slice").active_min, 9.0, 1e-9);
    close(day.seen("edda", "slice").active_min, 21.0, 1e-9);
    assert_eq!(day.pace().in_hand(&id("osk")), None);
    close(day.pace().in_hand(&id("edda")).unwrap().age_min, 4.0, 1e-9);
}

#[test]
fn a_chore_beside_the_flow_is_not_time_at_the_seat() {
    let mut day = slicing();
    day.wait(3.0).tap("osk", "slice").wait(1.0);
    day.does(json!({"order": "raise-chore", "chore": "bucket", "text": "Take the bucket out"}));
    day.does(json!({"order": "take-chore", "chore": "bucket", "helper": "osk"}));
    day.wait(10.0);
    day.does(json!({"order": "finish-chore", "chore": "bucket", "helper": "osk"}));
    day.wait(2.0).tap("osk", "slice");
    close(day.seen("osk", "slice").active_min, 6.0, 1e-9);
    // A chore somebody forgot to tick off does not keep them away: they tap, so they work.
    day.does(json!({"order": "raise-chore", "chore": "floor", "text": "Mop the floor"}));
    day.does(json!({"order": "take-chore", "chore": "floor", "helper": "osk"}));
    day.wait(5.0)
        .tap("osk", "slice")
        .wait(3.0)
        .tap("osk", "slice");
    close(day.seen("osk", "slice").carriers, 4.0, 1e-9);
    close(day.seen("osk", "slice").active_min, 9.0, 1e-9);
}

//! Canners, pots, breaks and yields, from days played by the simulated family and by hand.

use crate::close;
use crate::day::{Day, id, plan};
use putby::day::event::Event;
use putby::demo::play::play;
use putby::demo::{cast, day};
use putby::pace::{Correction, Doing, Learned, Lesson, Pace};
use serde_json::{Value, json};

/// A kitchen with one pot: pulp in pounds, a pot takes 8 and gives half.
fn cooking() -> Value {
    let mut plan = plan(900, 900);
    plan["stations"]["cook"] = json!({"name": "Cook", "work": "cook", "seats": 1,
        "nature": {"is": "vessel", "pots": {"pot": {"name": "Pot", "takes": {"lb": 8000}}}}});
    plan["products"]["butter"] = json!({
        "name": "Butter", "produce": "peaches", "ends_in": {"as": "fresh", "package": "lb"},
        "route": [{"station": "cook", "measure": "lb", "cook_min": 35,
                   "carrier": {"name": "pot", "holds": 8000},
                   "yields": {"made": 500, "from": 1000}}],
    });
    plan
}

fn cook(day: &mut Day, minutes: f64, made: Option<i64>) {
    day.does(json!({"order": "open-box", "lot": "peaches", "product": "butter", "amount": 8000}));
    day.does(json!({"order": "fill-pot", "station": "cook", "pot": "pot", "product": "butter"}));
    day.does(json!({"order": "start-pot", "station": "cook", "pot": "pot"}));
    day.wait(minutes);
    let mut done = json!({"order": "pot-done", "station": "cook", "pot": "pot"});
    if let Some(made) = made {
        done["made"] = json!(made);
    }
    day.does(done);
    let chores: Vec<String> = day
        .state
        .chores
        .iter()
        .filter(|(_, chore)| chore.finished_at.is_none())
        .map(|(id, _)| id.to_string())
        .collect();
    for chore in chores {
        day.does(json!({"order": "finish-chore", "chore": chore}));
    }
}

#[test]
fn a_pot_takes_its_recipe_and_the_lateness_seen() {
    let mut day = Day::with(cooking());
    let pot = |day: &Day| day.pace().pot(&id("cook"), &id("butter"));
    close(pot(&day).mean, 40.0, 1e-9);
    close(pot(&day).cv, 0.2, 1e-9);
    for _ in 0..4 {
        cook(&mut day, 52.0, None);
    }
    // The prior counts as two pots: (2 x 40 + 4 x 52) / 6.
    close(pot(&day).mean, 48.0, 1e-9);
    let learned = day.pace().learned();
    let fresh = Day::with(cooking());
    let next = Pace::of(&fresh.records, &learned, fresh.now);
    // Four pots of an earlier day count as two.
    close(next.pot(&id("cook"), &id("butter")).mean, 46.0, 1e-9);
}

#[test]
fn measured_pots_teach_the_yield() {
    let mut day = Day::with(cooking());
    let factor = |day: &Day| day.pace().yields(&day.state, &id("cook"), &id("butter"));
    let before = factor(&day);
    close(before.median, 1.0, 1e-12);
    // A quarter less to a fifth more hold the middle eight tenths or so.
    close((before.sigma * 1.2816).exp(), 1.25, 0.02);
    for _ in 0..3 {
        cook(&mut day, 40.0, Some(3400));
    }
    let after = factor(&day);
    // 3.4 where 4 was promised.
    assert!((after.median - 0.85).abs() < 0.02, "{after:?}");
    assert!(after.sigma < 0.3 * before.sigma + 0.02, "{after:?}");
    // A step that gives one for one cannot vary.
    let slice = day.pace().yields(&day.state, &id("slice"), &id("peaches"));
    close(slice.median, 1.0, 1e-12);
    assert_eq!(slice.sigma, 0.0);
}

#[test]
fn a_count_of_what_was_made_teaches_the_yield() {
    let mut with = plan(900, 900);
    with["products"]["peaches"]["route"][1]["yields"] = json!({"made": 800, "from": 1000});
    let mut day = Day::with(with);
    day.waits("slice", "peaches", 100.0);
    for _ in 0..10 {
        day.wait(3.0)
            .does(json!({"order": "tally", "station": "slice", "product": "peaches"}));
    }
    // Twenty pounds promised sixteen; twelve are there.
    day.does(
        json!({"order": "recount", "station": "bag", "product": "peaches",
                    "lot": "peaches", "amount": 12_000}),
    );
    let factor = day.pace().yields(&day.state, &id("slice"), &id("peaches"));
    assert!(factor.median > 0.75 && factor.median < 0.95, "{factor:?}");
}

#[test]
fn breaks_are_expected_as_long_as_they_were() {
    let mut day = Day::open();
    let first = {
        day.does(json!({"order": "take-break", "helper": "osk"}));
        day.pace().rests(&id("osk")).unwrap()
    };
    close(first, 12.0, 1e-9);
    day.wait(30.0)
        .does(json!({"order": "end-break", "helper": "osk"}));
    for _ in 0..2 {
        day.does(json!({"order": "take-break", "helper": "edda"}));
        day.wait(30.0)
            .does(json!({"order": "end-break", "helper": "edda"}));
    }
    day.does(json!({"order": "take-break", "helper": "osk"}));
    // (2 x 12 + 3 x 30) / 5.
    close(day.pace().rests(&id("osk")).unwrap(), 22.8, 1e-9);
    assert_eq!(day.pace().rests(&id("edda")), None);
}

/// The phases of every load of a played day against its own events.
#[test]
fn canners_are_as_slow_as_they_were() {
    let played = play(day(), &cast(), 5);
    let last = played.records.last().unwrap().at;
    let pace = Pace::of(&played.records, &Learned::default(), last);
    let station = played.state.loads.values().next().unwrap().station.clone();
    let loads = played
        .state
        .loads
        .values()
        .filter(|load| load.station == station);
    let minutes = |ms: i64| ms as f64 / 60_000.0;
    let (mut n, mut heating, mut after) = (0.0, 0.0, 0.0);
    let mut first_boils = 0.0;
    for load in loads {
        n += 1.0;
        let heated = load.heated_at.unwrap();
        let first = load
            .lost
            .first()
            .map_or(load.boil_at.unwrap(), |lost| lost.0);
        heating += minutes(first.ms_since(heated));
        first_boils += 1.0;
        after += minutes(load.lifted_at.unwrap().ms_since(load.done_at().unwrap()));
    }
    assert!(n >= 3.0);
    let canner = pace.canner(&station);
    // The prior counts as two loads: 25 minutes to the boil, 10 after the time.
    close(
        canner.heating.mean,
        (2.0 * 25.0 + heating) / (2.0 + first_boils),
        1e-9,
    );
    close(canner.after.mean, (2.0 * 10.0 + after) / (2.0 + n), 1e-9);
    assert!(canner.loading.mean > 0.0 && canner.loading.cv.is_finite());
    let boiled = |event: &Event| matches!(event, Event::BoilReached { .. });
    assert!(played.records.iter().any(|record| boiled(&record.event)));
    // Before any load: the published 20 to 30 minutes.
    let fresh = Pace::default().canner(&station);
    close(fresh.heating.mean, 25.0, 1e-9);
    close(fresh.heating.cv, 0.25, 1e-9);
}

/// A canner works from the first jar in to the last jar out, its rest and unloading among it.
#[test]
fn a_canner_works_while_a_load_is_in_it() {
    let played = play(day(), &cast(), 5);
    let last = played.records.last().unwrap().at;
    let pace = Pace::of(&played.records, &Learned::default(), last);
    let station = played.state.loads.values().next().unwrap().station.clone();
    let mut loads: Vec<(i64, i64)> = played
        .state
        .loads
        .values()
        .filter(|load| load.station == station)
        .filter_map(|load| Some((load.built_at.0, load.lifted_at?.0)))
        .collect();
    loads.sort_unstable();
    let (mut busy, mut until) = (0, i64::MIN);
    for (from, to) in loads {
        busy += (to - from.max(until)).max(0);
        until = until.max(to);
    }
    let spans = pace.spans()[&station].iter();
    let working = spans.filter(|span| span.doing == Doing::Working);
    let told: i64 = working.map(|span| span.to.ms_since(span.from)).sum();
    assert_eq!(told, busy);
    assert!(busy > 0);
}

/// What one day measured of a yield is the start of the next, weighed as another day's fruit.
#[test]
fn what_pots_gave_is_expected_of_the_next_day_and_the_lead_has_the_last_word() {
    let mut day = Day::with(cooking());
    for _ in 0..4 {
        cook(&mut day, 40.0, Some(3200));
    }
    let learned = day.pace().learned();
    let next = |learned: &Learned| {
        let fresh = Day::with(cooking());
        let pace = Pace::of(&fresh.records, learned, fresh.now);
        pace.yields(&fresh.state, &id("cook"), &id("butter"))
    };
    let (plain, told) = (next(&Learned::default()), next(&learned));
    // Four pots of 0.8 against a prior of 1 with 0.18: half of four pots of 0.08 each are left, with
    // 0.08 more for another day. Weights 1 / (0.0064 / 2 + 0.0064) and 1 / 0.0324.
    let (seen, prior) = (1.0 / (0.0064 / 2.0 + 0.0064), 1.0 / 0.0324);
    let expected = (seen * 0.8_f64.ln() / (seen + prior)).exp();
    close(plain.median, 1.0, 1e-9);
    close(told.median, expected, 1e-6);
    close(told.sigma, (seen + prior).sqrt().recip(), 1e-6);

    let of = json!({"of": "yield", "station": "cook", "product": "butter"});
    let say = |learned: &Learned, said: Value| {
        let mut learned = learned.clone();
        let correction: Correction = serde_json::from_value(said).unwrap();
        assert_eq!(correction.check(), Ok(()));
        learned.correct(&correction);
        learned
    };
    let forgotten = say(&learned, json!({"do": "forget", "lesson": of}));
    assert_eq!(next(&forgotten), plain);
    let set = json!({"do": "set", "lesson": of, "value": 1.1, "counts": 2.0});
    let own = next(&say(&learned, set));
    close(
        own.median,
        (seen * 1.1_f64.ln() / (seen + prior)).exp(),
        1e-6,
    );
}

/// The lead's figure counts as the loads it says, beside the two that the published span counts for.
#[test]
fn a_corrected_heating_is_reckoned_with_from_the_next_day_on() {
    let mut learned = Learned::default();
    let said = json!({"do": "set", "lesson": {"of": "heating", "station": "canner"},
        "value": 40.0, "counts": 6.0});
    let correction: Correction = serde_json::from_value(said).unwrap();
    learned.correct(&correction);
    let day = Day::open();
    let pace = Pace::of(&day.records, &learned, day.now);
    close(
        pace.canner(&id("canner")).heating.mean,
        (2.0 * 25.0 + 6.0 * 40.0) / 8.0,
        1e-9,
    );
    close(pace.canner(&id("canner")).loading.mean, 5.0, 1e-9);
}

#[test]
fn a_pot_that_was_thrown_away_is_remembered_with_its_reason() {
    let mut day = Day::with(cooking());
    day.does(json!({"order": "open-box", "lot": "peaches", "product": "butter", "amount": 8000}));
    day.does(json!({"order": "fill-pot", "station": "cook", "pot": "pot", "product": "butter"}));
    day.does(json!({"order": "start-pot", "station": "cook", "pot": "pot"}));
    day.wait(30.0);
    day.does(json!({"order": "scrap-pot", "station": "cook", "pot": "pot", "reason": "Scorched"}));
    let mut learned = day.pace().learned();
    let notes = |learned: &Learned| -> Vec<Option<String>> {
        let all = learned.lessons().into_iter();
        all.filter(|told| matches!(told.lesson, Lesson::Scorch { .. }))
            .map(|told| told.note)
            .collect()
    };
    assert_eq!(notes(&learned), [Some("Scorched".to_owned())]);
    // Still on the day after the next.
    let later = Day::with(cooking());
    learned = Pace::of(&later.records, &learned, later.now).learned();
    assert_eq!(notes(&learned), [Some("Scorched".to_owned())]);
    let lesson = learned
        .lessons()
        .into_iter()
        .map(|told| told.lesson)
        .find(|lesson| matches!(lesson, Lesson::Scorch { .. }));
    learned.correct(&Correction::Forget {
        lesson: lesson.unwrap(),
    });
    assert_eq!(notes(&learned), []);
}

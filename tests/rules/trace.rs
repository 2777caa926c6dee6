//! Where packages come from: every jar and bag of a day has a lot, with its whole way.

use crate::kitchen::{Kitchen, build_mixed, id, seals};
use putby::day::amount::Amount;
use putby::day::ids::*;
use putby::trace::{PackageLot, Place, Traced, trace};
use serde_json::{Value, json};

pub fn lots(day: &Kitchen) -> Vec<(String, PackageLot)> {
    let traced: Traced = trace(&day.records);
    let named = |(code, lot): (putby::trace::LotCode, PackageLot)| (code.to_string(), lot);
    traced.lots.into_iter().map(named).collect()
}

/// Code, product, fruit, made, pantry, refrigerator, freezer, waiting, broken, again.
fn rows(day: &Kitchen) -> Vec<String> {
    let place = |lot: &PackageLot, place| {
        lot.places
            .get(&place)
            .map_or(Amount::ZERO, |stood| stood.packages)
    };
    lots(day)
        .iter()
        .map(|(code, lot)| {
            let places = Place::ALL.map(|one| place(lot, one).to_string()).join(" ");
            let rest = [lot.waiting, lot.broken, lot.again].map(|n| n.to_string());
            format!(
                "{code} {} {} {} = {places} {}",
                lot.product,
                lot.lot,
                lot.made,
                rest.join(" ")
            )
        })
        .collect()
}

#[test]
fn loads_and_runs_get_letters_in_the_order_they_were_finished() {
    let mut day = Kitchen::open();
    day.all(&["open-box lot=plums-a product=plum-mash amount=8000"]);
    day.all(&[
        "tally station=wash product=plum-mash amount=8000",
        "fill-pot station=cook pot=big product=plum-mash",
        "start-pot station=cook pot=big minder=edda",
    ]);
    day.wait(60).does("pot-done station=cook pot=big");
    day.rack_pears("late-name", 3);
    day.wait(1).all(&[
        "tally station=bag product=plum-tubs amount=1000",
        "tally station=freezer product=plum-tubs amount=2000",
    ]);
    day.rack_pears("l2", 4);
    day.wait(12 * 60);
    day.does(&seals(
        "late-name",
        "pear-quarts",
        &[("sealed", 2), ("refrigerated", 1)],
    ));
    assert_eq!(
        rows(&day),
        [
            "260912-F1 pear-quarts pears-a 3 = 2 1 0 0 0 0",
            "260912-H1 plum-tubs plums-a 2 = 0 0 2 0 0 0",
            "260912-K1 pear-quarts pears-a 4 = 0 0 0 4 0 0",
        ]
    );
    // The same loads keep their codes whatever comes later.
    day.does(&seals(
        "l2",
        "pear-quarts",
        &[("sealed", 1), ("frozen", 1), ("broken", 2)],
    ));
    assert_eq!(
        rows(&day)[2],
        "260912-K1 pear-quarts pears-a 4 = 1 0 1 0 2 0"
    );
    assert_eq!(
        rows(&day)[0],
        "260912-F1 pear-quarts pears-a 3 = 2 1 0 0 0 0"
    );
}

#[test]
fn products_and_fruits_of_one_load_have_numbers_and_share_the_recall() {
    let mut day = Kitchen::open();
    day.fill("pears-a", "pear-quarts", 2, 2500);
    day.fill("pears-b", "pear-quarts", 1, 2500);
    day.fill("peaches-a", "peach-pints", 2, 1000);
    day.fill("pears-b", "pear-pints", 2, 1250);
    let jars = [("pear-quarts", 3), ("pear-pints", 2)];
    day.does(&build_mixed("canner", "l1", &jars));
    day.does("heat-load load=l1");
    day.wait(20).does("rolling-boil load=l1");
    day.wait(25).does("heat-off load=l1");
    let broken = json!([{"product": "pear-quarts", "lot": "pears-b", "jars": 1}]);
    day.wait(5)
        .does(&format!("lift-load load=l1 broken={broken}"));
    assert_eq!(
        rows(&day),
        [
            "260912-F1 pear-quarts pears-a 2 = 0 0 0 2 0 0",
            "260912-F2 pear-quarts pears-b 1 = 0 0 0 0 1 0",
            "260912-F3 pear-pints pears-b 2 = 0 0 0 2 0 0",
        ]
    );
    let batches: Vec<String> = lots(&day)
        .iter()
        .map(|(_, lot)| lot.batch.to_string())
        .collect();
    assert_eq!(batches, ["260912-F"; 3]);
}

#[test]
fn a_load_that_was_ended_early_never_comes_to_the_pantry() {
    for (fate, row) in [
        ("refrigerate", "0 3 0 0 0 0"),
        ("freeze", "0 0 3 0 0 0"),
        ("reprocess", "0 0 0 0 0 3"),
    ] {
        let mut day = Kitchen::open();
        day.boil_pears("l1", 3).wait(10);
        day.does("heat-off load=l1 end_early=true");
        day.wait(5).does(&format!("lift-load load=l1 fate={fate}"));
        assert_eq!(
            rows(&day),
            [format!("260912-F1 pear-quarts pears-a 3 = {row}")]
        );
        let (_, lot) = &lots(&day)[0];
        assert!(lot.load.as_ref().unwrap().short);
    }
}

#[test]
fn bags_that_were_tallied_by_mistake_are_gone_and_their_number_is_not_given_again() {
    let mut day = Kitchen::open();
    day.roasts_spread();
    day.does("tally station=freezer product=spread amount=5000");
    day.wait_ms(1)
        .does("tally station=freezer product=spread amount=3000");
    assert_eq!(rows(&day), ["260912-F1 spread pulp 8 = 0 0 8 0 0 0"]);
    day.all(&["undo-tally station=freezer", "undo-tally station=freezer"]);
    day.does("divert station=freezer product=spread amount=2000 to={\"as\":\"refrigerator\"}");
    assert_eq!(rows(&day), ["260912-F1 spread pulp 2 = 0 2 0 0 0 0"]);
    // A quart of pulp makes two tubs: half a quart each.
    let (_, lot) = &lots(&day)[0];
    let package = serde_json::to_value(lot.package).unwrap();
    assert_eq!(
        package,
        json!({"measure": "tub", "holds": {"amount": 500, "measure": "qt"}})
    );
}

#[test]
fn loose_fruit_in_the_freezer_is_no_package() {
    let mut day = Kitchen::open();
    day.all(&[
        "open-box lot=pears-a product=pear-quarts amount=5000",
        "divert station=slice product=pear-quarts amount=2000 to={\"as\":\"freezer\"}",
    ]);
    assert_eq!(rows(&day), Vec::<String>::new());
}

#[test]
fn a_lot_names_its_load_its_work_and_its_notes() {
    let mut day = Kitchen::open();
    day.all(&["open-box lot=pears-a product=pear-quarts amount=20000"]);
    for (helper, station) in [
        ("maren", "slice"),
        ("osk", "slice"),
        ("edda", "slice"),
        ("juno", "fill"),
        ("silas", "fill"),
    ] {
        day.does(&format!(
            "claim helper={helper} station={station} beside=maren"
        ));
    }
    let start = day.now.0;
    for (minutes, order) in [
        (
            1,
            "tally station=slice product=pear-quarts helper=maren amount=5000",
        ),
        (
            1,
            "tally station=slice product=pear-quarts helper=osk amount=5000",
        ),
        (
            1,
            "tally station=slice product=pear-quarts helper=edda amount=2500",
        ),
        (1, "undo-tally station=slice"),
        (
            2,
            "tally station=fill product=pear-quarts helper=juno amount=5000",
        ),
        (
            1,
            "split-lot lot=pears-a new_lot=pears-soft name=Soft_pears amount=2500 \
             waiting_at={\"product\":\"pear-quarts\",\"station\":\"fill\"}",
        ),
    ] {
        day.wait(minutes).does(order);
    }
    day.does("build-load station=canner canner=a load=l1 jars=[{\"product\":\"pear-quarts\",\"jars\":2}]");
    day.does("heat-load load=l1");
    day.wait(3)
        .does("tally station=fill product=pear-quarts helper=silas amount=2500");
    day.wait(20).does("rolling-boil load=l1");
    day.wait(25).does("heat-off load=l1");
    day.wait(5).does("lift-load load=l1");
    day.does("note on={\"about\":\"load\",\"id\":\"l1\"} text=Siphoned_a_little");
    day.does("note on={\"about\":\"lot\",\"id\":\"pears-a\"} text=Very_sweet");
    day.does("note on={\"about\":\"lot\",\"id\":\"peaches-a\"} text=Not_these");
    day.wait(12 * 60)
        .does("check-seals load=l1 helper=osk jars=[{\"product\":\"pear-quarts\",\"sealed\":2}]");
    let (_, lot) = &lots(&day)[0];
    let work: Vec<Value> = lot
        .work
        .iter()
        .map(|w| json!([w.name, w.from.0 - start, w.to.0 - start, w.people]))
        .collect();
    assert_eq!(
        json!(work),
        // Juno filled these jars; Silas's came after the load was built. Edda's tally was taken back.
        json!([
            ["Slice", 60_000, 120_000, ["Maren", "Osk"]],
            ["Fill", 360_000, 360_000, ["Juno"]]
        ])
    );
    let load = serde_json::to_value(&lot.load).unwrap();
    // USDA Complete Guide, pears, hot pack, quarts, 0 to 1,000 ft: 25 minutes.
    assert_eq!(
        json!([
            load["number"],
            load["canner"],
            load["method"],
            load["minutes"],
            load["altitude_ft"]
        ]),
        json!([1, "Canner A", "boiling-water", 25, 640])
    );
    assert_eq!(lot.checked_by, ["Osk"]);
    let notes: Vec<&str> = lot.notes.iter().map(|note| note.text.as_str()).collect();
    assert_eq!(notes, ["Siphoned a little", "Very sweet"]);
    let keeping = &lot.places[&Place::Pantry].keeping;
    assert_eq!(keeping.best_by.as_deref(), Some("2027-09-12"));
    assert_eq!(lot.lot, id::<LotId>("pears-a"));
}

/// For every lot and, product by product, against the look back, which counts by another way.
pub fn all_is_traced(day: &Kitchen) {
    let told = putby::lookback::look_back(&day.records);
    let lots = lots(day);
    for (code, lot) in &lots {
        let placed: Amount = lot.places.values().map(|stood| stood.packages).sum();
        assert_eq!(
            lot.made,
            placed + lot.waiting + lot.broken + lot.again,
            "{code}: {lot:?}"
        );
    }
    for (product, made) in &told.made {
        let theirs = || {
            lots.iter()
                .map(|(_, lot)| lot)
                .filter(|lot| lot.product == *product)
        };
        let place = |place| -> Amount {
            theirs()
                .filter_map(|lot| lot.places.get(&place))
                .map(|stood| stood.packages)
                .sum()
        };
        let canned = theirs().any(|lot| lot.load.is_some());
        let finished = if canned {
            Place::Pantry
        } else {
            Place::Freezer
        };
        let frozen = if canned {
            place(Place::Freezer)
        } else {
            Amount::ZERO
        };
        let state = &day.state.products[product];
        let ends_frozen = matches!(state.plan.ends_in, putby::day::plan::Ending::Frozen { .. });
        if ends_frozen {
            let cold = place(Place::Freezer);
            assert_eq!(cold, made.finished.0 + made.frozen.0, "{product} {made:?}");
        } else if canned {
            assert_eq!(place(finished), made.finished.0, "{product}: {made:?}");
            assert_eq!(frozen, made.frozen.0, "{product}: {made:?}");
        }
        assert_eq!(
            place(Place::Refrigerator),
            made.refrigerated.0,
            "{product}: {made:?}"
        );
        let broken: Amount = theirs().map(|lot| lot.broken).sum();
        assert_eq!(broken, made.broken.0, "{product}: {made:?}");
        let waiting: Amount = theirs().map(|lot| lot.waiting).sum();
        assert_eq!(waiting, made.cooling.0, "{product}: {made:?}");
    }
}

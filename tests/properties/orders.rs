//! Random orders over the test kitchen: mostly such as a day would see, some out of place.

use crate::kitchen::plan;
use proptest::collection::{SizeRange, vec};
use proptest::prelude::*;
use proptest::sample::select;
use putby::day::Command;
use serde_json::{Value, json};

/// An order and how long after the one before it comes.
#[derive(Debug, Clone)]
pub struct Step {
    pub later_ms: i64,
    pub command: Command,
}

/// A sequence of orders: mostly one by one at random, now and then a load on its whole way.
pub fn orders(length: impl Into<SizeRange>) -> impl Strategy<Value = Vec<Step>> {
    let later = prop_oneof![
        60 => 0i64..60_000,
        10 => 600_000i64..2_400_000,
        10 => Just(0),
    ];
    let step = (later, order()).prop_map(|(later_ms, command)| vec![Step { later_ms, command }]);
    let steps = prop_oneof![15 => step, 1 => load_on_its_way()];
    vec(steps, length).prop_map(|lists| lists.into_iter().flatten().collect())
}

/// A load from building to its seal check, cut off somewhere.
fn load_on_its_way() -> impl Strategy<Value = Vec<Step>> {
    let load = select(vec!["l1", "l2", "l3", "l4"]);
    (load, 1u32..8, any::<bool>(), 2usize..9).prop_map(|(load, jars, lost, length)| {
        let jar_list = json!([{ "product": "halves", "jars": jars }]);
        let boil = json!({ "order": "rolling-boil", "load": load });
        let middle = if lost {
            json!({ "order": "boil-lost", "load": load })
        } else {
            json!({ "order": "note", "on": { "about": "load", "id": load }, "text": "on its way" })
        };
        let way = [
            (0, json!({ "order": "build-load", "load": load, "station": "can", "canner": "a", "jars": jar_list })),
            (60_000, json!({ "order": "heat-load", "load": load })),
            (1_200_000, boil.clone()),
            (600_000, middle),
            (60_000, boil),
            (2_200_000, json!({ "order": "heat-off", "load": load })),
            (300_000, json!({ "order": "lift-load", "load": load })),
            (43_200_000, json!({ "order": "check-seals", "load": load,
                "jars": [{ "product": "halves", "sealed": jars }] })),
        ];
        let read = |(later_ms, json): (i64, Value)| Step {
            later_ms,
            command: serde_json::from_value(json).unwrap(),
        };
        way.into_iter().map(read).take(length).collect()
    })
}

fn order() -> impl Strategy<Value = Command> {
    prop_oneof![
        6 => people(),
        10 => flow(),
        8 => pots(),
        8 => loads(),
        2 => chores(),
        3 => alarms(),
        2 => set_up(),
    ]
    .prop_map(|json| {
        let told = json.to_string();
        serde_json::from_value(json).unwrap_or_else(|fault| panic!("{told} is no order: {fault}"))
    })
}

fn helper() -> impl Strategy<Value = &'static str> {
    select(vec!["ana", "ben", "cleo", "dov", "eve", "nobody"])
}

fn station() -> impl Strategy<Value = &'static str> {
    select(vec![
        "wash", "slice", "cook", "fill", "can", "rack", "bag", "jars", "extra", "nowhere",
    ])
}

/// Places where work really waits, with the product that waits there.
fn place() -> impl Strategy<Value = (&'static str, &'static str)> {
    select(vec![
        ("wash", "halves"),
        ("slice", "halves"),
        ("fill", "halves"),
        ("can", "halves"),
        ("rack", "halves"),
        ("slice", "base"),
        ("cook", "base"),
        ("fill", "puree"),
        ("can", "puree"),
        ("rack", "puree"),
        ("bag", "bags"),
        ("jars", "clean-jars"),
        ("wash", "base"),
        ("slice", "new"),
    ])
}

fn lot() -> impl Strategy<Value = &'static str> {
    select(vec!["hill", "yard", "cellar", "split-1", "split-2", "none"])
}

fn amount() -> impl Strategy<Value = i64> {
    prop_oneof![
        6 => select(vec![1000i64, 2000, 1950, 2500, 5000, 500, 7000]),
        3 => 1i64..20_000,
        1 => select(vec![0, -1, (1 << 53) - 1, 1 - (1 << 53), 1_000_000_001]),
    ]
}

/// Leaves keys out whose value is null, so that `maybe` fields are absent.
fn lean(mut json: Value) -> Value {
    if let Value::Object(map) = &mut json {
        map.retain(|_, value| !value.is_null());
    }
    json
}

fn maybe<S: Strategy>(inner: S) -> impl Strategy<Value = Option<S::Value>>
where
    S::Value: Clone,
{
    proptest::option::weighted(0.4, inner)
}

fn people() -> impl Strategy<Value = Value> {
    let one = (
        helper(),
        station(),
        maybe(helper()),
        helper(),
        any::<bool>(),
    );
    (0usize..11, one).prop_map(|(kind, (helper, station, beside, other, hurry))| {
        lean(match kind {
            10 if beside.is_some() => json!({ "order": "take-move", "gain_min": 7, "move": format!("claim:{helper}:{station}") }),
            10 if hurry => json!({ "order": "set-aside-move", "gain_min": 6, "move": format!("claim:{helper}:{station}") }),
            10 => json!({ "order": "set-aside-move", "gain_min": 12, "move": format!("swap:{helper}:{other}") }),
            0 => json!({ "order": "arrive", "helper": helper }),
            1 => json!({ "order": "go-home", "helper": helper, "hurry": hurry }),
            2..=4 => json!({ "order": "claim", "helper": helper, "station": station, "beside": beside }),
            5 => json!({ "order": "leave", "helper": helper }),
            6 => json!({ "order": "switch", "helper": helper, "station": station, "beside": beside }),
            7 => json!({ "order": "swap", "one": helper, "other": other, "beside_one": beside, "beside_other": beside }),
            8 if hurry => json!({ "order": "take-break", "helper": helper }),
            8 => json!({ "order": "end-break", "helper": helper }),
            _ => json!({ "order": "stay-beside", "helper": helper, "adult": other }),
        })
    })
}

fn flow() -> impl Strategy<Value = Value> {
    let who = (
        place(),
        maybe(lot()),
        maybe(amount()),
        amount(),
        maybe(helper()),
    );
    let more = (place(), lot(), 0usize..6, maybe(amount()), any::<bool>());
    (0usize..17, who, more).prop_map(|(kind, who, more)| {
        let ((station, product), of_lot, maybe_amount, amount, helper) = who;
        let ((to_station, to_product), lot, way, becomes, named) = more;
        let product_said = named.then_some(product);
        lean(match kind {
            0..=6 => json!({ "order": "tally", "station": station, "product": product, "lot": of_lot,
                "amount": if named { maybe_amount } else { None }, "helper": if way == 0 { helper } else { None },
                "to": if way == 1 { json!({ "product": to_product, "station": to_station }) } else { Value::Null } }),
            7 => json!({ "order": "tally", "station": station, "product": product_said }),
            8 => json!({ "order": "undo-tally", "station": station, "helper": helper }),
            9 => json!({ "order": "open-box", "lot": lot, "amount": maybe_amount,
                "product": if named { product } else if lot == "cellar" { "clean-jars" } else { "halves" } }),
            10 => json!({ "order": "open-box", "lot": if way < 3 { "hill" } else { "yard" },
                "product": if named { "base" } else { "halves" } }),
            11 => json!({ "order": "close-box", "lot": if way < 3 { "hill" } else { lot },
                "product": if named { "base" } else { "halves" }, "amount": amount }),
            12 => json!({ "order": "divert", "station": station, "product": product, "lot": of_lot,
                "amount": amount, "becomes": becomes, "to": match way {
                    0 => json!({ "as": "fresh" }), 1 => json!({ "as": "scraps" }),
                    2 => json!({ "as": "freezer" }), 3 => json!({ "as": "refrigerator" }),
                    _ => json!({ "as": "route", "product": to_product, "station": to_station }) } }),
            13 => json!({ "order": "recount", "station": station, "product": product, "lot": lot, "amount": amount }),
            14 => json!({ "order": "split-lot", "lot": lot, "name": "Soft ones", "amount": amount,
                "new_lot": if named { "split-1" } else { "split-2" },
                "waiting_at": if way < 3 { json!({ "product": product, "station": station }) } else { Value::Null } }),
            15 if named => json!({ "order": "send-back", "station": "fill", "product": "halves", "lot": of_lot,
                "amount": amount, "to": (["wash", "slice", "fill"][way % 3]), "reason": "not rinsed" }),
            15 => json!({ "order": "send-back", "station": station, "product": product, "lot": of_lot,
                "amount": amount, "to": to_station, "reason": "not rinsed", "becomes": becomes }),
            _ if named => json!({ "order": "restock", "supply": "quart-jars", "amount": amount }),
            _ => json!({ "order": "recount-supply", "supply": "lids", "amount": amount }),
        })
    })
}

fn pots() -> impl Strategy<Value = Value> {
    let pot = select(vec!["p1", "p2", "p9"]);
    let who = (
        maybe(helper()),
        maybe(helper()),
        maybe(amount()),
        any::<bool>(),
    );
    (0usize..10, pot, who, 0usize..4).prop_map(
        |(kind, pot, (minder, backup, amount, named), way)| {
            lean(match kind {
                0..=2 => json!({ "order": "fill-pot", "station": "cook", "pot": pot,
                "product": if way == 0 { "halves" } else { "base" }, "amount": amount }),
                3 if named => json!({ "order": "scrap-pot", "station": "cook", "pot": pot, "reason": "scorched" }),
                3 => json!({ "order": "empty-pot", "station": "cook", "pot": pot }),
                4 => json!({ "order": "start-pot", "station": "cook", "pot": pot,
                "minder": if named { Some("ana") } else { minder }, "backup": backup }),
                5 => json!({ "order": "stirred", "station": "cook", "pot": pot, "helper": minder,
                "thickness": (["thin", "half", "thick"].get(way)) }),
                6 => json!({ "order": "hand-over-pot", "station": "cook", "pot": pot,
                "minder": minder.unwrap_or("ben"), "backup": backup }),
                7 => json!({ "order": "name-backup", "station": "cook", "pot": pot,
                "helper": if named { "ben" } else { minder.unwrap_or("ana") } }),
                _ => json!({ "order": "pot-done", "station": "cook", "pot": pot, "helper": minder,
                "made": amount, "to": match way {
                    0 => json!({ "product": "puree", "station": "fill" }),
                    1 => json!({ "product": "bags", "station": "bag" }), _ => Value::Null } }),
            })
        },
    )
}

fn loads() -> impl Strategy<Value = Value> {
    let load = select(vec!["l1", "l2", "l3", "l4"]);
    let canner = select(vec!["a", "b", "z"]);
    let counts = (0u32..9, 0u32..11, maybe(lot()), 0u32..3);
    let who = (maybe(helper()), any::<bool>(), 0usize..4);
    (0usize..19, load, canner, counts, who).prop_map(
        |(kind, load, canner, (halves, puree, lot, broken), (helper, early, fate))| {
            let mut jars = Vec::new();
            if halves > 0 {
                jars.push(lean(json!({ "product": "halves", "jars": halves, "lot": lot })));
            }
            if puree > 5 {
                jars.push(json!({ "product": "puree", "jars": puree }));
            }
            let helper = if early { Some("ana") } else { helper };
            lean(match kind {
                0..=3 => json!({ "order": "build-load", "load": load, "station": "can", "canner": canner, "jars": jars, "mixed": early }),
                4 => json!({ "order": "change-load", "load": load, "jars": jars }),
                5 if fate == 0 => json!({ "order": "cancel-load", "load": load }),
                5 | 6 => json!({ "order": "heat-load", "load": load, "helper": helper }),
                7 => json!({ "order": "rolling-boil", "load": load, "helper": helper }),
                8 if fate <= 1 => json!({ "order": "boil-lost", "load": load }),
                8 | 9 => json!({ "order": "heat-off", "load": load, "helper": helper, "end_early": early && fate == 1 }),
                10 | 11 => json!({ "order": "lift-load", "load": load }),
                12 => json!({ "order": "check-seals", "load": load, "helper": helper, "jars": [
                    { "product": if puree > 5 { "puree" } else { "halves" }, "lot": lot, "sealed": halves, "refrigerated": broken } ] }),
                13 => json!({ "order": "check-seals", "load": load, "jars": [
                    { "product": "halves", "sealed": 1, "frozen": fate, "reprocessed": broken } ] }),
                14 => json!({ "order": "confirm-jars", "product": "halves", "acid": early }),
                15 => json!({ "order": "vent", "load": load }),
                16 => json!({ "order": "pressure-zero", "load": load }),
                _ => json!({ "order": "lift-load", "load": load, "helper": helper,
                    "broken": if broken > 0 { json!([{ "product": "halves", "jars": broken }]) } else { json!([]) },
                    "fate": (["refrigerate", "freeze", "reprocess"].get(fate)) }),
            })
        },
    )
}

fn chores() -> impl Strategy<Value = Value> {
    let chore = select(vec![
        "salt", "box-1", "box-2", "box-3", "supply-1", "scraps-3", "scraps-4", "pot-4", "pot-5",
    ]);
    (0usize..6, chore, helper(), 0usize..5).prop_map(|(kind, chore, helper, on)| match kind {
        5 => lean(json!({ "order": "gather", "item": (["lids", "labels", "first-aid", "none", "altitude"][on]),
            "have": ([Some(0), Some(1000), None, Some(7000), Some(-1)][on]), "helper": helper })),
        0 => json!({ "order": "raise-chore", "chore": "salt", "text": "We need salt" }),
        1 => json!({ "order": "take-chore", "chore": chore, "helper": helper }),
        2 | 3 => json!({ "order": "finish-chore", "chore": chore, "helper": helper }),
        _ => json!({ "order": "note", "text": "thicker than usual", "on": match on {
            0 => json!({ "about": "day" }), 1 => json!({ "about": "lot", "id": "hill" }),
            2 => json!({ "about": "load", "id": "l1" }), 3 => json!({ "about": "station", "id": "cook" }),
            _ => json!({ "about": "product", "id": "halves" }) } }),
    })
}

/// What alarms and hurts ask. The alarm `first` stands for the first clock that runs.
fn alarms() -> impl Strategy<Value = Value> {
    let who = (helper(), maybe(helper()), maybe(station()));
    let hurt = select(vec!["h1", "h2", "h3"]);
    (0usize..7, who, hurt).prop_map(|(kind, (helper, hurt_one, station), hurt)| {
        lean(match kind {
            0 | 1 => json!({ "order": "take-alarm", "alarm": "first", "helper": helper }),
            2 => json!({ "order": "take-alarm", "alarm": "stir/cook/p1/0", "helper": helper }),
            3 | 4 => json!({ "order": "report-hurt", "hurt": hurt, "helper": hurt_one,
                    "station": station, "kind": "burn" }),
            5 => json!({ "order": "take-back-hurt", "hurt": hurt }),
            _ => json!({ "order": "hurt-tended", "hurt": hurt, "helper": helper }),
        })
    })
}

/// Set-up orders, made of the kitchen's own plans with something changed.
fn set_up() -> impl Strategy<Value = Value> {
    let kitchen = serde_json::to_value(plan()).unwrap();
    (0usize..26, station(), amount(), any::<bool>(), helper()).prop_map(
        move |(kind, station, amount, named, helper)| {
            let slice = &kitchen["stations"]["slice"];
            let mut product = kitchen["products"]["base"].clone();
            product["name"] = json!("New product");
            let mut changed = kitchen["products"]["halves"].clone();
            changed["route"][1]["yields"] = json!({ "made": amount, "from": 3000 });
            let mut fewer = kitchen["stations"]["slice"].clone();
            fewer["seats"] = json!(if named { 1 } else { 3 });
            let mut lot = kitchen["lots"]["hill"].clone();
            lot["amount"] = json!(amount);
            let lids = &kitchen["supplies"]["lids"];
            let age = if named { 30 } else { 11 };
            match kind {
                0 => json!({ "order": "change-day", "scraps_bucket_lb": amount }),
                1 if named => json!({ "order": "close-day" }),
                1 => json!({ "order": "change-day", "altitude_ft": 3500 }),
                2 => json!({ "order": "set-age-rules", "rules": { "blade": [{ "from_age": 0, "verdict": "with-adult" }, { "from_age": 12, "verdict": "allowed" }] } }),
                3 => json!({ "order": "put-resource", "resource": "burner", "plan": { "name": "burners", "count": if named { 1 } else { 3 } } }),
                4 => json!({ "order": "put-resource", "resource": "oven", "plan": { "name": "oven", "count": 1 } }),
                5 => json!({ "order": "retire-resource", "resource": if named { "oven" } else { "sink" } }),
                6 => json!({ "order": "add-station", "station": "extra", "plan": slice }),
                7 => json!({ "order": "change-station", "station": "slice", "plan": fewer }),
                8 => json!({ "order": "retire-station", "station": if named { "extra" } else { station } }),
                9 => json!({ "order": "set-up", "station": if named { "bag" } else { station } }),
                10 => json!({ "order": "set-up", "station": "bag", "instead_of": station }),
                11 => json!({ "order": "put-away", "station": if named { "bag" } else { station } }),
                12 => json!({ "order": "add-helper", "helper": "eve", "plan": { "name": "Eve", "age": age } }),
                13 => json!({ "order": "change-helper", "helper": helper, "plan": { "name": "Changed", "age": age } }),
                14 => json!({ "order": "retire-helper", "helper": if named { "eve" } else { helper } }),
                15 => json!({ "order": "add-product", "product": "new", "plan": product }),
                16 => json!({ "order": "change-product", "product": "halves", "plan": changed }),
                17 => json!({ "order": "retire-product", "product": if named { "new" } else { "bags" } }),
                18 => json!({ "order": "add-lot", "lot": "none", "plan": lot }),
                19 => json!({ "order": "change-lot", "lot": if named { "hill" } else { "none" }, "plan": lot }),
                20 => json!({ "order": "retire-lot", "lot": if named { "none" } else { "yard" } }),
                21 => json!({ "order": "add-supply", "supply": "tubs", "plan": { "name": "tubs", "unit": "tub", "stock": 3000 } }),
                22 => json!({ "order": "change-supply", "supply": "lids", "plan": lids }),
                23 => json!({ "order": "retire-supply", "supply": if named { "tubs" } else { "lids" } }),
                24 => json!({ "order": "stay-beside", "helper": "cleo", "adult": "ana" }),
                _ => json!({ "order": "claim", "helper": "cleo", "station": "fill", "beside": "ana" }),
            }
        },
    )
}

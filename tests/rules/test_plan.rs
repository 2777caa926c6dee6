//! The plan of the test kitchen: pears, peaches and beans for jars, plums for tubs and jars, tomato
//! sauce that needs its acid, apple butter that needs its jars sterilised.

use serde_json::{Value, json};

/// A step of a route.
fn step(station: &str, measure: &str, carrier: &str, holds: i64) -> Value {
    json!({"station": station, "measure": measure, "carrier": {"name": carrier, "holds": holds}})
}

/// Jars of fruit: slice, fill, process, cool.
fn canned(name: &str, produce: &str, food: &str, pack: &str, jar: &str, each: i64) -> Value {
    let mut slice = step("slice", "lb", "bowl", 5000);
    slice["trims_lb"] = json!({"made": 200, "from": 1000});
    let mut fill = step("fill", "lb", "jar", each);
    fill["yields"] = json!({"made": 1000, "from": each});
    fill["draws"] = json!({"lids": 1000});
    json!({
        "name": name, "produce": produce,
        "ends_in": {"as": "canned", "food": food, "pack": pack, "jar": jar},
        "route": [slice, fill, step("canner", "jar", "jar", 1000), step("rack", "jar", "jar", 1000)]
    })
}

/// The same by the pressure canner.
fn pressed(mut product: Value) -> Value {
    product["route"][2]["station"] = json!("press");
    product
}

/// Plums cooked to a mash that becomes tubs and jars, two to one.
fn mash() -> Value {
    let mut wash = step("wash", "lb", "bowl", 4000);
    wash["yields"] = json!({"made": 1000, "from": 1000});
    let mut cook = step("cook", "lb", "pot", 12_000);
    cook["yields"] = json!({"made": 1000, "from": 2000});
    cook["cook_min"] = json!(60);
    cook["onward"] = json!([
        {"product": "plum-tubs", "station": "bag", "weight": 2},
        {"product": "plum-puree", "station": "fill", "weight": 1}
    ]);
    json!({"name": "plum mash", "produce": "plums", "ends_in": {"as": "shared"},
        "route": [wash, cook]})
}

fn tubs() -> Value {
    let mut bag = step("bag", "qt", "tub", 500);
    bag["yields"] = json!({"made": 1000, "from": 500});
    bag["draws"] = json!({"tubs": 1000});
    json!({"name": "plum tubs", "produce": "plums", "ends_in": {"as": "frozen", "package": "tub"},
        "route": [bag, step("freezer", "tub", "tub", 1000)]})
}

fn puree() -> Value {
    let mut puree = canned("plum puree", "plums", "fruit puree", "hot", "quart", 1000);
    puree["route"][1]["measure"] = json!("qt");
    puree["route"].as_array_mut().unwrap().remove(0);
    puree
}

/// Plums cooked down in a roaster to spread, in tubs straight from the pot.
fn spread() -> Value {
    let mut cook = step("roast", "qt", "pot", 8000);
    cook["yields"] = json!({"made": 2000, "from": 1000});
    cook["cook_min"] = json!(300);
    json!({"name": "plum spread", "produce": "plum-pulp",
        "ends_in": {"as": "frozen", "package": "tub"},
        "route": [cook, step("freezer", "tub", "tub", 1000)]})
}

/// The plan of the test kitchen.
pub fn plan() -> Value {
    let hand = |name: &str, work: &str, seats: u32, needs: Value| {
        json!({"name": name, "work": work, "nature": {"is": "hand"}, "seats": seats,
            "needs": needs})
    };
    let canner = |name: &str, method: &str| {
        json!({"name": name, "work": "process", "seats": 1, "needs": ["heat", "lifting"],
            "nature": {"is": "canner", "method": method, 
            "canners": {"a": {"name": "Canner A", "holds": {"pint": 9, "quart": 7}}}},
            "occupies": {"burners": 1}})
    };
    let pot = |name: &str| json!({"name": name, "takes": {"lb": 12000, "qt": 9000}});
    let helper = |name: &str, age: u8| json!({"name": name, "sign": "plum", "age": age});
    let lot = |name: &str, produce: &str, measure: &str, amount: i64| {
        json!({"name": name, "produce": produce, "measure": measure, "amount": amount,
            "box_holds": 20_000})
    };
    json!({
        "name": "Test day", "date": "2026-09-12", "altitude_ft": 640,
        "scraps_bucket_lb": 10_000,
        "resources": {"burners": {"name": "burners", "count": 2}},
        "stations": {
            "wash": hand("Wash", "wash", 2, json!([])),
            "slice": hand("Slice", "slice", 3, json!(["blade"])),
            "fill": hand("Fill", "fill", 2, json!(["heat"])),
            "bag": hand("Bag", "bag", 1, json!([])),
            "cook": {"name": "Cook", "work": "cook", "seats": 1, "needs": ["heat"],
                "occupies": {"burners": 1},
                "nature": {"is": "vessel", "stir": {"thin_min": 18, "half_min": 10, "thick_min": 4},
                    "pots": {"big": pot("big pot"), "small": pot("small pot"),
                        "third": pot("third pot")}}},
            "roast": {"name": "Roast", "work": "cook", "seats": 1, "needs": ["heat"],
                "nature": {"is": "vessel", "pots": {"roaster": pot("roaster")}}},
            "canner": canner("Canner", "boiling-water"),
            "press": canner("Pressure canner", "pressure-dial"),
            "rack": {"name": "Rack", "work": "cool", "seats": 0,
                "nature": {"is": "hold", "capacity": 14_000}},
            "freezer": {"name": "Freezer", "work": "freeze", "seats": 0, "nature": {"is": "hold"}},
            "mill": {"name": "Mill", "work": "strain", "seats": 1, "nature": {"is": "hand"},
                "set_up": false}
        },
        "supplies": {
            "lids": {"name": "lids", "unit": "lid", "stock": 30_000, "low_at": 6_000},
            "tubs": {"name": "tubs", "unit": "tub", "stock": 40_000}
        },
        "products": {
            "pear-quarts": canned("pear quarts", "pears", "pears", "hot", "quart", 2500),
            "pear-pints": canned("pear pints", "pears", "pears", "hot", "pint", 1250),
            "peach-pints": canned("peach pints", "peaches", "peaches", "raw", "pint", 1000),
            "pear-press": pressed(canned("pressed pears", "pears", "pears", "hot", "pint", 1250)),
            "beans": pressed(canned("beans", "green beans", "green beans", "hot", "pint", 1000)),
            "sauce": canned("tomato sauce", "tomatoes", "tomato sauce", "hot", "pint", 2500),
            "butter": canned("apple butter", "apples", "apple butter", "hot", "pint", 1000),
            "plum-mash": mash(), "plum-tubs": tubs(), "plum-puree": puree(), "spread": spread()
        },
        "helpers": {
            "maren": helper("Maren", 44), "osk": helper("Osk", 46), "edda": helper("Edda", 70),
            "juno": helper("Juno", 16), "silas": helper("Silas", 14), "wren": helper("Wren", 9),
            "bo": helper("Bo", 6)
        },
        "lots": {
            "pears-a": lot("Hill pears", "pears", "lb", 100_000),
            "pears-b": lot("Valley pears", "pears", "lb", 60_000),
            "peaches-a": lot("Peaches", "peaches", "lb", 40_000),
            "plums-a": lot("Plums", "plums", "lb", 80_000),
            "pulp": lot("Plum pulp", "plum-pulp", "qt", 30_000),
            "beans-a": lot("Beans", "green beans", "lb", 30_000),
            "tomatoes-a": lot("Tomatoes", "tomatoes", "lb", 40_000),
            "apples-a": lot("Apples", "apples", "lb", 40_000)
        }
    })
}

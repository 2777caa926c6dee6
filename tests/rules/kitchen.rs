//! A small kitchen to try the rules in, and the words to do it with.
//!
//! `k.does("claim helper=wren station=wash")` gives an order as the lead and expects it to be
//! accepted; `k.refuses(...)` expects a refusal and that the day is as it was. An order is written
//! as its name and `field=value` pairs; a value is a number, JSON without spaces, or a word, in
//! which `_` stands for a space if it is the value of a text field.
//! Invariant: whatever a test did, at its end the events replay to the very same day.

use putby::day::amount::Amount;
use putby::day::event::Event;
use putby::day::ids::*;
use putby::day::time::{MINUTE_MS, Timestamp};
use putby::day::*;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use uuid::Uuid;

/// Ten past six on a September morning, as a plain number.
pub const MORNING: Timestamp = Timestamp(1_789_000_000_000);

/// A day with its history.
pub struct Kitchen {
    pub state: State,
    pub now: Timestamp,
    pub records: Vec<Record>,
    given: u128,
}

impl Kitchen {
    /// No day yet.
    pub fn dark() -> Kitchen {
        Kitchen {
            state: State::default(),
            now: MORNING,
            records: Vec::new(),
            given: 0,
        }
    }

    /// The test kitchen, open, with everybody here and all fruit in boxes.
    pub fn open() -> Kitchen {
        Kitchen::with(|_| {})
    }

    /// The test kitchen with its plan changed first.
    pub fn with(change: impl FnOnce(&mut Value)) -> Kitchen {
        let mut plan = plan();
        change(&mut plan);
        let mut kitchen = Kitchen::dark();
        kitchen.does_json(json!({"order": "open-day", "plan": plan}));
        kitchen
    }

    /// Time passes.
    pub fn wait(&mut self, minutes: i64) -> &mut Kitchen {
        self.now = Timestamp(self.now.0 + minutes * MINUTE_MS);
        self
    }

    /// Time passes.
    pub fn wait_ms(&mut self, ms: i64) -> &mut Kitchen {
        self.now = Timestamp(self.now.0 + ms);
        self
    }

    /// The lead orders it and it is done; gives the events.
    #[track_caller]
    pub fn does(&mut self, order: &str) -> Vec<Event> {
        self.does_json(order_of(order))
    }

    /// As [`Kitchen::does`], for several orders.
    #[track_caller]
    pub fn all(&mut self, orders: &[&str]) -> &mut Kitchen {
        for order in orders {
            self.does(order);
        }
        self
    }

    /// As [`Kitchen::does`], for an order written in JSON.
    #[track_caller]
    pub fn does_json(&mut self, order: Value) -> Vec<Event> {
        let said = order.to_string();
        match self.gives(Role::Lead, order) {
            Ok(events) => events,
            Err(refusal) => panic!("{said} was refused: {refusal:?}"),
        }
    }

    /// A helper's device orders it and it is done.
    #[track_caller]
    pub fn helper_does(&mut self, order: &str) -> Vec<Event> {
        match self.gives(Role::Helper, order_of(order)) {
            Ok(events) => events,
            Err(refusal) => panic!("{order} was refused: {refusal:?}"),
        }
    }

    /// The lead orders it and it is refused; gives the refusal.
    #[track_caller]
    pub fn refuses(&mut self, code: Code, order: &str) -> Refusal {
        self.refuses_role(Role::Lead, code, order_of(order))
    }

    /// As [`Kitchen::refuses`], by whom and in JSON.
    #[track_caller]
    pub fn refuses_role(&mut self, role: Role, code: Code, order: Value) -> Refusal {
        let (before, count) = (self.state.clone(), self.records.len());
        let said = order.to_string();
        let refusal = match self.gives(role, order) {
            Ok(events) => panic!("{said} was accepted: {events:?}"),
            Err(refusal) => refusal,
        };
        assert_eq!(refusal.code, code, "{said}: {refusal:?}");
        assert_eq!(self.state, before, "a refusal changes nothing: {said}");
        assert_eq!(self.records.len(), count);
        for sentence in [&refusal.detail, &refusal.instead] {
            assert!(
                sentence.len() > 8 && !sentence.contains("  "),
                "{refusal:?}"
            );
        }
        refusal
    }

    /// The order is given, whatever comes of it.
    pub fn gives(&mut self, role: Role, order: Value) -> Decision {
        let command: Command = serde_json::from_value(order.clone())
            .unwrap_or_else(|fault| panic!("{order} is no command: {fault}"));
        self.given += 1;
        let moment = Moment {
            now: self.now,
            command: Uuid::from_u128(self.given),
            role,
        };
        let events = execute(&mut self.state, &command, &moment)?;
        self.state
            .check()
            .unwrap_or_else(|fault| panic!("{order}: {fault}"));
        for event in &events {
            self.records.push(Record {
                seq: self.records.len() as u64 + 1,
                at: moment.now,
                command: moment.command,
                role,
                event: event.clone(),
            });
        }
        Ok(events)
    }

    /// The day as its events alone make it.
    pub fn replayed(&self) -> State {
        let mut state = State::default();
        for record in &self.records {
            apply(&mut state, record.at, record.command, &record.event);
        }
        state
    }

    /// What waits of a product at a station, in thousandths.
    pub fn waits(&self, station: &str, product: &str) -> i64 {
        self.state.waiting_at(&id(station), &id(product)).0
    }

    /// Finished packages of a product, in thousandths.
    pub fn finished(&self, product: &str) -> i64 {
        let lots = self.state.products[&id::<ProductId>(product)]
            .finished
            .values();
        lots.copied().sum::<Amount>().0
    }

    /// A stock.
    pub fn stock(&self, supply: &str) -> i64 {
        self.state.supplies[&id::<SupplyId>(supply)].stock.0
    }

    /// Where somebody sits.
    pub fn seat(&self, helper: &str) -> Option<&str> {
        let helper = &self.state.helpers[&id::<HelperId>(helper)];
        helper.station.as_ref().map(StationId::as_str)
    }

    /// The public view as JSON.
    pub fn view(&self) -> Value {
        serde_json::to_value(view(&self.state)).unwrap()
    }

    /// Open chores as `about` words.
    pub fn chores(&self) -> Vec<String> {
        let view = self.view();
        let chores = view["chores"].as_object().unwrap().values();
        chores
            .map(|chore| chore["kind"]["about"].as_str().unwrap().to_owned())
            .collect()
    }

    /// The id of an open chore about this.
    pub fn chore(&self, about: &str) -> Option<String> {
        let view = self.view();
        let mut chores = view["chores"].as_object().unwrap().iter();
        let found = chores.find(|(_, chore)| chore["kind"]["about"] == about);
        found.map(|(id, _)| id.clone())
    }

    /// Fills `jars` pear quarts all the way to the canner, from the pears of the lot.
    #[track_caller]
    pub fn fill_pear_quarts(&mut self, jars: i64) -> &mut Kitchen {
        self.fill("pears-a", "pear-quarts", jars, 2500)
    }

    /// Fills jars of a product of so many thousandths of a pound each.
    #[track_caller]
    pub fn fill(&mut self, lot: &str, product: &str, jars: i64, each: i64) -> &mut Kitchen {
        let amount = jars * each;
        self.does(&format!(
            "open-box lot={lot} product={product} amount={amount}"
        ));
        for station in ["slice", "fill"] {
            self.does(&format!(
                "tally station={station} product={product} amount={amount}"
            ));
        }
        self
    }

    /// Builds, heats and boils a load of pear quarts.
    #[track_caller]
    pub fn boil_pears(&mut self, load: &str, jars: i64) -> &mut Kitchen {
        self.fill_pear_quarts(jars);
        self.does(&build("canner", load, &[("pear-quarts", jars)]));
        self.does(&format!("heat-load load={load}"));
        self.wait(22);
        self.does(&format!("rolling-boil load={load}"));
        self
    }

    /// Takes such a load to the rack.
    #[track_caller]
    pub fn rack_pears(&mut self, load: &str, jars: i64) -> &mut Kitchen {
        self.boil_pears(load, jars).wait(25);
        self.does(&format!("heat-off load={load}"));
        self.wait(5);
        self.does(&format!("lift-load load={load}"));
        self
    }
}

impl Drop for Kitchen {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            assert_eq!(self.replayed(), self.state, "the events tell the whole day");
        }
    }
}

/// An id that is known to be one.
pub fn id<Id: TryFrom<String>>(text: &str) -> Id {
    Id::try_from(text.to_owned()).ok().unwrap()
}

/// The order to build a load.
pub fn build(canner: &str, load: &str, jars: &[(&str, i64)]) -> String {
    let jars: Vec<Value> = jars
        .iter()
        .map(|(product, jars)| json!({"product": product, "jars": jars}))
        .collect();
    format!(
        "build-load station={canner} load={load} jars={}",
        json!(jars)
    )
}

/// Reads `name field=value ...` as the JSON of an order.
pub fn order_of(text: &str) -> Value {
    let mut words = text.split(' ');
    let mut order = json!({"order": words.next().unwrap()});
    for pair in words {
        let (field, value) = pair
            .split_once('=')
            .unwrap_or_else(|| panic!("{pair} in {text}"));
        let is_text = matches!(field, "text" | "reason" | "name");
        order[field] = match serde_json::from_str(value) {
            Ok(json) => json,
            Err(_) if is_text => json!(value.replace('_', " ")),
            Err(_) => json!(value),
        };
    }
    order
}

/// Reads JSON as what it should be.
pub fn read<T: DeserializeOwned>(value: Value) -> T {
    serde_json::from_value(value).unwrap()
}

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
            "nature": {"is": "canner", "method": method, "holds": {"pint": 9, "quart": 7}},
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
            "beans": pressed(canned("beans", "beans", "green beans", "hot", "pint", 1000)),
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
            "beans-a": lot("Beans", "beans", "lb", 30_000)
        }
    })
}

//! A small kitchen whose every minute a test decides: wash, pare, fill, rack, with clean jars.

use putby::day::time::Timestamp;
use putby::day::*;
use putby::pace::{Learned, Pace, Seen};
use putby::sim::posterior::Posterior;
use serde_json::{Value, json};
use uuid::Uuid;

/// When the day is opened.
pub const MORNING: Timestamp = Timestamp(1_789_000_000_000);

/// A day under way.
pub struct Day {
    pub state: State,
    pub records: Vec<Record>,
    pub now: Timestamp,
    given: u128,
}

/// An id that is known to be one.
pub fn id<Id: TryFrom<String>>(text: &str) -> Id {
    Id::try_from(text.to_owned()).ok().unwrap()
}

/// Peaches are washed by the five pounds, sliced by the two, bagged; a bag of a pound. The rack
/// behind the bags holds `rack` of them, and each bag draws one of `bags`.
pub fn plan(rack: i64, bags: i64) -> Value {
    let helper = |name: &str, age: u8| json!({"name": name, "age": age});
    let hand = |name: &str, work: &str, seats: u32| json!({"name": name, "work": work, "nature": {"is": "hand"}, "seats": seats});
    json!({
        "name": "A day", "date": "2026-09-12",
        "stations": {
            "wash": hand("Wash", "wash", 2),
            "slice": hand("Slice", "slice", 3),
            "bag": hand("Bag", "bag", 2),
            "bags": hand("Fold bags", "other", 1),
            "rack": {"name": "Rack", "work": "freeze",
                     "nature": {"is": "hold", "capacity": rack * 1000}, "seats": 0},
        },
        "supplies": {"bag": {"name": "bags", "unit": "bag", "stock": bags * 1000}},
        "products": {
            "peaches": route("peaches"),
            "pears": route("pears"),
            "bag": {
                "name": "Bags", "produce": "paper",
                "ends_in": {"as": "stocked", "supply": "bag", "package": "bag"},
                "route": [{"station": "bags", "measure": "piece",
                           "carrier": {"name": "stack", "holds": 5000}}],
            },
        },
        "helpers": {
            "maren": helper("Maren", 44), "osk": helper("Osk", 46), "edda": helper("Edda", 70),
            "juno": helper("Juno", 16), "silas": helper("Silas", 12),
        },
        "lots": {
            "peaches": lot("peaches"), "pears": lot("pears"),
            "paper": {"name": "Paper", "produce": "paper", "measure": "piece",
                      "amount": 900_000, "box_holds": 5000},
        },
    })
}

fn lot(produce: &str) -> Value {
    json!({"name": produce, "produce": produce, "measure": "lb",
           "amount": 900_000_000, "box_holds": 10_000})
}

fn route(produce: &str) -> Value {
    let step = |station: &str, holds: i64| {
        json!({"station": station, "measure": "lb",
               "carrier": {"name": "bowl", "holds": holds}})
    };
    let mut bag = step("bag", 1000);
    bag["draws"] = json!({"bag": 1000});
    json!({
        "name": produce, "produce": produce, "ends_in": {"as": "frozen", "package": "bag"},
        "route": [step("wash", 5000), step("slice", 2000), bag,
                  {"station": "rack", "measure": "bag", "carrier": {"name": "bag", "holds": 1000}}],
    })
}

impl Day {
    /// The kitchen with room and bags for everything.
    pub fn open() -> Day {
        Day::with(plan(900_000, 900_000))
    }

    /// Another kitchen.
    pub fn with(plan: Value) -> Day {
        let mut day = Day {
            state: State::default(),
            records: Vec::new(),
            now: MORNING,
            given: 0,
        };
        day.does(json!({"order": "open-day", "plan": plan}));
        day
    }

    /// The lead orders it, and it is done.
    #[track_caller]
    pub fn does(&mut self, order: Value) -> &mut Day {
        let said = order.to_string();
        let command: Command = serde_json::from_value(order).expect(&said);
        self.given += 1;
        let moment = Moment {
            now: self.now,
            command: Uuid::from_u128(self.given),
            role: Role::Lead,
        };
        let events = execute(&mut self.state, &command, &moment);
        let events = events.unwrap_or_else(|refusal| panic!("{said}: {refusal:?}"));
        for event in events {
            self.records.push(Record {
                seq: self.records.len() as u64 + 1,
                at: moment.now,
                command: moment.command,
                role: moment.role,
                event,
            });
        }
        self
    }

    /// Minutes pass.
    pub fn wait(&mut self, minutes: f64) -> &mut Day {
        self.now = Timestamp(self.now.0 + (minutes * 60_000.0).round() as i64);
        self
    }

    #[track_caller]
    pub fn claim(&mut self, helper: &str, station: &str) -> &mut Day {
        self.does(json!({"order": "claim", "helper": helper, "station": station}))
    }

    #[track_caller]
    pub fn tap(&mut self, helper: &str, station: &str) -> &mut Day {
        self.does(json!({"order": "tally", "helper": helper, "station": station}))
    }

    #[track_caller]
    pub fn tap_of(&mut self, helper: &str, station: &str, product: &str) -> &mut Day {
        self.does(
            json!({"order": "tally", "helper": helper, "station": station,
                         "product": product}),
        )
    }

    /// So many carriers of slicing (two pounds each) wait there from now on, whatever did.
    #[track_caller]
    pub fn waits(&mut self, station: &str, product: &str, pounds: f64) -> &mut Day {
        let amount = (pounds * 1000.0).round() as i64;
        self.does(
            json!({"order": "recount", "station": station, "product": product,
                         "lot": product, "amount": amount}),
        )
    }

    /// What is known now.
    pub fn pace(&self) -> Pace {
        Pace::of(&self.records, &Learned::default(), self.now)
    }

    pub fn rate(&self, helper: &str, station: &str) -> Posterior {
        rate(&self.pace(), &self.state, helper, station, "peaches")
    }

    pub fn seen(&self, helper: &str, station: &str) -> Seen {
        self.pace().seen(&id(helper), &id(station))
    }
}

pub fn rate(pace: &Pace, state: &State, helper: &str, station: &str, product: &str) -> Posterior {
    pace.rate(state, &id(helper), &id(station), &id(product))
}

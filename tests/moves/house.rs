//! A house with a small kitchen, and days of orders in it.

use putby::day::ids::HelperId;
use putby::day::time::{MINUTE_MS, Timestamp};
use putby::day::{Command, Moment, Record, Refusal, Role, State, execute};
use serde_json::{Value, json};
use uuid::Uuid;

pub const START: Timestamp = Timestamp(1_789_000_000_000);

/// A day in the making.
pub struct House {
    pub state: State,
    pub records: Vec<Record>,
    pub now: Timestamp,
    given: u128,
}

pub fn helper(id: &str) -> HelperId {
    HelperId::try_from(id).unwrap()
}

/// Pears are washed, pared, cooked down, strained and filled into tubs; the quarts go to a canner.
fn plan() -> Value {
    let hand = |name: &str, work: &str, seats: u32, needs: Value| json!({"name": name, "work": work, "nature": {"is": "hand"}, "seats": seats, "needs": needs});
    let step = |station: &str, measure: &str, carrier: &str, holds: u32| json!({"station": station, "measure": measure, "carrier": {"name": carrier, "holds": holds}});
    json!({
        "name": "Pear day", "date": "2026-09-12", "altitude_ft": 600,
        "resources": {"burner": {"name": "burners", "count": 2}},
        "stations": {
            "wash": hand("Wash", "wash", 2, json!(["adult-beside"])),
            "pare": hand("Pare", "slice", 2, json!(["blade"])),
            "strain": hand("Strain", "strain", 1, json!([])),
            "fill": hand("Fill", "fill", 2, json!(["heat"])),
            "cook": {"name": "Cook", "work": "cook", "seats": 1, "needs": ["heat"],
                "occupies": {"burner": 1},
                "nature": {"is": "vessel", "pots": {"big": {"name": "Big pot", "takes": {"lb": 12000}}}}},
            "can": {"name": "Canner", "work": "process", "seats": 1, "needs": ["heat", "lifting"],
                "occupies": {"burner": 1},
                "nature": {"is": "canner", "method": "boiling-water",
                    "canners": {"a": {"name": "Canner A", "holds": {"quart": 7}}}}},
            "rack": {"name": "Rack", "work": "cool", "nature": {"is": "hold"}, "seats": 0}
        },
        "products": {
            "halves": {"name": "Pear halves", "produce": "pears",
                "ends_in": {"as": "canned", "food": "pears", "pack": "hot", "jar": "quart"},
                "route": [
                    step("wash", "lb", "bowl", 5000),
                    step("pare", "lb", "bowl", 2500),
                    {"station": "fill", "measure": "lb", "carrier": {"name": "jar", "holds": 2500},
                        "yields": {"made": 1000, "from": 2500}},
                    step("can", "jar", "jar", 1000),
                    step("rack", "jar", "jar", 1000)
                ]},
            "sauce": {"name": "Pear sauce", "produce": "pears",
                "ends_in": {"as": "frozen", "package": "tub"},
                "route": [
                    {"station": "cook", "measure": "lb", "carrier": {"name": "pot", "holds": 10000},
                        "cook_min": 30, "yields": {"made": 500, "from": 1000}},
                    step("strain", "qt", "quart", 1000),
                ]}
        },
        "helpers": {
            "maren": {"name": "Maren", "age": 41},
            "osk": {"name": "Osk", "age": 46, "likes": ["strain"]},
            "edda": {"name": "Edda", "age": 70, "limits": ["lifting"]},
            "juno": {"name": "Juno", "age": 15},
            "wren": {"name": "Wren", "age": 8},
            "bo": {"name": "Bo", "age": 17, "here": false}
        },
        "lots": {
            "hill": {"name": "Hill", "produce": "pears", "measure": "lb", "amount": 60000, "box_holds": 20000}
        },
        "carried": [
            {"station": "pare", "product": "halves", "lot": "hill", "amount": 5000, "since": 1_788_999_000_000_i64}
        ]
    })
}

impl House {
    /// The house with its day just opened.
    pub fn open() -> House {
        House::open_with(plan())
    }

    /// The same with nothing to do.
    pub fn open_without_fruit() -> House {
        let mut plan = plan();
        plan["carried"] = json!([]);
        plan["lots"] = json!({});
        House::open_with(plan)
    }

    fn open_with(plan: Value) -> House {
        let mut house = House {
            state: State::default(),
            records: Vec::new(),
            now: START,
            given: 0,
        };
        house.orders(&[json!({"order": "open-day", "plan": plan})]);
        house
    }

    /// Gives orders of the lead now; each must be accepted.
    pub fn orders(&mut self, orders: &[Value]) {
        for order in orders {
            let command: Command = serde_json::from_value(order.clone()).unwrap();
            if let Err(refusal) = self.order(&command) {
                panic!("{order} was refused: {refusal:?}");
            }
        }
    }

    /// Gives an order of the lead now.
    pub fn order(&mut self, command: &Command) -> Result<(), Refusal> {
        self.given += 1;
        let moment = Moment {
            now: self.now,
            command: Uuid::from_u128(self.given),
            role: Role::Lead,
        };
        let events = execute(&mut self.state, command, &moment)?;
        let record = |event| Record {
            seq: 0,
            at: moment.now,
            command: moment.command,
            role: moment.role,
            event,
        };
        self.records.extend(events.into_iter().map(record));
        Ok(())
    }

    pub fn sit(&mut self, who: &str, at: &str) {
        self.orders(&[json!({"order": "claim", "helper": who, "station": at})]);
    }

    pub fn wait_min(&mut self, minutes: i64) {
        self.now = Timestamp(self.now.0 + minutes * MINUTE_MS);
    }
}

//! A small kitchen to try the rules in, and the words to do it with.
//!
//! `day.does("claim helper=wren station=wash")` gives an order as the lead and expects it to be
//! accepted; `day.refuses(...)` expects a refusal and that the day is as it was. An order is written
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
        let mut plan = crate::test_plan::plan();
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

    /// Eight quarts of pulp are roasted down to spread and wait at the freezer.
    pub fn roasts_spread(&mut self) {
        self.all(&[
            "open-box lot=pulp product=spread amount=8000",
            "fill-pot station=roast pot=roaster product=spread",
            "start-pot station=roast pot=roaster",
        ]);
        self.wait(300).does("pot-done station=roast pot=roaster");
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

    /// The order is given, whatever comes of it, and the day is sound after it.
    pub fn gives(&mut self, role: Role, order: Value) -> Decision {
        let said = order.to_string();
        let events = self.tries(role, order)?;
        self.state
            .check()
            .unwrap_or_else(|fault| panic!("{said}: {fault}"));
        Ok(events)
    }

    /// The order is given, and nothing is asked about the day.
    pub fn tries(&mut self, role: Role, order: Value) -> Decision {
        let command: Command = serde_json::from_value(order.clone())
            .unwrap_or_else(|fault| panic!("{order} is no command: {fault}"));
        self.given += 1;
        let moment = Moment {
            now: self.now,
            command: Uuid::from_u128(self.given),
            role,
        };
        let events = execute(&mut self.state, &command, &moment)?;
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

    /// The acid and the jars of what waits at the canner are confirmed, a moment after filling.
    #[track_caller]
    pub fn confirm(&mut self, product: &str) -> &mut Kitchen {
        self.wait_ms(1).does(&format!(
            "confirm-jars product={product} acid=true sterile=true"
        ));
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

    /// Builds, heats and vents a load of beans and brings it to its pressure.
    #[track_caller]
    pub fn press_beans(&mut self, load: &str, jars: i64) -> &mut Kitchen {
        self.fill("beans-a", "beans", jars, 1000);
        self.does(&build("press", load, &[("beans", jars)]));
        self.does(&format!("heat-load load={load}"));
        self.wait(13);
        self.does(&format!("vent load={load}"));
        self.wait(10);
        self.does(&format!("rolling-boil load={load}"));
        self
    }

    /// Takes such a load to the rack.
    #[track_caller]
    pub fn rack_beans(&mut self, load: &str, jars: i64) -> &mut Kitchen {
        // USDA Complete Guide, green beans, hot pack, pints: 20 minutes.
        self.press_beans(load, jars).wait(20);
        self.does(&format!("heat-off load={load}"));
        self.wait(30);
        self.does(&format!("pressure-zero load={load}"));
        self.wait(10);
        self.does(&format!("lift-load load={load}"));
        self
    }

    /// Takes a load of pear quarts to the rack.
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

/// The order to check the seals of a load of one lot of one product.
pub fn seals(load: &str, product: &str, counts: &[(&str, u32)]) -> String {
    let mut jars = json!({"product": product});
    for (found, count) in counts {
        jars[*found] = json!(count);
    }
    format!("check-seals load={load} jars={}", json!([jars]))
}

/// An id that is known to be one.
pub fn id<Id: TryFrom<String>>(text: &str) -> Id {
    Id::try_from(text.to_owned()).ok().unwrap()
}

/// The order to build a load in the canner `a` of a station.
pub fn build(station: &str, load: &str, jars: &[(&str, i64)]) -> String {
    let jars: Vec<Value> = jars
        .iter()
        .map(|(product, jars)| json!({"product": product, "jars": jars}))
        .collect();
    format!(
        "build-load station={station} canner=a load={load} jars={}",
        json!(jars)
    )
}

/// The same for a load that the lead confirms as mixed.
pub fn build_mixed(station: &str, load: &str, jars: &[(&str, i64)]) -> String {
    format!("{} mixed=true", build(station, load, jars))
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

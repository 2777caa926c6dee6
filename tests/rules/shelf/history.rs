//! The judge: reads a day's history as plain facts and knows nothing of the day's state.
//!
//! Its times are typed from the published tables, for the altitudes the random days lie at.

use putby::day::Record;
use serde_json::Value;
use std::collections::BTreeMap;

const MINUTE: i64 = 60_000;

/// Product, minutes at 640 ft, minutes at 4,000 ft.
///
/// USDA Complete Guide to Home Canning (AIB 539): Guide 2, pears hot pack in quarts and pints,
/// apple butter in pints; Guide 3, standard tomato sauce in pints; pears under dial-gauge pressure
/// in pints. Peaches raw pack in pints and green beans hot pack in pints after Michigan State
/// University Extension, Preserving Food Safely.
pub const TESTED: &[(&str, i64, i64)] = &[
    ("pear-quarts", 25, 35),
    ("pear-pints", 20, 30),
    ("peach-pints", 25, 35),
    ("sauce", 35, 45),
    ("butter", 5, 10),
    ("pear-press", 10, 10),
    ("beans", 20, 20),
];

fn minutes(product: &str, altitude_ft: i32) -> Option<i64> {
    let row = TESTED.iter().find(|row| row.0 == product)?;
    match altitude_ft {
        640 => Some(row.1),
        4000 => Some(row.2),
        _ => None,
    }
}

/// What is known of a load.
#[derive(Default)]
struct Load {
    jars: BTreeMap<(String, String), i64>,
    pressure: bool,
    vent: Option<i64>,
    boil: Option<i64>,
    /// Milliseconds since the boil of which nobody knows what they were.
    unknown: i64,
    off: Option<i64>,
    zero: Option<i64>,
    lifted: Option<i64>,
    fate: bool,
    /// The first thing that was wrong with it.
    fault: Option<&'static str>,
}

impl Load {
    fn need(&mut self, right: bool, fault: &'static str) {
        if !right {
            self.fault.get_or_insert(fault);
        }
    }

    fn longest(&self, altitude_ft: i32) -> Option<i64> {
        let each = self.jars.keys();
        let each: Option<Vec<i64>> = each.map(|(of, _)| minutes(of, altitude_ft)).collect();
        each?.into_iter().max()
    }

    fn see(&mut self, fact: &str, at: i64, event: &Value, altitude_ft: i32) {
        let after = |since: Option<i64>, minutes: i64| {
            since.is_some_and(|since| at - since >= minutes * MINUTE)
        };
        match fact {
            "vent-began" => self.vent = Some(at),
            "boil-reached" => {
                let vented = !self.pressure || after(self.vent, 10);
                self.need(vented, "not vented for ten minutes");
                (self.boil, self.unknown) = (Some(at), 0);
            }
            "boil-was-lost" => self.boil = None,
            "heat-turned-off" => {
                let known = self.boil.map(|boil| boil + self.unknown);
                let longest = self.longest(altitude_ft);
                let whole = longest.is_some_and(|minutes| after(known, minutes));
                self.need(whole, "not the whole tested time at one boil");
                self.off = Some(at);
            }
            "pressure-fell" => self.zero = Some(at),
            "load-lifted" => {
                self.need(self.off.is_some(), "lifted with the heat on");
                let open = !self.pressure || after(self.zero, 10);
                self.need(open, "opened before ten minutes at zero");
                self.fate = event.get("fate").is_some();
                self.lifted = Some(at);
                for jars in event["broken"].as_array().into_iter().flatten() {
                    self.take(jars, jars["jars"].as_i64().unwrap());
                }
            }
            "seals-checked" => self.check(at, event),
            _ => {}
        }
    }

    /// Takes jars off those that stand; a fault when there were not so many.
    fn take(&mut self, jars: &Value, count: i64) {
        let key = ["product", "lot"].map(|field| jars[field].as_str().unwrap().to_owned());
        let stand = self.jars.get_mut(&key.into()).map(|stand| {
            *stand -= count;
            *stand
        });
        self.need(stand.is_some_and(|left| left >= 0), "more jars than it had");
    }

    fn check(&mut self, at: i64, event: &Value) {
        let cooled = self
            .lifted
            .is_some_and(|lifted| at - lifted >= 12 * 60 * MINUTE);
        for jars in event["jars"].as_array().unwrap() {
            if jars["sealed"].as_i64().unwrap() > 0 {
                self.need(cooled, "sealed before twelve hours of cooling");
                self.need(!self.fate, "short, and sealed all the same");
            }
            let found = ["sealed", "refrigerated", "frozen", "reprocessed", "broken"];
            let count = found.iter().map(|way| jars[way].as_i64().unwrap()).sum();
            self.take(jars, count);
        }
    }
}

/// The facts with their moments.
fn facts(records: &[Record]) -> impl Iterator<Item = (String, i64, Value)> {
    records.iter().map(|record| {
        let event = serde_json::to_value(&record.event).unwrap();
        (
            event["fact"].as_str().unwrap().to_owned(),
            record.at.0,
            event,
        )
    })
}

fn built(event: &Value) -> Load {
    let mut load = Load {
        pressure: event["station"] == "press",
        ..Load::default()
    };
    for part in event["jars"].as_array().unwrap() {
        let portion = &part["portion"];
        let key = [&part["product"], &portion["lot"]].map(|id| id.as_str().unwrap().to_owned());
        let layers = portion["layers"].as_array().unwrap().iter();
        let amount: i64 = layers.map(|layer| layer["amount"].as_i64().unwrap()).sum();
        *load.jars.entry(key.into()).or_default() += amount / 1000;
    }
    load
}

/// Whether every sealed jar came out of a load with nothing wrong about it.
pub fn judge(records: &[Record], altitude_ft: i32) -> Result<(), String> {
    let mut loads: BTreeMap<String, Load> = BTreeMap::new();
    for (fact, at, event) in facts(records) {
        if fact == "time-was-unknown" {
            let ms = event["ms"].as_i64().unwrap();
            loads.values_mut().for_each(|load| load.unknown += ms);
        }
        let Some(id) = event["load"].as_str() else {
            continue;
        };
        match fact.as_str() {
            "load-built" => {
                loads.insert(id.to_owned(), built(&event));
            }
            "load-cancelled" => {
                loads.remove(id);
            }
            _ => {
                let Some(load) = loads.get_mut(id) else {
                    return Err(format!("{fact} of {id}, which was never built"));
                };
                load.see(&fact, at, &event, altitude_ft);
                let fault = load.fault.filter(|_| sealed(&fact, &event) > 0);
                if let Some(fault) = fault {
                    return Err(format!("jars of {id} reached the shelf: {fault}"));
                }
            }
        }
    }
    Ok(())
}

fn sealed(fact: &str, event: &Value) -> i64 {
    let jars = event["jars"].as_array().filter(|_| fact == "seals-checked");
    let each = jars.into_iter().flatten();
    each.map(|jars| jars["sealed"].as_i64().unwrap()).sum()
}

/// How many jars of each product were found sealed.
pub fn on_the_shelf(records: &[Record]) -> BTreeMap<String, i64> {
    let mut shelf = BTreeMap::new();
    for (_, _, event) in facts(records).filter(|(fact, ..)| fact == "seals-checked") {
        for jars in event["jars"].as_array().unwrap() {
            let product = jars["product"].as_str().unwrap().to_owned();
            *shelf.entry(product).or_default() += jars["sealed"].as_i64().unwrap();
        }
    }
    shelf.retain(|_, sealed| *sealed > 0);
    shelf
}

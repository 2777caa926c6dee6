//! A random kitchen: what is made where, by whom, and who sits where in the morning.

use crate::draw::{For, between, chance, one_of, stream, whole};
use crate::routes::{Kind, Place, ROUTES, Route, Stage, band, place};
use putby::day::ids::*;
use putby::day::plan::{AgeRules, DayPlan, Verdict};
use rand_xoshiro::Xoshiro256PlusPlus;
use serde_json::{Value, json};

/// Who sees to canners, pots and children and does no other work.
pub const LEAD: &str = "maren";

/// The others.
const NAMES: [&str; 8] = ["osk", "edda", "juno", "silas", "wren", "bo", "tilda", "ivo"];

/// Nobody plans a day on which a station has less or more than this to do, in minutes.
const USUAL_MIN: (f64, f64) = (90.0, 540.0);

/// A kitchen. Stations, stops and people go by their numbers in the lists.
#[derive(Debug, Clone)]
pub struct Kitchen {
    pub seed: u64,
    pub plan: DayPlan,
    pub stations: Vec<Station>,
    pub stops: Vec<Stop>,
    pub products: Vec<Made>,
    pub people: Vec<Person>,
}

#[derive(Debug, Clone)]
pub struct Station {
    pub id: StationId,
    pub place: &'static Place,
    pub seats: usize,
    pub stops: Vec<usize>,
    /// Canners or pots.
    pub vessels: usize,
}

/// A product at a station.
#[derive(Debug, Clone)]
pub struct Stop {
    pub station: usize,
    pub product: usize,
    pub stage: Stage,
    /// What a carrier holds, in units of the measure.
    pub holds: f64,
    pub before: Option<usize>,
    pub after: Option<usize>,
    /// What one batch takes; jars in a load, quarts in a pot.
    pub batch: f64,
    /// Whether what comes of it is packages, which are whole.
    pub packs: bool,
}

#[derive(Debug, Clone)]
pub struct Made {
    pub id: ProductId,
    pub lot: LotId,
    pub route: &'static Route,
    pub first: usize,
    pub boxes: u32,
    pub box_holds: f64,
}

#[derive(Debug, Clone)]
pub struct Person {
    pub id: HelperId,
    pub age: u8,
    /// The station they begin at.
    pub seat: usize,
    /// Where they may work, and whether only with an adult beside.
    pub may: Vec<Verdict>,
}

pub fn id<Id: TryFrom<String>>(text: &str) -> Id {
    let id = Id::try_from(text.to_owned());
    id.ok().unwrap_or_else(|| panic!("{text} is no id"))
}

impl Kitchen {
    /// The kitchen of a seed.
    pub fn of(seed: u64) -> Kitchen {
        let mut rng = stream(seed, For::Kitchen, 0, 0);
        loop {
            if let Some(kitchen) = draw_one(seed, &mut rng) {
                return kitchen;
            }
        }
    }

    pub fn station(&self, id: &StationId) -> Option<usize> {
        self.stations.iter().position(|station| station.id == *id)
    }

    pub fn person(&self, id: &HelperId) -> Option<usize> {
        self.people.iter().position(|person| person.id == *id)
    }
}

fn draw_one(seed: u64, rng: &mut Xoshiro256PlusPlus) -> Option<Kitchen> {
    let count = whole(rng, 1, 2) as usize;
    let mut routes: Vec<&'static Route> = Vec::new();
    while routes.len() < count {
        let route = one_of(rng, ROUTES);
        // One produce for each, so that it is plain which box is meant for what.
        if routes.iter().all(|other| other.produce != route.produce) {
            routes.push(route);
        }
    }
    let mut kitchen = Kitchen {
        seed,
        plan: DayPlan {
            ..serde_json::from_value(json!({"name": "A day", "date": "2026-09-12"}))
                .expect("an empty plan")
        },
        stations: Vec::new(),
        stops: Vec::new(),
        products: Vec::new(),
        people: Vec::new(),
    };
    set_up(&mut kitchen, &routes, rng);
    let working = kitchen.stations.iter();
    let working = working
        .filter(|station| station.place.kind != Kind::Rack)
        .count();
    if !(4..=8).contains(&working) {
        return None;
    }
    invite(&mut kitchen, rng).then_some(())?;
    let minutes = (0..kitchen.stations.len()).map(|station| usual_min(&kitchen, station));
    if !(USUAL_MIN.0..=USUAL_MIN.1).contains(&minutes.fold(0.0, f64::max)) {
        return None;
    }
    kitchen.plan = plan(&kitchen, rng);
    Some(kitchen)
}

/// Minutes a station has to do on the day, by the figures of the trade and those who begin there.
fn usual_min(kitchen: &Kitchen, station: usize) -> f64 {
    let mut minutes = 0.0;
    for stop in &kitchen.stations[station].stops {
        let stop = &kitchen.stops[*stop];
        let made = &kitchen.products[stop.product];
        let mut amount = f64::from(made.boxes) * made.box_holds;
        let before = made
            .route
            .stages
            .iter()
            .take_while(|s| s.place != stop.stage.place);
        for stage in before {
            amount *= stage.yields.0 as f64 / stage.yields.1 as f64;
        }
        let here = kitchen
            .people
            .iter()
            .filter(|person| person.seat == station);
        let an_hour: f64 = here.map(|person| an_hour(stop, person.age)).sum();
        if an_hour > 0.0 {
            minutes += amount / stop.holds / an_hour * 60.0;
        }
    }
    minutes
}

fn set_up(kitchen: &mut Kitchen, routes: &[&'static Route], rng: &mut Xoshiro256PlusPlus) {
    let packages = between(rng, 40.0, 150.0);
    let canners = whole(rng, 1, 2) as usize;
    let pots = whole(rng, 1, 3) as usize;
    for known in crate::routes::PLACES {
        let used = |route: &&Route| route.stages.iter().any(|stage| stage.place == known.id);
        if !routes.iter().any(used) {
            continue;
        }
        let seats = match known.kind {
            Kind::Hands => whole(rng, 1, 3) as usize,
            Kind::Canner => 1,
            Kind::Pots | Kind::Rack => 0,
        };
        let vessels = match known.kind {
            Kind::Canner => canners,
            Kind::Pots => pots,
            Kind::Hands | Kind::Rack => 0,
        };
        kitchen.stations.push(Station {
            id: id(known.id),
            place: place(known.id),
            seats,
            stops: Vec::new(),
            vessels,
        });
    }
    for (product, route) in routes.iter().enumerate() {
        let first = kitchen.stops.len();
        for (number, stage) in route.stages.iter().enumerate() {
            let is_last = number + 1 == route.stages.len();
            let at = id(stage.place);
            let station = kitchen.station(&at).expect("set up above");
            let stop = kitchen.stops.len();
            kitchen.stations[station].stops.push(stop);
            let holds = stage.holds as f64 / 1000.0;
            let batch = match (place(stage.place).kind, route.canned) {
                (Kind::Canner, Some((_, "quart"))) => 7.0,
                (Kind::Canner, _) => 9.0,
                (Kind::Pots, _) => holds,
                (Kind::Hands | Kind::Rack, _) => 0.0,
            };
            kitchen.stops.push(Stop {
                station,
                product,
                stage: *stage,
                holds,
                before: (number > 0).then(|| stop - 1),
                after: (!is_last).then_some(stop + 1),
                batch,
                packs: ["fill", "bag"].contains(&stage.place),
            });
        }
        let share = packages / routes.len() as f64;
        // A boiling-water canner takes about an hour a load: a day has room for so many.
        let most = match route.canned {
            Some((_, "quart")) => canners as f64 * 7.0 * 7.0,
            Some(_) => canners as f64 * 9.0 * 7.0,
            None => f64::INFINITY,
        };
        let pounds = share.min(most / routes.len() as f64) * route.lb_each;
        let boxes = (pounds / route.box_lb as f64).round().max(1.0) as u32;
        kitchen.products.push(Made {
            id: id(route.id),
            lot: id(&format!("{}-lot", route.id)),
            route,
            first,
            boxes,
            box_holds: route.box_lb as f64,
        });
    }
}

/// Draws people until every hand station has somebody who may work there; gives up if the kitchen
/// has more stations than people.
fn invite(kitchen: &mut Kitchen, rng: &mut Xoshiro256PlusPlus) -> bool {
    let by_hand: Vec<usize> = (0..kitchen.stations.len())
        .filter(|station| kitchen.stations[*station].place.kind == Kind::Hands)
        .collect();
    let seats: usize = by_hand.iter().map(|s| kitchen.stations[*s].seats).sum();
    let count = whole(rng, 3, 8) as usize;
    if count < by_hand.len() || count > seats {
        return false;
    }
    let rules = AgeRules::usual();
    for _ in 0..50 {
        kitchen.people = (0..count)
            .map(|number| person(kitchen, &rules, NAMES[number], rng))
            .collect();
        let mut order: Vec<usize> = (0..count).collect();
        for last in (1..count).rev() {
            order.swap(last, whole(rng, 0, last as u32) as usize);
        }
        let mut seated: Vec<Option<usize>> = vec![None; count];
        if !staff(kitchen, &by_hand, &order, &mut seated) {
            continue;
        }
        if spread(kitchen, &by_hand, &mut seated, rng) {
            for (person, seat) in kitchen.people.iter_mut().zip(seated) {
                person.seat = seat.expect("everybody was seated");
            }
            return true;
        }
    }
    false
}

fn person(kitchen: &Kitchen, rules: &AgeRules, name: &str, rng: &mut Xoshiro256PlusPlus) -> Person {
    let age = match whole(rng, 0, 9) {
        0..=4 => whole(rng, 25, 70),
        5..=6 => whole(rng, 13, 17),
        7..=8 => whole(rng, 9, 12),
        _ => whole(rng, 6, 8),
    };
    let age = u8::try_from(age).expect("an age");
    let strictest = |place: &Place| {
        let words: Vec<Verdict> = place
            .needs
            .iter()
            .map(|need| rules.verdict(*need, age))
            .collect();
        if words.contains(&Verdict::Never) {
            Verdict::Never
        } else if words.contains(&Verdict::WithAdult) {
            Verdict::WithAdult
        } else {
            Verdict::Allowed
        }
    };
    Person {
        id: id(name),
        age,
        seat: 0,
        may: kitchen
            .stations
            .iter()
            .map(|station| strictest(station.place))
            .collect(),
    }
}

/// Puts one person to each station, those tried in order; backtracks.
fn staff(
    kitchen: &Kitchen,
    stations: &[usize],
    order: &[usize],
    seated: &mut Vec<Option<usize>>,
) -> bool {
    let Some((station, rest)) = stations.split_first() else {
        return true;
    };
    for person in order {
        let may = kitchen.people[*person].may[*station] != Verdict::Never;
        if may && seated[*person].is_none() {
            seated[*person] = Some(*station);
            if staff(kitchen, rest, order, seated) {
                return true;
            }
            seated[*person] = None;
        }
    }
    false
}

/// Seats the others anywhere they may.
fn spread(
    kitchen: &Kitchen,
    stations: &[usize],
    seated: &mut [Option<usize>],
    rng: &mut Xoshiro256PlusPlus,
) -> bool {
    for person in 0..seated.len() {
        if seated[person].is_some() {
            continue;
        }
        let free = |station: &&usize| {
            let taken = seated
                .iter()
                .filter(|seat| **seat == Some(**station))
                .count();
            taken < kitchen.stations[**station].seats
                && kitchen.people[person].may[**station] != Verdict::Never
        };
        let open: Vec<usize> = stations.iter().filter(free).copied().collect();
        if open.is_empty() {
            return false;
        }
        seated[person] = Some(*one_of(rng, &open));
    }
    true
}

fn plan(kitchen: &Kitchen, rng: &mut Xoshiro256PlusPlus) -> DayPlan {
    let mut burners = 0;
    let mut stations = serde_json::Map::new();
    for station in &kitchen.stations {
        let place = station.place;
        let takes = match place.kind {
            Kind::Hands => u32::from(place.hot),
            Kind::Pots | Kind::Canner => station.vessels as u32,
            Kind::Rack => 0,
        };
        burners += takes;
        let nature = match place.kind {
            Kind::Hands => json!({"is": "hand"}),
            Kind::Rack => json!({"is": "hold"}),
            Kind::Canner => json!({
                "is": "canner", "method": "boiling-water",
                "canners": named("canner", station.vessels, &json!({"half-pint": 9, "pint": 9, "quart": 7})),
            }),
            Kind::Pots => json!({
                "is": "vessel",
                "pots": named("pot", station.vessels, &json!({"qt": 6000})),
            }),
        };
        let mut entry = json!({
            "name": place.id, "work": place.work, "nature": nature, "seats": station.seats,
            "needs": place.needs,
        });
        if place.hot {
            entry["occupies"] = json!({"burner": 1});
        }
        stations.insert(place.id.to_owned(), entry);
    }
    // Now and then a burner too few, so that a pot waits for another.
    let pots = kitchen
        .stations
        .iter()
        .filter(|station| station.place.kind == Kind::Pots);
    if pots.map(|station| station.vessels).sum::<usize>() >= 2 && chance(rng, 0.4) {
        burners -= 1;
    }
    let mut helpers = serde_json::Map::new();
    helpers.insert(
        LEAD.to_owned(),
        json!({"name": "Maren", "age": 44, "limits": ["blade", "heat", "lifting", "adult-beside"]}),
    );
    for person in &kitchen.people {
        helpers.insert(
            person.id.to_string(),
            json!({"name": person.id.to_string(), "age": person.age}),
        );
    }
    let (mut products, mut lots) = (serde_json::Map::new(), serde_json::Map::new());
    for made in &kitchen.products {
        let route = made.route;
        let steps: Vec<Value> = route
            .stages
            .iter()
            .map(|stage| step(route, stage))
            .collect();
        let ends_in = match route.canned {
            Some((food, jar)) => json!({"as": "canned", "food": food, "pack": "hot", "jar": jar}),
            None => json!({"as": "frozen", "package": "bag"}),
        };
        products.insert(
            made.id.to_string(),
            json!({"name": route.id, "produce": route.produce, "ends_in": ends_in, "route": steps}),
        );
        lots.insert(
            made.lot.to_string(),
            json!({
                "name": made.lot.to_string(), "produce": route.produce, "measure": "lb",
                "amount": i64::from(made.boxes) * route.box_lb * 1000, "box_holds": route.box_lb * 1000,
            }),
        );
    }
    let plan = json!({
        "name": "A random day", "date": "2026-09-12", "altitude_ft": 600,
        "scraps_bucket_lb": 1_000_000,
        "resources": {"burner": {"name": "burners", "count": burners.max(1)}},
        "stations": stations, "products": products, "helpers": helpers, "lots": lots,
    });
    serde_json::from_value(plan).expect("a plan of a day")
}

fn named(word: &str, count: usize, of: &Value) -> Value {
    let key = if word == "pot" { "takes" } else { "holds" };
    let one = |number: usize| {
        let name = format!("{word}-{}", number + 1);
        (name.clone(), json!({"name": name, key: of}))
    };
    Value::Object((0..count).map(one).collect())
}

fn step(route: &Route, stage: &Stage) -> Value {
    let mut step = json!({
        "station": stage.place, "measure": stage.measure,
        "carrier": {"name": "carrier", "holds": stage.holds},
        "yields": {"made": stage.yields.0, "from": stage.yields.1},
    });
    if place(stage.place).kind == Kind::Pots {
        step["cook_min"] = json!(route.cook_min);
    }
    step
}

/// What an hour's work is to somebody of this age at a stop, in carriers, by the trade.
pub fn an_hour(stop: &Stop, age: u8) -> f64 {
    stop.stage.an_hour[band(age)]
}

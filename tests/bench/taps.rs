//! How long a tap takes while the board looks ahead, against how long it takes while it does not.
//!
//! Two real servers, one that looks ahead and one that does not, get the same big day and the same
//! taps in turns, each turn begun by the other one. The server that looks ahead does so without a
//! pause as long as it is tapped, which is far more than it does in a kitchen; the other is tapped
//! only when nothing is looked ahead any more. Shown are ratios of one run:
//!
//!     cargo bench --bench taps
//!
//! Beside it stands the time of a copy of the whole day, which the day's thread is spared since the
//! analyst reads the journal.

#![allow(
    clippy::unwrap_used,
    reason = "a benchmark may stop at the first surprise"
)]

use actix_web::{rt, web};
use futures_util::StreamExt;
use futures_util::stream::iter;
use putby::clock::SetClock;
use putby::config::{Config, Limits, Rhythm};
use putby::day::time::Timestamp;
use putby::day::{Record, State, apply};
use putby::server::{Site, build};
use serde_json::{Value, json};
use std::net::TcpListener;
use std::sync::Arc;
use std::time::{Duration, Instant};
use tempfile::TempDir;
use uuid::Uuid;

/// The kitchen that is tapped.
const FULL: Size = Size {
    stations: 10,
    helpers: 8,
};
/// The kitchen that is copied.
const BIG: Size = Size {
    stations: 12,
    helpers: 30,
};
/// Each is a layer that waits somewhere.
const TALLIES_BEFORE: usize = 4000;
const TURNS: usize = 20;
const TAPS_A_TURN: usize = 400;
const MORNING: Timestamp = Timestamp(1_789_203_600_000);

/// Looks ahead again as soon as it has.
const WITHOUT_PAUSE: Rhythm = Rhythm {
    settle: Duration::ZERO,
    pause: Duration::ZERO,
    renew: Duration::from_secs(3600),
};

#[derive(Clone, Copy)]
struct Size {
    stations: usize,
    helpers: usize,
}

struct Kitchen {
    size: Size,
    address: String,
    site: web::Data<Site>,
    clock: Arc<SetClock>,
    client: awc::Client,
    taps: usize,
    seq: u64,
    _folder: TempDir,
}

impl Kitchen {
    async fn open(size: Size, outlooks: Option<Rhythm>) -> Kitchen {
        let folder = TempDir::new().unwrap();
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let address = listener.local_addr().unwrap();
        let mut config = Config::new(folder.path().join("data"));
        config.outlooks = outlooks;
        config.limits = Limits::WIDE;
        let clock = Arc::new(SetClock::at(MORNING));
        let site = Site::open(&config, address, Some(clock.clone())).unwrap();
        rt::spawn(build(listener, site.clone()).unwrap());
        let limit = Duration::from_secs(300);
        let mut kitchen = Kitchen {
            size,
            address: format!("http://{address}"),
            site,
            clock,
            client: awc::Client::builder().timeout(limit).finish(),
            taps: 0,
            seq: 0,
            _folder: folder,
        };
        let day = json!({"id": Uuid::new_v4(), "day": "big", "plan": plan(size)});
        kitchen.post("/api/days", &day).await;
        kitchen.begin().await;
        kitchen
    }

    /// Everybody sits, all boxes are open, and work of many ages waits everywhere.
    async fn begin(&mut self) {
        for helper in 0..self.size.helpers {
            let station = format!("s{}", helper * 10 / self.size.helpers);
            let claim =
                json!({"order": "claim", "helper": format!("h{helper}"), "station": station});
            self.order(&claim).await;
        }
        for product in products() {
            let lot = format!("{product}-lot");
            let open = json!({"order": "open-box", "lot": lot, "product": product});
            self.order(&open).await;
            // So much goes ahead that no later tally finds too little, in whatever order they come.
            for station in 0..9 {
                let ahead = json!({"order": "tally", "station": format!("s{station}"),
                    "product": product, "amount": 100_000 - 5000 * station});
                self.order(&ahead).await;
            }
        }
        let tallies: Vec<Value> = (0..TALLIES_BEFORE).map(tally).collect();
        let this = &*self;
        // Many at a time, as they come from many devices: they share a sync.
        iter(&tallies)
            .for_each_concurrent(64, |order| async move {
                this.clock.advance(1000);
                this.send(order).await;
            })
            .await;
        // One more, alone, tells how far the day has come.
        self.order(&tally(TALLIES_BEFORE)).await;
        self.taps = TALLIES_BEFORE + 1;
    }

    async fn post(&self, path: &str, body: &Value) -> Value {
        let request = self.client.post(format!("{}{path}", self.address));
        let request = request.bearer_auth(self.site.lead_key().expect("a first start"));
        let mut answer = request.send_json(body).await.unwrap();
        let text = answer.body().limit(8 << 20).await.unwrap();
        assert!(answer.status().is_success(), "{body}: {text:?}");
        serde_json::from_slice(&text).unwrap()
    }

    async fn send(&self, order: &Value) -> Value {
        let body = json!({"id": Uuid::new_v4(), "command": order});
        self.post("/api/days/big/commands", &body).await
    }

    async fn order(&mut self, order: &Value) {
        self.clock.advance(1000);
        self.seq = self.send(order).await["seq"].as_u64().unwrap();
    }

    /// Taps one after another; how long each took from the tap to its acknowledgement.
    async fn tap(&mut self) -> Vec<Duration> {
        let mut took = Vec::new();
        for _ in 0..TAPS_A_TURN {
            let order = tally(self.taps);
            self.taps += 1;
            let began = Instant::now();
            self.order(&order).await;
            took.push(began.elapsed());
        }
        took
    }

    /// Waits until nothing is looked ahead any more.
    async fn settle(&self) {
        loop {
            let url = format!("{}/api/days/big/outlook", self.address);
            let mut answer = self.client.get(url).send().await.unwrap();
            let body = answer.body().limit(8 << 20).await.unwrap();
            let outlook: Value = serde_json::from_slice(&body).unwrap();
            if outlook["seq"] == self.seq {
                return;
            }
            rt::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// The day as it stands.
    async fn state(&self) -> State {
        let url = format!("{}/api/days/big/events", self.address);
        let mut answer = self.client.get(url).send().await.unwrap();
        let text = answer.body().limit(1 << 30).await.unwrap();
        let mut state = State::default();
        for line in text.split(|byte| *byte == b'\n').filter(|l| !l.is_empty()) {
            let record: Record = serde_json::from_slice(line).unwrap();
            apply(&mut state, record.at, record.command, &record.event);
        }
        state
    }
}

fn products() -> [&'static str; 3] {
    ["pears", "plums", "peaches"]
}

/// The n-th tally: a bowl goes on from one of the first stations.
fn tally(n: usize) -> Value {
    let product = products()[n % 3];
    // Twice as much is done at the first station as at the second, and so on, so that work of many
    // ages comes to wait behind each.
    let station = (n / 3 + 1).trailing_zeros().min(8);
    json!({"order": "tally", "station": format!("s{station}"), "product": product, "amount": 100})
}

fn plan(size: Size) -> Value {
    let ids = |letter: &'static str, count: usize| (0..count).map(move |n| format!("{letter}{n}"));
    let station = |id: String| {
        let plan = json!({"name": format!("Place {id}"), "work": "slice",
            "nature": {"is": "hand"}, "seats": 3});
        (id, plan)
    };
    let helper = |id: String| {
        let plan = json!({"name": format!("Helper {id}"), "age": 40, "sign": "pear"});
        (id, plan)
    };
    let step = |id: String| json!({"station": id, "measure": "lb", "carrier": {"name": "tub", "holds": 20_000}});
    let product = |name: &str| {
        let route: Vec<Value> = ids("s", size.stations).map(step).collect();
        json!({"name": name, "produce": name, "route": route,
            "ends_in": {"as": "frozen", "package": "bag"}})
    };
    let lot = |name: &str| {
        json!({"name": format!("{name} lot"), "produce": name, "measure": "lb",
            "amount": 900_000, "box_holds": 900_000})
    };
    let map = |pairs: Vec<(String, Value)>| pairs.into_iter().collect::<serde_json::Map<_, _>>();
    json!({
        "name": "A big day", "date": "2026-09-12",
        "stations": map(ids("s", size.stations).map(station).collect()),
        "helpers": map(ids("h", size.helpers).map(helper).collect()),
        "products": map(products().map(|p| (p.to_owned(), product(p))).to_vec()),
        "lots": map(products().map(|p| (format!("{p}-lot"), lot(p))).to_vec()),
    })
}

/// The value that `share` of all lie below, in milliseconds.
fn quantile(took: &mut [Duration], share: f64) -> f64 {
    took.sort();
    let place = (took.len() - 1) as f64 * share;
    took[place.round() as usize].as_secs_f64() * 1000.0
}

fn layers(state: &State) -> usize {
    let lots = state.flows.values().flat_map(|products| products.values());
    let flows = lots.flat_map(|lots| lots.values());
    flows.map(|flow| flow.layers.len()).sum()
}

#[actix_web::main]
async fn main() {
    // `cargo test --benches` builds and starts it too.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let mut with = Kitchen::open(FULL, Some(WITHOUT_PAUSE)).await;
    let mut without = Kitchen::open(FULL, None).await;
    with.settle().await;
    let began = Instant::now();
    let order = tally(with.taps);
    with.taps += 1;
    with.order(&order).await;
    with.settle().await;
    println!(
        "an outlook of this day takes {:.1} s",
        began.elapsed().as_secs_f64()
    );
    let (mut took_with, mut took_without) = (Vec::new(), Vec::new());
    let mut ratios = Vec::new();
    for turn in 0..=TURNS {
        let mut one = Vec::new();
        let mut other = Vec::new();
        for first in [turn % 2 == 0, turn % 2 != 0] {
            if first {
                one = with.tap().await;
                with.settle().await;
            } else {
                other = without.tap().await;
            }
        }
        // The first turn warms everything up.
        if turn > 0 {
            ratios.push(quantile(&mut one, 0.5) / quantile(&mut other, 0.5));
            took_with.extend(one);
            took_without.extend(other);
        }
    }
    let taps = took_with.len();
    println!("{taps} taps each; with and without looking ahead, in milliseconds:");
    for (name, share) in [("median", 0.5), ("90 %", 0.9), ("99 %", 0.99)] {
        let (one, other) = (
            quantile(&mut took_with, share),
            quantile(&mut took_without, share),
        );
        println!(
            "  {name:>6}  {one:7.3}  {other:7.3}  ratio {:.3}",
            one / other
        );
    }
    ratios.sort_by(f64::total_cmp);
    println!(
        "medians turn by turn: ratio {:.3} in the middle, {:.3} to {:.3}",
        ratios[ratios.len() / 2],
        ratios[0],
        ratios[ratios.len() - 1]
    );
    let state = Kitchen::open(BIG, None).await.state().await;
    let mut copies: Vec<Duration> = (0..200)
        .map(|_| {
            let began = Instant::now();
            std::hint::black_box(state.clone());
            began.elapsed()
        })
        .collect();
    println!(
        "a copy of a day of {} stations and {} helpers ({} layers wait): {:.3} ms",
        BIG.stations,
        BIG.helpers,
        layers(&state),
        quantile(&mut copies, 0.5)
    );
    std::process::exit(0);
}

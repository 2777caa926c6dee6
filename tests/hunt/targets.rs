//! What the fuzzer calls, as plain functions of bytes; `replays.rs` gives them the recorded inputs in
//! every run of the tests. Each must end in an answer, and what was read must be written as it was.

use crate::kitchen::{START, plan};
use putby::day::ids::DayId;
use putby::day::plan::DayPlan;
use putby::day::time::Timestamp;
use putby::day::{self, Command, Event, Moment, Record, Role, State};
use putby::journal::{Journal, SqliteJournal, carry};
use putby::pace::Learned;
use putby::prepare::next_year::{Season, next_year};
use putby::prepare::{Ask, Settings, propose};
use putby::shelf;
use putby::trace::{LotCode, Traced, trace};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::fmt::Debug;
use std::path::PathBuf;
use std::sync::LazyLock;
use uuid::Uuid;

/// Reads bytes as the server does, and demands that the same comes of what it writes.
fn read<T: DeserializeOwned + Serialize + PartialEq + Debug>(bytes: &[u8]) -> Option<T> {
    let value: T = serde_json::from_slice(bytes).ok()?;
    let text = serde_json::to_string(&value).unwrap();
    let again: T = serde_json::from_str(&text).unwrap();
    assert_eq!(value, again, "it changes by being written");
    Some(value)
}

fn moment(number: u128, now: Timestamp) -> Moment {
    Moment {
        now,
        command: Uuid::from_u128(number + 1),
        role: Role::Lead,
    }
}

/// Gives a command to a day: a refusal changes nothing, and what happens leaves a sound day.
fn give(state: &mut State, command: &Command, moment: &Moment) -> bool {
    let before = state.clone();
    match day::execute(state, command, moment) {
        Ok(_) => {
            state.check().unwrap();
            true
        }
        Err(_) => {
            assert_eq!(&before, state, "a refusal changed the day");
            false
        }
    }
}

fn ordered(json: Value) -> Command {
    serde_json::from_value(json).unwrap()
}

/// A day in its middle: people are seated, boxes open, a pot and a load under way.
static MIDDLE: LazyLock<State> = LazyLock::new(|| {
    let mut state = State::default();
    let open = Command::OpenDay {
        plan: Box::new(plan()),
    };
    give(&mut state, &open, &moment(0, START));
    let orders = [
        json!({ "order": "arrive", "helper": "ana" }),
        json!({ "order": "arrive", "helper": "ben" }),
        json!({ "order": "open-box", "lot": "hill", "product": "halves" }),
        json!({ "order": "open-box", "lot": "yard", "product": "base" }),
        json!({ "order": "claim", "helper": "ana", "station": "slice" }),
        json!({ "order": "tally", "station": "wash", "product": "halves" }),
        json!({ "order": "tally", "station": "wash", "product": "halves" }),
        json!({ "order": "tally", "station": "slice", "product": "halves" }),
        json!({ "order": "tally", "station": "slice", "product": "base" }),
        json!({ "order": "fill-pot", "station": "cook", "pot": "p1", "product": "base" }),
    ];
    for (number, order) in (1..).zip(orders) {
        give(&mut state, &ordered(order), &moment(number, START));
    }
    state
});

/// A command as it comes in, given to a day in its middle.
pub fn command(bytes: &[u8]) {
    let Some(command) = read::<Command>(bytes) else {
        return;
    };
    let mut state = MIDDLE.clone();
    if give(&mut state, &command, &moment(1000, later(60_000))) {
        day::view(&state);
    }
}

fn later(ms: i64) -> Timestamp {
    Timestamp(START.0 + ms)
}

/// A plan as it comes in; a day that is opened with it can be shown.
pub fn day_plan(bytes: &[u8]) {
    let Some(plan) = read::<DayPlan>(bytes) else {
        return;
    };
    let open = Command::OpenDay {
        plan: Box::new(plan),
    };
    let mut state = State::default();
    if give(&mut state, &open, &moment(0, START)) {
        day::view(&state);
        day::plan_again(&state);
    }
}

/// An event as the journal has it.
pub fn event(bytes: &[u8]) {
    read::<Event>(bytes);
}

/// Every command there is, to be changed and given in any order.
static COMMANDS: LazyLock<Vec<Value>> = LazyLock::new(|| {
    let lines = include_str!("../../fixtures/wire/commands.ndjson").lines();
    let wire = lines.map(|line| serde_json::from_str(line).unwrap());
    // One day cannot be opened twice; that is tried by `command`.
    let wire = wire.filter(|command: &Value| command["order"] != "open-day");
    wire.collect()
});

/// What stands in the place of a value of a command: names of the test kitchen, and edges.
static VALUES: LazyLock<Vec<Value>> = LazyLock::new(|| {
    let names = "ana ben cleo dov eve wash slice cook fill can rack bag jars extra p1 p2 a b l1 l2 \
                 l3 hill yard cellar split-1 halves puree base bags clean-jars new lids quart-jars \
                 burner sink h1 salt box-1 first none";
    let numbers = [
        0_i64,
        1,
        -1,
        2,
        7,
        999,
        1000,
        2500,
        5000,
        40_000,
        1_000_000_000,
        (1 << 53) - 1,
    ];
    let names = names.split_whitespace().map(Value::from);
    let more = [json!(null), json!(true), json!(false), json!([]), json!({})];
    names.chain(numbers.map(Value::from)).chain(more).collect()
});

/// Commands chosen and changed by the bytes, given one after another: five bytes for each.
pub fn apply(bytes: &[u8]) {
    let mut state = MIDDLE.clone();
    let mut now = later(60_000);
    for (number, five) in (2000..).zip(bytes.chunks_exact(5).take(200)) {
        let &[which, place, value, second, wait] = five else {
            continue;
        };
        let mut command = COMMANDS[usize::from(which) % COMMANDS.len()].clone();
        if place > 64 {
            change(&mut command, place, value);
        }
        if second > 128 {
            change(&mut command, second, place.wrapping_mul(31) ^ value);
        }
        now = Timestamp(now.0 + i64::from(wait).pow(3) * 4);
        let Ok(command) = serde_json::from_value::<Command>(command) else {
            continue;
        };
        give(&mut state, &command, &moment(number, now));
    }
    day::view(&state);
}

/// Puts another value in the place of one of a command's own.
fn change(command: &mut Value, place: u8, value: u8) {
    let value = &VALUES[usize::from(value) % VALUES.len()];
    let mut leaves = Vec::new();
    find_leaves(command, &mut String::new(), &mut leaves);
    let leaf = &leaves[usize::from(place) % leaves.len()];
    if leaf != "/order"
        && let Some(there) = command.pointer_mut(leaf)
    {
        *there = value.clone();
    }
}

fn find_leaves(value: &Value, at: &mut String, leaves: &mut Vec<String>) {
    let mut each = |key: &str, inner: &Value, leaves: &mut Vec<String>| {
        let length = at.len();
        at.push('/');
        at.push_str(&key.replace('~', "~0").replace('/', "~1"));
        find_leaves(inner, at, leaves);
        at.truncate(length);
    };
    match value {
        Value::Object(map) if !map.is_empty() => {
            map.iter().for_each(|(key, inner)| each(key, inner, leaves));
        }
        Value::Array(list) if !list.is_empty() => {
            let items = list.iter().enumerate();
            items.for_each(|(place, inner)| each(&place.to_string(), inner, leaves));
        }
        _ => leaves.push(at.clone()),
    }
}

/// A file as it is carried from board to board.
pub fn carried(bytes: &[u8]) {
    let path = in_memory("carried");
    let journal = SqliteJournal::open(&path).unwrap();
    match carry::import(&path, bytes) {
        Ok(brought) => brought.iter().for_each(|day| {
            journal.verify(&day.day).unwrap();
        }),
        Err(_) => assert!(journal.days().unwrap().is_empty(), "part of it was taken"),
    }
}

/// A database of its own, gone when the last connection to it is.
fn in_memory(name: &str) -> PathBuf {
    PathBuf::from(format!("file:/{name}-{}?vfs=memdb", Uuid::new_v4()))
}

/// The journal's own file, whatever is in it.
pub fn database(bytes: &[u8]) {
    let folder = ["/dev/shm", "/tmp"]
        .iter()
        .map(PathBuf::from)
        .find(|folder| folder.is_dir())
        .unwrap();
    let folder = tempfile::TempDir::new_in(folder).unwrap();
    let path = folder.path().join("putby.db");
    std::fs::write(&path, bytes).unwrap();
    let Ok(journal) = SqliteJournal::open(&path) else {
        return;
    };
    let _ = journal.last_at();
    let _ = journal.corrections();
    let Ok(days) = journal.days() else { return };
    for (day, _) in days {
        let _ = journal.verify(&day);
        let _ = journal.snapshot(&day, "0");
        let _ = journal.find(&day, Uuid::nil());
    }
}

/// What a family says before its day.
pub fn prepare(bytes: &[u8]) {
    let Ok(ask) = serde_json::from_slice::<Ask>(bytes) else {
        return;
    };
    let settings = Settings { runs: 0, seed: 1 };
    let told = propose(&ask, &Learned::default(), &settings);
    if let Err(faults) = told {
        assert!(!faults.is_empty(), "refused without a word");
    }
}

/// What a season saw.
pub fn season(bytes: &[u8]) {
    if let Ok(season) = serde_json::from_slice::<Season>(bytes) {
        let _ = next_year(&season);
    }
}

/// An order to the shelf as it comes in.
pub fn shelf_order(bytes: &[u8]) {
    if let Some(command) = read::<shelf::Command>(bytes) {
        give_shelf(&mut SHELF.clone(), &command, 0, later(YEAR_MS));
    }
}

/// Orders to the shelf chosen by the bytes, one after another: five bytes for each.
pub fn shelf_orders(bytes: &[u8]) {
    let mut state = SHELF.clone();
    let mut now = later(YEAR_MS);
    for (number, five) in (0..).zip(bytes.chunks_exact(5).take(200)) {
        let &[which, lot, place, packages, wait] = five else {
            continue;
        };
        let place_of = |byte: u8| ["pantry", "refrigerator", "freezer"][usize::from(byte) % 3];
        let whole = |byte: u8| match byte {
            250.. => [0, -1, i64::MAX / 2, i64::MIN / 2, (1 << 53) - 1, 1][usize::from(byte) - 250],
            _ => i64::from(byte % 12) * 500,
        };
        let code = &LOTS[usize::from(lot) % LOTS.len()];
        let lot = json!({ "day": "orchard", "code": code });
        let batch = json!({ "day": "orchard", "batch": code.batch() });
        let (place, to, packages) = (place_of(place), place_of(place / 3), whole(packages));
        let order = match which % 9 {
            0 | 1 => json!({ "order": "take", "lot": lot, "place": place, "packages": packages }),
            2 => json!({ "order": "judge", "lot": lot, "verdict": "just-right" }),
            3 => {
                json!({ "order": "move", "lot": lot, "from": place, "to": to, "packages": packages })
            }
            4 => {
                json!({ "order": "discard", "lot": lot, "place": place, "packages": packages, "why": "old" })
            }
            5 => json!({ "order": "correct", "lot": lot, "place": place, "packages": packages }),
            6 => json!({ "order": "recall", "batch": batch, "reason": "doubt" }),
            7 => json!({ "order": "end-recall", "batch": batch }),
            _ => json!({ "order": "undo", "command": Uuid::from_u128(u128::from(wait) % 40 + 1) }),
        };
        now = Timestamp(now.0 + i64::from(wait) * 600_000);
        let Ok(command) = serde_json::from_value(order) else {
            continue;
        };
        give_shelf(&mut state, &command, number, now);
    }
}

fn give_shelf(state: &mut shelf::State, command: &shelf::Command, number: u128, now: Timestamp) {
    let before = state.clone();
    match shelf::execute(state, command, &moment(number, now)) {
        Ok(_) => state.check().unwrap(),
        Err(_) => assert_eq!(&before, state, "a refusal changed the shelf"),
    }
}

const YEAR_MS: i64 = 365 * 86_400_000;

/// What the written day brought.
static TRACED: LazyLock<Traced> = LazyLock::new(|| {
    let (mut state, mut records) = (State::default(), Vec::new());
    for (number, line) in (0..).zip(include_str!("../../fixtures/days/orchard-day.ndjson").lines())
    {
        let line: Value = serde_json::from_str(line).unwrap();
        let at = Timestamp(line["at"].as_i64().unwrap());
        let moment = moment(number, at);
        let events = day::execute(&mut state, &ordered(line["command"].clone()), &moment);
        for event in events.into_iter().flatten() {
            records.push(Record {
                seq: records.len() as u64 + 1,
                at,
                command: moment.command,
                role: moment.role,
                event,
            });
        }
    }
    trace(&records)
});

static SHELF: LazyLock<shelf::State> = LazyLock::new(|| {
    let mut state = shelf::State::default();
    state.bring(DayId::try_from("orchard").unwrap(), TRACED.clone());
    state
});

static LOTS: LazyLock<Vec<LotCode>> = LazyLock::new(|| TRACED.lots.keys().cloned().collect());

use super::earlier_days::{Pupil, earlier_days};
use super::*;
use crate::clock::SetClock;
use crate::day::command::NoteOn;
use crate::day::time::Timestamp;
use crate::day::{Command, Record, Role, State, apply};
use crate::engine::{Days, Order, Receipt};
use crate::journal::{Journal, SqliteJournals};
use crate::outlook::Outlook;
use serde_json::{Value, json};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;
use tempfile::TempDir;
use uuid::Uuid;

const LIMIT: Duration = Duration::from_secs(30);

/// At once after each change, and not again until the next.
const EAGER: Rhythm = Rhythm {
    settle: Duration::ZERO,
    pause: Duration::ZERO,
    renew: LIMIT,
};

/// What an analysis was asked.
struct Asked {
    now: Timestamp,
    state: State,
    records: Vec<Record>,
}

/// An analysis that tells what it is asked and then does as it is told.
struct Puppet {
    asked: Sender<Asked>,
    /// How many outlooks to give before the next planned mistake.
    told: Arc<Mutex<Receiver<Told>>>,
}

enum Told {
    Answer,
    Fail,
}

impl Analyses for Puppet {
    fn begin(&self, _: &DayId, _: &State, _: &dyn Journal) -> Box<dyn Analysis> {
        Box::new(Puppet {
            asked: self.asked.clone(),
            told: Arc::clone(&self.told),
        })
    }
}

impl Analysis for Puppet {
    fn learn(&mut self, _: &DayId, _: &State, _: &dyn Journal) {}

    fn outlook(&mut self, known: &Known<'_>) -> Outlook {
        let asked = Asked {
            now: known.now,
            state: known.state.clone(),
            records: known.records.to_vec(),
        };
        // The test may be over.
        let _ = self.asked.send(asked);
        let told = self.told.lock().unwrap().recv_timeout(LIMIT);
        assert!(!matches!(told, Ok(Told::Fail)), "a planned mistake");
        Outlook {
            at: known.now,
            ..Outlook::default()
        }
    }
}

/// A server's days with an analyst whose analysis the test leads by hand.
struct Stage {
    days: Days,
    analyst: Arc<Analyst>,
    clock: Arc<SetClock>,
    day: DayId,
    asked: Receiver<Asked>,
    tell: Sender<Told>,
    folder: TempDir,
}

impl Stage {
    fn new(rhythm: Rhythm) -> Stage {
        let folder = TempDir::new().unwrap();
        let journals = Arc::new(SqliteJournals::at(folder.path().join("putby.db")));
        let clock = Arc::new(SetClock::at(Timestamp(1000)));
        let (asks, asked) = channel();
        let (tell, told) = channel();
        let puppet = Puppet {
            asked: asks,
            told: Arc::new(Mutex::new(told)),
        };
        let analyst = Analyst::new(journals.clone(), clock.clone(), rhythm, Arc::new(puppet));
        let analyst = Arc::new(analyst);
        Stage {
            days: Days::new(journals, clock.clone()).attended_by(analyst.clone()),
            analyst,
            clock,
            day: DayId::try_from("plums").unwrap(),
            asked,
            tell,
            folder,
        }
    }

    async fn opened(rhythm: Rhythm) -> Stage {
        let stage = Stage::new(rhythm);
        stage.open("plums", &["wren"]).await;
        stage
    }

    async fn open(&self, day: &str, people: &[&str]) {
        let helper = |id: &&str| ((*id).to_owned(), json!({"name": id, "age": 40}));
        let helpers: serde_json::Map<_, _> = people.iter().map(helper).collect();
        let plan = json!({"name": "Plums", "date": "2026-09-12", "helpers": helpers});
        self.order_on(day, json!({"order": "open-day", "plan": plan}))
            .await;
    }

    async fn order_on(&self, day: &str, order: Value) -> Receipt {
        let handle = self.days.start(&DayId::try_from(day).unwrap()).unwrap();
        let order = Order {
            id: Uuid::new_v4(),
            command: serde_json::from_value(order).unwrap(),
            role: Role::Lead,
        };
        handle.order(order).await.unwrap()
    }

    async fn note(&self, text: &str) -> u64 {
        let note = Command::Note {
            on: NoteOn::Day,
            text: text.to_owned(),
        };
        let note = serde_json::to_value(note).unwrap();
        self.order_on(self.day.as_str(), note).await.seq
    }

    fn feed(&self) -> Arc<Feed> {
        self.days.start(&self.day).unwrap().feed()
    }

    fn next(&self) -> Asked {
        self.asked.recv_timeout(LIMIT).expect("to be asked")
    }

    /// Waits until the feed has an outlook for this moment, or none.
    async fn shows(&self, at: Option<i64>) {
        let feed = self.feed();
        let now = || {
            let json = feed.outlook()?.json;
            serde_json::from_slice::<Value>(&json).unwrap()["at"].as_i64()
        };
        let shown = async {
            while now() != at {
                tokio::task::yield_now().await;
            }
        };
        tokio::time::timeout(LIMIT, shown)
            .await
            .expect("the outlook is shown");
    }

    /// Waits for every thread that looks ahead.
    fn join_all(&self) {
        let threads = std::mem::take(&mut *self.analyst.threads.lock().unwrap());
        for thread in threads.into_values() {
            thread.join().unwrap();
        }
    }
}

fn last_seq(asked: &Asked) -> u64 {
    asked.records.last().map_or(0, |record| record.seq)
}

#[tokio::test]
async fn an_outlook_is_made_of_the_day_as_it_is_on_disk_and_shown() {
    let stage = Stage::opened(EAGER).await;
    let first = stage.next();
    assert_eq!((last_seq(&first), first.now), (1, Timestamp(1000)));
    stage.tell.send(Told::Answer).unwrap();
    stage.shows(Some(1000)).await;
    stage.clock.advance(500);
    let seq = stage.note("ripe").await;
    let second = stage.next();
    assert_eq!((last_seq(&second), second.now), (seq, Timestamp(1500)));
    let mut replayed = State::default();
    for record in &second.records {
        apply(&mut replayed, record.at, record.command, &record.event);
    }
    assert_eq!(second.state, replayed);
    stage.tell.send(Told::Answer).unwrap();
    stage.shows(Some(1500)).await;
}

#[tokio::test]
async fn taps_are_answered_while_an_analysis_goes_on_and_all_of_them_make_the_next() {
    let stage = Stage::opened(EAGER).await;
    stage.next();
    // The analysis is held until all fifty are on disk and answered.
    let mut seq = 0;
    for n in 0..50 {
        seq = stage.note(&format!("note {n}")).await;
    }
    stage.tell.send(Told::Answer).unwrap();
    assert_eq!(last_seq(&stage.next()), seq);
    stage.tell.send(Told::Answer).unwrap();
    let seq = stage.note("one more").await;
    assert_eq!(last_seq(&stage.next()), seq, "nothing was made in between");
}

#[tokio::test]
async fn a_clock_behind_the_record_does_not_take_an_outlook_back_in_time() {
    let stage = Stage::opened(EAGER).await;
    stage.next();
    stage.tell.send(Told::Answer).unwrap();
    stage.clock.set(Timestamp(500));
    stage.note("early").await;
    assert_eq!(stage.next().now, Timestamp(1000));
}

#[tokio::test]
async fn a_mistake_in_the_analysis_stops_no_tap_and_is_tried_again_without_an_outlook_meanwhile() {
    let renewing = Rhythm {
        renew: Duration::ZERO,
        ..EAGER
    };
    let stage = Stage::opened(renewing).await;
    stage.next();
    stage.tell.send(Told::Answer).unwrap();
    stage.shows(Some(1000)).await;
    stage.next();
    stage.tell.send(Told::Fail).unwrap();
    stage.shows(None).await;
    let seq = stage.note("the day goes on").await;
    let mut again = stage.next();
    while last_seq(&again) < seq {
        stage.tell.send(Told::Answer).unwrap();
        again = stage.next();
    }
    stage.tell.send(Told::Answer).unwrap();
    stage.shows(Some(1000)).await;
}

#[tokio::test]
async fn after_a_mistake_taps_do_not_hurry_the_next_try() {
    let stage = Stage::opened(EAGER).await;
    stage.next();
    stage.tell.send(Told::Fail).unwrap();
    stage.shows(None).await;
    stage.note("the day goes on").await;
    // The thread waits for its time; the end finds it waiting and not asking.
    stage.days.stop();
    stage.join_all();
    assert!(stage.asked.try_recv().is_err());
}

#[tokio::test]
async fn a_journal_that_cannot_be_read_stops_no_tap_and_is_read_again_later() {
    let renewing = Rhythm {
        renew: Duration::ZERO,
        ..EAGER
    };
    let stage = Stage::opened(renewing).await;
    stage.next();
    let store = rusqlite::Connection::open(stage.folder.path().join("putby.db")).unwrap();
    let spoil = |from: &str, to: &str| {
        let words = "UPDATE events SET body = replace(body, ?1, ?2) WHERE seq = 1";
        assert_eq!(store.execute(words, [from, to]).unwrap(), 1);
    };
    // What was read once is not read again, so the mistake lets it begin anew.
    spoil("Plums", "Wasps");
    stage.tell.send(Told::Fail).unwrap();
    stage.shows(None).await;
    stage.note("the day goes on").await;
    assert!(stage.asked.try_recv().is_err());
    spoil("Wasps", "Plums");
    stage.next();
    stage.tell.send(Told::Answer).unwrap();
    stage.shows(Some(1000)).await;
}

#[tokio::test]
async fn the_close_ends_the_analysis_and_its_last_outlook_is_shown_to_nobody() {
    let stage = Stage::opened(EAGER).await;
    stage.next();
    stage.order_on("plums", json!({"order": "close-day"})).await;
    stage.tell.send(Told::Answer).unwrap();
    stage.join_all();
    assert!(stage.asked.try_recv().is_err());
    assert_eq!(stage.feed().outlook(), None);
    // Nor does anything look ahead for it when it is read again.
    let (journals, clock) = (stage.days.journals(), stage.days.clock());
    let again = Days::new(journals, clock).attended_by(stage.analyst.clone());
    let handle = again.find(&stage.day).unwrap().unwrap();
    handle.latest().await.unwrap();
    assert!(stage.analyst.threads.lock().unwrap().is_empty());
    assert!(handle.feed().bell().wait(u64::MAX, LIMIT).over);
}

#[tokio::test]
async fn a_stop_does_not_wait_for_an_analysis() {
    let stage = Stage::opened(EAGER).await;
    stage.next();
    stage.days.stop();
    let at_work = |thread: &JoinHandle<()>| !thread.is_finished();
    let threads = stage.analyst.threads.lock().unwrap();
    assert!(threads.values().all(at_work));
    drop(threads);
    // Only now may it go on; it ends by itself.
    stage.tell.send(Told::Answer).unwrap();
    stage.join_all();
}

#[tokio::test]
async fn each_open_day_has_its_own() {
    let stage = Stage::opened(EAGER).await;
    stage.next();
    stage.open("pears", &["wren"]).await;
    let other = stage.next();
    assert_eq!(last_seq(&other), 1);
    assert_eq!(stage.analyst.threads.lock().unwrap().len(), 2);
}

#[tokio::test]
async fn a_day_learns_from_the_last_ten_closed_days_with_the_same_people() {
    let stage = Stage::new(EAGER);
    let close = json!({"order": "close-day"});
    for n in 10..23 {
        stage.clock.set(Timestamp(n * 1000));
        let (day, who) = (format!("d{n}"), if n == 20 { "bo" } else { "wren" });
        stage.open(&day, &[who]).await;
        if n != 21 {
            stage.order_on(&day, close.clone()).await;
        }
    }
    stage.open("plums", &["wren", "maren"]).await;
    let journal = stage.analyst.journals.open().unwrap();
    let mut today = State::default();
    for record in journal.read(&stage.day, 0, 10).unwrap() {
        apply(&mut today, record.at, record.command, &record.event);
    }
    let seconds = |journal: &dyn Journal| -> Vec<i64> {
        let pupil = Pupil {
            today: Some((&stage.day, &today)),
            until: None,
        };
        let days = earlier_days(journal, pupil).unwrap();
        days.iter()
            .map(|(_, closed_at)| closed_at.0 / 1000)
            .collect()
    };
    // Not 20, which had other people, nor 21, which is open.
    let expected: Vec<i64> = (11..20).chain([22]).collect();
    assert_eq!(seconds(&*journal), expected);
    let store = rusqlite::Connection::open(stage.folder.path().join("putby.db")).unwrap();
    let spoil = "UPDATE events SET body = replace(body, 'Plums', 'Wasps') WHERE day = 'd15'";
    store.execute(spoil, []).unwrap();
    let without: Vec<i64> = (10..20).filter(|n| *n != 15).chain([22]).collect();
    assert_eq!(seconds(&*journal), without);
    stage.days.stop();
}

#[tokio::test]
async fn the_next_day_knows_how_fast_somebody_was_on_the_last() {
    let stage = Stage::new(EAGER);
    let helper = json!({"name": "Wren", "age": 40});
    let washed = json!({"station": "wash", "measure": "lb",
        "carrier": {"name": "bowl", "holds": 5000}});
    let plan = json!({
        "name": "Plums", "date": "2026-09-12", "helpers": {"wren": helper},
        "stations": {"wash": {"name": "Wash", "work": "wash", "nature": {"is": "hand"}, "seats": 1}},
        "products": {"plums": {"name": "Plums", "produce": "plums", "route": [washed],
            "ends_in": {"as": "fresh", "package": "bag"}}},
        "lots": {"hill": {"name": "Hill", "produce": "plums", "measure": "lb",
            "amount": 80_000, "box_holds": 80_000}},
    });
    stage
        .order_on("first", json!({"order": "open-day", "plan": plan}))
        .await;
    let tally = json!({"order": "tally", "station": "wash", "helper": "wren"});
    let work = [
        json!({"order": "open-box", "lot": "hill", "product": "plums"}),
        json!({"order": "claim", "helper": "wren", "station": "wash"}),
    ];
    let taps = std::iter::repeat_n(&tally, 8);
    let close = json!({"order": "close-day"});
    for order in work.iter().chain(taps).chain([&close]) {
        stage.clock.advance(120_000);
        stage.order_on("first", order.clone()).await;
    }
    stage.open("plums", &["wren"]).await;
    let mut today = State::default();
    let journal = stage.analyst.journals.open().unwrap();
    for record in journal.read(&stage.day, 0, 10).unwrap() {
        apply(&mut today, record.at, record.command, &record.event);
    }
    let learned = super::lessons::learned(&stage.day, &today, &*journal);
    let speeds = serde_json::to_value(&learned.speeds).unwrap();
    let carriers = speeds["wren"]["wash"]["carriers"].as_f64().unwrap();
    assert!((6.0..=8.0).contains(&carriers), "{speeds}");

    // What the lead says afterwards counts in place of it, and with the next day from its place on.
    let mut journal = stage.analyst.journals.open().unwrap();
    let lesson = json!({"of": "speed", "helper": "wren", "station": "wash"});
    let mut say = |n: u128, correction: serde_json::Value| {
        let said = crate::journal::KeptCorrection {
            id: Uuid::from_u128(n),
            at: stage.clock.now(),
            body: correction.to_string(),
        };
        journal.keep_correction(&said).unwrap();
        let learned = super::lessons::learned(&stage.day, &today, &*journal);
        serde_json::to_value(&learned.speeds).unwrap()
    };
    let set = json!({"do": "set", "lesson": lesson, "value": 2.0, "counts": 5.0});
    let speeds = say(901, set);
    let wash = &speeds["wren"]["wash"];
    let ratio = wash["carriers"].as_f64().unwrap() / wash["promised"].as_f64().unwrap();
    assert!((ratio - 2.0).abs() < 1e-9, "{speeds}");
    let speeds = say(902, json!({"do": "forget", "lesson": lesson}));
    assert!(speeds["wren"].get("wash").is_none(), "{speeds}");
    // One that a newer program wrote is passed over, and costs nothing else.
    let speeds = say(903, json!({"do": "something-new"}));
    assert!(speeds["wren"].get("wash").is_none(), "{speeds}");
    stage.days.stop();
}

use crate::clock::SetClock;
use crate::day::command::NoteOn;
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{Command, Role};
use crate::engine::*;
use crate::journal::*;
use futures_util::StreamExt;
use serde_json::json;
use std::sync::Arc;
use std::sync::Mutex;
use std::time::Duration;
use tempfile::TempDir;
use tokio::time::timeout;
use uuid::Uuid;

const LIMIT: Duration = Duration::from_secs(30);

/// What the next append does.
#[derive(Clone, Copy, PartialEq)]
enum Next {
    Works,
    /// Nothing is written.
    Full,
    /// Everything is written, but the answer is lost.
    Mute,
    /// Nothing is known about what was written.
    NoSync,
    /// A mistake in the program.
    Panics,
}

/// A store whose disk does as it is told.
struct Store {
    folder: TempDir,
    disk: Arc<Mutex<Next>>,
}

struct FaultyJournal {
    inner: SqliteJournal,
    disk: Arc<Mutex<Next>>,
}

impl Journals for Store {
    fn open(&self) -> Result<Box<dyn Journal>, Trouble> {
        let inner = SqliteJournal::open(&self.folder.path().join("putby.db"))?;
        let disk = Arc::clone(&self.disk);
        Ok(Box::new(FaultyJournal { inner, disk }))
    }

    fn id(&self) -> Result<JournalId, Trouble> {
        Ok(JournalId::random())
    }
}

impl Journal for FaultyJournal {
    fn append(&mut self, day: &DayId, expected: u64, entries: &[Entry]) -> Result<u64, Trouble> {
        let disk = std::mem::replace(&mut *self.disk.lock().unwrap(), Next::Works);
        match disk {
            Next::Works => self.inner.append(day, expected, entries),
            Next::Full => Err(Trouble::Full("no room".to_owned())),
            Next::Mute => {
                self.inner.append(day, expected, entries)?;
                Err(Trouble::Storage("no answer".to_owned()))
            }
            Next::NoSync => Err(Trouble::SyncFailed("sync failed".to_owned())),
            Next::Panics => panic!("a planned mistake"),
        }
    }

    crate::journal::forward_journal!(
        read find opened_by days has last_at snapshot keep_snapshot verify corrections keep_correction
    );
}

/// One open day on a disk that can fail.
struct Bench {
    days: Days,
    disk: Arc<Mutex<Next>>,
    day: DayId,
}

impl Bench {
    async fn new() -> Bench {
        let disk = Arc::new(Mutex::new(Next::Works));
        let folder = TempDir::new().unwrap();
        let store = Store {
            folder,
            disk: Arc::clone(&disk),
        };
        let clock = Arc::new(SetClock::at(Timestamp(1000)));
        let bench = Bench {
            days: Days::new(Arc::new(store), clock),
            disk,
            day: DayId::try_from("plums").unwrap(),
        };
        let plan = json!({"order": "open-day", "plan": {"name": "Plums", "date": "2026-09-12"}});
        let open = serde_json::from_value(plan).unwrap();
        bench.order(Uuid::new_v4(), open).await.unwrap();
        bench
    }

    async fn order(&self, id: Uuid, command: Command) -> Result<Receipt, Unanswered> {
        let role = Role::Lead;
        let order = Order { id, command, role };
        let handle = self.days.start(&self.day).unwrap();
        timeout(LIMIT, handle.order(order)).await.unwrap()
    }

    async fn seq(&self) -> u64 {
        let handle = self.days.start(&self.day).unwrap();
        timeout(LIMIT, handle.latest()).await.unwrap().unwrap().seq
    }

    fn next_append(&self, disk: Next) {
        *self.disk.lock().unwrap() = disk;
    }

    fn stored(&self) -> usize {
        let journal = self.days.journals().open().unwrap();
        journal.read(&self.day, 0, 1000).unwrap().len()
    }
}

fn note(text: &str) -> Command {
    Command::Note {
        on: NoteOn::Day,
        text: text.to_owned(),
    }
}

#[tokio::test]
async fn what_could_not_be_written_never_happened_and_the_day_goes_on() {
    let bench = Bench::new().await;
    bench.next_append(Next::Full);
    let id = Uuid::new_v4();
    let failed = bench.order(id, note("lost")).await;
    assert!(matches!(failed, Err(Unanswered::Full(_))), "{failed:?}");
    assert_eq!(bench.days.disk().writes(), Writes::Full);
    assert_eq!((bench.seq().await, bench.stored()), (1, 1));
    let again = bench.order(id, note("lost")).await.unwrap();
    assert_eq!((again.seq, bench.stored()), (2, 2));
}

#[tokio::test]
async fn nobody_hears_of_what_could_not_be_written() {
    let bench = Bench::new().await;
    let feed = bench.days.start(&bench.day).unwrap().feed();
    let mut device = Box::pin(feed.follow());
    device.next().await.unwrap();
    bench.next_append(Next::Full);
    bench.order(Uuid::new_v4(), note("lost")).await.unwrap_err();
    let id = Uuid::new_v4();
    bench.order(id, note("kept")).await.unwrap();
    let next = timeout(LIMIT, device.next()).await.unwrap().unwrap();
    let next = String::from_utf8_lossy(&next).into_owned();
    assert!(
        next.contains(&id.to_string()) && !next.contains("lost"),
        "{next}"
    );
    assert!(next.contains(r#""from":1,"seq":2"#), "{next}");
}

#[tokio::test]
async fn a_write_whose_answer_was_lost_counts_once() {
    let bench = Bench::new().await;
    bench.next_append(Next::Mute);
    let id = Uuid::new_v4();
    let failed = bench.order(id, note("written")).await;
    assert!(matches!(failed, Err(Unanswered::Storage(_))), "{failed:?}");
    assert_eq!(bench.seq().await, 2, "the disk is read again, and has it");
    let again = bench.order(id, note("written")).await.unwrap();
    assert_eq!((again.seq, bench.stored()), (2, 2));
}

#[tokio::test]
async fn a_sync_that_fails_calls_for_a_stop() {
    let bench = Bench::new().await;
    let first = Uuid::new_v4();
    bench.order(first, note("sure")).await.unwrap();
    bench.next_append(Next::NoSync);
    let failed = bench.order(Uuid::new_v4(), note("unsure")).await;
    assert!(matches!(failed, Err(Unanswered::Storage(_))), "{failed:?}");
    timeout(LIMIT, bench.days.lost())
        .await
        .expect("a call to stop");
    // The disk would take these; a sync that follows a failed one proves nothing.
    for id in [Uuid::new_v4(), first] {
        let after = bench.order(id, note("sure")).await;
        assert!(matches!(after, Err(Unanswered::Storage(_))), "{after:?}");
    }
    assert_eq!(bench.stored(), 2);
}

#[tokio::test]
async fn a_thread_that_leaves_an_unopened_day_loses_no_order() {
    let bench = Bench::new().await;
    let day = DayId::try_from("pears").unwrap();
    let order = async |command: Command| {
        let (id, role) = (Uuid::new_v4(), Role::Lead);
        loop {
            let order = Order {
                id,
                command: command.clone(),
                role,
            };
            let handle = bench.days.start(&day).unwrap();
            match timeout(LIMIT, handle.order(order)).await.unwrap() {
                Err(Unanswered::Left) => {}
                answer => break answer,
            }
        }
    };
    // Each is refused, after which the thread leaves while the next orders are on their way.
    for _ in 0..500 {
        let (one, other) = tokio::join!(order(note("early")), order(note("early")));
        for refused in [one, other] {
            assert!(
                matches!(refused, Err(Unanswered::Refused(_))),
                "{refused:?}"
            );
        }
    }
    let plan = json!({"order": "open-day", "plan": {"name": "Pears", "date": "2026-09-12"}});
    let opened = order(serde_json::from_value(plan).unwrap()).await;
    assert_eq!(opened.unwrap().seq, 1);
    assert_eq!(bench.days.count(), 2);
}

#[tokio::test]
async fn a_thread_that_died_is_noticed_and_replaced_and_devices_go_on() {
    let bench = Bench::new().await;
    let feed = bench.days.start(&bench.day).unwrap().feed();
    let mut device = Box::pin(feed.follow());
    device.next().await.unwrap();
    bench.next_append(Next::Panics);
    let failed = bench.order(Uuid::new_v4(), note("lost")).await;
    assert!(matches!(failed, Err(Unanswered::Stopped)), "{failed:?}");
    let id = Uuid::new_v4();
    let after = timeout(LIMIT, async {
        loop {
            // The dying thread may still be there for a moment.
            if let Ok(receipt) = bench.order(id, note("kept")).await {
                break receipt;
            }
            tokio::task::yield_now().await;
        }
    });
    assert_eq!((after.await.unwrap().seq, bench.stored()), (2, 2));
    let next = timeout(LIMIT, device.next()).await.unwrap().unwrap();
    assert!(String::from_utf8_lossy(&next).contains(&id.to_string()));
}

#[tokio::test]
async fn commands_that_wait_together_are_written_together_and_each_answered() {
    let bench = Bench::new().await;
    let orders = (0..300).map(|n| bench.order(Uuid::new_v4(), note(&format!("note {n}"))));
    let answers = futures_util::future::join_all(orders).await;
    let mut seqs: Vec<u64> = answers.into_iter().map(|a| a.unwrap().seq).collect();
    seqs.sort_unstable();
    assert_eq!(seqs, (2..=301).collect::<Vec<_>>());
    assert_eq!(bench.stored(), 301);
}

#[tokio::test]
async fn a_full_queue_is_answered_at_once() {
    let bench = Bench::new().await;
    let handle = bench.days.start(&bench.day).unwrap();
    let (release, held) = std::sync::mpsc::channel::<()>();
    let (entered, inside) = tokio::sync::oneshot::channel();
    let holding = handle.clone();
    let holder = tokio::spawn(async move {
        let look = holding.look(move |_| {
            let _ = entered.send(());
            held.recv()
        });
        look.await
    });
    inside.await.unwrap();
    let mut waiting = Vec::new();
    let full = loop {
        let order = Order {
            id: Uuid::new_v4(),
            command: note("waits"),
            role: Role::Lead,
        };
        let mut answer = Box::pin({
            let handle = handle.clone();
            async move { handle.order(order).await }
        });
        match futures_util::poll!(&mut answer) {
            std::task::Poll::Pending => waiting.push(answer),
            std::task::Poll::Ready(full) => break full,
        }
        assert!(waiting.len() < 10_000, "the queue has no bound");
    };
    assert!(matches!(full, Err(Unanswered::Busy)), "{full:?}");
    release.send(()).unwrap();
    holder.await.unwrap().unwrap().unwrap();
    for answer in futures_util::future::join_all(waiting).await {
        // A day takes 500 notes; what matters is that every waiting command is answered.
        assert!(
            matches!(answer, Ok(_) | Err(Unanswered::Refused(_))),
            "{answer:?}"
        );
    }
}

#[tokio::test]
async fn what_was_refused_stays_undone_when_a_copy_of_it_arrives_late() {
    let bench = Bench::new().await;
    let order = |json| serde_json::from_value::<Command>(json).unwrap();
    let finish = order(json!({"order": "finish-chore", "chore": "salt"}));
    let raise = order(json!({"order": "raise-chore", "chore": "salt", "text": "We need salt"}));
    let id = Uuid::new_v4();
    let first = bench.order(id, finish.clone()).await;
    assert!(matches!(first, Err(Unanswered::Refused(_))), "{first:?}");
    bench.order(Uuid::new_v4(), raise).await.unwrap();
    let copy = bench.order(id, finish.clone()).await;
    assert!(matches!(copy, Err(Unanswered::Refused(_))), "{copy:?}");
    bench.order(Uuid::new_v4(), finish).await.unwrap();
}

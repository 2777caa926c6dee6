//! What the running program measures of itself, in the text form that Prometheus reads.
//!
//! What it keeps true: nothing a person typed is in it, no name, id or address; labels are words of
//! the program, so there is a bounded number of them. Measuring waits for nobody.

use prometheus_client::encoding::prometheus_text::encode;
use prometheus_client::metrics::counter::Counter;
use prometheus_client::metrics::family::Family;
use prometheus_client::metrics::gauge::Gauge;
use prometheus_client::metrics::histogram::{Histogram, exponential_buckets};
use prometheus_client::registry::Registry;
use std::time::Duration;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It is on disk.
    Accepted,
    /// The rules, or a check of the program, refused it.
    Refused,
    /// It could not be kept on disk, so it was not done.
    NotKept,
}

type ByWord = Family<[(&'static str, String); 1], Counter>;

/// The measures.
pub struct Measures {
    registry: Registry,
    commands: ByWord,
    refusals: ByWord,
    decide: Histogram,
    commit: Histogram,
    outlook: Histogram,
    /// In the order of [`LOOKED`].
    gauges: [Gauge; LOOKED.len()],
}

/// What is looked up when somebody asks.
#[derive(Debug, Clone, Copy, Default)]
pub struct Now {
    /// Connections.
    pub connections: u64,
    /// Live screens.
    pub screens: u64,
    /// Days whose thread runs.
    pub days: u64,
    /// Commands that wait in the days' inboxes.
    pub waiting: u64,
    /// The journal's files, in bytes.
    pub journal_bytes: u64,
    /// What is free on the journal's disk, in bytes.
    pub room_bytes: u64,
    /// Memory held by the process, in bytes.
    pub resident_bytes: u64,
    /// Files and sockets it has open.
    pub open_files: u64,
}

/// What is looked up: its name, what it is, and where it is found.
type Looked = (&'static str, &'static str, fn(&Now) -> u64);

const LOOKED: [Looked; 8] = [
    ("putby_connections", "Open connections", |now| {
        now.connections
    }),
    ("putby_screens", "Live screens", |now| now.screens),
    ("putby_days_running", "Days whose thread runs", |now| {
        now.days
    }),
    (
        "putby_commands_waiting",
        "Commands that wait for a day's thread",
        |now| now.waiting,
    ),
    (
        "putby_journal_bytes",
        "Size of the journal's files",
        |now| now.journal_bytes,
    ),
    (
        "putby_disk_room_bytes",
        "What is free on the journal's disk",
        |now| now.room_bytes,
    ),
    ("process_resident_memory_bytes", "Resident memory", |now| {
        now.resident_bytes
    }),
    ("process_open_fds", "Open files and sockets", |now| {
        now.open_files
    }),
];

impl Default for Measures {
    fn default() -> Measures {
        let mut registry = Registry::default();
        let commands = ByWord::default();
        let refusals = ByWord::default();
        registry.register("putby_commands", "Commands by outcome", commands.clone());
        registry.register(
            "putby_refusals",
            "Refused requests by code",
            refusals.clone(),
        );
        let mut histogram = |name, help, first| {
            let histogram = Histogram::new(exponential_buckets(first, 2.0, 16));
            registry.register(name, help, histogram.clone());
            histogram
        };
        let decide = histogram("putby_decide_seconds", "Deciding a command", 0.000_01);
        let commit = histogram("putby_commit_seconds", "Writing a group to disk", 0.000_1);
        let outlook = histogram("putby_outlook_seconds", "Working out an outlook", 0.001);
        let gauges = LOOKED.map(|(name, help, _)| {
            let gauge = Gauge::default();
            registry.register(name, help, gauge.clone());
            gauge
        });
        Measures {
            registry,
            commands,
            refusals,
            decide,
            commit,
            outlook,
            gauges,
        }
    }
}

impl Measures {
    /// A command has ended.
    pub fn command(&self, outcome: Outcome) {
        let word = match outcome {
            Outcome::Accepted => "accepted",
            Outcome::Refused => "refused",
            Outcome::NotKept => "not-kept",
        };
        let label = [("outcome", word.to_owned())];
        self.commands.get_or_create(&label).inc();
    }

    /// A request was refused; `code` is one of the program's.
    pub fn refusal(&self, code: &str) {
        let label = [("code", code.to_owned())];
        self.refusals.get_or_create(&label).inc();
    }

    /// A command was decided.
    pub fn decided(&self, took: Duration) {
        self.decide.observe(took.as_secs_f64());
    }

    /// A group of commands was written to disk, or could not be.
    pub fn committed(&self, took: Duration) {
        self.commit.observe(took.as_secs_f64());
    }

    /// An outlook was made.
    pub fn looked_ahead(&self, took: Duration) {
        self.outlook.observe(took.as_secs_f64());
    }

    /// All of it as text.
    pub fn text(&self, now: &Now) -> String {
        for ((_, _, look), gauge) in LOOKED.iter().zip(&self.gauges) {
            gauge.set(i64::try_from(look(now)).unwrap_or(i64::MAX));
        }
        let mut text = String::new();
        encode(&mut text, &self.registry).expect("writing to a string cannot fail");
        text
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_is_measured_is_told() {
        let measures = Measures::default();
        measures.command(Outcome::Accepted);
        measures.command(Outcome::Accepted);
        measures.refusal("seat-taken");
        measures.committed(Duration::from_millis(3));
        let now = Now {
            journal_bytes: 4096,
            ..Now::default()
        };
        let text = measures.text(&now);
        for line in [
            "putby_commands_total{outcome=\"accepted\"} 2",
            "putby_refusals_total{code=\"seat-taken\"} 1",
            "putby_commit_seconds_count 1",
            "putby_journal_bytes 4096",
        ] {
            assert!(text.lines().any(|one| one == line), "{line} in {text}");
        }
    }
}

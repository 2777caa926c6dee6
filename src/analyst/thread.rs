//! The thread that looks ahead for one day.

use super::analysis::{Analyses, Analysis, Known};
use super::follower::Follower;
use super::low_priority::give_way;
use super::turns::is_due;
use crate::clock::Clock;
use crate::config::Rhythm;
use crate::day::ids::DayId;
use crate::engine::{Feed, MadeOutlook};
use crate::journal::Journals;
use crate::measures::Measures;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::time::Instant;

/// What it works with.
pub(super) struct Work {
    pub day: DayId,
    pub feed: Arc<Feed>,
    pub journals: Arc<dyn Journals>,
    pub clock: Arc<dyn Clock>,
    pub rhythm: Rhythm,
    pub analyses: Arc<dyn Analyses>,
    pub measures: Arc<Measures>,
}

/// What it has in mind from one outlook to the next.
struct Mind {
    follower: Follower,
    analysis: Box<dyn Analysis>,
    /// How many corrections of what was learned are in it.
    corrections: usize,
}

impl Work {
    /// Makes outlooks until the day is over.
    pub fn run(self) {
        give_way();
        let bell = self.feed.bell();
        let first = Rhythm {
            pause: std::time::Duration::ZERO,
            ..self.rhythm
        };
        let (mut mind, mut made_of, mut rhythm) = (None, 0, &first);
        while is_due(rhythm, made_of, |after, patience| {
            bell.wait(after, patience)
        }) {
            rhythm = &self.rhythm;
            let made = match self.make(&mut mind) {
                Ok(made) => {
                    made_of = made.seq;
                    Some(made)
                }
                Err(why) => {
                    tracing::error!(day = %self.day, why, "cannot look ahead; the day goes on without");
                    // All that was thought may be wrong. The next try is not hurried by taps.
                    (mind, made_of) = (None, u64::MAX);
                    None
                }
            };
            if !self.feed.show_outlook(made) {
                return;
            }
        }
    }

    /// Makes one. A mistake in the analysis ends here and not the thread.
    fn make(&self, mind: &mut Option<Mind>) -> Result<MadeOutlook, String> {
        let made = catch_unwind(AssertUnwindSafe(|| self.think(mind)));
        // The log has told the place of the mistake, and nobody the words: they may hold names.
        made.unwrap_or_else(|_| Err("a mistake in the analysis".to_owned()))
    }

    fn think(&self, mind: &mut Option<Mind>) -> Result<MadeOutlook, String> {
        let began = Instant::now();
        let mind = match mind {
            Some(mind) => mind,
            None => mind.insert(self.begin()?),
        };
        let Mind {
            follower,
            analysis,
            corrections,
        } = mind;
        follower.catch_up().map_err(|trouble| trouble.to_string())?;
        let said = corrections_in(follower)?;
        if said != *corrections {
            analysis.learn(&self.day, &follower.state, follower.journal());
            *corrections = said;
        }
        let last_at = follower.records.last().map(|record| record.at);
        let now = self.clock.now();
        let outlook = analysis.outlook(&Known {
            state: &follower.state,
            records: &follower.records,
            now: last_at.map_or(now, |last| last.max(now)),
        });
        let json = serde_json::to_vec(&outlook).map_err(|error| error.to_string())?;
        let seq = follower.seq();
        self.measures.looked_ahead(began.elapsed());
        let json = json.into();
        Ok(MadeOutlook { seq, json })
    }

    fn begin(&self) -> Result<Mind, String> {
        let journal = self
            .journals
            .open()
            .map_err(|trouble| trouble.to_string())?;
        let mut follower = Follower::new(journal, self.day.clone());
        follower.catch_up().map_err(|trouble| trouble.to_string())?;
        let corrections = corrections_in(&follower)?;
        let analysis = self
            .analyses
            .begin(&self.day, &follower.state, follower.journal());
        Ok(Mind {
            follower,
            analysis,
            corrections,
        })
    }
}

/// Corrections are only ever added.
fn corrections_in(follower: &Follower) -> Result<usize, String> {
    let all = follower.journal().corrections();
    all.map(|all| all.len())
        .map_err(|trouble| trouble.to_string())
}

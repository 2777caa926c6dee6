//! What earlier days taught, with what the lead said of it in between.

use super::earlier_days::{Pupil, earlier_days};
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::day::{Record, State};
use crate::journal::{Journal, Trouble};
use crate::pace::{Correction, Learned, Pace};

/// What is known before the next day, whoever will be there.
#[derive(Debug, Clone, Default)]
pub struct Taught {
    /// What was learned.
    pub learned: Learned,
    /// The days it comes from, the oldest first: their events.
    pub days: Vec<Vec<Record>>,
    /// What the lead said of it, in order.
    pub corrections: Vec<(Timestamp, Correction)>,
}

/// What every closed day taught.
///
/// # Errors
/// The journal cannot be read.
pub fn taught(journal: &dyn Journal) -> Result<Taught, Trouble> {
    teach(journal, Pupil::default())
}

/// What was known of the people of a day on its morning.
///
/// # Errors
/// The journal cannot be read.
pub fn known_that_morning(
    journal: &dyn Journal,
    day: &DayId,
    state: &State,
) -> Result<Learned, Trouble> {
    let pupil = Pupil {
        today: Some((day, state)),
        until: Some(state.opened_at),
    };
    Ok(teach(journal, pupil)?.learned)
}

/// What earlier days teach about these people. Without it the trade's figures have to do.
pub(super) fn learned(day: &DayId, state: &State, journal: &dyn Journal) -> Learned {
    let pupil = Pupil {
        today: Some((day, state)),
        until: None,
    };
    let taught = teach(journal, pupil).unwrap_or_else(|trouble| {
        tracing::warn!(%day, %trouble, "nothing is learned from earlier days");
        Taught::default()
    });
    taught.learned
}

/// Each day upon what was known before it; what the lead said in between has its place there, and
/// what is said while a day goes on comes before what that day teaches.
fn teach(journal: &dyn Journal, pupil: Pupil<'_>) -> Result<Taught, Trouble> {
    let days = earlier_days(journal, pupil)?;
    let mut taught = Taught {
        corrections: corrections(journal, pupil)?,
        ..Taught::default()
    };
    let mut said = taught.corrections.iter().peekable();
    for (records, closed_at) in days {
        while let Some((_, correction)) = said.next_if(|(at, _)| *at < closed_at) {
            taught.learned.correct(correction);
        }
        taught.learned = Pace::of(&records, &taught.learned, closed_at).learned();
        taught.days.push(records);
    }
    for (_, correction) in said {
        taught.learned.correct(correction);
    }
    Ok(taught)
}

fn corrections(
    journal: &dyn Journal,
    pupil: Pupil<'_>,
) -> Result<Vec<(Timestamp, Correction)>, Trouble> {
    let mut all = Vec::new();
    for kept in journal.corrections()? {
        // One that a newer version wrote is not understood, and not a reason to learn nothing.
        match serde_json::from_str(&kept.body) {
            Ok(correction) if pupil.knows(kept.at) => all.push((kept.at, correction)),
            Ok(_) => {}
            Err(error) => tracing::warn!(id = %kept.id, %error, "a correction is not understood"),
        }
    }
    Ok(all)
}

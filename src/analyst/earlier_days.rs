//! The earlier days that today can learn from: the last that are closed and had some of the same
//! people.

use crate::day::ids::{DayId, HelperId};
use crate::day::time::Timestamp;
use crate::day::{Event, Record, State};
use crate::journal::{Journal, Trouble};
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// How many are used.
const USED_MAX: usize = 10;
/// How many are looked at to find them.
const LOOKED_AT_MAX: usize = 30;

/// For whom, and up to when, something is learned.
#[derive(Clone, Copy, Default)]
pub(super) struct Pupil<'a> {
    /// The day itself, which teaches itself nothing, with those who are on its list; every closed day
    /// and everybody without it.
    pub(super) today: Option<(&'a DayId, &'a State)>,
    /// Only what was over by then.
    pub(super) until: Option<Timestamp>,
}

impl Pupil<'_> {
    /// Whether something of this moment counts.
    pub(super) fn knows(&self, at: Timestamp) -> bool {
        self.until.is_none_or(|until| at <= until)
    }
}

/// The events of each such day with the moment it was closed, the oldest first. A day that cannot
/// be read is left out.
///
/// # Errors
/// The list of days cannot be read.
pub(super) fn earlier_days(
    journal: &dyn Journal,
    pupil: Pupil<'_>,
) -> Result<Vec<(Vec<Record>, Timestamp)>, Trouble> {
    let mut closed: Vec<(Timestamp, DayId)> = journal
        .days()?
        .into_iter()
        .filter(|(day, _)| pupil.today.is_none_or(|(today, _)| day != today))
        .filter_map(|(day, heading)| Some((heading.closed_at?, day)))
        .filter(|(at, _)| pupil.knows(*at))
        .collect();
    closed.sort_by_key(|(at, _)| Reverse(*at));
    let read = |(at, day): &(Timestamp, DayId)| match journal.read(day, 0, u32::MAX) {
        Ok(records) => Some((records, *at)),
        Err(trouble) => {
            tracing::warn!(%day, %trouble, "nothing is learned from this day");
            None
        }
    };
    let mut found: Vec<_> = closed
        .iter()
        .take(LOOKED_AT_MAX)
        .filter_map(read)
        .filter(|(records, _)| {
            let same = |helper| {
                let today = pupil.today;
                today.is_none_or(|(_, state)| state.helpers.contains_key(helper))
            };
            people(records).any(same)
        })
        .take(USED_MAX)
        .collect();
    found.reverse();
    Ok(found)
}

/// Who was on a day's list.
fn people(records: &[Record]) -> impl Iterator<Item = &HelperId> {
    let mut listed = BTreeSet::new();
    for record in records {
        if let Event::DayOpened { plan } = &record.event {
            listed.extend(plan.helpers.keys());
        } else if let Event::HelperAdded { helper, .. } = &record.event {
            listed.insert(helper);
        }
    }
    listed.into_iter()
}

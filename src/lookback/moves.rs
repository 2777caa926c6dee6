//! Proposed moves that were taken, with what they were said to gain.
//!
//! What would have come without them nobody knows, so the minutes are those that were foretold then,
//! and are never added up: each was reckoned with the seats of its own moment.

use crate::day::event::Event;
use crate::day::ids::HelperId;
use crate::day::state::State;
use crate::day::time::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

/// A move that was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct MoveTold {
    /// When.
    pub at: Timestamp,
    /// Its name: `claim:wren:pare`, `switch:wren:wash:pare`, `swap:silas:wren`.
    pub r#move: String,
    /// Who moved, by name.
    pub people: Vec<String>,
    /// Where to, by name; absent for a swap.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    /// Minutes the day was to end earlier, as it was foretold then.
    pub gain_min: u32,
}

/// The move an event tells of.
pub(super) fn told(state: &State, at: Timestamp, event: &Event) -> Option<MoveTold> {
    let Event::MoveTaken { r#move, gain_min } = event else {
        return None;
    };
    let person = |id: &str| {
        let id = HelperId::try_from(id).ok()?;
        Some(state.helper_name(&id))
    };
    let words: Vec<&str> = r#move.split(':').collect();
    let (people, to): (Vec<Option<String>>, Option<&str>) = match words[..] {
        ["claim", helper, to] | ["switch", helper, _, to] => (vec![person(helper)], Some(to)),
        ["swap", one, other] => (vec![person(one), person(other)], None),
        _ => (Vec::new(), None),
    };
    let to = to.and_then(|to| crate::day::ids::StationId::try_from(to).ok());
    Some(MoveTold {
        at,
        r#move: r#move.clone(),
        people: people.into_iter().flatten().collect(),
        to: to.map(|to| state.station_name(&to)),
        gain_min: *gain_min,
    })
}

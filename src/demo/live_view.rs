//! What a device keeps of the live view: the last view, its sequence number and the server's time.
//!
//! Changes are merge patches (RFC 7396) that fit only the view they were made from. Not for
//! sockets. What it keeps true: a change that does not fit is never applied.

use super::sight::Sight;
use crate::day::time::Timestamp;
use serde::Deserialize;
use serde_json::Value;
use std::time::Instant;

/// The server's time as it was told, and when it was told.
#[derive(Debug, Clone, Copy, Deserialize)]
pub(super) struct Clock {
    pub now: Timestamp,
    pub speed: f64,
}

#[derive(Deserialize)]
#[serde(tag = "push", rename_all = "kebab-case")]
enum Push {
    View {
        seq: u64,
        clock: Clock,
        view: Value,
    },
    Patch {
        from: u64,
        seq: u64,
        clock: Clock,
        patch: Value,
    },
    /// What is to come. The family goes by what it sees.
    Outlook {},
    /// Which device somebody uses. The family stays at its own.
    Holders {},
    /// How the disk takes writes. The family keeps trying.
    Disk {},
    Problem {
        detail: String,
    },
}

/// What became of a push.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Taken {
    /// The view is up to date.
    Shown,
    /// It does not follow on what is here: a fresh view is needed.
    Gap,
}

/// A device's copy of the view.
#[derive(Default)]
pub(super) struct LiveView {
    pub seq: u64,
    pub sight: Option<Sight>,
    view: Value,
    told: Option<(Clock, Instant)>,
}

impl LiveView {
    /// Takes a pushed text.
    ///
    /// # Errors
    /// It is no push, or the view lacks what people look at.
    pub fn take(&mut self, text: &[u8], at: Instant) -> Result<Taken, serde_json::Error> {
        match serde_json::from_slice(text)? {
            Push::View { seq, clock, view } => {
                (self.seq, self.view) = (seq, view);
                self.told = Some((clock, at));
            }
            Push::Patch { from, .. } if from != self.seq => return Ok(Taken::Gap),
            Push::Patch {
                seq, clock, patch, ..
            } => {
                merge(&mut self.view, patch);
                self.seq = seq;
                self.told = Some((clock, at));
            }
            Push::Outlook {} | Push::Holders {} | Push::Disk {} => return Ok(Taken::Shown),
            Push::Problem { detail } => {
                tracing::warn!(detail, "the server answered a device");
                return Ok(Taken::Shown);
            }
        }
        self.sight = Some(Sight::deserialize(&self.view)?);
        Ok(Taken::Shown)
    }

    /// The server's time now, counted on from when it was last told.
    pub fn now(&self, at: Instant) -> Option<Timestamp> {
        let (clock, told) = self.told?;
        let passed = at.saturating_duration_since(told).as_secs_f64() * 1000.0 * clock.speed;
        Some(Timestamp(clock.now.0 + passed as i64))
    }

    /// How fast the server's time runs.
    pub fn speed(&self) -> f64 {
        self.told.map_or(1.0, |(clock, _)| clock.speed)
    }
}

/// Applies a merge patch (RFC 7396, section 2).
fn merge(target: &mut Value, patch: Value) {
    let Value::Object(changes) = patch else {
        *target = patch;
        return;
    };
    if !target.is_object() {
        *target = Value::Object(serde_json::Map::new());
    }
    let Value::Object(fields) = target else {
        return;
    };
    for (name, change) in changes {
        if change.is_null() {
            fields.remove(&name);
        } else {
            merge(fields.entry(name).or_insert(Value::Null), change);
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::day::command::{Command, Moment, Role};
    use crate::day::{State, execute, view};
    use serde_json::json;

    #[test]
    fn a_merge_patch_changes_what_it_names_and_removes_what_is_null() {
        // The example of RFC 7396, section 3.
        let mut target = json!({"title": "Goodbye!", "author": {"givenName": "John",
            "familyName": "Doe"}, "tags": ["example", "sample"],
            "content": "This will be unchanged"});
        let patch = json!({"title": "Hello!", "phoneNumber": "+01-123-456-7890",
            "author": {"familyName": null}, "tags": ["example"]});
        merge(&mut target, patch);
        let expected = json!({"title": "Hello!", "author": {"givenName": "John"},
            "tags": ["example"], "content": "This will be unchanged",
            "phoneNumber": "+01-123-456-7890"});
        assert_eq!(target, expected);
    }

    fn opened() -> Value {
        let mut state = State::default();
        let plan = Box::new(crate::demo::day());
        let moment = Moment {
            now: Timestamp(0),
            command: uuid::Uuid::nil(),
            role: Role::Lead,
        };
        execute(&mut state, &Command::OpenDay { plan }, &moment).unwrap();
        serde_json::to_value(view(&state)).unwrap()
    }

    #[test]
    fn a_change_that_does_not_follow_is_a_gap_and_changes_nothing() {
        let at = Instant::now();
        let clock = json!({"now": 5000, "speed": 60.0});
        let mut live = LiveView::default();
        let shown = json!({"push": "view", "seq": 4, "clock": clock, "view": opened()});
        assert_eq!(
            live.take(shown.to_string().as_bytes(), at).unwrap(),
            Taken::Shown
        );
        let late = json!({"push": "patch", "from": 9, "seq": 10, "clock": clock, "commands": [],
            "patch": {"helpers": {"osk": {"presence": "gone"}}}});
        assert_eq!(
            live.take(late.to_string().as_bytes(), at).unwrap(),
            Taken::Gap
        );
        assert_eq!(live.seq, 4);
        let next = json!({"push": "patch", "from": 4, "seq": 5, "clock": clock, "commands": [],
            "patch": {"helpers": {"osk": {"presence": "resting"}}}});
        assert_eq!(
            live.take(next.to_string().as_bytes(), at).unwrap(),
            Taken::Shown
        );
        let osk = crate::day::ids::HelperId::try_from("osk").unwrap();
        let presence = live.sight.unwrap().helpers[&osk].presence;
        assert_eq!(
            (live.seq, presence),
            (5, crate::day::state::Presence::Resting)
        );
    }

    #[test]
    fn time_goes_on_between_pushes_at_the_speed_of_the_server() {
        let at = Instant::now();
        let mut live = LiveView::default();
        assert_eq!(live.now(at), None);
        let clock = json!({"now": 5000, "speed": 60.0});
        let shown = json!({"push": "view", "seq": 1, "clock": clock, "view": opened()});
        live.take(shown.to_string().as_bytes(), at).unwrap();
        let later = at + std::time::Duration::from_secs(2);
        assert_eq!(live.now(later), Some(Timestamp(125_000)));
    }
}

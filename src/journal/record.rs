//! The stored form of an event: its kind and its JSON, and the lifting of older forms.
//!
//! Stored events are never rewritten. When a form changes, [`VERSION`] grows and [`lift`] learns to
//! read the older one.

use crate::day::{Event, Role};
use serde_json::Value;

/// The form events are written in now.
pub(super) const VERSION: u32 = 1;

/// Kind and JSON of an event.
pub(super) fn stored(event: &Event) -> Result<(String, String), serde_json::Error> {
    let value = serde_json::to_value(event)?;
    let kind = value
        .get("fact")
        .and_then(Value::as_str)
        .unwrap_or_default();
    Ok((kind.to_owned(), value.to_string()))
}

/// An event from its stored form; `None` when this version does not know it.
pub(super) fn lift(version: u32, body: &str) -> Option<Event> {
    match version {
        VERSION => serde_json::from_str(body).ok(),
        _ => None,
    }
}

/// A role as stored.
pub(super) fn role_text(role: Role) -> &'static str {
    match role {
        Role::Lead => "lead",
        Role::Helper => "helper",
        Role::Watcher => "watcher",
    }
}

/// A role from its stored form.
pub(super) fn role_from(text: &str) -> Option<Role> {
    [Role::Lead, Role::Helper, Role::Watcher]
        .into_iter()
        .find(|&role| role_text(role) == text)
}

//! The difference between two views as a merge patch (RFC 7396).
//!
//! Pure. What it keeps true: applying `diff(old, new)` to `old` gives `new`, as long as `new` holds
//! no null, which a merge patch cannot say. Views leave out what is absent, so they hold none.

use serde_json::{Map, Value};

/// The smallest merge patch that turns `old` into `new`.
pub fn diff(old: &Value, new: &Value) -> Value {
    match (old, new) {
        (Value::Object(old), Value::Object(new)) => Value::Object(diff_maps(old, new)),
        _ => new.clone(),
    }
}

fn diff_maps(old: &Map<String, Value>, new: &Map<String, Value>) -> Map<String, Value> {
    let mut patch = Map::new();
    for key in old.keys().filter(|key| !new.contains_key(*key)) {
        patch.insert(key.clone(), Value::Null);
    }
    for (key, value) in new {
        match old.get(key) {
            Some(before) if before == value => {}
            Some(before) => {
                patch.insert(key.clone(), diff(before, value));
            }
            None => {
                patch.insert(key.clone(), value.clone());
            }
        }
    }
    patch
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use serde_json::json;

    /// Any JSON without null, with few keys so that two of them often share some.
    fn view() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            any::<bool>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            "[a-c]{0,2}".prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 40, 5, |inner| {
            prop_oneof![
                proptest::collection::vec(inner.clone(), 0..3).prop_map(Value::from),
                proptest::collection::btree_map("[a-e]", inner, 0..5)
                    .prop_map(|map| Value::Object(map.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn a_patch_turns_the_old_view_into_the_new(old in view(), new in view()) {
            let mut patched = old.clone();
            json_patch::merge(&mut patched, &diff(&old, &new));
            prop_assert_eq!(patched, new);
        }

        #[test]
        fn equal_maps_need_an_empty_patch(map in proptest::collection::btree_map("[a-e]", view(), 0..5)) {
            let map = Value::Object(map.into_iter().collect());
            prop_assert_eq!(diff(&map, &map), json!({}));
        }
    }

    #[test]
    fn only_what_changed_is_said() {
        let old = json!({"stations": {"wash": {"free": 2, "seats": 2}}, "loads": {"one": {}}});
        let new = json!({"stations": {"wash": {"free": 1, "seats": 2}}, "loads": {}});
        assert_eq!(
            diff(&old, &new),
            json!({"stations": {"wash": {"free": 1}}, "loads": {"one": null}})
        );
    }
}

use super::*;
use crate::clock::SetClock;
use futures_util::{FutureExt, StreamExt};
use serde_json::json;

fn feed() -> Arc<Feed> {
    Arc::new(Feed::new(
        Arc::new(SetClock::at(Timestamp(7))),
        JournalId::random(),
    ))
}

/// The JSON of a frame shorter than 64 KiB.
fn text(frame: &Bytes) -> Value {
    let head = if frame[1] == 126 { 4 } else { 2 };
    serde_json::from_slice(&frame[head..]).unwrap()
}

#[tokio::test]
async fn a_device_sees_a_whole_view_and_then_each_change() {
    let feed = feed();
    feed.publish(1, json!({"a": 1}), &[]);
    let mut device = Box::pin(feed.clone().follow());
    let clock = json!({"now": 7, "speed": 1.0});
    let journal = feed.journal();
    let whole = json!({
        "push": "view", "journal": journal, "seq": 1, "clock": clock, "view": {"a": 1},
    });
    assert_eq!(text(&device.next().await.unwrap()), whole);
    feed.publish(3, json!({"b": 2}), &[Uuid::nil()]);
    let change = json!({
        "push": "patch", "from": 1, "seq": 3, "clock": clock,
        "commands": [Uuid::nil()], "patch": {"a": null, "b": 2},
    });
    assert_eq!(text(&device.next().await.unwrap()), change);
}

#[tokio::test]
async fn a_device_that_fell_too_far_behind_gets_the_whole_view_again() {
    let feed = feed();
    feed.publish(1, json!({"n": 1}), &[]);
    let mut device = Box::pin(feed.clone().follow());
    device.next().await.unwrap();
    let last = u64::try_from(RING).unwrap() + 2;
    for seq in 2..=last {
        feed.publish(seq, json!({"n": seq}), &[]);
    }
    let again = text(&device.next().await.unwrap());
    assert_eq!(
        (&again["push"], &again["seq"]),
        (&json!("view"), &json!(last))
    );
    feed.publish(last + 1, json!({"n": 0}), &[]);
    let next = text(&device.next().await.unwrap());
    assert_eq!(
        (&next["push"], &next["from"]),
        (&json!("patch"), &json!(last))
    );
}

#[tokio::test]
async fn a_device_that_is_not_too_far_behind_misses_nothing() {
    let feed = feed();
    feed.publish(1, json!({"n": 1}), &[]);
    let mut device = Box::pin(feed.clone().follow());
    device.next().await.unwrap();
    for seq in 2..=u64::try_from(RING).unwrap() + 1 {
        feed.publish(seq, json!({"n": seq}), &[]);
    }
    for seq in 2..=u64::try_from(RING).unwrap() + 1 {
        assert_eq!(text(&device.next().await.unwrap())["seq"], json!(seq));
    }
}

fn outlook(at: u32) -> Option<MadeOutlook> {
    let json = Bytes::from(json!({"at": at}).to_string());
    Some(MadeOutlook { seq: 1, json })
}

/// The next push, which must be there already.
fn next(device: &mut (impl Stream<Item = Bytes> + Unpin)) -> Option<Value> {
    device
        .next()
        .now_or_never()
        .map(|frame| text(&frame.unwrap()))
}

#[tokio::test]
async fn a_device_gets_the_latest_outlook_after_its_whole_view_and_each_new_one() {
    let feed = feed();
    feed.publish(1, json!({"a": 1}), &[]);
    let mut early = Box::pin(feed.clone().follow());
    assert_eq!(next(&mut early).unwrap()["push"], "view");
    assert_eq!(next(&mut early), None);
    for at in [1, 2] {
        assert!(feed.show_outlook(outlook(at)));
    }
    let clock = json!({"now": 7, "speed": 1.0});
    let told =
        |at: u32| json!({"push": "outlook", "seq": 1, "clock": clock, "outlook": {"at": at}});
    assert_eq!(next(&mut early), Some(told(1)));
    assert_eq!(next(&mut early), Some(told(2)));
    let mut late = Box::pin(feed.clone().follow());
    assert_eq!(next(&mut late).unwrap()["push"], "view");
    assert_eq!(next(&mut late), Some(told(2)));
    assert!(feed.show_outlook(outlook(3)));
    for device in [&mut early, &mut late] {
        assert_eq!(next(device), Some(told(3)));
        assert_eq!(next(device), None);
    }
    assert_eq!(feed.outlook(), outlook(3));
}

#[tokio::test]
async fn an_outlook_made_while_a_device_joins_is_told_once() {
    let feed = feed();
    feed.publish(1, json!({"a": 1}), &[]);
    let mut device = Box::pin(feed.clone().follow());
    assert_eq!(next(&mut device).unwrap()["push"], "view");
    // In the ring and the latest at once.
    assert!(feed.show_outlook(outlook(1)));
    assert_eq!(next(&mut device).unwrap()["outlook"]["at"], 1);
    assert_eq!(next(&mut device), None);
}

#[tokio::test]
async fn a_device_that_fell_behind_gets_the_whole_view_and_then_the_latest_outlook() {
    let feed = feed();
    feed.publish(1, json!({"n": 1}), &[]);
    assert!(feed.show_outlook(outlook(1)));
    let mut device = Box::pin(feed.clone().follow());
    assert_eq!(next(&mut device).unwrap()["push"], "view");
    assert_eq!(next(&mut device).unwrap()["push"], "outlook");
    let last = u64::try_from(RING).unwrap() + 2;
    for seq in 2..=last {
        feed.publish(seq, json!({"n": seq}), &[]);
    }
    assert_eq!(next(&mut device).unwrap()["seq"], last);
    assert_eq!(next(&mut device).unwrap()["outlook"]["at"], 1);
    feed.publish(last + 1, json!({"n": 0}), &[]);
    assert_eq!(next(&mut device).unwrap()["from"], last);
    assert_eq!(next(&mut device), None);
}

#[tokio::test]
async fn outlooks_do_not_count_as_changes() {
    let feed = feed();
    feed.publish(1, json!({"n": 1}), &[]);
    let mut device = Box::pin(feed.clone().follow());
    next(&mut device);
    assert_eq!(next(&mut device), None);
    feed.publish(2, json!({"n": 2}), &[]);
    assert!(feed.show_outlook(outlook(1)));
    feed.publish(3, json!({"n": 3}), &[]);
    let pushes: Vec<Value> = std::iter::from_fn(|| next(&mut device)).collect();
    let kinds: Vec<&Value> = pushes.iter().map(|push| &push["push"]).collect();
    assert_eq!(kinds, ["patch", "outlook", "patch"]);
    assert_eq!(
        (&pushes[0]["from"], &pushes[2]["from"]),
        (&json!(1), &json!(2))
    );
}

#[tokio::test]
async fn an_outlook_that_is_taken_back_is_said_and_told_to_nobody_later() {
    let feed = feed();
    feed.publish(1, json!({"a": 1}), &[]);
    assert!(feed.show_outlook(outlook(1)));
    let mut device = Box::pin(feed.clone().follow());
    next(&mut device);
    next(&mut device);
    assert!(feed.show_outlook(None));
    let clock = json!({"now": 7, "speed": 1.0});
    assert_eq!(
        next(&mut device),
        Some(json!({"push": "outlook", "clock": clock}))
    );
    assert_eq!(feed.outlook(), None);
    let mut late = Box::pin(feed.clone().follow());
    next(&mut late);
    assert_eq!(next(&mut late), None);
}

#[tokio::test]
async fn after_the_end_no_outlook_is_taken_or_told() {
    let feed = feed();
    feed.publish(1, json!({"a": 1}), &[]);
    assert!(feed.show_outlook(outlook(1)));
    let mut device = Box::pin(feed.clone().follow());
    next(&mut device);
    next(&mut device);
    feed.end_outlooks();
    assert!(!feed.show_outlook(outlook(2)));
    assert_eq!((feed.outlook(), next(&mut device)), (None, None));
    assert!(feed.bell().wait(u64::MAX, std::time::Duration::ZERO).over);
    let mut late = Box::pin(feed.clone().follow());
    next(&mut late);
    assert_eq!(next(&mut late), None);
}

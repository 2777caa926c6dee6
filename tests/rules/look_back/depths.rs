//! Looking back: queues.

use super::{all_adds_up, told};
use crate::kitchen::{Kitchen, build};
use putby::day::Record;
use putby::day::amount::Amount;
use putby::day::event::{Event, Layer};
use putby::day::time::Timestamp;

#[test]
fn the_deepest_queue_is_named_in_carriers_with_its_moment() {
    let mut day = Kitchen::open();
    day.does("open-box lot=pears-a product=pear-quarts amount=20000");
    day.wait(5)
        .does("open-box lot=peaches-a product=peach-pints amount=12000");
    day.wait(5)
        .does("open-box lot=pears-a product=pear-quarts amount=10000");
    let at = day.now;
    day.wait(5)
        .does("tally station=slice product=pear-quarts amount=30000");
    let told = told(&day);
    let deepest = told.stations[&crate::kitchen::id("slice")]
        .deepest
        .clone()
        .unwrap();
    assert_eq!(
        (deepest.product.as_str(), deepest.amount.0),
        ("pear-quarts", 30_000)
    );
    assert_eq!((deepest.carriers.0, deepest.at), (6000, at));
}

/// Little's law on a finite day that begins and ends empty: the area under the depth is the sum of
/// the times each amount waited (exact in integers).
#[test]
fn the_area_under_the_depth_is_the_sum_of_all_waits() {
    let mut day = Kitchen::open();
    for round in 0..9 {
        day.wait(3 + round)
            .does("open-box lot=pears-a product=pear-quarts amount=7500");
        day.wait(7).does("tally station=slice amount=5000");
        day.wait_ms(12_345).does("tally station=fill amount=2500");
    }
    day.all(&[
        "tally station=slice amount=22500",
        "tally station=fill amount=45000",
    ]);
    let jars = build("canner", "l1", &[("pear-quarts", 7)]);
    day.wait(1).does(&jars);
    day.all(&["heat-load load=l1", "rolling-boil load=l1"]);
    let told = told(&day);
    all_adds_up(&told);
    for station in ["slice", "fill"] {
        assert_eq!(
            day.waits(station, "pear-quarts"),
            0,
            "the day ends empty there"
        );
        let waits = sojourns(&day.records, station);
        assert!(waits > 0);
        let station = &told.stations[&crate::kitchen::id(station)];
        let product = crate::kitchen::id("pear-quarts");
        assert!(station.depth_left_out.is_empty());
        assert_eq!(area(&station.depth[&product], told.to), waits);
        assert_eq!(station.waited[&product], waits);
    }
}

/// Amount times wait of everything that was taken at a station.
fn sojourns(records: &[Record], place: &str) -> i64 {
    let mut sum = 0;
    for record in records {
        if let Event::Tallied { station, parts, .. } = &record.event
            && station.as_str() == place
        {
            let layers = parts.iter().flat_map(|part| &part.layers);
            let wait = |layer: &Layer| layer.amount.0 * record.at.ms_since(layer.since);
            sum += layers.map(wait).sum::<i64>();
        }
    }
    sum
}

fn area(points: &[(Timestamp, Amount)], to: Timestamp) -> i64 {
    let ends = points.iter().skip(1).map(|point| point.0).chain([to]);
    let stretch =
        |(point, end): (&(Timestamp, Amount), Timestamp)| point.1.0 * end.ms_since(point.0);
    points.iter().zip(ends).map(stretch).sum()
}

#[test]
fn a_busy_day_is_told_with_short_series_that_keep_their_extremes() {
    let mut day = Kitchen::open();
    let mut highest = 0;
    for round in 0..300 {
        day.wait_ms(1000);
        let amount = if round == 150 { 9000 } else { 100 };
        day.does(&format!(
            "open-box lot=plums-a product=plum-mash amount={amount}"
        ));
        highest = highest.max(day.waits("wash", "plum-mash"));
        day.wait_ms(1000)
            .does(&format!("tally station=wash amount={amount}"));
    }
    let told = told(&day);
    all_adds_up(&told);
    let wash = &told.stations[&crate::kitchen::id("wash")];
    let points = &wash.depth[&crate::kitchen::id("plum-mash")];
    assert!(points.len() <= 400, "{}", points.len());
    assert_eq!(
        points.len() + wash.depth_left_out[&crate::kitchen::id("plum-mash")],
        600
    );
    assert_eq!(points.iter().map(|point| point.1.0).max(), Some(highest));
    assert_eq!(wash.deepest.as_ref().unwrap().amount.0, highest);
}

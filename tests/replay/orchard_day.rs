//! A whole invented day from the first box to closing, against amounts worked out by hand.
//!
//! The yields are published ones: pears 17.5 lb for 7 quarts = 2.5 lb a quart (USDA Complete Guide
//! to Home Canning, Guide 2); peaches 11 lb for 9 pints (Michigan State Univ. Extension, Preserving
//! Food Safely, 01600772); plums 14 lb for 7 quarts = 2 lb a quart (UF/IFAS Extension FCS8297).
//! Usable after trimming: pears 78 %, peaches 76 %, pitted plums 94 % (one published table of
//! kitchen yields), so plums are 2 lb x 0.94 = 1.88 lb pitted a quart. Amounts are thousandths.

use putby::cli::replay::{Replayed, answer, replay};
use serde_json::{Value, json};

const DAY: &str = include_str!("../../fixtures/days/orchard-day.ndjson");

fn orchard_day() -> (Replayed, Value) {
    let replayed = replay(DAY);
    let answer = answer(&replayed);
    (replayed, answer)
}

#[test]
fn every_line_of_the_day_is_accepted_and_the_day_is_closed() {
    let (replayed, answer) = orchard_day();
    assert_eq!(replayed.refused, []);
    assert_eq!(replayed.accepted, DAY.lines().count());
    assert_eq!(answer["view"]["day"]["phase"], "closed");
    assert_eq!(replayed.state.check(), Ok(()));
}

#[test]
fn jars_and_tubs_are_those_of_the_published_yields() {
    let (_, answer) = orchard_day();
    let products = &answer["view"]["products"];
    let ends = |product: &str| {
        let product = &products[product];
        json!([product["finished"], product["cooling"]])
    };
    // Pears: 54 lb in boxes, weighed again as 54.38; 1.88 lb too soft went to the puree.
    // 54.38 - 1.88 = 52.5 lb; 52.5 / 2.5 = 21 quarts; one broke in the canner: 20 are cooling.
    assert_eq!(ends("pears-quart"), json!([0, 20_000]));
    // Puree: 29 lb of plums / 2 = 14.5 qt, and 1.88 lb / 1.88 = 1 qt of the soft pears: 15.5 qt.
    // 7 qt into quart jars, 8.5 qt into the roaster.
    assert_eq!(ends("puree-quart"), json!([0, 7_000]));
    // 8.5 qt roasted down to 4.2 qt, as measured; four half-pint tubs to a quart: 16 tubs take
    // 4 qt, 0.2 qt was eaten.
    assert_eq!(ends("plum-spread"), json!([16_000, 0]));
    // Peaches: 33 lb x 9 / 11 = 27 pints' worth; one pint's worth was eaten: 26 pints are cooling.
    assert_eq!(ends("peaches-pint"), json!([0, 26_000]));
}

#[test]
fn stocks_are_what_the_jars_left() {
    let (_, answer) = orchard_day();
    let stock = |supply: &str| answer["view"]["supplies"][supply]["stock"].clone();
    // 4 ready and 28 washed, less 21 of pears and 7 of puree (the broken one was a jar too).
    assert_eq!(stock("quart-jars"), 4_000);
    // 6 ready and 24 washed, less 26 of peaches.
    assert_eq!(stock("pint-jars"), 4_000);
    // 60, less 21 + 7 + 26 = 54, and 12 more fetched.
    assert_eq!(stock("lids"), 18_000);
    // 20, less 16.
    assert_eq!(stock("tubs"), 4_000);
    // 48 cups and 12 more cooked; 21 quarts x 1.25 = 26.25, 26 pints x 0.625 = 16.25: 17.5 left.
    assert_eq!(stock("syrup"), 17_500);
}

#[test]
fn the_scraps_bucket_holds_the_peaches_alone_since_it_went_out() {
    let (_, answer) = orchard_day();
    // It went out after the pears. 33 lb of peaches leave 24 %: skins 33 x 0.05 = 1.65 lb, stones
    // (33 - 1.65) x 0.20 = 6.27 lb; together 7.92 lb, less than the ten that raise the chore.
    assert_eq!(answer["view"]["day"]["scraps_lb"], 7_920);
    assert_eq!(answer["view"]["chores"], json!({}));
}

#[test]
fn loads_have_the_published_minutes_from_the_last_full_boil() {
    let (_, answer) = orchard_day();
    let loads = &answer["view"]["loads"];
    // Boiling water, 0 to 1,000 ft (this kitchen lies at 640): fruit puree in quarts 15 (Preserving
    // Food Safely 01600839), pear quarts 25 (Guide 2), peach pints hot 20 (Guide 2, table 1). The
    // times of day are minutes after 07:50, when the day was opened.
    let minute = |load: &str, what: &str| {
        let opened = answer["view"]["day"]["opened_at"].as_i64().unwrap();
        (loads[load][what].as_i64().unwrap() - opened) / 60_000
    };
    let clock = |hour: i64, minutes: i64| hour * 60 + minutes - (7 * 60 + 50);
    let expected = [
        ("u1", 7, 15, 0, clock(10, 45), clock(11, 10)),
        ("p1", 7, 25, 0, clock(10, 55), clock(11, 30)),
        ("p2", 7, 25, 0, clock(11, 35), clock(12, 10)),
        ("p3", 7, 25, 1, clock(12, 8), clock(12, 43)),
        ("c1", 9, 20, 0, clock(14, 0), clock(14, 30)),
        ("c2", 9, 20, 1, clock(14, 25), clock(14, 55)),
        ("c3", 8, 20, 0, clock(14, 55), clock(15, 25)),
    ];
    assert_eq!(loads.as_object().unwrap().len(), expected.len());
    for (load, jars, minutes, lost, boil, lifted) in expected {
        assert_eq!(loads[load]["jar_count"], jars * 1000, "{load}");
        assert_eq!(
            loads[load]["process"]["tested"]["minutes"], minutes,
            "{load}"
        );
        assert_eq!(loads[load]["lost"], lost, "{load}");
        assert_eq!(loads[load]["short"], false, "{load}");
        assert_eq!(minute(load, "boil_at"), boil, "{load}");
        assert_eq!(minute(load, "lifted_at"), lifted, "{load}");
    }
    let broken = json!([{"product": "pears-quart", "lot": "pears-hill", "jars": 1}]);
    assert_eq!(loads["p2"]["broken"], broken);
}

#[test]
fn every_station_gave_on_what_came_to_it() {
    let (_, answer) = orchard_day();
    let stations = answer["view"]["stations"].as_object().unwrap();
    let mut ledgers = 0;
    for (name, station) in stations {
        for (product, done) in station["done"].as_object().unwrap() {
            let part = |what: &str| done[what].as_i64().unwrap();
            let waits = station["waiting"][product]["amount"].as_i64().unwrap_or(0);
            let out = [
                "taken",
                "inside",
                "diverted",
                "scrapped",
                "sent_back",
                "split",
            ];
            let out: i64 = out.into_iter().map(part).sum();
            let came = part("came_in") + part("recounted");
            assert_eq!(came, out + waits, "{product} at {name}");
            ledgers += 1;
        }
    }
    // Pears 5 stations, peaches 7, puree 4 and 3, spread 3, two kinds of jars 1 each.
    assert_eq!(ledgers, 24);
}

#[test]
fn what_went_astray_is_on_record_where_it_happened() {
    let (_, answer) = orchard_day();
    let done = |station: &str, product: &str, what: &str| {
        answer["view"]["stations"][station]["done"][product][what].clone()
    };
    assert_eq!(done("pare", "pears-quart", "recounted"), 380);
    assert_eq!(done("pare", "pears-quart", "diverted"), 1_880);
    assert_eq!(done("pare", "pears-quart", "sent_back"), 3_000);
    // 54 lb out of the boxes, and the 3 lb that were not rinsed a second time.
    assert_eq!(done("wash", "pears-quart", "came_in"), 57_000);
    assert_eq!(done("wash", "pears-quart", "reworked_in"), 3_000);
    assert_eq!(done("canners", "pears-quart", "scrapped"), 1_000);
    assert_eq!(done("fill", "peaches-pint", "diverted"), 500);
    assert_eq!(done("bag", "plum-spread", "diverted"), 200);
    // The bowl counted twice was taken back: 29 lb were pitted, no more.
    assert_eq!(done("pit", "plum-puree", "taken"), 29_000);
}

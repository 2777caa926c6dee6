//! Quantities against worked figures typed from their publications.

use crate::support::{ask, line, plenty, pounds, proposed, weekly};
use putby::day::amount::Amount;
use putby::prepare::ask::{Container, Use};
use putby::prepare::pounds::{self as sheet, pounds_there};
use putby::prepare::proposal::Added;
use putby::trade::Jar;
use serde_json::json;

fn a_use(produce: &str, food: &str) -> Use {
    let mut value = weekly(produce, "quart", 1);
    value["food"] = json!(food);
    serde_json::from_value(value).unwrap()
}

fn of(produce: &str, food: &str, jar: Jar, packages: i64) -> [Amount; 3] {
    let found = sheet::pounds(&a_use(produce, food), Container::Jar { jar }).unwrap();
    found.of(packages)
}

/// USDA Complete Guide to Home Canning (AIB 539), Guides 2, 3 and 4, "Quantity" of each product:
/// pounds for a canner load of 7 quarts and of 9 pints, pounds of a container and the quarts it
/// yields. Plums: UF/IFAS FCS8297. Not in the sheets' form but as the guides print them.
const PRINTED: [(&str, &str, f64, f64, i64, i64, i64); 9] = [
    ("pears", "pears", 17.5, 11.0, 50, 16, 25),
    ("peaches", "peaches", 17.5, 11.0, 48, 16, 24),
    ("plums", "plums", 14.0, 9.0, 56, 22, 36),
    ("apples", "apple slices", 19.0, 12.25, 48, 16, 19),
    ("apples", "applesauce", 21.0, 13.5, 48, 14, 19),
    ("tomatoes", "crushed tomatoes", 22.0, 14.0, 53, 17, 20),
    (
        "tomatoes",
        "whole or halved tomatoes in water",
        21.0,
        13.0,
        53,
        15,
        21,
    ),
    ("green beans", "green beans", 14.0, 9.0, 30, 12, 20),
    ("carrots", "carrots", 17.5, 11.0, 50, 17, 25),
];

#[test]
fn loads_and_bushels_take_what_the_guides_print() {
    let thousandths = |pounds: f64| Amount((pounds * 1000.0) as i64);
    for (produce, food, quarts, pints, bushel, few, many) in PRINTED {
        let [_, load, _] = of(produce, food, Jar::Quart, 7);
        assert_eq!(load, thousandths(quarts), "{food}, 7 quarts");
        let [_, load, _] = of(produce, food, Jar::Pint, 9);
        assert_eq!(load, thousandths(pints), "{food}, 9 pints");
        let [low, _, _] = of(produce, food, Jar::Quart, many);
        assert_eq!(low, Amount::whole(bushel), "{food}, a good bushel");
        let [_, _, high] = of(produce, food, Jar::Quart, few);
        assert_eq!(high, Amount::whole(bushel), "{food}, a poor bushel");
        let there = json!({"produce": produce, "amount": 1000, "unit": "bushel"});
        let there = serde_json::from_value(there).unwrap();
        assert_eq!(pounds_there(&there), Some(Amount::whole(bushel)), "{food}");
    }
}

/// The same two loads through a whole proposal: 17 1/2 lb of pears fill one load of 7 quarts, 11 lb
/// of peaches one of 9 pints, and not a jar more.
#[test]
fn the_worked_loads_come_out_of_a_proposal() {
    let mut value = plenty();
    value["there_is"] = json!({
        "one": {"produce": "pears", "amount": 17500, "unit": "lb"},
        "two": {"produce": "peaches", "amount": 11000, "unit": "lb"},
    });
    value["uses"] = json!({"a": weekly("pears", "quart", 30), "b": weekly("peaches", "pint", 30)});
    let told = proposed(&value);
    assert_eq!(line(&told, "a", "quarts").packages, 7);
    assert_eq!(line(&told, "b", "pints").packages, 9);
    assert_eq!(told.loads.len(), 2);
    assert!(
        told.loads.iter().all(|load| load.loads == 1),
        "{:?}",
        told.loads
    );
    assert_eq!(told.produce["pears"].left, Amount::ZERO);
}

/// An extension planning table per person: peaches 2 helpings of half a cup a week for 40 weeks
/// are 10 quarts; pears 1 in 2 weeks for 32 weeks 2 quarts; plums 1 in 2 weeks for 40 weeks 2 1/2
/// quarts (reference list S65).
#[test]
fn the_old_planning_table_is_reproduced() {
    let helping = |produce: &str, times: i64, weeks: i64| {
        json!({
            "name": produce, "produce": produce, "keep": "shelf", "opened_days": 14,
            "amount": 500, "unit": "cup", "times": times, "per": "week", "weeks": weeks * 1000
        })
    };
    let mut value = plenty();
    value["there_is"] = json!({
        "a": pounds("peaches", 90), "b": pounds("pears", 90), "c": pounds("plums", 90),
    });
    value["uses"] = json!({
        "peaches": helping("peaches", 2000, 40),
        "pears": helping("pears", 500, 32),
        "plums": helping("plums", 500, 40),
    });
    let told = proposed(&value);
    let quarts = |use_id: &str| -> i64 {
        let lines = told.lines.iter().filter(|line| line.use_id == use_id);
        lines.map(|line| line.packages * line.usable.0).sum()
    };
    assert_eq!(quarts("peaches"), 10_000);
    assert_eq!(quarts("pears"), 2_000);
    assert_eq!(quarts("plums"), 2_500);
}

/// University of Minnesota Extension: 2 to 3 lb for each cubic foot in 24 hours; two is planned
/// with. Frozen peaches take 1 to 1 1/2 lb a pint (extension yields table), so 2 1/2 lb a quart:
/// 10 cubic feet freeze 20 lb, 8 quart bags.
#[test]
fn a_freezer_takes_two_pounds_a_cubic_foot_in_a_day() {
    let mut value = plenty();
    value["freezer"] = json!({"cubic_ft": 10000});
    value["there_is"] = json!({"a": pounds("peaches", 400)});
    let mut bags = weekly("peaches", "quart", 30);
    bags["keep"] = json!("freezer");
    bags["shrink"] = json!(0);
    value["uses"] = json!({"bags": bags});
    let told = proposed(&value);
    assert_eq!(line(&told, "bags", "quart-bags").packages, 8);
    let freezer = told.freezer.as_ref().unwrap();
    assert_eq!(freezer.in_a_day, Amount::whole(20));
    assert_eq!(freezer.pounds, Amount::whole(20));
    let held = &told.uses["bags"].held_by;
    assert_eq!(serde_json::json!(held), json!([{"is": "freezes-in-a-day"}]));
}

/// USDA Complete Guide, Guide 3: 2 tablespoons of bottled lemon juice a quart of tomatoes, 1 a pint.
#[test]
fn tomatoes_get_their_lemon_juice() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("tomatoes", 400)});
    let mut quarts = weekly("tomatoes", "quart", 7);
    let mut pints = weekly("tomatoes", "pint", 9);
    quarts["food"] = json!("crushed tomatoes");
    pints["food"] = json!("crushed tomatoes");
    value["uses"] = json!({"q": quarts, "p": pints});
    let told = proposed(&value);
    let tbsp: Vec<i64> = told
        .added
        .iter()
        .filter_map(|added| match added {
            Added::LemonJuice { tbsp, .. } => Some(*tbsp),
            Added::AsTheRecipeSays { .. } | Added::Cover { .. } => None,
        })
        .collect();
    assert_eq!(tbsp, [7 * 2 + 9]);
}

/// USDA Complete Guide, Guide 2, "Preparing and using syrups": light syrup for 7 quarts of 9 cups
/// water and 2 1/4 cups sugar, for 9 pints of 5 3/4 and 1 1/2.
#[test]
fn syrup_is_that_of_the_printed_loads() {
    for (unit, count, water, sugar) in [("quart", 7, 9000, 2250), ("pint", 9, 5750, 1500)] {
        let mut value = plenty();
        value["there_is"] = json!({"a": pounds("pears", 100)});
        value["uses"] = json!({"a": weekly("pears", unit, count)});
        let told = proposed(&value);
        let cover = Added::Cover {
            water_cups: Amount(water),
            sugar_cups: Amount(sugar),
        };
        assert_eq!(told.added, [cover], "{unit}");
    }
}

/// A tenth more lids than jars, rounded up (common practice).
#[test]
fn lids_are_counted_with_a_tenth_to_spare() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("pears", 100)});
    value["uses"] = json!({"a": weekly("pears", "quart", 21)});
    value["lids"] = json!({"have": 20000, "more": 10000});
    let lids = proposed(&value).lids;
    assert_eq!(
        (lids.for_jars, lids.spare, lids.buy, lids.short),
        (21, 3, 4, 0)
    );
    // 22 lids are enough for 20 jars and 2 to spare, not for 21 and 3.
    value["lids"] = json!({"have": 22000});
    let told = proposed(&value);
    assert_eq!((told.lids.for_jars, told.lids.spare), (20, 2));
}

/// The season of a use, counted by hand: once a fortnight for 40 weeks is 20 times; once a month for
/// 52 weeks is 12; last year's three pints still serve three times.
#[test]
fn a_season_is_counted_as_on_a_calendar() {
    let mut value = plenty();
    value["there_is"] = json!({"a": pounds("pears", 100)});
    let mut monthly = weekly("pears", "quart", 52);
    monthly["per"] = json!("month");
    let mut fortnight = weekly("pears", "pint", 40);
    fortnight["times"] = json!(500);
    fortnight["still"] = json!({"pints": 3000});
    value["uses"] = json!({"m": monthly, "f": fortnight});
    let told = proposed(&value);
    assert_eq!(told.uses["m"].times, 12);
    assert_eq!((told.uses["f"].times, told.uses["f"].still_serves), (20, 3));
    assert_eq!(line(&told, "f", "pints").packages, 17);
    assert_eq!(ask(&value).uses["f"].portion(), Amount(500));
}

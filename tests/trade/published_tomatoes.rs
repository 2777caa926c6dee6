//! Every altitude band of the published tomato tables, typed from the publications.

use putby::trade::{Jar, Method, Pack, list, tested};

use crate::{assert_dial, assert_minutes, assert_weighted, four};

// UF/IFAS Extension FCS8183 (USDA) Tomato juice Table 1, https://edis.ifas.ufl.edu/he172; dial
// gauge: USDA AIB 539 (rev. 1994) Guide 3 Tomato juice Table 2.
#[test]
fn tomato_juice_has_the_published_times() {
    assert_minutes(
        "tomato juice",
        Pack::Hot,
        Jar::Pint,
        &four([35, 40, 45, 50]),
    );
    assert_minutes(
        "tomato juice",
        Pack::Hot,
        Jar::Quart,
        &four([40, 45, 50, 55]),
    );
    for jar in [Jar::Pint, Jar::Quart] {
        assert_dial("tomato juice", Pack::Hot, jar, 20, [6, 7, 8, 9]);
        assert_dial("tomato juice", Pack::Hot, jar, 15, [11, 12, 13, 14]);
    }
}

// UF/IFAS Extension FCS8186 (USDA) Standard tomato sauce Tables 1-2,
// https://edis.ifas.ufl.edu/he175; weighted gauge: NCHFP Standard tomato sauce Table 3,
// https://nchfp.uga.edu/how/can_03/tomato_sauce.html.
#[test]
fn tomato_sauce_has_the_published_times() {
    assert_minutes(
        "tomato sauce",
        Pack::Hot,
        Jar::Pint,
        &four([35, 40, 45, 50]),
    );
    assert_minutes(
        "tomato sauce",
        Pack::Hot,
        Jar::Quart,
        &four([40, 45, 50, 55]),
    );
    for jar in [Jar::Pint, Jar::Quart] {
        assert_dial("tomato sauce", Pack::Hot, jar, 20, [6, 7, 8, 9]);
        assert_dial("tomato sauce", Pack::Hot, jar, 15, [11, 12, 13, 14]);
        assert_weighted("tomato sauce", Pack::Hot, jar, 20, [5, 10]);
        assert_weighted("tomato sauce", Pack::Hot, jar, 15, [10, 15]);
    }
}

// USDA AIB 539 Guide 3 Tomatoes, crushed, with no added liquid, Table 1.
#[test]
fn crushed_tomatoes_have_the_published_times() {
    assert_minutes(
        "crushed tomatoes",
        Pack::Hot,
        Jar::Pint,
        &four([35, 40, 45, 50]),
    );
    assert_minutes(
        "crushed tomatoes",
        Pack::Hot,
        Jar::Quart,
        &four([45, 50, 55, 60]),
    );
    assert_dial("crushed tomatoes", Pack::Hot, Jar::Pint, 20, [6, 7, 8, 9]);
}

// Michigan State Univ. Extension Preserving Food Safely 01600874 Tomatoes, packed in water.
#[test]
fn tomatoes_in_water_have_the_published_times() {
    let product = "whole or halved tomatoes in water";
    for pack in [Pack::Hot, Pack::Raw] {
        assert_minutes(product, pack, Jar::Pint, &four([40, 45, 50, 55]));
        assert_minutes(product, pack, Jar::Quart, &four([45, 50, 55, 60]));
    }
}

// USDA AIB 539 Guide 3, tomatoes in water, pints at 6 psi: 20 minutes in the 1994 text, 15 in the
// 2009/2015 text; the longer is used.
#[test]
fn tomatoes_in_water_take_the_longer_dial_gauge_time_where_editions_differ() {
    let product = "whole or halved tomatoes in water";
    for pack in [Pack::Hot, Pack::Raw] {
        assert_dial(product, pack, Jar::Pint, 20, [6, 7, 8, 9]);
        assert_dial(product, pack, Jar::Quart, 10, [11, 12, 13, 14]);
    }
    let process = tested(product, Pack::Hot, Jar::Pint, Method::PressureDial, 500).unwrap();
    assert!(
        process.source.contains("2009/2015 text prints 15"),
        "{}",
        process.source
    );
}

// Michigan State Univ. Extension Preserving Food Safely 01600828, all three tables.
#[test]
fn tomatoes_in_tomato_juice_have_the_published_times() {
    let product = "whole or halved tomatoes in tomato juice";
    for pack in [Pack::Hot, Pack::Raw] {
        for jar in [Jar::Pint, Jar::Quart] {
            assert_minutes(product, pack, jar, &four([85, 90, 95, 100]));
            assert_dial(product, pack, jar, 40, [6, 7, 8, 9]);
            assert_dial(product, pack, jar, 25, [11, 12, 13, 14]);
            assert_weighted(product, pack, jar, 40, [5, 10]);
            assert_weighted(product, pack, jar, 25, [10, 15]);
        }
    }
}

// Michigan State Univ. Extension 01600875 (boiling water, dial gauge); UF/IFAS Extension FCS8189
// Table 1 (weighted gauge), https://edis.ifas.ufl.edu/he178.
#[test]
fn tomatoes_raw_without_liquid_have_the_published_times() {
    let product = "whole or halved tomatoes raw without liquid";
    for jar in [Jar::Pint, Jar::Quart] {
        assert_minutes(product, Pack::Raw, jar, &four([85, 90, 95, 100]));
        assert_dial(product, Pack::Raw, jar, 40, [6, 7, 8, 9]);
        assert_dial(product, Pack::Raw, jar, 25, [11, 12, 13, 14]);
        assert_weighted(product, Pack::Raw, jar, 40, [5, 10]);
        assert_weighted(product, Pack::Raw, jar, 25, [10, 15]);
    }
}

// Michigan State Univ. Extension 01600872 and 01600830: 2 tbsp bottled lemon juice or 1/2 tsp
// citric acid per quart, 1 tbsp or 1/4 tsp per pint, for every method.
#[test]
fn every_tomato_process_gives_the_acid_of_its_jar() {
    let mut seen = 0;
    for table in list().filter(|table| table.product.contains("tomato")) {
        let acid = table.acid.as_deref().unwrap();
        let dose = match table.jar {
            Jar::Pint => "1 tbsp bottled lemon juice or 1/4 tsp citric acid",
            Jar::Quart => "2 tbsp bottled lemon juice or 1/2 tsp citric acid",
            Jar::HalfPint | Jar::HalfGallon => panic!("no tomato table prints a {}", table.jar),
        };
        assert_eq!(
            acid, dose,
            "{} {} {}",
            table.product, table.method, table.jar
        );
        seen += 1;
    }
    assert!(seen > 30, "only {seen} tomato tables");
}

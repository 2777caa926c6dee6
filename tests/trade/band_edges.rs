//! The edges of the altitude bands: one foot decides.

use putby::trade::{HIGHEST_ALTITUDE_FT, Jar, Method, NoTestedProcess, Pack, tested};

fn minutes(product: &str, jar: Jar, altitude: i32) -> u32 {
    tested(product, Pack::Hot, jar, Method::BoilingWater, altitude)
        .unwrap()
        .minutes
}

// USDA AIB 539 (rev. 1994) Guide 2 Pears Table 1: pints 20, 25, 30, 35.
#[test]
fn a_foot_over_a_band_takes_the_next_time() {
    let printed = [
        (0, 20),
        (1, 20),
        (1000, 20),
        (1001, 25),
        (3000, 25),
        (3001, 30),
        (6000, 30),
        (6001, 35),
        (HIGHEST_ALTITUDE_FT, 35),
    ];
    for (altitude, expected) in printed {
        assert_eq!(
            minutes("pears", Jar::Pint, altitude),
            expected,
            "{altitude} ft"
        );
    }
}

// Michigan State Univ. Extension 01600839 Fruit purees prints three columns, not four.
#[test]
fn a_table_of_three_columns_does_not_change_at_3000_feet() {
    for (altitude, expected) in [(1000, 15), (1001, 20), (3000, 20), (3001, 20), (6001, 25)] {
        assert_eq!(
            minutes("fruit puree", Jar::Quart, altitude),
            expected,
            "{altitude} ft"
        );
    }
}

// Michigan State Univ. Extension 01600353 Applesauce: pints 15, 20, 20, 25.
#[test]
fn nothing_is_added_where_the_table_repeats_a_time() {
    assert_eq!(minutes("applesauce", Jar::Pint, 1001), 20);
    assert_eq!(minutes("applesauce", Jar::Pint, 3001), 20);
}

// USDA AIB 539 dial-gauge tables end at 8,000 ft; weighted-gauge tables say "above 1,000 ft".
#[test]
fn a_dial_gauge_table_ends_at_8000_feet_and_a_weighted_one_does_not() {
    let at = |method, altitude| tested("pears", Pack::Hot, Jar::Pint, method, altitude);
    assert_eq!(at(Method::PressureDial, 8000).unwrap().psi, Some(9));
    assert_eq!(
        at(Method::PressureDial, 8001).unwrap_err(),
        NoTestedProcess::AltitudeOutsideTable {
            product: "pears".to_string(),
            method: Method::PressureDial,
            altitude_ft: 8001,
            top_ft: Some(8000),
        }
    );
    assert_eq!(at(Method::PressureWeighted, 1000).unwrap().psi, Some(5));
    assert_eq!(at(Method::PressureWeighted, 1001).unwrap().psi, Some(10));
    assert_eq!(at(Method::PressureWeighted, 8001).unwrap().psi, Some(10));
}

//! The one published rule that lets a jar use another jar's row.

use putby::trade::{Jar, Method, Pack, options, tested};

// NCHFP blog Jar Size Choices Have You Frustrated: if only pints are listed and you use half-pints,
// use the process time for pints. https://nchfp.uga.edu/blog/jar-size-choices-have-you-frustrated
#[test]
fn a_half_pint_uses_the_pint_row_and_says_so() {
    for altitude in [0, 1001, 3001, 6001] {
        let pint = tested(
            "pears",
            Pack::Hot,
            Jar::Pint,
            Method::BoilingWater,
            altitude,
        )
        .unwrap();
        let half = tested(
            "pears",
            Pack::Hot,
            Jar::HalfPint,
            Method::BoilingWater,
            altitude,
        )
        .unwrap();
        assert_eq!(half.minutes, pint.minutes);
        assert_eq!(half.headspace_64ths, pint.headspace_64ths);
        assert_eq!(half.jar, Jar::HalfPint);
        assert!(half.source.contains("jar-smaller"), "{}", half.source);
        assert!(
            half.source.contains("NCHFP blog Jar Size Choices"),
            "{}",
            half.source
        );
        assert!(!pint.source.contains("jar-smaller"), "{}", pint.source);
    }
}

// USDA AIB 539 (rev. 1994) Guide 2 Apple butter prints half-pints itself.
#[test]
fn a_half_pint_that_is_tabled_uses_its_own_row() {
    let half = tested(
        "apple butter",
        Pack::Hot,
        Jar::HalfPint,
        Method::BoilingWater,
        0,
    )
    .unwrap();
    assert_eq!(half.minutes, 5);
    assert!(!half.source.contains("jar-smaller"), "{}", half.source);
}

#[test]
fn a_half_pint_of_tomatoes_gets_the_whole_dose_of_a_pint() {
    let half = tested(
        "tomato sauce",
        Pack::Hot,
        Jar::HalfPint,
        Method::BoilingWater,
        0,
    )
    .unwrap();
    let acid = half.acid.unwrap();
    assert!(
        acid.starts_with("1 tbsp bottled lemon juice or 1/4 tsp citric acid"),
        "{acid}"
    );
    assert!(acid.contains("none is published for half-pints"), "{acid}");
}

#[test]
fn a_half_pint_keeps_every_option_of_the_pint() {
    let pairs = |jar| -> Vec<_> {
        let options = options("tomato sauce", Pack::Hot, jar, Method::PressureDial, 2500).unwrap();
        options
            .iter()
            .map(|option| (option.minutes, option.psi))
            .collect()
    };
    assert_eq!(pairs(Jar::HalfPint), pairs(Jar::Pint));
    assert_eq!(pairs(Jar::HalfPint).len(), 2);
}

// Michigan State Univ. Extension 01600946: products processed under 10 minutes go into sterile
// jars; jars for a pressure canner need not be sterilised.
#[test]
fn jars_are_sterilised_for_a_short_boiling_water_process_only() {
    let sterilise = |product: &str, jar, method, altitude| {
        tested(product, Pack::Hot, jar, method, altitude)
            .unwrap()
            .sterilise_jars
    };
    assert!(sterilise(
        "apple juice",
        Jar::Quart,
        Method::BoilingWater,
        1000
    ));
    assert!(!sterilise(
        "apple juice",
        Jar::Quart,
        Method::BoilingWater,
        1001
    ));
    assert!(!sterilise(
        "apple juice",
        Jar::HalfGallon,
        Method::BoilingWater,
        0
    ));
    assert!(sterilise(
        "jams and jellies",
        Jar::HalfPint,
        Method::BoilingWater,
        0
    ));
    assert!(sterilise("grape juice", Jar::Pint, Method::Steam, 0));
    assert!(!sterilise(
        "apple slices",
        Jar::Pint,
        Method::PressureDial,
        0
    ));
}

//! Every way of asking for what has no tested process.

use putby::trade::{HIGHEST_ALTITUDE_FT, Jar, Method, NoTestedProcess, Pack, tested};

fn refused(product: &str, pack: Pack, jar: Jar, method: Method, altitude: i32) -> NoTestedProcess {
    let refusal = tested(product, pack, jar, method, altitude).unwrap_err();
    assert!(refusal.to_string().ends_with('.'), "{refusal}");
    assert!(refusal.instead().len() > 20, "{}", refusal.instead());
    refusal
}

fn refused_product(product: &str) -> NoTestedProcess {
    refused(product, Pack::Hot, Jar::Pint, Method::BoilingWater, 500)
}

#[test]
fn an_unknown_product_names_those_that_look_like_it() {
    let refusal = refused_product("paers");
    assert_eq!(refusal.code(), "unknown-product");
    assert!(refusal.instead().contains("pears"), "{}", refusal.instead());
    let NoTestedProcess::UnknownProduct { near, .. } = refused_product("tomato soup") else {
        panic!("tomato soup must be unknown");
    };
    assert!(near.contains(&"tomato juice".to_string()), "{near:?}");
    assert!(!near.contains(&"pears".to_string()), "{near:?}");
}

#[test]
fn a_near_name_is_never_answered() {
    for name in [
        "pear",
        "peach",
        "pears halves",
        "apple sauces",
        "purée",
        "",
        "  ",
        "plum",
    ] {
        assert_eq!(refused_product(name).code(), "unknown-product", "{name:?}");
    }
}

// K-State Extension You Asked It 2016-08-10: home canning is not recommended for pumpkin butter or
// any mashed or pureed pumpkin or winter squash.
#[test]
fn pumpkin_and_squash_that_are_mashed_are_refused_by_name() {
    for name in [
        "pumpkin butter",
        "Pumpkin  Butter",
        "mashed pumpkin",
        "pureed pumpkin",
        "pumpkin puree",
        "mashed squash",
        "pureed squash",
        "squash butter",
    ] {
        let refusal = refused_product(name);
        assert_eq!(refusal.code(), "refused-product", "{name}");
        assert!(refusal.instead().contains("Freeze"), "{name}");
        assert!(
            refusal.to_string().contains("K-State Extension"),
            "{refusal}"
        );
    }
}

#[test]
fn dairy_eggs_oil_starch_and_own_mixtures_are_refused_by_name() {
    for name in [
        "dairy",
        "milk",
        "butter",
        "eggs",
        "pickled eggs",
        "garlic in oil",
        "pasta",
        "home-made mixes",
        "homemade mix",
        "own recipe",
    ] {
        assert_eq!(refused_product(name).code(), "refused-product", "{name}");
    }
}

// Michigan State Univ. Extension 01600839: purees of any fruit except figs and tomatoes.
#[test]
fn the_fruits_that_the_puree_table_leaves_out_are_refused() {
    for name in ["fig puree", "tomato puree"] {
        assert_eq!(refused_product(name).code(), "refused-product", "{name}");
    }
}

#[test]
fn a_refused_product_stays_refused_whatever_the_method() {
    for method in Method::ALL {
        for jar in Jar::ALL {
            let refusal = refused("pumpkin butter", Pack::Hot, *jar, *method, 0);
            assert_eq!(refusal.code(), "refused-product");
        }
    }
}

// Washington State Univ. Extension factsheet 4: low-acid food needs a pressure canner.
#[test]
fn a_low_acid_food_has_no_process_without_pressure() {
    for product in ["green beans", "corn", "carrots"] {
        for method in [Method::BoilingWater, Method::Steam] {
            let refusal = refused(product, Pack::Hot, Jar::Pint, method, 0);
            assert_eq!(refusal.code(), "method-not-tabled");
            assert!(refusal.to_string().contains("pressure canner"), "{refusal}");
            assert!(
                refusal
                    .instead()
                    .contains("pressure-dial, pressure-weighted")
            );
        }
    }
}

#[test]
fn a_method_that_is_not_tabled_names_those_that_are() {
    let refusal = refused(
        "apple butter",
        Pack::Hot,
        Jar::Pint,
        Method::PressureDial,
        0,
    );
    assert_eq!(refusal.code(), "method-not-tabled");
    assert!(
        refusal.instead().contains("boiling-water, steam"),
        "{}",
        refusal.instead()
    );
    assert!(!refusal.to_string().contains("low-acid"), "{refusal}");
}

// USDA AIB 539 Guide 2 Pears prints a hot pack only; Guide 6 fresh-pack dill pickles a raw one.
#[test]
fn a_pack_that_is_not_tabled_names_the_one_that_is() {
    let refusal = refused("pears", Pack::Raw, Jar::Pint, Method::BoilingWater, 0);
    assert_eq!(refusal.code(), "pack-not-tabled");
    assert!(refusal.instead().contains("hot"), "{}", refusal.instead());
    let refusal = refused(
        "fresh-pack dill pickles",
        Pack::Hot,
        Jar::Pint,
        Method::BoilingWater,
        0,
    );
    assert!(refusal.instead().contains("raw"), "{}", refusal.instead());
}

// NCHFP blog Jar Size Choices: no process for a jar larger than the largest tested.
#[test]
fn a_larger_jar_than_the_largest_tabled_is_never_answered() {
    let no_quart = refused(
        "jams and jellies",
        Pack::Hot,
        Jar::Quart,
        Method::BoilingWater,
        0,
    );
    assert_eq!(no_quart.code(), "jar-not-tabled");
    assert!(
        no_quart.instead().contains("half-pint, pint"),
        "{}",
        no_quart.instead()
    );
    let no_syrup = refused(
        "berry syrup",
        Pack::Hot,
        Jar::Quart,
        Method::BoilingWater,
        0,
    );
    assert_eq!(no_syrup.code(), "jar-not-tabled");
    let no_half_gallon = refused("pears", Pack::Hot, Jar::HalfGallon, Method::BoilingWater, 0);
    assert_eq!(
        no_half_gallon,
        NoTestedProcess::JarNotTabled {
            product: "pears".to_string(),
            method: Method::BoilingWater,
            pack: Pack::Hot,
            jar: Jar::HalfGallon,
            tabled: vec![Jar::Pint, Jar::Quart],
        }
    );
}

// Only pints were read for crushed tomatoes in a dial-gauge canner; quarts are not answered.
#[test]
fn a_row_that_nobody_read_is_refused() {
    let quart = refused(
        "crushed tomatoes",
        Pack::Hot,
        Jar::Quart,
        Method::PressureDial,
        0,
    );
    assert_eq!(quart.code(), "jar-not-tabled");
    let weighted = refused(
        "crushed tomatoes",
        Pack::Hot,
        Jar::Pint,
        Method::PressureWeighted,
        0,
    );
    assert_eq!(weighted.code(), "method-not-tabled");
}

#[test]
fn an_altitude_below_the_sea_or_above_all_homes_is_refused() {
    for altitude in [-1, -1400, i32::MIN] {
        let refusal = refused(
            "pears",
            Pack::Hot,
            Jar::Pint,
            Method::BoilingWater,
            altitude,
        );
        assert_eq!(refusal.code(), "altitude-outside-table", "{altitude}");
        assert!(
            refusal.instead().contains("sea level"),
            "{}",
            refusal.instead()
        );
    }
    for altitude in [HIGHEST_ALTITUDE_FT + 1, 65_000, i32::MAX] {
        let refusal = refused(
            "pears",
            Pack::Hot,
            Jar::Pint,
            Method::BoilingWater,
            altitude,
        );
        assert_eq!(refusal.code(), "altitude-not-believable", "{altitude}");
        assert!(
            refusal.instead().contains("feet or metres"),
            "{}",
            refusal.instead()
        );
    }
}

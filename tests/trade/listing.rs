//! The list of everything tabled, the yields and the produce.

use std::collections::BTreeSet;

use putby::trade::{Confidence, Jar, Method, list, options, produce, products, yields};

#[test]
fn the_list_covers_every_product_and_method() {
    let listed: BTreeSet<_> = list().map(|table| table.product.as_str()).collect();
    let expected: BTreeSet<_> = [
        "apple butter",
        "apple juice",
        "apple slices",
        "applesauce",
        "berries",
        "berry syrup",
        "carrots",
        "cherries",
        "corn",
        "crushed tomatoes",
        "fresh-pack dill pickles",
        "fruit puree",
        "grape juice",
        "green beans",
        "jams and jellies",
        "peaches",
        "pears",
        "plums",
        "rhubarb",
        "tomato juice",
        "tomato sauce",
        "whole or halved tomatoes in tomato juice",
        "whole or halved tomatoes in water",
        "whole or halved tomatoes raw without liquid",
    ]
    .into();
    assert_eq!(listed, expected);
    assert_eq!(products().len(), expected.len());
    let methods: BTreeSet<_> = list().map(|table| table.method).collect();
    assert_eq!(methods, Method::ALL.iter().copied().collect());
    let jars: BTreeSet<_> = list().map(|table| table.jar).collect();
    assert_eq!(jars, Jar::ALL.iter().copied().collect());
}

#[test]
fn every_listed_process_is_answered_in_every_band() {
    for table in list() {
        for band in &table.bands {
            let answers = options(
                &table.product,
                table.pack,
                table.jar,
                table.method,
                band.from_ft,
            );
            let answers = answers.unwrap();
            let is_band = |answer: &putby::trade::TestedProcess| {
                (answer.minutes, answer.psi, answer.headspace_64ths)
                    == (band.minutes, band.psi, table.headspace_64ths)
            };
            assert!(
                answers.iter().any(is_band),
                "{} {}",
                table.product,
                band.from_ft
            );
        }
    }
}

#[test]
fn nothing_listed_is_from_memory_or_without_a_source() {
    for table in list() {
        for band in &table.bands {
            assert_ne!(band.confidence, Confidence::Memory, "{table:?}");
            assert!(band.source.len() > 10, "{table:?}");
        }
    }
}

// USDA AIB 539 Guide 2 Pears: 17 1/2 lb per 7 quarts, 11 lb per 9 pints, bushel 50 lb, 16 to 25
// quarts, 2 1/2 lb per quart. UF/IFAS FCS8297 Plums: 14 lb, 9 lb, bushel 56 lb, 22 to 36 quarts.
#[test]
fn yields_are_those_published() {
    let usual = |product: &str| {
        let is_usual = |each: &&putby::trade::Yield| {
            each.product.as_deref() == Some(product) && each.pounds_per_7_quarts.is_some()
        };
        yields().iter().find(is_usual).unwrap()
    };
    let pears = usual("pears");
    assert_eq!(pears.pounds_per_7_quarts, Some(1750));
    assert_eq!(pears.pounds_per_9_pints, Some(1100));
    assert_eq!(pears.pounds_per_quart, Some((250, 250)));
    assert_eq!(pears.pounds_per_container, Some(5000));
    assert_eq!(pears.quarts_per_container, Some((1600, 2500)));
    let plums = usual("plums");
    assert_eq!(plums.pounds_per_7_quarts, Some(1400));
    assert_eq!(plums.quarts_per_container, Some((2200, 3600)));
    assert!(yields().iter().all(|each| !each.source.is_empty()));
}

// Michigan State Univ. Extension 01600943: cut apples, peaches and pears darken.
#[test]
fn produce_says_what_it_makes_and_whether_it_darkens() {
    let named = |name: &str| produce().iter().find(|each| each.name == name).unwrap();
    for name in ["apples", "peaches", "pears"] {
        assert_eq!(named(name).darkens.as_deref(), Some("yes"), "{name}");
    }
    assert_eq!(named("plums").darkens, None);
    assert_eq!(named("tomatoes").pounds_per_container, Some(5300));
    assert!(named("plums").products.contains(&"fruit puree".to_string()));
}

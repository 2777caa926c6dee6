//! Every altitude band of the published fruit tables, typed from the publications.

use putby::trade::{Jar, Method, Pack, tested};

use crate::{assert_dial, assert_minutes, assert_weighted, four, three};

const PINT_AND_QUART: [Jar; 2] = [Jar::Pint, Jar::Quart];

// USDA AIB 539 (rev. 1994) Guide 2 Pears, halved, Tables 1-3; Table 1 also on the Univ. of Missouri
// Extension "Seasonal and Simple" page, Canned Pears (halved).
#[test]
fn pears_have_the_published_times() {
    assert_minutes("pears", Pack::Hot, Jar::Pint, &four([20, 25, 30, 35]));
    assert_minutes("pears", Pack::Hot, Jar::Quart, &four([25, 30, 35, 40]));
    for jar in PINT_AND_QUART {
        assert_dial("pears", Pack::Hot, jar, 10, [6, 7, 8, 9]);
        assert_weighted("pears", Pack::Hot, jar, 10, [5, 10]);
    }
}

// Michigan State Univ. Extension Preserving Food Safely 01600772 Peaches (minutes; for raw packs its
// own two top bands, 3,001-5,000 and 5,001-8,000 ft, which are the stricter ones in print); USDA AIB
// 539 Guide 2 Peaches Table 1 (hot-pack bands). Pressure: USDA AIB 539, times for some acid foods.
#[test]
fn peaches_have_the_published_times() {
    assert_minutes("peaches", Pack::Hot, Jar::Pint, &four([20, 25, 30, 35]));
    assert_minutes("peaches", Pack::Hot, Jar::Quart, &four([25, 30, 35, 40]));
    let raw = |minutes: [u32; 4]| {
        let bands = [(0, 1000), (1001, 3000), (3001, 5000), (5001, 8000)];
        let printed = bands.into_iter().zip(minutes);
        let printed = printed.map(|((from, to), minutes)| (from, to, minutes));
        printed.collect::<Vec<_>>()
    };
    assert_minutes("peaches", Pack::Raw, Jar::Pint, &raw([25, 30, 35, 40]));
    assert_minutes("peaches", Pack::Raw, Jar::Quart, &raw([30, 35, 40, 45]));
    for jar in PINT_AND_QUART {
        for pack in [Pack::Hot, Pack::Raw] {
            assert_dial("peaches", pack, jar, 10, [6, 7, 8, 9]);
            assert_weighted("peaches", pack, jar, 10, [5, 10]);
        }
    }
}

// UF/IFAS Extension FCS8297 (USDA) Table 1, https://edis.ifas.ufl.edu/he245; the same numbers in
// Michigan State Univ. Extension 01600415. Pressure: USDA AIB 539 Guide 2 Plums Tables 2-3.
#[test]
fn plums_have_the_published_times() {
    for pack in [Pack::Hot, Pack::Raw] {
        assert_minutes("plums", pack, Jar::Pint, &four([20, 25, 30, 35]));
        assert_minutes("plums", pack, Jar::Quart, &four([25, 30, 35, 40]));
        for jar in PINT_AND_QUART {
            assert_dial("plums", pack, jar, 10, [6, 7, 8, 9]);
            assert_weighted("plums", pack, jar, 10, [5, 10]);
        }
    }
}

// USDA AIB 539 Guide 2 Apples, sliced, Tables 1-3; the same on the Univ. of Missouri Extension
// "Seasonal and Simple" page for apple slices.
#[test]
fn apple_slices_have_the_published_times() {
    for jar in PINT_AND_QUART {
        assert_minutes("apple slices", Pack::Hot, jar, &four([20, 25, 30, 35]));
        assert_dial("apple slices", Pack::Hot, jar, 8, [6, 7, 8, 9]);
        assert_weighted("apple slices", Pack::Hot, jar, 8, [5, 10]);
    }
}

// Michigan State Univ. Extension Preserving Food Safely 01600353 Applesauce, all three tables.
#[test]
fn applesauce_has_the_published_times() {
    assert_minutes("applesauce", Pack::Hot, Jar::Pint, &four([15, 20, 20, 25]));
    assert_minutes("applesauce", Pack::Hot, Jar::Quart, &four([20, 25, 30, 35]));
    assert_dial("applesauce", Pack::Hot, Jar::Pint, 8, [6, 7, 8, 9]);
    assert_dial("applesauce", Pack::Hot, Jar::Quart, 10, [6, 7, 8, 9]);
    assert_weighted("applesauce", Pack::Hot, Jar::Pint, 8, [5, 10]);
    assert_weighted("applesauce", Pack::Hot, Jar::Quart, 10, [5, 10]);
}

// Michigan State Univ. Extension Preserving Food Safely 01600304 Berries, whole.
#[test]
fn berries_have_the_published_times() {
    for jar in PINT_AND_QUART {
        assert_minutes("berries", Pack::Hot, jar, &four([15, 20, 20, 25]));
        assert_weighted("berries", Pack::Hot, jar, 8, [5, 10]);
    }
    assert_minutes("berries", Pack::Raw, Jar::Pint, &four([15, 20, 20, 25]));
    assert_minutes("berries", Pack::Raw, Jar::Quart, &four([20, 25, 30, 35]));
    assert_weighted("berries", Pack::Raw, Jar::Pint, 8, [5, 10]);
    assert_weighted("berries", Pack::Raw, Jar::Quart, 10, [5, 10]);
}

// NCHFP Cherries, whole, Table 1 (reproduced with credit); the same on the Univ. of Missouri
// Extension "Seasonal and Simple" page, Canned Cherries (whole).
#[test]
fn cherries_have_the_published_times() {
    assert_minutes("cherries", Pack::Hot, Jar::Pint, &four([15, 20, 20, 25]));
    assert_minutes("cherries", Pack::Hot, Jar::Quart, &four([20, 25, 30, 35]));
    for jar in PINT_AND_QUART {
        assert_minutes("cherries", Pack::Raw, jar, &four([25, 30, 35, 40]));
        assert_dial("cherries", Pack::Raw, jar, 10, [6, 7, 8, 9]);
    }
}

// Michigan State Univ. Extension Preserving Food Safely 01600839 Fruit purees, all three tables.
#[test]
fn fruit_puree_has_the_published_times() {
    for jar in PINT_AND_QUART {
        assert_minutes("fruit puree", Pack::Hot, jar, &three([15, 20, 25]));
        assert_dial("fruit puree", Pack::Hot, jar, 8, [6, 7, 8, 9]);
        assert_weighted("fruit puree", Pack::Hot, jar, 8, [5, 10]);
    }
}

// Michigan State Univ. Extension Preserving Food Safely 01600323 Grape juice; USDA AIB 539 (rev.
// 1994) Guide 2 Apple juice Table 1.
#[test]
fn apple_and_grape_juice_have_the_published_times_up_to_half_gallons() {
    for product in ["grape juice", "apple juice"] {
        assert_minutes(product, Pack::Hot, Jar::Pint, &three([5, 10, 15]));
        assert_minutes(product, Pack::Hot, Jar::Quart, &three([5, 10, 15]));
        assert_minutes(product, Pack::Hot, Jar::HalfGallon, &three([10, 15, 20]));
    }
}

// Michigan State Univ. Extension Preserving Food Safely 01600837 Berry syrup.
#[test]
fn berry_syrup_has_the_published_times() {
    for jar in [Jar::HalfPint, Jar::Pint] {
        assert_minutes("berry syrup", Pack::Hot, jar, &three([10, 15, 20]));
    }
}

// USDA AIB 539 (rev. 1994) Guide 2 Apple butter Table 1.
#[test]
fn apple_butter_has_the_published_times() {
    for jar in [Jar::HalfPint, Jar::Pint] {
        assert_minutes("apple butter", Pack::Hot, jar, &three([5, 10, 15]));
    }
    assert_minutes("apple butter", Pack::Hot, Jar::Quart, &three([10, 15, 20]));
}

// Michigan State Univ. Extension Preserving Food Safely 01600253 Rhubarb, stewed.
#[test]
fn rhubarb_has_the_published_times() {
    for jar in PINT_AND_QUART {
        assert_minutes("rhubarb", Pack::Hot, jar, &three([15, 20, 25]));
        assert_weighted("rhubarb", Pack::Hot, jar, 8, [5, 10]);
    }
}

// USDA/NCHFP jam table (half-pints or pints 5, 10, 15 over 0-1,000, 1,001-6,000, above 6,000 ft)
// against Univ. of Minnesota Extension 2016 (half-pint 5, 6, 7; pint 10, 11, 12 over 0-1,000,
// 1,001-2,000, 2,001-3,000 ft): the longer of the two for each jar and altitude.
#[test]
fn jam_takes_the_longer_of_two_published_tables() {
    assert_minutes(
        "jams and jellies",
        Pack::Hot,
        Jar::HalfPint,
        &three([5, 10, 15]),
    );
    let pints = [
        (0, 1000, 10),
        (1001, 2000, 11),
        (2001, 3000, 12),
        (3001, 6000, 15),
        (6001, 12_000, 15),
    ];
    assert_minutes("jams and jellies", Pack::Hot, Jar::Pint, &pints);
}

// USDA AIB 539 headspace text (jams 1/4 inch, fruit 1/2 inch) and the products' own tables.
#[test]
fn headspace_is_that_of_the_products_table() {
    let headspace = |product: &str, pack: Pack, jar: Jar| {
        tested(product, pack, jar, Method::BoilingWater, 0)
            .unwrap()
            .headspace_64ths
    };
    for product in ["apple juice", "grape juice", "fruit puree", "apple butter"] {
        assert_eq!(
            headspace(product, Pack::Hot, Jar::Pint),
            16,
            "{product}: 1/4 inch"
        );
    }
    assert_eq!(headspace("jams and jellies", Pack::Hot, Jar::HalfPint), 16);
    for product in [
        "pears",
        "peaches",
        "plums",
        "applesauce",
        "berries",
        "cherries",
        "rhubarb",
    ] {
        assert_eq!(
            headspace(product, Pack::Hot, Jar::Quart),
            32,
            "{product}: 1/2 inch"
        );
    }
    let pears = tested("pears", Pack::Hot, Jar::Pint, Method::BoilingWater, 0).unwrap();
    assert!((pears.headspace_in() - 0.5).abs() < f64::EPSILON);
    assert_eq!(pears.acid, None);
}

//! Every altitude band of the published pickle and vegetable tables.

use putby::trade::{Jar, Method, Pack, tested};

use crate::{assert_dial, assert_minutes, assert_weighted, three};

// Michigan State Univ. Extension Preserving Food Safely 01600865 (Guide 6) quick fresh-pack dill
// pickles.
#[test]
fn fresh_pack_dill_pickles_have_the_published_times() {
    let product = "fresh-pack dill pickles";
    assert_minutes(product, Pack::Raw, Jar::Pint, &three([10, 15, 20]));
    assert_minutes(product, Pack::Raw, Jar::Quart, &three([15, 20, 25]));
    let process = tested(product, Pack::Raw, Jar::Pint, Method::BoilingWater, 0).unwrap();
    assert!(process.acid.unwrap().contains("5%"));
}

// Michigan State Univ. Extension 01600883 green beans (20, 25) and 01600280 corn (55, 85); USDA AIB
// 539 (rev. 1994) Guide 4 Carrots (25, 30). Pressures: PNW 421, low-acid foods.
#[test]
fn green_beans_corn_and_carrots_have_the_published_times() {
    for (product, pint, quart) in [
        ("green beans", 20, 25),
        ("corn", 55, 85),
        ("carrots", 25, 30),
    ] {
        for pack in [Pack::Hot, Pack::Raw] {
            for (jar, minutes) in [(Jar::Pint, pint), (Jar::Quart, quart)] {
                assert_dial(product, pack, jar, minutes, [11, 12, 13, 14]);
                assert_weighted(product, pack, jar, minutes, [10, 15]);
            }
        }
    }
}

// USDA AIB 539 headspace text: low-acid food 1 to 1 1/4 inch; the products' tables print 1 inch.
#[test]
fn vegetables_leave_an_inch_and_need_no_acid() {
    for product in ["green beans", "corn", "carrots"] {
        let process = tested(product, Pack::Raw, Jar::Quart, Method::PressureDial, 0).unwrap();
        assert_eq!(process.headspace_64ths, 64);
        assert_eq!(process.acid, None);
        assert!(!process.sterilise_jars);
    }
}

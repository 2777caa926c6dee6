//! The numbers a day counts with, typed from their publications.

use putby::trade::{
    self, FreezerPack, Jar, Mouth, Pack, Range, boil_up_minutes, canned_best_months, canner_pints,
    canner_quarts, cooling_hours, cut_fruit_holding, depressurise_minutes, depth_over_lids_inches,
    freezer_headspace, freezer_load_pounds, frozen_best_months, loading_water_fahrenheit,
    reprocess_hours, rest_minutes, rule, steam_limit_minutes, sterilise_below_minutes,
    underprocessed_hours, unsealed_in_refrigerator, vent_minutes,
};

#[test]
fn the_embedded_sheets_have_no_fault() {
    assert_eq!(trade::check(), Ok(()));
}

#[test]
fn waits_and_windows_are_those_published() {
    // UF/IFAS Extension FCS8297 footnote: wait five minutes before removing jars.
    assert_eq!(rest_minutes().value, 5);
    assert!(rest_minutes().source.contains("FCS8297"));
    // USDA AIB 539 Cooling jars: 12 to 24 hours.
    assert_eq!(cooling_hours().value, Range { low: 12, high: 24 });
    // Michigan State Univ. Extension 01600593: reprocess within 24 hours.
    assert_eq!(reprocess_hours().value, 24);
    // Univ. of Nebraska-Lincoln Extension, jars that did not seal: within 2 hours.
    assert_eq!(underprocessed_hours().value, 2);
    // Pacific Northwest Extension PNW 421: vent 10 minutes.
    assert_eq!(vent_minutes().value, 10);
    // UF/IFAS Extension FCS8189 footnote: wait 10 minutes, then unfasten the lid.
    assert_eq!(depressurise_minutes().value, 10);
    // Michigan State Univ. Extension 01600948: 20 to 30 minutes to reach a boil.
    assert_eq!(boil_up_minutes().value, Range { low: 20, high: 30 });
}

#[test]
fn storage_times_are_those_published() {
    // Michigan State Univ. Extension 01600943: can what will be used in a year.
    assert_eq!(canned_best_months().value, 12);
    assert!(canned_best_months().source.contains("01600943"));
    // USDA Canning, Freezing, Storing Garden Produce: 8 to 12 months at 0 F.
    assert_eq!(frozen_best_months().value, Range { low: 8, high: 12 });
    // Michigan State Univ. Extension 01600593: several days, without a number.
    assert!(unsealed_in_refrigerator().value.contains("several days"));
    assert!(unsealed_in_refrigerator().source.contains("01600593"));
}

#[test]
fn water_and_capacities_are_those_published() {
    // USDA AIB 539 boiling-water steps: 140 F raw, 180 F hot; 1 inch, 2 inches over 30 minutes.
    assert_eq!(loading_water_fahrenheit(Pack::Raw).value, 140);
    assert_eq!(loading_water_fahrenheit(Pack::Hot).value, 180);
    assert_eq!(depth_over_lids_inches(5).value, 1);
    assert_eq!(depth_over_lids_inches(30).value, 1);
    assert_eq!(depth_over_lids_inches(31).value, 2);
    // Michigan State Univ. Extension 01600948: 7 quarts or 8 to 9 pints.
    assert_eq!(canner_quarts().value, 7);
    assert_eq!(canner_pints().value, Range { low: 8, high: 9 });
    // NCHFP Burning Issue: Using Atmospheric Steam Canners.
    assert_eq!(steam_limit_minutes().value, 45);
    // Michigan State Univ. Extension 01600946.
    assert_eq!(sterilise_below_minutes().value, 10);
    // Univ. of Minnesota Extension: 2 to 3 pounds per cubic foot in 24 hours.
    assert_eq!(freezer_load_pounds().value, Range { low: 2, high: 3 });
}

// NCHFP Headspace to allow between packed food and closure (So Easy to Preserve, 5th ed.).
#[test]
fn freezer_headspace_is_that_published() {
    let inches = |pack, mouth, jar| freezer_headspace(pack, mouth, jar).map(|room| room.value);
    assert_eq!(
        inches(FreezerPack::Liquid, Mouth::Wide, Jar::Pint),
        Some(32)
    );
    assert_eq!(
        inches(FreezerPack::Liquid, Mouth::Wide, Jar::Quart),
        Some(64)
    );
    assert_eq!(
        inches(FreezerPack::Liquid, Mouth::Narrow, Jar::Pint),
        Some(48)
    );
    assert_eq!(
        inches(FreezerPack::Liquid, Mouth::Narrow, Jar::Quart),
        Some(96)
    );
    assert_eq!(
        inches(FreezerPack::Dry, Mouth::Narrow, Jar::Quart),
        Some(32)
    );
    assert_eq!(
        inches(FreezerPack::Juice, Mouth::Wide, Jar::Quart),
        Some(64)
    );
    assert_eq!(
        inches(FreezerPack::Juice, Mouth::Narrow, Jar::Pint),
        Some(96)
    );
    assert_eq!(
        inches(FreezerPack::Liquid, Mouth::Wide, Jar::HalfGallon),
        None
    );
    assert_eq!(
        inches(FreezerPack::Liquid, Mouth::Wide, Jar::HalfPint),
        None
    );
}

// Michigan State Univ. Extension 01600943: 1 teaspoon (3 grams) ascorbic acid per gallon.
#[test]
fn the_holding_solution_for_cut_fruit_is_that_published() {
    let holding = cut_fruit_holding();
    assert!(
        holding
            .value
            .contains("1 tsp (3 g, 3000 mg) ascorbic acid per gallon")
    );
    assert!(holding.source.contains("01600943"));
}

#[test]
fn a_rule_is_found_by_its_id_only() {
    assert_eq!(rule("rest").unwrap().value, "5");
    assert_eq!(rule("no such rule"), None);
    assert!(trade::rules().all(|rule| !rule.source.is_empty()));
}

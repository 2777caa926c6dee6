//! Broken fact sheets: each fault is found, with its line and what to mend.

use putby::trade::{Facts, Sheets};

/// The faults of the embedded sheets with one text in the process sheet replaced.
fn faults_after(from: &str, to: &str) -> String {
    let processes = Sheets::EMBEDDED.processes;
    assert!(processes.contains(from), "nothing to replace: {from}");
    let broken = processes.replace(from, to);
    faults_of(Sheets {
        processes: &broken,
        ..Sheets::EMBEDDED
    })
}

fn faults_of(sheets: Sheets<'_>) -> String {
    Facts::read(sheets)
        .expect_err("the fault must be found")
        .to_string()
}

fn assert_fault(faults: &str, what: &str) {
    assert!(faults.contains(what), "\"{what}\" is not in:\n{faults}");
}

const PEARS: &str = "pears,boiling-water,hot,pint,,";

#[test]
fn unbroken_sheets_pass() {
    assert!(Facts::read(Sheets::EMBEDDED).is_ok());
}

#[test]
fn a_gap_between_bands_is_found_with_its_line() {
    let faults = faults_after(&format!("{PEARS}1001,3000,"), &format!("{PEARS}1002,3000,"));
    assert_fault(&faults, "altitude gap: the band must start at 1001 ft");
    let line = Sheets::EMBEDDED
        .processes
        .lines()
        .position(|line| line.starts_with(&format!("{PEARS}1001,3000,")));
    assert_fault(
        &faults,
        &format!("processes.csv line {}:", line.unwrap() + 1),
    );
}

#[test]
fn an_overlap_of_bands_is_found() {
    let faults = faults_after(&format!("{PEARS}1001,3000,"), &format!("{PEARS}1000,3000,"));
    assert_fault(&faults, "altitude overlap: the band must start at 1001 ft");
}

#[test]
fn a_band_without_end_below_another_is_found() {
    let faults = faults_after(&format!("{PEARS}1001,3000,"), &format!("{PEARS}1001,,"));
    assert_fault(&faults, "follows a band without an upper end");
}

#[test]
fn a_table_that_does_not_start_at_the_sea_is_found() {
    let faults = faults_after(&format!("{PEARS}0,1000,"), &format!("{PEARS}500,1000,"));
    assert_fault(&faults, "the first altitude band must start at 0 ft");
}

#[test]
fn a_time_that_falls_with_altitude_is_found() {
    let faults = faults_after(
        &format!("{PEARS}3001,6000,30"),
        &format!("{PEARS}3001,6000,20"),
    );
    assert_fault(&faults, "minutes fall with altitude");
}

#[test]
fn a_pressure_that_falls_with_altitude_is_found() {
    let dial = "pears,pressure-dial,hot,pint,,2001,4000,10,";
    let faults = faults_after(&format!("{dial}7"), &format!("{dial}5"));
    assert_fault(&faults, "psi falls with altitude");
}

#[test]
fn a_larger_jar_with_a_shorter_time_is_found() {
    let quart = "pears,boiling-water,hot,quart,,0,1000,";
    let faults = faults_after(&format!("{quart}25"), &format!("{quart}15"));
    assert_fault(&faults, "is shorter or at less psi than the pint");
}

#[test]
fn a_unit_in_a_number_is_found() {
    let faults = faults_after(
        &format!("{PEARS}0,1000,20"),
        &format!("{PEARS}0,1000,20 min"),
    );
    assert_fault(
        &faults,
        "minutes \"20 min\" must be a whole number without a unit",
    );
    let faults = faults_after(
        "pears,boiling-water,hot,pint,,0,1000,20,,0.5",
        "pears,boiling-water,hot,pint,,0,1000,20,,1.3 cm",
    );
    assert_fault(&faults, "headspace_in must be inches");
}

#[test]
fn unknown_methods_packs_jars_and_confidences_are_found() {
    let row = format!("{PEARS}0,1000");
    for (broken, what) in [
        ("pears,oven,hot,pint,,0,1000", "unknown method \"oven\""),
        (
            "pears,boiling-water,cold,pint,,0,1000",
            "unknown pack \"cold\"",
        ),
        (
            "pears,boiling-water,hot,gallon,,0,1000",
            "unknown jar \"gallon\"",
        ),
        (
            "pears,boiling-water,hot,pint,low,0,1000",
            "unknown option \"low\"",
        ),
    ] {
        assert_fault(&faults_after(&row, broken), what);
    }
    assert_fault(
        &faults_after(",read,", ",heard,"),
        "unknown confidence \"heard\"",
    );
}

#[test]
fn a_row_from_memory_is_found() {
    assert_fault(
        &faults_after(",read,", ",memory,"),
        "numbers from memory may not set a process",
    );
}

#[test]
fn a_row_without_a_source_is_found() {
    let source =
        "USDA Complete Guide to Home Canning AIB 539 (rev. 1994 text) Guide 2 Pears Table 1";
    let faults = faults_after(&format!(",{source},"), ",,");
    assert_fault(&faults, "has no source");
}

#[test]
fn a_steam_row_that_is_not_the_boiling_water_row_or_too_long_is_found() {
    let steam = "pears,steam,hot,pint,,0,1000,";
    let faults = faults_after(&format!("{steam}20"), &format!("{steam}15"));
    assert_fault(&faults, "must have the minutes of the boiling-water row");
    let quarts = "peaches,steam,raw,quart,,5001,,";
    let faults = faults_after(&format!("{quarts}45"), &format!("{quarts}50"));
    assert_fault(&faults, "is longer than a steam canner may run");
}

#[test]
fn a_pressure_row_without_pressure_is_found() {
    let dial = "pears,pressure-dial,hot,pint,,0,2000,10,";
    let faults = faults_after(&format!("{dial}6"), dial);
    assert_fault(&faults, "psi belongs in every pressure row");
}

#[test]
fn two_processes_for_one_question_without_named_options_are_found() {
    let faults = faults_after(
        "tomato sauce,pressure-dial,hot,pint,lower-pressure,",
        "tomato sauce,pressure-dial,hot,pint,,",
    );
    assert_fault(&faults, "must name this one's option");
}

#[test]
fn a_low_acid_food_in_boiling_water_is_found() {
    let faults = faults_after("corn,pressure-dial,", "corn,boiling-water,");
    assert_fault(&faults, "low-acid food may have pressure processes only");
}

#[test]
fn tomatoes_without_acid_are_found() {
    let faults = faults_after(",1 tbsp bottled lemon juice or 1/4 tsp citric acid,", ",,");
    assert_fault(&faults, "acid must be filled in for an acidified product");
}

#[test]
fn a_product_that_is_not_named_in_its_sheet_is_found() {
    assert_fault(
        &faults_after("\npears,", "\nquinces,"),
        "\"quinces\" is no name in products.csv",
    );
    assert_fault(
        &faults_after("\npears,", "\nquinces,"),
        "\"pears\" of products.csv has no process",
    );
}

#[test]
fn a_wrong_heading_or_a_short_line_is_found() {
    assert_fault(
        &faults_after("altitude_from_ft", "from"),
        "the heading must be exactly",
    );
    assert_fault(
        &faults_after(&format!("{PEARS}0,1000"), "pears"),
        "a line cannot be read",
    );
}

#[test]
fn every_fault_is_told_at_once() {
    let broken = Sheets::EMBEDDED
        .processes
        .replace(&format!("{PEARS}1001,3000,"), &format!("{PEARS}1002,3000,"))
        .replace("plums,steam,", "plums,vapour,");
    let error = Facts::read(Sheets {
        processes: &broken,
        ..Sheets::EMBEDDED
    })
    .unwrap_err();
    assert!(error.list().len() > 10, "{error}");
    assert_fault(&error.to_string(), "altitude gap");
    assert_fault(&error.to_string(), "unknown method \"vapour\"");
}

#[test]
fn a_name_that_belongs_to_two_products_is_found() {
    let products = Sheets::EMBEDDED
        .products
        .replace("pear halves", "peach halves");
    let faults = faults_of(Sheets {
        products: &products,
        ..Sheets::EMBEDDED
    });
    assert_fault(&faults, "\"peach halves\" is already a name");
    let refusals = Sheets::EMBEDDED
        .refusals
        .replace("\npumpkin butter,", "\napple butter,");
    let faults = faults_of(Sheets {
        refusals: &refusals,
        ..Sheets::EMBEDDED
    });
    assert_fault(&faults, "\"apple butter\" is already a name");
}

#[test]
fn a_rule_that_is_missing_or_no_number_is_found() {
    let rules = Sheets::EMBEDDED.rules.replace("\nrest,", "\nresting,");
    let faults = faults_of(Sheets {
        rules: &rules,
        ..Sheets::EMBEDDED
    });
    assert_fault(&faults, "the rule \"rest\" is missing");
    let rules = Sheets::EMBEDDED
        .rules
        .replace("\ncool-time,cooling,12-24,", "\ncool-time,cooling,12,");
    let faults = faults_of(Sheets {
        rules: &rules,
        ..Sheets::EMBEDDED
    });
    assert_fault(&faults, "the value of \"cool-time\" must be a range");
}

#[test]
fn a_yield_that_is_no_amount_is_found() {
    let yields = Sheets::EMBEDDED.yields.replace(",17.5,", ",17.5 lb,");
    let faults = faults_of(Sheets {
        yields: &yields,
        ..Sheets::EMBEDDED
    });
    assert_fault(&faults, "must be a number above 0");
}

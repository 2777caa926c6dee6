//! The trade's facts with their sources: tested processes, yields, rules and produce.
//!
//! For looking up what a publication states, exactly as it states it. Not for the day's flow, and
//! not a medical or legal authority: the tested recipe and the extension service go before it.
//! Invariant: nothing here is interpolated, guessed or taken from memory; a missing row is a
//! refusal, never a neighbouring value. No input or output, no clock, no floating-point minutes.

mod altitude;
mod faults;
mod freezer;
mod lookup;
mod measure;
mod near_names;
mod no_tested_process;
mod numbers;
mod process_check;
mod process_sheet;
mod product_sheet;
mod rule_sheet;
mod sheets;
mod terms;
mod tested_process;
mod yield_sheet;

pub use altitude::{HIGHEST_ALTITUDE_FT, Metres};
pub use faults::{FactFaults, Fault};
pub use freezer::freezer_headspace;
pub use lookup::{list, options, tested};
pub use measure::{hundredths_text, sixty_fourths_text};
pub use no_tested_process::NoTestedProcess;
pub use numbers::{
    Range, Sourced, boil_up_minutes, canned_best_months, canner_pints, canner_quarts,
    cooling_hours, cut_fruit_holding, depressurise_minutes, depth_over_lids_inches,
    freezer_load_pounds, frozen_best_months, loading_water_fahrenheit, reprocess_hours,
    rest_minutes, steam_limit_minutes, sterilise_below_minutes, underprocessed_hours,
    unsealed_in_refrigerator, vent_minutes,
};
pub use process_sheet::{Band, Table};
pub use product_sheet::{Acidity, Product, RefusedProduct};
pub use rule_sheet::Rule;
pub use sheets::{Facts, Sheets, check};
pub(crate) use terms::list_words;
pub use terms::{Confidence, FreezerPack, Jar, Method, Mouth, Pack, PressureOption, UnknownTerm};
pub use tested_process::TestedProcess;
pub use yield_sheet::{Produce, Yield};

/// The rule of the trade with this id (`rest`, `jar-smaller`, ...), with its source.
pub fn rule(id: &str) -> Option<&'static Rule> {
    sheets::facts().rules.get(id)
}

/// Every rule of the trade, in the order of their ids.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    sheets::facts().rules.values()
}

/// Published yields: pounds per quart, per load and quarts per container, each with its source.
pub fn yields() -> &'static [Yield] {
    &sheets::facts().yields
}

/// What comes in by the box: its products, container weight and whether cut pieces darken.
pub fn produce() -> &'static [Produce] {
    &sheets::facts().produce
}

/// The products that have a tested process here, with aliases and cautions.
pub fn products() -> &'static [Product] {
    &sheets::facts().products
}

/// The product with this name or listed alias; letter case and extra spaces do not matter.
pub fn product(name: &str) -> Option<&'static Product> {
    sheets::facts().product(name)
}

//! What a lead sets up: stations, helpers, products with their routes, lots, supplies, house rules.
//!
//! These are definitions, not state: they say what a station is, not who sits there. They arrive in
//! commands, are checked by [`super::check_plan`] and stay in events unchanged.

use super::amount::{Amount, Measure, Ratio};
use super::ids::*;
use super::time::Timestamp;
use crate::trade::{Jar, Method, Pack};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Everything a day needs to begin. `carried` is what an earlier day left standing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DayPlan {
    /// What the family calls the day.
    pub name: String,
    /// The civil date, `YYYY-MM-DD`.
    pub date: String,
    /// When work must be over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_off_at: Option<Timestamp>,
    /// Height of the kitchen above sea level in feet. Without it no load can be built.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub altitude_ft: Option<i32>,
    /// Pounds of trimmings after which the scraps bucket must go out.
    #[serde(default = "bucket_lb_usual")]
    pub scraps_bucket_lb: Amount,
    /// What the household allows at which age.
    #[serde(default = "AgeRules::usual")]
    pub age_rules: AgeRules,
    /// Scarce things that stations share.
    #[serde(default)]
    pub resources: BTreeMap<ResourceId, Resource>,
    /// The stations.
    #[serde(default)]
    pub stations: BTreeMap<StationId, Station>,
    /// The supplies.
    #[serde(default)]
    pub supplies: BTreeMap<SupplyId, Supply>,
    /// What is to be made.
    #[serde(default)]
    pub products: BTreeMap<ProductId, Product>,
    /// The people.
    #[serde(default)]
    pub helpers: BTreeMap<HelperId, Helper>,
    /// The fruit.
    #[serde(default)]
    pub lots: BTreeMap<LotId, Lot>,
    /// What stood in bowls, pots and jars when an earlier day closed.
    #[serde(default)]
    pub carried: Vec<Carried>,
}

/// Common practice, no source: a kitchen bucket of trimmings is about ten pounds.
fn bucket_lb_usual() -> Amount {
    Amount::whole(10)
}

/// The kind of work, for its picture, its cautions and what a helper likes.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// Rinse and sort.
    Wash,
    /// Dip in boiling water to loosen skins.
    Scald,
    /// Take skins off.
    Peel,
    /// Halve, core, pit, slice.
    Slice,
    /// Cook down.
    Cook,
    /// Press through a mill or sieve.
    Strain,
    /// Fill jars, wipe rims, set lids.
    Fill,
    /// Process jars in a canner.
    Process,
    /// Let jars cool untouched.
    Cool,
    /// Fill freezer bags or tubs.
    Bag,
    /// Freeze.
    Freeze,
    /// Wash jars, dishes, floor.
    Clean,
    /// Any other work the lead names.
    Other,
}

/// What a station asks of whoever sits there.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[schemars(transform = crate::trade::list_words)]
pub enum Need {
    /// Sharp tools.
    Blade,
    /// Hot liquid, steam or a flame.
    Heat,
    /// Lifting what a child must not carry.
    Lifting,
    /// Work a child does only with a grown-up beside.
    AdultBeside,
}

impl Need {
    /// Every need.
    pub const ALL: [Need; 4] = [Need::Blade, Need::Heat, Need::Lifting, Need::AdultBeside];

    /// What it means, in words that follow "needs".
    pub fn words(self) -> &'static str {
        match self {
            Need::Blade => "sharp blades",
            Need::Heat => "heat",
            Need::Lifting => "lifting",
            Need::AdultBeside => "a grown-up beside",
        }
    }
}

/// What the household says to a need at an age.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Free to do it.
    Allowed,
    /// Only with a named adult within reach.
    WithAdult,
    /// Not at all.
    Never,
}

/// From this age on (to the next band), this verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AgeBand {
    /// Completed years.
    pub from_age: u8,
    /// The household's word.
    pub verdict: Verdict,
}

/// The household's own rule for ages: for each need, bands that begin at age 0.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct AgeRules(pub BTreeMap<Need, Vec<AgeBand>>);

/// The age from which somebody counts as an adult.
pub const ADULT_AGE: u8 = 18;

impl AgeRules {
    /// A careful starting rule, after the age bands of fire-service and child-safety guidance
    /// (under ten no stove and no sharp tools; lifting of hot jars for the nearly grown).
    pub fn usual() -> AgeRules {
        use Verdict::{Allowed, Never, WithAdult};
        let bands = |list: &[(u8, Verdict)]| {
            let band = |&(from_age, verdict): &(u8, Verdict)| AgeBand { from_age, verdict };
            list.iter().map(band).collect()
        };
        AgeRules(BTreeMap::from([
            (
                Need::Blade,
                bands(&[(0, Never), (9, WithAdult), (13, Allowed)]),
            ),
            (
                Need::Heat,
                bands(&[(0, Never), (13, WithAdult), (16, Allowed)]),
            ),
            (
                Need::Lifting,
                bands(&[(0, Never), (13, WithAdult), (16, Allowed)]),
            ),
            (Need::AdultBeside, bands(&[(0, WithAdult), (13, Allowed)])),
        ]))
    }

    /// The verdict for a need at an age. A need the household has no rule for is for adults only.
    pub fn verdict(&self, need: Need, age: u8) -> Verdict {
        let bands = self.0.get(&need).map_or(&[][..], Vec::as_slice);
        let band = bands.iter().rev().find(|band| band.from_age <= age);
        match band {
            Some(band) => band.verdict,
            None if age >= ADULT_AGE => Verdict::Allowed,
            None => Verdict::Never,
        }
    }
}

/// Something scarce that stations share.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Resource {
    /// What it is called.
    pub name: String,
    /// How many there are.
    pub count: u32,
}

/// A place where one kind of work is done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Station {
    /// What it is called.
    pub name: String,
    /// The kind of work.
    pub work: Work,
    /// How it works by nature.
    pub nature: Nature,
    /// Places for helpers.
    pub seats: u32,
    /// What it asks of them.
    #[serde(default)]
    pub needs: BTreeSet<Need>,
    /// What it takes of the shared things while it runs: a hand station while somebody sits there,
    /// each pot while it cooks, a canner from heating until the heat is off.
    #[serde(default)]
    pub occupies: BTreeMap<ResourceId, u32>,
    /// Whether it stands ready at the start of the day; stations that share a table take turns.
    #[serde(default = "yes")]
    pub set_up: bool,
}

fn yes() -> bool {
    true
}

/// How a station works.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(
    tag = "is",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
pub enum Nature {
    /// People set the pace.
    Hand {},
    /// Pots that cook what is put in.
    Vessel {
        /// The pots.
        pots: BTreeMap<PotId, Pot>,
        /// How often to stir; `None` when it needs no stirring.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stir: Option<Stirring>,
    },
    /// Jars processed in loads, in one canner or several of one method.
    Canner {
        /// By which method.
        method: Method,
        /// The canners.
        canners: BTreeMap<CannerId, Canner>,
    },
    /// Things stand here for a time.
    Hold {
        /// How much fits, in the measure of what stands here; `None` for no limit.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        capacity: Option<Amount>,
    },
}

/// One pot or roaster.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pot {
    /// What it is called.
    pub name: String,
    /// How much it takes, for each measure it may be filled by.
    pub takes: BTreeMap<Measure, Amount>,
}

/// One canner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Canner {
    /// What it is called.
    pub name: String,
    /// How many jars of each size one load takes.
    pub holds: BTreeMap<Jar, u32>,
}

/// Minutes between stirs, shorter as the pot thickens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stirring {
    /// While thin.
    pub thin_min: u32,
    /// Once half the volume is gone.
    pub half_min: u32,
    /// At the last, when it scorches easily.
    pub thick_min: u32,
}

impl Stirring {
    /// The interval at a stage, in minutes.
    pub fn interval_min(self, stage: Thickness) -> u32 {
        match stage {
            Thickness::Thin => self.thin_min,
            Thickness::Half => self.half_min,
            Thickness::Thick => self.thick_min,
        }
    }
}

/// How far a pot has cooked down.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Thickness {
    /// Still runs.
    Thin,
    /// About half reduced.
    Half,
    /// Mounds on a spoon; never leave it.
    Thick,
}

/// A person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Helper {
    /// What they are called.
    pub name: String,
    /// Their picture sign, by name.
    #[serde(default)]
    pub sign: String,
    /// Completed years.
    pub age: u8,
    /// What this person must not be asked to do, beyond the rule for ages.
    #[serde(default)]
    pub limits: BTreeSet<Need>,
    /// Work they like.
    #[serde(default)]
    pub likes: BTreeSet<Work>,
    /// Whether they are in the kitchen from the start; `false` for somebody expected later.
    #[serde(default = "yes")]
    pub here: bool,
}

impl Helper {
    /// Whether this person counts as an adult.
    pub fn is_adult(&self) -> bool {
        self.age >= ADULT_AGE
    }
}

/// What fruit becomes, in one package size, and the way it takes there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Product {
    /// What it is called: "pear halves, quarts".
    pub name: String,
    /// The produce it is made of: "pears". A lot of the same produce can be opened for it.
    pub produce: String,
    /// Other produce that may go into it: soft pears into plum purée.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub also_of: BTreeSet<String>,
    /// What it ends in.
    pub ends_in: Ending,
    /// The stations it passes, in order; each station at most once.
    pub route: Vec<Step>,
    /// Packages wanted, in whole packages; for progress only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wanted: Option<Amount>,
}

impl Product {
    /// Whether it may hold this produce.
    pub fn may_hold(&self, produce: &str) -> bool {
        self.produce == produce || self.also_of.contains(produce)
    }

    /// Every produce it may hold.
    pub fn all_produce(&self) -> impl Iterator<Item = &String> {
        std::iter::once(&self.produce).chain(&self.also_of)
    }
}

/// What a route ends in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(
    tag = "as",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
pub enum Ending {
    /// Jars for the shelf: they pass a canner by a tested process.
    Canned {
        /// The food as the tested process names it.
        food: String,
        /// How it is packed.
        pack: Pack,
        /// The jar.
        jar: Jar,
    },
    /// Packages for the freezer.
    Frozen {
        /// Bag or tub.
        package: Measure,
    },
    /// To be eaten now or given away.
    Fresh {
        /// What it is counted in.
        package: Measure,
    },
    /// A supply that other work draws on, as clean hot jars.
    Stocked {
        /// Which supply.
        supply: SupplyId,
        /// What the stock is counted in.
        package: Measure,
    },
    /// Nothing of its own: every way out of the route goes on to other products.
    Shared {},
}

impl Ending {
    /// What finished packages are counted in; `None` for a shared route.
    pub fn package(&self) -> Option<Measure> {
        match self {
            Ending::Canned { .. } => Some(Measure::Jar),
            Ending::Frozen { package }
            | Ending::Fresh { package }
            | Ending::Stocked { package, .. } => Some(*package),
            Ending::Shared {} => None,
        }
    }
}

/// One stop of a route.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Where.
    pub station: StationId,
    /// What it is counted in while it waits here.
    pub measure: Measure,
    /// What one tap stands for.
    pub carrier: Carrier,
    /// What goes on for what is taken.
    #[serde(default = "ratio_one")]
    pub yields: Ratio,
    /// Pounds of trimmings for what is taken.
    #[serde(default = "ratio_none")]
    pub trims_lb: Ratio,
    /// What each unit that goes on draws from the supplies: one lid for a jar.
    #[serde(default)]
    pub draws: BTreeMap<SupplyId, Amount>,
    /// Minutes a pot of it cooks here, as the recipe says; only for a vessel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cook_min: Option<u32>,
    /// Where what is made goes on to. Empty: the next step of this route, or finished after the
    /// last. Several: the way splits by weight.
    #[serde(default)]
    pub onward: Vec<Branch>,
}

fn ratio_one() -> Ratio {
    Ratio::ONE
}

fn ratio_none() -> Ratio {
    Ratio::NONE
}

/// What is carried between stations.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Carrier {
    /// What it is called: bowl, pot, tray, jar.
    pub name: String,
    /// How much it holds, in the measure of the step.
    pub holds: Amount,
}

/// One way out of a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Branch {
    /// Which product it becomes.
    pub product: ProductId,
    /// At which station of that product's route it joins.
    pub station: StationId,
    /// Its share against the other branches.
    pub weight: u32,
}

/// An amount of one produce that came in together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lot {
    /// What it is called: "Hill orchard, early".
    pub name: String,
    /// Which produce.
    pub produce: String,
    /// What it is counted in.
    pub measure: Measure,
    /// How much came in.
    pub amount: Amount,
    /// How much one box holds.
    pub box_holds: Amount,
}

/// A supply that work draws on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Supply {
    /// What it is called: "clean hot quart jars".
    pub name: String,
    /// What one of it is called: "jar", "lid", "tbsp".
    pub unit: String,
    /// How much there is at the start.
    pub stock: Amount,
    /// At or below this the board asks for more.
    #[serde(default)]
    pub low_at: Amount,
}

/// What stood somewhere when an earlier day closed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Carried {
    /// The station it waits at.
    pub station: StationId,
    /// What it is to become.
    pub product: ProductId,
    /// Which lot it is of.
    pub lot: LotId,
    /// How much.
    pub amount: Amount,
    /// Since when it has stood: its age goes on.
    pub since: Timestamp,
}

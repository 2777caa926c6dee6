//! What can be made in a random kitchen, and how fast people are at it by the figures of the trade.
//!
//! The figures are written down here a second time, in their own units, so that what the program
//! expects of people is checked against them and not against itself.

use putby::day::plan::Need;

/// How a station of a route works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Hands,
    Pots,
    Canner,
    Rack,
}

/// Work at a station.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    pub id: &'static str,
    pub work: &'static str,
    pub kind: Kind,
    pub needs: &'static [Need],
    /// Whether people there need a burner.
    pub hot: bool,
}

const fn hands(id: &'static str, work: &'static str, needs: &'static [Need], hot: bool) -> Place {
    Place {
        id,
        work,
        kind: Kind::Hands,
        needs,
        hot,
    }
}

/// Every station a kitchen may have.
pub const PLACES: &[Place] = &[
    hands("wash", "wash", &[Need::AdultBeside], false),
    hands("pare", "slice", &[Need::Blade], false),
    hands("skin", "scald", &[Need::Heat], true),
    hands("slice", "slice", &[Need::Blade], false),
    hands("pit", "slice", &[Need::Blade], false),
    Place {
        id: "soften",
        work: "cook",
        kind: Kind::Pots,
        needs: &[Need::Heat],
        hot: true,
    },
    hands("strain", "strain", &[Need::AdultBeside], false),
    hands("fill", "fill", &[Need::Heat], true),
    hands("bag", "bag", &[Need::AdultBeside], false),
    Place {
        id: "canner",
        work: "process",
        kind: Kind::Canner,
        needs: &[Need::Heat, Need::Lifting],
        hot: true,
    },
    Place {
        id: "rack",
        work: "cool",
        kind: Kind::Rack,
        needs: &[],
        hot: false,
    },
];

pub fn place(id: &str) -> &'static Place {
    let found = PLACES.iter().find(|place| place.id == id);
    found.unwrap_or_else(|| panic!("no place {id}"))
}

/// One stop of a route.
#[derive(Debug, Clone, Copy)]
pub struct Stage {
    pub place: &'static str,
    pub measure: &'static str,
    /// What a carrier holds, in thousandths.
    pub holds: i64,
    /// What is promised of it: made from.
    pub yields: (i64, i64),
    /// An hour's work in carriers, of an adult, a teen, a child from 9 on and a younger one: the
    /// middle of the usual ranges for households (common practice, no source). 0 where it is not
    /// hands that work.
    pub an_hour: [f64; 4],
    /// Whether what comes of it is not sure.
    pub unsure: bool,
}

/// Something to make.
#[derive(Debug, Clone, Copy)]
pub struct Route {
    pub id: &'static str,
    pub produce: &'static str,
    /// As canned or frozen: food, jar; `None` for the freezer.
    pub canned: Option<(&'static str, &'static str)>,
    pub stages: &'static [Stage],
    /// Pounds for a package, by the published yields.
    pub lb_each: f64,
    pub box_lb: i64,
    pub cook_min: u32,
}

const fn stage(
    place: &'static str,
    measure: &'static str,
    holds: i64,
    yields: (i64, i64),
    an_hour: [f64; 4],
) -> Stage {
    Stage {
        place,
        measure,
        holds,
        yields,
        an_hour,
        unsure: false,
    }
}

const fn unsure(stage: Stage) -> Stage {
    Stage {
        unsure: true,
        ..stage
    }
}

const ONE: (i64, i64) = (1000, 1000);
const NOBODY: [f64; 4] = [0.0; 4];
/// A colander of three pounds, at 90, 75, 45 and 22 to 28 pounds an hour.
const WASH: Stage = stage("wash", "lb", 3000, ONE, [30.0, 25.0, 15.0, 9.0]);
const JARS: [Stage; 2] = [
    stage("canner", "jar", 1000, ONE, NOBODY),
    stage("rack", "jar", 1000, ONE, NOBODY),
];
/// A pint at 20 to 30, 15 to 25, about 10 and 5 quarts an hour.
const PINTS: Stage = stage("fill", "qt", 500, (1000, 500), [50.0, 40.0, 20.0, 10.0]);

/// Everything a kitchen may make. Yields are the published ones: 2.5 pounds of pears or peaches
/// and 2 pounds of plums for a quart.
pub const ROUTES: &[Route] = &[
    Route {
        id: "pears-quart",
        produce: "pears",
        canned: Some(("pears", "quart")),
        // Bowls of 1.25 lb at 13, 9.5, 6 and 3 pounds an hour.
        stages: &[
            WASH,
            unsure(stage(
                "pare",
                "lb",
                1250,
                (1000, 2500),
                [10.4, 7.6, 4.8, 2.4],
            )),
            stage("fill", "qt", 1000, ONE, [25.0, 20.0, 10.0, 5.0]),
            JARS[0],
            JARS[1],
        ],
        lb_each: 2.5,
        box_lb: 25,
        cook_min: 0,
    },
    Route {
        id: "peaches-pint",
        produce: "peaches",
        canned: Some(("peaches", "pint")),
        // Bowls of 2 lb: skins at about 20 pounds an hour, slices at 19.5, 14, 10 and 5.
        stages: &[
            WASH,
            stage("skin", "lb", 2000, (950, 1000), [10.0, 9.0, 7.5, 3.75]),
            unsure(stage(
                "slice",
                "lb",
                2000,
                (4500, 10450),
                [9.75, 7.0, 5.0, 2.5],
            )),
            PINTS,
            JARS[0],
            JARS[1],
        ],
        lb_each: 1.222,
        box_lb: 24,
        cook_min: 0,
    },
    Route {
        id: "plums-pint",
        produce: "plums",
        canned: Some(("plums", "pint")),
        // Bowls of 2 lb at 20, 15, 8 and 6 pounds an hour.
        stages: &[
            WASH,
            unsure(stage(
                "pit",
                "lb",
                2000,
                (1000, 2000),
                [10.0, 7.5, 4.0, 3.0],
            )),
            PINTS,
            JARS[0],
            JARS[1],
        ],
        lb_each: 1.0,
        box_lb: 28,
        cook_min: 0,
    },
    Route {
        id: "puree-pint",
        produce: "plums",
        canned: Some(("fruit puree", "pint")),
        // A quart through the mill at 22.5, 20, 15 and 10 an hour.
        stages: &[
            WASH,
            unsure(stage(
                "pit",
                "lb",
                2000,
                (1000, 2000),
                [10.0, 7.5, 4.0, 3.0],
            )),
            unsure(stage("soften", "qt", 6000, (900, 1000), NOBODY)),
            unsure(stage(
                "strain",
                "qt",
                1000,
                (850, 1000),
                [22.5, 20.0, 15.0, 10.0],
            )),
            PINTS,
            JARS[0],
            JARS[1],
        ],
        lb_each: 1.307,
        box_lb: 28,
        cook_min: 25,
    },
    Route {
        id: "plums-frozen",
        produce: "plums",
        canned: None,
        // Quart bags as quarts.
        stages: &[
            WASH,
            unsure(stage(
                "pit",
                "lb",
                2000,
                (1000, 2000),
                [10.0, 7.5, 4.0, 3.0],
            )),
            stage("bag", "qt", 1000, ONE, [25.0, 20.0, 10.0, 5.0]),
        ],
        lb_each: 2.0,
        box_lb: 28,
        cook_min: 0,
    },
];

/// 0 adult, 1 teen, 2 child from 9 on, 3 younger.
pub fn band(age: u8) -> usize {
    match age {
        18.. => 0,
        13..=17 => 1,
        9..=12 => 2,
        0..=8 => 3,
    }
}

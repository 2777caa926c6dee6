//! The ways fruit takes before it is filled, and the stations of a kitchen.

use super::ask::Ask;
use crate::day::amount::{Amount, Measure, Ratio};
use crate::day::ids::*;
use crate::day::plan::*;
use crate::trade::Method;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// Whether fruit stays in pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// Halves, slices, whole.
    Pieces,
    /// Cooked soft and strained, minutes in the pot.
    Cooked {
        /// As recipes usually say (common practice, no source): the lead sets the recipe's own.
        minutes: u32,
    },
}

impl Form {
    /// What becomes of fruit for a food.
    pub fn of(food: &str) -> Form {
        let minutes = match food {
            "apple butter" => 480,
            "tomato sauce" => 90,
            "jams and jellies" => 40,
            "fruit puree" | "applesauce" | "apple juice" | "grape juice" | "tomato juice"
            | "berry syrup" => 25,
            food if food.contains("puree") || food.contains("purée") => 25,
            _ => return Form::Pieces,
        };
        Form::Cooked { minutes }
    }
}

/// The ready kitchen that days are built on, as changed by the ask.
#[derive(Debug)]
pub struct Kitchen {
    ready: DayPlan,
    methods: BTreeMap<Method, StationId>,
}

#[derive(Deserialize)]
struct Ready {
    plan: DayPlan,
}

/// The station for produce that has no way of its own.
const MAKE_READY: &str = "make-ready";

impl Kitchen {
    /// The kitchen of an ask; `None` when the ready kitchen cannot be read, which a test rules out.
    pub fn of(ask: &Ask) -> Option<Kitchen> {
        let text = include_str!("../../fixtures/kitchens/family-kitchen.json");
        let ready = serde_json::from_str::<Ready>(text).ok()?.plan;
        let mut kitchen = Kitchen {
            ready,
            methods: BTreeMap::new(),
        };
        kitchen.put_canners(ask)?;
        kitchen.put_pots(ask)?;
        let make_ready = Station {
            name: "Make ready".to_owned(),
            ..kitchen.ready.stations.get(&station("pit")?)?.clone()
        };
        kitchen
            .ready
            .stations
            .insert(station(MAKE_READY)?, make_ready);
        Some(kitchen)
    }

    fn put_canners(&mut self, ask: &Ask) -> Option<()> {
        let usual = self.ready.stations.remove(&station("canners")?)?;
        for (id, there) in &ask.kitchen.canners {
            let place = canners_of(there.method)?;
            let made = self.ready.stations.entry(place.clone()).or_insert(Station {
                name: match there.method {
                    Method::BoilingWater => usual.name.clone(),
                    Method::Steam => "Steam canners".to_owned(),
                    Method::PressureDial | Method::PressureWeighted => {
                        "Pressure canners".to_owned()
                    }
                },
                nature: Nature::Canner {
                    method: there.method,
                    canners: BTreeMap::new(),
                },
                ..usual.clone()
            });
            if let Nature::Canner { canners, .. } = &mut made.nature {
                let canner = Canner {
                    name: there.name.clone(),
                    holds: there.holds.clone(),
                };
                canners.insert(id.clone(), canner);
            }
            self.methods.insert(there.method, place);
        }
        Some(())
    }

    /// A pot is filled to three quarters (common practice), and takes ten pounds for twelve quarts.
    fn put_pots(&mut self, ask: &Ask) -> Option<()> {
        let soften = self.ready.stations.get_mut(&station("soften")?)?;
        if let Nature::Vessel { pots, .. } = &mut soften.nature {
            *pots = ask
                .kitchen
                .pots
                .iter()
                .map(|(id, there)| {
                    let takes = BTreeMap::from([
                        (Measure::Lb, Amount(there.quarts.0 * 10 / 12)),
                        (Measure::Qt, Amount(there.quarts.0 * 3 / 4)),
                    ]);
                    let pot = Pot {
                        name: there.name.clone(),
                        takes,
                    };
                    (id.clone(), pot)
                })
                .collect();
        }
        Some(())
    }

    /// Where jars are processed by a method.
    pub fn canners(&self, method: Method) -> Option<StationId> {
        self.methods.get(&method).cloned()
    }

    /// From the box to prepared quarts: so many of so many pounds.
    pub fn way(
        &self,
        produce: &str,
        form: Form,
        (quarts, pounds): (Amount, Amount),
    ) -> Option<Vec<Step>> {
        let like = match (form, produce) {
            (Form::Pieces, "pears" | "apples") => "pears-quart",
            (Form::Pieces, "peaches") => "peaches-pint",
            (Form::Pieces | Form::Cooked { .. }, _) => "plum-puree",
        };
        let like = self.ready.products.get(&ProductId::try_from(like).ok()?)?;
        let mut route: Vec<Step> = like.route.clone();
        let stones = matches!(produce, "plums" | "cherries");
        match form {
            Form::Pieces => {
                route.retain(|step| is_before_filling(step.station.as_str()));
            }
            Form::Cooked { minutes } => {
                for step in &mut route {
                    if step.cook_min.is_some() {
                        step.cook_min = Some(minutes);
                    }
                }
            }
        }
        for step in &mut route {
            step.onward.clear();
            if step.station.as_str() == "pit" && !stones {
                step.station = station(MAKE_READY)?;
            }
        }
        give(&mut route, quarts, pounds)?;
        self.fill_pots(&mut route);
        Some(route)
    }

    /// One tap is a pot of the largest size that is there.
    fn fill_pots(&self, route: &mut [Step]) {
        for step in route {
            let place = self.ready.stations.get(&step.station);
            if let Some(Nature::Vessel { pots, .. }) = place.map(|place| &place.nature) {
                let takes = pots.values().filter_map(|pot| pot.takes.get(&step.measure));
                if let Some(most) = takes.max() {
                    step.carrier.holds = *most;
                }
            }
        }
    }

    /// Puts the stations that are used into a day, and what they share.
    pub fn furnish(self, plan: &mut DayPlan, used: &BTreeSet<StationId>, ask: &Ask) {
        plan.scraps_bucket_lb = self.ready.scraps_bucket_lb;
        plan.resources = self.ready.resources;
        for (id, resource) in &mut plan.resources {
            if id.as_str() == "burner" {
                resource.count = ask.kitchen.burners;
            }
        }
        let stations = self.ready.stations.into_iter();
        plan.stations = stations.filter(|(id, _)| used.contains(id)).collect();
        for place in plan.stations.values_mut() {
            // A rack or a freezer that is too small is the family's to see; the plan asks for none.
            if let Nature::Hold { capacity } = &mut place.nature {
                *capacity = None;
            }
        }
        let shared: BTreeSet<ResourceId> = plan
            .stations
            .values()
            .flat_map(|place| place.occupies.keys().cloned())
            .collect();
        plan.resources.retain(|id, _| shared.contains(id));
    }
}

/// The station of the canners of a method.
pub fn canners_of(method: Method) -> Option<StationId> {
    match method {
        Method::BoilingWater => station("canners"),
        method => station(&format!("canners-{method}")),
    }
}

/// Steps on fruit in pieces come before the pot and the jar.
fn is_before_filling(station: &str) -> bool {
    matches!(
        station,
        "wash" | "pit" | "pare" | "scald" | "skin" | "slice"
    )
}

/// Sets the yield where pounds become quarts, so that the whole way gives so many of so many.
fn give(route: &mut [Step], quarts: Amount, pounds: Amount) -> Option<()> {
    let turns = route.iter().rposition(|step| step.measure == Measure::Lb)?;
    let before = route[..turns]
        .iter()
        .fold((1.0, 1.0), |(made, from), step| {
            (
                made * step.yields.made as f64,
                from * step.yields.from as f64,
            )
        });
    let pounds_there = pounds.0 as f64 * before.0 / before.1;
    let mut ratio = Ratio {
        made: quarts.0,
        from: pounds_there.round() as i64,
    };
    while ratio.made > 1_000_000 || ratio.from > 1_000_000 {
        ratio = Ratio {
            made: ratio.made / 2,
            from: ratio.from / 2,
        };
    }
    route[turns].yields = ratio;
    Some(())
}

fn station(id: &str) -> Option<StationId> {
    StationId::try_from(id).ok()
}

//! What the household's own days taught, put into an ask where the family said nothing else.

use super::ask::Ask;
use super::day_plan::{product_id, shared_id};
use super::options::choices;
use super::routes::canners_of;
use crate::day::amount::Amount;
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::DayPlan;
use crate::pace::{Learned, Lesson, LessonTold};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What of the household's own days a proposal rests on.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OwnDays {
    /// Minutes, yields and pots that were thrown away, of the stations and products of the day.
    pub lessons: Vec<LessonTold>,
    /// How many of the helpers were seen at work at one of its stations.
    pub helpers: usize,
}

/// The ask with the household's own yields and minutes to the boil, where it has some.
pub fn filled(ask: &Ask, learned: &Learned) -> Ask {
    let mut filled = ask.clone();
    for (id, products) in products(ask) {
        if let Some(one) = filled.uses.get_mut(&id)
            && one.own_yield.is_none()
            && one.lb_per_quart.is_none()
        {
            one.own_yield = learned.way_yield(&products).map(thousandths);
        }
    }
    for canner in filled.kitchen.canners.values_mut() {
        let station = canners_of(canner.method);
        let seen = station.and_then(|station| learned.heating_min(&station));
        canner.heating_min = canner.heating_min.or(seen.map(|min| min.round() as u32));
    }
    filled
}

/// What of it a day that would be begun rests on.
pub fn rests_on(plan: Option<&DayPlan>, learned: &Learned) -> OwnDays {
    let Some(plan) = plan else {
        return OwnDays::default();
    };
    let here = |station: &StationId| plan.stations.contains_key(station);
    let mut helpers = BTreeSet::new();
    let mut told = OwnDays::default();
    for one in learned.lessons() {
        let fits = match &one.lesson {
            Lesson::Speed { helper, station } => {
                if here(station) && plan.helpers.contains_key(helper) {
                    helpers.insert(helper.clone());
                }
                false
            }
            Lesson::Loading { station }
            | Lesson::Heating { station }
            | Lesson::After { station }
            | Lesson::Pot { station } => here(station),
            Lesson::Break {} => true,
            Lesson::Yield { station, product } => {
                here(station) && plan.products.contains_key(product)
            }
            Lesson::Scorch { station, .. } => {
                let product = one.what.as_ref();
                here(station) && product.is_some_and(|id| plan.products.contains_key(id))
            }
        };
        if fits {
            told.lessons.push(one);
        }
    }
    told.helpers = helpers.len();
    told
}

/// By use, every product that its packages could become.
fn products(ask: &Ask) -> BTreeMap<String, BTreeSet<ProductId>> {
    let mut found: BTreeMap<String, BTreeSet<ProductId>> = BTreeMap::new();
    for choice in choices(ask).0 {
        let food = choice.food(&ask.uses[&choice.use_id]);
        let ids = [product_id(&food, choice.container), shared_id(&food)];
        let ids = ids
            .iter()
            .filter_map(|id| ProductId::try_from(id.as_str()).ok());
        found.entry(choice.use_id.clone()).or_default().extend(ids);
    }
    found
}

fn thousandths(share: f64) -> Amount {
    Amount((share * 1000.0).round() as i64)
}

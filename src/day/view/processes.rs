//! The tested processes in the public view, and what of them is still to be confirmed.

use crate::day::amount::Amount;
use crate::day::flow::Flow;
use crate::day::ids::*;
use crate::day::plan::{Ending, Nature, Product};
use crate::day::state::{ProductState, State};
use crate::day::time::Timestamp;
use crate::trade::{self, Method, TestedProcess};
use serde::Serialize;

/// What a product's jars get, or why nothing is known.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
#[allow(missing_docs, reason = "the words say it")]
pub enum ProcessView {
    Tested {
        tested: TestedProcess,
        /// Heat of the canner's water at loading, in degrees Fahrenheit.
        water_f: u32,
        /// Inches of water over the lids; only in boiling water.
        #[serde(skip_serializing_if = "Option::is_none")]
        water_over_lids_in: Option<u32>,
    },
    Refused {
        refused: RefusedView,
    },
}

/// Why there is no process.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct RefusedView {
    pub detail: String,
    pub instead: String,
}

/// Jars waiting at the canner that are not confirmed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the words say it")]
pub struct UnconfirmedView {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acid: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sterile: Option<Amount>,
}

pub(super) fn process(state: &State, plan: &Product) -> Option<ProcessView> {
    let found = look_up(state, plan)?;
    Some(match found {
        Ok(tested) => ProcessView::Tested {
            water_f: trade::loading_water_fahrenheit(tested.pack).value,
            water_over_lids_in: (tested.method == Method::BoilingWater)
                .then(|| trade::depth_over_lids_inches(tested.minutes).value),
            tested,
        },
        Err(reason) => ProcessView::Refused {
            refused: RefusedView {
                detail: reason.to_string(),
                instead: reason.instead(),
            },
        },
    })
}

fn look_up(state: &State, plan: &Product) -> Option<Result<TestedProcess, trade::NoTestedProcess>> {
    let altitude_ft = state.altitude_ft?;
    let Ending::Canned { food, pack, jar } = &plan.ends_in else {
        return None;
    };
    let step = plan.route.get(state.canner_step(plan)?)?;
    let Nature::Canner { method, .. } = state.stations.get(&step.station)?.plan.nature else {
        return None;
    };
    Some(trade::tested(food, *pack, *jar, method, altitude_ft))
}

pub(super) fn unconfirmed(
    state: &State,
    id: &ProductId,
    product: &ProductState,
) -> Option<UnconfirmedView> {
    let tested = look_up(state, &product.plan)?.ok()?;
    let step = product.plan.route.get(state.canner_step(&product.plan)?)?;
    let flows = || state.lots_at(&step.station, id).into_iter().flatten();
    let since = |until: Option<Timestamp>| {
        let later = flows().map(|(_, flow)| filled_after(flow, until)).sum();
        (later > Amount::ZERO).then_some(later)
    };
    let view = UnconfirmedView {
        acid: tested.acid.as_ref().and_then(|_| since(product.acid_until)),
        sterile: tested
            .sterilise_jars
            .then(|| since(product.sterile_until))
            .flatten(),
    };
    (view.acid.is_some() || view.sterile.is_some()).then_some(view)
}

fn filled_after(flow: &Flow, until: Option<Timestamp>) -> Amount {
    let later = flow
        .layers
        .iter()
        .filter(|layer| Some(layer.since) >= until);
    later.map(|layer| layer.amount).sum()
}
